//! `run`: judge what was read at a running unit, without a record.

use std::path::PathBuf;

use super::args::{Atmosphere, Output, refrigerant, typed, word};
use super::logfile::RunningLog;
use super::new::field;
use super::readings::Readings;
use super::target::{Rule, read_table};
use super::{Ran, outcome_code, print};
use crate::check::run::{self as check, Input};
use crate::fluid::Refrigerant;
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::{Current, Power, PressureDiff, TemperatureDiff, Typed};
use crate::record::{
    Answer, AsTyped, Connection, Event, InstrumentFacts, InstrumentKind, LineSet, LineState,
    MeteringDevice, Mode, Moment, Record, Zone,
};

/// Judges the readings of a running unit; with the refrigerant alone it says what to read, and what each reading buys.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The refrigerant on the nameplate, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// Where the metering device sits: indoors-txv, indoors-orifice, indoors-eev, outdoors, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(MeteringDevice))]
    metering_device: MeteringDevice,
    /// cooling or heating
    #[arg(long, value_parser = word!(Mode))]
    mode: Option<Mode>,
    /// Has the suction line an accumulator? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    accumulator: Answer,
    /// Subcooling on the label, e.g. 10F
    #[arg(long, value_parser = field::<TemperatureDiff>, allow_hyphen_values = true)]
    target_subcooling: Option<AsTyped<TemperatureDiff>>,
    /// Heating: how far the discharge line should be above the outdoor air, where the instructions print it
    #[arg(long, value_parser = field::<TemperatureDiff>, allow_hyphen_values = true)]
    discharge_above_outdoor: Option<AsTyped<TemperatureDiff>>,
    /// Rated cooling capacity, e.g. 3ton or 10.5kW
    #[arg(long, value_parser = field::<Power>, allow_hyphen_values = true)]
    rated_capacity: Option<AsTyped<Power>>,
    /// Rated current of the outdoor unit
    #[arg(long, value_parser = field::<Current>, allow_hyphen_values = true)]
    rated_current: Option<AsTyped<Current>>,
    /// What gives the superheat target of a fixed orifice where the unit prints none
    #[arg(long, value_enum, default_value = "published-table")]
    superheat_rule: Rule,
    #[command(flatten)]
    read: Readings,
    /// The unit's own charging table as CSV: outdoor_F,wb_62,... and a line for each outdoor temperature; a dash where
    /// it has one
    #[arg(long, value_name = "FILE")]
    charging_table: Option<PathBuf>,
    #[command(flatten)]
    log: RunningLog,
    /// Limit of error of the thermometers, e.g. 1.8F
    #[arg(long, value_parser = typed::<TemperatureDiff>, allow_hyphen_values = true)]
    thermometer_limit: Option<Typed<TemperatureDiff>>,
    /// Limit of error of the gauges, e.g. 3.5psi
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_limit: Option<Typed<PressureDiff>>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof run R-410A
  lineproof run R-454B --metering-device indoors-txv --mode cooling --compressor-speed fixed \\
    --evaporator-bend 41F --suction-line 54F --condenser-bend 103F --liquid-line 94F \\
    --outdoor 86F --return-air 75F --running 20min --steady yes --airflow-good yes --target-subcooling 9F";

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let (mode, refrigerant, rule) = (args.mode, args.refrigerant, args.superheat_rule);
    let json = args.output.json;
    let (mut input, criteria) = args.input()?;
    input.surroundings = check::Surroundings::at(barometer, refrigerant);
    input.targets.superheat_rule = rule.into();
    if mode.is_none() {
        input.machine.mode = None;
    }
    let finding = check::assess(&input, &criteria)?;
    if json {
        print(&json::document(&json::Run::from(&finding)));
    } else {
        print(&text::running(&finding, units, Style::Plain));
    }
    Ok(outcome_code(finding.outcome))
}

impl Args {
    /// The readings as the check wants them: those of a record that is never written.
    fn input(self) -> Result<(Input, check::Criteria), Box<dyn std::error::Error>> {
        let table = self.charging_table.as_deref().map(read_table).transpose()?;
        let zone = Zone::named("UTC")?;
        let mut lineset = LineSet::new(
            "readings",
            "",
            zone.clone(),
            Connection::Flared,
            LineState::HeldRefrigerant,
        );
        lineset.line_set.metering_device = self.metering_device;
        let equipment = &mut lineset.equipment;
        equipment.refrigerant = Some(self.refrigerant.name().into());
        equipment.accumulator = self.accumulator;
        equipment.target_subcooling = self.target_subcooling;
        equipment.discharge_above_outdoor = self.discharge_above_outdoor;
        equipment.rated_capacity = self.rated_capacity;
        equipment.rated_current = self.rated_current;
        let mut reading = self.read.of(self.mode.unwrap_or(Mode::Cooling));
        let mut stated = |id: &str, kind, limit: Option<&str>| {
            let accuracy = limit?.to_string();
            lineset.instruments.push(InstrumentFacts {
                id: id.into(),
                kind,
                accuracy: Some(accuracy),
                resolution: None,
                full_scale: None,
            });
            Some(id.to_string())
        };
        let thermometer = self.thermometer_limit.as_ref().map(|l| l.text.as_str());
        reading.thermometer = stated("thermometer", InstrumentKind::Thermometer, thermometer);
        let gauge = self.gauge_limit.as_ref().map(|l| l.text.as_str());
        reading.gauge = stated("gauge", InstrumentKind::Gauge, gauge);
        let now = Moment::of(jiff::Timestamp::now(), &zone);
        let record = Record {
            folder: PathBuf::new(),
            lineset,
            events: Vec::new(),
            warnings: Vec::new(),
        };
        let event = Event {
            number: 1,
            at: now,
            noted: now,
            body: reading.clone().into(),
            note: None,
            photos: Vec::new(),
            before: Vec::new(),
        };
        let criteria = record.run_criteria(&event, &reading)?;
        let input = match self.log.asked()? {
            Some((path, asked)) => record.logged_run_input(&event, &reading, path, &asked)?,
            None => record.run_input(&event, &reading)?,
        };
        let mut input = input.expect("the refrigerant is named");
        input.targets.superheat_table = table;
        Ok((input, criteria))
    }
}
