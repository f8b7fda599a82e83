//! What readings of a running circuit cannot be, or hardly are.
//!
//! The limits are generous and this program's own choice ([`crate::source::SourceId::SlipLimits`]): beyond them a slip is
//! likelier than the reading.

use super::kind::Probe;
use crate::check::run::reading::{Reading, condensing, subcooling, superheat};
use crate::check::run::valid::{liquid_in_line, tap_known};
use crate::check::run::{Criteria, HighSide, Input, LowSide, Tap};
use crate::fluid::Saturation;
use crate::physics::cycle::Mode;
use crate::quantity::{Measured, Quantity, Temperature, TemperatureDiff, both, unit};
use crate::stats::within::{Within, judge_within};

/// What a contradiction does where no slip explains it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// Said by the finding itself already.
    SaidElsewhere,
    /// No reading stands beside it.
    Impossible,
    /// Hardly ever so: said beside the outcome.
    Unlikely,
}

/// One thing that does not go together.
#[derive(Debug, Clone)]
pub(super) struct Contradiction {
    /// In words, with its numbers.
    pub what: String,
    /// How far beyond its limit.
    pub by: TemperatureDiff,
    /// What it does.
    pub weight: Weight,
    /// What it points to.
    pub about: About,
}

/// What a contradiction points to, where that bears on the slips that may explain it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum About {
    /// Nothing in particular.
    Anything,
    /// The high-side gauge reads more than the condenser has.
    GaugeAboveBend,
    /// The evaporator is very cold, as a starved one is too: only a large slip may explain it.
    Starving,
}

/// Limits, degF.
const LINE_COLDER_THAN_AIR: f64 = 2.0;
const CONDENSING_OVER_AIR: f64 = 60.0;
const EVAPORATING_UNDER_AIR: f64 = 60.0;
const LINE_WARMER_THAN_AIRS: f64 = 15.0;
const DISCHARGE_UNDER_CONDENSING: f64 = 10.0;
const AIR_DROP: f64 = 40.0;
const COLDEST: f64 = -40.0;
const HOTTEST_AIR: f64 = 140.0;
const HOTTEST_LINE: f64 = 200.0;
const HOTTEST_DISCHARGE: f64 = 320.0;
/// A number beyond the table counts as so far off, degF.
const BEYOND_TABLE: f64 = 50.0;
/// Standard uncertainties between a bend and a gauge of the same side before they contradict each other.
const SIDES_APART: f64 = 2.5;

/// What a slip has to lead to, degF: superheat, subcooling, condensing over and evaporating under the air.
const USUAL_SUPERHEAT: (f64, f64) = (0.0, 40.0);
const USUAL_SUBCOOLING: (f64, f64) = (0.0, 30.0);
const USUAL_OVER: (f64, f64) = (5.0, 45.0);
const USUAL_UNDER: (f64, f64) = (10.0, 55.0);
/// The airs themselves, degF.
const USUAL_INDOOR: (f64, f64) = (50.0, 100.0);
const USUAL_OUTDOOR: (f64, f64) = (-20.0, 125.0);

fn degf(value: f64) -> TemperatureDiff {
    TemperatureDiff::of(value, unit::FAHRENHEIT_DIFF)
}

/// Everything that does not go together, in the order in which it is looked at.
pub(super) fn contradictions(input: &Input, criteria: &Criteria) -> Vec<Contradiction> {
    let mut found = Found::default();
    found.single_values(input);
    let circuit = match Circuit::of(input) {
        Ok(circuit) => circuit,
        Err(error) => {
            found.put(error.to_string(), degf(BEYOND_TABLE), Weight::SaidElsewhere);
            return found.0;
        }
    };
    found.saturation(input, &circuit);
    found.two_readings_of_a_side(input);
    let started = input
        .conditions
        .running_for
        .is_none_or(|time| time >= criteria.run_least);
    if started && let Some(mode) = input.machine.mode {
        found.against_the_air(input, criteria, &circuit, mode);
    }
    found.0
}

/// Whether every number lies where a running machine usually is.
pub(super) fn usual(input: &Input) -> bool {
    let Ok(circuit) = Circuit::of(input) else {
        return false;
    };
    let inside = |value: Option<TemperatureDiff>, (low, high): (f64, f64)| {
        value.is_none_or(|v| (degf(low)..=degf(high)).contains(&v))
    };
    let (source, sink) = airs(input);
    let over = circuit
        .condensing
        .zip(sink)
        .map(|(condensing, air)| condensing - air.value);
    let under = circuit
        .evaporating()
        .zip(source)
        .map(|(evaporating, air)| air.value - evaporating);
    let air = |read: &Option<Measured<Temperature>>, (low, high): (f64, f64)| {
        let of = |value| Temperature::of(value, unit::FAHRENHEIT);
        read.as_ref()
            .is_none_or(|read| (of(low)..=of(high)).contains(&read.value))
    };
    air(&input.conditions.return_air, USUAL_INDOOR)
        && air(&input.conditions.outdoor, USUAL_OUTDOOR)
        && inside(circuit.superheat.as_ref().map(|r| r.value), USUAL_SUPERHEAT)
        && inside(
            circuit.subcooling.as_ref().map(|r| r.value),
            USUAL_SUBCOOLING,
        )
        && inside(over, USUAL_OVER)
        && inside(under, USUAL_UNDER)
}

/// Air that the evaporator sees, and air that the condenser sees.
fn airs(
    input: &Input,
) -> (
    Option<&Measured<Temperature>>,
    Option<&Measured<Temperature>>,
) {
    let (outdoor, indoor) = (
        input.conditions.outdoor.as_ref(),
        input.conditions.return_air.as_ref(),
    );
    match input.machine.mode {
        Some(Mode::Cooling) => (indoor, outdoor),
        Some(Mode::Heating) => (outdoor, indoor),
        None => (None, None),
    }
}

/// What the readings say about the circuit.
struct Circuit {
    /// Against the suction line, or against dew itself where that was not read.
    low: Option<Reading>,
    superheat: Option<Reading>,
    subcooling: Option<Reading>,
    condensing: Option<Temperature>,
}

impl Circuit {
    fn of(input: &Input) -> Result<Circuit, crate::check::run::RunError> {
        let (refrigerant, around) = (input.refrigerant, &input.surroundings);
        let low = match (&input.low, &input.suction_line) {
            (Some(low), Some(line)) => Some(superheat(refrigerant, low, line, around)?),
            (Some(low), None) => Some(superheat(refrigerant, low, &freezing(), around)?),
            (None, _) => None,
        };
        let high = input.high.as_ref();
        let usable = tap_known(input) && liquid_in_line(input);
        let subcooling = match (high, &input.liquid_line) {
            (Some(high), Some(line)) if usable => {
                Some(subcooling(refrigerant, high, line, around)?)
            }
            _ => None,
        };
        Ok(Circuit {
            superheat: input.suction_line.is_some().then(|| low.clone()).flatten(),
            low,
            subcooling,
            condensing: high
                .map(|high| condensing(refrigerant, high, around))
                .transpose()?,
        })
    }

    fn evaporating(&self) -> Option<Temperature> {
        self.low.as_ref().map(|low| low.saturation)
    }
}

/// Stands in for a line that was not read, where only saturation is asked for.
fn freezing() -> Measured<Temperature> {
    Measured {
        value: Temperature::of(0.0, unit::CELSIUS),
        standard_uncertainty: TemperatureDiff::from_si(0.0),
        origin: crate::quantity::Origin::Assumed("only saturation is asked for".into()),
    }
}

#[derive(Default)]
struct Found(Vec<Contradiction>);

impl Found {
    fn put(&mut self, what: String, by: TemperatureDiff, weight: Weight) {
        self.0.push(Contradiction {
            what,
            by,
            weight,
            about: About::Anything,
        });
    }

    /// Says it when `by` is above zero.
    fn when(&mut self, by: TemperatureDiff, weight: Weight, what: impl FnOnce() -> String) {
        if by > degf(0.0) {
            self.put(what(), by, weight);
        }
    }

    fn single_values(&mut self, input: &Input) {
        for probe in Probe::ALL {
            let Some(read) = probe.of(input) else {
                continue;
            };
            let highest = match probe {
                Probe::Outdoor | Probe::Return | Probe::Supply => HOTTEST_AIR,
                Probe::DischargeLine => HOTTEST_DISCHARGE,
                _ => HOTTEST_LINE,
            };
            let (low, high) = (
                Temperature::of(COLDEST, unit::FAHRENHEIT),
                Temperature::of(highest, unit::FAHRENHEIT),
            );
            let by =
                TemperatureDiff::from_si((low - read.value).si().max((read.value - high).si()));
            self.when(by, Weight::Impossible, || {
                format!(
                    "{} {}: such a reading lies between {} and {}; check the number and its unit",
                    probe.words(),
                    both(read.value),
                    both(low),
                    both(high)
                )
            });
        }
    }

    fn saturation(&mut self, input: &Input, circuit: &Circuit) {
        let heating = input.machine.mode == Some(Mode::Heating);
        if let Some(reading) = &circuit.superheat
            && surely_negative(reading)
            && !heating
        {
            let by = TemperatureDiff::from_si(-reading.value.si());
            self.put(
                format!("superheat is {}", both(reading.value)),
                by,
                Weight::SaidElsewhere,
            );
        }
        if let Some(reading) = &circuit.subcooling
            && surely_negative(reading)
        {
            let by = TemperatureDiff::from_si(-reading.value.si());
            self.put(
                format!("subcooling is {}", both(reading.value)),
                by,
                Weight::SaidElsewhere,
            );
        }
        if let (Some(evaporating), Some(condensing)) = (circuit.evaporating(), circuit.condensing)
            && evaporating >= condensing
        {
            let weight = match (&circuit.superheat, heating) {
                (Some(_), false) => Weight::SaidElsewhere,
                _ => Weight::Impossible,
            };
            self.put(
                format!(
                    "evaporating at {} is not below condensing at {}",
                    both(evaporating),
                    both(condensing)
                ),
                evaporating - condensing,
                weight,
            );
        }
        if let (Some(discharge), Some(condensing)) = (&input.discharge_line, circuit.condensing) {
            let by = beyond(condensing, discharge, DISCHARGE_UNDER_CONDENSING);
            self.when(by, Weight::Unlikely, || {
                format!(
                    "the discharge line at {} is colder than condensing at {}",
                    both(discharge.value),
                    both(condensing)
                )
            });
        }
    }

    fn two_readings_of_a_side(&mut self, input: &Input) {
        for side in [low_side(input), high_side(input)].into_iter().flatten() {
            if side.agree() {
                continue;
            }
            let apart = side.gauge - side.bend;
            self.0.push(Contradiction {
                what: format!(
                    "the gauge says {} in the {}, the probe on its bend {}",
                    both(side.gauge),
                    side.name,
                    both(side.bend)
                ),
                by: TemperatureDiff::from_si(apart.si().abs()),
                weight: Weight::Impossible,
                about: if side.name == "condenser" && apart.si() > 0.0 {
                    About::GaugeAboveBend
                } else {
                    About::Anything
                },
            });
        }
    }

    fn against_the_air(
        &mut self,
        input: &Input,
        criteria: &Criteria,
        circuit: &Circuit,
        mode: Mode,
    ) {
        let (source, sink) = airs(input);
        if let (Some(condensing), Some(air)) = (circuit.condensing, sink) {
            let over = condensing - air.value;
            let weight = match mode {
                Mode::Cooling => Weight::SaidElsewhere,
                Mode::Heating => Weight::Unlikely,
            };
            self.when(criteria.heat_rejected_above - over, weight, || {
                format!(
                    "condensing at {} is hardly warmer than the air at {}",
                    both(condensing),
                    both(air.value)
                )
            });
            self.when(over - degf(CONDENSING_OVER_AIR), Weight::Unlikely, || {
                format!(
                    "condensing at {} is {} above the air",
                    both(condensing),
                    both(over)
                )
            });
        }
        if let (Some(evaporating), Some(air)) = (circuit.evaporating(), source) {
            let under = air.value - evaporating;
            let by = TemperatureDiff::from_si(-under.si() - 2.0 * air.standard_uncertainty.si());
            self.when(by, Weight::Impossible, || {
                format!(
                    "evaporating at {} is not below the air at {}",
                    both(evaporating),
                    both(air.value)
                )
            });
            let by = under - degf(EVAPORATING_UNDER_AIR);
            if by > degf(0.0) {
                let (at, under) = (both(evaporating), both(under));
                self.0.push(Contradiction {
                    what: format!("evaporating at {at} is {under} below the air"),
                    by,
                    weight: Weight::Unlikely,
                    about: About::Starving,
                });
            }
        }
        self.lines_against_air(input, mode);
        self.indoor_air(input, mode);
    }

    fn lines_against_air(&mut self, input: &Input, mode: Mode) {
        let (outdoor, indoor) = (&input.conditions.outdoor, &input.conditions.return_air);
        if let (Some(line), Some(air), Mode::Cooling) = (&input.liquid_line, outdoor, mode)
            && liquid_in_line(input)
        {
            let u = air.standard_uncertainty.si();
            let by =
                TemperatureDiff::from_si(beyond(air.value, line, LINE_COLDER_THAN_AIR).si() - u);
            self.when(by, Weight::Unlikely, || {
                format!(
                    "the liquid line at {} is colder than the outdoor air at {}",
                    both(line.value),
                    both(air.value)
                )
            });
        }
        if let (Some(line), Some(out), Some(inside), Mode::Cooling) =
            (&input.suction_line, outdoor, indoor, mode)
        {
            let warmer = out.value.si().max(inside.value.si());
            let by = line.value - Temperature::from_si(warmer);
            self.when(by - degf(LINE_WARMER_THAN_AIRS), Weight::Unlikely, || {
                format!(
                    "the suction line at {} is {} warmer than both airs",
                    both(line.value),
                    both(by)
                )
            });
        }
    }

    fn indoor_air(&mut self, input: &Input, mode: Mode) {
        let (Some(before), Some(after)) =
            (&input.conditions.return_air, &input.conditions.supply_air)
        else {
            return;
        };
        let u = before
            .standard_uncertainty
            .si()
            .hypot(after.standard_uncertainty.si());
        let gained = match mode {
            Mode::Cooling => after.value - before.value,
            Mode::Heating => before.value - after.value,
        };
        let by = TemperatureDiff::from_si(gained.si() - 2.0 * u);
        self.when(by, Weight::Unlikely, || {
            let word = match mode {
                Mode::Cooling => "warmer than the return air while it cools",
                Mode::Heating => "colder than the return air while it heats",
            };
            format!("the supply air at {} is {word}", both(after.value))
        });
        if mode == Mode::Cooling {
            let drop = before.value - after.value;
            self.when(drop - degf(AIR_DROP), Weight::Unlikely, || {
                format!("the supply air is {} below the return air", both(drop))
            });
        }
    }
}

/// How much colder a probe is than something, beyond a slack in degF and two standard uncertainties.
fn beyond(than: Temperature, probe: &Measured<Temperature>, slack: f64) -> TemperatureDiff {
    let apart = (than - probe.value).si();
    TemperatureDiff::from_si(apart - degf(slack).si() - 2.0 * probe.standard_uncertainty.si())
}

fn surely_negative(reading: &Reading) -> bool {
    let (value, u) = (reading.value.si(), reading.standard_uncertainty.si());
    judge_within(value, u, f64::NEG_INFINITY, 0.0) == Within::Inside
}

/// A gauge and a bend that were read on the same side.
struct Side {
    name: &'static str,
    /// Middle of the glide at the gauge's pressure.
    gauge: Temperature,
    bend: Temperature,
    /// Standard uncertainty of their difference, K.
    uncertainty: f64,
}

impl Side {
    fn agree(&self) -> bool {
        (self.gauge - self.bend).si().abs() <= SIDES_APART * self.uncertainty
    }
}

/// Whether every side that was read twice agrees; `None` where no side was.
pub(super) fn sides_agree(input: &Input) -> Option<bool> {
    let twice = input.evaporator_bend.is_some() || input.condenser_bend.is_some();
    let in_table = Circuit::of(input).is_ok();
    let sides: Vec<Side> = [low_side(input), high_side(input)]
        .into_iter()
        .flatten()
        .collect();
    match (sides.is_empty(), in_table) {
        (false, _) => Some(sides.iter().all(Side::agree)),
        (true, false) if twice => Some(false),
        (true, _) => None,
    }
}

fn low_side(input: &Input) -> Option<Side> {
    let (Some(low @ LowSide::Gauge(_)), Some(bend)) = (&input.low, &input.evaporator_bend) else {
        return None;
    };
    let (refrigerant, around) = (input.refrigerant, &input.surroundings);
    let by_gauge = superheat(refrigerant, low, &freezing(), around).ok()?;
    let by_bend = superheat(
        refrigerant,
        &LowSide::CoilBend(bend.clone()),
        &freezing(),
        around,
    );
    side("evaporator", input, &by_gauge, &by_bend.ok()?, bend)
}

fn high_side(input: &Input) -> Option<Side> {
    let (Some(high), Some(bend)) = (&input.high, &input.condenser_bend) else {
        return None;
    };
    let HighSide::Gauge {
        tap: Tap::LiquidLine,
        ..
    } = high
    else {
        return None;
    };
    let (refrigerant, around) = (input.refrigerant, &input.surroundings);
    let by_gauge = subcooling(refrigerant, high, &freezing(), around).ok()?;
    let by_bend = subcooling(
        refrigerant,
        &HighSide::CoilBend(bend.clone()),
        &freezing(),
        around,
    );
    side("condenser", input, &by_gauge, &by_bend.ok()?, bend)
}

fn side(
    name: &'static str,
    input: &Input,
    by_gauge: &Reading,
    by_bend: &Reading,
    bend: &Measured<Temperature>,
) -> Option<Side> {
    let table = Saturation::of(input.refrigerant);
    let glide = table.glide(by_gauge.pressure?).ok()?;
    let to_middle = match name {
        "evaporator" => -glide.si() / 2.0,
        _ => glide.si() / 2.0,
    };
    Some(Side {
        name,
        gauge: by_gauge.saturation + TemperatureDiff::from_si(to_middle),
        bend: bend.value,
        uncertainty: by_gauge
            .standard_uncertainty
            .si()
            .hypot(by_bend.standard_uncertainty.si()),
    })
}
