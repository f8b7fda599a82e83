//! The running readings on the saturation curve.

use super::assemble::gauge;
use super::figure::{RestsOn, Running, RunningPoint, Saturation as CurveRow, Span};
use crate::check::run::{Detail, Reading};
use crate::fluid::refrigerant::Side;
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Barometer, Interval, PressureAbs, Quantity, Temperature, TemperatureDiff, UnitSystem,
};

/// Half-width of the error boxes: 95 %.
const TWO_SIDED: f64 = 1.96;

impl Running {
    /// What was read, each with the uncertainty of its own instruments; `None` without superheat and subcooling.
    pub fn of(
        refrigerant: Refrigerant,
        detail: &Detail,
        barometer: Barometer,
        units: UnitSystem,
    ) -> Option<Running> {
        let scale = Scale { barometer, units };
        let table = Saturation::of(refrigerant);
        let lines = [
            Line {
                name: "superheat",
                label: "suction line",
                bend: "evaporator bend, by probe",
                side: Side::Dew,
                reading: detail.superheat.as_ref(),
            },
            Line {
                name: "subcooling",
                label: "liquid line",
                bend: "condenser bend, by probe",
                side: Side::Bubble,
                reading: detail.subcooling.as_ref(),
            },
        ];
        let drawn: Vec<_> = lines
            .iter()
            .filter_map(|line| line.drawn(table, scale))
            .collect();
        let points: Vec<_> = drawn.iter().flat_map(|d| d.0.clone()).collect();
        if points.is_empty() {
            return None;
        }
        let spans: Vec<_> = drawn.into_iter().map(|d| d.1).collect();
        Some(Running {
            refrigerant: refrigerant.name().to_string(),
            curve: curve(table, &points, &spans, scale),
            points,
            spans,
            temperature_unit: Temperature::from_si(300.0).show(units).unit,
            pressure_unit: gauge(PressureAbs::from_si(1e6), barometer, units).1,
        })
    }
}

/// The reader's scale.
#[derive(Clone, Copy)]
struct Scale {
    barometer: Barometer,
    units: UnitSystem,
}

impl Scale {
    fn degrees(self, t: Temperature) -> f64 {
        t.show(self.units).value
    }

    fn gauge(self, p: PressureAbs) -> f64 {
        gauge(p, self.barometer, self.units).0
    }

    /// Half the 95 % interval of a temperature with this standard uncertainty in K.
    fn half_degrees(self, u: f64) -> f64 {
        let half = TemperatureDiff::from_si(TWO_SIDED * u);
        half.show(self.units).value
    }
}

/// One of the two lines, with saturation beside it.
struct Line<'a> {
    name: &'static str,
    label: &'static str,
    bend: &'static str,
    side: Side,
    reading: Option<&'a Reading>,
}

impl Line<'_> {
    /// The line's point, the bend's if a probe sat there, and the span between saturation and the line.
    fn drawn(&self, table: &Saturation, scale: Scale) -> Option<(Vec<RunningPoint>, Span)> {
        let reading = self.reading?;
        let by_bend = reading.pressure.is_none();
        let at = match reading.pressure {
            Some(pressure) => pressure,
            None => table.pressure(self.side, reading.saturation).ok()?,
        };
        let away = match self.side {
            Side::Dew => reading.value,
            Side::Bubble => TemperatureDiff::from_si(-reading.value.si()),
        };
        let line = reading.saturation + away;
        let pascal = pressure_uncertainty(reading, table, self.side, at)?;
        let pressure = scale.gauge(at);
        let above = PressureAbs::from_si(at.si() + TWO_SIDED * pascal);
        let mut points = vec![RunningPoint {
            label: self.label.into(),
            temperature: scale.degrees(line),
            half_temperature: scale.half_degrees(part(reading, LINE)),
            pressure,
            half_pressure: scale.gauge(above) - pressure,
            rests_on: if by_bend {
                RestsOn::Bend
            } else {
                RestsOn::Gauge
            },
        }];
        if by_bend {
            // saturation is half the glide away from the bend
            let glide = table.glide(at).ok()?.si();
            let half_glide = match self.side {
                Side::Dew => -0.5 * glide,
                Side::Bubble => 0.5 * glide,
            };
            let bend = reading.saturation + TemperatureDiff::from_si(half_glide);
            points.push(RunningPoint {
                label: self.bend.into(),
                temperature: scale.degrees(bend),
                half_temperature: scale.half_degrees(part(reading, |name| name == BEND)),
                pressure,
                half_pressure: 0.0,
                rests_on: RestsOn::Probe,
            });
        }
        let interval = Interval::normal(reading.value, reading.standard_uncertainty);
        let span = Span {
            label: format!("{} {}", self.name, interval.show(scale.units)),
            pressure,
            from: scale.degrees(reading.saturation),
            to: scale.degrees(line),
        };
        Some((points, span))
    }
}

const LINE: fn(&str) -> bool = |name| name.ends_with("line temperature");
const BEND: &str = "coil bend temperature";

/// What some of the inputs add to a reading, K.
fn part(reading: &Reading, which: impl Fn(&str) -> bool) -> f64 {
    let squares = reading
        .parts
        .iter()
        .filter(|(name, _)| which(name))
        .map(|(_, part)| part.si().powi(2));
    squares.sum::<f64>().sqrt()
}

/// Standard uncertainty of the pressure in Pa.
///
/// On a gauge the barometer and the table have no part in where the needle stands. Behind a bend the pressure is the
/// table's, so its uncertainty counts.
fn pressure_uncertainty(
    reading: &Reading,
    table: &Saturation,
    side: Side,
    at: PressureAbs,
) -> Option<f64> {
    let kelvin_per_pascal = table.slope(side, at).ok()?;
    let on_gauge = |name: &str| !LINE(name) && name != "barometer" && name != "refrigerant table";
    let read = part(reading, on_gauge) / kelvin_per_pascal;
    let of_table = match reading.pressure {
        Some(_) => 0.0,
        None => at.si() * table.model_uncertainty().si() / 3f64.sqrt(),
    };
    Some(read.hypot(of_table))
}

/// The curve around the points, a row for each kelvin.
fn curve(
    table: &Saturation,
    points: &[RunningPoint],
    spans: &[Span],
    scale: Scale,
) -> Vec<CurveRow> {
    let (low, high) = table.temperature_range();
    let temperatures = || {
        let ends = spans.iter().flat_map(|s| [s.from, s.to]);
        points.iter().map(|p| p.temperature).chain(ends)
    };
    let lowest = temperatures().fold(f64::MAX, f64::min);
    let highest = temperatures().fold(f64::MIN, f64::max);
    let margin = 0.35 * (highest - lowest).max(20.0);
    let steps = (high - low).si() as usize;
    (0..=steps)
        .map(|i| Temperature::from_si(low.si() + i as f64))
        .filter(|t| (lowest - margin..=highest + margin).contains(&scale.degrees(*t)))
        .filter_map(|t| {
            Some(CurveRow {
                temperature: scale.degrees(t),
                bubble: scale.gauge(table.bubble_pressure(t).ok()?),
                dew: scale.gauge(table.dew_pressure(t).ok()?),
            })
        })
        .collect()
}
