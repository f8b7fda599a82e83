//! The limits a vacuum rise is held against.

use super::rules::Rule;
use super::standing::{StandingError, inward};
use crate::fluid::Refrigerant;
use crate::physics::flow::FlowError;
use crate::physics::leak::{Drive, FlowLaw, mass_rate, reference};
use crate::quantity::{
    LeakRate, MassRate, PressureAbs, Quantity, RiseRate, Temperature, Volume, unit,
};
use crate::source::SourceId;

/// The limits of the vacuum rise.
#[derive(Debug, Clone, PartialEq)]
pub struct Criteria {
    /// The level rule that decides.
    pub rule: Rule,
    /// Rules that are told beside it.
    pub beside: Vec<Rule>,
    /// The steady rise that counts as a leak.
    pub leak_limit: RiseRate,
    /// Where that comes from.
    pub leak_source: SourceId,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            rule: Rule::named("iec-60335-2-40-vacuum").expect("the table has it"),
            beside: Vec::new(),
            leak_limit: RiseRate::of(2.0, unit::MICRON_PER_MINUTE),
            leak_source: SourceId::DryLeakLimit,
        }
    }
}

/// A leak limit as people state it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// A rise of the isolated vacuum.
    Rise(RiseRate),
    /// A throughput of air that enters.
    Throughput(LeakRate),
    /// A mass of air that enters.
    Air(MassRate),
    /// A mass of refrigerant that the same hole lets out once charged.
    Refrigerant(MassRate, Refrigerant),
}

/// Why a limit says nothing about this rise.
#[derive(Debug, thiserror::Error)]
pub enum LimitError {
    /// A leak makes a rise only in a volume.
    #[error(
        "a leak limit in {kind} says how fast a vacuum rises only with the evacuated volume: give --volume, or the limit in micron/min"
    )]
    NoVolume {
        /// What it is in.
        kind: &'static str,
    },
    /// Nothing or less.
    #[error("a leak limit has to be above zero")]
    NotPositive,
    /// The refrigerant's tables.
    #[error(transparent)]
    Flow(#[from] FlowError),
    /// Nothing drives it.
    #[error(transparent)]
    Standing(#[from] StandingError),
}

impl Limit {
    /// As a rise of the isolated volume: `dp/dt = q/V`.
    ///
    /// A mass of refrigerant is taken as leaving at the saturation pressure of 45 °C, and back through the same hole as
    /// air into a vacuum, by the law of flow that makes the smallest rise (own choice: the strictest). `outside` is the
    /// atmosphere.
    ///
    /// ```
    /// use lineproof::check::dry::Limit;
    /// use lineproof::quantity::{LeakRate, PressureAbs, Quantity, Volume, unit};
    /// let limit = Limit::Throughput(LeakRate::of(1e-5, unit::PA_M3_PER_S));
    /// let outside = PressureAbs::of(1.0, unit::ATM);
    /// let rise = limit.in_volume(Some(Volume::of(2.0, unit::LITRE)), outside)?;
    /// assert!((rise.in_unit(unit::MICRON_PER_MINUTE) - 2.25).abs() < 0.01);
    /// assert!(limit.in_volume(None, outside).is_err());
    /// # Ok::<(), lineproof::check::dry::LimitError>(())
    /// ```
    pub fn in_volume(
        self,
        volume: Option<Volume>,
        outside: PressureAbs,
    ) -> Result<RiseRate, LimitError> {
        let (value, kind) = match self {
            Limit::Rise(rise) => (rise.si(), "micron/min"),
            Limit::Throughput(leak) => (leak.si(), "Pa m3/s"),
            Limit::Air(mass) | Limit::Refrigerant(mass, _) => (mass.si(), "g/yr"),
        };
        if value.is_nan() || value <= 0.0 {
            return Err(LimitError::NotPositive);
        }
        if let Limit::Rise(rise) = self {
            return Ok(rise);
        }
        let volume = volume.ok_or(LimitError::NoVolume { kind })?;
        let per_throughput =
            |molar_mass| mass_rate(LeakRate::from_si(1.0), molar_mass, reference()).si();
        let throughput = match self {
            Limit::Rise(_) | Limit::Throughput(_) => value,
            Limit::Air(_) => value / per_throughput(inward(outside)?.molar_mass()),
            Limit::Refrigerant(_, refrigerant) => {
                let hot = Temperature::of(45.0, unit::CELSIUS);
                let out = Drive::vapour(refrigerant, hot, outside)?;
                let air = inward(outside)?;
                let smallest = FlowLaw::ALL
                    .map(|law| law.ratio(&out, &air))
                    .into_iter()
                    .fold(f64::INFINITY, f64::min);
                smallest * value / per_throughput(out.molar_mass())
            }
        };
        Ok(RiseRate::from_si(throughput / volume.si()))
    }
}

/// A pressure in micron.
pub(super) fn micron(pressure: PressureAbs) -> f64 {
    pressure.in_unit(unit::MICRON)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 5 g/yr of R-410A out of 2 L is stricter than 5 g/yr of air into it: 27 bar drive it, not one.
    #[test]
    fn grams_of_refrigerant_are_a_far_smaller_rise_than_grams_of_air() {
        let five = MassRate::of(5.0, unit::GRAM_PER_YEAR);
        let outside = PressureAbs::of(1.0, unit::ATM);
        let rise = |limit: Limit| {
            let two_litres = Some(Volume::of(2.0, unit::LITRE));
            let rise = limit.in_volume(two_litres, outside).unwrap();
            rise.in_unit(unit::MICRON_PER_MINUTE)
        };
        let air = rise(Limit::Air(five));
        // 5 g/yr of air are 5.47 mol/s 1e-9 and 1.33e-4 Pa m3/s at 20 °C: 5e-3/31536000/0.028965*8.314*293.15
        let by_hand = 5e-3 / 31_536_000.0 / 0.028_965 * 8.314_46 * 293.15 / 2e-3 * 60.0 / 0.133_322;
        assert!((air - by_hand).abs() < 0.001 * by_hand, "{air} {by_hand}");
        let refrigerant = rise(Limit::Refrigerant(five, Refrigerant::R410A));
        assert!(
            (300.0..3000.0).contains(&(air / refrigerant)),
            "{air} {refrigerant}"
        );
    }

    #[test]
    fn nothing_is_no_limit() {
        let nothing = Limit::Rise(RiseRate::from_si(0.0));
        let outside = PressureAbs::of(1.0, unit::ATM);
        assert!(matches!(
            nothing.in_volume(None, outside),
            Err(LimitError::NotPositive)
        ));
    }
}
