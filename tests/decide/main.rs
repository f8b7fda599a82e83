//! Decisions: every rule, every example, everything that can be said.

mod beside;
mod examples;
mod incidents;
mod place;
mod reasons;
mod rig;
mod rules;
mod said;
mod why;
mod would_change;
