//! The checks: one module per stage, each a pure function from readings to a finding.
pub mod dry;
pub mod tight;
