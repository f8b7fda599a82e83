//! The card for the moment gas is heard, on one sheet of paper, US Letter or A4, in big letters.

use maud::{DOCTYPE, html};

use super::{command, head, maker};
use crate::decide::hissing;

const CSS: &str = concat!(include_str!("paper.css"), include_str!("card.css"));

/// The command that writes the release down; it asks for no more than times and what was seen.
const COMMAND: &str = "lineproof add DIR released --at TIME --lasted TIME --seen hiss,oil";

/// What is written down by hand while it is fresh.
const NOTES: [&str; 4] = [
    "it began at",
    "it fell silent at",
    "where it came out",
    "seen: hiss, mist, liquid, frost, oil",
];

/// The page: what to do in this order, room to note the times, and the command for afterwards.
pub fn hissing_card() -> String {
    // the last act, to write it down, is the foot of the page
    let acts = hissing::CARD.split_last().map_or(&[][..], |(_, acts)| acts);
    html! {
        (DOCTYPE)
        html lang="en" {
            (head("Gas is heard", CSS))
            body {
                main {
                    h1 { "Gas is heard: do this, in this order." }
                    ol {
                        @for act in acts {
                            li { p.act { (act.text) } p.detail { (act.detail) } }
                        }
                    }
                    section.after {
                        p { "Write it down here, and type it in afterwards:" }
                        dl { @for note in NOTES { div { dt { (note) } dd {} } } }
                        (command(COMMAND))
                        p { "It asks only for times and what was seen; leave out what you do not know. Then: lineproof decide DIR" }
                    }
                    footer { p { "The unit's own safety pages and the fire service come before this card. Made by " (maker()) "." } }
                }
            }
        }
    }
    .into_string()
}
