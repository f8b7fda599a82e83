//! The statistics against the outside: certified fits, and series with known truth and a reference answer.
mod nist_linear;
mod pressure_decay;
mod readings;
mod vacuum_rise;
