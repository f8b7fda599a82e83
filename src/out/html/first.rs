//! The first page: the answer on one sheet of paper.

use maud::{Markup, html};

use super::{command, invented, items, reference, row, sentence, symbol};
use crate::check::Outcome;
use crate::decide::{Decision, Meanwhile};
use crate::out::sheet::{Lead, bring, first};
use crate::out::{Sheet, Sources, StageSheet};

/// Letters of text that leave the page on one sheet, per part.
const GROUNDS: usize = 760;
const NEXT: usize = 420;
const UNSEEN: usize = 520;
const LISTS: usize = 360;

pub(super) fn page(sheet: &Sheet, sources: &Sources) -> Markup {
    let decision = &sheet.decision;
    let lead = Lead::of(decision);
    html! {
        section.first aria-labelledby="answer" {
            header {
                p.record { (sheet.record) }
                p { (sheet.equipment) ", " (sheet.refrigerant) ". " (sheet.place) "." }
                p { "Route: " (sheet.route) "." }
                @if sheet.invented { p { (invented()) } }
            }
            p.verdict { (symbol::verdict(decision.verdict)) (decision.verdict.words()) }
            h1 #answer { (sentence(lead.words)) @if let Some(ground) = lead.ground { (reference(ground.source, sources)) } }
            dl.terms {
                div { dt { "meanwhile" } dd { (decision.meanwhile.words()) } }
                div { dt { "how soon" } dd { (decision.how_soon.words()) } }
            }
            (line(&sheet.stages))
            (why(&lead, sources))
            @if decision.meanwhile == Meanwhile::RunWithStopSigns {
                (row("switch it off if", items(decision.stop_signs.iter().copied())))
            }
            (next(decision))
            (technician(decision))
            (unseen(sheet))
        }
    }
}

/// The stages as stations on a line, drawn solid as far as it is proven.
fn line(stages: &[StageSheet]) -> Markup {
    html! {
        nav aria-label="stages" {
            ol.line {
                @for stage in stages {
                    li.proven[proven(stage)] {
                        a href=(format!("#{}", stage.stage().word())) {
                            (symbol::outcome(stage.outcome()))
                            span.name { (stage.stage().word()) }
                            span.outcome { (stage.outcome().words()) }
                        }
                    }
                }
            }
        }
    }
}

fn proven(stage: &StageSheet) -> bool {
    matches!(stage.outcome(), Outcome::Pass | Outcome::DoesNotApply)
}

fn why(lead: &Lead, sources: &Sources) -> Markup {
    let shown = fitting(lead.others.iter().map(|g| g.text.as_str()), GROUNDS);
    let name = if lead.ground.is_some() { "also" } else { "why" };
    html! {
        @if shown > 0 {
            (row(name, html! {
                ul {
                    @for ground in &lead.others[..shown] {
                        li { (sentence(&ground.text)) (reference(ground.source, sources)) }
                    }
                }
                (and_more(lead.others.len() - shown, "#grounds"))
            }))
        }
    }
}

fn next(decision: &Decision) -> Markup {
    let shown = fitting(decision.next.iter().map(|s| s.text.as_str()), NEXT);
    let more = decision.next.len() - shown;
    html! {
        @if shown > 0 {
            (row("next", html! {
                ol {
                    @for step in &decision.next[..shown] {
                        li {
                            (sentence(&step.text))
                            @if let Some(words) = &step.command { (command(words)) }
                        }
                    }
                }
                (and_more(more, "#next"))
            }))
        }
    }
}

fn technician(decision: &Decision) -> Markup {
    let (first, bring) = (first(decision), bring(decision));
    html! {
        @if !first.is_empty() { (row("before that", short(&first))) }
        @if !bring.is_empty() { (row("to bring", short(&bring))) }
    }
}

fn short(list: &[&'static str]) -> Markup {
    let shown = fitting(list.iter().copied(), LISTS);
    html! {
        (items(list[..shown].iter().copied()))
        (and_more(list.len() - shown, "#grounds"))
    }
}

fn unseen(sheet: &Sheet) -> Markup {
    let all: Vec<_> = sheet.unseen().collect();
    let shown = fitting(all.iter().map(|(_, text)| *text), UNSEEN);
    html! {
        @if shown > 0 {
            (row("not seen", html! {
                ul {
                    @for (stage, text) in &all[..shown] {
                        li { b { (stage.word()) } ": " (sentence(text)) }
                    }
                }
                @if all.len() > shown { p.more { "More under each stage." } }
            }))
        }
    }
}

fn and_more(more: usize, place: &str) -> Markup {
    html! { @if more > 0 { p.more { a href=(place) { (more) " more on the following pages" } } } }
}

/// How many items fit into so many letters; a line is at least seventy of them, and one item always fits.
fn fitting<'a>(items: impl Iterator<Item = &'a str>, letters: usize) -> usize {
    let mut used = 0;
    items
        .enumerate()
        .take_while(|(i, text)| {
            used += text.chars().count().div_ceil(70) * 70;
            *i == 0 || used <= letters
        })
        .count()
}

#[cfg(test)]
mod tests {
    use super::fitting;

    #[test]
    fn the_first_page_takes_what_fits_and_always_one() {
        let long = "x".repeat(900);
        assert_eq!(fitting([long.as_str(), "b"].into_iter(), 420), 1);
        assert_eq!(fitting(["a", "b", "c"].into_iter(), 140), 2);
        assert_eq!(fitting(std::iter::empty(), 140), 0);
    }
}
