//! Joints, events, warnings, every rule that spoke, and the sources.

use maud::{Markup, html};

use super::{command, items, reference, row, sentence};
use crate::decide::Decision;
use crate::out::sheet::{bring, first};
use crate::out::{EventLine, Sheet, Sources};

/// What is not proven stands first.
pub(super) fn joints(sheet: &Sheet) -> Markup {
    html! {
        @if !sheet.joints.is_empty() {
            section #joints-ledger {
                h2 { "Joints" }
                table.ledger {
                    thead { tr { th scope="col" { "joint" } th scope="col" { "kind" } th scope="col" { "evidence" } } }
                    @for (proof, joints) in sheet.joints_by_proof() {
                        tbody {
                            tr.group { th colspan="3" scope="rowgroup" { (sentence(proof.words()).trim_end_matches('.')) span.count { " " (joints.len()) } } }
                            @for joint in joints {
                                tr {
                                    th scope="row" { (joint.id) span.under { (joint.place) } }
                                    td { (joint.kind) @if joint.factory { span.under { "factory joint" } } }
                                    td { (sentence(&joint.state)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Address and serial numbers, for a warranty desk.
pub(super) fn facts(sheet: &Sheet) -> Markup {
    html! {
        @if !sheet.facts.is_empty() {
            section #facts {
                h2 { "The equipment's papers" }
                table.ledger { tbody { @for (label, text) in &sheet.facts { tr { th scope="row" { (label) } td { (text) } } } } }
            }
        }
    }
}

pub(super) fn events(events: &[EventLine]) -> Markup {
    html! {
        @if !events.is_empty() {
            section #events {
                h2 { "Events" }
                table.ledger {
                    thead { tr { th scope="col" { "when" } th scope="col" { "what happened" } } }
                    tbody {
                        @for event in events {
                            tr {
                                th scope="row" {
                                    (event.at)
                                    span.under { "event " (event.number) }
                                    @if let Some(noted) = &event.noted { span.under { "noted " (noted) } }
                                }
                                td {
                                    (sentence(&event.what))
                                    @if let Some(voids) = &event.voids { span.under { "makes out of date: " (voids) } }
                                    @if !event.photos.is_empty() { span.under { "photographs: " (event.photos.join(", ")) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

pub(super) fn warnings(warnings: &[String]) -> Markup {
    html! {
        @if !warnings.is_empty() {
            section #warnings { h2 { "Warnings of the record" } (items(warnings.iter().map(String::as_str))) }
        }
    }
}

/// Everything the first page may have had no room for.
pub(super) fn every_ground(decision: &Decision, sources: &Sources) -> Markup {
    let (first, bring) = (first(decision), bring(decision));
    html! {
        section #grounds {
            h2 { "The decision in full" }
            @if !decision.grounds.is_empty() {
                table.ledger {
                    thead { tr { th scope="col" { "rule" } th scope="col" { "asks for" } } }
                    tbody {
                        @for ground in &decision.grounds {
                            tr {
                                td { (sentence(&ground.text)) (reference(ground.source, sources)) " " code.code { (ground.code) } }
                                td { (ground.verdict.words()) span.under { (ground.meanwhile.words()) "; " (ground.how_soon.words()) } }
                            }
                        }
                    }
                }
            }
            div #changes {
                @if !decision.would_change.is_empty() {
                    (row("would change if", html! {
                        ul { @for change in &decision.would_change { li {
                            (sentence(&change.text)) " " (sentence(&change.narrows)) span.under { (change.effort.words()) }
                            @if let Some(words) = &change.command { (command(words)) }
                        } } }
                    }))
                }
            }
            div #next {
                @if !decision.next.is_empty() {
                    (row("next", html! {
                        ol { @for step in &decision.next { li {
                            (sentence(&step.text))
                            @if let Some(words) = &step.command { (command(words)) }
                        } } }
                    }))
                }
                @if !first.is_empty() { (row("before that", items(first.into_iter()))) }
                @if !bring.is_empty() { (row("to bring", items(bring.into_iter()))) }
            }
        }
    }
}

pub(super) fn sources(sources: &Sources) -> Markup {
    html! {
        @if !sources.is_empty() {
            section #sources {
                h2 { "Where the limits and equations come from" }
                p { "The unit's own instructions and the local code win over every limit here." }
                ol.sources {
                    @for (number, source) in sources.numbered() {
                        li id=(format!("source-{number}")) { (source.text()) span.under { (source.status().words()) } }
                    }
                }
            }
        }
    }
}
