//! Any event that can be written: for the properties.

use lineproof::check::Segment;
use lineproof::record::*;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use super::minute;

fn typed<Q: Field + std::fmt::Debug + 'static>(
    unit: &'static str,
) -> impl Strategy<Value = AsTyped<Q>> {
    (0u32..2000, 0u32..100)
        .prop_map(move |(whole, part)| AsTyped::read(&format!("{whole}.{part:02} {unit}")).unwrap())
}

/// Nothing to all.
fn share<Q: Field + std::fmt::Debug + 'static>() -> impl Strategy<Value = AsTyped<Q>> {
    (0u32..=100).prop_map(|percent| AsTyped::read(&format!("{percent} %")).unwrap())
}

fn word<T: Copy + std::fmt::Debug + 'static>(all: &'static [T]) -> impl Strategy<Value = T> {
    select(all)
}

fn answer() -> impl Strategy<Value = Answer> {
    word(Answer::ALL)
}

fn text() -> impl Strategy<Value = String> {
    select(vec![
        "",
        "plain",
        "with \"quotes\" and \\",
        "two\nlines",
        "grün, 3/8\"",
        "\u{0}",
    ])
    .prop_map(String::from)
}

pub fn segments() -> impl Strategy<Value = Vec<Segment>> {
    subsequence(Segment::ALL.to_vec(), 1..=Segment::ALL.len())
}

pub fn joint() -> impl Strategy<Value = String> {
    select(vec!["liquid-out", "vapour-out", "cap"]).prop_map(String::from)
}

fn moment() -> impl Strategy<Value = Moment> {
    (0i64..5000).prop_map(minute)
}

fn valves() -> impl Strategy<Value = Valves> {
    (word(Position::ALL), word(Position::ALL)).prop_map(|(liquid_service, vapour_service)| Valves {
        liquid_service,
        vapour_service,
    })
}

/// Lines and outdoor unit are one volume exactly when a valve is open.
fn covers_and_valves() -> impl Strategy<Value = (Vec<Segment>, Option<Valves>)> {
    (segments(), option::of(valves())).prop_map(|(mut covers, valves)| {
        let open = valves.is_some_and(|v| {
            v.liquid_service == Position::Open || v.vapour_service == Position::Open
        });
        let lines = covers
            .iter()
            .any(|s| !matches!(s, Segment::OutdoorUnit | Segment::Hoses));
        if valves.is_some() && lines {
            covers.retain(|s| *s != Segment::OutdoorUnit);
            if open {
                covers.insert(0, Segment::OutdoorUnit);
            }
        }
        (covers, valves)
    })
}

/// Clock time or time since the start.
fn time() -> impl Strategy<
    Value = (
        Option<Moment>,
        Option<AsTyped<lineproof::quantity::Duration>>,
    ),
> {
    prop_oneof![
        moment().prop_map(|at| (Some(at), None)),
        typed("min").prop_map(|after| (None, Some(after))),
    ]
}

fn joint_made() -> impl Strategy<Value = EventBody> {
    let adapter = (
        typed("mm"),
        typed("mm"),
        option::of(select(vec![0.0, 22.5, 90.0])),
    );
    (
        joint(),
        option::of(typed("N m")),
        option::of(adapter),
        answer(),
    )
        .prop_map(|(joint, torque, adapter, oiled)| {
            let adapter = adapter.map(|(wrench_length, adapter_length, angle_degrees)| Adapter {
                wrench_length,
                adapter_length,
                angle_degrees,
            });
            EventBody::from(JointMade {
                joint,
                torque,
                adapter,
                wrench: None,
                oiled,
            })
        })
}

fn joint_checked() -> impl Strategy<Value = EventBody> {
    (
        joint(),
        word(JointMethod::ALL),
        word(JointResult::ALL),
        option::of(typed("min")),
        option::of(typed("psig")),
    )
        .prop_map(|(joint, method, result, watched, pressure)| {
            EventBody::from(JointChecked {
                joint,
                method,
                result,
                watched,
                pressure,
            })
        })
}

fn pressure_test() -> impl Strategy<Value = EventBody> {
    let reading = (
        time(),
        prop_oneof![typed("psig"), typed("psia"), typed("bar gauge")],
        option::of(typed("F")),
        option::of(typed("C")),
    )
        .prop_map(|((at, after), pressure, outdoor, indoor)| TestReading {
            at,
            after,
            pressure,
            outdoor,
            indoor,
        });
    (
        covers_and_valves(),
        word(TestGas::ALL),
        option::of(typed("psig")),
        option::of(share()),
        option::of(moment()),
        vec(reading, 1..4),
    )
        .prop_map(
            |((covers, valves), gas, test_pressure, outdoor_share, until, readings)| {
                EventBody::from(PressureTest {
                    covers,
                    gas,
                    test_pressure,
                    gauge: None,
                    thermometer: None,
                    valves,
                    outdoor_share,
                    unlogged_swing: None,
                    volume: None,
                    rule: None,
                    until,
                    log: None,
                    readings,
                })
            },
        )
}

fn evacuation() -> impl Strategy<Value = EventBody> {
    let reading = (time(), typed("micron"), option::of(word(Phase::ALL))).prop_map(
        |((at, after), vacuum, phase)| VacuumReading {
            at,
            after,
            vacuum,
            phase,
        },
    );
    (
        covers_and_valves(),
        option::of(text()),
        option::of(typed("min")),
        option::of(typed("F")),
        option::of(typed("C")),
        vec(reading, 1..4),
    )
        .prop_map(
            |((covers, valves), rule, isolated_after, coldest, ambient, readings)| {
                EventBody::from(Evacuation {
                    covers,
                    rule,
                    gauge: None,
                    valves,
                    isolated_after,
                    coldest,
                    ambient,
                    until: None,
                    log: None,
                    pump_down: None,
                    readings,
                })
            },
        )
}

fn opened() -> impl Strategy<Value = EventBody> {
    (segments(), vec(joint(), 0..3), answer(), option::of(text())).prop_map(
        |(segments, joints, held_refrigerant, why)| {
            EventBody::from(Opened {
                segments,
                joints,
                held_refrigerant,
                why,
            })
        },
    )
}

fn repaired() -> impl Strategy<Value = EventBody> {
    (
        segments(),
        option::of(joint()),
        word(RepairMethod::ALL),
        option::of(text()),
        answer(),
        answer(),
    )
        .prop_map(
            |(segments, joint, method, filler, nitrogen_flowing, refrigerant_present)| {
                EventBody::from(Repaired {
                    segments,
                    joint,
                    method,
                    filler,
                    nitrogen_flowing,
                    refrigerant_present,
                })
            },
        )
}

fn released() -> impl Strategy<Value = EventBody> {
    (
        segments(),
        option::of(joint()),
        option::of(typed("s")),
        word(ReleaseEnd::ALL),
        word(Whereabouts::ALL),
        subsequence(Seen::ALL, 0..=Seen::ALL.len()),
        option::of(valves()),
    )
        .prop_map(
            |(segments, joint, lasted, ended, whereabouts, seen, valves)| {
                EventBody::from(Released {
                    segments,
                    joint,
                    lasted,
                    ended,
                    whereabouts,
                    seen,
                    valves,
                })
            },
        )
}

fn reading() -> impl Strategy<Value = EventBody> {
    (
        word(Mode::ALL),
        vec(option::of(typed("F")), 12),
        vec(option::of(typed("psig")), 2),
        option::of(typed("psi")),
        (
            answer(),
            answer(),
            option::of(typed("F")),
            option::of(word(CompressorSpeed::ALL)),
            option::of(word(Person::ALL)),
        ),
        (
            option::of(typed("min")),
            option::of(typed("A")),
            option::of(share()),
        ),
        (
            option::of(word(LiquidTap::ALL)),
            option::of((0u32..20).prop_map(f64::from)),
            option::of(typed("cfm")),
            option::of(Just("ra3-installer-2008".to_string())),
        ),
    )
        .prop_map(
            |(
                mode,
                mut t,
                mut p,
                tap_drop,
                (steady, airflow_good, target_superheat, speed, by),
                (running, current, share),
                (tap, defrosts, airflow, criteria),
            )| {
                let mut t = t.drain(..);
                let mut next = || t.next().unwrap();
                EventBody::from(Reading {
                    mode,
                    running,
                    steady,
                    compressor_speed: speed,
                    airflow_good,
                    target_superheat,
                    suction_pressure: p.remove(0),
                    suction_line: next(),
                    liquid_pressure: p.remove(0),
                    liquid_tap: tap,
                    tap_drop,
                    liquid_line: next(),
                    discharge_line: next(),
                    evaporator_bend: next(),
                    condenser_bend: next(),
                    outdoor: next(),
                    return_air: next(),
                    return_wet_bulb: next(),
                    supply_air: next(),
                    supply_wet_bulb: next(),
                    leaving_air: next(),
                    airflow,
                    criteria,
                    charging_table: None,
                    log: None,
                    current,
                    defrosts_per_day: defrosts,
                    backup_share: share,
                    read_by: by,
                    gauge: None,
                    thermometer: None,
                })
            },
        )
}

fn start_checked() -> impl Strategy<Value = EventBody> {
    (
        option::of(typed("h")),
        vec(answer(), 8),
        option::of(typed("V")),
        option::of(typed("A")),
        option::of(typed("A")),
    )
        .prop_map(
            |(crankcase_heater, answers, voltage, breaker, wire_ampacity)| {
                EventBody::from(StartChecked {
                    crankcase_heater,
                    valves_open: answers[0],
                    caps_on: answers[1],
                    airflow_clear: answers[2],
                    drain_clear: answers[3],
                    voltage,
                    voltmeter: None,
                    breaker,
                    filter_clean: answers[4],
                    clearances_kept: answers[5],
                    disconnect_in_sight: answers[6],
                    wire_ampacity,
                    earthed: answers[7],
                })
            },
        )
}

fn technician_visit() -> impl Strategy<Value = EventBody> {
    (
        option::of(typed("oz")),
        option::of(prop_oneof![
            typed("g"),
            Just(AsTyped::read("5 lb 4 oz").unwrap())
        ]),
        option::of(typed("micron")),
        option::of(typed("psig")),
        vec(answer(), 4),
    )
        .prop_map(
            |(recovered, charged, evacuated_to, test_pressure, answers)| {
                EventBody::from(TechnicianVisit {
                    recovered,
                    charged,
                    evacuated_to,
                    drier: answers[0],
                    pressure_held: answers[1],
                    test_pressure,
                    suction_pressure: None,
                    liquid_pressure: None,
                    leak_found: answers[2],
                    repaired: answers[3],
                })
            },
        )
}

fn cylinder() -> impl Strategy<Value = EventBody> {
    let hose = option::of((typed("ft"), typed("in")));
    ((typed("lb"), typed("lb")), option::of(typed("oz")), hose).prop_map(
        |((before, after), zero_after, hose)| {
            EventBody::from(Weighed {
                mass: None,
                cylinder_before: Some(before),
                cylinder_after: Some(after),
                zero_after,
                hose: hose.map(|(length, bore)| HoseLeftFull { length, bore }),
                direction: Direction::In,
                by: Person::Technician,
                scale: None,
            })
        },
    )
}

fn small() -> impl Strategy<Value = EventBody> {
    prop_oneof![
        (word(ServiceValve::ALL), word(Position::ALL))
            .prop_map(|(valve, to)| EventBody::from(ValveMoved { valve, to })),
        word(Position::ALL).prop_map(|to| EventBody::from(PumpValveMoved { to })),
        (typed("oz"), word(Direction::ALL), word(Person::ALL)).prop_map(|(mass, direction, by)| {
            EventBody::from(Weighed::mass(mass, direction, by))
        }),
        cylinder(),
        word(Mode::ALL).prop_map(|mode| EventBody::from(Started { mode })),
        option::of(text()).prop_map(|why| EventBody::from(Stopped { why })),
        (text(), option::of(text()), option::of(text())).prop_map(|(field, from, why)| {
            EventBody::from(Changed {
                field,
                from,
                to: why.clone(),
                why,
                facts: None,
            })
        }),
    ]
}

/// Any event's body.
pub fn body() -> impl Strategy<Value = EventBody> {
    prop_oneof![
        1 => joint_made(),
        1 => joint_checked(),
        1 => pressure_test(),
        1 => evacuation(),
        1 => opened(),
        1 => repaired(),
        1 => released(),
        1 => reading(),
        1 => start_checked(),
        1 => technician_visit(),
        3 => small(),
    ]
}
