//! Every rule: a case that calls for it, and its nearest neighbour that does not.

use std::collections::BTreeSet;

use lineproof::check::{Outcome, Segment, Stage, charge, dry, joints, run, tight};
use lineproof::decide::{HowSoon, Meanwhile, Verdict, evidence, rules};
use lineproof::record::*;

use super::said::world::*;

fn well() -> World {
    World::all_well(new_flared())
}

fn holding() -> World {
    World::all_well(line_set(Connection::Flared, LineState::HeldRefrigerant))
}

fn of(refrigerant: &str) -> World {
    let mut world = holding();
    world.lineset.equipment.refrigerant = Some(refrigerant.into());
    world
}

/// Refrigerant inside, and a factory joint at the indoor coil.
fn distributor(refrigerant: &str) -> World {
    let mut world = of(refrigerant);
    world.lineset.joints.push(factory_joint("distributor"));
    world
}

/// Hardly anything can be gone; with air inside that does not count.
fn hissed(air: bool) -> World {
    let mut world = holding();
    let charge = world.findings.iter_mut().find(|f| f.stage == Stage::Charge);
    *charge.unwrap() = super::incidents::hissed(air);
    world
}

fn at(country: &str) -> World {
    let mut world = well();
    world.lineset.place.country = country.into();
    world
}

/// Both valves open, then these shut.
fn shut(valves: &[ServiceValve]) -> World {
    let both = [ServiceValve::LiquidService, ServiceValve::VapourService];
    let open = both
        .into_iter()
        .fold(well(), |w, v| w.then(valve(v, Position::Open)));
    valves
        .iter()
        .fold(open, |w, v| w.then(valve(*v, Position::Shut)))
}

/// Code, a case that calls for it, a near one that does not.
fn table() -> Vec<(&'static str, World, World)> {
    use Outcome::{Fail, NotDone, NotValidNow, OutOfDate, Pass, Undecided};
    use Stage::{Charge, Dry, Joints, Run, Start, Tight};
    let outdoors = || released(Whereabouts::Outdoors, ReleaseEnd::Tightened);
    let indoors = || released(Whereabouts::Indoors, ReleaseEnd::Tightened);
    let (liquid, vapour) = (ServiceValve::LiquidService, ServiceValve::VapourService);
    let (yes, no) = (Answer::Yes, Answer::No);
    let mut table = vec![
        (
            "stop-flammable-indoors",
            of("R-32").then(indoors()),
            of("R-410A").then(indoors()),
        ),
        (
            "stop-air-under-compression",
            holding().then(opened(yes)).then(started()),
            holding()
                .then(opened(yes))
                .then(put_right())
                .then(started()),
        ),
        (
            "stop-brazed-with-refrigerant",
            holding().then(brazed(yes, yes)),
            holding().then(brazed(yes, no)),
        ),
        (
            "stop-wrong-test-gas",
            well().saying(Tight, Pass, tight::reasons::WRONG_GAS),
            well(),
        ),
        (
            "stop-over-rating",
            well().saying(Tight, Undecided, tight::reasons::OVER_RATING),
            well().with(Tight, Undecided),
        ),
        (
            "stop-valves-shut-running",
            well().then(valve(liquid, Position::Shut)).then(started()),
            well().then(valve(liquid, Position::Open)).then(started()),
        ),
        (
            "stop-vacuum-running",
            well().then(evacuation()).then(started()),
            well()
                .then(evacuation())
                .then(valve(liquid, Position::Open))
                .then(started()),
        ),
        (
            "stop-liquid-trapped",
            shut(&[liquid, vapour]),
            shut(&[liquid]),
        ),
        (
            "stop-liquid-returning",
            well().saying(Run, Fail, run::reasons::LIQUID_RETURNING),
            well().saying(Run, Fail, run::reasons::SUPERHEAT_LOW),
        ),
        (
            "stop-no-heat-rejected",
            well().saying(Run, Fail, run::reasons::NO_HEAT_REJECTED),
            well().saying(Run, Fail, run::reasons::SUBCOOLING_LOW),
        ),
        (
            "call-opened-after-refrigerant",
            holding().then(opened(yes)),
            well().then(opened(no)),
        ),
        (
            "call-factory-joint",
            well().saying(Joints, Fail, joints::reasons::FACTORY_LEAKING),
            well().saying(Joints, Fail, joints::reasons::LEAKING),
        ),
        (
            "call-charge-lost",
            holding().then(outdoors()),
            holding().then(outdoors()).then(put_right()),
        ),
        (
            "call-charge-lost-little",
            hissed(false).then(outdoors()),
            hissed(true).then(outdoors()),
        ),
        (
            "call-brazed-without-nitrogen",
            well().then(brazed(no, no)),
            well().then(brazed(yes, no)),
        ),
        (
            "call-technicians-stage",
            well().saying(Tight, NotDone, evidence::TECHNICIANS_WORK),
            well().with(Tight, NotDone),
        ),
        (
            "call-charge-off",
            well().with(Charge, Fail),
            well().with(Charge, Undecided),
        ),
        (
            "call-runs-off",
            well().with(Run, Fail),
            well().with(Run, Undecided),
        ),
        (
            "call-evidence-in-conflict",
            well().with(Run, Fail),
            well().with(Run, Fail).with(Charge, Undecided),
        ),
        (
            "call-reserved-us",
            at("US").then(weighed(Person::Owner)),
            at("US").then(weighed(Person::Technician)),
        ),
        (
            "call-reserved-eu",
            at("EU").then(weighed(Person::Owner)),
            at("Australia").then(weighed(Person::Owner)),
        ),
        (
            "repeat-tight-leak-seen",
            well().saying(Tight, Pass, tight::reasons::LEAK_SEEN),
            well().saying(Tight, Undecided, tight::reasons::LEAK_SEEN),
        ),
        (
            "repeat-tight-code-rule",
            well().saying(Tight, Pass, tight::reasons::CODE_RULE_SHORT),
            well().saying(Tight, Pass, tight::reasons::CODE_RULE_MET),
        ),
        (
            "repeat-run",
            well().with(Run, NotValidNow),
            well().with(Run, NotDone),
        ),
        ("go-on-not-ready", well().with(Dry, NotDone), well()),
        ("go-on-run", well().with(Run, NotDone), well()),
        ("go-on-watch", well(), well().with(Run, NotDone)),
        (
            "call-factory-joint-repaired",
            distributor("R-410A").then(repaired("distributor", RepairMethod::Brazed)),
            distributor("R-410A").then(repaired("liquid-out", RepairMethod::Brazed)),
        ),
        (
            "call-leak-with-refrigerant",
            holding().then(look("liquid-out", JointMethod::Detector, JointResult::Leak)),
            well().then(look("liquid-out", JointMethod::Bubbles, JointResult::Leak)),
        ),
        (
            "call-test-gas-in-charge",
            holding().then(test_with(TestGas::Nitrogen)),
            well().then(test_with(TestGas::Nitrogen)),
        ),
        (
            "go-on-charge-to-add",
            well().saying(Charge, NotDone, charge::reasons::TO_WEIGH_IN),
            well().with(Charge, NotDone),
        ),
        (
            "call-watch-losing",
            well().with(Stage::Watch, Fail),
            well().with(Stage::Watch, Undecided),
        ),
        (
            "repeat-nitrogen-asked",
            well().then(brazed(Answer::NotKnown, no)),
            well().then(brazed(yes, no)),
        ),
        (
            "repeat-ask-the-place",
            at("Norway").then(weighed(Person::Owner)),
            at("EU").then(weighed(Person::Owner)),
        ),
        (
            "conflict-leak-beside-tight",
            well()
                .saying(Joints, Fail, joints::reasons::LEAKING)
                .shown(Joints, Fail, Person::Owner)
                .shown(Tight, Pass, Person::Owner),
            well()
                .saying(Joints, Fail, joints::reasons::LEAKING)
                .with(Tight, Undecided)
                .shown(Joints, Fail, Person::Owner),
        ),
        (
            "conflict-rise-beside-pressure",
            well().saying(Dry, Fail, dry::reasons::LEAK),
            well().saying(Dry, Fail, dry::reasons::MOISTURE),
        ),
        (
            "conflict-two-tests",
            well()
                .with(Tight, Fail)
                .shown(Tight, Pass, Person::Technician)
                .shown(Tight, Fail, Person::Owner),
            well()
                .with(Tight, Fail)
                .shown(Tight, Undecided, Person::Technician)
                .shown(Tight, Fail, Person::Owner),
        ),
        (
            "conflict-two-looks",
            well()
                .saying(Joints, Fail, joints::reasons::LEAKING)
                .shown(Joints, Pass, Person::Owner)
                .shown(Joints, Fail, Person::Owner),
            well().saying(Joints, Fail, joints::reasons::LEAKING).shown(
                Joints,
                Fail,
                Person::Owner,
            ),
        ),
    ];
    for (code, stage, outcome) in [
        ("repeat-joints", Joints, Fail),
        ("repeat-joints-unproven", Joints, OutOfDate),
        ("repeat-tight", Tight, Fail),
        ("repeat-tight-undecided", Tight, Undecided),
        ("repeat-dry", Dry, Fail),
        ("repeat-dry-undecided", Dry, OutOfDate),
        ("repeat-charge-open", Charge, Undecided),
        ("repeat-start", Start, Fail),
    ] {
        table.push((code, well().with(stage, outcome), well()));
    }
    table
}

fn codes(world: &World) -> Vec<&'static str> {
    world.decision().grounds.iter().map(|g| g.code).collect()
}

#[test]
fn every_rule_speaks_where_it_should_and_is_silent_next_door() {
    for (code, spoken, silent) in table() {
        assert!(
            codes(&spoken).contains(&code),
            "{code}: {:?}",
            codes(&spoken)
        );
        assert!(
            !codes(&silent).contains(&code),
            "{code} next door: {:?}",
            codes(&silent)
        );
    }
}

#[test]
fn the_table_has_every_rule() {
    let known: BTreeSet<&str> = rules::all().map(|r| r.code).collect();
    let tested: BTreeSet<&str> = table().iter().map(|(code, ..)| *code).collect();
    assert_eq!(known, tested);
}

/// What is asked for is what the ground of the rule says; the answer is at least as severe as any ground.
#[test]
fn the_answer_is_as_severe_as_its_most_severe_ground() {
    for (code, spoken, _) in table() {
        let decision = spoken.decision();
        for ground in &decision.grounds {
            assert!(ground.verdict <= decision.verdict, "{code}");
            assert!(ground.meanwhile <= decision.meanwhile, "{code}");
            assert!(ground.how_soon <= decision.how_soon, "{code}");
        }
    }
}

/// The same rule by another way: what is said, who says it, and what does not.
#[test]
fn a_rule_speaks_for_every_way_into_it() {
    let (yes, no, open) = (Answer::Yes, Answer::No, Answer::NotKnown);
    let leak = |joint| look(joint, JointMethod::Detector, JointResult::Leak);
    let none = |joint| look(joint, JointMethod::Detector, JointResult::NoLeak);
    let table = [
        // a joint indoors that leaks what burns
        (
            "stop-flammable-indoors",
            true,
            distributor("R-32").then(leak("distributor")),
        ),
        (
            "stop-flammable-indoors",
            false,
            distributor("R-410A").then(leak("distributor")),
        ),
        (
            "stop-flammable-indoors",
            false,
            of("R-32").then(leak("liquid-out")),
        ),
        (
            "stop-flammable-indoors",
            false,
            distributor("R-32")
                .then(leak("distributor"))
                .then(repaired("distributor", RepairMethod::Replaced))
                .then(none("distributor")),
        ),
        // seen without a leak once more, and not made anew: the leak counts
        (
            "stop-flammable-indoors",
            true,
            distributor("R-32")
                .then(leak("distributor"))
                .then(none("distributor")),
        ),
        // lines made up here, switched on without an evacuation
        ("stop-air-under-compression", true, well().then(started())),
        (
            "stop-air-under-compression",
            false,
            well().then(evacuation()).then(started()),
        ),
        (
            "stop-air-under-compression",
            false,
            holding().then(started()),
        ),
        (
            "stop-air-under-compression",
            true,
            well().then(evacuation()).then(opened(no)).then(started()),
        ),
        // it ran while it was opened
        (
            "stop-air-under-compression",
            true,
            holding().then(started()).then(opened(yes)),
        ),
        (
            "stop-air-under-compression",
            false,
            holding()
                .then(started())
                .then(Stopped { why: None })
                .then(opened(yes)),
        ),
        (
            "stop-air-under-compression",
            true,
            well()
                .saying(Stage::Dry, Outcome::Fail, dry::reasons::LEAK)
                .then(evacuation())
                .then(started()),
        ),
        // nobody said that it was recovered
        (
            "stop-brazed-with-refrigerant",
            true,
            holding().then(brazed(yes, open)),
        ),
        (
            "stop-brazed-with-refrigerant",
            false,
            well().then(brazed(yes, open)),
        ),
        // a test that no stage of this route judges
        (
            "stop-wrong-test-gas",
            true,
            holding().then(test_with(TestGas::Oxygen)),
        ),
        (
            "stop-wrong-test-gas",
            false,
            holding()
                .then(test_with(TestGas::Air))
                .then(test_with(TestGas::Nitrogen)),
        ),
        // shut while it runs
        (
            "stop-valves-shut-running",
            true,
            holding()
                .then(started())
                .then(valve(ServiceValve::LiquidService, Position::Shut)),
        ),
        (
            "stop-valves-shut-running",
            false,
            holding()
                .then(started())
                .then(valve(ServiceValve::LiquidService, Position::Shut))
                .then(Stopped { why: None }),
        ),
        // the two sides of a conflict the other way round
        (
            "call-evidence-in-conflict",
            true,
            well().with(Stage::Charge, Outcome::Fail),
        ),
        // a failing test may have been about what was mended since
        ("conflict-two-tests", false, {
            let mut world = well()
                .shown(Stage::Tight, Outcome::Fail, Person::Owner)
                .shown(Stage::Tight, Outcome::Pass, Person::Owner);
            world.shown[0].whole = false;
            world
        }),
        // tests of different segments do not contradict each other
        ("conflict-two-tests", false, {
            let mut world = well()
                .shown(Stage::Tight, Outcome::Fail, Person::Owner)
                .shown(Stage::Tight, Outcome::Pass, Person::Owner);
            world.shown[0].covers = vec![Segment::OutdoorUnit];
            world
        }),
        ("call-reserved-us", true, at("US").then(weighed_out())),
        ("call-reserved-eu", true, {
            let mut world = at("EU");
            world.lineset.line_set.state = LineState::HeldRefrigerant;
            world.then(brazed(yes, no))
        }),
    ];
    for (nth, (code, speaks, world)) in table.into_iter().enumerate() {
        let codes = codes(&world);
        let all: Vec<&str> = rules::all().map(|r| r.code).collect();
        assert!(all.contains(&code), "{code}");
        assert_eq!(codes.contains(&code), speaks, "{nth} {code}: {codes:?}");
    }
}

/// Both sides with their dates, and what would settle it, whatever else speaks.
#[test]
fn a_conflict_is_shown_beside_a_call() {
    let world = well()
        .with(Stage::Tight, Outcome::Fail)
        .shown(Stage::Tight, Outcome::Pass, Person::Technician)
        .shown(Stage::Tight, Outcome::Fail, Person::Owner)
        .with(Stage::Run, Outcome::Fail);
    let decision = world.decision();
    assert_eq!(decision.verdict, Verdict::Call);
    let conflict = decision
        .grounds
        .iter()
        .find(|g| g.code == "conflict-two-tests")
        .unwrap();
    for side in [
        "a technician's pressure test of 2026-05-04: pass",
        "pressure test of 2026-05-04: fail",
    ] {
        assert!(conflict.text.contains(side), "{}", conflict.text);
    }
    assert!(!conflict.first.is_empty());
}

/// A leaking factory joint: nobody touches it, and the record tells the order of what happened.
#[test]
fn the_warranty_comes_before_the_repair() {
    let leaks = distributor("R-410A")
        .saying(
            Stage::Joints,
            Outcome::Fail,
            joints::reasons::FACTORY_LEAKING,
        )
        .then(look("distributor", JointMethod::Bubbles, JointResult::Leak));
    let decision = leaks.decision();
    assert_eq!(decision.verdict, Verdict::Call);
    let ground = decision
        .grounds
        .iter()
        .find(|g| g.code == "call-factory-joint")
        .unwrap();
    assert!(ground.first[0].contains("photograph") && ground.first[1].contains("warranty desk"));

    let touched = leaks
        .then(repaired("distributor", RepairMethod::Brazed))
        .decision();
    let ground = touched
        .grounds
        .iter()
        .find(|g| g.code == "call-factory-joint-repaired")
        .unwrap();
    assert!(
        ground
            .text
            .contains("a leak there is on record from 2026-05-04"),
        "{}",
        ground.text
    );
    assert!(ground.text.contains("no photograph"), "{}", ground.text);
    assert!(touched.verdict >= Verdict::Call && touched.meanwhile >= Meanwhile::LeaveOff);
    assert!(touched.how_soon >= HowSoon::WithinDays);
}
