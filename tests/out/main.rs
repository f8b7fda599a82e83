//! The sheet as readers see it: text and JSON under snapshot, the HTML report by its promises.

#[cfg(feature = "report")]
mod amounts;
#[cfg(feature = "report")]
mod chart;
#[cfg(feature = "report")]
mod diagram;
#[cfg(feature = "report")]
mod figures;
mod followed;
#[cfg(feature = "report")]
mod hold_card;
#[cfg(feature = "report")]
mod measured_cycle;
#[cfg(feature = "report")]
mod owner;
mod plan;
#[cfg(feature = "report")]
mod pump_down;
#[cfg(feature = "report")]
mod report;
mod sheets;
mod states;
mod tables;
#[cfg(feature = "report")]
mod weigh_in;
mod words;
