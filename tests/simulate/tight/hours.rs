//! Hours still needed: held as long as it was told, a tight set is decided.
use lineproof::check::tight::method::HoursNeeded;
use lineproof::stats::decision::Verdict;

use super::LIMIT;
use super::reader::{assumptions, judged, series, swung};
use super::tally::Count;
use super::truth::{Truth, Variant, log};
use crate::count;
use crate::random::Random;

#[test]
fn tight_hours_still_needed() {
    let mut random = Random::seeded(20_260_723);
    let mut decided = Count::default();
    let (mut at_once, mut never, mut told) = (0, 0, Vec::new());
    for _ in 0..count(16) {
        let drawn = Truth::drawn(&mut random, Variant::Base);
        let so_far = random.between(4.0, 20.0);
        let truth = Truth {
            hours: 72.0,
            lost_psi: 0.0,
            step_min: drawn.step_min.max(5),
            ..drawn
        };
        let log = log(&mut random, &truth);
        let assumptions = assumptions(&mut random, &truth);
        let held = |hours: f64| judged(&series(&log.until(hours)), &assumptions);
        let log_so_far = log.until(so_far);
        let series = series(&log_so_far);
        let fit = judged(&series, &assumptions).fit;
        match swung(&series, &assumptions)
            .hours_needed(&fit, LIMIT)
            .unwrap()
        {
            HoursNeeded::Decided => at_once += 1,
            HoursNeeded::Never(_) => never += 1,
            HoursNeeded::Total(hours) => {
                assert!(hours <= 24.0 || hours % 24.0 == 0.0, "{hours} h");
                assert!(hours <= 72.0 && hours > so_far - 1.0, "{hours} h");
                decided.add(held(hours).decision.verdict == Verdict::Pass);
                told.push(hours);
            }
        }
    }
    told.sort_by(f64::total_cmp);
    println!(
        "hours needed: decided when held as told {}/{}, at once {at_once}, never {never}; told {told:?}",
        decided.hits, decided.of
    );
    // four out of five is what is said; weather that turns worse than it was takes its part
    decided.at_least(0.75, 100, "decided when held as told");
}
