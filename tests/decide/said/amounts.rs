//! Inputs that say what an incident cost, what is inside, and what the room may take.

use lineproof::check::charge::idle::{Rest, idle};
use lineproof::check::charge::joined::{Evidence, JoinError, joined, worth_asking};
use lineproof::check::charge::lost::{Circuit, Ended, Escape, Holds, Part, Passed, Valves, lost};
use lineproof::check::charge::performance::Air;
use lineproof::check::charge::reasons::{self, amounts};
use lineproof::check::charge::room::{Edition, Mounted, Printed, Served, room};
use lineproof::check::charge::running::{Machine, Moment, Reading, Speed, charge_share};
use lineproof::check::{Finding, Outcome, Reason, Segment, Stage};
use lineproof::fluid::Refrigerant;
use lineproof::physics::cycle::Mode;
use lineproof::physics::inventory::{Standing, standing_mass};
use lineproof::quantity::*;

use super::Table;

fn known<Q: Quantity>(value: f64, u: f64) -> Measured<Q> {
    Measured {
        value: Q::from_si(value),
        standard_uncertainty: Q::Diff::from_si(u),
        origin: Origin::Unit,
    }
}

fn finding(reasons: Vec<Reason>) -> Finding {
    Finding::plain(Stage::Charge, Outcome::Undecided, reasons)
}

/// A vapour line of 1 L that hissed empty beside 2 kg of R-410A.
fn escape() -> Escape {
    Escape {
        refrigerant: Refrigerant::R410A,
        temperature: known(293.15, 1.0),
        around: PressureAbs::of(1.0, unit::ATM),
        circuit: Circuit::of(known(2.0, 0.02)),
        isolated: vec![Part {
            segment: Segment::VapourLine,
            volume: known(1e-3, 1e-4),
            holds: Holds::Vapour,
        }],
        valves: Valves::Open,
        hiss: None,
        ended: Ended::NotKnown,
        passed: Passed::NotKnown,
        seen: Vec::new(),
        hole: None,
    }
}

fn at_rest(psia: f64) -> Finding {
    let standing = Standing {
        refrigerant: Refrigerant::R410A,
        volume: known(6e-3, 3e-4),
        pressure: known(PressureAbs::of(psia, unit::PSIA).si(), 5e3),
        temperature: known(298.15, 0.5),
        charge: Mass::from_si(3.0),
    };
    finding(vec![amounts::standing(&standing_mass(&standing).unwrap())])
}

/// R-410A at 80 °F; saturation is 236.5 psig.
fn resting(psig: f64, change: impl FnOnce(&mut Rest)) -> Finding {
    let pressure = PressureGauge::of(psig, unit::PSIG).to_abs(Barometer::standard());
    let mut rest = Rest {
        refrigerant: Refrigerant::R410A,
        outdoor_fan_only: true,
        valves_open: true,
        settled: true,
        after_pump_down: false,
        opened_without_evacuation: false,
        pressure: Some(known(pressure.unwrap().si(), 3e3)),
        coil: known(Temperature::of(80.0, unit::FAHRENHEIT).si(), 0.2),
        vapour_volume: Some(known(4e-3, 4e-4)),
    };
    change(&mut rest);
    finding(amounts::air(&idle(&rest).unwrap()))
}

fn machine() -> Machine {
    Machine::rated(TemperatureDiff::from_si(5.5), TemperatureDiff::from_si(6.0))
}

fn running(subcooling: f64, accumulator: bool) -> Finding {
    let reading = Reading {
        subcooling: known(subcooling, 0.6),
        superheat: known(6.0, 0.6),
    };
    let moment = Moment {
        accumulator,
        speed: Speed::Fixed,
        two_phase_liquid_line: false,
    };
    let shown = charge_share(&machine(), &reading, moment);
    finding(vec![amounts::running(&shown)])
}

fn evidence() -> Evidence {
    Evidence {
        due: Mass::from_si(2.0),
        before: known(2.0, 0.02),
        lost: vec![lost(&escape()).unwrap()],
        running: Vec::new(),
        recovered: None,
    }
}

fn inside() -> Finding {
    let found = joined(&evidence()).unwrap();
    let tolerated = Fraction::of(90.0, unit::PERCENT);
    let uncertainty = TemperatureDiff::from_si(0.7);
    let asked = worth_asking(&evidence(), &machine(), uncertainty, tolerated).unwrap();
    let mut said = amounts::inside(&found);
    said.push(amounts::costs(&found.cost(Air::rated(Mode::Cooling))));
    said.push(amounts::worth_asking(&asked));
    finding(said)
}

fn inside_with(change: impl FnOnce(&mut Evidence)) -> Finding {
    let mut evidence = evidence();
    evidence.lost.clear();
    change(&mut evidence);
    finding(amounts::inside(&joined(&evidence).unwrap()))
}

fn in_room(charge: f64, served: Served) -> Finding {
    let charge = Mass::from_si(charge);
    finding(vec![amounts::room(&room(
        Refrigerant::R32,
        charge,
        None,
        served,
    ))])
}

fn one_room(square_metres: f64) -> Served {
    Served::OneRoom {
        area: Area::from_si(square_metres),
        mounted: Mounted::Wall,
        edition: Edition::Of2018,
    }
}

/// Inputs that say every code of amounts.
pub fn table() -> Table {
    let cost = lost(&escape()).unwrap();
    let flow = |cfm| VolumeFlow::of(cfm, unit::CUBIC_FOOT_PER_MINUTE);
    let ducts = Served::Ducted {
        printed: Some(Printed {
            least_area: Area::from_si(30.0),
            least_airflow: Some(flow(300.0)),
        }),
        area: Area::from_si(60.0),
        airflow: Some(flow(200.0)),
    };
    vec![
        (
            "a hiss with open valves",
            finding(vec![
                amounts::could_be_gone(&cost),
                amounts::would_narrow(&cost),
            ]),
            &[reasons::COULD_BE_GONE, reasons::WOULD_NARROW],
        ),
        (
            "nothing stated of the indoor coil",
            finding(amounts::assumed(&["an indoor coil"]).into_iter().collect()),
            &[reasons::AMOUNTS_ASSUMED],
        ),
        (
            "nothing that belongs in",
            finding(vec![amounts::not_told(
                &JoinError::NothingDue {
                    due: Mass::from_si(0.0),
                }
                .into(),
            )]),
            &[reasons::NOT_TOLD],
        ),
        (
            "half of saturation",
            at_rest(120.0),
            &[reasons::ONLY_VAPOUR],
        ),
        ("saturation", at_rest(240.0), &[reasons::READS_THE_SAME]),
        (
            "above saturation",
            at_rest(270.0),
            &[reasons::ABOVE_SATURATION],
        ),
        (
            "opened and not evacuated",
            resting(236.5, |r| r.opened_without_evacuation = true),
            &[reasons::AIR_ASSUMED],
        ),
        (
            "30 psi above",
            resting(266.5, |_| {}),
            &[reasons::ABOVE_SATURATION],
        ),
        (
            "3 psi above",
            resting(239.5, |_| {}),
            &[reasons::IDLE_PROVES_NOTHING],
        ),
        (
            "30 psi below",
            resting(206.5, |_| {}),
            &[reasons::IDLE_BELOW],
        ),
        (
            "after a pump-down",
            resting(236.5, |r| r.after_pump_down = true),
            &[reasons::IDLE_NOT_VALID],
        ),
        (
            "a little less subcooling",
            running(4.0, false),
            &[reasons::CHARGE_FROM_READINGS],
        ),
        ("none", running(0.0, false), &[reasons::NO_SUBCOOLING]),
        (
            "an accumulator",
            running(4.0, true),
            &[reasons::READINGS_VOID],
        ),
        (
            "what is inside after it",
            inside(),
            &[
                reasons::CHARGE_INSIDE,
                reasons::CHARGE_COSTS,
                reasons::WORTH_ASKING,
            ],
        ),
        (
            "a technician's mass",
            inside_with(|e| e.recovered = Some(known(1.8, 0.01))),
            &[reasons::TECHNICIAN_WEIGHED],
        ),
        (
            "weighed in full, and readings like half of it",
            inside_with(|e| {
                let share = |value| Fraction::from_si(value);
                e.running = vec![lineproof::check::charge::running::Shown::Share {
                    share: share(0.5),
                    reading: share(0.02),
                    model: share(0.10),
                    above_zero: 8.0,
                }];
            }),
            &[reasons::CHARGE_CONFLICT],
        ),
        (
            "a small charge",
            in_room(1.0, one_room(5.0)),
            &[reasons::ROOM_FREE],
        ),
        (
            "one room or ducts",
            in_room(3.0, Served::NotKnown),
            &[reasons::ROOM_ASKED],
        ),
        (
            "a large room",
            in_room(3.0, one_room(60.0)),
            &[reasons::ROOM_ENOUGH],
        ),
        (
            "a small room",
            in_room(3.0, one_room(5.0)),
            &[reasons::ROOM_TOO_SMALL],
        ),
        ("weak ducts", in_room(3.0, ducts), &[reasons::ROOM_AIRFLOW]),
    ]
}
