//! `line-charge`: the line-length adjustment, signed, with its arithmetic.
