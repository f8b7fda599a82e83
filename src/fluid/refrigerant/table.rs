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
            ($($id:ident = $name:literal, $equation:ident, $viscosity:ident;)*) => {
                match refrigerant { $(Refrigerant::$id => Tables {
                    saturation: include_str!(concat!("../../../tables/saturation/", $name, ".csv")),
                    vapour: include_str!(concat!("../../../tables/vapour/", $name, ".csv")),
                    liquid: include_str!(concat!("../../../tables/liquid/", $name, ".csv")),
                    viscosity: include_str!(concat!("../../../tables/viscosity/", $name, ".csv")),
                    equation: SourceId::$equation,
                    viscosity_model: SourceId::$viscosity,
                },)* }
            };
        }
        tables! {
            R22 = "R-22", EosR22, ViscosityBell;
            R32 = "R-32", EosR32, ViscosityBell;
            R134a = "R-134a", EosR134a, ViscosityR134a;
            R290 = "R-290", EosR290, ViscosityR290;
            R404A = "R-404A", EosPseudoPure, ViscosityGeller;
            R407C = "R-407C", EosPseudoPure, ViscosityGeller;
            R410A = "R-410A", EosPseudoPure, ViscosityGeller;
            R448A = "R-448A", EosMixture, ViscosityMixing;
            R449A = "R-449A", EosMixture, ViscosityMixing;
            R452B = "R-452B", EosMixture, ViscosityMixing;
            R454B = "R-454B", EosMixture, ViscosityMixing;
            R454C = "R-454C", EosMixture, ViscosityMixing;
            R455A = "R-455A", EosMixture, ViscosityMixing;
            R507A = "R-507A", EosPseudoPure, ViscosityGeller;
            R513A = "R-513A", EosMixture, ViscosityMixing;
            R600a = "R-600a", EosR600a, ViscosityR600a;
            R744 = "R-744", EosR744, ViscosityR744;
            R1234yf = "R-1234yf", EosR1234yf, ViscosityBell;
            R1234zeE = "R-1234ze(E)", EosR1234zeE, ViscosityBell;
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
