//! Torque wrench with an adapter: US Army TM 9-254 (row 1 read, the others computed from its formula).

use lineproof::physics::torque::Adapter;
use lineproof::quantity::{Length, Quantity, Torque, unit};

use crate::{number, rows};

#[test]
fn every_row() {
    let rows = rows(include_str!("data/torque_adapter.csv"));
    assert_eq!(rows.len(), 4);
    for row in rows {
        assert_eq!(
            (row["unit"].as_str(), row["len_unit"].as_str()),
            ("ft-lb", "in")
        );
        let inches = |name: &str| Length::of(number(&row[name]), unit::INCH_LENGTH);
        let adapter = Adapter::new(inches("L"), inches("E"), number(&row["angle_deg"])).unwrap();
        let target = Torque::of(number(&row["target"]), unit::FOOT_POUND);
        let setting = adapter.setting_for(target).in_unit(unit::FOOT_POUND);
        // printed to 0.01
        assert!(
            (setting - number(&row["setting"])).abs() < 0.006,
            "{row:?}: {setting}"
        );
    }
}
