use lineproof::check::Finding;
use lineproof::check::charge::{Criteria, Incident, Input, Run, Shipped, Tubes, assess, reasons};
use lineproof::fluid::Refrigerant;
use lineproof::physics::cycle::MeteringPlace;
use lineproof::physics::tube::Tube;
use lineproof::quantity::{Length, Mass, MassPerLength, Measured, Origin, Quantity, unit};

use super::Table;

fn grams(value: f64) -> Mass {
    Mass::of(value, unit::GRAM)
}

/// 20 m with 10 m included at 30 g/m: 300 g to weigh in.
fn three_hundred() -> Input {
    let tubes = Tubes {
        liquid: Tube::annealed("3/8").unwrap(),
        vapour: Tube::annealed("3/4").unwrap(),
    };
    Input {
        refrigerant: Refrigerant::R410A,
        nameplate: grams(2000.0),
        shipped: Shipped::Charged,
        metering: Some(MeteringPlace::Indoors),
        runs: vec![Run {
            name: "line".into(),
            installed: Length::of(20.0, unit::METRE),
            included: Length::of(10.0, unit::METRE),
            factor: MassPerLength::of(30.0, unit::GRAM_PER_METRE),
            tubes: Some(tubes),
        }],
        accessories: Vec::new(),
        weighed_in: None,
        incidents: Vec::new(),
    }
}

fn judged(change: impl FnOnce(&mut Input)) -> Finding {
    let mut input = three_hundred();
    change(&mut input);
    assess(&input, &Criteria::default())
}

fn weighed(mass: f64, u: f64) -> Finding {
    judged(|i| {
        i.weighed_in = Some(Measured {
            value: grams(mass),
            standard_uncertainty: grams(u),
            origin: Origin::Reading("scale".into()),
        });
    })
}

fn after(incident: Incident) -> Finding {
    judged(|i| i.incidents = vec![incident])
}

/// Inputs that say every code.
pub fn table() -> Table {
    let what = || "2026-05-04".to_string();
    let mut table: Table = vec![
        (
            "nothing weighed yet, at half of what the bore asks for",
            judged(|_| {}),
            &[
                reasons::TO_WEIGH_IN,
                reasons::ADJUSTMENT,
                reasons::FACTOR_OFF,
                reasons::PRINTED_BESIDE,
            ],
        ),
        (
            "a refrigerant that does not condense on a warm day",
            judged(|i| i.refrigerant = Refrigerant::R744),
            &[reasons::NOT_FOR_R744, reasons::NO_PHYSICS],
        ),
        (
            "weighed to the gram",
            weighed(300.0, 5.0),
            &[reasons::CHARGE_RIGHT],
        ),
        ("20 g over", weighed(320.0, 5.0), &[reasons::REMAINDER_LEFT]),
        (
            "a coarse scale",
            weighed(350.0, 30.0),
            &[reasons::WITHIN_THE_SCALE],
        ),
        (
            "half of it",
            weighed(150.0, 5.0),
            &[reasons::SHORT_OF_CHARGE],
        ),
        (
            "twice as much",
            weighed(600.0, 5.0),
            &[reasons::TOO_MUCH_CHARGE],
        ),
        (
            "released",
            after(Incident::Released { what: what() }),
            &[reasons::RELEASED],
        ),
        (
            "opened",
            after(Incident::Opened { what: what() }),
            &[reasons::OPENED],
        ),
        (
            "an included length longer than any line",
            judged(|i| i.runs[0].included = Length::of(100.0, unit::METRE)),
            &[reasons::IMPOSSIBLE],
        ),
        (
            "nobody knows where the metering device is",
            judged(|i| i.metering = None),
            &[reasons::METERING_ASKED],
        ),
    ];
    table.extend(super::amounts::table());
    table
}
