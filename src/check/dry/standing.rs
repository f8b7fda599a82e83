//! Which of two tests says more about one hole: the vacuum rise or a standing pressure test.

use crate::fluid::{DryGas, DryGasError};
use crate::physics::flow::FlowError;
use crate::physics::leak::{Drive, FlowLaw, Gas, reference};
use crate::quantity::{PressureAbs, PressureGauge, PressureRate, Quantity, RiseRate, UnitSystem};

/// What a standing pressure test of the same volume came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// The most it lost, temperature taken out.
    pub at_most: PressureRate,
    /// Its pressure, of nitrogen.
    pub pressure: PressureAbs,
    /// The atmosphere outside.
    pub outside: PressureAbs,
}

/// Why two tests cannot be compared.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StandingError {
    /// Nothing drives the gas.
    #[error(transparent)]
    Flow(#[from] FlowError),
    /// Outside the gas's equation.
    #[error(transparent)]
    Gas(#[from] DryGasError),
}

/// Which test saw the smaller hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binds {
    /// The standing pressure test, by every law of flow.
    Standing,
    /// The vacuum rise, by every law of flow.
    Vacuum,
    /// It depends on how the hole is shaped.
    Either,
}

impl Standing {
    /// The rise of vacuum that the same hole makes, lowest and highest over the laws of flow.
    ///
    /// One volume, so it falls out: `rise = loss * strength(air, 1 atm to vacuum) / strength(nitrogen, test to 1 atm)`.
    /// Source: [`crate::physics::leak::SOURCE`].
    ///
    /// ```
    /// use lineproof::check::dry::standing::Standing;
    /// use lineproof::quantity::{PressureAbs, PressureRate, Quantity, unit};
    /// let test = Standing {
    ///     at_most: PressureRate::of(0.02, unit::PSI_PER_HOUR),
    ///     pressure: PressureAbs::of(514.696, unit::PSIA),
    ///     outside: PressureAbs::of(1.0, unit::ATM),
    /// };
    /// let [low, high] = test.as_rise()?.map(|r| r.in_unit(unit::MICRON_PER_MINUTE));
    /// assert!((0.012..0.016).contains(&low) && (0.45..0.52).contains(&high));
    /// # Ok::<(), lineproof::check::dry::standing::StandingError>(())
    /// ```
    pub fn as_rise(&self) -> Result<[RiseRate; 2], StandingError> {
        let nitrogen = Gas::dry(DryGas::Nitrogen, self.pressure, reference())?;
        let out = Drive::new(nitrogen, self.pressure, self.outside)?;
        let inward = inward(self.outside)?;
        let rates = FlowLaw::ALL.map(|law| self.at_most.si() * law.ratio(&out, &inward));
        let low = rates.iter().copied().fold(f64::INFINITY, f64::min);
        let high = rates.iter().copied().fold(0.0, f64::max);
        Ok([low, high].map(RiseRate::from_si))
    }

    /// Which test saw the smaller hole, against a vacuum that rose by `at_most`.
    pub fn binds(&self, at_most: RiseRate) -> Result<Binds, StandingError> {
        let [low, high] = self.as_rise()?;
        Ok(if high < at_most {
            Binds::Standing
        } else if low > at_most {
            Binds::Vacuum
        } else {
            Binds::Either
        })
    }

    /// The same in a sentence.
    pub(super) fn words(
        &self,
        at_most: RiseRate,
        units: UnitSystem,
    ) -> Result<String, StandingError> {
        let [low, high] = self.as_rise()?;
        let range = format!(
            "it would raise this vacuum by {} to {}",
            low.show(units).number(),
            high.show(units)
        );
        let gauge = PressureGauge::from_si(self.pressure.si() - self.outside.si());
        let test = format!("{} at {}", self.at_most.show(units), gauge.show(units));
        let rose = at_most.show(units);
        Ok(match self.binds(at_most)? {
            Binds::Standing => format!(
                "the standing pressure test binds: {test} is a smaller hole than {rose} ({range})"
            ),
            Binds::Vacuum => {
                format!("the vacuum rise binds: {rose} is a smaller hole than {test} ({range})")
            }
            Binds::Either => format!(
                "which test saw the smaller hole depends on its shape: {test} against {rose} ({range})"
            ),
        })
    }
}

/// Air that enters an evacuated volume.
pub(super) fn inward(outside: PressureAbs) -> Result<Drive, StandingError> {
    // 79 % of it is nitrogen; the rest moves viscosity and mass by 3 %
    let air = Gas {
        molar_mass: 28.965,
        heat_capacity_ratio: 1.4,
        ..Gas::dry(DryGas::Nitrogen, outside, reference())?
    };
    Ok(Drive::new(air, outside, PressureAbs::from_si(0.0))?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    /// 500 psig drives one hole 35 times (choked) to 1,226 times (viscous) harder than an atmosphere into vacuum.
    #[test]
    fn the_ratio_of_drives_is_as_worked_by_hand() {
        let test = Standing {
            at_most: PressureRate::of(1.0, unit::PSI_PER_HOUR),
            pressure: PressureAbs::of(514.696, unit::PSIA),
            outside: PressureAbs::of(1.0, unit::ATM),
        };
        let [low, high] = test.as_rise().unwrap();
        let times = |rise: RiseRate| test.at_most.si() / rise.si();
        // viscosity of nitrogen grows by a few percent to 35 bar
        assert!((1150.0..1260.0).contains(&times(low)), "{}", times(low));
        assert!((34.0..36.5).contains(&times(high)), "{}", times(high));
        assert_eq!(
            test.binds(RiseRate::of(5000.0, unit::MICRON_PER_MINUTE))
                .unwrap(),
            Binds::Standing
        );
        assert_eq!(
            test.binds(RiseRate::of(0.01, unit::MICRON_PER_MINUTE))
                .unwrap(),
            Binds::Vacuum
        );
        assert_eq!(
            test.binds(RiseRate::of(5.0, unit::MICRON_PER_MINUTE))
                .unwrap(),
            Binds::Either
        );
    }
}
