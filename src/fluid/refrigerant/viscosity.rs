//! How thick the saturated phases are.

use std::sync::OnceLock;

use super::Refrigerant;
use super::curve::{MonotoneCubic, logarithms};
use super::saturation::{RangeError, Saturation, Side, nearness};
use super::table::{self, Tables};
use crate::quantity::{Fraction, Quantity, Temperature, Viscosity, unit};
use crate::source::SourceId;

/// Viscosity of bubble liquid and dew vapour of one refrigerant.
///
/// Rows stand every 2.5 K; between them a monotone cubic in the logarithm against `-(T_c - T)^(1/3)`.
///
/// Pure and pseudo-pure refrigerants have a model of their own: a correlation, entropy scaling or corresponding
/// states, as [`Viscosities::source`] says. HFO blends have none: for them the viscosities of the
/// components, each at the blend's temperature and reduced density, are mixed. Liquid, x by moles (Arrhenius 1887):
/// `ln eta = sum_i x_i ln eta_i`. Vapour (Wilke 1950, eq. 13): `eta = sum_i x_i eta_i / sum_j x_j phi_ij`, with
/// `phi_ij = (1 + (eta_i/eta_j)^(1/2) (M_j/M_i)^(1/4))^2 / (8 (1 + M_i/M_j))^(1/2)`.
///
/// Range: that of the saturation table.
///
/// Source: [`Viscosities::source`], and the head of the table (`tables/viscosity`).
///
/// ```
/// use lineproof::fluid::{Refrigerant, refrigerant::Viscosities};
/// use lineproof::quantity::{Quantity, Temperature, unit};
/// let liquid = Viscosities::of(Refrigerant::R410A).liquid(Temperature::of(20.0, unit::CELSIUS))?;
/// assert!((liquid.in_unit(unit::MICROPASCAL_SECOND) - 127.3).abs() < 0.1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Viscosities {
    saturation: &'static Saturation,
    source: SourceId,
    /// Critical temperature of the equation, K.
    critical: f64,
    /// K.
    rows: Vec<f64>,
    /// ln(µPa s): liquid, vapour.
    curves: [MonotoneCubic; 2],
}

impl Viscosities {
    /// Where [`Viscosities::model_uncertainty`] comes from.
    pub const UNCERTAINTY_SOURCE: SourceId = SourceId::ViscosityUncertainty;

    /// The table of a refrigerant; read once, then kept.
    pub fn of(refrigerant: Refrigerant) -> &'static Viscosities {
        static READ: [OnceLock<Viscosities>; Refrigerant::ALL.len()] =
            [const { OnceLock::new() }; Refrigerant::ALL.len()];
        READ[refrigerant as usize].get_or_init(|| Viscosities::read(refrigerant))
    }

    /// The model behind the table.
    pub fn source(&self) -> SourceId {
        self.source
    }

    /// Whether the components of a blend were mixed for want of a model of its own.
    pub fn is_mixed(&self) -> bool {
        self.source == SourceId::ViscosityMixing
    }

    /// How far the model may be off, as a share; a limit. Source: [`Viscosities::UNCERTAINTY_SOURCE`].
    pub fn model_uncertainty(&self) -> Fraction {
        let percent = match self.source {
            SourceId::ViscosityMixing => 20.0,
            SourceId::ViscosityBell | SourceId::ViscosityR22 => 15.0,
            _ => 5.0,
        };
        Fraction::of(percent, unit::PERCENT)
    }

    /// Viscosity of bubble liquid at a temperature.
    pub fn liquid(&self, temperature: Temperature) -> Result<Viscosity, RangeError> {
        self.at(Side::Bubble, temperature)
    }

    /// Viscosity of dew vapour at a temperature.
    pub fn vapour(&self, temperature: Temperature) -> Result<Viscosity, RangeError> {
        self.at(Side::Dew, temperature)
    }

    fn at(&self, side: Side, temperature: Temperature) -> Result<Viscosity, RangeError> {
        self.saturation.check_temperature(temperature)?;
        let inner = &self.rows[1..self.rows.len() - 1];
        let row = inner.partition_point(|t| *t <= temperature.si());
        let near = nearness(self.critical, temperature.si());
        let ln_eta = self.curves[usize::from(side == Side::Dew)].value(row, near);
        Ok(Viscosity::of(ln_eta.exp(), unit::MICROPASCAL_SECOND))
    }

    fn read(refrigerant: Refrigerant) -> Viscosities {
        let tables = Tables::of(refrigerant);
        let critical = table::number(tables.viscosity, "critical point");
        let [rows, liquid, vapour] = table::columns::<3>(tables.viscosity);
        let near: Vec<f64> = rows.iter().map(|t| nearness(critical, *t)).collect();
        Viscosities {
            saturation: Saturation::of(refrigerant),
            source: tables.viscosity_model,
            critical,
            rows,
            curves: [liquid, vapour]
                .map(|column| MonotoneCubic::through(&near, &logarithms(&column))),
        }
    }
}
