//! A running log: the window in which it stands still, as readings, and whether it hunts.

use std::ops::Range;

use super::{HighSide, Input, LowSide, reasons};
use crate::check::Reason;
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Barometer, Current, Dimension, Duration, Measured, PressureAbs, PressureDiff, Quantity,
    Temperature, TemperatureDiff, both, unit,
};
use crate::stats::robust::median;
use crate::stats::steady::{Limits, Search, Series, inside, steadiest, stretches, swing};

macro_rules! channels {
    ($($(#[$doc:meta])* $id:ident = $word:literal, $words:literal, $kind:ident;)*) => {
        /// What a column of a running log holds.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Channel { $($(#[$doc])* $id,)* }

        impl Channel {
            /// Every channel, in the order of a figure.
            pub const ALL: &'static [Channel] = &[$(Channel::$id,)*];

            /// The word, as typed.
            pub fn word(self) -> &'static str { match self { $(Channel::$id => $word,)* } }

            /// In words.
            pub fn words(self) -> &'static str { match self { $(Channel::$id => $words,)* } }

            /// What kind of reading it is.
            pub fn kind(self) -> Kind { match self { $(Channel::$id => Kind::$kind,)* } }
        }
    };
}

channels! {
    /// Suction line less dew.
    Superheat = "superheat", "superheat", Span;
    /// Bubble less liquid line.
    Subcooling = "subcooling", "subcooling", Span;
    /// Suction (vapour) line.
    SuctionLine = "suction-line", "suction line", Line;
    /// Liquid line.
    LiquidLine = "liquid-line", "liquid line", Line;
    /// A bend of the evaporator.
    EvaporatorBend = "evaporator-bend", "evaporator bend", Line;
    /// A bend of the condenser.
    CondenserBend = "condenser-bend", "condenser bend", Line;
    /// Discharge line.
    DischargeLine = "discharge-line", "discharge line", Discharge;
    /// Suction pressure.
    SuctionPressure = "suction-pressure", "suction pressure", Pressure;
    /// High-side pressure.
    LiquidPressure = "liquid-pressure", "liquid pressure", Pressure;
    /// Air entering the outdoor unit.
    Outdoor = "outdoor", "outdoor air", Air;
    /// Air entering the indoor coil.
    ReturnAir = "return-air", "return air", Air;
    /// Wet bulb of that air.
    ReturnWetBulb = "return-wet-bulb", "return wet bulb", Air;
    /// Air leaving the indoor coil.
    SupplyAir = "supply-air", "supply air", Air;
    /// Wet bulb of that air.
    SupplyWetBulb = "supply-wet-bulb", "supply wet bulb", Air;
    /// Air leaving the outdoor unit.
    LeavingAir = "leaving-air", "leaving air", Air;
    /// Current of the outdoor unit.
    Current = "current", "current", Current;
}

/// What kind of reading a channel is: which limits it has, and how it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Superheat or subcooling.
    Span,
    /// A temperature of the circuit.
    Line,
    /// The discharge line.
    Discharge,
    /// A pressure.
    Pressure,
    /// A temperature of air.
    Air,
    /// A current.
    Current,
}

impl Kind {
    /// The dimension of a difference of such readings.
    pub fn difference(self) -> Dimension {
        match self {
            Kind::Span | Kind::Line | Kind::Discharge | Kind::Air => TemperatureDiff::DIMENSION,
            Kind::Pressure => PressureDiff::DIMENSION,
            Kind::Current => Current::DIMENSION,
        }
    }

    /// A difference in both unit systems.
    pub fn show_difference(self, si: f64) -> String {
        match self {
            Kind::Span | Kind::Line | Kind::Discharge | Kind::Air => {
                both(TemperatureDiff::from_si(si))
            }
            Kind::Pressure => both(PressureDiff::from_si(si)),
            Kind::Current => both(Current::from_si(si)),
        }
    }
}

/// One column of a running log.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// What it holds.
    pub channel: Channel,
    /// A value for each row, in SI: K (temperatures and spans), Pa absolute, A.
    pub values: Vec<f64>,
}

/// A running log.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// Seconds since the first row, rising.
    pub seconds: Vec<f64>,
    /// The columns, one for each channel at most.
    pub columns: Vec<Column>,
    /// The atmosphere that gauge readings were made absolute with.
    pub barometer: Barometer,
}

impl Log {
    /// A column's values.
    pub fn values(&self, channel: Channel) -> Option<&[f64]> {
        let column = self.columns.iter().find(|c| c.channel == channel)?;
        Some(&column.values)
    }

    /// With superheat and subcooling of each row beside what was logged, where every row gives one.
    ///
    /// As [`super::superheat`] and [`super::subcooling`]: from the pressure where it was logged, else from the bend with half the
    /// glide. A high-side pressure counts as read at the liquid line.
    pub fn with_spans(mut self, refrigerant: Refrigerant) -> Self {
        let table = Saturation::of(refrigerant);
        let dew = self.saturation(
            Channel::SuctionPressure,
            Channel::EvaporatorBend,
            |at| match at {
                At::Pressure(p) => Some(table.dew_temperature(p).ok()?.si()),
                At::Bend(t) => Some(t.si() + glide(table, t)? / 2.0),
            },
        );
        let bubble = self.saturation(
            Channel::LiquidPressure,
            Channel::CondenserBend,
            |at| match at {
                At::Pressure(p) => Some(table.bubble_temperature(p).ok()?.si()),
                At::Bend(t) => Some(t.si() - glide(table, t)? / 2.0),
            },
        );
        let spans = [
            (Channel::Superheat, dew, Channel::SuctionLine, 1.0),
            (Channel::Subcooling, bubble, Channel::LiquidLine, -1.0),
        ];
        let mut columns = Vec::new();
        for (channel, saturation, line, sign) in spans {
            if let (Some(saturation), Some(line)) = (saturation, self.values(line)) {
                let rows = line.iter().zip(saturation);
                let values = rows.map(|(line, sat)| sign * (line - sat)).collect();
                columns.push(Column { channel, values });
            }
        }
        columns.append(&mut self.columns);
        self.columns = columns;
        self
    }

    fn saturation(
        &self,
        pressure: Channel,
        bend: Channel,
        of: impl Fn(At) -> Option<f64>,
    ) -> Option<Vec<f64>> {
        let rows = |values: &[f64], at: fn(f64) -> At| values.iter().map(|v| of(at(*v))).collect();
        match (self.values(pressure), self.values(bend)) {
            (Some(values), _) => rows(values, |v| At::Pressure(PressureAbs::from_si(v))),
            (None, Some(values)) => rows(values, |v| At::Bend(Temperature::from_si(v))),
            (None, None) => None,
        }
    }
}

/// Where saturation is taken from.
enum At {
    Pressure(PressureAbs),
    Bend(Temperature),
}

fn glide(table: &Saturation, bend: Temperature) -> Option<f64> {
    let pressure = table.dew_pressure(bend).ok()?;
    Some(table.glide(pressure).ok()?.si())
}

/// What counts as standing still; all of it this program's own choice.
///
/// [`crate::source::SourceId::SteadyWindow`] says so. A limit holds both for what a channel moves over [`Criteria::over`]
/// (or over the window, where that is longer) and for its standard deviation about that line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// The shortest window.
    pub shortest: Duration,
    /// The time that the limits of change belong to.
    pub over: Duration,
    /// Change of superheat, subcooling and temperatures of the circuit, and their scatter.
    pub line: TemperatureDiff,
    /// Change of air and discharge line.
    pub slow: TemperatureDiff,
    /// Change of a pressure and its scatter, as a share of the absolute pressure.
    pub pressure: f64,
    /// Change of the current and its scatter, as a share of it.
    pub current: f64,
}

impl Default for Criteria {
    fn default() -> Self {
        let degf = |v: f64| TemperatureDiff::of(v, unit::FAHRENHEIT_DIFF);
        Criteria {
            shortest: Duration::of(5.0, unit::MINUTE),
            over: Duration::of(10.0, unit::MINUTE),
            line: degf(1.0),
            slow: degf(2.0),
            // 1 °F of saturation is 1.5 to 2 % of the pressure
            pressure: 0.02,
            current: 0.03,
        }
    }
}

/// The smallest current whose share makes a limit: a fan alone.
const LEAST_CURRENT: f64 = 1.0;

impl Criteria {
    fn limits(&self, column: &Column) -> Limits {
        let middle = median(&column.values).unwrap_or(0.0).abs();
        let (change, scatter) = match column.channel.kind() {
            Kind::Span | Kind::Line => (self.line.si(), self.line.si()),
            Kind::Air => (self.slow.si(), self.line.si()),
            Kind::Discharge => (self.slow.si(), self.slow.si()),
            Kind::Pressure => (self.pressure * middle, self.pressure * middle),
            Kind::Current => {
                let share = self.current * middle.max(LEAST_CURRENT);
                (share, share)
            }
        };
        Limits { change, scatter }
    }
}

/// What a running log shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Steady {
    /// The log, superheat and subcooling with it.
    pub log: Log,
    /// The steadiest window; `None`: no stretch is long enough.
    pub window: Option<Window>,
    /// Whether it hunts.
    pub hunting: Option<Hunting>,
    /// Gaps, in seconds since the first row.
    pub gaps: Vec<Range<f64>>,
    /// What it was held against.
    pub criteria: Criteria,
    /// Channels that were typed beside the log, and count instead.
    pub by_hand: Vec<Channel>,
}

/// The steadiest window.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Its first row, since the first of the log.
    pub from: Duration,
    /// Its last row.
    pub to: Duration,
    /// How many rows.
    pub rows: usize,
    /// Each channel, in the log's order.
    pub channels: Vec<Still>,
}

/// A channel inside the window, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Still {
    /// Which.
    pub channel: Channel,
    /// Mean.
    pub mean: f64,
    /// Standard error of the mean.
    pub mean_error: f64,
    /// What it moves over [`Criteria::over`].
    pub change: f64,
    /// The standard error of that.
    pub change_error: f64,
    /// Standard deviation about its line.
    pub scatter: f64,
    /// What it may have moved over that time or the window, its error added.
    pub may_move: f64,
    /// How far it may.
    pub change_limit: f64,
    /// That over its limit.
    pub change_ratio: f64,
    /// How far it may scatter.
    pub scatter_limit: f64,
    /// Its scatter over its limit.
    pub scatter_ratio: f64,
}

impl Still {
    /// The larger of both ratios.
    pub fn ratio(&self) -> f64 {
        self.change_ratio.max(self.scatter_ratio)
    }

    /// The mean with its standard error, in words of both unit systems.
    pub fn show_mean(&self, barometer: Barometer) -> String {
        match self.channel.kind() {
            Kind::Span => both(TemperatureDiff::from_si(self.mean)),
            Kind::Line | Kind::Discharge | Kind::Air => both(Temperature::from_si(self.mean)),
            Kind::Pressure => both(PressureAbs::from_si(self.mean).to_gauge(barometer)),
            Kind::Current => both(Current::from_si(self.mean)),
        }
    }
}

impl Window {
    /// Whether every channel stands still.
    pub fn is_steady(&self) -> bool {
        self.channels.iter().all(|c| c.ratio() <= 1.0)
    }

    /// The channel nearest to its limit, or farthest beyond.
    pub fn worst(&self) -> Option<&Still> {
        let by_ratio = |a: &&Still, b: &&Still| a.ratio().total_cmp(&b.ratio());
        self.channels.iter().max_by(by_ratio)
    }

    /// A channel.
    pub fn channel(&self, channel: Channel) -> Option<&Still> {
        self.channels.iter().find(|c| c.channel == channel)
    }
}

/// A swing with a period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hunting {
    /// The channel it was seen on.
    pub channel: Channel,
    /// From one crest to the next.
    pub period: Duration,
    /// Half of the way from low to high, in SI.
    pub half: f64,
}

impl Hunting {
    /// "superheat, period 3.2 min, ± 4.1 °F (2.3 K)".
    pub fn words(&self) -> String {
        format!(
            "{}, period {:.1} min, ± {}",
            self.channel.words(),
            self.period.in_unit(unit::MINUTE),
            self.channel.kind().show_difference(self.half)
        )
    }
}

/// Channels on which hunting is looked for, the best first.
const HUNTED: [Channel; 4] = [
    Channel::Superheat,
    Channel::SuctionLine,
    Channel::EvaporatorBend,
    Channel::SuctionPressure,
];
/// Hunting is looked for so far either side of the window.
const AROUND_SECONDS: f64 = 1200.0;

impl Steady {
    /// Whether the window stands still; `None` without one.
    pub fn is_steady(&self) -> Option<bool> {
        self.window.as_ref().map(Window::is_steady)
    }

    /// What a channel reads in the window, unless it was typed.
    pub fn reading(&self, channel: Channel) -> Option<&Still> {
        let still = self.window.as_ref()?.channel(channel)?;
        (!self.by_hand.contains(&channel)).then_some(still)
    }

    /// What is to be said of the log alone.
    pub fn said(&self) -> Vec<Reason> {
        let moving = self.window.as_ref().filter(|w| !w.is_steady());
        let moves = moving.map(|window| reasons::steady::moves(self, window));
        moves
            .into_iter()
            .chain(reasons::steady::beside(self))
            .collect()
    }

    /// Adds the window's own standard errors to the readings that were taken from it.
    pub fn widen(&self, input: &mut Input) {
        let Some(window) = &self.window else { return };
        for still in &window.channels {
            if !self.by_hand.contains(&still.channel) {
                widen(input, still);
            }
        }
    }
}

fn widen(input: &mut Input, still: &Still) {
    fn wider<Q: Quantity>(measured: Option<&mut Measured<Q>>, error: f64)
    where
        Q::Diff: Quantity,
    {
        if let Some(m) = measured {
            m.standard_uncertainty = Q::Diff::from_si(m.standard_uncertainty.si().hypot(error));
        }
    }
    let error = still.mean_error;
    let around = &mut input.conditions;
    match still.channel {
        Channel::Superheat | Channel::Subcooling => {}
        Channel::SuctionLine => wider(input.suction_line.as_mut(), error),
        Channel::LiquidLine => wider(input.liquid_line.as_mut(), error),
        Channel::DischargeLine => wider(input.discharge_line.as_mut(), error),
        Channel::EvaporatorBend => {
            if let Some(LowSide::CoilBend(bend)) = &mut input.low {
                wider(Some(bend), error);
            }
        }
        Channel::CondenserBend => {
            if let Some(HighSide::CoilBend(bend)) = &mut input.high {
                wider(Some(bend), error);
            }
        }
        Channel::SuctionPressure => {
            if let Some(LowSide::Gauge(gauge)) = &mut input.low {
                wider(Some(gauge), error);
            }
        }
        Channel::LiquidPressure => {
            if let Some(HighSide::Gauge { pressure, .. }) = &mut input.high {
                wider(Some(pressure), error);
            }
        }
        Channel::Outdoor => wider(around.outdoor.as_mut(), error),
        Channel::ReturnAir => wider(around.return_air.as_mut(), error),
        Channel::ReturnWetBulb => wider(around.return_wet_bulb.as_mut(), error),
        Channel::SupplyAir => wider(around.supply_air.as_mut(), error),
        Channel::SupplyWetBulb => wider(around.supply_wet_bulb.as_mut(), error),
        Channel::LeavingAir => wider(around.leaving_air.as_mut(), error),
        Channel::Current => wider(input.current.as_mut(), error),
    }
}

/// Finds the steadiest window of a log, and whether it hunts.
///
/// `log`: rows in time order, columns in SI. The window is that of [`steadiest`]; hunting that of [`swing`] on superheat, else the suction
/// line, an evaporator bend, the suction pressure, over the window and 20 min either side, named when half the swing is
/// above the channel's limit of scatter. With hunting the window is cut to whole periods, where it stays long enough.
/// Longer periods than a third of what was logged around the window are not seen.
pub fn find(log: Log, criteria: &Criteria) -> Steady {
    let search = Search {
        shortest: criteria.shortest.si(),
        over: criteria.over.si(),
    };
    let series: Vec<Series> = log
        .columns
        .iter()
        .map(|column| Series {
            values: &column.values,
            limits: criteria.limits(column),
        })
        .collect();
    let time = &log.seconds;
    let stretches = stretches(time, search.shortest);
    let found = steadiest(time, &series, search);
    let hunting = found.as_ref().and_then(|window| {
        let stretch = stretches.iter().find(|s| s.contains(&window.rows.start))?;
        hunt(&log, criteria, stretch, &window.rows)
    });
    let found = match (found, &hunting) {
        (Some(window), Some(hunting)) => {
            match whole_periods(time, &window.rows, hunting.period.si(), search.shortest) {
                Some(rows) => Some(inside(time, &series, search, rows)),
                None => Some(window),
            }
        }
        (found, _) => found,
    };
    let window = found.map(|window| Window {
        from: Duration::from_si(time[window.rows.start]),
        to: Duration::from_si(time[window.rows.end - 1]),
        rows: window.rows.len(),
        channels: log
            .columns
            .iter()
            .zip(window.fits.iter().zip(&series))
            .map(|(column, (fit, series))| Still {
                channel: column.channel,
                mean: fit.mean,
                mean_error: fit.mean_error,
                change: fit.slope * search.over,
                change_error: fit.slope_error * search.over,
                scatter: fit.scatter,
                may_move: fit.change_ratio * series.limits.change,
                change_limit: series.limits.change,
                scatter_limit: series.limits.scatter,
                change_ratio: fit.change_ratio,
                scatter_ratio: fit.scatter_ratio,
            })
            .collect(),
    });
    let gaps = stretches
        .windows(2)
        .map(|pair| time[pair[0].end - 1]..time[pair[1].start])
        .collect();
    Steady {
        window,
        hunting,
        gaps,
        criteria: *criteria,
        by_hand: Vec::new(),
        log,
    }
}

fn hunt(
    log: &Log,
    criteria: &Criteria,
    stretch: &Range<usize>,
    window: &Range<usize>,
) -> Option<Hunting> {
    let time = &log.seconds;
    let (from, to) = (
        time[window.start] - AROUND_SECONDS,
        time[window.end - 1] + AROUND_SECONDS,
    );
    let first = time.partition_point(|t| *t < from).max(stretch.start);
    let end = time.partition_point(|t| *t <= to).min(stretch.end);
    HUNTED.into_iter().find_map(|channel| {
        let column = log.columns.iter().find(|c| c.channel == channel)?;
        let found = swing(&time[first..end], &column.values[first..end])?;
        (found.half >= criteria.limits(column).scatter).then(|| Hunting {
            channel,
            period: Duration::from_si(found.period),
            half: found.half,
        })
    })
}

/// The end of the window cut off so that whole periods are left.
fn whole_periods(
    time: &[f64],
    rows: &Range<usize>,
    period: f64,
    shortest: f64,
) -> Option<Range<usize>> {
    let start = time[rows.start];
    let periods = ((time[rows.end - 1] - start) / period).floor();
    let length = periods * period;
    let end = rows.start + time[rows.clone()].partition_point(|t| *t < start + length);
    (length >= shortest && end - rows.start > 2).then_some(rows.start..end)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn log(columns: Vec<Column>) -> Log {
        let rows = columns[0].values.len();
        Log {
            seconds: (0..rows).map(|i| 5.0 * i as f64).collect(),
            columns,
            barometer: Barometer::standard(),
        }
    }

    fn column(channel: Channel, of: impl Fn(f64) -> f64) -> Column {
        Column {
            channel,
            values: (0..480).map(|i| of(i as f64 / 12.0)).collect(),
        }
    }

    #[test]
    fn superheat_of_a_row_is_that_of_one_reading() {
        let pressure = 9.0e5;
        let log = log(vec![
            column(Channel::SuctionPressure, |_| pressure),
            column(Channel::SuctionLine, |_| 285.0),
        ])
        .with_spans(Refrigerant::R410A);
        let dew = Saturation::of(Refrigerant::R410A)
            .dew_temperature(PressureAbs::from_si(pressure))
            .unwrap();
        let superheat = log.values(Channel::Superheat).unwrap();
        assert!((superheat[100] - (285.0 - dew.si())).abs() < 1e-9);
        assert!(log.values(Channel::Subcooling).is_none());
    }

    #[test]
    fn a_hunting_valve_is_named_and_read_over_whole_periods() {
        let swings = |t: f64| 280.0 + 0.6 * (std::f64::consts::TAU * t / 3.2).sin();
        let found = find(
            log(vec![column(Channel::SuctionLine, swings)]),
            &Criteria::default(),
        );
        let hunting = found.hunting.unwrap();
        assert!((hunting.period.in_unit(unit::MINUTE) - 3.2).abs() < 0.05);
        assert!((hunting.half - 0.6).abs() < 0.02);
        let window = found.window.unwrap();
        let periods = (window.to.si() - window.from.si()) / hunting.period.si();
        assert!((periods - periods.round()).abs() < 0.06, "{periods}");
        assert!((window.channels[0].mean - 280.0).abs() < 0.03);
    }

    #[test]
    fn the_window_widens_the_readings_it_gives() {
        let found = find(
            log(vec![column(Channel::Outdoor, |t| {
                300.0 + 0.3 * (9.0 * t * t).sin()
            })]),
            &Criteria::default(),
        );
        let still = found.reading(Channel::Outdoor).unwrap();
        assert!(still.mean_error > 0.0 && (still.mean - 300.0).abs() < 0.1);
    }
}
