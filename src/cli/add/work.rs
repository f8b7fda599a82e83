//! Joints, changed facts, corrected events.

use std::process::ExitCode;

use super::{Noted, When, said, times};
use crate::cli::Ran;
use crate::cli::args::word;
use crate::cli::new::field;
use crate::quantity::{Duration, Length, PressureGauge, Torque};
use crate::record::{self, Answer, AsTyped, EventBody, JointMethod, JointResult, Moment, Record};

/// A joint was made up.
#[derive(Debug, clap::Args)]
pub(super) struct JointMade {
    /// The joint's id in lineset.toml
    #[arg(long)]
    joint: String,
    /// What the wrench was set to, e.g. "40 N m" or "30 ft-lb"
    #[arg(long, value_parser = field::<Torque>, allow_hyphen_values = true)]
    torque: Option<AsTyped<Torque>>,
    /// The wrench's id in lineset.toml
    #[arg(long)]
    wrench: Option<String>,
    /// With an adapter: from the wrench's square to the middle of the grip
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true, requires = "adapter_length")]
    wrench_length: Option<AsTyped<Length>>,
    /// With an adapter: from the wrench's square to the middle of the nut
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true, requires = "wrench_length")]
    adapter_length: Option<AsTyped<Length>>,
    /// Angle between adapter and wrench: 0 straight out, 90 square
    #[arg(long, requires = "adapter_length")]
    adapter_angle: Option<f64>,
    /// Whether flare or thread was oiled: yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    oiled: Answer,
    #[command(flatten)]
    when: When,
}

impl Noted for JointMade {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, record: &Record, _: Moment) -> Result<EventBody, Box<dyn std::error::Error>> {
        known_joint(record, &self.joint)?;
        let adapter = match (self.wrench_length, self.adapter_length) {
            (Some(wrench_length), Some(adapter_length)) => Some(record::Adapter {
                wrench_length,
                adapter_length,
                angle_degrees: self.adapter_angle,
            }),
            _ => None,
        };
        Ok(record::JointMade {
            joint: self.joint,
            torque: self.torque,
            adapter,
            wrench: self.wrench,
            oiled: self.oiled,
        }
        .into())
    }
}

/// A joint was looked at for leaks.
#[derive(Debug, clap::Args)]
pub(super) struct JointChecked {
    /// The joint's id in lineset.toml
    #[arg(long)]
    joint: String,
    /// bubbles or detector
    #[arg(long, value_parser = word!(JointMethod))]
    method: JointMethod,
    /// no-leak or leak
    #[arg(long, value_parser = word!(JointResult))]
    result: JointResult,
    /// How long it was watched, e.g. 5min
    #[arg(long, value_parser = field::<Duration>, allow_hyphen_values = true)]
    watched: Option<AsTyped<Duration>>,
    /// The pressure inside, e.g. 450psig
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    pressure: Option<AsTyped<PressureGauge>>,
    #[command(flatten)]
    when: When,
}

impl Noted for JointChecked {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, record: &Record, _: Moment) -> Result<EventBody, Box<dyn std::error::Error>> {
        known_joint(record, &self.joint)?;
        Ok(record::JointChecked {
            joint: self.joint,
            method: self.method,
            result: self.result,
            watched: self.watched,
            pressure: self.pressure,
        }
        .into())
    }
}

/// An event about a joint that nobody listed would prove nothing.
fn known_joint(record: &Record, id: &str) -> Result<(), String> {
    if record.joint(id).is_some() {
        return Ok(());
    }
    let ids: Vec<_> = record
        .lineset
        .joints
        .iter()
        .map(|j| j.id.as_str())
        .collect();
    let known = if ids.is_empty() {
        "none is listed".into()
    } else {
        format!("listed are {}", ids.join(", "))
    };
    Err(format!(
        "joint \"{id}\" is not in lineset.toml ({known}); add it there as [[joint]] first"
    ))
}

/// A fact was changed.
#[derive(Debug, clap::Args)]
pub(super) struct Changed {
    /// The fact, e.g. equipment.nameplate_charge, or with its id joint.liquid-indoor.torque
    #[arg(long)]
    field: String,
    /// What it is now; not known any more when not given
    #[arg(long)]
    to: Option<String>,
    /// Why
    #[arg(long)]
    why: Option<String>,
    /// When it changed or was noticed, e.g. "2026-02-11 16:30"; now when not given
    #[arg(long)]
    at: Option<String>,
}

/// Edits the fact in lineset.toml and writes the event of it, both or neither.
pub(super) fn change(record: &mut Record, args: Changed) -> Ran {
    let (at, noted) = times(record, args.at.as_ref())?;
    let folder = record.folder.clone();
    let event = record.change(&args.field, args.to.as_deref(), args.why, at, noted)?;
    said(event, &folder);
    Ok(ExitCode::SUCCESS)
}

/// An earlier event said something that is not so.
#[derive(Debug, clap::Args)]
pub(super) struct Corrected {
    /// The number of the event
    #[arg(long)]
    number: u64,
    /// Its field, e.g. torque, readings.2.pressure (counted from 1), at or note
    #[arg(long)]
    field: String,
    /// What it should have said, lists with commas; not known when not given
    #[arg(long)]
    to: Option<String>,
    /// Why
    #[arg(long)]
    why: Option<String>,
    /// When it was noticed, e.g. "2026-02-11 16:30"; now when not given
    #[arg(long)]
    at: Option<String>,
}

/// Writes the correction, if the event it gives could have been recorded.
pub(super) fn correct(record: &mut Record, args: Corrected) -> Ran {
    let (at, noted) = times(record, args.at.as_ref())?;
    let to = match (args.field.as_str(), &args.to) {
        ("at", Some(text)) => Some(Moment::typed(text, record.zone())?.to_string()),
        (_, to) => to.clone(),
    };
    let folder = record.folder.clone();
    let event = record.correct(args.number, &args.field, to.as_deref(), args.why, at, noted)?;
    said(event, &folder);
    Ok(ExitCode::SUCCESS)
}
