//! Simulated standing pressure tests: real nitrogen in a volume that is partly outdoors, partly indoors and partly where no
//! thermometer hangs; gas that lags behind; weather, barometer, gauge and people as they are.
//!
//! Bounds are those of the method's own specification; below 500 tests of the base case and 200 of a variant a count may
//! fall short of its long-run share as far as chance takes it once in a hundred.
mod base;
mod door;
mod gas;
mod hours;
mod reader;
mod tally;
mod truth;
mod variants;
mod witness;

/// 0.05 psi/h at 500 psig as a relative loss, 1/h.
const LIMIT: f64 = 0.05 / 514.696;
