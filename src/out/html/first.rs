//! The first page: the answer on one sheet of paper.

use maud::{Markup, html};

use super::{command, invented, items, kept, reference, row, sentence, symbol};
use crate::check::Outcome;
use crate::decide::{Decision, Meanwhile};
use crate::out::sheet::{Lead, bring, first};
use crate::out::{Sheet, Sources, StageSheet};

/// Lines of a printed sheet below the stations, when the headline takes two.
const LINES: usize = 23;
/// Joints named on the first sheet.
const JOINTS: usize = 5;
/// Letters in a printed line of text, and of the headline.
const LINE: usize = 75;
const HEADLINE: usize = 46;

pub(super) fn page(sheet: &Sheet, sources: &Sources) -> Markup {
    let decision = &sheet.decision;
    let lead = Lead::of(decision);
    let shown = Shown::on_one_sheet(sheet, &lead);
    html! {
        section.first aria-labelledby="answer" {
            header {
                p.record { (sheet.record) }
                p { (sheet.equipment) ", " (sheet.refrigerant) ". " (sheet.place) "." }
                p { "Route: " (sheet.route) "." }
                @if sheet.invented { p { (invented()) } }
                @if let Some(words) = sheet.left_out_words() { p { strong.invented { (sentence(&words)) } } }
            }
            p.verdict { (symbol::verdict(decision.verdict)) (decision.verdict.words()) }
            h1 #answer { (sentence(lead.words)) @if let Some(ground) = lead.ground { (reference(ground.source, sources)) } }
            dl.terms {
                div { dt { "meanwhile" } dd { (decision.meanwhile.words()) } }
                div { dt { "how soon" } dd { (decision.how_soon.words()) } }
            }
            (line(&sheet.stages))
            (why(&lead, shown.why, sources))
            @if decision.meanwhile == Meanwhile::RunWithStopSigns {
                (row("switch it off if", items(decision.stop_signs.iter().copied())))
            }
            (next(decision, shown.next))
            (would_change(decision, shown.changes))
            (technician(decision, &shown))
            @if let Some(words) = sheet.unproven_words(JOINTS) { (row("proven by nothing", html! { p { (kept(&words)) "." } })) }
            (unseen(sheet, shown.unseen))
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

/// How many items of each list stand on the first sheet; the rest follows in the report.
struct Shown {
    next: usize,
    why: usize,
    changes: usize,
    unseen: usize,
    first: usize,
    bring: usize,
}

impl Shown {
    fn on_one_sheet(sheet: &Sheet, lead: &Lead) -> Self {
        let decision = &sheet.decision;
        let headline = lead.words.chars().count().div_ceil(HEADLINE).max(2);
        let mut room = Room(LINES.saturating_sub(2 * (headline - 2)));
        if decision.meanwhile == Meanwhile::RunWithStopSigns {
            let signs = decision.stop_signs.iter().map(|s| lines(s));
            room.take(signs, usize::MAX);
        }
        let unproven = sheet.unproven_words(JOINTS);
        room.take(unproven.iter().map(|words| lines(words)), usize::MAX);
        let steps = decision.next.iter();
        let steps = steps.map(|s| lines(&s.text) + s.command.as_deref().map_or(0, lines));
        let next = room.take(steps, room.0 / 2);
        let why = room.take(lead.others.iter().map(|g| lines(&g.text)), room.0 / 2);
        let changes = decision.would_change.iter();
        let changes = changes
            .map(|c| lines(&c.text) + lines(&c.narrows) + c.command.as_deref().map_or(0, lines));
        let changes = room.take(changes, room.0 / 2);
        let unseen = sheet.unseen().map(|(_, text)| lines(text));
        Shown {
            next,
            why,
            changes,
            unseen: room.take(unseen, room.0.saturating_sub(4)),
            first: fitting(first(decision).into_iter().map(str::len), 2 * LINE),
            bring: fitting(bring(decision).into_iter().map(str::len), 2 * LINE),
        }
    }
}

/// Lines left on the sheet.
struct Room(usize);

impl Room {
    /// How many items of such heights fit into so many lines; a line is kept to say that there are more.
    fn take(&mut self, heights: impl Iterator<Item = usize>, most: usize) -> usize {
        let heights: Vec<usize> = heights.collect();
        let shown = fitting(heights.iter().copied(), most);
        let more = usize::from(shown < heights.len());
        let used = heights[..shown].iter().sum::<usize>() + more;
        self.0 = self.0.saturating_sub(used);
        shown
    }
}

/// How many items fit; one always does.
fn fitting(sizes: impl Iterator<Item = usize>, most: usize) -> usize {
    let mut used = 0usize;
    sizes
        .enumerate()
        .take_while(|(i, size)| {
            used = used.saturating_add(*size);
            *i == 0 || used <= most
        })
        .count()
}

fn lines(text: &str) -> usize {
    text.chars().count().div_ceil(LINE).max(1)
}

fn why(lead: &Lead, shown: usize, sources: &Sources) -> Markup {
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

fn next(decision: &Decision, shown: usize) -> Markup {
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
                (and_more(decision.next.len() - shown, "#next"))
            }))
        }
    }
}

/// The measurements that could change the answer, the cheapest first.
fn would_change(decision: &Decision, shown: usize) -> Markup {
    html! {
        @if shown > 0 {
            (row("would change if", html! {
                ul {
                    @for change in &decision.would_change[..shown] {
                        li {
                            (sentence(&change.text)) " " (sentence(&change.narrows)) span.under { (change.effort.words()) }
                            @if let Some(words) = &change.command { (command(words)) }
                        }
                    }
                }
                (and_more(decision.would_change.len() - shown, "#changes"))
            }))
        }
    }
}

fn technician(decision: &Decision, shown: &Shown) -> Markup {
    let (first, bring) = (first(decision), bring(decision));
    html! {
        @if !first.is_empty() { (row("before that", joined(&first, shown.first))) }
        @if !bring.is_empty() { (row("to bring", joined(&bring, shown.bring))) }
    }
}

/// A list in one sentence.
fn joined(list: &[&'static str], shown: usize) -> Markup {
    html! {
        p { (sentence(&list[..shown].join("; "))) }
        (and_more(list.len() - shown, "#next"))
    }
}

fn unseen(sheet: &Sheet, shown: usize) -> Markup {
    html! {
        @if shown > 0 {
            (row("not seen", html! {
                ul {
                    @for (stage, text) in sheet.unseen().take(shown) {
                        li { b { (stage.word()) } ": " (sentence(text)) }
                    }
                }
                @if sheet.unseen().count() > shown { p.more { "more under each stage" } }
            }))
        }
    }
}

fn and_more(more: usize, place: &str) -> Markup {
    html! { @if more > 0 { p.more { a href=(place) { (more) " more on the following pages" } } } }
}

#[cfg(test)]
mod tests {
    use super::Room;

    #[test]
    fn the_sheet_takes_what_fits_and_always_one() {
        let mut room = Room(10);
        assert_eq!(room.take([4, 1].into_iter(), 3), 1);
        assert_eq!(room.0, 5);
        assert_eq!(room.take([1, 1, 1].into_iter(), 3), 3);
        assert_eq!(room.take(std::iter::empty(), 3), 0);
        assert_eq!(room.0, 2);
    }
}
