//! A running log's steadiest window.

use super::page::Page;
use super::{Style, cited, said};
use crate::check::run::steady::{Steady, Still};
use crate::out::Sources;
use crate::out::logged::shown;
use crate::quantity::{Quantity, UnitSystem, unit};

/// The window, what every channel does in it, and what is to be said.
pub fn steady(found: &Steady, units: UnitSystem, style: Style) -> String {
    let mut page = Page::new(style);
    let lead = match &found.window {
        None => "Too short: no window.".to_string(),
        Some(window) => {
            let what = if window.is_steady() {
                "Steady"
            } else {
                "Not steady: at its steadiest"
            };
            format!(
                "{what} from {:.1} to {:.1} min, {} rows.",
                window.from.in_unit(unit::MINUTE),
                window.to.in_unit(unit::MINUTE),
                window.rows
            )
        }
    };
    page.strong(&lead);
    if let Some(window) = &found.window {
        page.heading("Mean, what it moves, and how it scatters");
        for still in &window.channels {
            page.paragraph(
                &format!("  {:<19}", still.channel.words()),
                &" ".repeat(21),
                &row(found, still, units),
            );
        }
        page.paragraph(
            "  ",
            "  ",
            "± is 95 % of the log's own scatter; the instrument's limit of error comes on top.",
        );
    }
    let reasons = found.said();
    let mut sources = Sources::default();
    reasons.iter().for_each(|r| sources.mention(r.source));
    page.heading("Why");
    for reason in &reasons {
        page.item(&said(&reason.text, reason.code, reason.source, &sources));
    }
    cited(&mut page, &sources);
    page.text
}

fn row(found: &Steady, still: &Still, units: UnitSystem) -> String {
    let kind = still.channel.kind();
    let difference = |si: f64| kind.difference().show(si, units);
    let half = difference(1.96 * still.mean_error);
    let fine = |half: f64| if half < 0.1 { 2 } else { 1 };
    let decimals = fine(half.value);
    let mean = shown(&found.log, still.channel, still.mean, units).decimals(decimals);
    format!(
        "{} ± {}, moves {} ± {} in {:.0} min, scatters {}",
        mean.number(),
        half.decimals(decimals),
        difference(still.change).decimals(decimals).number(),
        difference(1.96 * still.change_error).decimals(decimals),
        found.criteria.over.in_unit(unit::MINUTE),
        difference(still.scatter).decimals(decimals),
    )
}
