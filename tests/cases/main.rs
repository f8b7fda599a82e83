//! Worked cases from course notes, issue threads and test logs, with the answer that is right and the trap beside it.
//! Gauge zero is 14.696 psi unless a case says otherwise.

mod equations;
#[allow(dead_code)]
#[path = "../decide/said/holds.rs"]
mod holds;
mod line;
// shared with the decisions' tests, which use more of it
#[allow(dead_code)]
#[path = "../decide/said/machine.rs"]
mod machine;
mod pumping;
mod running;
mod targets;
mod tight;
mod vacuum;
mod vacuum_logs;
mod vacuum_moved;
mod water;

/// Two numbers within a tolerance.
fn near(ours: f64, right: f64, tolerance: f64) {
    assert!(
        (ours - right).abs() <= tolerance,
        "{ours} against {right} +- {tolerance}"
    );
}
