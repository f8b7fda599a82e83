//! A gas volume.

use serde::Serialize;

use super::{Body, Estimate};
use crate::out::volume::Found;
use crate::quantity::{Measured, Quantity, Volume, unit};

/// A gas volume in litres; `null` is what is not known.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VolumeDocument {
    /// Of all that is under pressure.
    #[serde(rename = "volume_L")]
    volume: Option<Estimate>,
    /// Of the tubes alone.
    #[serde(rename = "tubes_L")]
    tubes: Option<Estimate>,
    /// Of the coil: as given, or what an expansion leaves beside the tubes.
    #[serde(rename = "coil_L")]
    coil: Option<Estimate>,
    /// An expansion by its pressures alone, as for an ideal gas.
    #[serde(rename = "by_pressures_L")]
    by_pressures: Option<f64>,
}

impl Body for VolumeDocument {}

impl VolumeDocument {
    /// What is known of a volume.
    pub fn of(found: &Found) -> Self {
        let litres = |v: Volume| v.in_unit(unit::LITRE);
        let estimate = |m: &Measured<Volume>| Estimate {
            estimate: litres(m.value),
            low95: litres(m.value) - 1.96 * litres(m.standard_uncertainty),
            high95: litres(m.value) + 1.96 * litres(m.standard_uncertainty),
        };
        VolumeDocument {
            volume: found.volume().as_ref().map(estimate),
            tubes: found.tubes.as_ref().map(estimate),
            coil: found.coil_or_rest().as_ref().map(estimate),
            by_pressures: found.expanded.as_ref().map(|e| litres(e.by_pressures)),
        }
    }
}
