//! What a record knows of the mass inside: incidents, readings since, a technician's masses.

use super::InputError;
use super::charge::scale_limit;
use super::joints::tube;
use super::machine::metering;
use crate::check::charge::lost::{Circuit, Ended, Escape, Holds, Part, Passed, Timed, TimedBy};
use crate::check::charge::running::{Machine, Moment, Reading as Shown, Speed, Void};
use crate::check::charge::{Before, Input, Known, LineLabel, lost};
use crate::check::{Detail, Outcome, Segment, run};
use crate::physics::cycle::{MeteringKind, MeteringPlace};
use crate::physics::volume::TUBE_U;
use crate::quantity::{
    Duration, Mass, Measured, Origin, Quantity, Temperature, TemperatureDiff, Volume, unit,
};
use crate::record::{
    Answer, AsTyped, Compressor, CompressorSpeed, Connection, Event, EventBody, LineState, Mode,
    Opened, Position, Reading, Record, ReleaseEnd, Released, RepairMethod, Seen, ServiceValve,
    TechnicianVisit, Tube,
};

/// Temperature of lines at rest where nothing is stated, °C, and its standard uncertainty in K; the program's own choice,
/// as all below.
const AT_REST: (f64, f64) = (20.0, 8.0);
/// Volume of a vapour line of which nothing is stated, L/m, and its standard uncertainty: 1/2 to 7/8 in.
const VAPOUR_LINE: (f64, f64) = (0.2, 0.06);
/// Volume of an indoor coil, L for each kg of nameplate charge, and its standard uncertainty.
const INDOOR_COIL: (f64, f64) = (0.4, 0.15);
/// Standard uncertainty of a mass on a line's label, as a share.
const LABEL_U: f64 = 0.03;
/// An opening and a release this near to each other are one incident, s.
const ONE_INCIDENT: f64 = 3600.0;
/// A valve shut later than this after a release began did not end it, s.
const STILL_THAT: f64 = 86_400.0;
/// Superheat as rated with a valve that holds it, K.
const RATED_SUPERHEAT: f64 = 6.0;

/// Where the service valves stood before an event, as far as events say: liquid, vapour.
pub fn valves_at(events: &[&Event], upto: usize) -> (Option<Position>, Option<Position>) {
    let mut valves = (None, None);
    for event in &events[..upto] {
        match &event.body {
            EventBody::ValveMoved(moved) => match moved.valve {
                ServiceValve::LiquidService => valves.0 = Some(moved.to),
                ServiceValve::VapourService => valves.1 = Some(moved.to),
            },
            EventBody::Released(released) => {
                if let Some(stood) = released.valves {
                    valves = (Some(stood.liquid_service), Some(stood.vapour_service));
                }
            }
            EventBody::StartChecked(gate) if gate.valves_open == Answer::Yes => {
                valves = (Some(Position::Open), Some(Position::Open));
            }
            EventBody::TechnicianVisit(_) => valves = (None, None),
            _ => {}
        }
    }
    valves
}

/// What refrigerant came out of, and how.
struct Way<'a> {
    at: usize,
    segments: &'a [Segment],
    released: Option<&'a Released>,
}

impl Record {
    /// What is known of the mass inside beyond what was weighed.
    ///
    /// `events`: in the order in which they happened; `input`: what [`Record::charge_input`] gives. A technician's charge
    /// begins anew. Times count as guesses.
    pub fn charge_known(&self, events: &[&Event], input: &Input) -> Result<Known, InputError> {
        let charged =
            |e: &&Event| matches!(&e.body, EventBody::TechnicianVisit(v) if v.charged.is_some());
        let from = events.iter().rposition(charged);
        let since = from.map_or(0, |at| at + 1);
        let recovered = events[since..].iter().find_map(|e| match &e.body {
            EventBody::TechnicianVisit(visit) => visit.recovered.as_ref().map(AsTyped::value),
            _ => None,
        });
        let ways: Vec<Way> = (since..events.len())
            .filter_map(|at| self.way(events, at))
            .collect();
        let mut assumed = Vec::new();
        let escapes = ways
            .iter()
            .map(|way| self.escape(events, way, input, &mut assumed))
            .collect::<Result<Vec<_>, _>>()?;
        let after = ways.last().map_or(since, |way| way.at + 1);
        let Running { machine, readings } = self.running_since(&events[after..])?;
        Ok(Known {
            before: match from.map(|at| &events[at].body) {
                Some(EventBody::TechnicianVisit(visit)) => before(visit),
                _ if self.lineset.line_set.state == LineState::HeldRefrigerant
                    && input.weighed_in.is_none() =>
                {
                    Before::AsBelongs
                }
                _ => Before::AsWeighed,
            },
            escapes,
            air: air_since(&events[since..]),
            machine,
            void: self.readings_void(),
            readings,
            recovered: recovered.map(weighed_by_technician),
            assumed,
        })
    }

    /// The incident of an event; an opening that a release beside it describes is that one.
    fn way<'a>(&self, events: &[&'a Event], at: usize) -> Option<Way<'a>> {
        let event = events[at];
        let near = |other: &&Event| {
            matches!(other.body, EventBody::Released(_))
                && other.at.seconds_after(event.at).abs() <= ONE_INCIDENT
        };
        match &event.body {
            EventBody::Released(released) => Some(Way {
                at,
                segments: &released.segments,
                released: Some(released),
            }),
            EventBody::Opened(opened) if lets_out(opened) && !events.iter().any(near) => {
                Some(Way {
                    at,
                    segments: &opened.segments,
                    released: None,
                })
            }
            _ => None,
        }
    }

    fn escape(
        &self,
        events: &[&Event],
        way: &Way,
        input: &Input,
        assumed: &mut Vec<&'static str>,
    ) -> Result<Escape, InputError> {
        let event = events[way.at];
        let around = self.barometer().map_err(|error| InputError::Barometer {
            number: event.number,
            error,
        })?;
        let mut assume = |what: &'static str| {
            if !assumed.contains(&what) {
                assumed.push(what);
            }
        };
        assume("lines at rest at 68 °F (20 °C), give or take 29 °F (16 K)");
        let ended = match way.released.map(|r| r.ended) {
            None | Some(ReleaseEnd::Silent) => Ended::Silent,
            Some(ReleaseEnd::Tightened) => Ended::Tightened,
            Some(ReleaseEnd::ValveShut) => Ended::ValveShut,
            Some(ReleaseEnd::NotKnown) => Ended::NotKnown,
        };
        let (valves, hiss) = fed(events, way, ended);
        if hiss.is_some() {
            assume("times as guesses, a factor 2 either way");
        }
        let seen: Vec<lost::Seen> = way.released.map_or(Vec::new(), |released| {
            released
                .seen
                .iter()
                .filter_map(|s| at_the_hole(*s))
                .collect()
        });
        Ok(Escape {
            refrigerant: input.refrigerant,
            temperature: Measured {
                value: Temperature::of(AT_REST.0, unit::CELSIUS),
                standard_uncertainty: TemperatureDiff::from_si(AT_REST.1),
                origin: Origin::Assumed("at rest".into()),
            },
            around: around.pressure(),
            circuit: Circuit::of(Measured {
                value: input.nameplate,
                standard_uncertainty: Mass::from_si(0.0),
                origin: Origin::Unit,
            }),
            isolated: self.isolated(events, way, input, &mut assume)?,
            valves,
            hiss,
            ended,
            passed: if seen.contains(&lost::Seen::Liquid) {
                Passed::Liquid
            } else {
                Passed::NotKnown
            },
            seen,
            hole: None,
        })
    }

    /// What shut service valves leave on the line side: lines and coil are one volume, but pre-charged lines are shut by
    /// their own couplings until they are made up.
    fn isolated(
        &self,
        events: &[&Event],
        way: &Way,
        input: &Input,
        assume: &mut impl FnMut(&'static str),
    ) -> Result<Vec<Part>, InputError> {
        let lines = &self.lineset.line_set;
        let length = input.runs.iter().map(|run| run.installed.si()).sum::<f64>();
        let liquid = self.tubes_volume(&lines.liquid, input, |tubes| tubes.liquid)?;
        let vapour = self.tubes_volume(&lines.vapour, input, |tubes| tubes.vapour)?;
        let litres = |value: f64, u: f64| volume(value * 1e-3, u * 1e-3);
        let liquid = match liquid {
            Some(volume) => volume,
            None => {
                assume("a liquid line of 3/8 in");
                litres(0.05 * length, 0.02 * length)
            }
        };
        let vapour = match vapour {
            Some(volume) => volume,
            None => {
                assume("a vapour line of 1/2 to 7/8 in");
                litres(VAPOUR_LINE.0 * length, VAPOUR_LINE.1 * length)
            }
        };
        let coil = match &lines.volume {
            Some(all) => {
                let rest = all.value().si() - liquid.value.si() - vapour.value.si();
                volume(rest.max(0.0), TUBE_U * all.value().si())
            }
            None => {
                assume("an indoor coil of 0.2 to 0.6 L for each kg of nameplate charge");
                let kilograms = input.nameplate.si();
                litres(INDOOR_COIL.0 * kilograms, INDOOR_COIL.1 * kilograms)
            }
        };
        assume("vapour in the vapour line; anything from vapour to liquid in liquid line and coil");
        let label = match lines.label.as_ref().map(AsTyped::value) {
            Some(LineLabel::Mass(mass)) => Some(mass),
            _ => None,
        };
        let segments = way.segments;
        let made_up = |e: &&Event| matches!(e.body, EventBody::JointMade(_));
        let separate = lines.connection == Connection::PreChargedCouplings
            && !events[..way.at].iter().any(made_up);
        let holds_all = label.filter(|_| separate && segments.len() == 1);
        let parts = [
            (Segment::LiquidLine, liquid, Holds::NotKnown),
            (Segment::VapourLine, vapour, Holds::Vapour),
            (Segment::IndoorCoil, coil, Holds::NotKnown),
        ];
        let named = |segment: &Segment| {
            !separate
                || segments.contains(segment)
                || segments.iter().all(|s| !LINE_SIDE.contains(s))
        };
        Ok(parts
            .into_iter()
            .filter(|(segment, ..)| named(segment))
            .map(|(segment, volume, holds)| Part {
                segment,
                volume,
                holds: match holds_all {
                    Some(mass) if segment == Segment::LiquidLine => Holds::Stated(Measured {
                        value: mass,
                        standard_uncertainty: Mass::from_si(LABEL_U * mass.si()),
                        origin: Origin::Unit,
                    }),
                    _ => holds,
                },
            })
            .collect())
    }

    /// Volume of one of the two lines: of the only one, or of all runs together; none where one is not known.
    fn tubes_volume(
        &self,
        only: &Option<Tube>,
        input: &Input,
        of: fn(&crate::check::charge::Tubes) -> crate::physics::tube::Tube,
    ) -> Result<Option<Measured<Volume>>, InputError> {
        if let Some(facts) = only {
            let bore = tube(facts.od.value(), facts.wall.as_ref().map(AsTyped::value))?;
            let value = bore.volume(facts.length.value()).si();
            return Ok(Some(volume(value, TUBE_U * value)));
        }
        let runs = input.runs.iter().filter(|run| !run.without_head());
        let each: Option<Vec<f64>> = runs
            .map(|run| Some(of(run.tubes.as_ref()?).volume(run.installed).si()))
            .collect();
        Ok(each.filter(|each| !each.is_empty()).map(|each| {
            let sum = each.iter().sum::<f64>();
            volume(sum, TUBE_U * sum)
        }))
    }

    /// Why readings of this machine say nothing about its charge, where the facts say so.
    fn readings_void(&self) -> Option<Void> {
        let equipment = &self.lineset.equipment;
        let outdoors = metering(self.lineset.line_set.metering_device)
            .is_some_and(|device| device.place == MeteringPlace::Outdoors);
        if equipment.accumulator == Answer::Yes {
            Some(Void::Accumulator)
        } else {
            outdoors.then_some(Void::TwoPhaseLine)
        }
    }

    /// The machine as rated where its readings follow the charge, and the latest whole reading since.
    ///
    /// Where nobody said whether an accumulator is fitted nothing is taken from readings: most heat pumps have one.
    fn running_since(&self, events: &[&Event]) -> Result<Running, InputError> {
        let equipment = &self.lineset.equipment;
        let device = metering(self.lineset.line_set.metering_device);
        let rated = equipment.target_subcooling.as_ref().map(AsTyped::value);
        let (Some(device), Some(subcooling)) = (device, rated) else {
            return Ok(Running::default());
        };
        if equipment.accumulator != Answer::No || device.place == MeteringPlace::Outdoors {
            return Ok(Running::default());
        }
        let latest = events.iter().rev().find_map(|event| match &event.body {
            EventBody::Reading(reading) if reading.mode == Mode::Cooling => Some((event, reading)),
            _ => None,
        });
        let read = match latest {
            Some((event, reading)) => self.whole(event, reading)?,
            None => None,
        };
        let orifice = device.kind == MeteringKind::FixedOrifice;
        let one_speed = matches!(
            equipment.compressor,
            Some(Compressor::Fixed | Compressor::TwoStage)
        );
        let held = Some(TemperatureDiff::from_si(RATED_SUPERHEAT));
        let superheat = match &read {
            // a fixed orifice has another target every day
            Some(read) if orifice => read.target_superheat,
            Some(_) => held,
            None => held.filter(|_| one_speed && !orifice),
        };
        let machine = superheat.map(|superheat| Machine::rated(subcooling, superheat));
        let readings = read.into_iter().map(|read| (read.shown, read.moment));
        Ok(Running {
            machine,
            readings: readings.collect(),
        })
    }

    /// A reading with superheat and subcooling under conditions in which they mean something.
    fn whole(&self, event: &Event, reading: &Reading) -> Result<Option<Whole>, InputError> {
        let Some(input) = self.run_input(event, reading)? else {
            return Ok(None);
        };
        let criteria = self.run_criteria(event, reading)?;
        // what is wrong with a reading is said where it is judged
        let Ok(finding) = run::assess(&input, &criteria) else {
            return Ok(None);
        };
        let valid = matches!(
            finding.outcome,
            Outcome::Pass | Outcome::Fail | Outcome::Undecided
        );
        let Detail::Run(detail) = finding.detail else {
            return Ok(None);
        };
        let speed = match reading.compressor_speed {
            Some(CompressorSpeed::Locked) => Some(Speed::Test),
            Some(CompressorSpeed::Free) => Some(Speed::Free),
            Some(CompressorSpeed::Fixed) => Some(Speed::Fixed),
            None => match self.lineset.equipment.compressor {
                Some(Compressor::Fixed | Compressor::TwoStage) => Some(Speed::Fixed),
                Some(Compressor::Inverter) => Some(Speed::Free),
                None => None,
            },
        };
        let (Some(superheat), Some(subcooling), Some(speed), true) =
            (detail.superheat, detail.subcooling, speed, valid)
        else {
            return Ok(None);
        };
        let measured = |read: run::Reading| Measured {
            value: read.value,
            standard_uncertainty: read.standard_uncertainty,
            origin: Origin::Reading("running reading".into()),
        };
        Ok(Some(Whole {
            shown: Shown {
                subcooling: measured(subcooling),
                superheat: measured(superheat),
            },
            moment: Moment {
                accumulator: false,
                speed,
                two_phase_liquid_line: false,
            },
            target_superheat: detail.target_superheat.map(|target| target.value),
        }))
    }
}

/// The machine as rated where its readings follow the charge, and whole readings of it.
#[derive(Default)]
struct Running {
    machine: Option<Machine>,
    readings: Vec<(Shown, Moment)>,
}

/// A whole reading, and the superheat that a fixed orifice should have had.
struct Whole {
    shown: Shown,
    moment: Moment,
    target_superheat: Option<TemperatureDiff>,
}

/// Lines and indoor coil.
const LINE_SIDE: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

fn lets_out(opened: &Opened) -> bool {
    opened.held_refrigerant == Answer::Yes
}

fn volume(value: f64, u: f64) -> Measured<Volume> {
    Measured {
        value: Volume::from_si(value),
        standard_uncertainty: Volume::from_si(u),
        origin: Origin::Assumed("size and length".into()),
    }
}

fn weighed_by_technician(mass: Mass) -> Measured<Mass> {
    Measured {
        value: mass,
        standard_uncertainty: Mass::from_si(scale_limit().si() / 3f64.sqrt()),
        origin: Origin::Reading("technician's scale".into()),
    }
}

/// What a technician left in: the mass charged into an emptied circuit; a top-up brings it to what belongs in.
fn before(visit: &TechnicianVisit) -> Before {
    match &visit.charged {
        Some(mass) if visit.recovered.is_some() || visit.evacuated_to.is_some() => {
            Before::Charged(weighed_by_technician(mass.value()))
        }
        _ => Before::AsBelongs,
    }
}

/// Whether air has to be assumed inside: opened, mended with the circuit open, or blown down to silence, and not evacuated
/// since.
fn air_since(events: &[&Event]) -> bool {
    events.iter().fold(false, |air, event| match &event.body {
        EventBody::Opened(opened) => air || lets_out(opened),
        EventBody::Released(released) => air || released.ended == ReleaseEnd::Silent,
        EventBody::Repaired(repaired) => air || repaired.method != RepairMethod::Tightened,
        EventBody::Evacuation(_) => false,
        EventBody::TechnicianVisit(visit) if visit.evacuated_to.is_some() => false,
        _ => air,
    })
}

fn at_the_hole(seen: Seen) -> Option<lost::Seen> {
    match seen {
        Seen::Hiss => None,
        Seen::Mist => Some(lost::Seen::Mist),
        Seen::Liquid => Some(lost::Seen::Liquid),
        Seen::Frost => Some(lost::Seen::Frost),
        Seen::Oil => Some(lost::Seen::Oil),
    }
}

fn guess(seconds: f64) -> Timed {
    Timed {
        duration: Duration::from_si(seconds),
        by: TimedBy::Guess,
    }
}

/// What fed the hole, and how long it hissed.
fn fed(events: &[&Event], way: &Way, ended: Ended) -> (lost::Valves, Option<Timed>) {
    let lasted = way
        .released
        .and_then(|r| r.lasted.as_ref())
        .map(|lasted| lasted.value().si());
    let stood = match way.released.and_then(|released| released.valves) {
        Some(valves) => (Some(valves.liquid_service), Some(valves.vapour_service)),
        None => valves_at(events, way.at),
    };
    let open =
        |at: (Option<Position>, Option<Position>)| [at.0, at.1].contains(&Some(Position::Open));
    // shut service valves do not part a hole in the outdoor unit from the charge
    if way.segments.contains(&Segment::OutdoorUnit) {
        return (lost::Valves::Open, lasted.map(guess));
    }
    if stood == (Some(Position::Shut), Some(Position::Shut)) {
        return (lost::Valves::Shut, lasted.map(guess));
    }
    if !open(stood) {
        return (lost::Valves::NotKnown, lasted.map(guess));
    }
    let shut_after = shut_after(events, way.at);
    match (shut_after, ended) {
        (Some(after), Ended::ValveShut) => (
            lost::Valves::Open,
            Some(guess(lasted.map_or(after, |l| l.max(after)))),
        ),
        (Some(after), _) if lasted.is_none_or(|lasted| lasted > after) => {
            let rest = lasted.map(|lasted| guess(lasted - after));
            (lost::Valves::ShutAfter(guess(after)), rest)
        }
        _ => (lost::Valves::Open, lasted.map(guess)),
    }
}

/// Seconds from an event until both service valves were shut, within a day.
fn shut_after(events: &[&Event], at: usize) -> Option<f64> {
    let shut = (Some(Position::Shut), Some(Position::Shut));
    let index = (at + 1..events.len()).find(|later| valves_at(events, later + 1) == shut)?;
    let seconds = events[index].at.seconds_after(events[at].at);
    (seconds <= STILL_THAT).then_some(seconds.max(1.0))
}
