//! Airflow first: the temperature split against its target, measured airflow against the rated capacity, and what the air
//! carries.

use super::reasons::air as said;
use super::target::{self, Axis, Looked, Target, TargetError, part};
use super::{Compressor, Criteria, Input, Yes};
use crate::check::{NamedInterval, Reason};
use crate::fluid::air::MoistAir;
use crate::physics::airside::{AirResult, AirsideError, WetAndDry, capacity};
use crate::physics::cycle::Mode;
use crate::quantity::{
    Interval, Measured, Power, Quantity, Temperature, TemperatureDiff, VolumeFlow, propagate, unit,
};
use crate::source::SourceId;
use crate::stats::within::{Within, judge_within};

/// What the indoor air shows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Air {
    /// Return less supply air, in cooling.
    pub split: Option<Split>,
    /// Air moved, as measured.
    pub airflow: Option<Airflow>,
    /// Heat that the air gives to the coil in cooling, and takes from it in heating.
    pub capacity: Option<AirResult<Power>>,
}

/// The temperature split.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// Return less supply air.
    pub value: TemperatureDiff,
    /// Its standard uncertainty.
    pub standard_uncertainty: TemperatureDiff,
    /// Against its target, where it can be judged.
    pub against: Option<Against>,
}

/// A split held against its target.
#[derive(Debug, Clone, PartialEq)]
pub struct Against {
    /// The target.
    pub target: Target,
    /// Split less target: the return thermometer moves both.
    pub above: TemperatureDiff,
    /// Standard uncertainty of that.
    pub standard_uncertainty: TemperatureDiff,
    /// The input that matters most to it, with its share of the variance.
    pub dominant: Option<(&'static str, f64)>,
    /// How it came out.
    pub within: Within,
}

/// Measured airflow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Airflow {
    /// The value.
    pub value: VolumeFlow,
    /// Its standard uncertainty.
    pub standard_uncertainty: VolumeFlow,
    /// The least for the rated capacity, where that is known.
    pub least: Option<VolumeFlow>,
    /// Against the least.
    pub within: Option<Within>,
}

/// What the air makes of the other readings.
#[derive(Debug, Default)]
pub(super) struct FirstLook {
    pub air: Air,
    /// *not valid now*: airflow first.
    pub gates: Vec<Reason>,
    /// Worth saying beside the outcome.
    pub aside: Vec<Reason>,
}

pub(super) fn look(input: &Input, criteria: &Criteria) -> FirstLook {
    let mut out = FirstLook::default();
    if let Err(error) = possible(input) {
        out.gates.push(said::impossible(&error));
        return out;
    }
    let enough = airflow(input, criteria, &mut out);
    if input.machine.mode == Some(Mode::Cooling) {
        split(input, criteria, enough, &mut out);
    }
    carried(input, &mut out);
    out
}

/// Whether the wet bulbs can stand beside their dry bulbs.
fn possible(input: &Input) -> Result<(), AirsideError> {
    let around = &input.conditions;
    let pairs = [
        (&around.return_air, &around.return_wet_bulb),
        (&around.supply_air, &around.supply_wet_bulb),
    ];
    for pair in pairs {
        if let (Some(dry), Some(wet)) = pair {
            let slack = dry
                .standard_uncertainty
                .si()
                .hypot(wet.standard_uncertainty.si());
            let above = (wet.value - dry.value).si();
            // in air near saturation the errors of two thermometers may put the wick above
            let dry = if (0.0..=slack).contains(&above) {
                wet.value
            } else {
                dry.value
            };
            MoistAir::of_wet_bulb(dry, wet.value, input.surroundings.barometer)?;
        }
    }
    Ok(())
}

/// Measured airflow against the rated capacity; whether it is shown to be enough.
fn airflow(input: &Input, criteria: &Criteria, out: &mut FirstLook) -> bool {
    let Some(measured) = &input.conditions.airflow else {
        return false;
    };
    let least = input.rated.capacity.map(|capacity| {
        let tons = capacity.in_unit(unit::TON);
        VolumeFlow::from_si(tons * criteria.least_airflow_per_ton.si())
    });
    let (value, u) = (measured.value.si(), measured.standard_uncertainty.si());
    let within = least.map(|least| judge_within(value, u, least.si(), f64::INFINITY));
    let flow = Airflow {
        value: measured.value,
        standard_uncertainty: measured.standard_uncertainty,
        least,
        within,
    };
    out.air.airflow = Some(flow);
    match within {
        None => out.aside.push(said::capacity_asked(criteria)),
        Some(Within::Inside) => out.aside.push(said::airflow_enough(&flow, criteria)),
        Some(Within::Undecided) => out.aside.push(said::airflow_open(&flow, criteria)),
        Some(Within::Outside) => out.gates.push(said::airflow_low(&flow, criteria)),
    }
    within == Some(Within::Inside)
}

/// The temperature split with its gates: cooling at one speed, time, the table's range.
fn split(input: &Input, criteria: &Criteria, flow_is_enough: bool, out: &mut FirstLook) {
    let around = &input.conditions;
    let (Some(back), Some(supply)) = (&around.return_air, &around.supply_air) else {
        return;
    };
    let value = back.value - supply.value;
    let u = back
        .standard_uncertainty
        .si()
        .hypot(supply.standard_uncertainty.si());
    let mut found = Split {
        value,
        standard_uncertainty: TemperatureDiff::from_si(u),
        against: None,
    };
    let long_enough = around
        .running_for
        .is_some_and(|time| time >= criteria.run_least);
    let one_speed = matches!(
        input.machine.compressor,
        Some(Compressor::FixedSpeed | Compressor::HeldAtTestSpeed)
    );
    let stands = long_enough && one_speed && around.steady != Some(Yes::No);
    match &around.return_wet_bulb {
        _ if !stands => {}
        None => out.aside.push(said::split_not_judged(&found)),
        Some(wet) => match against(back, supply, wet, criteria) {
            Err(error) => out.aside.push(said::split_outside(&error)),
            Ok(None) => out.aside.push(said::split_no_test()),
            Ok(Some(against)) => {
                let reason = match against.within {
                    Within::Inside => said::split_right(&found, &against, criteria),
                    Within::Undecided => said::split_open(&found, &against, criteria),
                    Within::Outside if against.above.si() > 0.0 => {
                        said::split_high(&found, &against, criteria)
                    }
                    Within::Outside => said::split_low(&found, &against, criteria),
                };
                let high = against.within == Within::Outside && against.above.si() > 0.0;
                if high && !flow_is_enough {
                    out.gates.push(reason);
                } else {
                    out.aside.push(reason);
                }
                found.against = Some(against);
            }
        },
    }
    out.air.split = Some(found);
}

/// Split less target in one formula, as the return air is in both.
fn against(
    back: &Measured<Temperature>,
    supply: &Measured<Temperature>,
    wet: &Measured<Temperature>,
    criteria: &Criteria,
) -> Result<Option<Against>, TargetError> {
    let Looked::Target(target) = target::target_split(back, wet)? else {
        return Ok(None);
    };
    let inputs = [
        part(Axis::ReturnAir, back),
        (
            "supply air",
            supply.value.si(),
            supply.standard_uncertainty.si(),
        ),
        part(Axis::ReturnWetBulb, wet),
    ];
    let home = (back.value, wet.value);
    let difference = propagate(&inputs, |x| {
        let at = (Temperature::from_si(x[0]), Temperature::from_si(x[2]));
        let target = target::split_table().near(home, at).ok_or(())?;
        Ok::<_, ()>(x[0] - x[1] - target.si())
    });
    Ok(difference.ok().map(|difference| {
        let (above, u) = (difference.value, difference.standard_uncertainty);
        let (low, high) = (criteria.split.low.si(), criteria.split.high.si());
        Against {
            target,
            above: TemperatureDiff::from_si(above),
            standard_uncertainty: TemperatureDiff::from_si(u),
            dominant: difference.dominant(),
            within: judge_within(above, u, low, high),
        }
    }))
}

/// The heat that the air carries, where flow and both wet bulbs are known.
fn carried(input: &Input, out: &mut FirstLook) {
    let around = &input.conditions;
    let (Some(flow), Some(returned), Some(supplied)) = (
        &around.airflow,
        both_bulbs(&around.return_air, &around.return_wet_bulb),
        both_bulbs(&around.supply_air, &around.supply_wet_bulb),
    ) else {
        return;
    };
    match capacity(flow, &returned, &supplied, input.surroundings.barometer) {
        Ok(given) => {
            let heats = input.machine.mode == Some(Mode::Heating);
            let found = AirResult {
                value: Power::from_si(if heats {
                    -given.value.si()
                } else {
                    given.value.si()
                }),
                ..given
            };
            out.aside.push(said::capacity(&found, input));
            out.air.capacity = Some(found);
        }
        Err(error) => out.aside.push(said::impossible(&error)),
    }
}

fn both_bulbs(
    dry: &Option<Measured<Temperature>>,
    wet: &Option<Measured<Temperature>>,
) -> Option<WetAndDry> {
    Some(WetAndDry {
        dry: dry.clone()?,
        wet: wet.clone()?,
    })
}

impl Air {
    /// The numbers with their names.
    pub(super) fn figures(&self) -> Vec<NamedInterval> {
        let mut figures = Vec::new();
        if let Some(split) = &self.split {
            figures.push(NamedInterval {
                name: "temperature split",
                interval: Interval::normal(split.value, split.standard_uncertainty),
                source: SourceId::Jcgm100,
            });
            if let Some(against) = &split.against {
                figures.push(NamedInterval {
                    name: "target split",
                    interval: against.target.interval(),
                    source: against.target.source,
                });
            }
        }
        if let Some(flow) = self.airflow {
            figures.push(NamedInterval {
                name: "airflow",
                interval: Interval::normal(flow.value, flow.standard_uncertainty),
                source: SourceId::Jcgm100,
            });
        }
        if let Some(carried) = self.capacity {
            figures.push(NamedInterval {
                name: "air-side capacity",
                interval: Interval::normal(carried.value, carried.standard_uncertainty),
                source: SourceId::AirEnthalpy,
            });
        }
        figures
    }
}
