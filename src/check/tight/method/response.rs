//! What temperatures do to ln p. Gas follows the thermometer late: the exact first-order response to a temperature that moves
//! in straight pieces.
use super::input::{Assumptions, Series};

/// `input` as a first-order lag of `lag_h` would follow it, at the same times.
///
/// `y_i = x_i - s tau + (y_{i-1} - x_{i-1} + s tau) e^{-h/tau}` with the slope `s` between readings; starts at rest.
fn lagged(hours: &[f64], input: &[f64], lag_h: f64) -> Vec<f64> {
    if lag_h <= 0.0 {
        return input.to_vec();
    }
    let mut output = Vec::with_capacity(input.len());
    output.extend(input.first());
    let (mut last_width, mut kept) = (0.0, 1.0);
    for index in 1..input.len() {
        let width = hours[index] - hours[index - 1];
        // times in hours carry their last digit's rounding
        if (width - last_width).abs() > SAME * width {
            (last_width, kept) = (width, (-width / lag_h).exp());
        }
        let behind = (input[index] - input[index - 1]) / width * lag_h;
        output.push(input[index] - behind + (output[index - 1] - input[index - 1] + behind) * kept);
    }
    output
}

/// Widths that differ by less than this part of one are the same.
const SAME: f64 = 1e-10;

/// `integral(kappa d ln T)` from the first reading, outdoors with the lag, and indoors.
pub(super) struct Responses {
    pub(super) outdoor: Option<Vec<f64>>,
    indoor: Option<Vec<f64>>,
}

pub(super) fn responses(series: &Series, lag_h: f64) -> Responses {
    Responses {
        outdoor: outdoor_response(series, lag_h),
        indoor: series.indoor_k.map(|kelvin| response(series, kelvin)),
    }
}

pub(super) fn outdoor_response(series: &Series, lag_h: f64) -> Option<Vec<f64>> {
    let kelvin = series.outdoor_k?;
    Some(response(series, &lagged(series.hours, kelvin, lag_h)))
}

fn response(series: &Series, kelvin: &[f64]) -> Vec<f64> {
    let moved = kelvin.iter().map(|k| series.kappa.integral(kelvin[0], *k));
    moved.collect()
}

/// What ln p would do at the stated share, without loss; or what the witness did.
pub(super) fn base_response(series: &Series, assumptions: &Assumptions, lag_h: f64) -> Vec<f64> {
    base_of(series, assumptions, &responses(series, lag_h))
}

pub(super) fn base_of(
    series: &Series,
    assumptions: &Assumptions,
    responses: &Responses,
) -> Vec<f64> {
    match series.witness_ln_p {
        Some(witness) => witness.iter().map(|ln_p| ln_p - witness[0]).collect(),
        None => mixed(responses, assumptions.share.outdoors, series.hours.len()),
    }
}

/// The response of a volume with this share outdoors.
pub(super) fn response_at_share(series: &Series, share: f64, lag_h: f64) -> Vec<f64> {
    mixed(&responses(series, lag_h), share, series.hours.len())
}

fn mixed(responses: &Responses, share: f64, count: usize) -> Vec<f64> {
    let zero = vec![0.0; count];
    let outdoor = responses.outdoor.as_ref().unwrap_or(&zero);
    let indoor = responses.indoor.as_ref().unwrap_or(&zero);
    outdoor
        .iter()
        .zip(indoor)
        .map(|(out, room)| share * out + (1.0 - share) * room)
        .collect()
}

/// One more unit of share outdoors takes one away indoors; only its slow part tells the share.
pub(super) fn share_column(series: &Series, responses: &Responses, smoothed_h: f64) -> Vec<f64> {
    let zero = vec![0.0; series.hours.len()];
    let outdoor = responses.outdoor.as_ref().unwrap_or(&zero);
    let indoor = responses.indoor.as_ref().unwrap_or(&zero);
    let difference: Vec<f64> = outdoor
        .iter()
        .zip(indoor)
        .map(|(out, room)| out - room)
        .collect();
    smoothed(series.hours, &difference, 0.5 * smoothed_h)
}

/// The mean over `half` to either side of each time, over as much to both sides as there is on the shorter one, so that a
/// straight line stays one.
fn smoothed(hours: &[f64], values: &[f64], half: f64) -> Vec<f64> {
    let mut sums = Vec::with_capacity(values.len() + 1);
    sums.push(0.0);
    for value in values {
        sums.push(sums[sums.len() - 1] + value);
    }
    let (first, last) = (hours[0], hours[hours.len() - 1]);
    hours
        .iter()
        .map(|&at| {
            let reach = half.min(at - first).min(last - at) + 1e-9;
            let from = hours.partition_point(|h| *h < at - reach);
            let to = hours.partition_point(|h| *h <= at + reach);
            (sums[to] - sums[from]) / (to - from) as f64
        })
        .collect()
}

/// The gauge hangs where the outdoor thermometer hangs, if there is one.
pub(super) fn drift_column(series: &Series) -> Vec<f64> {
    series
        .outdoor_k
        .or(series.indoor_k)
        .map(|kelvin| kelvin.iter().map(|k| k - kelvin[0]).collect())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ramp_is_followed_one_lag_behind() {
        let hours = [0.0, 0.1, 0.5, 2.0, 30.0];
        let ramp: Vec<f64> = hours.iter().map(|t| 3.0 * t).collect();
        let late = lagged(&hours, &ramp, 0.5);
        for (t, y) in hours.iter().zip(&late) {
            let exact = 3.0 * (t - 0.5 * (1.0 - (-t / 0.5_f64).exp()));
            assert!((y - exact).abs() < 1e-12);
        }
        assert_eq!(lagged(&hours, &ramp, 0.0), ramp);
    }
}
