//! Simulated tests with known truth: how often the interval holds it, how often a tight set is called leaking, how often a
//! leak passes. Seeds are fixed. `LINEPROOF_SIMULATIONS` multiplies the number of tests (1 by default).
mod charge;
mod dry;
mod one_way;
mod random;
mod running;
mod steady;
mod tight;
mod uncertainty;

/// Number of tests, scaled from outside.
fn count(base: usize) -> usize {
    let times: usize = std::env::var("LINEPROOF_SIMULATIONS")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(1);
    base * times.max(1)
}
