//! Moist air: wet bulb and humidity ratio come back, and everything rises or falls as it must.

use lineproof::fluid::air::MoistAir;
use lineproof::fluid::water::TRIPLE_TEMPERATURE;
use lineproof::quantity::*;
use proptest::prelude::*;

fn place() -> impl Strategy<Value = Barometer> {
    (-400.0..5400.0f64)
        .prop_map(|metres| Barometer::at_altitude(Length::of(metres, unit::METRE)).unwrap())
}

/// Dry bulbs in K, from an arctic night to a hot attic.
fn dry_bulb() -> impl Strategy<Value = f64> {
    233.15..343.15f64
}

fn humid(dry_bulb: f64, share: f64, barometer: Barometer) -> MoistAir {
    let (t, share) = (Temperature::from_si(dry_bulb), Fraction::from_si(share));
    MoistAir::of_relative_humidity(t, share, barometer).unwrap()
}

proptest! {
    #[test]
    fn a_wet_bulb_comes_back(t in dry_bulb(), depression in 0.0..20.0f64, place in place()) {
        let [dry, wet] = [t, t - depression].map(Temperature::from_si);
        // no air is dry enough for some of them
        let Ok(air) = MoistAir::of_wet_bulb(dry, wet, place) else {
            return Ok(());
        };
        let back = air.wet_bulb().unwrap();
        let same = MoistAir::of_wet_bulb(dry, back, place).unwrap();
        let off = same.humidity_ratio().si() - air.humidity_ratio().si();
        prop_assert!(off.abs() < 1e-12);
        // where an iced wick and a wet one are both possible, the wet one comes back
        let wet_instead = wet.si() < TRIPLE_TEMPERATURE && back.si() >= TRIPLE_TEMPERATURE;
        prop_assert!(wet_instead || (back - wet).si().abs() < 1e-6, "{wet:?} {back:?}");
        prop_assert!(!wet_instead || wet.si() > TRIPLE_TEMPERATURE - 1.5);
    }

    #[test]
    fn a_relative_humidity_comes_back(t in dry_bulb(), share in 0.0..=1.0f64, place in place()) {
        let back = humid(t, share, place).relative_humidity();
        prop_assert!((back.si() - share).abs() < 1e-12);
    }

    #[test]
    fn dew_point_wet_bulb_and_dry_bulb_are_in_order(t in dry_bulb(), share in 0.02..1.0f64, place in place()) {
        let air = humid(t, share, place);
        let (dew, wet) = (air.dew_point().unwrap().si(), air.wet_bulb().unwrap().si());
        prop_assert!(dew <= wet + 1e-6 && wet <= t + 1e-9, "{dew} {wet} {t}");
    }

    #[test]
    fn more_water_is_wetter_richer_and_lighter(
        t in dry_bulb(), share in 0.0..0.98f64, more in 0.001..0.02f64, place in place()
    ) {
        let (air, wetter) = (humid(t, share, place), humid(t, share + more, place));
        prop_assert!(wetter.humidity_ratio() > air.humidity_ratio());
        prop_assert!(wetter.wet_bulb().unwrap() > air.wet_bulb().unwrap());
        prop_assert!(wetter.enthalpy() > air.enthalpy());
        prop_assert!(wetter.density() < air.density());
    }

    #[test]
    fn air_is_thinner_higher_up(t in dry_bulb(), share in 0.0..1.0f64, metres in 0.0..5000.0f64) {
        let at = |metres| Barometer::at_altitude(Length::of(metres, unit::METRE)).unwrap();
        let (low, high) = (humid(t, share, at(metres)), humid(t, share, at(metres + 100.0)));
        prop_assert!(high.density() < low.density());
        prop_assert!(share == 0.0 || high.humidity_ratio() > low.humidity_ratio());
    }
}
