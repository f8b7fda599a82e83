//! The example records, judged from end to end.

use std::path::Path;

use lineproof::decide::{HowSoon, Judgement, Meanwhile, Verdict, judge};
use lineproof::quantity::UnitSystem;
use lineproof::record::Record;

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
