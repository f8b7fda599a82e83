//! *start*.

/// What the stage's tables and figures are drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail;
