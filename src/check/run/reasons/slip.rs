//! What slips and contradictions say.

use super::{CONTRADICTION, REFRIGERANT_ASKED, SLIP_ASKED, UNUSUAL, said};
use crate::check::Reason;
use crate::fluid::Refrigerant;
use crate::source::SourceId;

pub(in crate::check::run) fn asked(question: &str, contradictions: &[String]) -> Reason {
    let text = format!(
        "the readings do not go together as typed ({}); {question} if so, they do; nothing was changed: look again, and type it as it is; what asks for switching off stands until then",
        contradictions.join("; ")
    );
    said(SLIP_ASKED, SourceId::SlipLimits, text)
}

pub(in crate::check::run) fn other_refrigerant(
    typed: Refrigerant,
    fitting: &[Refrigerant],
    contradictions: &[String],
) -> Reason {
    let names: Vec<&str> = fitting.iter().map(|r| r.name()).collect();
    let text = format!(
        "the readings do not go together as {typed} ({}); {} would fit, {typed} does not: which refrigerant stands on the nameplate? a circuit that holds another one than its nameplate is a technician's",
        contradictions.join("; "),
        names.join(" or ")
    );
    said(REFRIGERANT_ASKED, SourceId::SlipLimits, text)
}

pub(in crate::check::run) fn contradiction(what: &str, impossible: bool) -> Reason {
    if impossible {
        let text = format!("{what}: that cannot be; check the units, the probes and their places");
        said(CONTRADICTION, SourceId::SlipLimits, text)
    } else {
        let text = format!("{what}: hardly ever so; check the probe and its place");
        said(UNUSUAL, SourceId::SlipLimits, text)
    }
}
