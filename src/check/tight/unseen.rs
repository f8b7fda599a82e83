//! What a standing pressure test could not have seen.
use super::detail::Detail;
use super::input::Input;
use crate::check::Segment;
use crate::quantity::{Quantity, TemperatureDiff};

/// Walls that settle by less, K, are inside every interval; more is counted on in one hold of fifty only.
const SETTLED_UNSEEN_K: f64 = 0.1;

pub(super) fn unseen(input: &Input, detail: &Detail, allowed: TemperatureDiff) -> Vec<String> {
    let mut out = Vec::new();
    if detail.loss[2].si() <= 0.0 {
        out.push("A small loss: the pressure rose more than temperature explains, so something else moved it.".into());
    } else if !detail.leak_seen {
        out.push(format!(
            "A loss below {} could have gone unseen.",
            detail.loss[2].show(input.units)
        ));
    }
    out.extend([
        "A leak that opens only at running temperature, under vibration or with the fan on.".into(),
        "Which joint it is: soap and a detector find the place, this test only the sum.".into(),
    ]);
    if !input.covers.is_empty() {
        let left: Vec<_> = Segment::ALL
            .iter()
            .filter(|s| **s != Segment::Hoses && !input.covers.contains(s))
            .map(|s| s.words())
            .collect();
        if !left.is_empty() {
            out.push(format!(
                "Anything in {}: it was not under pressure.",
                left.join(", ")
            ));
        }
    }
    if input.gauge_drift_per_kelvin.is_none() {
        out.push("The gauge's own drift with temperature, as its full scale was not given.".into());
    }
    out.push(if input.witness.is_some() {
        format!(
            "A part of the volume that swings with the day by much more than {} differently from the known-tight volume.",
            allowed.show(input.units)
        )
    } else {
        format!(
            "A part of the volume that swings with the day by much more than {} where no thermometer hung.",
            allowed.show(input.units)
        )
    });
    if input.witness.is_some() && input.outdoor.is_none() && input.indoor.is_none() {
        out.push(
            "Whether the known-tight volume held by itself: no thermometer was read beside it."
                .into(),
        );
    }
    out.push(format!(
        "Walls and insulation that settle for hours by much more than {}: that can look like a small loss or hide one.",
        TemperatureDiff::from_si(SETTLED_UNSEEN_K).show(input.units)
    ));
    out.push("What the model does not know: its intervals are meant to hold the loss 95 times in 100, and about 90 times in the field is what is claimed.".into());
    out
}
