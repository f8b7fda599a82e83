//! The statistics against the outside: certified fits, and series with known truth and a reference answer.
mod nist_linear;
mod nist_nonlinear;
mod pressure_behaviour;
mod pressure_decay;
mod readings;
mod slope_se;
mod vacuum_logs;
mod vacuum_rise;
