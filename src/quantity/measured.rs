//! A value with its standard uncertainty, and the one way to carry it through a formula.

use super::Quantity;

/// Where a value came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// Read on an instrument.
    Reading(String),
    /// Printed in the unit's instructions or on its label.
    Unit,
    /// Assumed, with the reason.
    Assumed(String),
}

/// A value and its standard uncertainty.
///
/// There is no arithmetic on it: a result comes from [`propagate`].
#[derive(Debug, Clone, PartialEq)]
pub struct Measured<Q: Quantity> {
    /// The value.
    pub value: Q,
    /// The standard uncertainty (one standard deviation).
    pub standard_uncertainty: Q::Diff,
    /// Where it came from.
    pub origin: Origin,
}

/// A result with the share each input has in its uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagated {
    /// The result, in SI.
    pub value: f64,
    /// Its standard uncertainty, in SI.
    pub standard_uncertainty: f64,
    /// Name and contribution (|sensitivity| times standard uncertainty) of each input, largest first.
    pub parts: Vec<(&'static str, f64)>,
}

impl Propagated {
    /// The input that matters most, with its share of the variance.
    pub fn dominant(&self) -> Option<(&'static str, f64)> {
        let (name, part) = *self.parts.first()?;
        let variance = self.standard_uncertainty.powi(2);
        (variance > 0.0).then(|| (name, part.powi(2) / variance))
    }
}

/// Carries standard uncertainties through a formula.
///
/// `inputs` are (name, value in SI, standard uncertainty in SI), independent of each other; `formula` gets the values
/// in that order. `u^2 = sum (df/dx_i)^2 u_i^2` (equation 10 of the source), the derivative by a central difference
/// over half a standard uncertainty either way. Valid while the formula is nearly straight over a standard
/// uncertainty. Source: JCGM 100:2008, 5.1.2.
///
/// ```
/// use lineproof::quantity::propagate;
/// let r = propagate(&[("a", 3.0, 0.3), ("b", 4.0, 0.4)], |x| Ok::<_, ()>(x[0] + x[1])).unwrap();
/// assert!((r.standard_uncertainty - 0.5).abs() < 1e-9);
/// assert_eq!(r.dominant().unwrap().0, "b");
/// ```
pub fn propagate<E>(
    inputs: &[(&'static str, f64, f64)],
    formula: impl Fn(&[f64]) -> Result<f64, E>,
) -> Result<Propagated, E> {
    let mut values: Vec<f64> = inputs.iter().map(|i| i.1).collect();
    let value = formula(&values)?;
    let mut parts = Vec::with_capacity(inputs.len());
    for (i, &(name, at, u)) in inputs.iter().enumerate() {
        if u == 0.0 {
            continue;
        }
        values[i] = at + 0.5 * u;
        let above = formula(&values)?;
        values[i] = at - 0.5 * u;
        let below = formula(&values)?;
        values[i] = at;
        parts.push((name, (above - below).abs()));
    }
    parts.sort_by(|a, b| b.1.total_cmp(&a.1));
    let standard_uncertainty = parts.iter().map(|p| p.1 * p.1).sum::<f64>().sqrt();
    Ok(Propagated {
        value,
        standard_uncertainty,
        parts,
    })
}
