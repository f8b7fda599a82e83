//! What stood under pressure: its volume, its ratings, and the part where no thermometer hangs.

use super::InputError;
use super::holds::reaches_the_outdoor_unit;
use super::joints::tube;
use crate::check::Segment;
use crate::check::tight::Unlogged;
use crate::physics::tube::{Tube, TubeRow, tube_rows};
use crate::physics::volume;
use crate::quantity::{
    Fraction, Length, Mass, Measured, PressureGauge, Quantity, Temperature, TemperatureDiff,
    Volume, unit,
};
use crate::record::{AsTyped, Evacuation, Head, PressureTest, Record, coverage};

/// Half of a day's swing where nobody stated it (`SourceId::TypicalSwings`), °F: attic, in the sun, in a wall, in a crawl
/// space.
const TYPICAL_HALF_SWING: [f64; 4] = [22.0, 11.0, 5.0, 5.0];

pub(super) const LINES: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

impl Record {
    /// The part of the volume where no thermometer hangs, with its swing; whether that is a typical one.
    pub(super) fn unlogged(&self, test: &PressureTest) -> Option<(Unlogged, bool)> {
        let shares = self.lineset.line_set.shares.as_ref()?;
        let places = [
            &shares.attic,
            &shares.sun,
            &shares.wall,
            &shares.crawl_space,
        ];
        let named: Vec<(f64, f64)> = places
            .into_iter()
            .zip(TYPICAL_HALF_SWING)
            .filter_map(|(share, half)| Some((share.as_ref()?.value().si(), half)))
            .collect();
        let share: f64 = named.iter().map(|(share, _)| share).sum();
        if share <= 0.0 {
            return None;
        }
        let stated = test.unlogged_swing.as_ref();
        let half_swing = stated.map_or_else(
            || {
                let swings: f64 = named.iter().map(|(share, half)| share * half).sum();
                TemperatureDiff::of(swings / share, unit::FAHRENHEIT_DIFF)
            },
            |swing| TemperatureDiff::from_si(0.5 * swing.value().si()),
        );
        let part = Unlogged {
            share: Fraction::from_si(share),
            half_swing,
        };
        Some((part, stated.is_none()))
    }

    /// The volume of what a test covers, where it is known.
    pub(super) fn volume_of(
        &self,
        test: &PressureTest,
    ) -> Result<Option<Measured<Volume>>, InputError> {
        if let Some(stated) = &test.volume {
            return Ok(Some(volume::stated(stated.value())));
        }
        match reaches_the_outdoor_unit(test) {
            true => Ok(None),
            false => self.volume_of_lines(&test.covers),
        }
    }

    /// The volume of what was evacuated, where it is known; what the outdoor unit holds is not.
    pub fn volume_evacuated(&self, evacuation: &Evacuation) -> Result<Option<Volume>, InputError> {
        let covers = coverage::within(&evacuation.covers, evacuation.valves);
        if covers.contains(&Segment::OutdoorUnit) {
            return Ok(None);
        }
        let inside = self.volume_of_lines(&covers)?;
        Ok(inside.map(|inside| inside.value))
    }

    fn volume_of_lines(&self, covers: &[Segment]) -> Result<Option<Measured<Volume>>, InputError> {
        let lines = &self.lineset.line_set;
        let covers = |segment| covers.contains(&segment);
        if !LINES.into_iter().any(covers) {
            return Ok(None);
        }
        if let Some(all) = lines
            .volume
            .as_ref()
            .filter(|_| LINES.into_iter().all(covers))
        {
            return Ok(Some(volume::stated(all.value())));
        }
        let mut tubes = Vec::new();
        for segment in [Segment::LiquidLine, Segment::VapourLine] {
            if !covers(segment) {
                continue;
            }
            match self.tubes_of(segment)? {
                Some(more) => tubes.extend(more),
                None => return Ok(None),
            }
        }
        let inside = volume::of_tubes(&tubes);
        if !covers(Segment::IndoorCoil) {
            return Ok(Some(inside));
        }
        let coil = lines
            .coil_volume
            .as_ref()
            .map(|v| volume::stated(v.value()));
        Ok(coil.map(|coil| volume::sum(&[inside, coil])))
    }

    /// The tubes of one of the two lines with their lengths: of the only one, or of all runs; none where one is not
    /// known.
    fn tubes_of(&self, segment: Segment) -> Result<Option<Vec<(Tube, Length)>>, InputError> {
        let lines = &self.lineset.line_set;
        let liquid = segment == Segment::LiquidLine;
        let only = if liquid { &lines.liquid } else { &lines.vapour };
        if let Some(facts) = only {
            let bore = tube(facts.od.value(), facts.wall.as_ref().map(AsTyped::value))?;
            return Ok(Some(vec![(bore, facts.length.value())]));
        }
        let runs = lines.runs.iter().filter(|run| run.head != Head::None);
        let mut each = Vec::new();
        for run in runs {
            let od = if liquid {
                &run.liquid_od
            } else {
                &run.vapour_od
            };
            let (Some(od), Some(length)) = (od, &run.length) else {
                return Ok(None);
            };
            each.push((tube(od.value(), None)?, length.value()));
        }
        Ok((!each.is_empty()).then_some(each))
    }

    /// The nameplate charge with its line-length adjustment; none while a part of it is not known.
    pub(super) fn whole_charge(&self) -> Result<Option<Mass>, InputError> {
        let Some(input) = self.charge_input(&[])? else {
            return Ok(None);
        };
        let lines = input.runs.iter().map(|run| {
            let beyond = run.installed.si() - run.included.si();
            run.factor.si() * beyond
        });
        let parts = input.accessories.iter().map(|part| part.mass.si());
        let adjustment: f64 = lines.chain(parts).sum();
        Ok(Some(Mass::from_si(input.nameplate.si() + adjustment)))
    }

    /// The lowest pressure that anything under test may bear: test and design pressures of the label, rating of the
    /// tubes at the hottest temperature seen.
    pub(super) fn lowest_rating(&self, hottest: Option<Temperature>) -> Option<PressureGauge> {
        let equipment = &self.lineset.equipment;
        let lines = &self.lineset.line_set;
        let label = [
            &self.lineset.instructions.test_pressure,
            &equipment.design_pressure_high,
            &equipment.design_pressure_low,
        ];
        let tubes = [&lines.liquid, &lines.vapour].into_iter().flatten();
        let runs = lines.runs.iter();
        let runs = runs
            .flat_map(|run| [&run.liquid_od, &run.vapour_od])
            .flatten();
        let diameters = tubes.map(|tube| &tube.od).chain(runs);
        let label = label.into_iter().flatten().map(AsTyped::value);
        let rated = label.chain(diameters.filter_map(|od| rating(od.value(), hottest)));
        rated.min_by(|a, b| a.si().total_cmp(&b.si()))
    }

    /// The pressure that a code rule means by "design pressure": of the unit's own test, else of the low side, as lines
    /// joined by the coil are one volume.
    pub(super) fn design_pressure(&self) -> Option<PressureGauge> {
        let own = self.lineset.instructions.test_pressure.as_ref();
        let low = self.lineset.equipment.design_pressure_low.as_ref();
        own.or(low).map(AsTyped::value)
    }
}

/// The rating of annealed tube of an outside diameter, where the table has one: at 100 °F, or at 150 °F when it was seen
/// hotter.
fn rating(od: Length, hottest: Option<Temperature>) -> Option<PressureGauge> {
    let near = |row: &&TubeRow| {
        (row.tube.outer().si() - od.si()).abs() < 0.2e-3 && row.temper.starts_with("annealed")
    };
    let hot = hottest.is_some_and(|t| t > Temperature::of(100.0, unit::FAHRENHEIT));
    tube_rows().iter().filter(near).find_map(|row| match hot {
        true => row.rated_at_150f,
        false => row.rated_at_100f,
    })
}
