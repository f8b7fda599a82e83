//! The figures of *charge*: what stands in them, inside the frame, one thing beside the other.

use lineproof::check::Segment;
use lineproof::check::charge::joined::{Evidence, joined};
use lineproof::check::charge::lost::{
    Circuit, Ended, Escape, Holds, HoleBounds, Lost, Part, Passed, Timed, TimedBy, Valves, lost,
};
use lineproof::check::charge::running::Shown;
use lineproof::fluid::Refrigerant;
use lineproof::out::figure::{ChargeInterval, LostMass, Width, charge_interval, lost_mass};
use lineproof::out::{Sheet, html};
use lineproof::quantity::{
    Area, Duration, Fraction, Mass, Measured, Origin, PressureAbs, Quantity, Temperature,
    TemperatureDiff, UnitSystem, Volume, unit,
};

use crate::sheets;

fn near<Q: Quantity>(value: Q, u: Q::Diff) -> Measured<Q> {
    Measured {
        value,
        standard_uncertainty: u,
        origin: Origin::Assumed("example".into()),
    }
}

fn guessed(seconds: f64) -> Timed {
    Timed {
        duration: Duration::from_si(seconds),
        by: TimedBy::Guess,
    }
}

fn escape(valves: Valves, ended: Ended) -> Escape {
    Escape {
        refrigerant: Refrigerant::R410A,
        temperature: near(
            Temperature::of(20.0, unit::CELSIUS),
            TemperatureDiff::from_si(2.0),
        ),
        around: PressureAbs::of(1.0, unit::ATM),
        circuit: Circuit::of(near(Mass::from_si(3.0), Mass::from_si(0.03))),
        isolated: vec![Part {
            segment: Segment::VapourLine,
            volume: near(Volume::of(1.2, unit::LITRE), Volume::of(0.1, unit::LITRE)),
            holds: Holds::NotKnown,
        }],
        valves,
        hiss: Some(guessed(240.0)),
        ended,
        passed: Passed::NotKnown,
        seen: vec![],
        hole: None,
    }
}

/// A small known hole, stopped by tightening.
fn tightened() -> Escape {
    Escape {
        hole: Some(HoleBounds {
            low: Area::from_si(0.05e-6),
            high: Area::from_si(0.3e-6),
        }),
        passed: Passed::Vapour,
        ..escape(Valves::Open, Ended::Tightened)
    }
}

fn incident() -> Lost {
    lost(&tightened()).unwrap()
}

fn evidence(lost: Vec<Lost>, running: Vec<Shown>) -> Evidence {
    let pounds = |v| Mass::of(v, unit::POUND_MASS);
    Evidence {
        due: pounds(6.62),
        before: near(pounds(6.55), pounds(0.08)),
        lost,
        running,
        recovered: None,
    }
}

fn no_subcooling() -> Shown {
    Shown::AtMost {
        share: Fraction::from_si(0.8),
        reading: Fraction::from_si(0.04),
        model: Fraction::from_si(0.1),
    }
}

/// Words of a drawing with the box they fill, in the drawing's pixels.
struct Boxed {
    text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// Height of letters in the drawing's pixels, and the width of one, a little generous.
const HEIGHT: f64 = 48.0;
const LETTER: f64 = 0.56 * HEIGHT;

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    Some(&tag[start..start + tag[start..].find('"')?])
}

fn boxes(svg: &str) -> Vec<Boxed> {
    svg.split("<text").skip(1).map(boxed).collect()
}

fn boxed(rest: &str) -> Boxed {
    let (tag, body) = rest.split_once('>').unwrap();
    let text = body.split("</text").next().unwrap().trim().to_string();
    let at = |name| attribute(tag, name).unwrap().parse::<f64>().unwrap();
    let (x, y) = (at("x"), at("y"));
    let width = LETTER * text.chars().count() as f64;
    let left = match attribute(tag, "text-anchor") {
        Some("middle") => x - width / 2.0,
        Some("end") => x - width,
        _ => x,
    };
    // where the letters stand: by their own height, or by half of it for an x
    let lift = attribute(tag, "dy").map_or(0.0, |dy| {
        let (number, unit) = dy.split_at(dy.find(char::is_alphabetic).unwrap());
        let height = if unit == "em" { HEIGHT } else { 0.5 * HEIGHT };
        number.parse::<f64>().unwrap() * height
    });
    let foot = y + lift;
    Boxed {
        text,
        left,
        right: left + width,
        top: foot - 0.76 * HEIGHT,
        bottom: foot + 0.2 * HEIGHT,
    }
}

fn size(svg: &str) -> (f64, f64) {
    let open = &svg[..svg.find('>').unwrap()];
    let numbers = attribute(open, "viewBox").unwrap().split(' ');
    let numbers: Vec<f64> = numbers.map(|n| n.parse().unwrap()).collect();
    (numbers[2], numbers[3])
}

/// No words over other words, none outside the frame.
fn stands_apart(svg: &str, name: &str) {
    let (wide, high) = size(svg);
    let boxes = boxes(svg);
    assert!(boxes.len() > 4, "{name}");
    for (i, one) in boxes.iter().enumerate() {
        let inside = one.left >= 0.0 && one.right <= wide && one.top >= 0.0 && one.bottom <= high;
        assert!(inside, "{name}: \"{}\" leaves {wide} x {high}", one.text);
        for other in &boxes[i + 1..] {
            let across = one.left < other.right && other.left < one.right;
            let down = one.top + 6.0 < other.bottom && other.top + 6.0 < one.bottom;
            assert!(
                !(across && down),
                "{name}: \"{}\" over \"{}\"",
                one.text,
                other.text
            );
        }
    }
}

#[test]
fn lost_mass_against_time_is_drawn_without_overlap() {
    let shut_after = Valves::ShutAfter(guessed(60.0));
    let cases = [
        ("shut", escape(Valves::Shut, Ended::Silent)),
        ("shut after", escape(shut_after, Ended::Silent)),
        ("open", escape(Valves::Open, Ended::Tightened)),
        ("small hole", tightened()),
        (
            "no time",
            Escape {
                hiss: None,
                ..tightened()
            },
        ),
    ];
    for (name, escape) in cases {
        let figure = LostMass::of(&escape, UnitSystem::Us).unwrap();
        for width in [Width::Wide, Width::Narrow] {
            let svg = lost_mass::draw(&figure, width, "lost").unwrap();
            stands_apart(&svg, name);
            assert!(svg.contains("minutes ") && svg.contains("at most"));
        }
    }
}

#[test]
fn lost_mass_rises_with_time_and_meets_the_stated_interval() {
    let escape = tightened();
    let figure = LostMass::of(&escape, UnitSystem::Si).unwrap();
    assert!(figure.low.is_sorted() && figure.high.is_sorted());
    let pairs = figure.low.iter().zip(&figure.high);
    assert!(
        pairs
            .into_iter()
            .all(|(low, high)| low <= high && *high <= figure.there)
    );
    let found = lost(&escape).unwrap();
    let stated = figure.stated.unwrap();
    assert_eq!(figure.unit, "kg");
    assert!((stated.low - found.low.si()).abs() < 1e-9);
    assert!((stated.high - found.high.si()).abs() < 1e-9);
    assert!(
        stated
            .words
            .starts_with("4 min by feeling, half to twice: "),
        "{}",
        stated.words
    );
}

#[test]
fn the_mass_inside_is_drawn_without_overlap() {
    let readings = Shown::Share {
        share: Fraction::from_si(0.93),
        reading: Fraction::from_si(0.05),
        model: Fraction::from_si(0.1),
        above_zero: 9.0,
    };
    let mut weighed = evidence(vec![incident()], vec![readings]);
    weighed.recovered = Some(near(Mass::from_si(2.7), Mass::from_si(0.01)));
    let cases = [
        ("nameplate alone", evidence(vec![], vec![]), 2),
        ("usual", evidence(vec![incident()], vec![readings]), 4),
        (
            "censored",
            evidence(vec![incident(), incident()], vec![no_subcooling()]),
            5,
        ),
        ("weighed", weighed, 5),
    ];
    for (name, evidence, rows) in cases {
        let joined = joined(&evidence).unwrap();
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let figure = ChargeInterval::of(&evidence, &joined, units);
            assert_eq!(figure.rows.len(), rows, "{name}");
            for width in [Width::Wide, Width::Narrow] {
                let svg = charge_interval::draw(&figure, width, "charge").unwrap();
                stands_apart(&svg, name);
                assert!(svg.contains("all together") && svg.contains("belongs in"));
            }
        }
    }
}

#[test]
fn no_subcooling_leaves_the_low_end_open_and_a_weighing_replaces_the_rest() {
    let mut evidence = evidence(vec![incident()], vec![no_subcooling()]);
    let figure = ChargeInterval::of(&evidence, &joined(&evidence).unwrap(), UnitSystem::Us);
    let readings = &figure.rows[2];
    assert!(readings.open && readings.estimate.is_none() && readings.low == 0.0);
    assert!(readings.said.ends_with("or far less"), "{}", readings.said);
    evidence.recovered = Some(near(Mass::from_si(2.7), Mass::from_si(0.01)));
    let figure = ChargeInterval::of(&evidence, &joined(&evidence).unwrap(), UnitSystem::Us);
    let replaced: Vec<bool> = figure.rows.iter().map(|row| row.replaced).collect();
    assert_eq!(replaced, [true, true, true, false, false]);
    assert!(figure.summary().contains("(replaced)"));
}

#[test]
fn what_the_figures_of_charge_cannot_draw_is_said() {
    let evidence = evidence(vec![], vec![]);
    let mut figure = ChargeInterval::of(&evidence, &joined(&evidence).unwrap(), UnitSystem::Us);
    figure.rows.clear();
    assert_eq!(
        charge_interval::draw(&figure, Width::Wide, "c")
            .unwrap_err()
            .to_string(),
        "the charge interval figure has no complete reading to draw; give at least two with all their columns"
    );
    let mut lost = LostMass::of(&tightened(), UnitSystem::Us).unwrap();
    lost.high.pop();
    assert_eq!(
        lost_mass::draw(&lost, Width::Wide, "l")
            .unwrap_err()
            .to_string(),
        "the lost mass figure got 25 times but 24 values of the most; give one value for each time"
    );
}

#[test]
fn the_report_shows_the_mass_inside_at_its_stage() {
    let evidence = evidence(vec![incident()], vec![]);
    let joined = joined(&evidence).unwrap();
    let sheet = Sheet {
        charge: Some(ChargeInterval::of(&evidence, &joined, UnitSystem::Us)),
        ..sheets::call()
    };
    let page = html::report(&sheet).unwrap();
    let stage = page.find("id=\"charge\"").unwrap();
    let figure = page.find("charge-wide-title").unwrap();
    assert!(figure > stage && page.contains("charge-narrow-title"));
    assert!(page.contains("Nameplate and weighed in: 6.55 lb"));
}
