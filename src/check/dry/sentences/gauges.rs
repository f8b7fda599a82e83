//! What the gauges themselves do to the answer.

use super::super::input::Input;
use super::super::reasons;
use super::super::rules::Rule;
use super::State;
use crate::check::Reason;
use crate::quantity::{Quantity, unit};
use crate::source::SourceId;

/// One sentence for each.
pub(super) fn of_gauges(input: &Input, rule: &Rule, state: &State) -> Vec<Reason> {
    let mut out = Vec::new();
    let mut say = |code, source, text: String| out.push(Reason::new(code, source, text));
    if state.coarse {
        let step = input.gauge_resolution.in_unit(unit::MICRON_DIFF);
        say(
            reasons::COARSE_GAUGE,
            SourceId::DryMethod,
            format!(
                "a gauge in steps of {step:.0} micron shows no level of {:.0} micron: take an electronic vacuum gauge that reads single micron",
                rule.pass_micron
            ),
        );
    }
    if let Some(apart) = state.apart {
        let text = format!(
            "the two gauges end at {:.0} and {:.0} micron: the higher is judged",
            apart.first, apart.second
        );
        say(reasons::GAUGES_DISAGREE, SourceId::TwoVacuumGauges, text);
    }
    if state.across {
        let text = format!(
            "one gauge meets {} and the other does not: no pass until both agree; put them side by side on the pump, clean or replace the one that is off",
            rule.name
        );
        say(reasons::GAUGES_ACROSS, SourceId::DryMethod, text);
    }
    if let Some(ceiling) = state.ceiling {
        let text = format!(
            "its highest value, {ceiling:.0} micron, stands still: the most the gauge can show, left out"
        );
        say(reasons::CEILING_SEEN, SourceId::TwoVacuumGauges, text);
    }
    out
}
