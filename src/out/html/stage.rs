//! A section per stage: its question, the answer in words, and everything behind it.

use maud::{Markup, PreEscaped, html};

use super::{command, items, kept, reference, row, sentence, symbol};
use crate::check::{Detail, Stage, run};
use crate::out::figure::{
    ChargeInterval, DrawError, Hold, HoldResiduals, LossLimit, PressureEnthalpy, PumpDownFigure,
    RiseFigure, Running, RunningLogFigure, Width, charge_interval, hold, hold_residuals,
    loss_limit, pressure_enthalpy, pump_down, rise, running_log, saturation,
};
use crate::out::told::Line;
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
            @if let (Detail::Dry(_), Some(pumped)) = (&finding.detail, &sheet.pump_down) {
                (row("pump-down", html! {
                    ul {
                        @for line in &pumped.lines { li { (told(line, sources)) } }
                    }
                }))
            }
            @if let Detail::Run(detail) = &finding.detail { (running(sheet, detail, sources)) }
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

/// A line of words with its source.
fn told(line: &Line, sources: &Sources) -> Markup {
    match line {
        Line::Plain(text) => html! { (sentence(text)) },
        Line::Sourced(text, source) => html! { (sentence(text)) (reference(*source, sources)) },
        Line::Said(reason) => html! {
            (sentence(&reason.text)) (reference(reason.source, sources)) " " code.code { (reason.code) }
        },
    }
}

/// The signs of a running unit against what is expected, and what a further reading would buy.
fn running(sheet: &Sheet, detail: &run::Detail, sources: &Sources) -> Markup {
    html! {
        @if detail.told().next().is_some() {
            (row("signs", html! {
                table {
                    tbody {
                        @for sign in detail.told() {
                            tr {
                                th scope="row" { (sign.feature.words()) }
                                td {
                                    (kept(&sign.words(sheet.units)))
                                    @if let Some(expected) = sign.expected { (reference(expected.source, sources)) }
                                }
                            }
                        }
                    }
                }
            }))
        }
        @if !detail.worth.is_empty() {
            (row("would buy", html! {
                ul { @for worth in &detail.worth { li { (sentence(&worth.words())) (reference(worth.source, sources)) } } }
            }))
        }
    }
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
        Stage::Tight => vec![
            sheet.hold.as_ref().map(hold_figure),
            sheet.residuals.as_ref().map(residuals_figure),
            sheet.loss_limit.as_ref().map(limit_figure),
        ],
        Stage::Dry => vec![
            sheet.rise.as_ref().map(rise_figure),
            sheet
                .pump_down
                .as_ref()
                .map(|p| pump_down_figure(&p.figure)),
        ],
        Stage::Charge => vec![sheet.charge.as_ref().map(charge_figure)],
        Stage::Run => vec![
            sheet.running.as_ref().map(saturation_figure),
            sheet.cycle.as_ref().map(cycle_figure),
            sheet.running_log.as_ref().map(log_figure),
        ],
        _ => Vec::new(),
    };
    drawings.into_iter().flatten().collect()
}

fn hold_figure(figure: &Hold) -> Result<Markup, DrawError> {
    let draw = |width| hold::draw(figure, width, "hold");
    drawn(draw, &figure.summary().unwrap_or_default())
}

fn residuals_figure(figure: &HoldResiduals) -> Result<Markup, DrawError> {
    let draw = |width| hold_residuals::draw(figure, width, "residuals");
    drawn(draw, &figure.summary())
}

fn limit_figure(figure: &LossLimit) -> Result<Markup, DrawError> {
    let draw = |width| loss_limit::draw(figure, width, "loss-limit");
    drawn(draw, &figure.summary())
}

fn rise_figure(figure: &RiseFigure) -> Result<Markup, DrawError> {
    let draw = |width| rise::draw(figure, width, "rise");
    drawn(draw, &figure.summary().unwrap_or_default())
}

fn pump_down_figure(figure: &PumpDownFigure) -> Result<Markup, DrawError> {
    let draw = |width| pump_down::draw(figure, width, "pump-down");
    drawn(draw, &figure.summary().unwrap_or_default())
}

fn charge_figure(figure: &ChargeInterval) -> Result<Markup, DrawError> {
    let draw = |width| charge_interval::draw(figure, width, "charge");
    drawn(draw, &figure.summary())
}

fn saturation_figure(figure: &Running) -> Result<Markup, DrawError> {
    let draw = |width| saturation::draw(figure, width, "saturation");
    drawn(draw, &figure.summary())
}

fn cycle_figure(figure: &PressureEnthalpy) -> Result<Markup, DrawError> {
    let draw = |width| pressure_enthalpy::draw(figure, width, "cycle");
    drawn(draw, &figure.summary())
}

fn log_figure(figure: &RunningLogFigure) -> Result<Markup, DrawError> {
    let draw = |width| running_log::draw(figure, width, "running-log");
    drawn(draw, &figure.summary())
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
