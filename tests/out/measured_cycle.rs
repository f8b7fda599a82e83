//! The figures of the run stage from readings: the measured cycle, and the points on the saturation curve.

use std::path::Path;

use lineproof::check::Detail;
use lineproof::check::run::{
    self, Compressor, Conditions, Criteria, HighSide, Input, LowSide, Machine, Rated, Surroundings,
    Tap, Targets,
};
use lineproof::fluid::Refrigerant;
use lineproof::out::figure::{
    PressureEnthalpy, RestsOn, Running, Width, pressure_enthalpy, saturation, standing_alone,
};
use lineproof::physics::cycle::{MeteringDevice, MeteringKind, MeteringPlace, Mode};
use lineproof::quantity::{
    Barometer, Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature,
    TemperatureDiff, UnitSystem, unit,
};

fn celsius(value: f64) -> Measured<Temperature> {
    Measured {
        value: Temperature::of(value, unit::CELSIUS),
        standard_uncertainty: TemperatureDiff::from_si(0.5),
        origin: Origin::Reading("clamp".into()),
    }
}

fn bar(value: f64) -> Measured<PressureGauge> {
    Measured {
        value: PressureGauge::of(value, unit::BAR_GAUGE),
        standard_uncertainty: PressureDiff::from_si(0.006 * value * 1e5),
        origin: Origin::Reading("gauge".into()),
    }
}

fn gauges(low: f64, high: f64) -> (LowSide, HighSide) {
    let tap = Tap::LiquidLine;
    let pressure = bar(high);
    (LowSide::Gauge(bar(low)), HighSide::Gauge { pressure, tap })
}

fn bends(low: f64, high: f64) -> (LowSide, HighSide) {
    (
        LowSide::CoilBend(celsius(low)),
        HighSide::CoilBend(celsius(high)),
    )
}

/// Invented readings of a split with its metering device indoors, cooling: suction, liquid and discharge line in °C.
fn read(
    refrigerant: Refrigerant,
    (low, high): (LowSide, HighSide),
    [suction, liquid]: [f64; 2],
    discharge: Option<f64>,
) -> Input {
    Input {
        log: None,
        evaporator_bend: None,
        condenser_bend: None,
        refrigerant,
        machine: Machine {
            metering: Some(MeteringDevice {
                place: MeteringPlace::Indoors,
                kind: MeteringKind::ThermostaticValve,
            }),
            mode: Some(Mode::Cooling),
            compressor: Some(Compressor::FixedSpeed),
            accumulator: None,
        },
        conditions: Conditions::default(),
        low: Some(low),
        suction_line: Some(celsius(suction)),
        high: Some(high),
        liquid_line: Some(celsius(liquid)),
        discharge_line: discharge.map(celsius),
        current: None,
        surroundings: Surroundings::at(Barometer::standard(), refrigerant),
        gauges_read_by: None,
        targets: Targets::default(),
        rated: Rated::default(),
    }
}

fn cases() -> Vec<(&'static str, Input)> {
    use Refrigerant::{R22, R32, R410A, R454B};
    let mut outdoors = read(R32, bends(6.0, 44.0), [14.0, 20.0], Some(82.0));
    outdoors.machine.metering = Some(MeteringDevice {
        place: MeteringPlace::Outdoors,
        kind: MeteringKind::ElectronicValve,
    });
    let mut no_liquid = read(R410A, gauges(7.4, 33.0), [16.0, 0.0], Some(104.0));
    no_liquid.liquid_line = None;
    vec![
        (
            "r410a",
            read(R410A, gauges(9.0, 26.0), [15.0, 38.0], Some(78.0)),
        ),
        (
            "r410a-ideal",
            read(R410A, gauges(8.9, 22.9), [12.6, 32.8], None),
        ),
        ("r410a-hot", no_liquid),
        (
            "r454b-bends",
            read(R454B, bends(6.0, 44.0), [14.0, 38.0], None),
        ),
        (
            "r22-wet",
            read(R22, gauges(4.9, 16.0), [4.8, 38.0], Some(75.0)),
        ),
        (
            "r32-flash",
            read(R32, gauges(8.5, 27.0), [14.0, 44.6], Some(88.0)),
        ),
        ("r32-outdoors", outdoors),
    ]
}

fn detail(input: &Input) -> run::Detail {
    let finding = run::assess(input, &Criteria::default()).unwrap();
    let Detail::Run(detail) = finding.detail else {
        panic!("run gives its own detail")
    };
    *detail
}

fn cycle(input: &Input, units: UnitSystem) -> PressureEnthalpy {
    let cycle = detail(input).cycle.unwrap();
    PressureEnthalpy::of_cycle(input.refrigerant, units, &cycle).unwrap()
}

fn running(input: &Input, units: UnitSystem) -> Running {
    let barometer = Barometer::standard();
    Running::of(input.refrigerant, &detail(input), barometer, units).unwrap()
}

/// Words on a drawing: left, right, middle height, in the drawing's pixels.
struct Word {
    text: String,
    left: f64,
    right: f64,
    middle: f64,
}

/// Height of letters in the drawing's pixels.
const LETTERS: f64 = 48.0;

fn words(svg: &str) -> Vec<Word> {
    svg.split("<text ")
        .skip(1)
        .map(|rest| {
            let (head, rest) = rest.split_once('>').unwrap();
            let text = rest.split("</text>").next().unwrap().trim().to_string();
            let of = |name: &str| {
                let after = head.split(&format!("{name}=\"")).nth(1)?;
                after.split('"').next()
            };
            let number = |name: &str| of(name).unwrap().parse::<f64>().unwrap();
            // system fonts are about half as wide as high
            let width = 0.5 * LETTERS * text.chars().count() as f64;
            let left = match of("text-anchor") {
                Some("end") => number("x") - width,
                Some("middle") => number("x") - 0.5 * width,
                _ => number("x"),
            };
            let down = match of("dy") {
                Some("0.76em") => 0.5 * LETTERS,
                Some("0.5ex") => 0.0,
                _ => -0.5 * LETTERS,
            };
            let middle = number("y") + down;
            let right = left + width;
            Word {
                text,
                left,
                right,
                middle,
            }
        })
        .collect()
}

fn size(svg: &str) -> (f64, f64) {
    let view = svg.split("viewBox=\"0 0 ").nth(1).unwrap();
    let mut numbers = view.split('"').next().unwrap().split(' ');
    let mut next = || numbers.next().unwrap().parse::<f64>().unwrap();
    (next(), next())
}

/// Nothing over the edge, and no words upon others.
fn can_be_read(svg: &str, what: &str) {
    assert!(!svg.contains("NaN"), "{what}");
    let words = words(svg);
    let (width, height) = size(svg);
    for (i, word) in words.iter().enumerate() {
        let inside =
            word.left >= 0.0 && word.right <= width && word.middle >= 0.0 && word.middle <= height;
        assert!(inside, "{what}: {} is over the edge", word.text);
        for other in &words[i + 1..] {
            let apart = word.right <= other.left
                || other.right <= word.left
                || (word.middle - other.middle).abs() > 0.8 * LETTERS;
            assert!(apart, "{what}: {} stands on {}", word.text, other.text);
        }
    }
}

fn leave(name: &str, svg: &str) {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.svg"));
    std::fs::write(path, standing_alone(svg)).unwrap();
}

#[test]
fn a_measured_cycle_can_be_read_in_both_widths_and_unit_systems() {
    for (name, input) in cases() {
        for (units, system) in [(UnitSystem::Us, "us"), (UnitSystem::Si, "si")] {
            let diagram = cycle(&input, units);
            for width in [Width::Wide, Width::Narrow] {
                let svg = pressure_enthalpy::draw(&diagram, width, "cycle").unwrap();
                let what = format!("cycle-{name}-{system}-{}", width.word());
                leave(&what, &svg);
                for state in &diagram.states {
                    let stands = words(&svg).iter().any(|word| word.text == state.label);
                    assert!(stands, "{what}: {} stands nowhere", state.label);
                }
                can_be_read(&svg, &what);
            }
            let inside = |s: &lineproof::out::figure::StateMark| {
                let (low, high) = diagram.enthalpies;
                let (least, most) = diagram.pressures;
                s.enthalpy - s.half_enthalpy > low
                    && s.enthalpy + s.half_enthalpy < high
                    && s.pressure - s.half_pressure > least
                    && s.pressure + s.half_pressure < most
            };
            assert!(
                diagram.states.iter().all(inside),
                "{name}: outside the frame"
            );
        }
    }
}

#[test]
fn readings_on_the_saturation_curve_can_be_read() {
    for (name, input) in cases() {
        for (units, system) in [(UnitSystem::Us, "us"), (UnitSystem::Si, "si")] {
            let running = running(&input, units);
            for width in [Width::Wide, Width::Narrow] {
                let svg = saturation::draw(&running, width, "saturation").unwrap();
                let what = format!("saturation-{name}-{system}-{}", width.word());
                leave(&what, &svg);
                can_be_read(&svg, &what);
            }
        }
    }
}

#[test]
fn a_caption_says_what_was_read_and_what_was_assumed() {
    let said: Vec<_> = cases()
        .iter()
        .map(|(name, input)| format!("{name}\n{}", cycle(input, UnitSystem::Si).summary()))
        .collect();
    insta::assert_snapshot!(said.join("\n\n"));
    for words in &said {
        crate::words::has_no_inside_word(words);
    }
}

#[test]
fn an_error_box_has_the_two_instruments_of_its_own() {
    let case = |wanted: &str| {
        let found = cases().into_iter().find(|(name, _)| *name == wanted);
        running(&found.unwrap().1, UnitSystem::Si)
    };
    let by_gauge = case("r410a");
    let suction = &by_gauge.points[0];
    // the clamp's 0.5 K and the gauge's 0.6 % of 9 bar, by 1.96
    assert!((suction.half_temperature - 0.98).abs() < 1e-3);
    assert!((suction.half_pressure - 1.96 * 0.054).abs() < 1e-3);
    assert!(by_gauge.points.iter().all(|p| p.rests_on == RestsOn::Gauge));
    let by_bend = case("r454b-bends");
    let rests: Vec<_> = by_bend.points.iter().map(|p| p.rests_on).collect();
    assert_eq!(
        rests,
        [RestsOn::Bend, RestsOn::Probe, RestsOn::Bend, RestsOn::Probe]
    );
    let [line, probe] = &by_bend.points[..2] else {
        panic!("a line and its bend")
    };
    assert!((probe.temperature - 6.0).abs() < 0.01 && probe.half_pressure == 0.0);
    // a bend says less about pressure than a gauge
    assert!(line.half_pressure > 2.0 * suction.half_pressure);
}

#[test]
fn a_compression_without_losses_is_dashed_and_its_end_open() {
    let all = cases();
    let ideal = cycle(&all[1].1, UnitSystem::Us);
    assert_eq!(ideal.states[1].label, "discharge without losses");
    assert!(!ideal.states[1].read && ideal.legs[0].dashed);
    assert!(ideal.legs[1..].iter().all(|leg| !leg.dashed) && ideal.legs.len() == 4);
    let outdoors = cycle(&all[6].1, UnitSystem::Us);
    assert_eq!((outdoors.states.len(), outdoors.legs.len()), (2, 1));
}
