//! Every rule: a case that calls for it, and its nearest neighbour that does not.

use std::collections::BTreeSet;

use lineproof::check::{Outcome, Stage, joints, run, tight};
use lineproof::decide::{evidence, rules};
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
