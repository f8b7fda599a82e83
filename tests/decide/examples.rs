//! The example records, judged from end to end.

use std::path::Path;

use lineproof::check::{Outcome, Stage};
use lineproof::decide::{Decision, HowSoon, Judgement, Meanwhile, Verdict, judge};
use lineproof::quantity::UnitSystem;
use lineproof::record::*;

use super::said::{evidence, world::*};

fn judged(name: &str) -> Judgement {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    judge(&Record::open(&folder).unwrap(), UnitSystem::Si).unwrap()
}

#[test]
fn every_example_has_its_answer() {
    let table = [
        (
            "snow-country-flared",
            Verdict::GoOn,
            Meanwhile::LeaveOff,
            HowSoon::WhenConvenient,
        ),
        (
            "lakeside-precharged",
            Verdict::GoOn,
            Meanwhile::RunWithStopSigns,
            HowSoon::WhenConvenient,
        ),
        (
            "courtyard-opened",
            Verdict::Call,
            Meanwhile::LeaveOff,
            HowSoon::BeforeRunning,
        ),
        (
            "harbour-retested",
            Verdict::GoOn,
            Meanwhile::LeaveOff,
            HowSoon::WhenConvenient,
        ),
        (
            "orchard-moisture",
            Verdict::Repeat,
            Meanwhile::LeaveOff,
            HowSoon::BeforeRunning,
        ),
        (
            "fjord-winter",
            Verdict::Call,
            Meanwhile::LeaveOff,
            HowSoon::BeforeRunning,
        ),
        (
            "theatre-ducted",
            Verdict::Stop,
            Meanwhile::PowerOff,
            HowSoon::Now,
        ),
        (
            "library-brazed",
            Verdict::Call,
            Meanwhile::LeaveOff,
            HowSoon::BeforeRunning,
        ),
        (
            "bandroom-logged",
            Verdict::Repeat,
            Meanwhile::RunWithStopSigns,
            HowSoon::WithinWeeks,
        ),
        (
            "cottage-visited",
            Verdict::GoOn,
            Meanwhile::Run,
            HowSoon::WhenConvenient,
        ),
    ];
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut found: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into())
        .collect();
    let mut named: Vec<String> = table.iter().map(|(name, ..)| name.to_string()).collect();
    found.sort();
    named.sort();
    assert_eq!(found, named, "an example without an expected answer");
    for (name, verdict, meanwhile, how_soon) in table {
        let decision = judged(name).decision;
        assert_eq!(
            (decision.verdict, decision.meanwhile, decision.how_soon),
            (verdict, meanwhile, how_soon),
            "{name}: {:#?}",
            decision.grounds
        );
    }
}

/// The rule that leads each example's answer, and the stage that is why.
#[test]
fn every_new_example_says_what_it_is_there_to_show() {
    let table = [
        (
            "harbour-retested",
            "go-on-not-ready",
            Stage::Tight,
            Outcome::Pass,
        ),
        ("orchard-moisture", "repeat-dry", Stage::Dry, Outcome::Fail),
        (
            "fjord-winter",
            "call-charge-lost",
            Stage::Run,
            Outcome::NotValidNow,
        ),
        (
            "theatre-ducted",
            "stop-flammable-indoors",
            Stage::Charge,
            // the line's length was never weighed in, so it was short before anything came out
            Outcome::Fail,
        ),
        (
            "library-brazed",
            "call-brazed-without-nitrogen",
            Stage::Dry,
            Outcome::Pass,
        ),
        ("cottage-visited", "go-on-watch", Stage::Run, Outcome::Pass),
    ];
    for (name, code, stage, outcome) in table {
        let judged = judged(name);
        assert_eq!(judged.decision.grounds[0].code, code, "{name}");
        let finding = judged.findings.iter().find(|f| f.stage == stage).unwrap();
        assert_eq!(finding.outcome, outcome, "{name}: {:#?}", finding.reasons);
    }
}

#[test]
fn every_example_is_the_one_that_was_written() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    for entry in std::fs::read_dir(folder).unwrap() {
        let folder = entry.unwrap().path();
        let record = Record::open(&folder).unwrap();
        let found = verify(&folder).unwrap();
        assert!(found.intact(), "{}: {found:#?}", record.lineset.name);
        assert!(record.lineset.invented, "{}", record.lineset.name);
    }
}

/// A record with more events, so many hours after its last one.
fn later(name: &str, bodies: Vec<EventBody>) -> Decision {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    let mut record = Record::open(&folder).unwrap();
    let last = record.events.last().unwrap().at;
    for (hours, body) in (1..).zip(bodies) {
        let number = record.events.len() as u64 + 1;
        record.events.push(Event {
            at: last.later_by(3600.0 * f64::from(hours)).unwrap(),
            ..event(number, 0, body)
        });
    }
    judge(&record, UnitSystem::Si).unwrap().decision
}

/// Recovered, repaired, evacuated through a new drier, charged by weight: what is left is the owner's own again.
#[test]
fn a_technicians_visit_closes_the_trouble() {
    let visit = || TechnicianVisit {
        charged: Some(typed("2.64 kg")),
        ..put_right()
    };
    let decision = later("courtyard-opened", vec![visit().into()]);
    assert!(decision.verdict < Verdict::Call, "{:#?}", decision.grounds);
    // and a new release opens it again
    let release = released(Whereabouts::Outdoors, ReleaseEnd::Tightened);
    let decision = later("courtyard-opened", vec![visit().into(), release.into()]);
    assert_eq!(decision.verdict, Verdict::Call);
}

/// 300 g weighed into lines that ask for 300 g pass, until they are opened again.
#[test]
fn a_charge_is_out_of_date_once_the_lines_were_open() {
    let mut lineset = new_flared();
    lineset.equipment.nameplate_charge = Some(typed("2 kg"));
    lineset.equipment.included_length = Some(typed("10 m"));
    lineset.equipment.charge_factor = Some(typed("30 g/m"));
    lineset.line_set.liquid = Some(Tube {
        od: typed("3/8 in"),
        wall: None,
        length: typed("20 m"),
    });
    let outcome = |bodies| evidence::stage(Stage::Charge, lineset.clone(), bodies).outcome;
    let weighed = || weighed(Person::Technician).into();
    assert_eq!(outcome(vec![]), Outcome::NotDone);
    assert_eq!(outcome(vec![weighed()]), Outcome::Pass);
    let outcome = outcome(vec![weighed(), opened(Answer::No).into()]);
    assert_eq!(outcome, Outcome::OutOfDate);
}
