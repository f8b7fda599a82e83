//! The tables of `tables/`, compiled in: which belong to a refrigerant, and how their lines are read.

use super::Refrigerant;
use crate::source::SourceId;

/// The tables of one refrigerant as text.
pub(super) struct Tables {
    pub saturation: &'static str,
    pub vapour: &'static str,
    pub liquid: &'static str,
    pub viscosity: &'static str,
    /// The equation of state behind the first three.
    pub equation: SourceId,
    /// The model behind the last.
    pub viscosity_model: SourceId,
}

impl Tables {
    pub(super) fn of(refrigerant: Refrigerant) -> Tables {
        macro_rules! tables {
            ($($id:ident = $name:literal, $equation:path, $viscosity:path;)*) => {
                match refrigerant { $(Refrigerant::$id => Tables {
                    saturation: include_str!(concat!("../../../tables/saturation/", $name, ".csv")),
                    vapour: include_str!(concat!("../../../tables/vapour/", $name, ".csv")),
                    liquid: include_str!(concat!("../../../tables/liquid/", $name, ".csv")),
                    viscosity: include_str!(concat!("../../../tables/viscosity/", $name, ".csv")),
                    equation: $equation,
                    viscosity_model: $viscosity,
                },)* }
            };
        }
        tables! {
            R22 = "R-22", SourceId::EosR22, SourceId::ViscosityR22;
            R32 = "R-32", SourceId::EosR32, SourceId::ViscosityBell;
            R134a = "R-134a", SourceId::EosR134a, SourceId::ViscosityR134a;
            R290 = "R-290", SourceId::EosR290, SourceId::ViscosityR290;
            R404A = "R-404A", SourceId::EosPseudoPure, SourceId::ViscosityGeller;
            R407C = "R-407C", SourceId::EosPseudoPure, SourceId::ViscosityGeller;
            R410A = "R-410A", SourceId::EosPseudoPure, SourceId::ViscosityGeller;
            R448A = "R-448A", SourceId::EosMixture, SourceId::ViscosityMixing;
            R449A = "R-449A", SourceId::EosMixture, SourceId::ViscosityMixing;
            R452B = "R-452B", SourceId::EosMixture, SourceId::ViscosityMixing;
            R454B = "R-454B", SourceId::EosMixture, SourceId::ViscosityMixing;
            R454C = "R-454C", SourceId::EosMixture, SourceId::ViscosityMixing;
            R455A = "R-455A", SourceId::EosMixture, SourceId::ViscosityMixing;
            R507A = "R-507A", SourceId::EosPseudoPure, SourceId::ViscosityGeller;
            R513A = "R-513A", SourceId::EosMixture, SourceId::ViscosityMixing;
            R600a = "R-600a", SourceId::EosR600a, SourceId::ViscosityR600a;
            R744 = "R-744", SourceId::EosR744, SourceId::ViscosityR744;
            R1234yf = "R-1234yf", SourceId::EosR1234yf, SourceId::ViscosityBell;
            R1234zeE = "R-1234ze(E)", SourceId::EosR1234zeE, SourceId::ViscosityBell;
        }
    }
}

/// The columns of a table. Tables are compiled in, and a test reads each of them.
pub(super) fn columns<const N: usize>(text: &str) -> [Vec<f64>; N] {
    let mut columns = [const { Vec::new() }; N];
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    for (number, row) in rows.enumerate() {
        let cells = row.split(',').map(|cell| cell.parse::<f64>());
        for (column, cell) in columns.iter_mut().zip(cells) {
            column.push(cell.unwrap_or_else(|e| panic!("row {number} of a table: {e}")));
        }
    }
    columns
}

/// The number at the start of the comment line with this title.
pub(super) fn number(text: &str, title: &str) -> f64 {
    line(text, title)
        .split(' ')
        .next()
        .and_then(|value| value.parse().ok())
        .unwrap_or_else(|| panic!("the line \"{title}\" of a table begins with no number"))
}

/// The comment line with this title, without the title.
pub(super) fn line<'a>(text: &'a str, title: &str) -> &'a str {
    text.lines()
        .filter_map(|line| line.strip_prefix("# ")?.strip_prefix(title))
        .find_map(|line| line.strip_prefix(": "))
        .unwrap_or_else(|| panic!("a table has no line \"{title}\""))
}
