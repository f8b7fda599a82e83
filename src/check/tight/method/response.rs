//! Gas follows the thermometer late: the exact first-order response to a temperature that moves in straight pieces.

/// `input` as a first-order lag of `lag_h` would follow it, at the same times.
///
/// `y_i = x_i - s tau + (y_{i-1} - x_{i-1} + s tau) e^{-h/tau}` with the slope `s` between readings; starts at rest.
pub(super) fn lagged(hours: &[f64], input: &[f64], lag_h: f64) -> Vec<f64> {
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
