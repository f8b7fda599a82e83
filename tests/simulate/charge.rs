//! Simulated incidents and machines with known truth.
//!
//! Nothing of the method is used to make them: vapour leaves by the ideal gas formula on real densities, liquid between
//! the equilibrium rate model (Fauske) and an orifice without flashing, walls hold heat and the air gives some, people
//! misjudge times, temperatures and volumes, and hear a hiss die sooner or later.

use lineproof::check::Segment;
use lineproof::check::charge::joined::{Evidence, joined};
use lineproof::check::charge::lost::{
    Circuit, Ended, Escape, Holds, Lost, Part, Passed, Seen, Timed, TimedBy, Valves, lost,
};
use lineproof::check::charge::running::{Machine, Moment, Reading, Shown, Speed, charge_share};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::*;

use crate::count;
use crate::random::Random;

const ATMOSPHERE: f64 = 101_325.0;

/// A volume with refrigerant and a hole, in SI.
struct Tank {
    saturation: &'static Saturation,
    volume: f64,
    mass: f64,
    kelvin: f64,
    air_kelvin: f64,
    /// Heat capacity of the walls, J/K.
    walls: f64,
    /// Heat from the air, W/K.
    warms: f64,
    /// Pressure of vapour alone follows its density with this power.
    power: f64,
    /// Density and pressure when the last liquid went.
    dry: Option<(f64, f64)>,
    /// Liquid reaches the hole while there is some.
    draws_liquid: bool,
    /// 0: flashes in equilibrium; 1: behind the hole.
    late: f64,
}

impl Tank {
    fn densities(&self) -> (f64, f64) {
        let at = Temperature::from_si(self.kelvin);
        let liquid = self.saturation.liquid_density(at).unwrap().si();
        (liquid, self.saturation.vapour_density(at).unwrap().si())
    }

    fn liquid(&self) -> f64 {
        let (liquid, vapour) = self.densities();
        let mass = (self.mass - vapour * self.volume) / (1.0 - vapour / liquid);
        mass.max(0.0)
    }

    fn pressure(&self) -> f64 {
        match self.dry {
            Some((density, pressure)) => {
                pressure * (self.mass / self.volume / density).powf(self.power)
            }
            None => {
                let at = Temperature::from_si(self.kelvin);
                self.saturation.dew_pressure(at).unwrap().si()
            }
        }
    }

    /// kg/(m2 s), through liquid or vapour.
    fn flux(&self, liquid: bool) -> f64 {
        let pressure = self.pressure();
        if pressure <= ATMOSPHERE {
            return 0.0;
        }
        let (rho_liquid, rho_vapour) = self.densities();
        if liquid {
            let at = |k: f64| {
                self.saturation
                    .liquid_enthalpy(Temperature::from_si(k))
                    .unwrap()
                    .si()
            };
            let heat = at(self.kelvin + 0.5) - at(self.kelvin - 0.5);
            let vapour = self
                .saturation
                .vapour_enthalpy(Temperature::from_si(self.kelvin));
            let latent = vapour.unwrap().si() - at(self.kelvin);
            let gain = 1.0 / rho_vapour - 1.0 / rho_liquid;
            let equilibrium = latent / gain / (self.kelvin * heat).sqrt();
            let orifice = 0.61 * (2.0 * rho_liquid * (pressure - ATMOSPHERE)).sqrt();
            return equilibrium.powf(1.0 - self.late) * orifice.powf(self.late);
        }
        let density = match self.dry {
            Some(_) => self.mass / self.volume,
            None => rho_vapour,
        };
        let k: f64 = 1.15;
        let critical = (2.0 / (k + 1.0)).powf(k / (k - 1.0));
        let ratio = (ATMOSPHERE / pressure).max(critical);
        let drive = ratio.powf(2.0 / k) - ratio.powf((k + 1.0) / k);
        (2.0 * k / (k - 1.0) * pressure * density * drive).sqrt()
    }

    /// Lets it flow for a time or until it is quieter than a pressure; gives the time it took.
    fn flow(&mut self, area: f64, seconds: f64, quiet: f64) -> f64 {
        let start = self.mass;
        let mut time = 0.0;
        while time < seconds && self.mass > 0.002 * start {
            if self.pressure() <= quiet {
                // cold liquid warms up again, and so may the hiss: it has gone silent for now
                break;
            }
            let liquid_left = self.liquid();
            let through_liquid = self.draws_liquid && liquid_left > 0.0;
            let rate = area * self.flux(through_liquid);
            if rate <= 0.0 {
                break;
            }
            let step = (0.004 * self.mass / rate).min(seconds - time).min(2.0);
            let out = rate * step;
            let (rho_liquid, rho_vapour) = self.densities();
            self.mass -= out;
            time += step;
            if self.dry.is_some() {
                continue;
            }
            let at = Temperature::from_si(self.kelvin);
            let h = [
                self.saturation.liquid_enthalpy(at),
                self.saturation.vapour_enthalpy(at),
            ];
            let latent = h[1].unwrap().si() - h[0].unwrap().si();
            // what leaves as vapour boils; what leaves as liquid is replaced by boiling
            let boils = if through_liquid {
                out * rho_vapour / rho_liquid
            } else {
                out
            };
            let heat = self.warms * (self.air_kelvin - self.kelvin) * step - boils * latent;
            let capacity = self.walls + 1500.0 * self.liquid() + 900.0 * self.mass;
            self.kelvin += heat / capacity;
            if self.liquid() <= 0.0 {
                self.dry = Some((self.mass / self.volume, self.pressure()));
            }
        }
        time
    }
}

fn known<Q: Quantity>(value: f64, u: f64) -> Measured<Q> {
    Measured {
        value: Q::from_si(value),
        standard_uncertainty: Q::Diff::from_si(u),
        origin: Origin::Assumed("simulated".into()),
    }
}

/// A time as somebody tells it.
fn told(random: &mut Random, seconds: f64) -> Timed {
    let by = random.pick(&[TimedBy::Guess, TimedBy::Guess, TimedBy::Clock]);
    let told = match by {
        TimedBy::Guess => seconds * random.normal(0.65).exp(),
        TimedBy::Clock => seconds * random.normal(0.08).exp() + random.normal(0.5),
    };
    Timed {
        duration: Duration::from_si(told.max(0.5)),
        by,
    }
}

/// An incident with what it cost.
struct Incident {
    escape: Escape,
    lost: f64,
}

fn incident(random: &mut Random, charge: f64) -> Incident {
    let refrigerant = random.pick(&[
        Refrigerant::R410A,
        Refrigerant::R32,
        Refrigerant::R454B,
        Refrigerant::R22,
        Refrigerant::R290,
    ]);
    let saturation = Saturation::of(refrigerant);
    let celsius = random.between(-5.0, 38.0);
    let kelvin = 273.15 + celsius;
    let at = Temperature::from_si(kelvin);
    let dew = saturation.dew_pressure(at).unwrap().si();
    let vapour = saturation.vapour_density(at).unwrap().si();
    let liquid = saturation.liquid_density(at).unwrap().si();
    let area = random.log_between(0.01e-6, 5e-6);
    let quiet = ATMOSPHERE * random.between(1.03, 1.4);
    let late = random.between(0.0, 1.0);
    let draws_liquid = random.pick(&[true, false]);
    let tank = |volume: f64, mass: f64, random: &mut Random| Tank {
        saturation,
        volume,
        mass,
        kelvin,
        air_kelvin: kelvin,
        walls: random.between(0.0, 2.0) * 400.0 * volume / 1e-3,
        warms: random.log_between(0.3, 30.0) * volume / 1e-3,
        power: random.between(1.0, 1.12),
        dry: (mass <= vapour * volume).then_some((mass / volume, dew)),
        draws_liquid,
        late,
    };
    // the lines: vapour, or one of them full of liquid
    let litres = random.between(0.4, 2.5) * 1e-3;
    let full = random.between(0.82, 1.0);
    let fill = random.pick(&[0.0, 0.0, full]);
    let liquid_litres = if fill > 0.0 { 0.25 * litres } else { 0.0 };
    let inside =
        liquid_litres * (fill * liquid + (1.0 - fill) * vapour) + (litres - liquid_litres) * vapour;
    let mut lines = tank(litres, inside.min(0.9 * charge), random);
    let mut circuit = tank(charge * random.between(1.5, 2.7) * 1e-3, charge, random);

    let mut part = |segment, volume: f64, holds: Holds| Part {
        segment,
        volume: known(volume * (1.0 + random.normal(0.08)), 0.1 * volume),
        holds,
    };
    let mut isolated = vec![part(
        Segment::VapourLine,
        litres - liquid_litres,
        Holds::Vapour,
    )];
    if fill > 0.0 {
        isolated.push(part(Segment::LiquidLine, liquid_litres, Holds::Liquid));
    }
    if random.between(0.0, 1.0) < 0.2 {
        isolated[0].holds = Holds::NotKnown;
    }

    let fed = random.log_between(1.0, 200.0);
    let kind = random.pick(&[0, 1, 2, 3]);
    let before = [lines.mass, circuit.mass];
    let (valves, hiss, ended) = match kind {
        // shut: dies by itself
        0 => {
            let time = lines.flow(area, 1e6, quiet);
            (Valves::Shut, time, Ended::Silent)
        }
        // shut: tightened
        1 => {
            let time = lines.flow(area, fed, quiet);
            if time < fed {
                (Valves::Shut, time, Ended::Silent)
            } else {
                (Valves::Shut, time, Ended::Tightened)
            }
        }
        // open: tightened, or all gone
        2 => {
            let time = circuit.flow(area, fed, quiet);
            if time < fed {
                (Valves::Open, time, Ended::Silent)
            } else {
                (Valves::Open, time, Ended::Tightened)
            }
        }
        // open, then shut, then it dies
        _ => {
            let time = circuit.flow(area, fed, quiet);
            // the lines hold what they held before, unless the circuit ran nearly dry
            let missing = (lines.mass - circuit.mass).max(0.0);
            lines.mass -= missing;
            let dies = lines.flow(area, 1e6, quiet);
            lines.mass += missing;
            (Valves::ShutAfter(told(random, time)), dies, Ended::Silent)
        }
    };
    // silence may have been left alone: then all above the atmosphere goes in the end
    if ended == Ended::Silent && kind != 2 && random.between(0.0, 1.0) < 0.3 {
        let left = litres * vapour * ATMOSPHERE / dew;
        lines.mass = lines.mass.min(left.max(0.0));
    }
    let lost = (before[0] - lines.mass) + (before[1] - circuit.mass);
    let drew = draws_liquid && (fill > 0.0 || kind >= 2);
    let says = random.between(0.0, 1.0);
    let passed = match (drew, says < 0.5) {
        (_, false) => Passed::NotKnown,
        (true, true) => Passed::Liquid,
        (false, true) => Passed::Vapour,
    };
    let seen = if drew {
        vec![Seen::Liquid]
    } else {
        vec![Seen::Frost]
    };
    let escape = Escape {
        refrigerant,
        temperature: known(kelvin + random.normal(2.0), 2.0),
        around: PressureAbs::from_si(ATMOSPHERE),
        circuit: Circuit::of(known(charge * (1.0 + random.normal(0.01)), 0.01 * charge)),
        isolated,
        valves,
        hiss: (random.between(0.0, 1.0) < 0.9).then(|| told(random, hiss)),
        ended,
        passed,
        seen: if random.between(0.0, 1.0) < 0.5 {
            seen
        } else {
            Vec::new()
        },
        hole: None,
    };
    Incident {
        escape,
        lost: lost.min(charge),
    }
}

fn holds(found: &Lost, truth: f64) -> bool {
    (found.low.si()..=found.high.si()).contains(&truth)
}

#[test]
fn what_an_incident_cost_lies_inside() {
    let mut random = Random::seeded(61);
    let runs = count(200);
    let mut inside = 0;
    let mut below = 0;
    let mut widths = Vec::new();
    let started = std::time::Instant::now();
    let mut spent = std::time::Duration::ZERO;
    for _ in 0..runs {
        let charge = random.log_between(0.8, 5.0);
        let case = incident(&mut random, charge);
        let asked = std::time::Instant::now();
        let found = lost(&case.escape).unwrap();
        spent += asked.elapsed();
        let is = holds(&found, case.lost);
        inside += usize::from(is);
        below += usize::from(case.lost < found.low.si());
        widths.push((found.high - found.low).si() / charge);
        if !is && std::env::var_os("LINEPROOF_SHOW").is_some() {
            println!(
                "outside: {:.1} g of {:.0} g, {:.1} to {:.1}: {:?}",
                1e3 * case.lost,
                1e3 * charge,
                1e3 * found.low.si(),
                1e3 * found.high.si(),
                case.escape
            );
        }
    }
    widths.sort_by(f64::total_cmp);
    let at = |share: f64| widths[(share * (runs - 1) as f64) as usize];
    println!(
        "{runs} incidents: inside {inside}, below the low end {below}; width in shares of the charge: quartiles {:.3} {:.3} {:.3}; {:.1} ms each ({:.1} s in all)",
        at(0.25),
        at(0.5),
        at(0.75),
        1e3 * spent.as_secs_f64() / runs as f64,
        started.elapsed().as_secs_f64()
    );
    assert!(inside as f64 >= 0.95 * runs as f64, "{inside} of {runs}");
    // an interval that always says everything would hold too
    assert!(
        at(0.25) < 0.1,
        "a quarter is narrower than {:.2} of the charge",
        at(0.25)
    );
}

/// A machine whose readings follow its charge in its own way.
struct Truth {
    rated: (f64, f64),
    per_charge: f64,
    superheat_weight: f64,
    offset: f64,
}

impl Truth {
    fn machine(random: &mut Random) -> Truth {
        let subcooling = random.between(3.5, 8.0);
        Truth {
            rated: (subcooling, random.between(4.0, 9.0)),
            per_charge: subcooling / (0.25 * 0.73) * random.normal(0.3).exp(),
            superheat_weight: 0.4 * random.normal(0.3).exp(),
            offset: random.normal(0.05),
        }
    }

    fn read(&self, random: &mut Random, share: f64) -> Reading {
        let superheat = (self.rated.1 + random.normal(2.0)).max(1.5);
        let curved = (share - 1.0) + 0.15 * (share - 1.0) * (share - 1.0);
        let subcooling = self.rated.0
            + self.per_charge * (curved + self.offset)
            + self.superheat_weight * (superheat - self.rated.1);
        let noise = 0.6;
        Reading {
            subcooling: known(subcooling.max(0.0) + random.normal(noise), noise),
            superheat: known(superheat + random.normal(noise), noise),
        }
    }
}

#[test]
fn the_charge_lies_inside() {
    let moment = Moment {
        accumulator: false,
        speed: Speed::Fixed,
        two_phase_liquid_line: false,
    };
    let mut random = Random::seeded(62);
    let runs = count(200);
    let (mut inside, mut none, mut none_inside, mut narrowed) = (0, 0, 0, 0);
    let mut spent = std::time::Duration::ZERO;
    let mut widths = Vec::new();
    for _ in 0..runs {
        let due = random.log_between(0.8, 5.0);
        let before = due * (1.0 + random.normal(0.02));
        let case = incident(&mut random, before);
        let happened = random.between(0.0, 1.0) < 0.8;
        let (mass, losses) = if happened {
            (before - case.lost, vec![lost(&case.escape).unwrap()])
        } else {
            (before, Vec::new())
        };
        let share = mass / due;
        let truth = Truth::machine(&mut random);
        let kelvin = TemperatureDiff::from_si;
        let machine = Machine::rated(kelvin(truth.rated.0), kelvin(truth.rated.1));
        let readings = random.pick(&[0, 1, 1, 2, 4]);
        let running: Vec<Shown> = (0..readings)
            .map(|_| charge_share(&machine, &truth.read(&mut random, share), moment))
            .collect();
        let censored = running.iter().any(|s| matches!(s, Shown::AtMost { .. }));
        let recovered = (random.between(0.0, 1.0) < 0.1)
            .then(|| known(mass + random.normal(0.01 * due), 0.01 * due));
        let mut evidence = Evidence {
            due: Mass::from_si(due),
            before: known(due, 0.02 * due),
            lost: losses,
            running,
            recovered,
        };
        let asked = std::time::Instant::now();
        let found = joined(&evidence).unwrap();
        spent += asked.elapsed();
        let is = (found.low95.si()..=found.high95.si()).contains(&share);
        inside += usize::from(is);
        none += usize::from(censored);
        none_inside += usize::from(censored && is);
        widths.push(found.high95.si() - found.low95.si());
        evidence.running.clear();
        let without = joined(&evidence).unwrap();
        let width = |j: &lineproof::check::charge::joined::Joined| j.high95.si() - j.low95.si();
        narrowed += usize::from(readings > 0 && width(&found) < 0.9 * width(&without));
        if !is && std::env::var_os("LINEPROOF_SHOW").is_some() {
            println!("outside: {share:.3}, {found:?}, {:?}", evidence.lost);
        }
    }
    widths.sort_by(f64::total_cmp);
    println!(
        "{runs} charges: inside {inside}; without subcooling {none_inside} of {none}; readings narrowed {narrowed}; median width {:.3}; {:.2} ms each",
        widths[runs / 2],
        1e3 * spent.as_secs_f64() / runs as f64
    );
    assert!(inside as f64 >= 0.93 * runs as f64, "{inside} of {runs}");
    assert!(
        none * 20 >= runs && none_inside as f64 >= 0.93 * none as f64,
        "{none_inside} of {none}"
    );
}
