//! What a code or a maker's rule says of the gauge, as written and with temperature taken out.
use super::code_rule::{CodeRule, Target, asked_pressure};
use super::detail::CodeRuleResult;
use super::input::Input;
use super::reasons;
use crate::check::Reason;
use crate::quantity::Quantity;

pub(super) fn code_reasons(input: &Input, rule: CodeRule, result: CodeRuleResult) -> Vec<Reason> {
    let said = |code, text: String| Reason::new(code, rule.source, text);
    let asks = format!("the rule {} ({})", rule.name, rule.asks());
    let mut out = Vec::new();
    if result.too_low
        && let Some(asked) = asked_pressure(input, rule)
    {
        out.push(said(
            reasons::CODE_RULE_LOW,
            format!(
                "the rule {} asks for at least {}; the gauge read {} at most",
                rule.name,
                asked.show(input.units),
                input.highest().show(input.units)
            ),
        ));
    }
    if result.coarse
        && let Some(share) = rule.coarsest
    {
        out.push(said(
            reasons::CODE_RULE_COARSE,
            format!(
                "the rule {} asks for a gauge with steps of {:.0} % of the test pressure or finer; this one has steps of {}",
                rule.name,
                100.0 * share,
                input.gauge_resolution.show(input.units)
            ),
        ));
    }
    let broken = result.too_low || result.coarse;
    match (result.as_written, result.corrected) {
        (_, None) => out.push(said(
            reasons::CODE_RULE_SHORT,
            format!("{asks} cannot be judged: the test was shorter"),
        )),
        (_, Some(false)) => out.push(said(
            reasons::CODE_RULE_NOT_MET,
            format!("{asks} is not met, also with temperature taken out"),
        )),
        (_, Some(true)) if broken => {}
        (Some(true), Some(true)) => out.push(said(
            reasons::CODE_RULE_MET,
            format!("{asks} is met as written and with temperature taken out"),
        )),
        (Some(false), Some(true)) => out.push(said(
            reasons::CODE_RULE_MET,
            format!(
                "{asks} is met with temperature taken out; as written it is not, since the gas cooled"
            ),
        )),
        (None, Some(true)) => out.push(said(
            reasons::CODE_RULE_MET,
            format!("{asks} is met with temperature taken out; as written it needs a thermometer"),
        )),
    }
    if let (Target::Elsewhere(target), Some(reason)) = (rule.target, out.last_mut())
        && !target.is_empty()
    {
        reason.text += &format!("; it asks for {target}: compare that yourself");
    }
    out
}
