//! docs/EVIDENCE.md: what each event voids and which stages apply, from the code. `UPDATE_DOCS=1` writes it anew.

use std::fmt::Write;
use std::path::Path;

use lineproof::check::{Segment, Stage};
use lineproof::record::coverage::voids;
use lineproof::record::*;

use super::evidence::pressure_test;
use super::{flared, quantity};

/// An event of each kind, and of each case that voids something else.
fn cases() -> Vec<(&'static str, EventBody)> {
    let segments = || vec![Segment::LiquidLine];
    let made = |joint: &str| JointMade {
        joint: joint.into(),
        torque: None,
        adapter: None,
        wrench: None,
        oiled: Answer::NotKnown,
    };
    let repaired = |method| Repaired {
        segments: segments(),
        joint: Some("liquid-out".into()),
        method,
        filler: None,
        nitrogen_flowing: Answer::NotKnown,
        refrigerant_present: Answer::NotKnown,
    };
    let refrigerant = PressureTest {
        gas: TestGas::Refrigerant,
        ..pressure_test()
    };
    vec![
        ("a cap", made("cap").into()),
        ("any other joint", made("liquid-out").into()),
        (
            "",
            JointChecked {
                joint: "cap".into(),
                method: JointMethod::Bubbles,
                result: JointResult::NoLeak,
                watched: None,
                pressure: None,
            }
            .into(),
        ),
        ("with refrigerant", refrigerant.into()),
        ("with any other gas", pressure_test().into()),
        (
            "",
            Evacuation {
                covers: segments(),
                rule: None,
                gauge: None,
                valves: None,
                isolated_after: None,
                coldest: None,
                ambient: None,
                until: None,
                log: None,
                pump_down: None,
                readings: Vec::new(),
            }
            .into(),
        ),
        (
            "",
            ValveMoved {
                valve: ServiceValve::LiquidService,
                to: Position::Open,
            }
            .into(),
        ),
        ("", PumpValveMoved { to: Position::Shut }.into()),
        (
            "joints not named",
            Opened {
                segments: segments(),
                joints: Vec::new(),
                held_refrigerant: Answer::No,
                why: None,
            }
            .into(),
        ),
        (
            "joints named",
            Opened {
                segments: segments(),
                joints: vec!["liquid-out".into()],
                held_refrigerant: Answer::No,
                why: None,
            }
            .into(),
        ),
        ("tightened", repaired(RepairMethod::Tightened).into()),
        ("any other way", repaired(RepairMethod::NewFlare).into()),
        (
            "",
            Released {
                segments: segments(),
                joint: None,
                lasted: None,
                ended: ReleaseEnd::NotKnown,
                whereabouts: Whereabouts::NotKnown,
                seen: Vec::new(),
                valves: None,
            }
            .into(),
        ),
        (
            "",
            Weighed::mass(quantity("1 oz"), Direction::In, Person::Technician).into(),
        ),
        ("", StartChecked::default().into()),
        (
            "",
            Started {
                mode: Mode::Cooling,
            }
            .into(),
        ),
        ("", Stopped::default().into()),
        ("", Reading::of(Mode::Cooling).into()),
        ("only looked", TechnicianVisit::default().into()),
        (
            "only charged",
            TechnicianVisit {
                charged: Some(quantity("1 oz")),
                ..TechnicianVisit::default()
            }
            .into(),
        ),
        (
            "recovered, evacuated or pressure-tested",
            TechnicianVisit {
                recovered: Some(quantity("1 oz")),
                ..TechnicianVisit::default()
            }
            .into(),
        ),
        (
            "fitted a drier",
            TechnicianVisit {
                drier: Answer::Yes,
                ..TechnicianVisit::default()
            }
            .into(),
        ),
        (
            "opened or repaired",
            TechnicianVisit {
                repaired: Answer::Yes,
                ..TechnicianVisit::default()
            }
            .into(),
        ),
        (
            "",
            Changed {
                field: String::new(),
                from: None,
                to: None,
                why: None,
                facts: None,
            }
            .into(),
        ),
        (
            "",
            Corrected {
                number: 1,
                field: String::new(),
                from: None,
                to: None,
                why: None,
            }
            .into(),
        ),
    ]
}

fn touched(touch: &Touch) -> &'static str {
    match touch {
        Touch::Joint(_) => "that joint",
        Touch::Segments(_) => "its segments",
        Touch::Gas(_) => "its segments and where their gas reaches",
        Touch::Circuit => "all",
        Touch::UnderWay => "if under way",
    }
}

fn stage_word(stage: Stage) -> String {
    format!("{stage:?}").to_lowercase()
}

fn page() -> String {
    let mut page = String::from(
        "# What evidence covers, and what ends it\n\n\
         Written by `UPDATE_DOCS=1 cargo test --test record`, from the code.\n\n\
         ## What each event voids\n\n\
         Evidence taken before the event, by the time it *happened*, is void as far as the table says; an event that \
         is noted late voids just as well. No event ever brings evidence back: a corrected event voids by each of its \
         wordings. Gas reaches from a line to the other line and the indoor coil, and to the outdoor unit when a \
         service valve could have been open. What a technician's visit voids it replaces, as far as it tells of a \
         test, a vacuum or a charge.\n\n",
    );
    let head: Vec<String> = Stage::ALL.into_iter().map(stage_word).collect();
    let _ = writeln!(page, "| event | when | {} |", head.join(" | "));
    let _ = writeln!(page, "|---|---|{}", "---|".repeat(head.len()));
    for (when, body) in cases() {
        let list = voids(&body, &flared());
        let of = |stage: Stage| {
            let of_stage = list.iter().filter(|void| void.stage == stage);
            let words: Vec<&str> = of_stage.map(|void| touched(&void.touches)).collect();
            words.join(", ")
        };
        let row: Vec<String> = Stage::ALL.into_iter().map(of).collect();
        let _ = writeln!(page, "| `{}` | {when} | {} |", body.word(), row.join(" | "));
    }
    page.push_str(
        "\n## Which stages apply\n\n\
         | route | stage | whose it is, or what replaces it |\n|---|---|---|\n",
    );
    for route in Route::ALL {
        for stage in Stage::ALL {
            let applies = match route.applies(stage) {
                Applies::Owner => "the owner's".into(),
                Applies::Technician { why, .. } => format!("a technician's: {why}"),
                Applies::Replaced { by, .. } => format!("does not apply: {by}"),
            };
            let _ = writeln!(
                page,
                "| {} | {} | {applies} |",
                route.words(),
                stage_word(stage)
            );
        }
    }
    page
}

#[test]
fn every_event_is_in_the_table() {
    let words: Vec<&str> = cases().iter().map(|(_, body)| body.word()).collect();
    for word in EventBody::WORDS {
        assert!(words.contains(word), "{word}");
    }
}

#[test]
fn the_page_of_evidence_is_up_to_date() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/EVIDENCE.md");
    let page = page();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found.replace("\r\n", "\n") == page,
        "docs/EVIDENCE.md is stale: UPDATE_DOCS=1 cargo test --test record writes it"
    );
}
