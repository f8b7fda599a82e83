//! A planned hold and a rehearsal on the terminal.

use super::page::Page;
use super::{Style, sentence};
use crate::check::tight::plan::{LENGTHS, Plan, Sight};
use crate::check::tight::rehearse::{Rehearsal, Setup, Tally};
use crate::check::{Detail, Finding};
use crate::out::planned;
use crate::out::{Sources, text::cited};
use crate::quantity::{Dimension, Interval, Quantity, UnitSystem};
use crate::source::SourceId;

/// The plan: what the hold would see, other lengths, what would help most, when to start.
pub fn plan(plan: &Plan, setup: &Setup, style: Style) -> String {
    let units = setup.units;
    let mut page = Page::new(style);
    page.strong(&sentence(&planned::headline(plan, units)));
    for line in planned::against_limit(plan, setup, units) {
        page.paragraph("  ", "  ", &sentence(&line));
    }

    page.heading("The hold");
    for (name, words) in planned::facts(setup) {
        page.entry(name, &words);
    }

    page.heading("By hours");
    page.verbatim(
        "  ",
        &hours_line(
            "hold",
            "would see a loss of",
            "would pass a tight set to",
            "",
        ),
    );
    for row in &plan.rows {
        let mark = if row.hours == plan.asked.hours {
            "<- as asked"
        } else {
            ""
        };
        page.verbatim("  ", &sight_line(row, mark, units));
    }
    if !LENGTHS.contains(&plan.asked.hours) {
        page.verbatim("  ", &sight_line(&plan.asked, "<- as asked", units));
    }

    page.heading("What would help most, one at a time");
    if plan.improvements.is_empty() {
        page.paragraph(
            "  ",
            "  ",
            "Nothing that is compared here narrows it by a twentieth.",
        );
    }
    let widest = plan
        .improvements
        .iter()
        .map(|i| planned::change(i.change, units).chars().count())
        .max()
        .unwrap_or(0);
    for better in &plan.improvements {
        let change = planned::change(better.change, units);
        page.verbatim(
            "  ",
            &format!(
                "{change:<widest$}  {} instead of {}",
                better.sight.tells.show(units),
                plan.asked.tells.show(units)
            ),
        );
    }

    page.heading("When to start");
    for line in planned::when_to_start(setup) {
        page.item(&sentence(&line));
    }
    let mut sources = Sources::default();
    for source in [
        SourceId::TightMethod,
        SourceId::Rehearsal,
        setup.gas.computed_as().source(),
        SourceId::Jcgm106,
        plan.by.source(),
    ] {
        sources.mention(source);
    }
    if !plan.mass.is_empty() {
        sources.mention(SourceId::LeakLaws);
        sources.mention(SourceId::LeakConditions);
    }
    cited(&mut page, &sources);
    page.text
}

/// One length of hold with what it would see and pass.
fn sight_line(sight: &Sight, mark: &str, units: UnitSystem) -> String {
    let hours = format!("{:>2} h", sight.hours);
    let (tells, passes) = (sight.tells.show(units), sight.passes.show(units));
    hours_line(&hours, &tells.to_string(), &passes.to_string(), mark)
}

fn hours_line(hours: &str, sees: &str, passes: &str, mark: &str) -> String {
    let line = format!("{hours:<8}{sees:<22}{passes:<26}{mark}");
    line.trim_end().to_owned()
}

/// What was hidden in a rehearsal, beside what the judgement said to it.
pub fn revealed(
    rehearsal: &Rehearsal,
    finding: &Finding,
    units: UnitSystem,
    style: Style,
) -> String {
    let mut page = Page::new(style);
    let Detail::Tight(detail) = &finding.detail else {
        return page.text;
    };
    let truth = &rehearsal.truth;
    let range = Interval {
        estimate: detail.loss[0].si(),
        low: detail.loss[1].si(),
        high: detail.loss[2].si(),
        dimension: Dimension::PressureRate,
    };
    page.strong(&sentence(&planned::hidden(truth, units)));
    page.blank();
    page.entry("outcome", finding.outcome.words());
    page.entry("loss", &range.show(units));
    page.entry("limit", &detail.limit.show(units).to_string());
    page.entry(
        "verdict",
        &planned::compared(rehearsal.loss_to_find(), finding.outcome, detail, units),
    );
    page.heading("What nobody could know");
    for (name, words) in planned::unknowable(truth, units) {
        page.entry(name, &words);
    }
    page.text
}

/// How often a hold comes out how.
pub fn tallies(tallies: &[(String, Tally)], style: Style) -> String {
    let mut page = Page::new(style);
    for (leak, tally) in tallies {
        page.strong(&sentence(&planned::tally(leak, tally)));
        page.paragraph("  ", "  ", &planned::tally_more(tally));
    }
    page.blank();
    page.paragraph(
        "",
        "",
        "Rehearsed, not measured: real weather, real walls and real gauges have more ways to be odd.",
    );
    page.text
}
