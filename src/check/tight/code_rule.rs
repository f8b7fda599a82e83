//! The rule of a code or a maker that is judged beside the loss: as written, and with temperature taken out.

use super::detail::CodeRuleResult;
use super::input::Input;
use crate::physics::field_rules::{FieldRule, Kind};
use crate::quantity::{Duration, PressureDiff, PressureGauge, PressureRate, Quantity, unit};
use crate::source::SourceId;

/// The pressure that a rule asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At least the design pressure.
    Design,
    /// At least so much.
    AtLeast(PressureGauge),
    /// By a table or a setting that this program does not have.
    Elsewhere(&'static str),
}

/// What the gauge may do in the rule's time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Allowed {
    /// No decrease on the gauge, whatever the temperature did.
    NoDecrease,
    /// About 1 psi for each °F at 500 psig.
    PsiPerDegree,
    /// No loss once temperature is taken out.
    Corrected,
}

/// A rule of a code or a maker: so long, at so much, and what the gauge may do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeRule {
    /// Its name.
    pub name: &'static str,
    /// How long the gauge is watched after the source is removed.
    pub hold: Duration,
    /// The pressure it asks for.
    pub target: Target,
    /// What the gauge may do.
    pub allowed: Allowed,
    /// The coarsest gauge it allows, as a share of the test pressure, where it says.
    pub coarsest: Option<f64>,
    /// Where it comes from.
    pub source: SourceId,
}

impl CodeRule {
    /// The field test of IEC 60335-2-40: at the design pressure, 60 min, no decrease.
    pub fn iec_60335_2_40() -> Self {
        CodeRule::named("iec-60335-2-40-pressure").expect("the table has it")
    }

    /// The pressure rule of a name in the table of field rules; none for a name that is no hold under pressure.
    ///
    /// ```
    /// use lineproof::check::tight::CodeRule;
    /// use lineproof::quantity::{Quantity, unit};
    /// let rule = CodeRule::named("umc-ashrae-15-pressure").unwrap();
    /// assert_eq!(rule.hold.in_unit(unit::MINUTE), 10.0);
    /// assert!(CodeRule::named("ufgs-23-vacuum").is_none());
    /// ```
    pub fn named(name: &str) -> Option<Self> {
        FieldRule::named(name).and_then(CodeRule::of)
    }

    /// Every name there is.
    pub fn names() -> Vec<&'static str> {
        let rules = FieldRule::all().iter().filter_map(CodeRule::of);
        rules.map(|rule| rule.name).collect()
    }

    fn of(rule: &'static FieldRule) -> Option<Self> {
        if !matches!(rule.kind, Kind::Pressure | Kind::Both) {
            return None;
        }
        let at_least = rule.target.strip_suffix(" psig nitrogen");
        let target = match at_least.and_then(|number| number.parse().ok()) {
            Some(psig) => Target::AtLeast(PressureGauge::of(psig, unit::PSIG)),
            None if rule.target.starts_with("at least the design pressure") => Target::Design,
            None => Target::Elsewhere(&rule.target),
        };
        let coarsest = rule
            .notes
            .strip_prefix("gauge resolution not coarser than ")
            .and_then(|rest| rest.split_once(' '))
            .and_then(|(percent, _)| percent.parse::<f64>().ok());
        Some(CodeRule {
            name: &rule.id,
            hold: rule.hold_time()?,
            target,
            allowed: match rule.allowed.as_str() {
                "no decrease on the gauge" => Allowed::NoDecrease,
                "about 1 psi per degF at 500 psig" => Allowed::PsiPerDegree,
                // "corrected for temperature", "proved tight", and where nothing is said
                _ => Allowed::Corrected,
            },
            coarsest: coarsest.map(|percent| percent / 100.0),
            source: rule.source,
        })
    }

    /// What it asks for, in brackets behind its name.
    pub(super) fn asks(self) -> String {
        let hours = self.hold.in_unit(unit::HOUR_DURATION);
        let time = if hours > 2.0 {
            format!("{hours:.0} h")
        } else {
            format!("{:.0} min", self.hold.in_unit(unit::MINUTE))
        };
        match self.allowed {
            Allowed::NoDecrease => format!("no decrease on the gauge in {time}"),
            Allowed::PsiPerDegree => {
                format!("no more in {time} than about 1 psi for each °F at 500 psig")
            }
            Allowed::Corrected => format!("no loss in {time} with temperature taken out"),
        }
    }
}

/// The pressure that a rule asks for in this test, where it is known.
pub(super) fn asked_pressure(input: &Input, rule: CodeRule) -> Option<PressureGauge> {
    match rule.target {
        Target::Design => input.design,
        Target::AtLeast(pressure) => Some(pressure),
        Target::Elsewhere(_) => None,
    }
}

/// The first reading against the reading at the rule's time, in steps of the gauge; corrected, against the fitted loss.
///
/// A loss that surely comes to less than half a step in the rule's time cannot be told from none on that gauge.
pub(super) fn judged(input: &Input, loss: &[PressureRate; 3], rule: CodeRule) -> CodeRuleResult {
    let half_step = 0.5 * input.gauge_resolution.si();
    let gauge = |at: usize| input.pressure[at].to_gauge(input.barometer);
    let highest = (0..input.pressure.len())
        .map(|at| gauge(at).si())
        .fold(f64::MIN, f64::max);
    let coarse = rule
        .coarsest
        .is_some_and(|share| input.gauge_resolution.si() > share * gauge(0).si());
    let too_low = asked_pressure(input, rule)
        .is_some_and(|asked| highest < asked.si() - half_step - 1e-6 * asked.si());
    let hold_h = rule.hold.in_unit(unit::HOUR_DURATION);
    let at = input
        .hours
        .iter()
        .position(|h| h - input.hours[0] >= hold_h - 1e-6);
    let Some(at) = at else {
        return CodeRuleResult {
            as_written: None,
            corrected: None,
            coarse,
            too_low,
        };
    };
    let drop = input.pressure[0].si() - input.pressure[at].si();
    let corrected = loss[1].si() * rule.hold.si() < half_step;
    let as_written = match rule.allowed {
        Allowed::NoDecrease => Some(drop < half_step),
        Allowed::PsiPerDegree => degrees_colder(input, at)
            .map(|degrees| drop - psi_per_degree(input).si() * degrees < half_step),
        Allowed::Corrected => Some(corrected),
    };
    CodeRuleResult {
        as_written,
        corrected: Some(corrected),
        coarse,
        too_low,
    }
}

/// How many °F colder the thermometer read then; none without one.
fn degrees_colder(input: &Input, at: usize) -> Option<f64> {
    let column = input.outdoor.as_ref().or(input.indoor.as_ref())?;
    Some((column[0] - column[at]).in_unit(unit::FAHRENHEIT_DIFF))
}

/// 1 psi for each °F at 500 psig, in proportion to the absolute pressure.
fn psi_per_degree(input: &Input) -> PressureDiff {
    let at_500_psig = PressureDiff::of(1.0, unit::PSI_DIFF);
    PressureDiff::from_si(at_500_psig.si() * input.pressure[0].in_unit(unit::PSIA) / 514.696)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pressure_rules_of_the_table() {
        assert_eq!(
            CodeRule::names(),
            [
                "iec-60335-2-40-pressure",
                "ashrae-journal-2021-pressure",
                "ufgs-23-pressure",
                "umc-ashrae-15-pressure",
                "en-378-2",
            ]
        );
        let iec = CodeRule::iec_60335_2_40();
        assert_eq!((iec.target, iec.coarsest), (Target::Design, Some(0.05)));
        assert_eq!(iec.allowed, Allowed::NoDecrease);
        let journal = CodeRule::named("ashrae-journal-2021-pressure").unwrap();
        assert_eq!(
            journal.target,
            Target::AtLeast(PressureGauge::of(500.0, unit::PSIG))
        );
        assert_eq!(journal.allowed, Allowed::PsiPerDegree);
    }
}
