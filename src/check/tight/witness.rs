//! A second, known-tight volume in the place of the thermometers.

use super::input::Input;
use super::method::{self, Assumptions, FitError, Kappa, Series};
use crate::quantity::Quantity;
use crate::stats::decision;

/// How the gas that a witness does not stand for may swing where nothing is stated of it, K; outdoors 4 K, as the
/// regression takes it where no thermometer hangs.
const ELSEWHERE_K: f64 = 4.0;

/// A witness's own movement has to be surer than a verdict: it takes a verdict away.
const SURE_TO_MOVE: f64 = 0.99;

/// What the witness did by itself, as far as thermometers beside it say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moved {
    /// It lost gas: a loss of the line is hidden.
    Lost,
    /// It gained: a loss of the line is imitated.
    Gained,
    /// It held, or nothing says.
    No,
}

/// The witness as the line's gas would have moved with it.
///
/// ln p moves with `kappa`, which is larger at a higher pressure: `ln p_w` is stretched about its first value.
pub(super) fn at_the_lines_pressure(
    witness: &[f64],
    own: Kappa,
    line: Kappa,
    kelvin: f64,
) -> Vec<f64> {
    let stretch = line.at(kelvin) / own.at(kelvin);
    let first = witness[0];
    witness
        .iter()
        .map(|ln_p| first + stretch * (ln_p - first))
        .collect()
}

/// How far gas swings with the day that the witness does not stand for, mean over the volume, K.
///
/// It hangs where most of the volume is, so the smaller of the two shares lies elsewhere; none where no share is
/// stated.
pub(super) fn elsewhere_k(input: &Input) -> Option<f64> {
    let outdoors = input.outdoor_share?;
    Some(ELSEWHERE_K * outdoors.si().min(1.0 - outdoors.si()))
}

/// Judges the witness alone by the thermometers beside it.
pub(super) fn moved(
    series: &Series,
    own: Kappa,
    witness: &[f64],
    assumed: &Assumptions,
) -> Result<Moved, FitError> {
    if series.outdoor_k.is_none() && series.indoor_k.is_none() {
        return Ok(Moved::No);
    }
    let alone = Series {
        ln_p: witness,
        witness_ln_p: None,
        kappa: own,
        ..*series
    };
    let fit = method::fit(&alone, assumed)?;
    let loss = decision::judge(&fit.loss, 0.0);
    Ok(if loss.above_zero > SURE_TO_MOVE {
        Moved::Lost
    } else if loss.above_zero < 1.0 - SURE_TO_MOVE {
        Moved::Gained
    } else {
        Moved::No
    })
}
