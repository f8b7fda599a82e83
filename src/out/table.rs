//! A refrigerant's saturation in rows, as a person at a gauge looks it up.
//!
//! ```
//! use lineproof::fluid::{Refrigerant, Saturation};
//! use lineproof::out::table::{SaturationTable, Steps};
//! use lineproof::quantity::{Barometer, Temperature, UnitSystem};
//! let saturation = Saturation::of(Refrigerant::R454B);
//! let usual = Steps::<Temperature>::usual(saturation, UnitSystem::Us);
//! let table = SaturationTable::by_temperature(saturation, &usual, Barometer::standard(), UnitSystem::Us)?;
//! assert_eq!(table.cells()[0][0], "-40");
//! assert!(table.csv().starts_with("temperature_F,bubble_psig,dew_psig"));
//! # Ok::<(), lineproof::out::table::TableError>(())
//! ```

use std::fmt::Write;

use crate::fluid::refrigerant::{RangeError, Side};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Barometer, BarometerError, Dimension, Fraction, PressureAbs, PressureDiff, PressureGauge,
    Quantity, Shown, Temperature, TemperatureDiff, UnitSystem, both, unit,
};
use crate::source::SourceId;

/// Rows of bubble and dew, ready to be printed as text, CSV or a page.
#[derive(Debug, Clone, PartialEq)]
pub struct SaturationTable {
    /// The refrigerant.
    pub refrigerant: Refrigerant,
    /// The rows.
    pub rows: Rows,
    /// What a gauge's zero is.
    pub barometer: Barometer,
    /// Units of the text and the page.
    pub units: UnitSystem,
    /// How far the pressure may be off, as a share of it; a limit.
    pub model_uncertainty: Fraction,
    /// How far the temperature of any row may be off for it.
    pub temperature_limit: TemperatureDiff,
    /// The equation of state.
    pub source: SourceId,
}

/// What the rows begin with.
#[derive(Debug, Clone, PartialEq)]
pub enum Rows {
    /// A temperature, then the gauge pressures.
    ByTemperature(Vec<Row<Temperature, PressureGauge>>),
    /// A gauge pressure, then the temperatures.
    ByPressure(Vec<Row<PressureGauge, Temperature>>),
}

/// Saturation at one temperature or pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row<At, Found> {
    /// What is looked up.
    pub at: At,
    /// Where liquid begins to boil.
    pub bubble: Found,
    /// Where vapour begins to condense.
    pub dew: Found,
}

/// Rows from one value to another, a step apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps<Q: Quantity> {
    /// The first row.
    pub from: Q,
    /// No row beyond this one.
    pub to: Q,
    /// From row to row.
    pub step: Q::Diff,
}

/// More rows than this are no table to look something up in.
pub const MOST_ROWS: usize = 2000;

/// Why a table could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableError {
    /// A step that leads nowhere.
    #[error("a step of {step}: rows rise by a step above zero; give one like {example}")]
    Step {
        /// The step.
        step: String,
        /// A good one.
        example: &'static str,
    },
    /// The ends in the wrong order.
    #[error(
        "rows from {from} to {to}: the first lies above the last; give the lower one first, or both ends"
    )]
    Order {
        /// The first row.
        from: String,
        /// The last row.
        to: String,
    },
    /// A table nobody reads.
    #[error(
        "rows from {from} to {to}, a step of {step} apart, are {rows} rows; a table has at most {MOST_ROWS}: take a larger step or a shorter range"
    )]
    TooMany {
        /// The first row.
        from: String,
        /// The last row.
        to: String,
        /// The step.
        step: String,
        /// How many rows it would have.
        rows: u64,
    },
    /// Outside the refrigerant's table.
    #[error(transparent)]
    Range(#[from] RangeError),
    /// Below a perfect vacuum.
    #[error(transparent)]
    Atmosphere(#[from] BarometerError),
}

/// Coldest row when nothing was said: below it no heat pump evaporates.
const COLDEST: f64 = -40.0;

impl Steps<Temperature> {
    /// What is met at a heat pump: -40 °F to 150 °F every 5 °F, or -40 °C to 66 °C every 2 K; no further than the
    /// refrigerant's table.
    pub fn usual(table: &Saturation, units: UnitSystem) -> Self {
        let (unit, warmest, step) = match units {
            UnitSystem::Us => (unit::FAHRENHEIT, 150.0, 5.0),
            UnitSystem::Si => (unit::CELSIUS, 66.0, 2.0),
        };
        let end = table.temperature_range().1.in_unit(unit);
        let fits = ((end.min(warmest) - COLDEST) / step).floor();
        Steps {
            from: Temperature::of(COLDEST, unit),
            to: Temperature::of(COLDEST + fits * step, unit),
            step: TemperatureDiff::from_si(step * unit.scale),
        }
    }
}

impl Steps<PressureGauge> {
    /// The pressures of [`Steps::<Temperature>::usual`], from the gauge's zero up, in round numbers.
    pub fn usual(
        table: &Saturation,
        barometer: Barometer,
        units: UnitSystem,
    ) -> Result<Self, RangeError> {
        let met = Steps::<Temperature>::usual(table, units);
        let low = table.bubble_pressure(met.from)?.to_gauge(barometer);
        let high = table.dew_pressure(met.to)?.to_gauge(barometer);
        let low = low.si().max(0.0);
        let step = round_step(high.si() - low, units).si();
        Ok(Steps {
            from: PressureGauge::from_si((low / step).ceil() * step),
            to: PressureGauge::from_si((high.si() / step).floor() * step),
            step: PressureDiff::from_si(step),
        })
    }

    /// The smallest round step that keeps these rows on a page.
    pub fn round_step(from: PressureGauge, to: PressureGauge, units: UnitSystem) -> PressureDiff {
        round_step(to.si() - from.si(), units)
    }
}

fn round_step(span: f64, units: UnitSystem) -> PressureDiff {
    let (unit, steps) = match units {
        UnitSystem::Us => (unit::PSI_DIFF, [1.0, 2.0, 5.0, 10.0]),
        UnitSystem::Si => (unit::BAR_DIFF, [0.1, 0.2, 0.5, 1.0]),
    };
    let step = |number| PressureDiff::of(number, unit);
    let few = |number: &f64| span <= 100.0 * step(*number).si();
    step(steps.into_iter().find(few).unwrap_or(steps[3]))
}

impl<Q: Quantity> Steps<Q> {
    fn values(&self) -> Result<impl Iterator<Item = Q> + use<Q>, TableError> {
        let (from, to, step) = (self.from.si(), self.to.si(), self.step.si());
        if step <= 0.0 {
            let example = match Q::DIMENSION {
                Dimension::Temperature => "5 F",
                _ => "5 psi",
            };
            return Err(TableError::Step {
                step: exact(self.step),
                example,
            });
        }
        if from > to {
            return Err(TableError::Order {
                from: both(self.from),
                to: both(self.to),
            });
        }
        let last = ((to - from) / step + 1e-9).floor();
        if last >= MOST_ROWS as f64 {
            return Err(TableError::TooMany {
                from: both(self.from),
                to: both(self.to),
                step: exact(self.step),
                rows: last as u64 + 1,
            });
        }
        let at = move |row| Q::from_si(from + row as f64 * step);
        Ok((0..=last as usize).map(at))
    }
}

/// A step in both unit systems with the digits it was typed with.
fn exact<Q: Quantity>(step: Q) -> String {
    let [us, si] = [UnitSystem::Us, UnitSystem::Si].map(|units| {
        let shown = step.show(units);
        shown.decimals(decimals_of(shown.value).max(1))
    });
    format!("{us} ({si})")
}

/// The fewest digits behind the point that print a number whole; four at most.
fn decimals_of(number: f64) -> usize {
    let whole = |digits: &usize| {
        let scaled = number * 10_f64.powi(*digits as i32);
        (scaled - scaled.round()).abs() < 1e-6
    };
    (0..4).find(whole).unwrap_or(4)
}

impl SaturationTable {
    /// Gauge pressure of bubble and dew at temperatures.
    pub fn by_temperature(
        table: &Saturation,
        steps: &Steps<Temperature>,
        barometer: Barometer,
        units: UnitSystem,
    ) -> Result<Self, TableError> {
        // the ends first, so that a range beyond the table is said before its number of rows
        table.bubble_pressure(steps.from)?;
        table.bubble_pressure(steps.to)?;
        let row = |at| {
            Ok(Row {
                at,
                bubble: table.bubble_pressure(at)?.to_gauge(barometer),
                dew: table.dew_pressure(at)?.to_gauge(barometer),
            })
        };
        let rows = steps
            .values()?
            .map(row)
            .collect::<Result<_, RangeError>>()?;
        let rows = Rows::ByTemperature(rows);
        Ok(SaturationTable::of(table, rows, barometer, units))
    }

    /// Bubble and dew temperature at gauge pressures.
    pub fn by_pressure(
        table: &Saturation,
        steps: &Steps<PressureGauge>,
        barometer: Barometer,
        units: UnitSystem,
    ) -> Result<Self, TableError> {
        for end in [steps.from, steps.to] {
            let end = end.to_abs(barometer)?;
            table.bubble_temperature(end)?;
            table.dew_temperature(end)?;
        }
        let row = |at: PressureGauge| {
            let absolute = at.to_abs(barometer)?;
            Ok(Row {
                at,
                bubble: table.bubble_temperature(absolute)?,
                dew: table.dew_temperature(absolute)?,
            })
        };
        let rows = steps
            .values()?
            .map(row)
            .collect::<Result<_, TableError>>()?;
        let rows = Rows::ByPressure(rows);
        Ok(SaturationTable::of(table, rows, barometer, units))
    }

    fn of(table: &Saturation, rows: Rows, barometer: Barometer, units: UnitSystem) -> Self {
        let gauge: Vec<PressureGauge> = match &rows {
            Rows::ByTemperature(rows) => rows.iter().map(|row| row.dew).collect(),
            Rows::ByPressure(rows) => rows.iter().map(|row| row.at).collect(),
        };
        let pressures = gauge.iter().filter_map(|p| p.to_abs(barometer).ok());
        SaturationTable {
            refrigerant: table.refrigerant(),
            rows,
            barometer,
            units,
            model_uncertainty: table.model_uncertainty(),
            temperature_limit: temperature_limit(table, pressures),
            source: table.source(),
        }
    }

    /// "gauge pressure at each temperature".
    pub fn title(&self) -> &'static str {
        match self.rows {
            Rows::ByTemperature(_) => "gauge pressure at each temperature",
            Rows::ByPressure(_) => "temperature at each gauge pressure",
        }
    }

    /// Whether bubble and dew differ anywhere in what is printed.
    pub fn has_glide(&self) -> bool {
        self.cells().iter().any(|[_, bubble, dew]| bubble != dew)
    }

    /// What is counted from which column.
    pub fn use_of_columns(&self) -> &'static str {
        if self.has_glide() {
            "Subcooling is counted from bubble, superheat from dew."
        } else {
            "Bubble and dew are one here: subcooling and superheat are counted from it."
        }
    }

    /// Units of the first column and of the others.
    pub fn symbols(&self) -> [&'static str; 2] {
        let temperature = Dimension::Temperature.show(0.0, self.units).unit;
        let pressure = Dimension::PressureGauge.show(0.0, self.units).unit;
        match self.rows {
            Rows::ByTemperature(_) => [temperature, pressure],
            Rows::ByPressure(_) => [pressure, temperature],
        }
    }

    /// Every row as it is printed: what is looked up, bubble, dew.
    pub fn cells(&self) -> Vec<[String; 3]> {
        match &self.rows {
            Rows::ByTemperature(rows) => cells(rows, self.units),
            Rows::ByPressure(rows) => cells(rows, self.units),
        }
    }

    /// How far the pressure may be off, and where it comes from.
    pub fn foot(&self) -> String {
        format!(
            "The table's own uncertainty is {:.1} % of the pressure, in these rows at most {}. Source: {}.",
            100.0 * self.model_uncertainty.si(),
            self.temperature_limit.show(self.units),
            self.source.cite()
        )
    }

    /// What a gauge's zero was taken as.
    pub fn gauge_zero(&self) -> String {
        format!("Gauge zero taken as {}", self.barometer.words())
    }

    /// As lines for a terminal.
    pub fn text(&self) -> String {
        let [at, found] = self.symbols();
        let mut out = format!("{}: {}.\n\n", self.refrigerant, self.title());
        let mut line = |cells: &[&str]| {
            let padded: Vec<String> = cells.iter().map(|cell| format!("{cell:>12}")).collect();
            let _ = writeln!(out, "{}", padded.concat());
        };
        let glide = self.has_glide();
        if glide {
            line(&["", "bubble", "dew"]);
            line(&[at, found, found]);
        } else {
            line(&[at, found]);
        }
        for [at, bubble, dew] in &self.cells() {
            if glide {
                line(&[at, bubble, dew]);
            } else {
                line(&[at, bubble]);
            }
        }
        let source = self.barometer.source();
        let source = source.map(|s| format!("; {}", s.cite()));
        let _ = write!(
            out,
            "\n{}\n{}{}.\n{}\n",
            self.use_of_columns(),
            self.gauge_zero(),
            source.unwrap_or_default(),
            self.foot()
        );
        out
    }

    /// As comma-separated values, with the unit in each column's name and absolute pressures beside the gauge's.
    pub fn csv(&self) -> String {
        let (t, gauge, absolute) = match self.units {
            UnitSystem::Us => ("F", "psig", "psia"),
            UnitSystem::Si => ("C", "bar_gauge", "bar_abs"),
        };
        let temperature = |t: Temperature| match self.units {
            UnitSystem::Us => t.in_unit(unit::FAHRENHEIT),
            UnitSystem::Si => t.in_unit(unit::CELSIUS),
        };
        let pressures = |p: PressureGauge| {
            let over_vacuum = PressureAbs::from_si(p.si() + self.barometer.pressure().si());
            match self.units {
                UnitSystem::Us => (p.in_unit(unit::PSIG), over_vacuum.in_unit(unit::PSIA)),
                UnitSystem::Si => (
                    p.in_unit(unit::BAR_GAUGE),
                    over_vacuum.in_unit(unit::BAR_ABS),
                ),
            }
        };
        let mut out = match self.rows {
            Rows::ByTemperature(_) => format!(
                "temperature_{t},bubble_{gauge},dew_{gauge},bubble_{absolute},dew_{absolute}\n"
            ),
            Rows::ByPressure(_) => {
                format!("pressure_{gauge},pressure_{absolute},bubble_{t},dew_{t}\n")
            }
        };
        let mut line = |numbers: &[f64]| {
            let cells: Vec<String> = numbers.iter().map(|n| csv_number(*n)).collect();
            let _ = writeln!(out, "{}", cells.join(","));
        };
        match &self.rows {
            Rows::ByTemperature(rows) => {
                for row in rows {
                    let (bubble, dew) = (pressures(row.bubble), pressures(row.dew));
                    line(&[temperature(row.at), bubble.0, dew.0, bubble.1, dew.1]);
                }
            }
            Rows::ByPressure(rows) => {
                for row in rows {
                    let (gauge, absolute) = pressures(row.at);
                    line(&[
                        gauge,
                        absolute,
                        temperature(row.bubble),
                        temperature(row.dew),
                    ]);
                }
            }
        }
        out
    }
}

/// The most that the table's uncertainty moves dew at any of these pressures.
fn temperature_limit(
    table: &Saturation,
    pressures: impl Iterator<Item = PressureAbs>,
) -> TemperatureDiff {
    let share = table.model_uncertainty().si();
    let limits = pressures.filter_map(|p| Some(share * p.si() * table.slope(Side::Dew, p).ok()?));
    TemperatureDiff::from_si(limits.fold(0.0, f64::max))
}

/// Five digits behind the point, without a tail of zeros.
fn csv_number(number: f64) -> String {
    let shown = Shown {
        value: number,
        unit: "",
        decimals: 5,
    };
    let text = shown.number();
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn cells<At: Quantity, Found: Quantity>(
    rows: &[Row<At, Found>],
    units: UnitSystem,
) -> Vec<[String; 3]> {
    let ats = rows.iter().map(|row| decimals_of(row.at.show(units).value));
    let digits = ats.max().unwrap_or(0).min(2);
    let cell = |row: &Row<At, Found>| {
        [
            row.at.show(units).decimals(digits).number(),
            row.bubble.show(units).number(),
            row.dew.show(units).number(),
        ]
    };
    rows.iter().map(cell).collect()
}
