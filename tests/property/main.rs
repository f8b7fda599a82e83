//! What holds for any input: decisions never get kinder, units come back, air is in order.

// shared with the decisions' tests, which use more of it
#[allow(dead_code)]
#[path = "../decide/said/world.rs"]
mod world;

mod air;
mod charge;
mod decide;
mod dry;
mod quantity;
mod record;
mod tight;
