//! What belongs in and what was weighed in, beyond the sum.

use crate::check::Reason;
use crate::check::charge::arithmetic::came_in_lines;
use crate::check::charge::{Input, Line, Run, Shipped, WeighedIn};
use crate::quantity::{Interval, Mass, both};
use crate::source::SourceId;

/// The unit came empty.
pub const SHIPPED_EMPTY: &str = "shipped-empty";
/// A port has no head.
pub const NO_HEAD: &str = "port-without-head";
/// Charge came in a pre-charged line.
pub const CAME_IN_LINE: &str = "came-in-the-line";
/// The sum of what was weighed in.
pub const WEIGHED_IN: &str = "weighed-in";

/// All that is to be said about what belongs in and what was weighed in.
pub(in crate::check::charge) fn belongs(input: &Input) -> Vec<Reason> {
    let mut said = Vec::new();
    if input.shipped == Shipped::Empty {
        said.push(shipped_empty(input.nameplate));
    }
    said.extend(
        input
            .runs
            .iter()
            .filter(|r| r.without_head())
            .map(without_head),
    );
    said.extend(came_in_lines(&input.runs).lines.iter().map(came_in_line));
    said.extend(input.weighed_in.as_ref().and_then(weighed_in));
    said
}

fn shipped_empty(nameplate: Mass) -> Reason {
    Reason::new(
        SHIPPED_EMPTY,
        SourceId::UnitInstructions,
        format!(
            "the unit came empty: its nameplate charge of {} is weighed in too",
            both(nameplate)
        ),
    )
}

fn without_head(run: &Run) -> Reason {
    Reason::new(
        NO_HEAD,
        SourceId::UnitInstructions,
        format!(
            "{}: no head, so the {} that the nameplate charge includes for it count as not installed: {}",
            run.name,
            both(run.included),
            both(run.factor * (run.installed - run.included))
        ),
    )
}

fn came_in_line(line: &Line) -> Reason {
    Reason::new(
        CAME_IN_LINE,
        SourceId::UnitInstructions,
        format!(
            "{}: {} came in the line by its own label and count as already in",
            line.label,
            both(line.mass)
        ),
    )
}

fn weighed_in(weighed: &WeighedIn) -> Option<Reason> {
    let (name, share) = weighed.dominant()?;
    let sum = Interval::normal(weighed.mass.value, weighed.mass.standard_uncertainty);
    Some(Reason::new(
        WEIGHED_IN,
        SourceId::Jcgm100,
        format!(
            "weighed in {}; the largest part of that range is {name} ({:.0} %)",
            sum.show_both(),
            100.0 * share
        ),
    ))
}
