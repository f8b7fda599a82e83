//! Ink symbols: a circle that fills as something is proven. A word always stands beside one.

use maud::{Markup, html};

use crate::check::Outcome;
use crate::decide::Verdict;

/// The symbol of an outcome.
pub(super) fn outcome(outcome: Outcome) -> Markup {
    html! {
        svg.symbol viewBox="0 0 16 16" aria-hidden="true" {
            @match outcome {
                Outcome::Pass => { circle cx="8" cy="8" r="6.5" fill="currentColor" {} }
                Outcome::Fail => { (ring()) path d="M4 4l8 8M12 4l-8 8" fill="none" stroke="currentColor" stroke-width="1.8" {} }
                Outcome::Undecided => { (ring()) path d="M8 2.2a5.8 5.8 0 0 0 0 11.6z" fill="currentColor" {} }
                Outcome::NotDone => { (ring()) }
                Outcome::OutOfDate => {
                    circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" stroke-width="1.5" stroke-dasharray="2.4 2.3" {}
                    circle cx="8" cy="8" r="2" fill="currentColor" {}
                }
                Outcome::NotValidNow => { (ring()) path d="M4.5 8h7" stroke="currentColor" stroke-width="1.8" {} }
                Outcome::DoesNotApply => { path d="M2 8h12" stroke="currentColor" stroke-width="1.8" {} }
            }
        }
    }
}

/// The symbol of a verdict.
pub(super) fn verdict(verdict: Verdict) -> Markup {
    let strokes = match verdict {
        Verdict::GoOn => "M3 12h17M14 6l6 6-6 6",
        Verdict::Repeat => "M19.5 9a8 8 0 1 0 .5 3M20 3.5V9h-5.5",
        Verdict::Call => "M12 3.5a4 4 0 1 1 0 8 4 4 0 0 1 0-8zM4 21c0-4.5 3.4-7 8-7s8 2.5 8 7",
        Verdict::Stop => "M8.3 3h7.4L21 8.3v7.4L15.7 21H8.3L3 15.7V8.3zM7.5 12h9",
    };
    html! {
        svg.symbol viewBox="0 0 24 24" aria-hidden="true" {
            path d=(strokes) fill="none" stroke="currentColor" stroke-width="1.8" stroke-linejoin="round" stroke-linecap="round" {}
        }
    }
}

fn ring() -> Markup {
    html! { circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" stroke-width="1.5" {} }
}
