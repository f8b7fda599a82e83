//! Torque at a nut, with the wrench and with an adapter on it.

use crate::quantity::{Length, Quantity, Torque, unit};

/// An adapter (crowfoot) on a torque wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adapter {
    lever: Length,
    extension: Length,
    angle_degrees: f64,
}

/// What can be wrong with an adapter's geometry.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AdapterError {
    /// No lever.
    #[error(
        "wrench lever {:.0} mm: from the middle of the handle to the drive it must be more than 0 mm; measure it on the wrench", lever.in_unit(unit::MILLIMETRE)
    )]
    Lever {
        /// What was given.
        lever: Length,
    },
    /// An extension that is none, or longer than the wrench.
    #[error(
        "adapter {:.0} mm: from the drive to the nut it must be 0 mm or more and shorter than the wrench lever of {:.0} mm; measure it on the adapter", extension.in_unit(unit::MILLIMETRE), lever.in_unit(unit::MILLIMETRE)
    )]
    Extension {
        /// What was given.
        extension: Length,
        /// The lever it must be shorter than.
        lever: Length,
    },
    /// An angle outside half a turn.
    #[error(
        "adapter angle {angle_degrees} degrees: 0 is straight out, 90 square, 180 folded back; give the angle between wrench and adapter from 0 to 180"
    )]
    Angle {
        /// What was given.
        angle_degrees: f64,
    },
}

impl Adapter {
    /// An adapter from its geometry.
    ///
    /// `lever`: middle of the handle to the drive; `extension`: drive to the nut, shorter than the lever;
    /// `angle_degrees`: 0 straight out, 90 square to the wrench, 180 folded back.
    pub fn new(lever: Length, extension: Length, angle_degrees: f64) -> Result<Self, AdapterError> {
        if !(lever.si() > 0.0 && lever.si().is_finite()) {
            return Err(AdapterError::Lever { lever });
        }
        if !(0.0..lever.si()).contains(&extension.si()) {
            return Err(AdapterError::Extension { extension, lever });
        }
        if !(0.0..=180.0).contains(&angle_degrees) {
            return Err(AdapterError::Angle { angle_degrees });
        }
        Ok(Adapter {
            lever,
            extension,
            angle_degrees,
        })
    }

    /// Torque at the nut per torque shown on the wrench: `(L + E cos a) / L`.
    ///
    /// For a pull square to the handle, at its middle. Source: US Army TM 9-254.
    pub fn ratio(self) -> f64 {
        let effective = self.extension.si() * self.angle_degrees.to_radians().cos();
        (self.lever.si() + effective) / self.lever.si()
    }

    /// What to set on the wrench for a torque at the nut: `T L / (L + E cos a)`.
    ///
    /// Square to the wrench nothing changes. Valid for a pull square to the handle, at its middle. Source: US Army
    /// TM 9-254.
    ///
    /// ```
    /// use lineproof::physics::torque::Adapter;
    /// use lineproof::quantity::{Length, Quantity, Torque, unit};
    /// let mm = |v| Length::of(v, unit::MILLIMETRE);
    /// let target = Torque::of(42.0, unit::NEWTON_METRE);
    /// let square = Adapter::new(mm(250.0), mm(35.0), 90.0).unwrap();
    /// let straight = Adapter::new(mm(250.0), mm(35.0), 0.0).unwrap();
    /// assert!((square.setting_for(target).in_unit(unit::NEWTON_METRE) - 42.0).abs() < 1e-9);
    /// assert!((straight.setting_for(target).in_unit(unit::NEWTON_METRE) - 36.84).abs() < 0.01);
    /// ```
    pub fn setting_for(self, at_nut: Torque) -> Torque {
        Torque::from_si(at_nut.si() / self.ratio())
    }

    /// The torque that reached the nut: `T (L + E cos a) / L`. Source: US Army TM 9-254.
    pub fn at_nut(self, setting: Torque) -> Torque {
        Torque::from_si(setting.si() * self.ratio())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::of(value, unit::MILLIMETRE)
    }

    #[test]
    fn bad_geometry_is_an_error_with_the_range() {
        let text = |e: AdapterError| e.to_string();
        assert!(text(Adapter::new(mm(0.0), mm(35.0), 0.0).unwrap_err()).contains("more than 0 mm"));
        assert!(
            text(Adapter::new(mm(250.0), mm(300.0), 0.0).unwrap_err()).contains("lever of 250 mm")
        );
        assert!(
            text(Adapter::new(mm(250.0), mm(35.0), 200.0).unwrap_err()).contains("from 0 to 180")
        );
    }

    #[test]
    fn setting_and_nut_are_inverse() {
        let adapter = Adapter::new(mm(250.0), mm(35.0), 30.0).unwrap();
        let torque = Torque::of(36.0, unit::NEWTON_METRE);
        assert!((adapter.at_nut(adapter.setting_for(torque)).si() - torque.si()).abs() < 1e-12);
    }
}
