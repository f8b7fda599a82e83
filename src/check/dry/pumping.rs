//! A pump-down as logged: how fast it went, where it lingered, what was switched, where the pump was shut off.
//!
//! It judges nothing: a pump-down proves neither dry nor tight, the vacuum rise after it does.

use crate::fluid::water::{self, Phase};
use crate::quantity::{PressureAbs, Quantity, Temperature, Volume, VolumeFlow, unit};
use crate::source::SourceId;

/// Where the method comes from.
pub const SOURCE: SourceId = SourceId::PumpLog;

/// A log of the gauge while the pump ran, and of what came after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pumping<'a> {
    /// Minutes, increasing.
    pub minutes: &'a [f64],
    /// Absolute pressures.
    pub pressure: &'a [PressureAbs],
}

/// What a pump-down log shows.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpLog {
    /// When the pressure began to fall, minutes.
    pub began: f64,
    /// When the pump was shut off or the valve to it closed, if the pressure rises from there to the end.
    pub shut_off: Option<f64>,
    /// The deepest reading while it ran.
    pub deepest: (f64, PressureAbs),
    /// From one power of ten to the next, falling.
    pub stretches: Vec<Stretch>,
    /// Where it lingered.
    pub lingers: Option<Linger>,
    /// Where something was switched: sudden falls after slow ones, and rises.
    pub steps: Vec<Step>,
}

/// The way from one pressure to a lower one, without lingering counted apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// From.
    pub from: PressureAbs,
    /// To.
    pub to: PressureAbs,
    /// Minutes it took: as it crossed between readings, the fewest and the most by the readings around.
    pub minutes: [f64; 3],
    /// Whether a step lies in it, or it lingers in it: it then says nothing of one way to the pump.
    pub broken: bool,
}

/// A pressure that hardly falls while the pump runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linger {
    /// From, minutes.
    pub from: f64,
    /// To, minutes.
    pub to: f64,
    /// Its level.
    pub level: PressureAbs,
    /// At which water, or ice, boils at that level.
    pub water: Option<(Temperature, Phase)>,
    /// Whether it fell on after that: what gave off vapour is gone then, at least from there.
    pub fell_after: bool,
}

/// A sudden change of pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// When it began, minutes.
    pub minutes: f64,
    /// When it ended.
    pub until: f64,
    /// From.
    pub from: PressureAbs,
    /// To.
    pub to: PressureAbs,
}

/// Why a log tells of no pump-down.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PumpingError {
    /// Too few readings.
    #[error(
        "{readings} readings while the pump ran: a pump-down is read from {FEWEST} or more; log it more often, or from its start"
    )]
    Few {
        /// How many.
        readings: usize,
    },
    /// Nothing falls.
    #[error("the pressure falls from {:.0} to {:.0} micron at most: that is no pump-down; give the log of the pump running, and the isolated part to lineproof dry", from.in_unit(unit::MICRON), to.in_unit(unit::MICRON))]
    NoFall {
        /// The highest reading.
        from: PressureAbs,
        /// The lowest after it.
        to: PressureAbs,
    },
}

/// Fewer readings than this say nothing.
const FEWEST: usize = 8;
/// It lingers where it falls slower than this power of the time.
const LINGERS: f64 = 0.15;
/// For as long as this, in times of the time so far.
const LONG: f64 = 1.4;
/// A step falls so many times as fast as before.
const SUDDEN: f64 = 10.0;
/// And takes at least this share away.
const TAKES: f64 = 1.0 / 3.0;

/// Reads a pump-down log.
///
/// It begins where the pressure last stood within a tenth of its highest; the pump was shut off at the lowest reading if
/// the pressure rises by a tenth or more from there to the end. Nothing is fitted across a step.
///
/// Range: 8 readings or more. Source: [`SOURCE`].
pub fn read(log: &Pumping) -> Result<PumpLog, PumpingError> {
    let p: Vec<f64> = log.pressure.iter().map(|p| p.si()).collect();
    let few = |readings| PumpingError::Few { readings };
    let highest = p.iter().copied().fold(f64::MIN, f64::max);
    let peak = p.iter().position(|v| *v == highest).ok_or(few(0))?;
    let least = p[peak..].iter().copied().fold(f64::MAX, f64::min);
    // a gauge's last digit rests at the bottom for a while: the pump ran till the end of that
    let at_bottom = |i: &usize| p[*i] <= 1.01 * least;
    let lowest = (peak..p.len()).rev().find(at_bottom).unwrap_or(peak);
    if p[lowest] > 0.5 * highest {
        return Err(PumpingError::NoFall {
            from: PressureAbs::from_si(highest),
            to: PressureAbs::from_si(p[lowest]),
        });
    }
    // the last one near the top before it goes down for good
    let begin = (0..lowest)
        .rev()
        .find(|i| p[*i] > 0.9 * highest)
        .unwrap_or(peak);
    if lowest - begin + 1 < FEWEST {
        return Err(few(lowest - begin + 1));
    }
    let rises = p.len() - lowest > 3 && p[p.len() - 1] > 1.1 * p[lowest];
    let t = &log.minutes[begin..=lowest];
    let p = &p[begin..=lowest];
    let lingers = linger(t, p);
    let steps = steps(t, p, lingers.as_ref());
    Ok(PumpLog {
        began: t[0],
        shut_off: rises.then(|| t[t.len() - 1]),
        deepest: (t[t.len() - 1], PressureAbs::from_si(p[p.len() - 1])),
        stretches: stretches(t, p, &steps, lingers.as_ref()),
        lingers,
        steps,
    })
}

/// The stretches between powers of ten in micron that the log crosses, with the way to its last reading.
fn stretches(t: &[f64], p: &[f64], steps: &[Step], lingers: Option<&Linger>) -> Vec<Stretch> {
    let last = p[p.len() - 1];
    let pascal = |micron: f64| PressureAbs::of(micron, unit::MICRON).si();
    let mut levels: Vec<f64> = [100_000.0, 10_000.0, 1_000.0, 500.0, 100.0, 10.0, 1.0]
        .map(pascal)
        .into_iter()
        .filter(|level| *level < p[0] && *level >= last)
        .collect();
    levels.dedup();
    levels
        .windows(2)
        .filter_map(|pair| {
            let (a, b) = (crossing(t, p, pair[0])?, crossing(t, p, pair[1])?);
            let during = |from: f64, to: f64| from < b[2] && to > a[1];
            let broken = steps.iter().any(|s| during(s.minutes, s.until))
                || lingers.is_some_and(|l| during(l.from, l.to));
            Some(Stretch {
                from: PressureAbs::from_si(pair[0]),
                to: PressureAbs::from_si(pair[1]),
                minutes: [b[0] - a[0], (b[1] - a[2]).max(0.0), b[2] - a[1]],
                broken,
            })
        })
        .collect()
}

/// When a level was first undercut: between two readings straight in ln p, and these two.
fn crossing(t: &[f64], p: &[f64], level: f64) -> Option<[f64; 3]> {
    let after = p.iter().position(|v| *v <= level)?;
    let before = after.checked_sub(1)?;
    let share = (p[before] / level).ln() / (p[before] / p[after]).ln();
    Some([
        t[before] + share * (t[after] - t[before]),
        t[before],
        t[after],
    ])
}

/// The longest stretch, in times of the time so far, where it hardly falls.
fn linger(t: &[f64], p: &[f64]) -> Option<Linger> {
    let since = |i: usize| t[i] - t[0];
    let start = |i: usize| since(i) > 0.0 && p[i] < 0.5 * p[0];
    let mut best: Option<(usize, usize)> = None;
    let ratio = |(i, j): (usize, usize)| since(j) / since(i);
    let mut j = 0;
    for i in (0..t.len()).filter(|i| start(*i)) {
        j = j.max(i);
        let flat = |j: usize| (p[i] / p[j]).ln() <= LINGERS * ratio((i, j)).ln();
        while j + 1 < t.len() && flat(j + 1) {
            j += 1;
        }
        let long = j >= i + 4 && ratio((i, j)) >= LONG && flat(j);
        if long && best.is_none_or(|b| ratio((i, j)) > ratio(b)) {
            best = Some((i, j));
        }
    }
    let (i, j) = best?;
    let mut inside: Vec<f64> = p[i..=j].to_vec();
    inside.sort_by(f64::total_cmp);
    let level = PressureAbs::from_si(inside[inside.len() / 2]);
    Some(Linger {
        from: t[i],
        to: t[j],
        level,
        water: water::boiling_temperature(level).ok(),
        fell_after: p[p.len() - 1] < 0.7 * p[j],
    })
}

/// Sudden falls after slow ones, and rises, while the pump ran.
fn steps(t: &[f64], p: &[f64], lingers: Option<&Linger>) -> Vec<Step> {
    const BEFORE: usize = 6;
    let rate = |i: usize, j: usize| (p[i] / p[j]).ln() / (t[j] - t[i]);
    let mut out = Vec::new();
    let mut i = BEFORE;
    while i + 1 < p.len() {
        let slow = rate(i - BEFORE, i).max(1e-9);
        let sudden = |k: usize| rate(k, k + 1) > SUDDEN * slow;
        let rise = |k: usize| p[k + 1] > 1.5 * p[k];
        let kind: &dyn Fn(usize) -> bool = if sudden(i) {
            &sudden
        } else if rise(i) {
            &rise
        } else {
            i += 1;
            continue;
        };
        let mut end = i + 1;
        while end + 1 < p.len() && kind(end) {
            end += 1;
        }
        // the end of a stretch that lingered is its own story
        let told = lingers.is_some_and(|l| {
            l.fell_after && t[i] >= l.from && t[i] <= l.to + 0.2 * (l.to - l.from)
        });
        let large = p[end] <= (1.0 - TAKES) * p[i] || p[end] > 1.5 * p[i];
        if large && !told {
            out.push(Step {
                minutes: t[i],
                until: t[end],
                from: PressureAbs::from_si(p[i]),
                to: PressureAbs::from_si(p[end]),
            });
            i = end + BEFORE;
        } else {
            i += 1;
        }
    }
    out
}

impl Stretch {
    /// The speed at the volume: `S = V ln(p1/p2)/t`, with the least and the most by the readings around; the most is none
    /// where both ends lie between the same two readings.
    ///
    /// It is what the pump took less what was given off, so never more than the way to the pump lets through.
    pub fn speed(&self, volume: Volume) -> (VolumeFlow, VolumeFlow, Option<VolumeFlow>) {
        let fall = (self.from.si() / self.to.si()).ln();
        let of = |minutes: f64| VolumeFlow::from_si(volume.si() * fall / (60.0 * minutes));
        let most = (self.minutes[1] > 0.0).then(|| of(self.minutes[1]));
        (of(self.minutes[0]), of(self.minutes[2]), most)
    }
}

impl Step {
    /// Whether the pressure rose.
    pub fn rose(&self) -> bool {
        self.to > self.from
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn log(minutes: &[f64], micron: &[f64]) -> Result<PumpLog, PumpingError> {
        let pressure: Vec<_> = micron
            .iter()
            .map(|m| PressureAbs::of(*m, unit::MICRON))
            .collect();
        read(&Pumping {
            minutes,
            pressure: &pressure,
        })
    }

    /// Air pumped at a constant speed, with water that boils at a level for a while.
    fn wet(level: f64, until: f64) -> (Vec<f64>, Vec<f64>) {
        let minutes: Vec<f64> = (0..240).map(|i| f64::from(i) / 12.0).collect();
        let speed = 2.0;
        let reaches = (760e3f64 / level).ln() / speed;
        let at = |t: f64| match t {
            t if t < reaches => 760e3 * (-speed * t).exp(),
            t if t < until => level,
            t => 20.0 + level * (-speed * (t - until)).exp(),
        };
        let micron = minutes.iter().map(|t| at(*t)).collect();
        (minutes, micron)
    }

    #[test]
    fn water_boiling_away_lingers_and_is_no_step() {
        let (minutes, micron) = wet(9_200.0, 12.0);
        let log = log(&minutes, &micron).unwrap();
        let lingers = log.lingers.expect("it lingers");
        // 9,200 micron is 10 degC
        let (temperature, phase) = lingers.water.unwrap();
        assert!((temperature.in_unit(unit::CELSIUS) - 10.0).abs() < 0.2);
        assert_eq!(phase, Phase::Liquid);
        assert!(
            lingers.fell_after && (lingers.to - 12.0).abs() < 0.2,
            "{lingers:?}"
        );
        assert!(log.steps.is_empty(), "{:?}", log.steps);
        assert_eq!(log.shut_off, None);
    }

    #[test]
    fn a_dry_pump_down_neither_lingers_nor_steps_and_its_speed_comes_back() {
        let minutes: Vec<f64> = (0..60).map(|i| f64::from(i) / 12.0).collect();
        let micron: Vec<f64> = minutes.iter().map(|t| 760e3 * (-2.0 * t).exp()).collect();
        let log = log(&minutes, &micron).unwrap();
        assert!(log.lingers.is_none() && log.steps.is_empty());
        for stretch in &log.stretches {
            let (speed, least, most) = stretch.speed(Volume::of(3.0, unit::LITRE));
            // 3 L and 2 a minute: 0.1 L/s
            assert!((speed.in_unit(unit::LITRE_PER_SECOND) - 0.1).abs() < 1e-3);
            assert!(least < speed && most.is_none_or(|m| m > speed));
        }
        assert_eq!(log.stretches.len(), 4);
    }

    #[test]
    fn the_rise_at_the_end_tells_where_the_pump_was_shut_off() {
        let mut minutes: Vec<f64> = (0..60).map(|i| f64::from(i) / 12.0).collect();
        let mut micron: Vec<f64> = minutes
            .iter()
            .map(|t| 100.0 + 760e3 * (-2.5 * t).exp())
            .collect();
        for i in 1..=30 {
            minutes.push(59.0 / 12.0 + f64::from(i) / 12.0);
            micron.push(102.0 + 3.0 * f64::from(i));
        }
        let log = log(&minutes, &micron).unwrap();
        assert!((log.shut_off.unwrap() - 59.0 / 12.0).abs() < 1e-9);
    }

    #[test]
    fn nitrogen_let_in_between_is_a_step_upwards() {
        let mut minutes = Vec::new();
        let mut micron = Vec::new();
        for sweep in 0..2 {
            for i in 0..40 {
                minutes.push(f64::from(sweep * 40 + i) / 6.0);
                micron.push(300.0 + 700e3 * (-1.5 * f64::from(i) / 6.0).exp());
            }
        }
        // the log of the second sweep is the one that is read, from its top
        let log = log(&minutes, &micron).unwrap();
        assert!((log.began - 40.0 / 6.0).abs() < 0.2, "{}", log.began);
    }

    #[test]
    fn what_is_no_pump_down_is_refused() {
        let minutes: Vec<f64> = (0..20).map(f64::from).collect();
        let rising: Vec<f64> = minutes.iter().map(|t| 300.0 + t).collect();
        let error = log(&minutes, &rising).unwrap_err().to_string();
        assert!(error.contains("that is no pump-down"), "{error}");
        let error = log(&minutes[..3], &[760e3, 5e3, 400.0])
            .unwrap_err()
            .to_string();
        assert!(
            error.starts_with("3 readings while the pump ran"),
            "{error}"
        );
        assert!(log(&[], &[]).is_err());
    }
}
