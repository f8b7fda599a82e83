//! Middle and spread that a few wild values do not move.

/// From the median absolute deviation to the standard deviation of a normal: 1 / 0.6745.
pub const MAD_TO_SD: f64 = 1.4826;

/// The middle value; the mean of both middle ones for an even count; `None` for no values.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut values = values.to_vec();
    let half = values.len() / 2;
    if values.is_empty() {
        return None;
    }
    let even = values.len().is_multiple_of(2);
    // half sorted is enough, and linear in the number of values
    let (below, middle, _) = values.select_nth_unstable_by(half, f64::total_cmp);
    let middle = *middle;
    let before = below
        .iter()
        .copied()
        .max_by(f64::total_cmp)
        .filter(|_| even);
    Some(before.map_or(middle, |before| 0.5 * (before + middle)))
}

/// Median absolute deviation from the median, not yet scaled to a standard deviation.
pub fn mad(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let away: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    median(&away)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wild_value_moves_nothing() {
        assert_eq!(median(&[3.0, 1.0, 2.0, 1e9]), Some(2.5));
        assert_eq!(mad(&[1.0, 2.0, 3.0, 4.0, 1e9]), Some(1.0));
        assert_eq!(median(&[]), None);
    }
}
