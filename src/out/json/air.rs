//! JSON of targets and of the airflow.

use serde::Serialize;

use super::Body;
use crate::check::run::target::{Looked, Target};
use crate::physics::airside::AirResult;
use crate::quantity::{Quantity, TemperatureDiff, VolumeFlow};

/// A target superheat or split; `null` where no test is valid.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TargetDocument {
    /// "superheat" or "split".
    of: &'static str,
    #[serde(rename = "target_K")]
    target: Option<f64>,
    #[serde(rename = "standard_uncertainty_K")]
    standard_uncertainty: Option<f64>,
    source: &'static str,
    source_status: &'static str,
}

impl TargetDocument {
    /// "superheat" or "split", as it was looked up.
    pub fn of(of: &'static str, looked: &Looked) -> Self {
        let (target, source) = match looked {
            Looked::Target(target) => (Some(target), target.source),
            Looked::NoTest { source } => (None, *source),
        };
        let kelvin = |part: fn(&Target) -> TemperatureDiff| target.map(|t| part(t).si());
        TargetDocument {
            of,
            target: kelvin(|t| t.value),
            standard_uncertainty: kelvin(|t| t.standard_uncertainty),
            source: source.key(),
            source_status: source.status().words(),
        }
    }
}

/// Airflow of return air.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AirflowDocument {
    #[serde(rename = "airflow_m3_per_s")]
    airflow: f64,
    #[serde(rename = "standard_uncertainty_m3_per_s")]
    standard_uncertainty: f64,
    dominant: Option<&'static str>,
}

impl From<&AirResult<VolumeFlow>> for AirflowDocument {
    fn from(found: &AirResult<VolumeFlow>) -> Self {
        AirflowDocument {
            airflow: found.value.si(),
            standard_uncertainty: found.standard_uncertainty.si(),
            dominant: found.dominant.map(|(name, _)| name),
        }
    }
}

impl Body for TargetDocument {}
impl Body for AirflowDocument {}
