//! Saturation of refrigerants against printed tables, papers and handbook equations: every row of two files.

mod limits;
mod sources;

use lineproof::fluid::refrigerant::{RangeError, Side};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};
use limits::Limits;
use sources::{OTHERS, SAME_EQUATION, Source};

fn published() -> Vec<Row> {
    let mut all = rows(include_str!("../data/saturation_published.csv"));
    all.extend(rows(include_str!("../data/saturation_published_more.csv")));
    all
}

/// Sources with the equation behind our table.
pub fn same_equation() -> Vec<Comparison> {
    SAME_EQUATION.iter().map(comparison).collect()
}

/// Sources with an equation, a model or a measurement of their own.
pub fn others() -> Vec<Comparison> {
    OTHERS.iter().map(comparison).collect()
}

/// The source whose text begins so.
fn source(begins: &str) -> &'static Source {
    let mut all = SAME_EQUATION.iter().chain(OTHERS);
    all.find(|source| source.begins.starts_with(begins))
        .unwrap_or_else(|| panic!("no source begins with {begins}"))
}

fn comparison(source: &Source) -> Comparison {
    let rows: Vec<Row> = published()
        .into_iter()
        .filter(|row| is_from(source, row))
        .collect();
    let mut values = Vec::new();
    let mut outside = Vec::new();
    let mut zero: Option<Zero> = None;
    for row in &rows {
        let point = Point::of(row);
        if !point.inside() {
            outside.push(point.named(&format!("at {}", point.place())));
            continue;
        }
        if row.number("h_liquid").is_some() && !row.text("reference_state").starts_with("IIR") {
            zero.get_or_insert_with(|| Zero::at(&point));
        }
        values.extend(point.compared(&(source.limits)(row.text("refrigerant")), zero.as_ref()));
    }
    let mut notes: Vec<String> = source.note.iter().map(|note| note.to_string()).collect();
    if !outside.is_empty() {
        notes.push(format!(
            "Outside our table, where the range error is given (tested): {}.",
            outside.join(", ")
        ));
    }
    notes.extend(zero.map(|zero| {
        format!(
            "The source has another zero of enthalpy. Compared is the rise above its bubble liquid at {}, whose own \
             value this uses up.",
            zero.place
        )
    }));
    notes.extend(biases(source, &values));
    let read = rows[0]
        .text("read_in_source")
        .replacen("yes", "read in the source", 1);
    Comparison {
        title: source.title.to_string(),
        source: format!("{}; {read}", cited(source, &rows)),
        tolerance: source.tolerance.to_string(),
        notes,
        values,
    }
}

fn is_from(source: &Source, row: &Row) -> bool {
    row.text("source").starts_with(source.begins)
}

/// The texts of a source; they differ where the same source has one for each refrigerant.
fn cited(source: &Source, rows: &[Row]) -> String {
    let mut texts: Vec<&str> = rows.iter().map(|row| row.text("source")).collect();
    assert!(!texts.is_empty(), "no row is from {}", source.begins);
    texts.sort_unstable();
    texts.dedup();
    texts.join("; ")
}

/// A published row and our table.
struct Point<'a> {
    row: &'a Row,
    table: &'static Saturation,
    temperature: Temperature,
}

/// A source's own zero of enthalpy: bubble liquid of one of its rows, kJ/kg.
struct Zero {
    published: f64,
    decimals: usize,
    half_digit: f64,
    ours: f64,
    place: String,
}

fn decimals(printed: &str) -> usize {
    printed
        .split_once('.')
        .map_or(0, |(_, digits)| digits.len())
}

impl Zero {
    fn at(point: &Point) -> Zero {
        let printed = point.row.text("h_liquid");
        Zero {
            published: printed.parse().unwrap(),
            decimals: decimals(printed),
            half_digit: crate::compare::half_last_digit(printed),
            ours: point.table.liquid_enthalpy(point.temperature).unwrap().si() / 1e3,
            place: point.place(),
        }
    }
}

const SIDES: [(Side, &str); 2] = [
    (Side::Bubble, "pressure_kpa_abs_bubble"),
    (Side::Dew, "pressure_kpa_abs_dew"),
];

impl<'a> Point<'a> {
    fn of(row: &'a Row) -> Self {
        let refrigerant: Refrigerant = row.text("refrigerant").parse().unwrap();
        Point {
            row,
            table: Saturation::of(refrigerant),
            temperature: Temperature::of(row.number("temperature_c").unwrap(), unit::CELSIUS),
        }
    }

    fn inside(&self) -> bool {
        let (low, high) = self.table.temperature_range();
        (low..=high).contains(&self.temperature)
    }

    /// "-29.45 degC", without the zeros of the file.
    fn place(&self) -> String {
        format!("{} degC", self.celsius())
    }

    fn celsius(&self) -> &str {
        let text = self.row.text("temperature_c");
        match text.contains('.') {
            true => text.trim_end_matches('0').trim_end_matches('.'),
            false => text,
        }
    }

    fn compared(&self, limits: &Limits, zero: Option<&Zero>) -> Vec<Compared> {
        let mut values = self.temperatures(limits);
        values.extend(self.densities(limits));
        values.extend(self.enthalpies(limits, zero));
        values
    }

    fn named(&self, what: &str) -> String {
        format!("{} {what}", self.row.text("refrigerant"))
    }

    /// The temperature we give at the printed pressure; once where bubble and dew are one.
    fn temperatures(&self, limits: &Limits) -> Vec<Compared> {
        let printed = |column| self.row.text(column);
        let ours = |side, kpa: &str| {
            let pressure = PressureAbs::of(kpa.parse().unwrap(), unit::KPA_ABS);
            self.table.temperature(side, pressure).unwrap()
        };
        let mut values = Vec::new();
        let given = SIDES
            .into_iter()
            .filter(|(_, column)| !printed(column).is_empty());
        for (side, column) in given {
            let kpa = printed(column);
            values.push(Compared::new(
                self.named(&format!("{side} temperature")),
                format!("{kpa} kPa"),
                self.celsius(),
                ours(side, kpa).in_unit(unit::CELSIUS),
                limits.kelvin_at(self.table, side, kpa),
                "degC",
            ));
        }
        if let [bubble, dew] = &values[..]
            && bubble.at == dew.at
            && bubble.ours == dew.ours
        {
            values.pop();
            values[0].what = self.named("saturation temperature");
        }
        values
    }

    /// What reading between rows may cost in density within 1 K of the critical point, as a share.
    fn reading_beside_the_critical_point(&self) -> f64 {
        let critical = self.table.refrigerant().facts().critical_temperature;
        match (critical - self.temperature).si() < 1.0 {
            true => crate::states::DENSITY,
            false => 0.0,
        }
    }

    fn densities(&self, limits: &Limits) -> Vec<Compared> {
        let columns = [
            (
                "rho_liquid",
                "liquid density",
                self.table.liquid_density(self.temperature),
                limits.liquid_density,
            ),
            (
                "rho_vapor",
                "vapour density",
                self.table.vapour_density(self.temperature),
                limits.vapour_density,
            ),
        ];
        let given = columns
            .into_iter()
            .filter(|(column, ..)| !self.row.text(column).is_empty());
        given
            .map(|(column, what, ours, share)| {
                let (printed, ours) = (self.row.text(column), ours.unwrap().si());
                let share = share.max(self.reading_beside_the_critical_point());
                let tolerance = limits.half_digit(printed) + share * ours;
                Compared::new(
                    self.named(what),
                    self.place(),
                    printed,
                    ours,
                    tolerance,
                    "kg/m3",
                )
            })
            .collect()
    }

    fn enthalpies(&self, limits: &Limits, zero: Option<&Zero>) -> Vec<Compared> {
        let columns = [
            (
                "h_liquid",
                "liquid enthalpy",
                self.table.liquid_enthalpy(self.temperature),
                limits.enthalpy.liquid,
            ),
            (
                "h_vapor",
                "vapour enthalpy",
                self.table.vapour_enthalpy(self.temperature),
                limits.enthalpy.vapour,
            ),
        ];
        let given = columns
            .into_iter()
            .filter(|(column, ..)| !self.row.text(column).is_empty());
        given
            .filter(|(column, ..)| {
                *column != "h_liquid" || zero.is_none_or(|zero| zero.place != self.place())
            })
            .map(|(column, what, ours, limit)| {
                let (printed, ours) = (self.row.text(column), ours.unwrap().si() / 1e3);
                let tolerance = limits.half_digit(printed) + limit;
                let (what, place) = (self.named(what), self.place());
                let Some(zero) = zero else {
                    return Compared::new(what, place, printed, ours, tolerance, "kJ/kg");
                };
                let decimals = decimals(printed).max(zero.decimals);
                let rise = printed.parse::<f64>().unwrap() - zero.published;
                Compared::new(
                    format!("{what}, rise"),
                    place,
                    &format!("{rise:.decimals$}"),
                    ours - zero.ours,
                    tolerance + zero.half_digit,
                    "kJ/kg",
                )
            })
            .collect()
    }

    /// Outside the table every function says so.
    fn gives_the_range_error(&self) {
        let (table, t) = (self.table, self.temperature);
        let temperature = |error: RangeError| matches!(error, RangeError::Temperature { .. });
        assert!(temperature(table.liquid_density(t).unwrap_err()));
        assert!(temperature(table.vapour_density(t).unwrap_err()));
        assert!(temperature(table.liquid_enthalpy(t).unwrap_err()));
        assert!(temperature(table.vapour_enthalpy(t).unwrap_err()));
        for (side, column) in SIDES {
            assert!(temperature(table.pressure(side, t).unwrap_err()));
            let pressure = PressureAbs::of(self.row.number(column).unwrap(), unit::KPA_ABS);
            assert!(matches!(
                table.temperature(side, pressure),
                Err(RangeError::Pressure { .. })
            ));
        }
    }
}

/// What differs one way only between two blend models.
const ONE_WAY: [(&str, f64); 3] = [
    ("dew temperature", 1.0),
    ("vapour density", -1.0),
    ("vapour enthalpy", 1.0),
];

/// The differences of one kind, for the other blend model.
fn one_way<'a>(values: &'a [Compared], what: &str) -> Vec<&'a Compared> {
    values.iter().filter(|value| value.what == what).collect()
}

/// Which way our blend model differs from another one, in words.
fn biases(source: &Source, values: &[Compared]) -> Option<String> {
    if !source.begins.starts_with("FluidPropertiesRefData_R44") {
        return None;
    }
    let mut parts = Vec::new();
    for refrigerant in ["R-448A", "R-449A"] {
        for (kind, _) in ONE_WAY {
            let what = format!("{refrigerant} {kind}");
            let found = one_way(values, &what);
            let density = found[0].unit == "kg/m3";
            let differences = || {
                found.iter().map(|value| match density {
                    true => 100.0 * value.difference / (value.ours - value.difference),
                    false => value.difference,
                })
            };
            let low = differences().fold(f64::MAX, f64::min);
            let high = differences().fold(f64::MIN, f64::max);
            let unit = match found[0].unit {
                "degC" => "K",
                "kg/m3" => "%",
                other => other,
            };
            parts.push(format!("{what} {low:+.2} to {high:+.2} {unit}"));
        }
    }
    Some(format!(
        "The bias has one sign in all rows, and a test holds it to that: {}. So at a pressure on the gauge our dew \
         temperature is the higher one, and a superheat comes out smaller by as much.",
        parts.join("; ")
    ))
}

#[test]
fn every_row_has_one_source() {
    let all = published();
    assert_eq!(all.len(), 206 + 83);
    for row in &all {
        let all = SAME_EQUATION.iter().chain(OTHERS);
        let of = all.filter(|source| is_from(source, row)).count();
        let critical = row.text("source").starts_with("Measured critical point");
        assert_eq!(of, usize::from(!critical), "{row:?}");
    }
}

#[test]
fn rows_outside_the_tables_give_the_range_error() {
    let mut outside = Vec::new();
    for row in &published() {
        let point = Point::of(row);
        if !point.inside() {
            point.gives_the_range_error();
            outside.push(format!("{} {}", row.text("refrigerant"), point.celsius()));
        }
    }
    assert_eq!(
        outside,
        [
            "R-134a -73.15",
            "R-600a -73.15",
            "R-744 -56.558",
            "R-600a -123.15",
            "R-600a 133.85",
            "R-1234yf 94.7",
        ]
    );
}

#[test]
fn the_other_blend_model_differs_one_way() {
    let source = source("FluidPropertiesRefData");
    let values = comparison(source).values;
    for refrigerant in ["R-448A", "R-449A"] {
        for (kind, sign) in ONE_WAY {
            let found = one_way(&values, &format!("{refrigerant} {kind}"));
            assert_eq!(found.len(), 21);
            for value in found {
                assert!(value.difference * sign > 0.0, "{value:?}");
            }
        }
    }
}

/// One test a source: all its values, and no fewer.
macro_rules! sources {
    ($($name:ident = $begins:literal, $count:expr;)*) => { $(
        #[test]
        fn $name() {
            comparison(source($begins)).holds($count);
        }
    )* };
}

sources! {
    tillner_roth_and_baehr = "Tillner-Roth & Baehr", 2 * 5;
    tillner_roth_and_yokozeki = "Tillner-Roth & Yokozeki", 4 * 5;
    lemmon_2009 = "Lemmon et al., J. Chem. Eng. Data 54", 2 * 5;
    // one zero of enthalpy
    buecker_and_wagner = "Buecker & Wagner", 5 - 1 + 3;
    span_and_wagner = "Span & Wagner", 5 * 5 - 1;
    // bubble and dew
    lemmon_2003 = "Lemmon, Int. J. Thermophys. 24", 4 * 4;
    reference_data_set = "EnergyPlus", (5 * 19 + 13) * 5;
    another_blend_model = "FluidPropertiesRefData_R44", 2 * 21 * 5;
    huber_and_mclinden = "Huber & McLinden", 3 * 5;
    thermodynamics_textbook = "Moran & Shapiro", 13;
    engineers_handbook = "Mechanical Engineers'", 15;
    vdi_heat_atlas = "VDI Heat Atlas", 3 * 7;
    perrys_handbook = "Perry's", 2 * 7;
    properties_of_gases_and_liquids = "The Properties of Gases", 7;
    process_analyser = "four-term", 7;
    correlation_of_1983 = "Wagner 3-6", 7;
    r1234yf_2011 = "Equation of state for R-1234yf, J. Chem. Eng. Data 56", 6;
    r1234yf_2022 = "Equation of state for R-1234yf of 2022, vapour", 7;
    r1234zee_2016 = "Equation of state for R-1234ze(E) of 2016", 7;
    r1234yf_boiling_2022 = "Equation of state for R-1234yf of 2022, normal", 1;
    r32_boiling = "REFPROP R32", 1;
    r1234zee_boiling = "REFPROP R1234ze(E)", 1;
    r1234yf_boiling = "REFPROP R1234yf", 1;
    r454b_boiling = "nominal normal boiling point", 1;
    health_council = "Dutch Health Council", 1;
    safety_page = "US OSHA", 1;
}
