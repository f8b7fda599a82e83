//! From what a scale showed to the mass that went into the circuit.

use super::Criteria;
use crate::fluid::refrigerant::RangeError;
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{Length, Mass, Measured, Origin, Quantity, both, propagate, unit};

/// One weighing, as it was done.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// Into the circuit or out of it.
    pub way: Way,
    /// What the scale showed.
    pub shown: ScaleShown,
    /// What the empty platform showed afterwards, when it had shown zero before; signed.
    pub zero_after: Option<Mass>,
    /// The hose that was left full of liquid.
    pub hose: Option<Hose>,
}

/// Into the circuit or out of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// Into the circuit.
    In,
    /// Out of the circuit.
    Out,
}

/// What the scale showed.
#[derive(Debug, Clone, PartialEq)]
pub enum ScaleShown {
    /// The mass itself, without a sign: the cylinder's weight was tared away.
    Net(Measured<Mass>),
    /// The cylinder on the scale, with its own weight.
    Cylinder {
        /// Before.
        before: Measured<Mass>,
        /// Afterwards.
        after: Measured<Mass>,
    },
}

/// A charging hose by its inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hose {
    length: Length,
    bore: Length,
}

/// What a hose left full of liquid holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoseContent {
    /// The mass.
    pub mass: Mass,
    /// How far it may be off; a limit.
    pub limit: Mass,
}

/// A mass as it went into the circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// Into the circuit; negative when it went out.
    pub mass: Measured<Mass>,
    /// How it comes about: what the scale showed, drift of its zero, content of the hose; each as it counts for the
    /// circuit.
    pub terms: Vec<(&'static str, Mass)>,
    /// Name and standard uncertainty in kg of each part, largest first.
    pub parts: Vec<(&'static str, f64)>,
}

/// The sum of all weighings.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedIn {
    /// Into the circuit, removals counted negative.
    pub mass: Measured<Mass>,
    /// Name and standard uncertainty in kg of each part, largest first; empty where nobody told them apart.
    pub parts: Vec<(&'static str, f64)>,
}

/// Why a weighing cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WeighingError {
    /// The cylinder went the wrong way.
    #[error(
        "the cylinder weighed {} before and {} afterwards, so refrigerant went {} it, not {} it: check the order of the readings and the direction", both(*before), both(*after), into(*way), into(way.other())
    )]
    WrongWay {
        /// Before.
        before: Mass,
        /// Afterwards.
        after: Mass,
        /// As stated, seen from the circuit.
        way: Way,
    },
    /// Not the bore of a hose.
    #[error(
        "a hose with a bore of {:.1} mm: charging hoses have 1 to 20 mm; check the unit, and type the inside, not the outside", bore.in_unit(unit::MILLIMETRE)
    )]
    Bore {
        /// As typed.
        bore: Length,
    },
    /// Not the length of a hose.
    #[error(
        "a hose of {}: charging hoses have up to {}; check the unit", both(*length), both(Length::of(30.0, unit::METRE))
    )]
    Length {
        /// As typed.
        length: Length,
    },
    /// More liquid than was drawn.
    #[error(
        "the hose would hold {} and only {} left the cylinder: check its length and bore, or leave it out if it was emptied into the unit", both(*hose), both(*drawn)
    )]
    HoseTakesMore {
        /// What the hose holds.
        hose: Mass,
        /// What left the cylinder.
        drawn: Mass,
    },
    /// No liquid at that temperature.
    #[error(transparent)]
    Range(#[from] RangeError),
}

/// Seen from the cylinder.
fn into(way: Way) -> &'static str {
    match way {
        Way::In => "into",
        Way::Out => "out of",
    }
}

impl Way {
    fn other(self) -> Way {
        match self {
            Way::In => Way::Out,
            Way::Out => Way::In,
        }
    }

    fn sign(self) -> f64 {
        match self {
            Way::In => 1.0,
            Way::Out => -1.0,
        }
    }
}

impl Hose {
    /// A hose by its length (up to 30 m) and bore (1 to 20 mm).
    pub fn new(length: Length, bore: Length) -> Result<Self, WeighingError> {
        if !(1.0..=20.0).contains(&bore.in_unit(unit::MILLIMETRE)) {
            return Err(WeighingError::Bore { bore });
        }
        if !(0.0..=30.0).contains(&length.si()) {
            return Err(WeighingError::Length { length });
        }
        Ok(Hose { length, bore })
    }

    /// What it holds when it is left full of liquid: `m = pi/4 d^2 L rho_l(T)`.
    ///
    /// The temperature and the limit of error (25 % for bore, filling and temperature) are the criteria's: the program's
    /// own choice.
    ///
    /// ```
    /// use lineproof::check::charge::{Criteria, Hose};
    /// use lineproof::fluid::Refrigerant;
    /// use lineproof::quantity::{Length, Quantity, unit};
    /// let hose = Hose::new(Length::of(1.5, unit::METRE), Length::of(5.0, unit::MILLIMETRE))?;
    /// let content = hose.full_of_liquid(Refrigerant::R410A, &Criteria::default())?;
    /// // 29.5 mL at 1083 kg/m3
    /// assert!((content.mass.in_unit(unit::GRAM) - 31.9).abs() < 0.1);
    /// # Ok::<(), lineproof::check::charge::WeighingError>(())
    /// ```
    pub fn full_of_liquid(
        self,
        refrigerant: Refrigerant,
        criteria: &Criteria,
    ) -> Result<HoseContent, RangeError> {
        let density = Saturation::of(refrigerant).liquid_density(criteria.hose_liquid)?;
        let area = std::f64::consts::PI * self.bore.si().powi(2) / 4.0;
        let mass = area * self.length.si() * density.si();
        Ok(HoseContent {
            mass: Mass::from_si(mass),
            limit: Mass::from_si(criteria.hose_limit.si() * mass),
        })
    }
}

/// The mass that one weighing brought into the circuit.
///
/// `weighing`: what the scale showed in kg with its standard uncertainty (accuracy/sqrt(3) and resolution/sqrt(12)
/// together), the zero afterwards, the hose left full.
///
/// `m_in = before - after + z/2 - m_hose`, or `net + z/2 - m_hose`; out of the circuit `after - before - z/2 + m_hose`,
/// counted negative. Of the drift `z` of the zero, anything from none to all lies between the readings: half is taken
/// out, with `z/sqrt(12)` as its standard uncertainty. The hose counts with limit/sqrt(3).
///
/// Valid for a scale that was zeroed before, and a hose that was empty before. The two readings of the cylinder are
/// taken as independent, so a scale stated in percent of reading is better tared with the cylinder on it.
///
/// Source: JCGM 100:2008, 4.3.7 and 5.1.2; drift and hose are this program's own choice.
///
/// ```
/// use lineproof::check::charge::{Criteria, ScaleShown, Way, Weighing, weighed};
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::{Mass, Measured, Origin, Quantity, unit};
/// let read = |grams| Measured {
///     value: Mass::of(grams, unit::GRAM),
///     standard_uncertainty: Mass::of(3.0, unit::GRAM),
///     origin: Origin::Reading("scale".into()),
/// };
/// let weighing = Weighing {
///     way: Way::In,
///     shown: ScaleShown::Cylinder { before: read(11_350.0), after: read(10_870.0) },
///     zero_after: Some(Mass::of(6.0, unit::GRAM)),
///     hose: None,
/// };
/// let mass = weighed(&weighing, Refrigerant::R410A, &Criteria::default())?;
/// assert!((mass.mass.value.in_unit(unit::GRAM) - 483.0).abs() < 1e-9);
/// assert_eq!(mass.parts[0].0, "the scale");
/// # Ok::<(), lineproof::check::charge::WeighingError>(())
/// ```
pub fn weighed(
    weighing: &Weighing,
    refrigerant: Refrigerant,
    criteria: &Criteria,
) -> Result<Weighed, WeighingError> {
    let sign = weighing.way.sign();
    let (shown, u_shown) = shown(&weighing.shown, weighing.way)?;
    // a zero that rose makes what left the cylinder look too small
    let drift = sign * weighing.zero_after.map_or(0.0, |z| z.si() / 2.0);
    let u_drift = 2.0 * drift.abs() / 12f64.sqrt();
    let hose = weighing
        .hose
        .map(|hose| hose.full_of_liquid(refrigerant, criteria))
        .transpose()?;
    let (held, limit) = hose.map_or((0.0, 0.0), |h| (h.mass.si(), h.limit.si()));
    if weighing.way == Way::In && held - limit > shown + drift {
        return Err(WeighingError::HoseTakesMore {
            hose: Mass::from_si(held),
            drawn: Mass::from_si(shown + drift),
        });
    }
    let parts = [
        (SCALE, shown, u_shown),
        (DRIFT, drift, u_drift),
        (HOSE, held, limit / 3f64.sqrt()),
    ];
    let Ok(sum) = propagate(&parts, |x| {
        Ok::<_, std::convert::Infallible>(sign * (x[0] + x[1]) - x[2])
    });
    let all = [(SCALE, sign * shown), (DRIFT, sign * drift), (HOSE, -held)];
    Ok(Weighed {
        mass: Measured {
            value: Mass::from_si(sum.value),
            standard_uncertainty: Mass::from_si(sum.standard_uncertainty),
            origin: Origin::Reading("weighed".into()),
        },
        terms: all
            .into_iter()
            .filter(|(name, mass)| *name == SCALE || *mass != 0.0)
            .map(|(name, mass)| (name, Mass::from_si(mass)))
            .collect(),
        parts: sum.parts,
    })
}

const SCALE: &str = "the scale";
const DRIFT: &str = "the drift of its zero";
const HOSE: &str = "the content of the hose";

/// What left or reached the cylinder by the scale, with its standard uncertainty.
fn shown(shown: &ScaleShown, way: Way) -> Result<(f64, f64), WeighingError> {
    match shown {
        ScaleShown::Net(net) => Ok((net.value.si(), net.standard_uncertainty.si())),
        ScaleShown::Cylinder { before, after } => {
            let mass = way.sign() * (before.value.si() - after.value.si());
            if mass < 0.0 {
                return Err(WeighingError::WrongWay {
                    before: before.value,
                    after: after.value,
                    way,
                });
            }
            let u = before
                .standard_uncertainty
                .si()
                .hypot(after.standard_uncertainty.si());
            Ok((mass, u))
        }
    }
}

impl WeighedIn {
    /// The sum of weighings, none when there are none; parts of one name are put together.
    ///
    /// Weighings are taken as independent of each other.
    pub fn sum(weighings: &[Weighed]) -> Option<Self> {
        let mass: f64 = weighings.iter().map(|w| w.mass.value.si()).sum();
        let mut parts: Vec<(&'static str, f64)> = Vec::new();
        for (name, part) in weighings.iter().flat_map(|w| &w.parts) {
            match parts.iter_mut().find(|(known, _)| known == name) {
                Some((_, known)) => *known = known.hypot(*part),
                None => parts.push((name, *part)),
            }
        }
        parts.sort_by(|a, b| b.1.total_cmp(&a.1));
        let u = parts.iter().map(|p| p.1 * p.1).sum::<f64>().sqrt();
        (!weighings.is_empty()).then_some(WeighedIn {
            mass: Measured {
                value: Mass::from_si(mass),
                standard_uncertainty: Mass::from_si(u),
                origin: Origin::Reading("weighed".into()),
            },
            parts,
        })
    }

    /// The part that matters most, with its share of the variance.
    pub fn dominant(&self) -> Option<(&'static str, f64)> {
        let (name, part) = *self.parts.first()?;
        let variance = self.mass.standard_uncertainty.si().powi(2);
        (variance > 0.0).then(|| (name, part.powi(2) / variance))
    }
}

impl From<Measured<Mass>> for WeighedIn {
    fn from(mass: Measured<Mass>) -> Self {
        WeighedIn {
            mass,
            parts: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(grams: f64, u: f64) -> Measured<Mass> {
        Measured {
            value: Mass::of(grams, unit::GRAM),
            standard_uncertainty: Mass::of(u, unit::GRAM),
            origin: Origin::Reading("scale".into()),
        }
    }

    fn cylinder(way: Way, before: f64, after: f64) -> Weighing {
        Weighing {
            way,
            shown: ScaleShown::Cylinder {
                before: read(before, 3.0),
                after: read(after, 4.0),
            },
            zero_after: None,
            hose: None,
        }
    }

    fn mass(weighing: &Weighing) -> Result<Weighed, WeighingError> {
        weighed(weighing, Refrigerant::R410A, &Criteria::default())
    }

    fn hose() -> Hose {
        Hose::new(
            Length::of(1.5, unit::METRE),
            Length::of(5.0, unit::MILLIMETRE),
        )
        .unwrap()
    }

    fn grams(mass: Mass) -> f64 {
        mass.in_unit(unit::GRAM)
    }

    #[test]
    fn the_cylinder_counts_by_its_difference() {
        let into = mass(&cylinder(Way::In, 11_350.0, 10_870.0)).unwrap();
        assert!((grams(into.mass.value) - 480.0).abs() < 1e-9);
        // 3 and 4 g of two readings: 5 g
        assert!((grams(into.mass.standard_uncertainty) - 5.0).abs() < 1e-9);
        let out = mass(&cylinder(Way::Out, 10_870.0, 11_350.0)).unwrap();
        assert!((grams(out.mass.value) + 480.0).abs() < 1e-9);
    }

    #[test]
    fn a_cylinder_that_went_the_wrong_way_is_refused() {
        let error = mass(&cylinder(Way::In, 10_870.0, 11_350.0)).unwrap_err();
        let text = error.to_string();
        assert!(
            text.contains("went into it, not out of it") && text.contains("direction"),
            "{text}"
        );
        let error = mass(&cylinder(Way::Out, 11_350.0, 10_870.0)).unwrap_err();
        assert!(error.to_string().contains("went out of it, not into it"));
    }

    /// A zero that rose by 6 g: between 480 and 486 g left the cylinder.
    #[test]
    fn half_of_the_drift_is_taken_out_and_all_of_it_is_in_the_range() {
        for (way, before, after) in [
            (Way::In, 11_350.0, 10_870.0),
            (Way::Out, 10_870.0, 11_350.0),
        ] {
            let mut weighing = cylinder(way, before, after);
            weighing.zero_after = Some(Mass::of(6.0, unit::GRAM));
            let mass = mass(&weighing).unwrap();
            let right = if way == Way::In { 483.0 } else { -477.0 };
            assert!((grams(mass.mass.value) - right).abs() < 1e-9, "{way:?}");
            let drift = mass.parts.iter().find(|p| p.0 == DRIFT).unwrap();
            assert!((drift.1 - 6e-3 / 12f64.sqrt()).abs() < 1e-12);
        }
    }

    #[test]
    fn what_the_hose_keeps_is_not_in_the_circuit() {
        let mut weighing = cylinder(Way::In, 11_350.0, 10_870.0);
        weighing.hose = Some(hose());
        let with = mass(&weighing).unwrap();
        assert!((grams(with.mass.value) - (480.0 - 31.9)).abs() < 0.1);
        let sum: f64 = with.terms.iter().map(|t| t.1.si()).sum();
        assert!((sum - with.mass.value.si()).abs() < 1e-12);
        // 25 % of 31.9 g over the square root of 3, and 5 g of the scale: the scale is the larger
        assert_eq!(with.parts[0].0, SCALE);
        weighing.hose = Some(Hose::new(Length::of(5.0, unit::METRE), hose().bore).unwrap());
        assert_eq!(mass(&weighing).unwrap().parts[0].0, HOSE);
    }

    #[test]
    fn a_hose_that_cannot_be_is_refused() {
        let metres = |m| Length::of(m, unit::METRE);
        let bore = Hose::new(metres(1.5), metres(0.5)).unwrap_err();
        assert!(bore.to_string().contains("1 to 20 mm"), "{bore}");
        let long = Hose::new(metres(150.0), hose().bore).unwrap_err();
        assert!(long.to_string().contains("check the unit"), "{long}");
        let mut weighing = cylinder(Way::In, 11_350.0, 11_335.0);
        weighing.hose = Some(hose());
        let error = mass(&weighing).unwrap_err();
        assert!(
            matches!(error, WeighingError::HoseTakesMore { .. }),
            "{error}"
        );
    }

    #[test]
    fn a_sum_puts_parts_of_one_name_together_and_names_the_largest() {
        let one = mass(&cylinder(Way::In, 11_350.0, 10_870.0)).unwrap();
        let other = mass(&cylinder(Way::Out, 10_870.0, 10_990.0)).unwrap();
        let sum = WeighedIn::sum(&[one, other]).unwrap();
        assert!((grams(sum.mass.value) - 360.0).abs() < 1e-9);
        assert!((grams(sum.mass.standard_uncertainty) - 50f64.sqrt()).abs() < 1e-9);
        assert_eq!(sum.parts.len(), 1);
        let (name, share) = sum.dominant().unwrap();
        assert!(name == SCALE && (share - 1.0).abs() < 1e-9);
        assert!(WeighedIn::sum(&[]).is_none());
    }
}
