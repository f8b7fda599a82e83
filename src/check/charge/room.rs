//! How large a room must be for a charge that can burn.

use crate::fluid::{Refrigerant, SafetyClass};
use crate::quantity::{Area, Density, Length, Mass, Quantity, VolumeFlow};
use crate::source::SourceId;

/// Where the formulas come from.
pub const SOURCE: SourceId = SourceId::Iec60335Rooms;
/// Where the charge without a rule comes from.
pub const SMALL_CHARGE_SOURCE: SourceId = SourceId::Iec60335SmallCharge;

/// Which edition of the standard the instructions follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edition {
    /// Without a cap for small rooms.
    Before2018,
    /// 2018, with the small-room cap of 0.75 LFL h0 A, which holds below about 6 m2.
    Of2018,
}

/// Height at which the indoor unit lets refrigerant out, as the standard takes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mounted {
    /// On the floor: 0.6 m.
    Floor,
    /// At a window: 1.0 m.
    Window,
    /// On the wall: 1.8 m.
    Wall,
    /// At the ceiling: 2.2 m.
    Ceiling,
}

impl Mounted {
    /// The release height h0.
    pub fn height(self) -> Length {
        Length::from_si(match self {
            Mounted::Floor => 0.6,
            Mounted::Window => 1.0,
            Mounted::Wall => 1.8,
            Mounted::Ceiling => 2.2,
        })
    }
}

/// The most charge that a room may take: `m = 2.5 LFL^(5/4) h0 sqrt(A)`, by the 2018 edition not above `0.75 LFL h0 A`.
///
/// `lfl`: lower flammable limit, kg/m3; `height`: release height; `area`: of the floor. Source: [`SOURCE`].
///
/// ```
/// use lineproof::check::charge::room::{Edition, largest_charge};
/// use lineproof::quantity::{Area, Density, Length, Quantity};
/// let (lfl, height) = (Density::from_si(0.307), Length::from_si(0.6));
/// let most = |area| largest_charge(lfl, height, Area::from_si(area), Edition::Of2018).si();
/// assert!((most(20.0) - 1.533).abs() < 5e-4);
/// // the small-room cap
/// assert!((most(3.0) - 0.414).abs() < 5e-4);
/// ```
pub fn largest_charge(lfl: Density, height: Length, area: Area, edition: Edition) -> Mass {
    let spread = 2.5 * lfl.si().powf(1.25) * height.si() * area.si().sqrt();
    let small = 0.75 * lfl.si() * height.si() * area.si();
    Mass::from_si(match edition {
        Edition::Before2018 => spread,
        Edition::Of2018 => spread.min(small),
    })
}

/// The least floor for a charge: `A = (m/(2.5 LFL^(5/4) h0))^2`, by the 2018 edition not below `m/(0.75 LFL h0)`.
///
/// Arguments and source: as for [`largest_charge`], which it turns round.
pub fn least_area(lfl: Density, height: Length, charge: Mass, edition: Edition) -> Area {
    let spread = (charge.si() / (2.5 * lfl.si().powf(1.25) * height.si())).powi(2);
    let small = charge.si() / (0.75 * lfl.si() * height.si());
    Area::from_si(match edition {
        Edition::Before2018 => spread,
        Edition::Of2018 => spread.max(small),
    })
}

/// m1: up to this charge the standard asks for no room size: 6 m3 (A2L) or 4 m3 (A3) times LFL; none for A1.
///
/// Source: [`SMALL_CHARGE_SOURCE`].
pub fn free_charge(class: SafetyClass, lfl: Density) -> Option<Mass> {
    let cubic_metres = match class {
        SafetyClass::A1 => return None,
        SafetyClass::A2L => 6.0,
        SafetyClass::A3 => 4.0,
    };
    Some(Mass::from_si(cubic_metres * lfl.si()))
}

/// What is known of the room; the first question is whether the indoor unit serves one room or ducts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Served {
    /// One room.
    OneRoom {
        /// Its floor.
        area: Area,
        /// Where the indoor unit hangs.
        mounted: Mounted,
        /// Edition that the instructions name.
        edition: Edition,
    },
    /// Ducts to several rooms.
    Ducted {
        /// What the unit's instructions print; `None`: not read yet.
        printed: Option<Printed>,
        /// Floor of all rooms together.
        area: Area,
        /// Airflow; `None`: not known.
        airflow: Option<VolumeFlow>,
    },
    /// Not said yet.
    NotKnown,
}

/// What a ducted unit's instructions print for its charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printed {
    /// The least floor.
    pub least_area: Area,
    /// The least airflow, if one is printed.
    pub least_airflow: Option<VolumeFlow>,
}

/// Whether a charge may be where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Room {
    /// The refrigerant does not burn.
    DoesNotApply,
    /// One room or ducts? That is the first question.
    AskOneRoomOrDucts,
    /// LFL is to be read on the unit's label first.
    AskTheLabel,
    /// A ducted unit's own lines are to be read first: there is no formula of ours.
    AskTheInstructions,
    /// The airflow is to be known first.
    AskTheAirflow,
    /// The charge is not above m1: the standard asks for no room size.
    NoAreaRule {
        /// m1.
        free: Mass,
    },
    /// The room is large enough.
    Enough {
        /// The least floor for the charge.
        least: Area,
    },
    /// The room is too small.
    TooSmall {
        /// The least floor for the charge.
        least: Area,
        /// The most charge for this room, where our formula says it.
        most: Option<Mass>,
    },
    /// The airflow is below what the instructions ask for.
    TooLittleAirflow {
        /// The least airflow.
        least: VolumeFlow,
    },
}

/// Whether a charge may be where it is.
///
/// `refrigerant`; `charge`: all that is in the circuit; `label`: LFL from the unit's label, which wins over ours;
/// `served`: one room or ducts.
///
/// Ducts: the unit's printed floor and airflow are compared, nothing is computed. One room: at most m1 no rule, else
/// [`least_area`]. The unit's own instructions win. Range: A2L and A3. Source: [`SOURCE`], [`SMALL_CHARGE_SOURCE`].
///
/// ```
/// use lineproof::check::charge::room::{Edition, Mounted, Room, Served, room};
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::{Area, Mass, Quantity};
/// let served = Served::OneRoom { area: Area::from_si(20.0), mounted: Mounted::Wall, edition: Edition::Of2018 };
/// let found = room(Refrigerant::R32, Mass::from_si(1.2), None, served);
/// assert!(matches!(found, Room::NoAreaRule { .. }));
/// ```
pub fn room(
    refrigerant: Refrigerant,
    charge: Mass,
    label: Option<Density>,
    served: Served,
) -> Room {
    if !refrigerant.flammable() {
        return Room::DoesNotApply;
    }
    let (area, mounted, edition) = match served {
        Served::NotKnown => return Room::AskOneRoomOrDucts,
        Served::Ducted {
            printed,
            area,
            airflow,
        } => return ducted(printed, area, airflow),
        Served::OneRoom {
            area,
            mounted,
            edition,
        } => (area, mounted, edition),
    };
    let Some(lfl) = refrigerant.facts().lfl().to_calculate_with(label) else {
        return Room::AskTheLabel;
    };
    match free_charge(refrigerant.class(), lfl) {
        Some(free) if charge <= free => return Room::NoAreaRule { free },
        _ => {}
    }
    let least = least_area(lfl, mounted.height(), charge, edition);
    if area >= least {
        return Room::Enough { least };
    }
    // a charge up to m1 is free in any room
    let by_area = largest_charge(lfl, mounted.height(), area, edition).si();
    let free = free_charge(refrigerant.class(), lfl).map_or(0.0, Mass::si);
    Room::TooSmall {
        least,
        most: Some(Mass::from_si(by_area.max(free))),
    }
}

fn ducted(printed: Option<Printed>, area: Area, airflow: Option<VolumeFlow>) -> Room {
    let Some(printed) = printed else {
        return Room::AskTheInstructions;
    };
    let least = printed.least_area;
    if area < least {
        return Room::TooSmall { least, most: None };
    }
    match (printed.least_airflow, airflow) {
        (Some(_), None) => Room::AskTheAirflow,
        (Some(least), Some(flow)) if flow < least => Room::TooLittleAirflow { least },
        _ => Room::Enough { least },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn in_a_room(square_metres: f64) -> Served {
        Served::OneRoom {
            area: Area::from_si(square_metres),
            mounted: Mounted::Floor,
            edition: Edition::Of2018,
        }
    }

    #[test]
    fn the_free_charge_is_the_printed_threshold() {
        // 1.84 kg of R-32 is where the printed tables of areas begin
        let lfl = Density::from_si(0.307);
        let free = free_charge(SafetyClass::A2L, lfl).unwrap();
        assert!((free.si() - 1.842).abs() < 1e-9);
        let found = room(Refrigerant::R32, Mass::from_si(1.84), None, in_a_room(5.0));
        assert_eq!(found, Room::NoAreaRule { free });
        let propane = room(Refrigerant::R290, Mass::from_si(0.15), None, in_a_room(5.0));
        assert!(matches!(propane, Room::NoAreaRule { .. }));
    }

    #[test]
    fn one_room_is_held_against_its_least_floor() {
        let found = |area| room(Refrigerant::R32, Mass::from_si(2.0), None, in_a_room(area));
        // printed: 2.0 kg needs 34.04 m2
        let Room::TooSmall { least, most } = found(30.0) else {
            panic!("30 m2 is too small")
        };
        assert!((least.si() - 34.04).abs() < 0.01);
        assert!((most.unwrap().si() - 1.877).abs() < 1e-3);
        assert!(matches!(found(35.0), Room::Enough { .. }));
    }

    #[test]
    fn what_must_be_asked_is_asked_first() {
        let two = Mass::from_si(2.0);
        let found = |refrigerant, label, served| room(refrigerant, two, label, served);
        assert_eq!(
            found(Refrigerant::R410A, None, Served::NotKnown),
            Room::DoesNotApply
        );
        assert_eq!(
            found(Refrigerant::R32, None, Served::NotKnown),
            Room::AskOneRoomOrDucts
        );
        assert_eq!(
            found(Refrigerant::R454B, None, in_a_room(50.0)),
            Room::AskTheLabel
        );
        let label = Some(Density::from_si(0.296));
        assert!(matches!(
            found(Refrigerant::R454B, label, in_a_room(50.0)),
            Room::Enough { .. }
        ));
    }

    #[test]
    fn ducts_go_by_the_units_own_lines() {
        let cfm = |v| VolumeFlow::of(v, unit::CUBIC_FOOT_PER_MINUTE);
        let ducts = |printed, area, airflow| {
            let served = Served::Ducted {
                printed,
                area: Area::from_si(area),
                airflow,
            };
            room(Refrigerant::R32, Mass::from_si(3.0), None, served)
        };
        let printed = Some(Printed {
            least_area: Area::from_si(40.0),
            least_airflow: Some(cfm(300.0)),
        });
        assert_eq!(ducts(None, 100.0, None), Room::AskTheInstructions);
        assert!(matches!(
            ducts(printed, 30.0, None),
            Room::TooSmall { most: None, .. }
        ));
        assert_eq!(ducts(printed, 50.0, None), Room::AskTheAirflow);
        assert!(matches!(
            ducts(printed, 50.0, Some(cfm(200.0))),
            Room::TooLittleAirflow { .. }
        ));
        assert!(matches!(
            ducts(printed, 50.0, Some(cfm(400.0))),
            Room::Enough { .. }
        ));
    }
}
