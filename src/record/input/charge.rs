//! The input of *charge*.

use super::InputError;
use super::joints::tube;
use super::machine::metering;
use crate::check::charge::{self, Criteria, Hose, ScaleShown, Way, Weighing};
use crate::fluid::Refrigerant;
use crate::quantity::{Length, Mass, Quantity, unit};
use crate::record::{
    Answer, AsTyped, Direction, Event, EventBody, Head, LineRun, Record, Shipped, Weighed,
};

/// Limit of error of a scale that nothing is stated about (California RA3.2.2.2, `charge_verification`).
const SCALE_LIMIT_OZ: f64 = 0.5;

/// The same as a mass.
pub(super) fn scale_limit() -> Mass {
    Mass::of(SCALE_LIMIT_OZ, unit::OUNCE_MASS)
}

/// The runs with what the nameplate charge includes for all of them together.
struct Runs {
    each: Vec<charge::Run>,
    included_for_all: Option<charge::Accessory>,
}

impl Record {
    /// What *charge* is judged from; none while refrigerant, nameplate charge, lengths or factors are not known.
    pub fn charge_input(&self, events: &[&Event]) -> Result<Option<charge::Input>, InputError> {
        let equipment = &self.lineset.equipment;
        let (Some(refrigerant), Some(nameplate), Some(runs)) = (
            self.refrigerant()?,
            &equipment.nameplate_charge,
            self.charge_runs()?,
        ) else {
            return Ok(None);
        };
        let all = equipment.accessories.iter().map(|mass| charge::Accessory {
            name: "accessories".into(),
            mass: mass.value().0,
        });
        let named = equipment
            .named_accessories
            .iter()
            .map(|part| charge::Accessory {
                name: part.name.clone(),
                mass: part.mass.value().0,
            });
        Ok(Some(charge::Input {
            refrigerant,
            nameplate: nameplate.value(),
            shipped: match equipment.shipped {
                // a split system's outdoor unit comes with its nameplate charge (common practice, no source)
                None | Some(Shipped::Charged) => charge::Shipped::Charged,
                Some(Shipped::Empty) => charge::Shipped::Empty,
            },
            metering: metering(self.lineset.line_set.metering_device).map(|d| d.place),
            runs: runs.each,
            accessories: runs
                .included_for_all
                .into_iter()
                .chain(all)
                .chain(named)
                .collect(),
            weighed_in: self.weighed_in(refrigerant, events)?,
            incidents: self.incidents(events),
        }))
    }

    /// The runs, and the length that the nameplate charge includes for all of them together; none while one is not
    /// known.
    fn charge_runs(&self) -> Result<Option<Runs>, InputError> {
        let lines = &self.lineset.line_set;
        if lines.runs.is_empty() {
            return Ok(self.only_run()?.map(|run| Runs {
                each: vec![run],
                included_for_all: None,
            }));
        }
        let mut each = Vec::with_capacity(lines.runs.len());
        for run in &lines.runs {
            match self.run_of_several(run)? {
                Some(run) => each.push(run),
                None => return Ok(None),
            }
        }
        if lines.runs.iter().any(|run| run.included_length.is_some()) {
            return Ok(Some(Runs {
                each,
                included_for_all: None,
            }));
        }
        let equipment = &self.lineset.equipment;
        let (Some(included), Some(factor)) =
            (&equipment.included_length, each.first().map(|r| r.factor))
        else {
            return Ok(None);
        };
        let covered = factor * included.value();
        let for_all = charge::Accessory {
            name: format!("{} included for all runs together", included.text()),
            mass: Mass::from_si(-covered.si()),
        };
        Ok(Some(Runs {
            each,
            included_for_all: Some(for_all),
        }))
    }

    /// The line of a system with one head.
    fn only_run(&self) -> Result<Option<charge::Run>, InputError> {
        let equipment = &self.lineset.equipment;
        let lines = &self.lineset.line_set;
        let (Some(liquid), Some(included), Some(factor)) = (
            &lines.liquid,
            &equipment.included_length,
            &equipment.charge_factor,
        ) else {
            return Ok(None);
        };
        let bored = |facts: &crate::record::Tube| {
            tube(facts.od.value(), facts.wall.as_ref().map(AsTyped::value))
        };
        let tubes = match &lines.vapour {
            Some(vapour) => Some(charge::Tubes {
                liquid: bored(liquid)?,
                vapour: bored(vapour)?,
            }),
            None => None,
        };
        Ok(Some(charge::Run {
            name: "line".into(),
            installed: liquid.length.value(),
            included: included.value(),
            factor: factor.value(),
            tubes,
            label: lines.label.as_ref().map(AsTyped::value),
        }))
    }

    /// A run of a system with several heads; none while its factor is not known.
    fn run_of_several(&self, run: &LineRun) -> Result<Option<charge::Run>, InputError> {
        let Some(factor) = self.lineset.factor_of(run) else {
            return Ok(None);
        };
        let zero = Length::from_si(0.0);
        let length = |typed: &Option<AsTyped<Length>>| typed.as_ref().map_or(zero, AsTyped::value);
        let (name, installed) = match run.head {
            Head::Connected => (run.name.clone(), length(&run.length)),
            Head::None => (format!("{} (no head)", run.name), zero),
        };
        let tubes = match (&run.liquid_od, &run.vapour_od) {
            (Some(liquid), Some(vapour)) => Some(charge::Tubes {
                liquid: tube(liquid.value(), None)?,
                vapour: tube(vapour.value(), None)?,
            }),
            _ => None,
        };
        Ok(Some(charge::Run {
            name,
            installed,
            included: length(&run.included_length),
            factor,
            tubes,
            label: run.label.as_ref().map(AsTyped::value),
        }))
    }

    /// The sum of what was weighed in, out counted negative; a technician's charge begins it anew.
    fn weighed_in(
        &self,
        refrigerant: Refrigerant,
        events: &[&Event],
    ) -> Result<Option<charge::WeighedIn>, InputError> {
        let mut all = Vec::new();
        for event in events {
            match &event.body {
                EventBody::TechnicianVisit(visit) if visit.charged.is_some() => all.clear(),
                EventBody::Weighed(weighed) => {
                    let weighing = self.weighing(event, weighed)?;
                    let mass = charge::weighed(&weighing, refrigerant, &Criteria::default());
                    all.push(mass.map_err(|error| wrong(event, error))?);
                }
                _ => {}
            }
        }
        Ok(charge::WeighedIn::sum(&all))
    }

    /// What one weighing brought into the circuit, to see whether it can be; none while the refrigerant is not known.
    pub fn weighed(
        &self,
        event: &Event,
        weighed: &Weighed,
    ) -> Result<Option<charge::Weighed>, InputError> {
        let weighing = self.weighing(event, weighed)?;
        let Some(refrigerant) = self.refrigerant()? else {
            return Ok(None);
        };
        charge::weighed(&weighing, refrigerant, &Criteria::default())
            .map(Some)
            .map_err(|error| wrong(event, error))
    }

    fn weighing(&self, event: &Event, weighed: &Weighed) -> Result<Weighing, InputError> {
        let limit = scale_limit();
        let read = |mass: &AsTyped<Mass>| {
            self.measured(event, weighed.scale.as_deref(), mass.value(), limit)
        };
        let shown = match (
            &weighed.mass,
            &weighed.cylinder_before,
            &weighed.cylinder_after,
        ) {
            (Some(mass), None, None) => ScaleShown::Net(read(mass)?),
            (None, Some(before), Some(after)) => ScaleShown::Cylinder {
                before: read(before)?,
                after: read(after)?,
            },
            _ => {
                return Err(InputError::NotWeighed {
                    number: event.number,
                });
            }
        };
        let hose = weighed
            .hose
            .as_ref()
            .map(|hose| Hose::new(hose.length.value(), hose.bore.value()))
            .transpose()
            .map_err(|error| wrong(event, error))?;
        Ok(Weighing {
            way: match weighed.direction {
                Direction::In => Way::In,
                Direction::Out => Way::Out,
            },
            shown,
            zero_after: weighed.zero_after.as_ref().map(|zero| zero.value().0),
            hose,
        })
    }

    fn incidents(&self, events: &[&Event]) -> Vec<charge::Incident> {
        let mut found = Vec::new();
        for event in events {
            let day = event.at.civil().date();
            match &event.body {
                EventBody::TechnicianVisit(visit) if visit.charged.is_some() => found.clear(),
                EventBody::Released(_) => {
                    found.push(charge::Incident::Released {
                        what: day.to_string(),
                    });
                }
                EventBody::Opened(opened) if opened.held_refrigerant == Answer::Yes => {
                    found.push(charge::Incident::Opened {
                        what: day.to_string(),
                    });
                }
                _ => {}
            }
        }
        found
    }
}

fn wrong(event: &Event, error: charge::WeighingError) -> InputError {
    InputError::Weighing {
        number: event.number,
        error,
    }
}
