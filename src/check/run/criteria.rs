//! The limits of *run*.

use crate::quantity::{Duration, Quantity, Temperature, TemperatureDiff, unit};
use crate::source::SourceId;

/// The limits of *run*; a target on the unit's label comes with the input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// Subcooling may differ so much from the label.
    pub subcooling_tolerance: TemperatureDiff,
    /// Superheat may differ so much from the target of a fixed orifice.
    pub superheat_tolerance: TemperatureDiff,
    /// Superheat of an expansion valve: the low end.
    pub valve_superheat_low: TemperatureDiff,
    /// Superheat of an expansion valve: the high end.
    pub valve_superheat_high: TemperatureDiff,
    /// A fixed orifice with a smaller target cannot be judged.
    pub least_target_superheat: TemperatureDiff,
    /// Where these five come from.
    pub charge_source: SourceId,
    /// Coldest outdoor air.
    pub outdoor_least: Temperature,
    /// Coldest return air.
    pub return_least: Temperature,
    /// Shortest run before a reading.
    pub run_least: Duration,
    /// Where the outdoor temperature and the time come from.
    pub conditions_source: SourceId,
    /// Where the return temperature comes from: the first row of the source's table.
    pub return_source: SourceId,
    /// Condensing this close to the outdoor air is no condensing.
    pub heat_rejected_above: TemperatureDiff,
    /// Where that comes from.
    pub heat_rejected_source: SourceId,
}

impl Default for Criteria {
    fn default() -> Self {
        let degf = |v: f64| TemperatureDiff::of(v, unit::FAHRENHEIT_DIFF);
        let air = |v: f64| Temperature::of(v, unit::FAHRENHEIT);
        Criteria {
            subcooling_tolerance: degf(3.0),
            superheat_tolerance: degf(5.0),
            valve_superheat_low: degf(4.0),
            valve_superheat_high: degf(25.0),
            least_target_superheat: degf(5.0),
            charge_source: SourceId::CecRa32,
            outdoor_least: air(55.0),
            return_least: air(70.0),
            run_least: Duration::of(15.0, unit::MINUTE),
            conditions_source: SourceId::CecRa32,
            return_source: SourceId::CecRa32,
            heat_rejected_above: degf(2.0),
            heat_rejected_source: SourceId::NoHeatRejected,
        }
    }
}
