//! A section per stage: its question, the answer in words, and everything behind it.

use maud::{Markup, PreEscaped, html};

use super::{command, items, kept, reference, row, sentence, symbol};
use crate::check::Stage;
use crate::out::figure::{DrawError, Width, hold, saturation};
use crate::out::{Sheet, Sources, StageSheet};

pub(super) fn section(
    sheet: &Sheet,
    stage: &StageSheet,
    sources: &Sources,
) -> Result<Markup, DrawError> {
    let finding = &stage.finding;
    let figure = figure(sheet, stage)?;
    let covers: Vec<_> = finding.covers.iter().map(|s| s.words()).collect();
    Ok(html! {
        section.stage.bare[bare(stage)] id=(stage.stage().word()) {
            div.head {
                h2 { (stage.stage().word()) " " span.question { (stage.stage().question()) } }
                p.outcome { (symbol::outcome(stage.outcome())) (sentence(stage.outcome().words())) }
            }
            @if let Some(by) = &stage.replaced_by { (row("replaced by", html! { p { (sentence(by)) } })) }
            @if let Some(figure) = figure { (figure) }
            @if !finding.figures.is_empty() { (row("numbers", numbers(sheet, stage, sources))) }
            @if !finding.reasons.is_empty() {
                (row("why", html! {
                    ul {
                        @for reason in &finding.reasons {
                            li { (sentence(&reason.text)) (reference(reason.source, sources)) " " code.code { (reason.code) } }
                        }
                    }
                }))
            }
            @if !finding.unseen.is_empty() {
                (row("not seen", items(finding.unseen.iter().map(String::as_str))))
            }
            @if !covers.is_empty() { (row("covers", html! { p { (covers.join(", ")) } })) }
            @if !stage.evidence.is_empty() {
                (row("evidence", items(stage.evidence.iter().map(String::as_str))))
            }
            @if !stage.cautions.is_empty() {
                (row("mind", html! {
                    ul { @for caution in &stage.cautions { li { (sentence(caution.text)) (reference(caution.source, sources)) } } }
                }))
            }
            @if let Some(words) = &stage.next { (row("record it", command(words))) }
        }
    })
}

/// Whether there is nothing to say beyond the outcome.
fn bare(stage: &StageSheet) -> bool {
    let finding = &stage.finding;
    finding.reasons.is_empty()
        && finding.figures.is_empty()
        && stage.evidence.is_empty()
        && stage.cautions.is_empty()
}

fn numbers(sheet: &Sheet, stage: &StageSheet, sources: &Sources) -> Markup {
    html! {
        table {
            tbody {
                @for figure in &stage.finding.figures {
                    tr {
                        th scope="row" { (figure.name) }
                        td { (kept(&figure.interval.show(sheet.units))) (reference(figure.source, sources)) }
                    }
                }
            }
        }
    }
}

/// The stage's drawing, for wide and for narrow pages, with its numbers in the caption.
fn figure(sheet: &Sheet, stage: &StageSheet) -> Result<Option<Markup>, DrawError> {
    let (wide, narrow, caption) = match (stage.stage(), &sheet.hold, &sheet.running) {
        (Stage::Tight, Some(hold), _) => (
            hold::draw(hold, Width::Wide, "hold")?,
            hold::draw(hold, Width::Narrow, "hold")?,
            hold.summary().unwrap_or_default(),
        ),
        (Stage::Run, _, Some(running)) => (
            saturation::draw(running, Width::Wide, "saturation")?,
            saturation::draw(running, Width::Narrow, "saturation")?,
            running.summary(),
        ),
        _ => return Ok(None),
    };
    Ok(Some(html! {
        figure {
            (PreEscaped(wide))
            (PreEscaped(narrow))
            figcaption { (sentence(&caption)) }
        }
    }))
}
