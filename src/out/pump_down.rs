//! A pump-down to come, and one that was logged, in words.

use super::told::{Line, Part, Told};
use crate::check::dry::CAUTIONS;
use crate::check::dry::pumping::{self, Linger, PumpLog, Step, Stretch};
use crate::fluid::water::{Phase, TRIPLE_PRESSURE, TRIPLE_TEMPERATURE, WaterError};
use crate::physics::vacuum::{
    self, Boiling, Element, Path, PumpCurve, PumpDown, PumpError, SpeedAt, Vessel,
};
use crate::quantity::{
    Duration, Length, Mass, PressureAbs, Quantity, Temperature, UnitSystem, Volume, VolumeFlow,
    both, unit,
};
use crate::source::SourceId;

/// What is pumped down with what.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The volume.
    pub volume: Volume,
    /// The pump.
    pub pump: PumpCurve,
    /// Bore and length of each hose.
    pub hose: Element,
    /// Service ports in use, a hose at each.
    pub ports: u32,
    /// Whether the valve cores are left in.
    pub cores_in: bool,
    /// Liquid water that is feared to be inside.
    pub water: Option<Mass>,
    /// Temperature of lines and water.
    pub temperature: Temperature,
    /// Where it starts.
    pub from: PressureAbs,
    /// Where it should get to.
    pub target: PressureAbs,
}

/// What a pump-down comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// Time when it is dry.
    pub dry: Duration,
    /// What is left of the pump's speed on the way, falling pressures.
    pub speeds: Vec<SpeedAt>,
    /// Water boiling away.
    pub water: Option<WaterTime>,
    /// What would help, the most first.
    pub helps: Vec<Help>,
}

/// The time that water takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterTime {
    /// As fast as the pump takes it, its temperature held.
    pub warm: (Boiling, Duration),
    /// As ice just below freezing; none where the pump cannot reach its vapour pressure.
    pub ice: Option<(Boiling, Duration)>,
    /// The share that boils away before the rest freezes, without heat from outside.
    pub freezes: Option<f64>,
}

/// One thing changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Help {
    /// What.
    pub what: &'static str,
    /// The time then, with its water.
    pub time: Duration,
    /// What it saves; below zero when it costs time.
    pub saves: Duration,
}

/// Why a pump-down cannot be computed.
#[derive(Debug, thiserror::Error)]
pub enum SetupError {
    /// The pump does not get there.
    #[error(transparent)]
    Pump(#[from] PumpError),
    /// Outside the range of water.
    #[error(transparent)]
    Water(#[from] WaterError),
    /// Water that the pump cannot boil.
    #[error("water at {}: the pump cannot reach its vapour pressure; warm the lines", crate::quantity::both(*temperature))]
    TooCold {
        /// Its temperature.
        temperature: Temperature,
    },
}

/// Bores of service hoses by their nominal size, mm. Source: [`SourceId::HoseBore`].
pub const HOSES: [(&str, f64); 3] = [("1/4", 4.8), ("3/8", 8.0), ("1/2", 12.7)];

impl Setup {
    /// As physics wants it.
    pub fn vessel(&self) -> Vessel {
        let core = self.cores_in.then(Element::valve_core);
        Vessel {
            volume: self.volume,
            pump: self.pump,
            path: Path {
                elements: core.into_iter().chain([self.hose]).collect(),
                side_by_side: self.ports,
            },
            temperature: self.temperature,
        }
    }

    /// Times and speeds, and what would help.
    pub fn expected(&self) -> Result<Expected, SetupError> {
        let vessel = self.vessel();
        let curve = PumpDown::of_air(&vessel);
        let dry = curve.time(self.from, self.target)?;
        let micron = |v| PressureAbs::of(v, unit::MICRON);
        let mut levels: Vec<_> = [100_000.0, 10_000.0, 1_000.0, 500.0, 250.0]
            .map(micron)
            .into_iter()
            .filter(|p| *p > self.target && *p < self.from)
            .collect();
        levels.push(self.target);
        let water = self.water.map(|mass| self.water(mass)).transpose()?;
        Ok(Expected {
            dry,
            speeds: levels.into_iter().filter_map(|p| curve.at(p)).collect(),
            helps: self.helps(self.total()?)?,
            water,
        })
    }

    fn water(&self, mass: Mass) -> Result<WaterTime, SetupError> {
        let vessel = self.vessel();
        let temperature = self.temperature;
        let warm = vacuum::boiling(&vessel, temperature)?;
        let warm = warm.ok_or(SetupError::TooCold { temperature })?;
        let ice = match warm.phase {
            Phase::Liquid => {
                vacuum::boiling(&vessel, Temperature::from_si(TRIPLE_TEMPERATURE - 0.01))?
            }
            Phase::Ice => None,
        };
        Ok(WaterTime {
            warm: (warm, warm.time(mass)),
            ice: ice.map(|ice| (ice, ice.time(mass))),
            freezes: vacuum::freezes_the_rest(temperature)?,
        })
    }

    /// Dry and water together, the water held at its temperature.
    fn total(&self) -> Result<f64, SetupError> {
        let dry = PumpDown::of_air(&self.vessel()).time(self.from, self.target)?;
        let water = self.water.map(|mass| self.water(mass)).transpose()?;
        Ok(dry.si() + water.map_or(0.0, |w| w.warm.1.si()))
    }

    fn helps(&self, now: f64) -> Result<Vec<Help>, SetupError> {
        let hose = |mm| Length::of(mm, unit::MILLIMETRE);
        let wider = |mm: f64| Setup {
            hose: Element {
                bore: hose(mm),
                ..self.hose
            },
            ..self.clone()
        };
        let mut changed: Vec<(&'static str, Setup)> = Vec::new();
        for (size, words) in [(8.0, "a 3/8 in hose"), (12.7, "a 1/2 in hose")] {
            if self.hose.bore < hose(size) {
                changed.push((words, wider(size)));
            }
        }
        if self.cores_in {
            changed.push((
                "both valve cores out",
                Setup {
                    cores_in: false,
                    ..self.clone()
                },
            ));
        }
        if self.ports == 1 {
            changed.push((
                "both service ports",
                Setup {
                    ports: 2,
                    ..self.clone()
                },
            ));
        }
        let half = Element {
            length: Length::from_si(0.5 * self.hose.length.si()),
            ..self.hose
        };
        changed.push((
            "hoses half as long",
            Setup {
                hose: half,
                ..self.clone()
            },
        ));
        let speed = VolumeFlow::from_si(2.0 * self.pump.speed.si());
        let pump = PumpCurve { speed, ..self.pump };
        changed.push((
            "a pump twice as fast",
            Setup {
                pump,
                ..self.clone()
            },
        ));
        let all = Setup {
            cores_in: false,
            ports: self.ports.max(2),
            ..wider(self.hose.bore.si().max(8e-3) * 1e3)
        };
        changed.push(("a 3/8 in hose, both ports and the cores out", all));
        let mut out = Vec::new();
        for (what, setup) in changed {
            let time = setup.total()?;
            out.push(Help {
                what,
                time: Duration::from_si(time),
                saves: Duration::from_si(now - time),
            });
        }
        out.sort_by(|a, b| b.saves.si().total_cmp(&a.saves.si()));
        Ok(out)
    }
}

/// "12 s", "1.8 min", "35 min", "2.3 h".
pub fn time_words(time: Duration) -> String {
    let s = time.si();
    match s {
        s if s < 59.5 => format!("{s:.0} s"),
        s if s < 597.0 => format!("{:.1} min", s / 60.0),
        s if s < 5970.0 => format!("{:.0} min", s / 60.0),
        s if s < 2.0 * 86_400.0 => format!("{:.1} h", s / 3600.0),
        s => format!("{:.0} days", s / 86_400.0),
    }
}

/// "0.024 L/s (0.05 cfm)".
pub fn speed_words(speed: VolumeFlow) -> String {
    let (l, cfm) = (
        speed.in_unit(unit::LITRE_PER_SECOND),
        speed.in_unit(unit::CUBIC_FOOT_PER_MINUTE),
    );
    format!("{} L/s ({} cfm)", two_digits(l), two_digits(cfm))
}

fn two_digits(value: f64) -> String {
    let behind = (1.0 - value.abs().max(1e-9).log10().floor()).clamp(0.0, 4.0) as usize;
    format!("{value:.behind$}")
}

fn micron(p: PressureAbs) -> String {
    format!("{:.0}", p.in_unit(unit::MICRON))
}

fn sourced(text: impl Into<String>, source: SourceId) -> Line {
    Line::Sourced(text.into(), source)
}

fn practice(text: &str) -> Line {
    sourced(text, SourceId::CommonPractice)
}

/// A pump-down to come, in words; `rests_on`: what was typed and assumed, a line each.
pub fn expected_told(
    setup: &Setup,
    expected: &Expected,
    seen: Option<&PumpLog>,
    rests_on: Vec<Line>,
    atmosphere: PressureAbs,
    units: UnitSystem,
) -> Told {
    let mut headline = format!(
        "down to {} micron in about {} if it is dry inside",
        micron(setup.target),
        time_words(expected.dry)
    );
    if let (Some(mass), Some(water)) = (setup.water, &expected.water) {
        headline += &format!(
            ", and {} more for {} of water",
            water_range(water),
            both(mass)
        );
    }
    let mut parts = Vec::new();
    if let Some(log) = seen {
        parts.push(Part {
            heading: "The log",
            lines: log_lines(log, Some(setup.volume), units),
        });
    }
    parts.push(Part {
        heading: "Left of the pump's speed",
        lines: expected
            .speeds
            .iter()
            .map(|s| speed_line(s, setup))
            .collect(),
    });
    if let Some(water) = &expected.water {
        parts.push(Part {
            heading: "Water",
            lines: water_lines(water, units),
        });
    }
    parts.push(Part {
        heading: "What would help",
        lines: expected.helps.iter().map(help_line).collect(),
    });
    parts.push(Part {
        heading: "It rests on",
        lines: rests_on,
    });
    parts.extend(steps_to_take(setup.target, atmosphere));
    Told { headline, parts }
}

/// A logged pump-down alone, in words.
pub fn log_told(
    log: &PumpLog,
    volume: Option<Volume>,
    rests_on: Vec<Line>,
    atmosphere: PressureAbs,
    units: UnitSystem,
) -> Told {
    let headline = match (&log.lingers, log.steps.first()) {
        (Some(l), _) if l.fell_after => linger_words(l, units),
        (_, Some(step)) => step_words(step),
        (Some(l), None) => linger_words(l, units),
        (None, None) => format!(
            "pumped down to {} micron in {}, with nothing switched and nothing that lingers",
            micron(log.deepest.1),
            time_words(Duration::of(log.deepest.0 - log.began, unit::MINUTE))
        ),
    };
    let mut parts = vec![Part {
        heading: "The log",
        lines: log_lines(log, volume, units),
    }];
    parts.push(Part {
        heading: "It rests on",
        lines: rests_on,
    });
    let target = PressureAbs::of(500.0, unit::MICRON);
    parts.extend(steps_to_take(target, atmosphere));
    Told { headline, parts }
}

fn water_range(water: &WaterTime) -> String {
    let warm = time_words(water.warm.1);
    match &water.ice {
        Some((_, ice)) => format!("{warm} to {}", time_words(*ice)),
        None => warm,
    }
}

fn speed_line(at: &SpeedAt, setup: &Setup) -> Line {
    let share = 100.0 * at.speed.si() / setup.pump.speed.si();
    let text = format!(
        "at {} micron {} of the pump's {}, {} %; its inlet then has {} micron",
        micron(at.pressure),
        speed_words(at.speed),
        speed_words(setup.pump.speed),
        two_digits(share),
        micron(at.inlet)
    );
    sourced(text, vacuum::CONDUCTANCE_SOURCE)
}

fn help_line(help: &Help) -> Line {
    let saves = help.saves.si();
    let text = if saves > 0.5 {
        format!(
            "{}: {}, saves {}",
            help.what,
            time_words(help.time),
            time_words(help.saves)
        )
    } else {
        format!("{}: {}, gains nothing", help.what, time_words(help.time))
    };
    Line::Plain(text)
}

fn water_lines(water: &WaterTime, units: UnitSystem) -> Vec<Line> {
    let (warm, time) = water.warm;
    let what = match warm.phase {
        Phase::Liquid => "water",
        Phase::Ice => "ice",
    };
    let mut lines = vec![sourced(
        format!(
            "{what} at {} holds the vacuum at {} micron until it is gone: {} if {} of heat reach it",
            warm.temperature.show(units),
            micron(warm.plateau),
            time_words(time),
            heat_words(warm),
        ),
        warm.phase.source(),
    )];
    if let Some((ice, time)) = water.ice {
        lines.push(sourced(
            format!(
                "ice at {} holds it at {} micron: {}, with {} of heat",
                ice.temperature.show(units),
                micron(ice.plateau),
                time_words(time),
                heat_words(ice)
            ),
            SourceId::IapwsR14,
        ));
    }
    if let Some(share) = water.freezes {
        lines.push(sourced(
            format!(
                "without heat {:.0} % of it boils away and the rest freezes: below {} micron ({}) there is only ice",
                100.0 * share,
                micron(PressureAbs::from_si(TRIPLE_PRESSURE)),
                Temperature::from_si(TRIPLE_TEMPERATURE).show(units)
            ),
            SourceId::IapwsR14,
        ));
    }
    lines.push(sourced(
        "its vapour flows as a lighter and thinner gas than air",
        vacuum::STEAM_SOURCE,
    ));
    lines
}

fn heat_words(boiling: Boiling) -> String {
    format!("{} W", two_digits(boiling.heat.si()))
}

fn log_lines(log: &PumpLog, volume: Option<Volume>, units: UnitSystem) -> Vec<Line> {
    let by_log = |text: String| sourced(text, pumping::SOURCE);
    let mut lines = vec![by_log(format!(
        "it began to fall at {:.1} min; the deepest while the pump ran is {} micron at {:.1} min",
        log.began,
        micron(log.deepest.1),
        log.deepest.0
    ))];
    lines.extend(
        log.stretches
            .iter()
            .map(|s| by_log(stretch_words(s, volume))),
    );
    lines.extend(log.lingers.iter().map(|l| by_log(linger_words(l, units))));
    lines.extend(log.steps.iter().map(|s| by_log(step_words(s))));
    if let Some(at) = log.shut_off {
        lines.push(by_log(format!(
            "the pump was shut off at {at:.1} min: it rises from there to the end; give that part to lineproof dry"
        )));
    }
    lines
}

/// The pump-down of a record, and what would say more; `file`: its log in the record.
pub(super) fn in_a_record(
    log: &PumpLog,
    volume: Option<Volume>,
    file: Option<&str>,
    units: UnitSystem,
) -> Vec<Line> {
    let mut lines = log_lines(log, volume, units);
    if volume.is_none() {
        lines.push(Line::Plain(
            "with the volume of lines and coil each stretch would give the effective speed through hoses and cores: volume under [line_set] in lineset.toml (lineproof volume reckons it)".into(),
        ));
    }
    if let Some(file) = file {
        let volume = volume.map_or("VOLUME".into(), |v| {
            format!("{:.2}L", v.in_unit(unit::LITRE))
        });
        lines.push(Line::Plain(format!(
            "with the pump's speed and the hoses: how long it should have taken and what would shorten it (lineproof pump-down {file} --volume {volume} --pump SPEED)"
        )));
    }
    lines
}

fn stretch_words(stretch: &Stretch, volume: Option<Volume>) -> String {
    let seconds = |m: f64| time_words(Duration::of(m, unit::MINUTE));
    let [took, least, most] = stretch.minutes;
    let mut text = format!(
        "{} to {} micron: {}, could be {} to {}",
        micron(stretch.from),
        micron(stretch.to),
        seconds(took),
        seconds(least),
        seconds(most)
    );
    if stretch.broken {
        return text + "; something was switched in it or it lingers, so it tells no speed";
    }
    if let Some(volume) = volume {
        let (speed, least, most) = stretch.speed(volume);
        let most = most.map_or("more than the log can tell".into(), speed_words);
        text += &format!(
            "; effective speed {}, could be {} to {most}, less what was given off",
            speed_words(speed),
            speed_words(least)
        );
    }
    text
}

/// "it lingers at 9200 micron from 2.3 to 12.0 min: water at 50 °F boils there".
pub fn linger_words(l: &Linger, units: UnitSystem) -> String {
    let level = micron(l.level);
    let what = match l.water {
        Some((t, Phase::Liquid)) => format!("that is where water boils at {}", t.show(units)),
        Some((t, Phase::Ice)) => format!("that is where ice at {} turns to vapour", t.show(units)),
        None => "water does not boil there at any temperature known here".into(),
    };
    let then = if l.fell_after {
        "and it falls on after that: what gave off the vapour there is gone"
    } else {
        "and it does not fall on: water, ice, a leak, or the end of what pump and hoses reach; shut the valve to the pump and see whether it rises"
    };
    format!(
        "it lingers near {level} micron from {:.1} to {:.1} min; {what}, {then}",
        l.from, l.to
    )
}

/// "344 to 7 micron in 18 s at 5.6 min: something was switched there".
pub fn step_words(step: &Step) -> String {
    let took = time_words(Duration::of(step.until - step.minutes, unit::MINUTE));
    let way = if step.rose() {
        "it rose while the pump ran: something was opened, or gas was let in"
    } else {
        "something was switched there: a valve, a hose, the gas ballast"
    };
    format!(
        "{} to {} micron in {took} at {:.1} min ({:.0} s): {way}",
        micron(step.from),
        micron(step.to),
        step.minutes,
        60.0 * step.minutes
    )
}

/// What to do and to mind.
fn steps_to_take(target: PressureAbs, atmosphere: PressureAbs) -> Vec<Part> {
    let low = PressureAbs::of(1500.0, unit::MICRON);
    let high = PressureAbs::from_si(atmosphere.si() + 2.0 * 6_894.757);
    let one = 1.0 / vacuum::left_after_sweeps(low, high, 1);
    let three = 1.0 / vacuum::left_after_sweeps(low, high, 3);
    let triple = vec![
        practice(
            "pull it in three sweeps where it lingers, where water was seen, or where the lines stood open in the rain; a dry line set needs one",
        ),
        practice(
            "each sweep: down to 1,000 to 2,000 micron, shut the pump's valve, let in dry nitrogen to 1 to 3 psig over its regulator, wait ten minutes, let it out, pump again; the last sweep goes all the way",
        ),
        Line::Plain(format!(
            "from 1500 micron to 2 psig each sweep leaves 1 part in {one:.0} of the air and vapour, three 1 part in {:.0} million; water that is still liquid or ice is not diluted",
            three / 1e6
        )),
    ];
    let mind = vec![
        practice(
            "new oil before it starts, and again once it looks milky or after water: wet oil gives its vapour back and the pump no longer pulls deep",
        ),
        practice("gas ballast open while there is vapour to take, shut for the last way down"),
        sourced(
            "below 4588 micron water is ice and dries slowly: warm cold spots with warm air or a lamp, never with a flame",
            SourceId::IapwsR14,
        ),
        practice(
            "valve cores come out, and go back in, with a core tool that has its own valve; read the gauge at the line set, not at the pump",
        ),
        practice(
            "shut the valve to the pump before the pump is switched off: its oil is drawn in otherwise",
        ),
        Line::Plain(format!(
            "reaching {} micron proves nothing yet: shut off, the vacuum rise tells dry from wet and tight from leaking (lineproof dry)",
            micron(target)
        )),
    ];
    let cautions = CAUTIONS.iter().map(|c| sourced(c.text, c.source)).collect();
    [
        ("Triple evacuation", triple),
        ("Mind the pump", mind),
        ("Mind yourself", cautions),
    ]
    .map(|(heading, lines)| Part { heading, lines })
    .into()
}
