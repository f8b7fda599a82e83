use std::f64::consts::TAU;

use lineproof::check::Finding;
use lineproof::check::run::steady::{self, Channel, Column, Log, Steady, find};
use lineproof::check::run::target::{SuperheatRule, TargetTable};
use lineproof::check::run::{
    Compressor, Criteria, HighSide, Input, LowSide, Reader, Tap, Yes, assess, reasons,
};
use lineproof::fluid::Refrigerant;
use lineproof::physics::cycle::{MeteringDevice, MeteringKind, MeteringPlace, Mode};
use lineproof::quantity::{
    Barometer, Current, Duration, Measured, Origin, Power, Quantity, VolumeFlow, unit,
};
use lineproof::source::SourceId;

use super::Table;
use super::machine::*;

fn judged(change: impl FnOnce(&mut Input)) -> Finding {
    let mut input = as_charged();
    change(&mut input);
    assess(&input, &Criteria::default()).unwrap()
}

/// A suction line of 285 K and what moves on top of it, a row every 5 s.
fn column(minutes: f64, moves: impl Fn(f64) -> f64) -> Log {
    let rows = (minutes * 12.0) as usize;
    Log {
        seconds: (0..rows).map(|row| 5.0 * row as f64).collect(),
        columns: vec![Column {
            channel: Channel::SuctionLine,
            values: (0..rows)
                .map(|row| 285.0 + moves(row as f64 / 12.0))
                .collect(),
        }],
        barometer: Barometer::standard(),
    }
}

fn logged(minutes: f64, moves: impl Fn(f64) -> f64) -> Steady {
    find(column(minutes, moves), &steady::Criteria::default())
}

fn orifice(target: Option<f64>) -> Finding {
    judged(|i| {
        i.machine.metering = Some(MeteringDevice {
            place: MeteringPlace::Indoors,
            kind: MeteringKind::FixedOrifice,
        });
        i.targets.superheat = target.and_then(degf);
    })
}

/// A fixed orifice with all that its target hangs on.
fn orifice_in(wet: f64, change: impl FnOnce(&mut Input)) -> Finding {
    judged(|i| {
        i.machine.metering = Some(MeteringDevice {
            place: MeteringPlace::Indoors,
            kind: MeteringKind::FixedOrifice,
        });
        i.conditions.return_wet_bulb = Some(fahrenheit(wet, 0.5));
        change(i);
    })
}

/// The unit's own charging table.
fn own_table(i: &mut Input) {
    let text = "outdoor_F,wb_60,wb_66\n90,10,20\n100,-,14\n";
    i.targets.superheat_table = TargetTable::parse(text, SourceId::UnitInstructions).ok();
}

/// Heating, with 110 °F above outdoor air in the unit's instructions.
fn heating(line: f64) -> Finding {
    judged(|i| {
        i.machine.mode = Some(Mode::Heating);
        i.conditions.outdoor = Some(fahrenheit(40.0, 0.5));
        i.targets.discharge_above_outdoor = degf(110.0);
        i.discharge_line = Some(fahrenheit(line, 1.0));
    })
}

/// Supply air, a psychrometer in the return.
fn supply(t: f64, change: impl FnOnce(&mut Input)) -> Finding {
    judged(|i| {
        i.conditions.return_wet_bulb = Some(fahrenheit(63.0, 0.5));
        i.conditions.supply_air = Some(fahrenheit(t, 0.5));
        change(i);
    })
}

/// Measured airflow on a label of three tons.
fn airflow(cfm: f64, rated: bool) -> Finding {
    judged(|i| {
        let flow = VolumeFlow::of(cfm, unit::CUBIC_FOOT_PER_MINUTE);
        i.conditions.airflow = Some(Measured {
            value: flow,
            standard_uncertainty: VolumeFlow::from_si(0.05 * flow.si()),
            origin: Origin::Reading("hood".into()),
        });
        i.rated.capacity = rated.then(|| Power::of(3.0, unit::TON));
        i.conditions.return_wet_bulb = Some(fahrenheit(63.0, 0.5));
        i.conditions.supply_air = Some(fahrenheit(56.4, 0.5));
        i.conditions.supply_wet_bulb = Some(fahrenheit(54.5, 0.5));
    })
}

/// Inputs that say every code.
pub fn table() -> Table {
    vec![
        (
            "as charged",
            judged(|_| {}),
            &[reasons::SUPERHEAT_RIGHT, reasons::SUBCOOLING_RIGHT],
        ),
        (
            "nothing read",
            judged(|i| (i.low, i.high) = (None, None)),
            &[reasons::NOTHING_READ],
        ),
        (
            "nothing known of the machine",
            judged(|i| i.machine = Default::default()),
            &[
                reasons::METERING_ASKED,
                reasons::MODE_ASKED,
                reasons::COMPRESSOR_ASKED,
            ],
        ),
        (
            "nothing known of the day",
            judged(|i| i.conditions = Default::default()),
            &[reasons::CONDITION_OPEN],
        ),
        (
            "a cold day, just started, a dirty filter",
            judged(|i| {
                i.conditions.outdoor = Some(fahrenheit(45.0, 1.0));
                i.conditions.return_air = Some(fahrenheit(60.0, 1.0));
                i.conditions.running_for = Some(Duration::of(5.0, unit::MINUTE));
                i.conditions.steady = Some(Yes::No);
                i.conditions.airflow_good = Some(Yes::No);
            }),
            &[
                reasons::OUTDOOR_COLD,
                reasons::RETURN_COLD,
                reasons::RUN_SHORT,
                reasons::NOT_STEADY,
                reasons::AIRFLOW_WRONG,
            ],
        ),
        (
            "metering outdoors, an inverter at free speed, an accumulator",
            judged(|i| {
                i.machine.metering = Some(MeteringDevice {
                    place: MeteringPlace::Outdoors,
                    ..TXV_INDOORS
                });
                i.machine.compressor = Some(Compressor::FreeSpeed);
                i.machine.accumulator = Some(Yes::Yes);
            }),
            &[
                reasons::TWO_PHASE,
                reasons::FREE_SPEED,
                reasons::ACCUMULATOR,
            ],
        ),
        (
            "heating",
            judged(|i| i.machine.mode = Some(Mode::Heating)),
            &[reasons::HEATING],
        ),
        (
            "carbon dioxide",
            judged(|i| i.refrigerant = Refrigerant::R744),
            &[reasons::NO_CONDENSING],
        ),
        (
            "the owner's gauges, on a tap that nobody named",
            judged(|i| {
                i.high = Some(at(Tap::NotKnown, 355.0, 2.0));
                i.gauges_read_by = Some(Reader::Owner);
            }),
            &[
                reasons::TAP_ASKED,
                reasons::GAUGES_BY_OWNER,
                reasons::READING_MISSING,
            ],
        ),
        (
            "nobody says who read the gauges",
            judged(|i| i.gauges_read_by = None),
            &[reasons::WHO_READS_ASKED],
        ),
        (
            "probes on coil bends",
            judged(|i| {
                i.low = Some(LowSide::CoilBend(fahrenheit(40.0, 1.0)));
                i.high = Some(HighSide::CoilBend(fahrenheit(108.0, 1.0)));
            }),
            &[reasons::COIL_BENDS],
        ),
        (
            "high subcooling, and nobody looked at the filter",
            judged(|i| {
                i.liquid_line = Some(fahrenheit(85.0, 0.5));
                i.conditions.airflow_good = None;
            }),
            &[reasons::SUBCOOLING_HIGH, reasons::AIRFLOW_ASKED],
        ),
        (
            "little subcooling, much superheat",
            judged(|i| {
                i.liquid_line = Some(fahrenheit(104.0, 0.5));
                i.suction_line = Some(fahrenheit(75.0, 0.5));
            }),
            &[reasons::SUBCOOLING_LOW, reasons::SUPERHEAT_HIGH],
        ),
        (
            "little superheat",
            judged(|i| i.suction_line = Some(fahrenheit(41.6, 0.5))),
            &[reasons::SUPERHEAT_LOW],
        ),
        (
            "superheat near zero, subcooling near zero",
            judged(|i| {
                i.suction_line = Some(fahrenheit(40.5, 1.8));
                i.liquid_line = Some(fahrenheit(107.0, 1.8));
            }),
            &[reasons::SUPERHEAT_ZERO, reasons::SUBCOOLING_ZERO],
        ),
        (
            "superheat below zero",
            judged(|i| i.suction_line = Some(fahrenheit(35.0, 0.5))),
            &[reasons::LIQUID_RETURNING],
        ),
        (
            "a liquid line warmer than saturation",
            judged(|i| i.liquid_line = Some(fahrenheit(112.0, 0.5))),
            &[reasons::SUBCOOLING_NEGATIVE],
        ),
        (
            "coarse probes",
            judged(|i| {
                i.liquid_line = Some(fahrenheit(96.0, 3.0));
                i.suction_line = Some(fahrenheit(45.0, 3.0));
            }),
            &[reasons::SUBCOOLING_OPEN, reasons::SUPERHEAT_OPEN],
        ),
        (
            "gauges swapped",
            judged(|i| {
                i.low = Some(LowSide::Gauge(psig(355.0, 1.0)));
                i.high = Some(at(Tap::LiquidLine, 118.0, 1.0));
                i.suction_line = Some(fahrenheit(115.0, 0.5));
            }),
            &[reasons::PRESSURES_SWAPPED],
        ),
        (
            "a condenser as warm as the air",
            judged(|i| {
                i.high = Some(at(Tap::LiquidLine, 260.0, 2.0));
                i.liquid_line = None;
            }),
            &[reasons::NO_HEAT_REJECTED],
        ),
        (
            "an orifice without a target",
            orifice(None),
            &[reasons::TARGET_ASKED, reasons::TARGET_READING],
        ),
        (
            "an orifice by the published table",
            orifice_in(64.0, |_| {}),
            &[reasons::TARGET_USED],
        ),
        (
            "an orifice by the rule of the trade",
            orifice_in(64.0, |i| {
                i.targets.superheat_rule = SuperheatRule::CommonPractice;
            }),
            &[reasons::TARGET_USED],
        ),
        (
            "a dash in the published table",
            orifice_in(58.0, |_| {}),
            &[reasons::TARGET_DASH],
        ),
        (
            "the unit's own table does not reach so far",
            orifice_in(64.0, own_table),
            &[reasons::TARGET_OUTSIDE],
        ),
        (
            "heating as the instructions print it",
            heating(150.0),
            &[reasons::DISCHARGE_RIGHT],
        ),
        (
            "heating, near the limit",
            heating(154.0),
            &[reasons::DISCHARGE_OPEN],
        ),
        (
            "heating, a cool discharge line",
            heating(130.0),
            &[reasons::DISCHARGE_LOW],
        ),
        (
            "heating, a hot discharge line",
            heating(170.0),
            &[reasons::DISCHARGE_HIGH],
        ),
        (
            "a wet bulb above the dry bulb",
            supply(56.0, |i| {
                i.conditions.return_wet_bulb = Some(fahrenheit(79.0, 0.5));
            }),
            &[reasons::AIR_IMPOSSIBLE],
        ),
        (
            "supply air as cool as it should be",
            supply(56.4, |_| {}),
            &[reasons::SPLIT_RIGHT],
        ),
        (
            "supply air near the limit",
            supply(53.4, |_| {}),
            &[reasons::SPLIT_OPEN],
        ),
        (
            "supply air too cool",
            supply(49.0, |_| {}),
            &[reasons::SPLIT_HIGH],
        ),
        (
            "supply air too warm",
            supply(65.0, |_| {}),
            &[reasons::SPLIT_LOW],
        ),
        (
            "supply air without a psychrometer",
            supply(56.4, |i| i.conditions.return_wet_bulb = None),
            &[reasons::SPLIT_NOT_JUDGED],
        ),
        (
            "return air warmer than the table of splits",
            supply(66.0, |i| {
                i.conditions.return_air = Some(fahrenheit(88.0, 0.5));
            }),
            &[reasons::SPLIT_OUTSIDE],
        ),
        ("little air", airflow(600.0, true), &[reasons::AIRFLOW_LOW]),
        (
            "hardly enough air",
            airflow(910.0, true),
            &[reasons::AIRFLOW_OPEN],
        ),
        (
            "enough air, and what it carries",
            airflow(1200.0, true),
            &[reasons::AIRFLOW_ENOUGH, reasons::AIR_CAPACITY],
        ),
        (
            "measured air, and no label",
            airflow(1200.0, false),
            &[reasons::CAPACITY_ASKED],
        ),
        (
            "an orifice with a small target",
            orifice(Some(3.0)),
            &[reasons::TARGET_SMALL],
        ),
        (
            "a log that stands still, one value typed beside it",
            judged(|i| {
                let mut found = logged(40.0, |t| 20.0 * (-t / 3.0).exp());
                found.by_hand = vec![Channel::SuctionLine];
                i.log = Some(found);
            }),
            &[reasons::STEADY_WINDOW, reasons::LOG_BY_HAND],
        ),
        (
            "a log that never stands still",
            judged(|i| {
                i.log = Some(logged(40.0, |t| 0.5 * t));
                i.conditions.steady = Some(Yes::No);
            }),
            &[reasons::NOT_STEADY],
        ),
        (
            "a log that hunts",
            judged(|i| i.log = Some(logged(40.0, |t| 2.3 * (t * TAU / 3.2).sin()))),
            &[reasons::HUNTING],
        ),
        (
            "a log of three minutes",
            judged(|i| i.log = Some(logged(3.0, |_| 0.0))),
            &[reasons::LOG_TOO_SHORT],
        ),
        (
            "a log with an hour missing",
            judged(|i| {
                let mut log = column(40.0, |_| 0.0);
                log.seconds[200..].iter_mut().for_each(|s| *s += 3600.0);
                i.log = Some(find(log, &steady::Criteria::default()));
            }),
            &[reasons::LOG_GAPS],
        ),
        (
            "a suction line in °C, typed as °F",
            judged(|i| i.suction_line = Some(fahrenheit(11.1, 0.5))),
            &[reasons::LIQUID_RETURNING, reasons::SLIP_ASKED],
        ),
        (
            "R-410A typed as R-22",
            judged(|i| i.refrigerant = Refrigerant::R22),
            &[reasons::REFRIGERANT_ASKED],
        ),
        (
            "an evaporator warmer than the air that it cools",
            judged(|i| {
                i.low = Some(LowSide::CoilBend(fahrenheit(90.0, 0.5)));
                i.suction_line = Some(fahrenheit(95.0, 0.5));
            }),
            &[reasons::CONTRADICTION],
        ),
        (
            "a suction line warmer than both airs",
            judged(|i| i.suction_line = Some(fahrenheit(102.0, 0.5))),
            &[reasons::UNUSUAL],
        ),
        (
            "45 degF outdoors",
            judged(|i| i.conditions.outdoor = Some(fahrenheit(45.0, 1.0))),
            &[reasons::WINTER_PROCEDURE],
        ),
        (
            "20 degF outdoors, two stages",
            judged(|i| {
                i.conditions.outdoor = Some(fahrenheit(20.0, 1.0));
                i.machine.compressor = Some(Compressor::TwoStage);
            }),
            &[reasons::WEIGH_IN, reasons::TWO_STAGE],
        ),
        (
            "a dirty condenser",
            judged(|i| {
                i.conditions.outdoor = Some(fahrenheit(70.0, 0.5));
                i.conditions.leaving_air = Some(fahrenheit(104.0, 0.5));
                i.liquid_line = Some(fahrenheit(104.0, 0.5));
            }),
            &[reasons::HINT],
        ),
        (
            "an orifice starved, subcooling not read",
            starved(),
            &[reasons::HINT_OPEN],
        ),
        (
            "a hot condenser over a cold evaporator",
            judged(|i| {
                i.low = Some(LowSide::Gauge(psig(75.0, 1.0)));
                i.suction_line = Some(fahrenheit(35.0, 0.5));
                i.conditions.outdoor = Some(fahrenheit(70.0, 0.5));
                i.conditions.supply_air = Some(fahrenheit(64.0, 0.5));
                i.liquid_line = Some(fahrenheit(104.0, 0.5));
            }),
            &[reasons::SIGNS_CONFLICT],
        ),
        (
            "heats poorly, pressure and current high",
            heats_poorly(),
            &[reasons::HEATING_TOO_MUCH],
        ),
    ]
}

/// A fixed orifice with a cold evaporator, much superheat and little heat rejected.
fn starved() -> Finding {
    judged(|i| {
        i.machine.metering = Some(MeteringDevice {
            place: MeteringPlace::Indoors,
            kind: MeteringKind::FixedOrifice,
        });
        i.targets.superheat = degf(12.0);
        i.low = Some(LowSide::Gauge(psig(70.0, 1.0)));
        i.suction_line = Some(fahrenheit(60.0, 0.5));
        i.high = Some(at(Tap::LiquidLine, 280.0, 2.0));
        i.liquid_line = None;
    })
}

/// Heating at 40 degF outdoors, 480 psig, 14 A where the label says 11 A.
fn heats_poorly() -> Finding {
    judged(|i| {
        i.machine.mode = Some(Mode::Heating);
        i.conditions.outdoor = Some(fahrenheit(40.0, 1.0));
        i.conditions.return_air = Some(fahrenheit(70.0, 1.0));
        i.low = Some(LowSide::Gauge(psig(90.0, 1.0)));
        i.suction_line = Some(fahrenheit(36.0, 0.5));
        i.high = Some(at(Tap::LiquidLine, 480.0, 2.0));
        i.liquid_line = Some(fahrenheit(105.0, 0.5));
        i.current = Some(ampere(14.0));
        i.rated.current = Some(Current::of(11.0, unit::AMPERE));
    })
}

fn ampere(value: f64) -> Measured<Current> {
    Measured {
        value: Current::of(value, unit::AMPERE),
        standard_uncertainty: Current::of(0.2, unit::AMPERE),
        origin: Origin::Reading("clamp meter".into()),
    }
}
