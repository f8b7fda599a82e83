use lineproof::check::Finding;
use lineproof::check::charge::{
    Criteria, Incident, Input, LineLabel, Run, ScaleShown, Shipped, Tubes, Way, WeighedIn,
    Weighing, assess, reasons, weighed as weighed_mass,
};
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
            label: None,
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
        let read = Measured {
            value: grams(mass),
            standard_uncertainty: grams(u),
            origin: Origin::Reading("scale".into()),
        };
        i.weighed_in = Some(read.into());
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
            "shipped empty, a port without a head, a pre-charged line, a hose left full",
            judged(|i| {
                i.shipped = Shipped::Empty;
                i.runs[0].label = Some(LineLabel::Mass(grams(100.0)));
                i.runs.push(Run {
                    name: "port 2".into(),
                    installed: Length::of(0.0, unit::METRE),
                    ..i.runs[0].clone()
                });
                let weighing = Weighing {
                    way: Way::In,
                    shown: ScaleShown::Net(Measured {
                        value: grams(1900.0),
                        standard_uncertainty: grams(5.0),
                        origin: Origin::Reading("scale".into()),
                    }),
                    zero_after: None,
                    hose: None,
                };
                let mass = weighed_mass(&weighing, i.refrigerant, &Criteria::default());
                i.weighed_in = WeighedIn::sum(&[mass.unwrap()]);
            }),
            &[
                reasons::SHIPPED_EMPTY,
                reasons::NO_HEAD,
                reasons::CAME_IN_LINE,
                reasons::WEIGHED_IN,
            ],
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
