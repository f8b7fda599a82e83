//! A section per stage: its question, the answer in words, and everything behind it.

use maud::{Markup, PreEscaped, html};

use super::{command, items, kept, reference, row, sentence, symbol};
use crate::check::Stage;
use crate::out::figure::{
    DrawError, Hold, PressureEnthalpy, Running, Width, hold, pressure_enthalpy, saturation,
};
use crate::out::{Sheet, Sources, StageSheet};

pub(super) fn section(
    sheet: &Sheet,
    stage: &StageSheet,
    sources: &Sources,
) -> Result<Markup, DrawError> {
    let finding = &stage.finding;
    let figures = figures(sheet, stage)?;
    let covers: Vec<_> = finding.covers.iter().map(|s| s.words()).collect();
    Ok(html! {
        section.stage.bare[bare(stage)] id=(stage.stage().word()) {
            div.head {
                h2 { (stage.stage().word()) " " span.question { (stage.stage().question()) } }
                p.outcome { (symbol::outcome(stage.outcome())) (sentence(stage.outcome().words())) }
            }
            @if let Some(by) = &stage.replaced_by { (row("replaced by", html! { p { (sentence(by)) } })) }
            @for figure in &figures { (figure) }
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

/// The stage's drawings, in the order in which they are read.
fn figures(sheet: &Sheet, stage: &StageSheet) -> Result<Vec<Markup>, DrawError> {
    let drawings = match stage.stage() {
        Stage::Tight => vec![hold_figure(sheet)?],
        Stage::Run => vec![saturation_figure(sheet)?, cycle_figure(sheet)?],
        _ => Vec::new(),
    };
    Ok(drawings.into_iter().flatten().collect())
}

fn hold_figure(sheet: &Sheet) -> Result<Option<Markup>, DrawError> {
    let draw = |figure: &Hold| {
        let caption = figure.summary().unwrap_or_default();
        drawn(|width| hold::draw(figure, width, "hold"), &caption)
    };
    sheet.hold.as_ref().map(draw).transpose()
}

fn saturation_figure(sheet: &Sheet) -> Result<Option<Markup>, DrawError> {
    let draw = |figure: &Running| {
        let caption = figure.summary();
        drawn(
            |width| saturation::draw(figure, width, "saturation"),
            &caption,
        )
    };
    sheet.running.as_ref().map(draw).transpose()
}

fn cycle_figure(sheet: &Sheet) -> Result<Option<Markup>, DrawError> {
    let draw = |figure: &PressureEnthalpy| {
        let caption = figure.summary();
        drawn(
            |width| pressure_enthalpy::draw(figure, width, "cycle"),
            &caption,
        )
    };
    sheet.cycle.as_ref().map(draw).transpose()
}

/// A drawing for wide and for narrow pages, with its numbers in the caption.
fn drawn(
    draw: impl Fn(Width) -> Result<String, DrawError>,
    caption: &str,
) -> Result<Markup, DrawError> {
    let (wide, narrow) = (draw(Width::Wide)?, draw(Width::Narrow)?);
    Ok(html! {
        figure {
            (PreEscaped(wide))
            (PreEscaped(narrow))
            figcaption { (sentence(caption)) }
        }
    })
}
