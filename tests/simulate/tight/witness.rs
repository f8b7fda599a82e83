//! A second volume, known to be tight, logged beside the line: it takes the thermometers' place.
use lineproof::check::tight::method::Series;
use lineproof::stats::decision::Verdict;

use super::reader::{assumptions, half_width_psi, judged, series};
use super::tally::Count;
use super::truth::{Truth, Variant, log};
use crate::count;
use crate::random::Random;

const PLAIN_FROM: usize = 200;

/// The base case and the one that thermometers see worst, each read with thermometers, with a witness as well, and with a
/// witness alone.
#[test]
fn tight_witness() {
    let mut random = Random::seeded(20_260_721);
    let ways = ["thermometers", "witness as well", "witness alone"];
    let mut covered = [Count::default(); 3];
    let mut false_fail = [Count::default(); 3];
    let mut widths = [const { Vec::new() }; 3];
    for test in 0..count(20) {
        let variant = [Variant::Base, Variant::Sun][test % 2];
        let truth = Truth::drawn(&mut random, variant);
        let log = log(&mut random, &truth);
        let assumptions = assumptions(&mut random, &truth);
        let thermometers = series(&log);
        let both = Series {
            witness_ln_p: Some(&log.witness),
            ..thermometers
        };
        let alone = Series {
            outdoor_k: None,
            indoor_k: None,
            ..both
        };
        for (way, series) in [thermometers, both, alone].iter().enumerate() {
            let judged = judged(series, &assumptions);
            covered[way].add(judged.interval.contains(truth.loss()));
            widths[way].push(half_width_psi(&truth, &judged.interval));
            if truth.lost_psi == 0.0 {
                false_fail[way].add(judged.decision.verdict == Verdict::Fail);
            }
        }
    }
    let median = |widths: &mut Vec<f64>| {
        widths.sort_by(f64::total_cmp);
        widths[widths.len() / 2]
    };
    let width = widths.each_mut().map(median);
    for way in 0..3 {
        println!(
            "{:<16} covered {:.3}, tight fails {}/{}, half width {:.2} psi over the hold",
            ways[way],
            covered[way].share(),
            false_fail[way].hits,
            false_fail[way].of,
            width[way]
        );
    }
    for way in [1, 2] {
        covered[way].at_least(0.93, PLAIN_FROM, ways[way]);
        false_fail[way].at_most(0.05, PLAIN_FROM / 2, ways[way]);
        assert!(width[way] < 0.6 * width[0], "{width:?}");
    }
}
