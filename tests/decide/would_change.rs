//! What would change an answer: nothing idle on the list, the cheapest first, and nothing left when it is final.

use lineproof::check::{Outcome, Stage, charge, joints, tight};
use lineproof::decide::{Effort, Verdict, evidence};
use lineproof::record::*;

use super::said::world::*;

fn well() -> World {
    World::all_well(new_flared())
}

fn holding() -> World {
    World::all_well(line_set(Connection::Flared, LineState::HeldRefrigerant))
}

fn texts(world: &World) -> Vec<(Effort, String)> {
    let list = world.decision().would_change;
    list.into_iter().map(|w| (w.effort, w.text)).collect()
}

fn names(world: &World, part: &str) -> bool {
    texts(world).iter().any(|(_, text)| text.contains(part))
}

#[test]
fn a_final_answer_has_nothing_that_would_change_it() {
    assert_eq!(well().decision().verdict, Verdict::GoOn);
    assert_eq!(texts(&well()), []);
}

#[test]
fn one_open_stage_is_named_with_its_command_and_its_end() {
    let decision = well().with(Stage::Dry, Outcome::Undecided).decision();
    let first = &decision.would_change[0];
    assert!(first.text.contains("longer rise"), "{first:?}");
    let command = first.command.as_deref().unwrap();
    assert!(
        command.starts_with("lineproof add DIR evacuation"),
        "{command}"
    );
    assert!(
        first.narrows.contains("alone makes it: go on; it may run"),
        "{first:?}"
    );
    assert_eq!(first.effort, Effort::Hours);
}

#[test]
fn stages_that_only_together_change_it_say_so() {
    let world = well()
        .with(Stage::Tight, Outcome::Undecided)
        .with(Stage::Joints, Outcome::Undecided);
    let list = world.decision().would_change;
    assert_eq!(list.len(), 2, "{list:#?}");
    assert!(
        list.iter().all(|w| w.narrows.contains("all that follows")),
        "{list:#?}"
    );
    // the look is cheaper than the hold
    assert!(list[0].effort < list[1].effort);
    assert!(list[0].text.contains("bubbles"));
}

#[test]
fn what_cannot_change_the_answer_is_not_listed() {
    // a stop that no reading lifts: a better reading would be idle
    let world = holding()
        .then(opened(Answer::Yes))
        .then(started())
        .with(Stage::Run, Outcome::Undecided);
    assert!(!names(&world, "steady"), "{:?}", texts(&world));
    assert!(names(&world, "recovers, mends"), "{:?}", texts(&world));
    // watch has no evidence in this version
    assert!(!names(&well(), "watch"));
}

#[test]
fn the_smallest_visit_that_is_enough_is_named() {
    let indoors = |name: Option<&str>| {
        let mut world = holding().then(released(Whereabouts::Indoors, ReleaseEnd::Tightened));
        world.lineset.equipment.refrigerant = name.map(String::from);
        world
    };
    // a loss by itself: weighing is enough
    let lost = holding().then(released(Whereabouts::Outdoors, ReleaseEnd::Tightened));
    assert!(names(&lost, "recovers and weighs"), "{:?}", texts(&lost));
    assert!(!names(&lost, "fits a drier"), "{:?}", texts(&lost));
    // the name on the label lifts a stop, and is cheaper than any visit
    let nameless = texts(&indoors(None));
    assert!(nameless[0].1.contains("nameplate"), "{nameless:?}");
    assert_eq!(nameless.last().unwrap().0, Effort::Money);
    assert!(!names(&indoors(Some("R-32")), "nameplate"));
}

#[test]
fn a_factory_joint_asks_for_no_measurement_of_the_owners() {
    let world = well().saying(
        Stage::Joints,
        Outcome::Fail,
        joints::reasons::FACTORY_LEAKING,
    );
    let list = world.decision().would_change;
    assert!(list.iter().all(|w| w.effort == Effort::Money), "{list:#?}");
    assert!(!list.is_empty());
}

#[test]
fn a_technicians_stage_is_not_the_owners_to_measure() {
    let world = holding().saying(Stage::Tight, Outcome::NotDone, evidence::TECHNICIANS_WORK);
    assert!(!names(&world, "hold dry nitrogen"), "{:?}", texts(&world));
    let world = well().saying(
        Stage::Charge,
        Outcome::NotDone,
        charge::reasons::TO_WEIGH_IN,
    );
    let list = texts(&world);
    assert!(
        list.iter().all(|(effort, _)| *effort == Effort::Money),
        "{list:?}"
    );
}

#[test]
fn a_passed_test_that_still_sees_a_leak_is_named() {
    let world = well().saying(Stage::Tight, Outcome::Pass, tight::reasons::LEAK_SEEN);
    assert!(names(&world, "soap every joint"), "{:?}", texts(&world));
}
