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
    let fine = |si: f64| {
        let shown = still.channel.kind().difference().show(si, units);
        let small = shown.value.abs() < 0.095;
        shown.decimals(if small { 2 } else { 1 })
    };
    let half = fine(1.96 * still.mean_error);
    let error = fine(1.96 * still.change_error);
    let mean = shown(&found.log, still.channel, still.mean, units).decimals(half.decimals);
    let mean = if mean.unit == half.unit {
        mean.number()
    } else {
        mean.to_string()
    };
    let change = still.channel.kind().difference().show(still.change, units);
    format!(
        "{mean} ± {half}, moves {} ± {error} in {:.0} min, scatters {}",
        change.decimals(error.decimals).number(),
        found.criteria.over.in_unit(unit::MINUTE),
        fine(still.scatter),
    )
}
