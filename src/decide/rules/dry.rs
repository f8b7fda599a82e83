//! What to do about a vacuum rise, by what it showed.

use crate::check::dry::reasons;
use crate::check::{Finding, Outcome, Stage};
use crate::decide::case::Case;

/// What stands in the way of a verdict, and what takes it away; the first that was found counts.
const OPEN: &[(&[&str], &[&str])] = &[
    // the readings are there: only one fact about them is missing, and that is asked beside the command
    (&[reasons::SEEMS_SHUT_OFF], &[]),
    (
        &[reasons::PUMPING],
        &["shut the valve to the pump, with the pump still running, and read the rise from there"],
    ),
    (
        &[reasons::STEP],
        &[
            "pump down again, and hold with every valve, hose and the gauge left alone: where it changes suddenly again with nobody near, look for gas trapped behind a valve or a core",
        ],
    ),
    (
        &[reasons::GAUGES_ACROSS],
        &[
            "put both gauges side by side on the pump: clean or replace the one that is off",
            "pump down again and leave it shut off for longer",
        ],
    ),
    (
        &[reasons::COARSE_GAUGE],
        &["read the rise again on an electronic vacuum gauge that shows single micron"],
    ),
    (
        &[reasons::CEILING_SEEN, reasons::AT_CEILING],
        &[
            "pump down deeper before the valve is shut, and read the rise from its first minute, every 10 s: the gauge shows only what lies below its ceiling",
        ],
    ),
    (
        &[reasons::STARTED_HIGH],
        &[
            "pump deeper before the valve to the pump is shut: new oil, valve cores out, short wide hoses (lineproof pump-down tells which helps most)",
        ],
    ),
];

/// What a failed rise asks for, by its cause.
const FAILED: &[(&[&str], &[&str])] = &[
    (
        &[reasons::LEAK],
        &[
            "blank the hoses and see whether they leak by themselves",
            "then back to the standing pressure test: soap finds under nitrogen what a vacuum only tells of",
        ],
    ),
    (
        &[reasons::MOISTURE],
        &[
            "change the pump's oil, and open its gas ballast at first",
            "warm the cold parts, break the vacuum with dry nitrogen and pump again, up to three times; then log the rise anew",
        ],
    ),
];

/// What to do first; none where the rule's own words do.
pub(super) fn first(case: &Case) -> Option<Vec<&'static str>> {
    let finding = case.finding(Stage::Dry)?;
    let table = match finding.outcome {
        Outcome::Fail => FAILED,
        Outcome::Undecided => OPEN,
        Outcome::OutOfDate => {
            return Some(vec![
                "once the lines hold pressure again: evacuate, shut the valve to the pump and log the rise",
            ]);
        }
        _ => return None,
    };
    let (_, first) = table.iter().find(|(codes, _)| says_any(finding, codes))?;
    Some(first.to_vec())
}

fn says_any(finding: &Finding, codes: &[&str]) -> bool {
    codes.iter().any(|code| finding.says(code))
}
