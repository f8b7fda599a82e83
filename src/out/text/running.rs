//! What was read at a running unit: the finding, the questions still open.

use super::page::Page;
use super::{Style, beside, found};
use crate::check::{Detail, Finding, run};
use crate::out::Sources;
use crate::quantity::UnitSystem;

/// The finding of *run* with what belongs beside it.
pub fn running(finding: &Finding, units: UnitSystem, style: Style) -> String {
    let sources = Sources::of_finding(finding, run::CAUTIONS);
    let mut page = Page::new(style);
    found(&mut page, finding, units, &sources);
    if let Detail::Run(detail) = &finding.detail
        && !detail.questions.is_empty()
    {
        page.heading("To be answered, in this order");
        page.list(detail.questions.iter().map(|q| q.text()));
    }
    beside(&mut page, finding, run::CAUTIONS, &sources);
    page.text
}
