//! What a figure is drawn from, in display units, and (with the feature `report`) the drawings, one file each.

#[cfg(feature = "report")]
pub mod charge_interval;
#[cfg(feature = "report")]
pub mod hold;
#[cfg(feature = "report")]
pub mod hold_residuals;
#[cfg(feature = "report")]
mod ink;
#[cfg(feature = "report")]
pub mod loss_limit;
#[cfg(feature = "report")]
pub mod lost_mass;
#[cfg(feature = "report")]
pub mod pressure_enthalpy;
#[cfg(feature = "report")]
pub mod pump_down;
#[cfg(feature = "report")]
pub mod rise;
#[cfg(feature = "report")]
pub mod running_log;
#[cfg(feature = "report")]
pub mod saturation;
mod standing;
mod vacuum;

#[cfg(feature = "report")]
pub use ink::{DrawError, Width, standing_alone};
pub use standing::{Hold, HoldResiduals, HoldStep, LossAhead, LossLimit};
pub use vacuum::{PumpDownFigure, PumpMark, RiseFigure, RiseRule};

/// A running reading on the saturation curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// The refrigerant, for the title.
    pub refrigerant: String,
    /// The saturation curve, temperatures rising.
    pub curve: Vec<Saturation>,
    /// What was read.
    pub points: Vec<RunningPoint>,
    /// Superheat, subcooling.
    pub spans: Vec<Span>,
    /// The unit of the temperatures: "°F".
    pub temperature_unit: &'static str,
    /// The unit of the pressures: "psig".
    pub pressure_unit: &'static str,
}

/// One row of a saturation curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturation {
    /// Temperature.
    pub temperature: f64,
    /// Pressure of boiling liquid.
    pub bubble: f64,
    /// Pressure of condensing vapour.
    pub dew: f64,
}

/// One reading of pressure and temperature with its error box.
#[derive(Debug, Clone, PartialEq)]
pub struct RunningPoint {
    /// What it is: "suction line".
    pub label: String,
    /// Temperature.
    pub temperature: f64,
    /// Half the 95 % interval of the temperature.
    pub half_temperature: f64,
    /// Pressure.
    pub pressure: f64,
    /// Half the 95 % interval of the pressure.
    pub half_pressure: f64,
    /// What it rests on.
    pub rests_on: RestsOn,
}

/// What a point on the saturation curve rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RestsOn {
    /// A gauge and a thermometer.
    Gauge,
    /// A thermometer; the pressure is the one that belongs to a probe on a coil bend.
    Bend,
    /// It is that probe itself.
    Probe,
}

/// A temperature span at one pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// With its numbers: "superheat 12 °F, could be 10 to 14 °F".
    pub label: String,
    /// At this pressure.
    pub pressure: f64,
    /// One end: saturation.
    pub from: f64,
    /// The other end: the line.
    pub to: f64,
}

/// A pressure-enthalpy diagram: the dome, lines of temperature and of entropy, and states on it.
///
/// Every line is a row of points (enthalpy, absolute pressure).
#[derive(Debug, Clone, PartialEq)]
pub struct PressureEnthalpy {
    /// The refrigerant, for the title.
    pub refrigerant: String,
    /// Boiling liquid, pressures rising; the table ends before the critical point.
    pub bubble: Vec<(f64, f64)>,
    /// Condensing vapour, pressures rising.
    pub dew: Vec<(f64, f64)>,
    /// Lines of one temperature, pressures falling: liquid, across the dome, vapour.
    pub isotherms: Vec<Contour>,
    /// Lines of one entropy in the vapour, pressures rising.
    pub isentropes: Vec<Contour>,
    /// States to mark: one alone, or the corners of a cycle in their order.
    pub states: Vec<StateMark>,
    /// Which of them are joined.
    pub legs: Vec<Leg>,
    /// What it shows, in a sentence; without one the frame is described.
    pub lead: Option<String>,
    /// What follows from the states and what was assumed, each a sentence.
    pub notes: Vec<String>,
    /// Lowest and highest enthalpy of the frame.
    pub enthalpies: (f64, f64),
    /// Lowest and highest pressure of the frame.
    pub pressures: (f64, f64),
    /// Where the enthalpies are counted from: "boiling liquid at 0 °C has 200".
    pub zero: String,
    /// The unit of the enthalpies.
    pub enthalpy_unit: &'static str,
    /// The unit of the pressures.
    pub pressure_unit: &'static str,
    /// The unit of the isotherms.
    pub temperature_unit: &'static str,
    /// The unit of the isentropes.
    pub entropy_unit: &'static str,
}

/// A line on which something has one value.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// The value as printed.
    pub label: String,
    /// Along the line.
    pub points: Vec<(f64, f64)>,
    /// Where it crosses the dome, if it does: bubble and dew.
    pub across: Option<[(f64, f64); 2]>,
}

/// A state to mark.
#[derive(Debug, Clone, PartialEq)]
pub struct StateMark {
    /// What it is: "suction".
    pub label: String,
    /// Enthalpy.
    pub enthalpy: f64,
    /// Half the 95 % interval of the enthalpy; zero: no bar.
    pub half_enthalpy: f64,
    /// Absolute pressure.
    pub pressure: f64,
    /// Half the 95 % interval of the pressure; zero: no bar.
    pub half_pressure: f64,
    /// Whether it was read or given; otherwise the dot is open.
    pub read: bool,
}

/// A line between two states.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// Index of the state it starts from.
    pub from: usize,
    /// Index of the state it leads to.
    pub to: usize,
    /// Drawn dashed: it leads to what was not read.
    pub dashed: bool,
}

/// A running log against time, one panel for each kind of reading.
#[derive(Debug, Clone, PartialEq)]
pub struct RunningLogFigure {
    /// Minutes since the log's first row.
    pub minutes: Vec<f64>,
    /// The panels, from top to bottom.
    pub panels: Vec<LogPanel>,
    /// The steadiest window; none where the log is too short.
    pub window: Option<LogWindow>,
    /// What hunts, in words: "hunting: superheat, every 3.2 min, ± 4.1 °F".
    pub hunting: Option<String>,
}

/// A panel of a running log.
#[derive(Debug, Clone, PartialEq)]
pub struct LogPanel {
    /// What it shows: "gauge pressure".
    pub title: String,
    /// The unit: "psig".
    pub unit: &'static str,
    /// The lines.
    pub lines: Vec<LogLine>,
}

/// A line of a running log.
#[derive(Debug, Clone, PartialEq)]
pub struct LogLine {
    /// What it is: "suction line".
    pub label: &'static str,
    /// Its mean over the window, as printed.
    pub mean: Option<String>,
    /// One value for each time.
    pub values: Vec<f64>,
}

/// The steadiest window of a running log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogWindow {
    /// Its start, in minutes.
    pub from: f64,
    /// Its end.
    pub to: f64,
    /// Whether it stands still.
    pub steady: bool,
}

impl LogWindow {
    /// "steady 21.0 to 36.0 min".
    pub fn words(&self) -> String {
        let what = if self.steady {
            "steady"
        } else {
            "steadiest, but moving:"
        };
        format!("{what} {:.1} to {:.1} min", self.from, self.to)
    }
}

impl RunningLogFigure {
    /// The figure's numbers in a sentence.
    pub fn summary(&self) -> String {
        let mut text = match &self.window {
            Some(window) => format!("Running log, {}.", window.words()),
            None => "Running log, too short for a steady window.".into(),
        };
        let means: Vec<String> = self
            .panels
            .iter()
            .flat_map(|panel| panel.lines.iter().map(move |line| (line, panel.unit)))
            .filter_map(|(line, unit)| {
                Some(format!("{} {} {unit}", line.label, line.mean.as_ref()?))
            })
            .collect();
        if !means.is_empty() {
            text += &format!(" Means over the window: {}.", means.join(", "));
        }
        if let Some(hunting) = &self.hunting {
            text += &format!(" {}.", super::sentence(hunting).trim_end_matches('.'));
        }
        text
    }
}

/// The mass inside: what each kind of evidence says, and all of it together.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargeInterval {
    /// One row for each evidence, all together at the end.
    pub rows: Vec<ChargeRow>,
    /// What belongs in.
    pub due: f64,
    /// The share of it by which a charge may be off and is left as it is.
    pub tolerance: f64,
    /// The unit of the masses: "lb".
    pub unit: &'static str,
    /// Whether some of the evidence does not fit the rest.
    pub conflict: bool,
}

/// What one kind of evidence says about the mass inside.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargeRow {
    /// What it is: "nameplate and weighed in".
    pub label: String,
    /// What it says, in words.
    pub said: String,
    /// The best estimate, where there is one.
    pub estimate: Option<f64>,
    /// The least.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// Whether it could be any less.
    pub open: bool,
    /// Whether a technician's mass replaces it.
    pub replaced: bool,
    /// Whether this is all evidence together.
    pub together: bool,
}

/// Lost mass against the time it hissed, or that the valves stood open.
///
/// All columns have one entry for each time.
#[derive(Debug, Clone, PartialEq)]
pub struct LostMass {
    /// Minutes, rising from zero.
    pub minutes: Vec<f64>,
    /// The least that could be gone.
    pub low: Vec<f64>,
    /// The most.
    pub high: Vec<f64>,
    /// All that was in, at most.
    pub there: f64,
    /// The time that was stated, if one was.
    pub stated: Option<StatedTime>,
    /// What the minutes count: "minutes it hissed".
    pub clock: &'static str,
    /// The unit of the masses: "lb".
    pub unit: &'static str,
}

/// A time that somebody stated.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedTime {
    /// The time.
    pub minutes: f64,
    /// It could be as short as this, as one standard deviation.
    pub from: f64,
    /// Or as long as this.
    pub to: f64,
    /// The least that could be gone then.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// In words: "4 min by feeling: 0 to 0.9 lb".
    pub words: String,
}

impl ChargeInterval {
    /// The figure's numbers in a sentence or two.
    pub fn summary(&self) -> String {
        let rows = self.rows.iter().map(|row| {
            let replaced = if row.replaced { " (replaced)" } else { "" };
            format!("{}{replaced}: {}", row.label, row.said)
        });
        let mut text = format!(
            "{:.2} {} belongs in. {}.",
            self.due,
            self.unit,
            capital(&rows.collect::<Vec<_>>().join("; "))
        );
        if self.conflict {
            text += " Some of it does not fit the rest.";
        }
        text
    }
}

impl LostMass {
    /// The figure's numbers in a sentence or two.
    pub fn summary(&self) -> String {
        let unit = self.unit;
        let last = |column: &[f64]| column.last().copied().unwrap_or_default();
        let mut text = match &self.stated {
            Some(stated) => format!("{} could be gone.", stated.words),
            None => "How long it hissed is not known.".to_string(),
        };
        text += &format!(
            " After {:.1} min it would be {:.2} to {:.2} {unit}; all that was in is {:.2} {unit}. Each height allows for what is not known of hole, contents and a guessed time.",
            last(&self.minutes),
            last(&self.low),
            last(&self.high),
            self.there
        );
        text
    }
}

impl Running {
    /// The figure's numbers in a sentence.
    pub fn summary(&self) -> String {
        let (t, p) = (self.temperature_unit, self.pressure_unit);
        let points = self.points.iter().map(|r| {
            let at = format!("{:.1} ± {:.1} {t}", r.temperature, r.half_temperature);
            let pressure = format!("{:.1} ± {:.1} {p}", r.pressure, r.half_pressure);
            match r.rests_on {
                RestsOn::Gauge => format!("{} {pressure} at {at}", r.label),
                RestsOn::Bend => format!("{} {at}, {pressure} by the coil bend", r.label),
                RestsOn::Probe => format!("{} {at}", r.label),
            }
        });
        let spans = self.spans.iter().map(|s| s.label.clone());
        let mut text = points.chain(spans).collect::<Vec<_>>().join("; ");
        text += ". Boxes are 95 %: the thermometer's across, the pressure's up.";
        text
    }
}

impl PressureEnthalpy {
    /// Whether bubble and dew of one temperature differ in pressure by more than a line's width.
    pub fn has_glide(&self) -> bool {
        let mut across = self.isotherms.iter().filter_map(|i| i.across);
        across.any(|[bubble, dew]| bubble.1 > 1.005 * dew.1)
    }

    /// What the figure shows, in a sentence or two.
    pub fn summary(&self) -> String {
        let (h, p) = (self.enthalpy_unit, self.pressure_unit);
        let frame = || {
            format!(
                "Pressure {:.0} to {:.0} {p} against enthalpy {:.0} to {:.0} {h}.",
                self.pressures.0, self.pressures.1, self.enthalpies.0, self.enthalpies.1
            )
        };
        let mut text = self.lead.clone().unwrap_or_else(frame);
        if self.has_glide() {
            text += " Across the dome each line of temperature is drawn straight between its computed ends at bubble and dew.";
        }
        for state in &self.states {
            text += &format!(
                " {}: {} {p}, {} {h}.",
                capital(&state.label),
                with_half(state.pressure, state.half_pressure),
                with_half(state.enthalpy, state.half_enthalpy)
            );
        }
        for note in &self.notes {
            text += " ";
            text += &capital(note);
        }
        text
    }
}

/// "10.0 ± 0.2", or the number alone.
fn with_half(value: f64, half: f64) -> String {
    if half > 0.0 {
        format!("{value:.1} ± {half:.1}")
    } else {
        format!("{value:.1}")
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// Smallest and largest finite value.
fn extremes(values: &[f64]) -> Option<(f64, f64)> {
    values
        .iter()
        .filter(|v| v.is_finite())
        .fold(None, |range, &v| match range {
            None => Some((v, v)),
            Some((low, high)) => Some((f64::min(low, v), f64::max(high, v))),
        })
}
