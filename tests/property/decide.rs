//! A worse finding never gives a kinder answer, an incident neither; the order of writing does not matter.

use std::path::Path;

use lineproof::check::{Finding, Outcome, Reason, Segment, Stage, charge, dry, joints, run, tight};
use lineproof::decide::{Decision, Verdict, evidence, judge};
use lineproof::quantity::UnitSystem;
use lineproof::record::*;
use lineproof::source::SourceId;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use super::world::*;

/// Outcomes with evidence, the kindest first; those of one rank are equally bad.
const RANKS: [&[Outcome]; 3] = [
    &[Outcome::Pass],
    &[Outcome::Undecided, Outcome::NotValidNow, Outcome::OutOfDate],
    &[Outcome::Fail],
];

/// Codes that a rule listens to, each with the stage that says it.
const LISTENED: [(Stage, &str); 12] = [
    (Stage::Dry, dry::reasons::LEAK),
    (Stage::Charge, charge::reasons::TO_WEIGH_IN),
    (Stage::Tight, tight::reasons::WRONG_GAS),
    (Stage::Tight, tight::reasons::OVER_RATING),
    (Stage::Tight, tight::reasons::LEAK_SEEN),
    (Stage::Tight, tight::reasons::CODE_RULE_NOT_MET),
    (Stage::Tight, tight::reasons::CODE_RULE_SHORT),
    (Stage::Tight, evidence::TECHNICIANS_WORK),
    (Stage::Joints, joints::reasons::LEAKING),
    (Stage::Joints, joints::reasons::FACTORY_LEAKING),
    (Stage::Run, run::reasons::LIQUID_RETURNING),
    (Stage::Run, run::reasons::NO_HEAT_REJECTED),
];

fn outcome() -> impl Strategy<Value = Outcome> {
    select(vec![
        Outcome::Pass,
        Outcome::Fail,
        Outcome::Undecided,
        Outcome::NotDone,
        Outcome::OutOfDate,
        Outcome::NotValidNow,
        Outcome::DoesNotApply,
    ])
}

fn line_sets() -> impl Strategy<Value = LineSet> {
    let connection = select(Connection::ALL);
    let state = select(LineState::ALL);
    let country = select(vec!["US", "EU", "Australia"]);
    let refrigerant = select(vec![None, Some("R-410A"), Some("R-32")]);
    (connection, state, country, refrigerant).prop_map(|(connection, state, country, name)| {
        let mut lineset = line_set(connection, state);
        lineset.place.country = country.into();
        lineset.equipment.refrigerant = name.map(String::from);
        lineset
    })
}

/// What happens without being an incident.
fn usual() -> impl Strategy<Value = EventBody> {
    let results = (select(JointMethod::ALL), select(JointResult::ALL));
    let looks = results.prop_map(|(method, result)| look("liquid-out", method, result).into());
    let gases = select(TestGas::ALL).prop_map(|gas| test_with(gas).into());
    let valves = select(ServiceValve::ALL);
    let moved = (valves, select(Position::ALL)).prop_map(|(v, to)| valve(v, to).into());
    prop_oneof![
        moved,
        looks,
        gases,
        Just(weighed_out().into()),
        select(Person::ALL).prop_map(|by| weighed(by).into()),
        Just(evacuation().into()),
        Just(started().into()),
        Just(Stopped { why: None }.into()),
        Just(put_right().into()),
        Just(TechnicianVisit::default().into()),
    ]
}

/// What a test or a look showed.
fn shows() -> impl Strategy<Value = (Stage, Outcome, Person)> {
    (
        select(vec![Stage::Joints, Stage::Tight, Stage::Dry]),
        select(vec![Outcome::Pass, Outcome::Undecided, Outcome::Fail]),
        select(Person::ALL),
    )
}

fn segments() -> impl Strategy<Value = Vec<Segment>> {
    subsequence(Segment::ALL.to_vec(), 1..=4)
}

/// Opened, released, or repaired with heat.
fn incident() -> impl Strategy<Value = EventBody> {
    let answer = || select(Answer::ALL);
    prop_oneof![
        (segments(), answer()).prop_map(|(segments, held)| {
            Opened {
                segments,
                ..opened(held)
            }
            .into()
        }),
        (
            segments(),
            select(Whereabouts::ALL),
            select(ReleaseEnd::ALL)
        )
            .prop_map(|(segments, whereabouts, ended)| {
                Released {
                    segments,
                    ..released(whereabouts, ended)
                }
                .into()
            }),
        (answer(), answer()).prop_map(|(nitrogen, present)| brazed(nitrogen, present).into()),
        select(JointMethod::ALL)
            .prop_map(|method| look("liquid-out", method, JointResult::Leak).into()),
    ]
}

fn worlds() -> impl Strategy<Value = World> {
    let outcomes = vec(outcome(), Stage::ALL.len());
    let says = subsequence(LISTENED.to_vec(), 0..4);
    let later = vec(
        (prop_oneof![3 => usual(), 1 => incident()], 10i64..5000),
        0..7,
    );
    let valves = select(vec![
        vec![],
        vec![Position::Open],
        vec![Position::Open, Position::Shut],
    ]);
    let shown = vec(shows(), 0..4);
    let parts = (line_sets(), outcomes, says, valves, later, shown);
    parts.prop_map(|(lineset, outcomes, says, valves, later, shown)| {
        let mut world = World::all_well(lineset);
        for (stage, outcome) in Stage::ALL.into_iter().zip(outcomes) {
            world = world.with(stage, outcome);
        }
        for (stage, code) in says {
            say(&mut world.findings, stage, code);
        }
        for (stage, outcome, by) in shown {
            world = world.shown(stage, outcome, by);
        }
        let both = valves.into_iter().zip(0..).flat_map(|(to, at)| {
            ServiceValve::ALL
                .iter()
                .map(move |v| (EventBody::from(valve(*v, to)), at))
        });
        world.events = (1..)
            .zip(both.chain(later))
            .map(|(number, (body, at))| event(number, at, body))
            .collect();
        world
    })
}

fn say(findings: &mut [Finding], stage: Stage, code: &'static str) {
    for finding in findings.iter_mut().filter(|f| f.stage == stage) {
        let reason = Reason::new(code, SourceId::CommonPractice, code);
        finding.reasons.push(reason);
    }
}

fn not_kinder(before: &Decision, after: &Decision) -> Result<(), TestCaseError> {
    let grounds = |d: &Decision| -> Vec<&str> { d.grounds.iter().map(|g| g.code).collect() };
    let both = format!("{:?} -> {:?}", grounds(before), grounds(after));
    prop_assert!(after.verdict >= before.verdict, "decision: {both}");
    prop_assert!(after.meanwhile >= before.meanwhile, "meanwhile: {both}");
    prop_assert!(after.how_soon >= before.how_soon, "how soon: {both}");
    Ok(())
}

/// Lines that stand open, or blew to silence, trap no liquid any more: the one ground that an incident takes away.
fn lets_liquid_out(body: &EventBody) -> bool {
    match body {
        EventBody::Opened(_) => true,
        EventBody::Released(released) => released.ended == ReleaseEnd::Silent,
        _ => false,
    }
}

fn liquid_trapped(decision: &Decision) -> bool {
    let code = "stop-liquid-trapped";
    decision.grounds.iter().any(|g| g.code == code)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(5000))]

    #[test]
    fn a_worse_finding_never_gives_a_kinder_answer(
        world in worlds(),
        stage in select(Stage::ALL.to_vec()),
        better in 0usize..2,
        (worse, kind) in (0usize..2, 0usize..3),
        nth in 0usize..3,
    ) {
        let of = |rank: usize, nth: usize| RANKS[rank][nth % RANKS[rank].len()];
        let worse = better + 1 + worse.min(1 - better);
        let before = world.clone().with(stage, of(better, nth));
        let after = world.with(stage, of(worse, kind));
        not_kinder(&before.decision(), &after.decision())?;
    }

    #[test]
    fn findings_of_one_rank_give_one_answer(
        world in worlds(),
        stage in select(vec![Stage::Joints, Stage::Tight, Stage::Dry, Stage::Charge, Stage::Start]),
    ) {
        let answer = |outcome| {
            let decision = world.clone().with(stage, outcome).decision();
            (decision.verdict, decision.meanwhile, decision.how_soon)
        };
        prop_assert_eq!(answer(Outcome::Undecided), answer(Outcome::OutOfDate));
        prop_assert_eq!(answer(Outcome::Undecided), answer(Outcome::NotValidNow));
    }

    /// Evidence in conflict only adds: neither side of it getting worse looks like an improvement.
    #[test]
    fn one_more_side_of_a_conflict_never_gives_a_kinder_answer(
        world in worlds(),
        (stage, outcome, by) in shows(),
    ) {
        let after = world.clone().shown(stage, outcome, by);
        not_kinder(&world.decision(), &after.decision())?;
    }

    /// A place of which no rule is known gives no permission: what is silent there is silent where a rule is known.
    #[test]
    fn a_place_not_known_is_no_permission(
        world in worlds(),
        known in select(vec!["US", "EU"]),
        activity in select(vec![EventBody::from(weighed(Person::Owner)), weighed_out().into()]),
    ) {
        let spoken = |country: &str| {
            let mut world = world.clone();
            world.lineset.place.country = country.into();
            let number = world.events.len() as u64 + 1;
            world.events.push(event(number, 9000, activity.clone()));
            world.decision()
        };
        let (here, elsewhere) = (spoken(known), spoken("Chile"));
        prop_assert!(here.verdict >= Verdict::Call);
        prop_assert!(elsewhere.verdict >= Verdict::Repeat);
        prop_assert!(elsewhere.meanwhile >= here.meanwhile);
        prop_assert!(elsewhere.how_soon >= here.how_soon);
    }

    /// The list of what would change the answer starts with the cheapest, and each line says what it could become.
    #[test]
    fn what_would_change_it_is_in_order_and_said_once(world in worlds()) {
        let list = world.decision().would_change;
        prop_assert!(list.is_sorted_by_key(|w| w.effort));
        for (nth, one) in list.iter().enumerate() {
            prop_assert!(one.narrows.contains("; "), "{:?}", one);
            prop_assert!(list[..nth].iter().all(|other| other.text != one.text), "{:?}", one);
        }
    }

    #[test]
    fn something_to_stop_for_never_gives_a_kinder_answer(
        world in worlds(),
        (stage, code) in select(LISTENED.to_vec()),
    ) {
        let mut after = world.clone();
        say(&mut after.findings, stage, code);
        not_kinder(&world.decision(), &after.decision())?;
    }

    #[test]
    fn an_incident_never_gives_a_kinder_answer(
        world in worlds(),
        (body, at) in (incident(), 0i64..5000),
    ) {
        let before = world.decision();
        let freed = lets_liquid_out(&body);
        let mut after = world;
        let number = after.events.len() as u64 + 1;
        after.events.push(event(number, at, body));
        let after = after.decision();
        if freed && liquid_trapped(&before) && !liquid_trapped(&after) {
            return Ok(());
        }
        not_kinder(&before, &after)?;
    }

    #[test]
    fn the_order_of_writing_does_not_matter(
        world in worlds(),
        order in Just((0..12usize).collect::<Vec<_>>()).prop_shuffle(),
    ) {
        let mut before = world;
        for (i, event) in before.events.iter_mut().enumerate() {
            // no two at one moment: those are told apart by their number
            event.at = minute(10 * i as i64);
        }
        let mut after = before.clone();
        after.events.sort_by_key(|e| order[e.number as usize % order.len()]);
        for (number, event) in (1..).zip(after.events.iter_mut()) {
            event.number = number;
        }
        prop_assert_eq!(before.decision(), after.decision());
    }
}

/// A whole example record, from events to decision.
fn example(name: &str) -> Record {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    Record::open(&folder).unwrap()
}

/// What may be wrong already: a leak, a charge, a gate, a reading.
fn faults() -> Vec<EventBody> {
    let leak = |joint: &str| JointChecked {
        joint: joint.into(),
        method: JointMethod::Detector,
        result: JointResult::Leak,
        watched: None,
        pressure: None,
    };
    let far_too_much = Weighed {
        mass: Some(typed("900 g")),
        ..weighed(Person::Technician)
    };
    let gate = StartChecked {
        valves_open: Answer::No,
        ..StartChecked::default()
    };
    let liquid_returning = Reading {
        running: Some(typed("30 min")),
        steady: Answer::Yes,
        suction_pressure: Some(typed("9 barg")),
        suction_line: Some(typed("-10 C")),
        outdoor: Some(typed("30 C")),
        return_air: Some(typed("25 C")),
        ..Reading::of(Mode::Cooling)
    };
    vec![
        leak("service-port-core").into(),
        leak("distributor").into(),
        leak("vapour-outdoor").into(),
        far_too_much.into(),
        gate.into(),
        liquid_returning.into(),
    ]
}

/// Short lines of known volume that hissed with both valves shut, and everything looked at since: it may run until it is
/// weighed.
fn hardly_any_gone(record: &mut Record) {
    let line = |od: &str| {
        Some(Tube {
            od: typed(od),
            wall: None,
            length: typed("3 m"),
        })
    };
    record.lineset.line_set.liquid = line("1/4 in");
    record.lineset.line_set.vapour = line("3/8 in");
    record.lineset.line_set.volume = Some(typed("0.22 L"));
    record.lineset.equipment.nameplate_charge = Some(typed("2.955 kg"));
    let both = |to: Position| ServiceValve::ALL.iter().map(move |v| valve(*v, to).into());
    let hiss = Released {
        segments: vec![Segment::VapourLine],
        lasted: Some(typed("10 s")),
        ..released(Whereabouts::Outdoors, ReleaseEnd::Tightened)
    };
    let mut bodies: Vec<EventBody> = both(Position::Shut).collect();
    bodies.push(hiss.into());
    bodies.extend(both(Position::Open));
    for joint in &record.lineset.joints {
        bodies.push(look(&joint.id, JointMethod::Bubbles, JointResult::NoLeak).into());
    }
    let gates = record.events.iter().map(|e| e.body.clone());
    bodies.extend(gates.filter(|b| matches!(b, EventBody::StartChecked(_))));
    let last = record.events.last().unwrap().at;
    for (body, minutes) in bodies.into_iter().zip(1..) {
        let number = record.events.len() as u64 + 1;
        record.events.push(Event {
            at: last.later_by(60.0 * f64::from(minutes)).unwrap(),
            ..event(number, 0, body)
        });
    }
    let grounds = judged(record).grounds;
    assert_eq!(grounds[0].code, "call-charge-lost-little", "{grounds:#?}");
}

fn judged(record: &Record) -> Decision {
    judge(record, UnitSystem::Si).unwrap().decision
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// From record to decision: each of several incidents may only make the answer more severe.
    #[test]
    fn incidents_in_a_whole_record_never_give_a_kinder_answer(
        name in select(vec!["lakeside-precharged", "courtyard-opened", "cottage-visited"]),
        faults in subsequence(faults(), 0..3),
        incidents in vec((incident(), -5000i64..5000), 1..4),
    ) {
        let mut record = example(name);
        if name == "cottage-visited" {
            hardly_any_gone(&mut record);
        }
        let last = record.events.last().unwrap().at;
        for (body, minutes) in faults.into_iter().zip(1..) {
            let number = record.events.len() as u64 + 1;
            record.events.push(Event {
                at: last.later_by(60.0 * f64::from(minutes)).unwrap(),
                ..event(number, 0, body)
            });
        }
        let mut before = judged(&record);
        // to open what never held refrigerant is no incident: it is how a joint is made anew
        let real = |body: &EventBody| {
            !matches!(body, EventBody::Opened(o) if o.held_refrigerant == Answer::No)
        };
        for (body, minutes) in incidents.into_iter().filter(|(body, _)| real(body)) {
            let number = record.events.len() as u64 + 1;
            record.events.push(Event {
                at: last.later_by(60.0 * minutes as f64).unwrap(),
                ..event(number, 0, body)
            });
            let after = judged(&record);
            not_kinder(&before, &after)?;
            before = after;
        }
    }

    /// From record to decision: written in another order, the same events at the same hours.
    #[test]
    fn a_whole_record_may_be_written_in_any_order(
        order in Just((0..32usize).collect::<Vec<_>>()).prop_shuffle(),
    ) {
        let record = example("lakeside-precharged");
        let mut shuffled = record.clone();
        shuffled.events.sort_by_key(|e| order[e.number as usize % order.len()]);
        for (number, event) in (1..).zip(shuffled.events.iter_mut()) {
            event.number = number;
        }
        prop_assert_eq!(judged(&record), judged(&shuffled));
    }
}
