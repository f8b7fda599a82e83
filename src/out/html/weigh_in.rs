//! The weigh-in sheet on one sheet of paper, to be filled in with a pen beside the scale.

use maud::{DOCTYPE, Markup, html};

use super::{command, head, invented, kept, maker, reference, sentence};
use crate::out::Sources;
use crate::out::weigh_in::WeighInSheet;

const CSS: &str = concat!(include_str!("paper.css"), include_str!("weigh_in.css"));

/// The page: what is to be weighed in, its arithmetic, the scale, room for readings, cautions.
pub fn weigh_in(sheet: &WeighInSheet) -> String {
    let mut sources = Sources::default();
    sheet.cautions.iter().for_each(|(_, s)| sources.mention(*s));
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{}: weigh-in sheet", sheet.record), CSS))
            body {
                main {
                    h1 { (sentence(&sheet.headline)) }
                    p.of { (sheet.record) ", " (sheet.refrigerant.name()) "." @if sheet.invented { " " (invented()) } }
                    (arithmetic(sheet))
                    @if !sheet.scale.is_empty() {
                        (on_the_scale(sheet))
                        section {
                            h2 { "To write down" }
                            dl { @for blank in &sheet.blanks { div { dt { (blank) } dd {} } } }
                        }
                    }
                    section {
                        h2 { "Mind" }
                        ul { @for (text, source) in &sheet.cautions { li { (sentence(text)) (reference(*source, &sources)) } } }
                    }
                    @if let Some(words) = &sheet.command {
                        section { h2 { "Afterwards" } (command(words)) }
                    }
                    section {
                        h2 { "Sources" }
                        ol.sources { @for (number, source) in sources.numbered() { li id=(format!("source-{number}")) { (source.cite()) } } }
                    }
                    footer { p { "Made by " (maker()) "." } }
                }
            }
        }
    }
    .into_string()
}

fn arithmetic(sheet: &WeighInSheet) -> Markup {
    html! {
        section {
            h2 { "What belongs in" }
            table {
                @for row in &sheet.rows {
                    tr.sum[row.sum] { th scope="row" { (row.label) } td.mass { (kept(&row.mass)) } td.how { (kept(&row.how)) } }
                }
            }
        }
    }
}

fn on_the_scale(sheet: &WeighInSheet) -> Markup {
    html! {
        section {
            h2 { "On the scale" }
            table.scale {
                @for (name, value) in &sheet.scale {
                    tr.stop[*name == "stop at"] { th scope="row" { (name) } td { (kept(value)) } }
                }
            }
        }
    }
}
