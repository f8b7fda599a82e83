//! Targets: a charging table as it was typed, and heating by the unit's instructions.

use lineproof::check::Outcome;
use lineproof::check::run::target::{TargetError, TargetTable};
use lineproof::check::run::{self, Criteria, HighSide, LowSide, reasons};
use lineproof::physics::cycle::{MeteringDevice, MeteringKind, MeteringPlace, Mode};
use lineproof::source::SourceId;

use super::machine::*;

/// A charging table of our own making, with one cell (80 and 64) typed wrong, and a dash.
const TYPED: &str = "\
outdoor_F,wb_60,wb_62,wb_64,wb_66,wb_68
75,13,16,19,22,25
80,10,13,61,19,22
85,7,10,13,16,19
90,-,7,10,13,16
";

/// C28: one cell of a typed table breaks its row's order. It is named, nothing is interpolated through it; a dash means
/// stop, not zero.
#[test]
fn c28_a_cell_out_of_order_and_a_dash_stop() {
    let table = TargetTable::parse(TYPED, SourceId::UnitInstructions).unwrap();
    assert_eq!(
        table.cells_out_of_order(),
        ["outdoor air 80, return wet bulb 64: 61"]
    );
    let at = |outdoor: f64, wet: f64| {
        let looked = table.look_up(&fahrenheit(outdoor, 0.5), &fahrenheit(wet, 0.5));
        looked.map(run::target::Looked::target)
    };
    assert!(matches!(at(78.0, 63.0), Err(TargetError::Broken { .. })));
    assert!(at(87.0, 67.0).unwrap().is_some());
    assert_eq!(at(88.0, 61.0).unwrap(), None);

    for (wet, code) in [
        (63.0, reasons::TARGET_OUTSIDE),
        (60.5, reasons::TARGET_DASH),
    ] {
        let mut input = as_charged();
        input.machine.metering = Some(MeteringDevice {
            place: MeteringPlace::Indoors,
            kind: MeteringKind::FixedOrifice,
        });
        let outdoor = if code == reasons::TARGET_DASH {
            88.0
        } else {
            78.0
        };
        input.conditions.outdoor = Some(fahrenheit(outdoor, 0.5));
        input.conditions.return_wet_bulb = Some(fahrenheit(wet, 0.5));
        input.targets.superheat_table = Some(table.clone());
        let finding = run::assess(&input, &Criteria::default()).unwrap();
        assert_eq!(finding.outcome, Outcome::NotValidNow);
        assert_eq!(finding.reasons[0].code, code, "{:?}", finding.reasons);
    }
}

/// C33: heating, discharge line = outdoor + 110 degF +- 4, only where the unit's own instructions print it; else weigh in.
#[test]
fn c33_heating_needs_the_units_own_figure() {
    let heats = |line: f64, printed: Option<f64>| {
        let mut input = as_charged();
        input.machine.mode = Some(Mode::Heating);
        // the outdoor coil evaporates below the outdoor air, the indoor coil condenses above the house
        input.low = Some(LowSide::CoilBend(fahrenheit(24.0, 0.5)));
        input.suction_line = Some(fahrenheit(33.0, 0.5));
        input.high = Some(HighSide::CoilBend(fahrenheit(106.0, 0.5)));
        input.liquid_line = Some(fahrenheit(90.0, 0.5));
        input.conditions.outdoor = Some(fahrenheit(35.0, 0.5));
        input.discharge_line = Some(fahrenheit(line, 1.0));
        input.targets.discharge_above_outdoor = printed.and_then(degf);
        run::assess(&input, &Criteria::default()).unwrap()
    };
    let outcomes = [145.0, 149.0, 155.0].map(|line| heats(line, Some(110.0)).outcome);
    assert_eq!(outcomes, [Outcome::Pass, Outcome::Undecided, Outcome::Fail]);
    let none = heats(145.0, None);
    assert_eq!(none.outcome, Outcome::NotValidNow);
    let heating = none
        .reasons
        .iter()
        .find(|r| r.code == reasons::HEATING)
        .unwrap();
    assert!(heating.text.contains("weigh in"), "{}", heating.text);
}
