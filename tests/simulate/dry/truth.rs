//! What is in the lines, and what the gauge shows of it.
use crate::random::Random;

/// What raises the pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Flat,
    Leak,
    Moisture,
    Both,
}

impl Kind {
    pub const ALL: [Kind; 4] = [Kind::Flat, Kind::Leak, Kind::Moisture, Kind::Both];
}

/// One test as it really is.
#[derive(Debug, Clone)]
pub struct Truth {
    pub kind: Kind,
    pub hold_min: f64,
    pub step_min: f64,
    pub start: f64,
    /// Steady leak, micron/min.
    pub leak: f64,
    /// Vapour levels off this much higher, micron, and how fast, min.
    pub vapour: f64,
    pub tau_min: f64,
    /// Share of the vapour that comes five times more slowly.
    pub slow: f64,
    pub wander: f64,
    pub wander_min: f64,
    pub resolution: f64,
}

impl Truth {
    pub fn drawn(random: &mut Random, kind: Kind) -> Self {
        let leaks = matches!(kind, Kind::Leak | Kind::Both);
        let wet = matches!(kind, Kind::Moisture | Kind::Both);
        let leak = random.log_between(2.0, 100.0);
        let vapour = random.log_between(200.0, 4000.0);
        let slow = random.pick(&[0.0, 0.0, 0.5]);
        Truth {
            kind,
            hold_min: random.between(10.0, 60.0),
            step_min: random.pick(&[1.0 / 6.0, 0.25, 0.5, 1.0]),
            start: random.log_between(100.0, 500.0),
            leak: if leaks { leak } else { 0.0 },
            vapour: if wet { vapour } else { 0.0 },
            tau_min: random.log_between(1.0, 30.0),
            slow: if wet { slow } else { 0.0 },
            wander: random.log_between(0.001, 0.008),
            wander_min: random.log_between(1.0, 10.0),
            resolution: random.pick(&[0.1, 1.0, 1.0, 5.0]),
        }
    }

    /// The hold was three of its time constants or longer.
    pub fn waited(&self) -> bool {
        self.hold_min >= 3.0 * self.tau_min
    }

    /// Minutes and micron as read.
    pub fn log(&self, random: &mut Random) -> (Vec<f64>, Vec<f64>) {
        let count = (self.hold_min / self.step_min) as usize + 1;
        let gauge = random.wander(count, self.step_min, self.wander, self.wander_min);
        let minutes: Vec<f64> = (0..count).map(|i| self.step_min * i as f64).collect();
        let micron = minutes
            .iter()
            .zip(gauge)
            .map(|(t, wander)| self.shown(*t, wander))
            .collect();
        (minutes, micron)
    }

    fn shown(&self, t: f64, wander: f64) -> f64 {
        let given_off = |tau: f64| -(-t / tau).exp_m1();
        let vapour =
            (1.0 - self.slow) * given_off(self.tau_min) + self.slow * given_off(5.0 * self.tau_min);
        let micron = (self.start + self.leak * t + self.vapour * vapour) * (1.0 + wander);
        (micron / self.resolution).round() * self.resolution
    }
}
