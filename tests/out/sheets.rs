//! Two invented sheets: a workshop by a lake in a mountain valley, ducted heat pump, R-454B, flared lines.

use lineproof::check::{Caution, Detail, Finding, NamedInterval, Outcome, Reason, Segment, Stage};
use lineproof::decide::{
    Decision, Effort, Ground, HowSoon, Meanwhile, NextStep, Verdict, WouldChange,
};
use lineproof::out::figure::{
    Hold, HoldResiduals, LossAhead, LossLimit, RestsOn, Running, RunningPoint, Saturation, Span,
};
use lineproof::out::{EventLine, JointLine, Proof, Sheet, StageSheet};
use lineproof::quantity::{
    Interval, Mass, PressureRate, Quantity, Temperature, TemperatureDiff, UnitSystem, unit,
};
use lineproof::source::SourceId;

const LINES: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// The standing pressure test has passed; the evacuation comes next.
pub fn go_on() -> Sheet {
    let stages = vec![
        joints(),
        held(),
        StageSheet {
            cautions: vec![Caution {
                text: "let the nitrogen out slowly and outdoors; an emptied line is not a dry line",
                source: SourceId::CommonPractice,
            }],
            next: Some("lineproof evacuation vacuum.csv --record lake-workshop".into()),
            ..blank(Stage::Dry)
        },
        blank(Stage::Charge),
        blank(Stage::Start),
        blank(Stage::Run),
        blank(Stage::Watch),
    ];
    Sheet {
        record: "lake-workshop".into(),
        invented: true,
        place: "US, 4760 ft".into(),
        equipment: "ducted heat pump, 36 ft of flared 3/8 and 3/4 in line".into(),
        refrigerant: "R-454B".into(),
        route: "field-made lines: every stage applies".into(),
        made_at: "2025-10-16".into(),
        units: UnitSystem::Us,
        decision: Decision {
            verdict: Verdict::GoOn,
            meanwhile: Meanwhile::LeaveOff,
            how_soon: HowSoon::BeforeRunning,
            headline: "Go on: the line set holds; let the nitrogen out and evacuate it".into(),
            grounds: vec![ground(
                "next-stage",
                "joints and line set have passed; air and water are still in the lines until an evacuation shows otherwise",
                SourceId::Jcgm106,
                (Verdict::GoOn, Meanwhile::LeaveOff, HowSoon::BeforeRunning),
            )],
            stages: outcomes(&stages),
            next: vec![
                step("let the nitrogen out through the outdoor end, slowly", None),
                step(
                    "evacuate through both ports, then shut the pump valve and log the rise for 30 min",
                    Some("lineproof evacuation vacuum.csv --record lake-workshop"),
                ),
            ],
            stop_signs: vec![],
            would_change: vec![],
        },
        stages,
        events: vec![
            event(
                "2025-10-12 09:20",
                None,
                "four flare joints made, torque logged",
                None,
            ),
            event(
                "2025-10-14 18:00",
                None,
                "nitrogen let in to 402 psig, outdoor valves shut",
                None,
            ),
            event(
                "2025-10-15 18:05",
                Some("2025-10-16 07:40"),
                "standing pressure test of 24 h read out",
                None,
            ),
        ],
        warnings: vec![],
        joints: ledger(),
        facts: vec![],
        left_out: vec![],
        hold: Some(hold(1440, 0.012)),
        residuals: Some(residuals(1440, 0.012)),
        loss_limit: Some(loss_limit([0.006, -0.009, 0.021], 0.05)),
        rise: None,
        pump_down: None,
        charge: None,
        running: None,
        running_log: None,
        cycle: None,
    }
}

/// Refrigerant may be missing after a flare was retightened under pressure: a technician has to weigh it.
pub fn call() -> Sheet {
    let stages = vec![
        joints(),
        StageSheet {
            finding: Finding {
                covers: LINES.to_vec(),
                ..Finding::plain(
                    Stage::Tight,
                    Outcome::OutOfDate,
                    vec![Reason::new(
                        "touched-since",
                        SourceId::Owner,
                        "the liquid line flare at the coil was opened on 2025-11-03, after the test",
                    )],
                )
            },
            evidence: vec!["2025-10-15: standing pressure test, 24 h, passed".into()],
            cautions: vec![],
            replaced_by: None,
            next: Some("lineproof tight hold.csv --record lake-workshop".into()),
        },
        StageSheet {
            replaced_by: Some(
                "the technician's evacuation on 2025-10-20, 310 micron after 15 min".into(),
            ),
            ..blank_as(Stage::Dry, Outcome::DoesNotApply)
        },
        StageSheet {
            finding: Finding {
                figures: vec![NamedInterval {
                    name: "refrigerant missing",
                    interval: Interval {
                        estimate: Mass::of(0.4, unit::POUND_MASS).si(),
                        low: 0.0,
                        high: Mass::of(0.9, unit::POUND_MASS).si(),
                        dimension: Mass::DIMENSION,
                    },
                    source: SourceId::Owner,
                }],
                unseen: vec![
                    "standing pressure says nothing about mass while liquid is left in the circuit"
                        .into(),
                ],
                covers: Segment::ALL[..4].to_vec(),
                ..Finding::plain(
                    Stage::Charge,
                    Outcome::Undecided,
                    vec![
                        Reason::new(
                            "interval-too-wide",
                            SourceId::Owner,
                            "0.4 lb low, could be 0 to 0.9 lb; a charge counts as right within 0.2 lb",
                        ),
                        Reason::new(
                            "liquid-escaped",
                            SourceId::SaturationUncertainty,
                            "the hiss lasted about 20 s with liquid in the line; the hole's area is known within a factor of 3",
                        ),
                    ],
                )
            },
            evidence: vec!["2025-11-03: released while a flare was retightened, 20 s".into()],
            cautions: vec![Caution {
                text: "R-454B burns: no flame and no switch in the room until it is aired",
                source: SourceId::Owner,
            }],
            replaced_by: None,
            next: None,
        },
        blank_as(Stage::Start, Outcome::Pass),
        ran(),
        blank(Stage::Watch),
    ];
    Sheet {
        units: UnitSystem::Us,
        made_at: "2025-11-05".into(),
        decision: Decision {
            verdict: Verdict::Call,
            meanwhile: Meanwhile::RunWithStopSigns,
            how_soon: HowSoon::WithinDays,
            headline: "Call a technician: what is in the circuit is known too poorly to run a season on: 0.4 lb low, could be 0 to 0.9 lb of 8.1 lb.".into(),
            grounds: vec![
                ground(
                    "charge-too-wide",
                    "what is in the circuit is known too poorly to run a season on: 0.4 lb low, could be 0 to 0.9 lb of 8.1 lb",
                    SourceId::Cfr82F,
                    (Verdict::Call, Meanwhile::RunWithStopSigns, HowSoon::WithinDays),
                ),
                ground(
                    "opened-since-test",
                    "the flare that hissed has no tightness evidence since it was opened",
                    SourceId::Jcgm106,
                    (Verdict::Repeat, Meanwhile::RunWithStopSigns, HowSoon::WithinDays),
                ),
            ],
            stages: outcomes(&stages),
            next: vec![
                step("soap the flare at the coil and write down what it does", Some("lineproof joint coil-liquid --bubbles none --record lake-workshop")),
                step("call a certified technician: recover, weigh, evacuate, weigh in the nameplate charge", None),
            ],
            stop_signs: vec![
                "ice on the vapour line outdoors",
                "a hiss, or oil on a joint",
                "the outdoor unit trips or starts more than six times an hour",
            ],
            would_change: vec![WouldChange {
                text: "look at the flare with a detector in still air".into(),
                command: Some("lineproof add DIR joint-checked --joint coil-liquid --method detector --result no-leak".into()),
                narrows: "whether it still leaks; a technician is needed either way".into(),
                effort: Effort::Minutes,
            }],
        },
        stages,
        events: vec![
            event("2025-10-15 18:05", None, "standing pressure test of 24 h passed", None),
            event("2025-10-20 11:00", None, "technician: evacuated, charge let in", None),
            event(
                "2025-11-03 16:10",
                Some("2025-11-04 08:00"),
                "flare at the coil retightened under pressure, hissed for 20 s",
                Some("tight (liquid line, indoor coil), charge"),
            ),
        ],
        warnings: vec!["logs/hold.csv has another digest than its event says: it was changed after 2025-10-16".into()],
        hold: None,
        residuals: None,
        loss_limit: None,
        rise: None,
        pump_down: None,
        charge: None,
        running: Some(running()),
        running_log: None,
        cycle: None,
        ..go_on()
    }
}

fn held() -> StageSheet {
    let rate = |psi_per_hour| PressureRate::of(psi_per_hour, unit::PSI_PER_HOUR).si();
    StageSheet {
        finding: Finding {
            stage: Stage::Tight,
            covers: LINES.to_vec(),
            outcome: Outcome::Pass,
            reasons: vec![
                Reason::new(
                    "loss-below-limit",
                    SourceId::TightLimit,
                    "no loss seen beyond 0.021 psi/h; the limit is 0.05 psi/h",
                ),
                Reason::new(
                    "follows-temperature",
                    SourceId::TightMethod,
                    "the gauge follows the outdoor temperature as a closed volume does: 71 % of the gas is outdoors",
                ),
            ],
            figures: vec![
                NamedInterval {
                    name: "pressure loss",
                    interval: Interval {
                        estimate: rate(0.006),
                        low: rate(-0.009),
                        high: rate(0.021),
                        dimension: PressureRate::DIMENSION,
                    },
                    source: SourceId::TightMethod,
                },
                NamedInterval {
                    name: "outdoor swing",
                    interval: Interval::normal(
                        TemperatureDiff::of(23.4, unit::FAHRENHEIT_DIFF),
                        TemperatureDiff::of(0.5, unit::FAHRENHEIT_DIFF),
                    ),
                    source: SourceId::En837,
                },
            ],
            unseen: vec![
                "a leak below 85 g/yr at running pressure: only bubbles and a detector at each joint would see it".into(),
                "anything in the outdoor unit: its valves were shut".into(),
            ],
            detail: Detail::None,
        },
        evidence: vec!["2025-10-14 18:00 to 2025-10-15 18:00: standing pressure test, 402 psig of dry nitrogen, a reading a minute".into()],
        cautions: vec![Caution {
            text: "nitrogen through a regulator only, never above the low-side test pressure on the nameplate",
            source: SourceId::Ashrae15Gas,
        }],
        replaced_by: None,
        next: Some("lineproof tight hold.csv --record lake-workshop".into()),
    }
}

fn ran() -> StageSheet {
    let kelvin = |f: f64| TemperatureDiff::of(f, unit::FAHRENHEIT_DIFF);
    StageSheet {
        finding: Finding {
            covers: Segment::ALL[..4].to_vec(),
            figures: vec![
                NamedInterval {
                    name: "superheat",
                    interval: Interval::normal(kelvin(14.2), kelvin(1.1)),
                    source: SourceId::SaturationUncertainty,
                },
                NamedInterval {
                    name: "subcooling",
                    interval: Interval::normal(kelvin(4.6), kelvin(1.2)),
                    source: SourceId::SaturationUncertainty,
                },
                NamedInterval {
                    name: "outdoor air",
                    interval: Interval::normal(
                        Temperature::of(71.5, unit::FAHRENHEIT),
                        kelvin(0.5),
                    ),
                    source: SourceId::IcaoAtmosphere,
                },
            ],
            unseen: vec![
                "a charge less than about 12 % off: other causes move subcooling as much".into(),
            ],
            ..Finding::plain(
                Stage::Run,
                Outcome::Fail,
                vec![Reason::new(
                    "subcooling-low",
                    SourceId::Owner,
                    "subcooling is 4.6 °F, could be 2.2 to 7.0 °F; the nameplate asks for 10 °F within 3 °F",
                )],
            )
        },
        evidence: vec!["2025-11-04 14:10: running 20 min, pipe probes on both lines".into()],
        cautions: vec![],
        replaced_by: None,
        next: None,
    }
}

fn joints() -> StageSheet {
    StageSheet {
        finding: Finding {
            covers: LINES.to_vec(),
            unseen: vec!["a leak below 1e-5 Pa m3/s, or one that the soap did not wet".into()],
            ..Finding::plain(
                Stage::Joints,
                Outcome::Pass,
                vec![Reason::new(
                    "all-checked",
                    SourceId::UnitInstructions,
                    "all four field joints are inside their torque range and showed no bubbles in 5 min",
                )],
            )
        },
        evidence: vec!["2025-10-12: torque of four flares logged".into()],
        cautions: vec![],
        replaced_by: None,
        next: None,
    }
}

fn ledger() -> Vec<JointLine> {
    let joint = |id: &str, place: &str, kind: &str, factory, state: &str| JointLine {
        id: id.into(),
        place: place.into(),
        kind: kind.into(),
        factory,
        proof: if factory {
            Proof::Nothing
        } else {
            Proof::Looked
        },
        state: state.into(),
    };
    vec![
        joint(
            "outdoor-liquid",
            "outdoor unit, liquid valve",
            "flare, 3/8 in",
            false,
            "31 ft lb; no bubbles in 5 min",
        ),
        joint(
            "outdoor-vapour",
            "outdoor unit, vapour valve",
            "flare, 3/4 in",
            false,
            "76 ft lb; no bubbles in 5 min",
        ),
        joint(
            "coil-liquid",
            "indoor coil",
            "flare, 3/8 in",
            false,
            "30 ft lb; no bubbles in 5 min",
        ),
        joint(
            "coil-distributor",
            "indoor coil, behind the panel",
            "braze",
            true,
            "not checked; photograph before touching it",
        ),
    ]
}

/// A day at one reading a minute, invented: a wave, a little loss, a coarse gauge.
pub fn hold(readings: usize, loss_per_hour: f64) -> Hold {
    let hours: Vec<f64> = (0..readings)
        .map(|i| 24.0 * i as f64 / readings as f64)
        .collect();
    let wave = |h: f64| (std::f64::consts::TAU * (h + 3.0) / 24.0).cos();
    let outdoor: Vec<f64> = hours
        .iter()
        .map(|&h| 44.0 + 11.7 * wave(h) + 0.4 * (7.0 * h).sin())
        .collect();
    let expected: Vec<f64> = hours
        .iter()
        .map(|&h| 402.3 + 7.2 * (wave(h - 0.3) - wave(-0.3)))
        .collect();
    let spread = |h: f64| 0.4 + 0.022 * h;
    let shifted = |sign: f64| {
        hours
            .iter()
            .zip(&expected)
            .map(|(&h, p)| p + sign * spread(h))
            .collect()
    };
    let gauge = hours
        .iter()
        .zip(&expected)
        .enumerate()
        .map(|(i, (&h, p))| {
            let noise = 0.12 * ((i as f64 * 12.9898).sin() * 43758.5453).fract();
            ((p - loss_per_hour * h + noise) * 10.0).round() / 10.0
        })
        .collect();
    let fitted = hours
        .iter()
        .zip(&expected)
        .map(|(h, p)| p - loss_per_hour * h)
        .collect();
    Hold {
        began: "14 Oct 18:00".into(),
        band_low: shifted(-1.0),
        band_high: shifted(1.0),
        hours,
        gauge,
        expected,
        fitted,
        steps: vec![],
        outliers: vec![],
        witness: None,
        outdoor: Some(outdoor),
        pressure_unit: "psig",
        temperature_unit: "°F",
    }
}

/// The same day with temperature taken out.
pub fn residuals(readings: usize, loss_per_hour: f64) -> HoldResiduals {
    let hold = hold(readings, loss_per_hour);
    HoldResiduals {
        began: hold.began,
        corrected: hold
            .gauge
            .iter()
            .zip(&hold.expected)
            .map(|(read, expected)| read - expected)
            .collect(),
        fitted: hold.hours.iter().map(|h| -loss_per_hour * h).collect(),
        hours: hold.hours,
        loss: [loss_per_hour, loss_per_hour - 0.015, loss_per_hour + 0.015],
        limit: 0.05,
        words: format!("{loss_per_hour}, invented"),
        steps: vec![],
        outliers: vec![],
        unit: "psi",
    }
}

/// A loss against a limit, in psi/h; it would be narrower after holding longer.
pub fn loss_limit(loss: [f64; 3], limit: f64) -> LossLimit {
    let above_limit = match loss {
        [_, low, _] if low > limit => 0.99,
        [_, _, high] if high < limit => 0.01,
        _ => 0.4,
    };
    LossLimit {
        loss,
        words: format!("{}, could be {} to {} psi/h", loss[0], loss[1], loss[2]),
        limit,
        limit_words: format!(
            "limit {limit} psi/h: 0.05 psi/h at 500 psig, scaled with the absolute pressure"
        ),
        above_limit,
        outcome: match above_limit {
            0.99 => "fail",
            0.01 => "pass",
            _ => "undecided",
        },
        ahead: (above_limit == 0.4).then_some(LossAhead {
            more_hours: 14.0,
            low: -0.8 * limit,
            high: 0.8 * limit,
            given: "if it is tight",
        }),
        unit: "psi/h",
    }
}

/// A curve of the right shape only; the numbers are invented.
pub fn running() -> Running {
    let pressure = |f: f64| (13.83 - 4470.0 / (f + 459.67)).exp() - 14.7;
    let curve = (-20..=150)
        .map(f64::from)
        .map(|temperature| Saturation {
            temperature,
            bubble: pressure(temperature + 1.2),
            dew: pressure(temperature - 1.2),
        })
        .collect();
    let (suction, liquid) = (pressure(41.0 - 1.2), pressure(95.0 + 1.2));
    let point =
        |label: &str, temperature, half_temperature, pressure, half_pressure| RunningPoint {
            label: label.into(),
            temperature,
            half_temperature,
            pressure,
            half_pressure,
            rests_on: RestsOn::Gauge,
        };
    Running {
        refrigerant: "R-454B".into(),
        curve,
        points: vec![
            point("suction line", 55.2, 1.8, suction, 3.0),
            point("liquid line", 90.4, 1.8, liquid, 6.0),
        ],
        spans: vec![
            Span {
                label: "superheat 14.2 °F, could be 12.0 to 16.4 °F".into(),
                pressure: suction,
                from: 41.0,
                to: 55.2,
            },
            Span {
                label: "subcooling 4.6 °F, could be 2.2 to 7.0 °F".into(),
                pressure: liquid,
                from: 95.0,
                to: 90.4,
            },
        ],
        temperature_unit: "°F",
        pressure_unit: "psig",
    }
}

fn blank(stage: Stage) -> StageSheet {
    blank_as(stage, Outcome::NotDone)
}

fn blank_as(stage: Stage, outcome: Outcome) -> StageSheet {
    StageSheet {
        finding: Finding::plain(stage, outcome, vec![]),
        evidence: vec![],
        cautions: vec![],
        replaced_by: None,
        next: None,
    }
}

fn outcomes(stages: &[StageSheet]) -> Vec<(Stage, Outcome)> {
    stages.iter().map(|s| (s.stage(), s.outcome())).collect()
}

pub fn ground(
    code: &'static str,
    text: &str,
    source: SourceId,
    (verdict, meanwhile, how_soon): (Verdict, Meanwhile, HowSoon),
) -> Ground {
    let called = verdict == Verdict::Call;
    Ground {
        code,
        text: text.into(),
        source,
        verdict,
        meanwhile,
        how_soon,
        bring: if called {
            vec![
                "a recovery machine and bottle for A2L",
                "a scale",
                "a liquid line drier",
            ]
        } else {
            vec![]
        },
        first: if called {
            vec!["photograph the flare and the nameplate"]
        } else {
            vec![]
        },
    }
}

fn step(text: &str, command: Option<&str>) -> NextStep {
    NextStep {
        text: text.into(),
        command: command.map(str::to_string),
    }
}

fn event(at: &str, noted: Option<&str>, what: &str, voids: Option<&str>) -> EventLine {
    EventLine {
        number: 7,
        at: at.into(),
        noted: noted.map(str::to_string),
        what: what.into(),
        voids: voids.map(str::to_string),
        photos: vec![],
    }
}
