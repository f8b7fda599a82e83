//! Published values, one file per source: whole tables, each with the tolerance its source allows and the reason.
//!
//! Data stand in `data/` with their sources on the first line. A summary is printed per source
//! (`cargo test --test published -- --nocapture`).

mod air;
mod data;
mod dry_gas;
mod saturation;
mod states;
mod viscosity;
mod water;
