//! Decisions: every rule, every example, everything that can be said.

mod examples;
mod reasons;
mod rules;
mod said;
