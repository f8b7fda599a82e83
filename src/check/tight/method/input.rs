//! What goes into the regression: readings, and what is assumed of the volume and the gauge.
use super::error::FitError;

/// How the pressure of the gas answers its temperature at constant volume: `kappa = (T / p) (dp / dT)`, linear in `T`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kappa {
    /// Value at `at_k`.
    pub value: f64,
    /// Temperature of `value`, K.
    pub at_k: f64,
    /// Change per kelvin, 1/K.
    pub per_k: f64,
}

impl Kappa {
    /// The same value at every temperature; 1 for an ideal gas.
    pub fn constant(value: f64) -> Self {
        Self {
            value,
            at_k: 293.15,
            per_k: 0.0,
        }
    }

    /// The straight line through two temperatures (K) and the values there.
    ///
    /// Both at the density of the test, so the second pressure is the first one warmed: taken at one pressure, kappa of
    /// nitrogen near 500 psig falls seven times too fast.
    pub fn through(low: (f64, f64), high: (f64, f64)) -> Self {
        Self {
            value: low.1,
            at_k: low.0,
            per_k: (high.1 - low.1) / (high.0 - low.0),
        }
    }

    /// The value at a temperature, K.
    pub fn at(&self, kelvin: f64) -> f64 {
        self.value + self.per_k * (kelvin - self.at_k)
    }

    /// `integral of kappa d ln T` between two temperatures, K.
    pub fn integral(&self, from_k: f64, to_k: f64) -> f64 {
        (self.value - self.per_k * self.at_k) * (to_k / from_k).ln() + self.per_k * (to_k - from_k)
    }
}

/// Readings of a closed volume; all columns as long as `hours`.
#[derive(Debug, Clone, Copy)]
pub struct Series<'a> {
    /// Times, h, increasing.
    pub hours: &'a [f64],
    /// ln of the absolute pressure in Pa.
    pub ln_p: &'a [f64],
    /// Thermometer outdoors, K.
    pub outdoor_k: Option<&'a [f64]>,
    /// Thermometer indoors, K.
    pub indoor_k: Option<&'a [f64]>,
    /// ln of the absolute pressure of a second volume known to be tight; it takes the place of the thermometers.
    pub witness_ln_p: Option<&'a [f64]>,
    /// Of the gas in the volume.
    pub kappa: Kappa,
}

/// Part of the volume that is outdoors, weighted with `1 / T`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Best value, 0 to 1.
    pub outdoors: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// Over how long thermometers are averaged before the readings may correct the share, h; 0 for not at all.
    ///
    /// What a thermometer does faster than that is draught and noise of its own. Left in, it is taken for a share that
    /// is not there, and on a day that only warms or only cools the loss pays for it.
    pub smoothed_h: f64,
}

/// The pressure gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// Smallest step that can be read, Pa.
    pub resolution_pa: f64,
    /// How far the zero may move per kelvin of the air around it, Pa/K (one standard deviation); 0 if it is compensated.
    pub drift_pa_per_k: f64,
}

/// Effects no column shows, as standard deviations; 0 leaves the term out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unseen {
    /// Gas warmer or colder than the wall at the start, K.
    pub start_k: f64,
    /// Cosine and sine of a day in gas no thermometer sees, mean over the whole volume, K.
    pub daily_wave_k: f64,
    /// Walls and insulation that settle over 2 to 8 h, K.
    pub settling_k: f64,
    /// Gas taken up over hours by oil in the volume, as a part of the pressure.
    pub dissolving: f64,
}

/// What is assumed beside the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumptions {
    /// Where the volume is.
    pub share: Share,
    /// What reads it.
    pub gauge: Gauge,
    /// What nobody sees.
    pub unseen: Unseen,
}

impl Share {
    /// Usual time of averaging, h.
    const SMOOTHED_H: f64 = 3.0;

    /// A share worked out from tube lengths: good to 0.15.
    pub fn stated(outdoors: f64) -> Self {
        Self {
            outdoors,
            sd: 0.15,
            smoothed_h: Self::SMOOTHED_H,
        }
    }

    /// Nobody knows: half and half, give or take 0.30.
    pub fn unknown() -> Self {
        Self {
            outdoors: 0.5,
            sd: 0.30,
            smoothed_h: Self::SMOOTHED_H,
        }
    }
}

impl Unseen {
    /// Smallest daily wave assumed on a usual day, K; that it may be far larger is one of the ways a test may have gone.
    pub const LEAST_DAILY_WAVE_K: f64 = 0.1;

    /// Only the start offset: the bare regression.
    pub fn start_only() -> Self {
        Self {
            start_k: 1.5,
            daily_wave_k: 0.0,
            settling_k: 0.0,
            dissolving: 0.0,
        }
    }

    /// For a volume of which a part of `unlogged_share` swings by `half_swing_k` where no thermometer hangs.
    pub fn of_field_test(unlogged_share: f64, half_swing_k: f64) -> Self {
        Self {
            start_k: 1.5,
            daily_wave_k: (unlogged_share * half_swing_k).max(Self::LEAST_DAILY_WAVE_K),
            settling_k: 0.3,
            dissolving: 0.0,
        }
    }

    /// A compressor with its oil is part of the volume: nitrogen goes into the oil for hours.
    ///
    /// A litre of oil takes up about 7 % of its own volume of nitrogen at the pressure of the test (from memory), next to
    /// about 5 L of gas: 1 %.
    pub fn with_compressor(self) -> Self {
        Self {
            dissolving: 0.01,
            ..self
        }
    }

    /// The same with another daily wave.
    pub fn with_daily_wave(self, daily_wave_k: f64) -> Self {
        Self {
            daily_wave_k,
            ..self
        }
    }
}

impl<'a> Series<'a> {
    /// Pressure alone.
    pub fn pressure_only(hours: &'a [f64], ln_p: &'a [f64], kappa: Kappa) -> Self {
        Self {
            hours,
            ln_p,
            outdoor_k: None,
            indoor_k: None,
            witness_ln_p: None,
            kappa,
        }
    }

    /// Length of the test, h.
    pub fn duration(&self) -> f64 {
        self.hours.last().unwrap_or(&0.0) - self.hours.first().unwrap_or(&0.0)
    }

    /// Mean absolute pressure, Pa.
    pub fn mean_pressure(&self) -> f64 {
        self.ln_p.iter().map(|ln_p| ln_p.exp()).sum::<f64>() / self.ln_p.len() as f64
    }

    /// Mean temperature, K; 293.15 K when none was logged.
    pub(super) fn mean_temperature(&self) -> f64 {
        let mean = |column: &[f64]| column.iter().sum::<f64>() / column.len() as f64;
        match (self.outdoor_k, self.indoor_k) {
            (Some(outdoor), Some(indoor)) => 0.5 * (mean(outdoor) + mean(indoor)),
            (Some(only), None) | (None, Some(only)) => mean(only),
            (None, None) => 293.15,
        }
    }

    /// How much ln p moves per kelvin of gas temperature, 1/K.
    pub(super) fn per_kelvin(&self) -> f64 {
        let kelvin = self.mean_temperature();
        self.kappa.at(kelvin) / kelvin
    }

    /// Averages of neighbouring readings, so that at most `most` are left.
    pub(super) fn thinned(&self, most: usize) -> OwnedSeries {
        let together = self.hours.len().div_ceil(most);
        let mean = |column: &[f64]| -> Vec<f64> {
            column
                .chunks(together)
                .map(|chunk| chunk.iter().sum::<f64>() / chunk.len() as f64)
                .collect()
        };
        self.mapped(mean)
    }

    pub(super) fn without(&self, positions: &[usize]) -> OwnedSeries {
        let keep = |column: &[f64]| -> Vec<f64> {
            let mut left_out = positions.iter().peekable();
            column
                .iter()
                .enumerate()
                .filter(|(position, _)| left_out.next_if_eq(&position).is_none())
                .map(|(_, value)| *value)
                .collect()
        };
        self.mapped(keep)
    }

    fn mapped(&self, change: impl Fn(&[f64]) -> Vec<f64>) -> OwnedSeries {
        OwnedSeries {
            hours: change(self.hours),
            ln_p: change(self.ln_p),
            outdoor_k: self.outdoor_k.map(&change),
            indoor_k: self.indoor_k.map(&change),
            witness_ln_p: self.witness_ln_p.map(&change),
            kappa: self.kappa,
        }
    }
}

/// A series with readings taken out or averaged.
pub(super) struct OwnedSeries {
    hours: Vec<f64>,
    ln_p: Vec<f64>,
    outdoor_k: Option<Vec<f64>>,
    indoor_k: Option<Vec<f64>>,
    witness_ln_p: Option<Vec<f64>>,
    kappa: Kappa,
}

impl OwnedSeries {
    pub(super) fn as_series(&self) -> Series<'_> {
        Series {
            hours: &self.hours,
            ln_p: &self.ln_p,
            outdoor_k: self.outdoor_k.as_deref(),
            indoor_k: self.indoor_k.as_deref(),
            witness_ln_p: self.witness_ln_p.as_deref(),
            kappa: self.kappa,
        }
    }
}

pub(super) fn check(series: &Series, assumptions: &Assumptions) -> Result<(), FitError> {
    let count = series.hours.len();
    if count < 2 {
        return Err(FitError::TooFew { count });
    }
    // 1 mPa to 1 GPa in ln: anything else is a column that is not ln of a pressure in Pa
    let columns = [
        (
            "ln of the pressure in Pa",
            "",
            Some(series.ln_p),
            -7.0,
            21.0,
        ),
        ("outdoor temperature", "K", series.outdoor_k, 200.0, 400.0),
        ("indoor temperature", "K", series.indoor_k, 200.0, 400.0),
        (
            "ln of the witness pressure in Pa",
            "",
            series.witness_ln_p,
            -7.0,
            21.0,
        ),
        ("time", "h", Some(series.hours), -1e6, 1e6),
    ];
    for (what, unit, column, low, high) in columns {
        let Some(column) = column else { continue };
        if column.len() != count {
            return Err(FitError::Lengths {
                column: what,
                found: column.len(),
                expected: count,
            });
        }
        if let Some(index) = column
            .iter()
            .position(|value| !(low..=high).contains(value))
        {
            return Err(FitError::OutOfRange {
                what,
                value: column[index],
                unit,
                low,
                high,
                position: index + 1,
            });
        }
    }
    if let Some(index) = series.hours.windows(2).position(|pair| pair[1] <= pair[0]) {
        return Err(FitError::NotIncreasing {
            position: index + 2,
            hours: series.hours[index + 1],
            before: series.hours[index],
        });
    }
    let unseen = assumptions.unseen;
    let assumed = [
        (
            "the share of the volume outdoors",
            assumptions.share.outdoors,
            0.0,
            1.0,
        ),
        (
            "the standard deviation of that share",
            assumptions.share.sd,
            0.0,
            1.0,
        ),
        (
            "the averaging of the thermometers in h",
            assumptions.share.smoothed_h,
            0.0,
            24.0,
        ),
        (
            "the gauge resolution in Pa",
            assumptions.gauge.resolution_pa,
            1e-6,
            1e7,
        ),
        (
            "the gauge drift in Pa per K",
            assumptions.gauge.drift_pa_per_k,
            0.0,
            1e6,
        ),
        ("the start offset in K", unseen.start_k, 0.0, 50.0),
        ("the unseen daily wave in K", unseen.daily_wave_k, 0.0, 50.0),
        ("the slow settling in K", unseen.settling_k, 0.0, 50.0),
        (
            "the part of the gas that can dissolve",
            unseen.dissolving,
            0.0,
            1.0,
        ),
    ];
    match assumed
        .into_iter()
        .find(|(_, value, low, high)| !(low..=high).contains(&value))
    {
        Some((what, value, low, high)) => Err(FitError::Assumption {
            what,
            value,
            low,
            high,
        }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_integral_of_kappa_is_its_numerical_sum() {
        let kappa = Kappa::through((283.15, 1.09353), (303.15, 1.07887));
        let steps = 20_000;
        let width = 20.0 / steps as f64;
        let sum: f64 = (0..steps)
            .map(|i| 283.15 + (i as f64 + 0.5) * width)
            .map(|kelvin| kappa.at(kelvin) / kelvin * width)
            .sum();
        assert!((kappa.integral(283.15, 303.15) - sum).abs() < 1e-11);
    }
}
