//! The kinds of slip, each a pure change of the input.

use crate::check::run::{HighSide, Input, LowSide, Tap};
use crate::fluid::{Refrigerant, Saturation, refrigerant::Side};
use crate::quantity::{
    Measured, PressureGauge, Quantity, Temperature, TemperatureDiff, both, unit,
};

/// A small mistake in typing or reading that would explain contradictions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// The number was absolute and was typed as gauge.
    Absolute(Sides),
    /// The atmosphere was taken off a number that was gauge already.
    TakenOffTwice(Sides),
    /// The number was in another unit of pressure.
    Unit(Sides, WrittenUnit),
    /// The number was in degF and was read as degC.
    Fahrenheit(Probe),
    /// The number was in degC and was read as degF.
    Celsius(Probe),
    /// Every temperature was in degF and was read as degC.
    AllFahrenheit,
    /// Every temperature was in degC and was read as degF.
    AllCelsius,
    /// Suction line and liquid line changed places.
    LinesSwapped,
    /// The two gauges, or the two bends, changed places.
    SidesSwapped,
    /// Return and supply air changed places.
    IndoorAirSwapped,
    /// Outdoor and return air changed places.
    AirSwapped,
    /// The high-side gauge is at the discharge, not at the liquid line.
    DischargeTap,
    /// The temperature of a bend was read off a chart's column for that side, not with a probe.
    ChartColumn(Sides, Column),
    /// The circuit holds another refrigerant.
    Refrigerant(Refrigerant),
}

/// Which side's readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// The low side.
    Low,
    /// The high side.
    High,
    /// Both.
    Both,
}

/// The unit in which the number was meant, where another was understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WrittenUnit {
    /// Bar, understood as psi.
    BarNotPsi,
    /// psi, understood as bar.
    PsiNotBar,
    /// kPa, understood as psi.
    KilopascalNotPsi,
    /// psi, understood as kPa.
    PsiNotKilopascal,
}

/// The column of a saturation chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Bubble.
    Bubble,
    /// Dew.
    Dew,
}

/// A temperature that was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Probe {
    /// Suction line.
    SuctionLine,
    /// Liquid line.
    LiquidLine,
    /// Evaporator bend.
    EvaporatorBend,
    /// Condenser bend.
    CondenserBend,
    /// Outdoor air.
    Outdoor,
    /// Return air.
    Return,
    /// Supply air.
    Supply,
    /// Discharge line.
    DischargeLine,
}

impl Probe {
    /// All of them, those that decide most first.
    pub const ALL: [Probe; 8] = [
        Probe::SuctionLine,
        Probe::LiquidLine,
        Probe::EvaporatorBend,
        Probe::CondenserBend,
        Probe::Outdoor,
        Probe::Return,
        Probe::Supply,
        Probe::DischargeLine,
    ];

    /// The trade's words.
    pub fn words(self) -> &'static str {
        match self {
            Probe::SuctionLine => "suction line",
            Probe::LiquidLine => "liquid line",
            Probe::EvaporatorBend => "evaporator bend",
            Probe::CondenserBend => "condenser bend",
            Probe::Outdoor => "outdoor air",
            Probe::Return => "return air",
            Probe::Supply => "supply air",
            Probe::DischargeLine => "discharge line",
        }
    }

    /// The reading, when there is one.
    pub(super) fn of(self, input: &Input) -> Option<&Measured<Temperature>> {
        match self {
            Probe::SuctionLine => input.suction_line.as_ref(),
            Probe::LiquidLine => input.liquid_line.as_ref(),
            Probe::EvaporatorBend => match &input.low {
                Some(LowSide::CoilBend(bend)) => Some(bend),
                _ => input.evaporator_bend.as_ref(),
            },
            Probe::CondenserBend => match &input.high {
                Some(HighSide::CoilBend(bend)) => Some(bend),
                _ => input.condenser_bend.as_ref(),
            },
            Probe::Outdoor => input.conditions.outdoor.as_ref(),
            Probe::Return => input.conditions.return_air.as_ref(),
            Probe::Supply => input.conditions.supply_air.as_ref(),
            Probe::DischargeLine => input.discharge_line.as_ref(),
        }
    }

    fn put(self, input: &mut Input, to: Measured<Temperature>) {
        match self {
            Probe::SuctionLine => input.suction_line = Some(to),
            Probe::LiquidLine => input.liquid_line = Some(to),
            Probe::EvaporatorBend => match &mut input.low {
                Some(LowSide::CoilBend(bend)) => *bend = to,
                _ => input.evaporator_bend = Some(to),
            },
            Probe::CondenserBend => match &mut input.high {
                Some(HighSide::CoilBend(bend)) => *bend = to,
                _ => input.condenser_bend = Some(to),
            },
            Probe::Outdoor => input.conditions.outdoor = Some(to),
            Probe::Return => input.conditions.return_air = Some(to),
            Probe::Supply => input.conditions.supply_air = Some(to),
            Probe::DischargeLine => input.discharge_line = Some(to),
        }
    }
}

impl Sides {
    const ALL: [Sides; 3] = [Sides::Low, Sides::High, Sides::Both];

    fn words(self) -> &'static str {
        match self {
            Sides::Low => "suction pressure",
            Sides::High => "high-side pressure",
            Sides::Both => "two pressures",
        }
    }

    fn low(self) -> bool {
        self != Sides::High
    }

    fn high(self) -> bool {
        self != Sides::Low
    }
}

impl WrittenUnit {
    const ALL: [WrittenUnit; 4] = [
        WrittenUnit::BarNotPsi,
        WrittenUnit::PsiNotBar,
        WrittenUnit::KilopascalNotPsi,
        WrittenUnit::PsiNotKilopascal,
    ];

    fn words(self) -> &'static str {
        match self {
            WrittenUnit::BarNotPsi => "bar and not psi",
            WrittenUnit::PsiNotBar => "psi and not bar",
            WrittenUnit::KilopascalNotPsi => "kPa and not psi",
            WrittenUnit::PsiNotKilopascal => "psi and not kPa",
        }
    }

    /// The same number in the unit that was meant.
    fn meant(self, read: PressureGauge) -> PressureGauge {
        let (understood, meant) = match self {
            WrittenUnit::BarNotPsi => (unit::PSIG, unit::BAR_GAUGE),
            WrittenUnit::PsiNotBar => (unit::BAR_GAUGE, unit::PSIG),
            WrittenUnit::KilopascalNotPsi => (unit::PSIG, unit::KPA_GAUGE),
            WrittenUnit::PsiNotKilopascal => (unit::KPA_GAUGE, unit::PSIG),
        };
        PressureGauge::of(read.in_unit(understood), meant)
    }
}

/// The same number as degF, where it was read as degC; and the other way round.
fn as_fahrenheit(read: Temperature) -> Temperature {
    Temperature::of(read.in_unit(unit::CELSIUS), unit::FAHRENHEIT)
}

fn as_celsius(read: Temperature) -> Temperature {
    Temperature::of(read.in_unit(unit::FAHRENHEIT), unit::CELSIUS)
}

impl Slip {
    /// Every slip but another refrigerant, the simplest first.
    pub(super) fn simple() -> Vec<Slip> {
        let mut all = vec![Slip::SidesSwapped, Slip::LinesSwapped];
        all.extend([Slip::AllCelsius, Slip::AllFahrenheit]);
        for probe in Probe::ALL {
            all.extend([Slip::Celsius(probe), Slip::Fahrenheit(probe)]);
        }
        for written in WrittenUnit::ALL {
            all.push(Slip::Unit(Sides::Both, written));
            all.push(Slip::Unit(Sides::Low, written));
            all.push(Slip::Unit(Sides::High, written));
        }
        all.extend([Slip::IndoorAirSwapped, Slip::AirSwapped, Slip::DischargeTap]);
        for sides in Sides::ALL {
            all.extend([Slip::Absolute(sides), Slip::TakenOffTwice(sides)]);
        }
        for sides in [Sides::Low, Sides::High] {
            all.push(Slip::ChartColumn(sides, Column::Bubble));
            all.push(Slip::ChartColumn(sides, Column::Dew));
        }
        all
    }

    /// Whether it moves a reading further than faults do.
    pub(super) fn is_large(self) -> bool {
        !matches!(
            self,
            Slip::Absolute(_)
                | Slip::TakenOffTwice(_)
                | Slip::ChartColumn(..)
                | Slip::DischargeTap
                | Slip::Refrigerant(_)
        )
    }

    /// The input as it would be without the slip; `None` where it cannot have happened.
    pub fn apply(self, input: &Input) -> Option<Input> {
        let mut read = input.clone();
        match self {
            Slip::Absolute(sides) => {
                let atmosphere = input.surroundings.barometer.pressure().si();
                change_pressures(&mut read, sides, |p| {
                    PressureGauge::from_si(p.si() - atmosphere)
                })?;
            }
            Slip::TakenOffTwice(sides) => {
                let atmosphere = input.surroundings.barometer.pressure().si();
                change_pressures(&mut read, sides, |p| {
                    PressureGauge::from_si(p.si() + atmosphere)
                })?;
            }
            Slip::Unit(sides, written) => {
                change_pressures(&mut read, sides, |p| written.meant(p))?;
            }
            Slip::Fahrenheit(probe) => change_probe(&mut read, probe, as_fahrenheit)?,
            Slip::Celsius(probe) => change_probe(&mut read, probe, as_celsius)?,
            Slip::AllFahrenheit => change_all(&mut read, as_fahrenheit)?,
            Slip::AllCelsius => change_all(&mut read, as_celsius)?,
            Slip::LinesSwapped => {
                swap(&mut read, Probe::SuctionLine, Probe::LiquidLine)?;
            }
            Slip::SidesSwapped => swap_sides(&mut read)?,
            Slip::IndoorAirSwapped => swap(&mut read, Probe::Return, Probe::Supply)?,
            Slip::AirSwapped => swap(&mut read, Probe::Outdoor, Probe::Return)?,
            Slip::DischargeTap => match &mut read.high {
                Some(HighSide::Gauge { tap, .. }) if *tap == Tap::LiquidLine => {
                    *tap = Tap::Discharge { drop: None };
                }
                _ => return None,
            },
            Slip::ChartColumn(sides, column) => from_chart(&mut read, sides, column)?,
            Slip::Refrigerant(other) => {
                if other == input.refrigerant || other == Refrigerant::R744 {
                    return None;
                }
                read.refrigerant = other;
            }
        }
        Some(read)
    }

    /// The question, with the numbers as typed and as they would be.
    pub(super) fn question(self, input: &Input) -> Option<String> {
        let read = self.apply(input)?;
        let pressures = |sides: Sides| numbers(input, &read, sides);
        Some(match self {
            Slip::Absolute(sides) => format!(
                "is the number of the {} absolute and not gauge ({})?",
                sides.words(),
                pressures(sides)
            ),
            Slip::TakenOffTwice(sides) => format!(
                "was the atmosphere taken off the {} twice ({})?",
                sides.words(),
                pressures(sides)
            ),
            Slip::Unit(sides, written) => format!(
                "is the number of the {} in {} ({})?",
                sides.words(),
                written.words(),
                pressures(sides)
            ),
            Slip::Fahrenheit(probe) => one_degree(input, &read, probe, "°F and not °C")?,
            Slip::Celsius(probe) => one_degree(input, &read, probe, "°C and not °F")?,
            Slip::AllFahrenheit => "are all temperatures in °F and not °C?".into(),
            Slip::AllCelsius => "are all temperatures in °C and not °F?".into(),
            Slip::LinesSwapped => {
                "did the probes of the suction line and the liquid line change places?".into()
            }
            Slip::SidesSwapped => {
                "did the readings of the low side and the high side change places?".into()
            }
            Slip::IndoorAirSwapped => "did return air and supply air change places?".into(),
            Slip::AirSwapped => "did outdoor air and return air change places?".into(),
            Slip::DischargeTap => {
                "is the high-side gauge at the discharge and not at the liquid line, and what drops between?".into()
            }
            Slip::ChartColumn(sides, column) => format!(
                "was the temperature of the {} bend read from the {} column of a chart and not with a probe?",
                if sides == Sides::Low { "evaporator" } else { "condenser" },
                if column == Column::Bubble { "bubble" } else { "dew" },
            ),
            Slip::Refrigerant(other) => format!("is it {other} and not {}?", input.refrigerant),
        })
    }
}

/// "354.0 psig instead of 368.7 psig", for each side.
fn numbers(input: &Input, read: &Input, sides: Sides) -> String {
    let pairs = [
        (sides.low(), low_pressure(input), low_pressure(read)),
        (sides.high(), high_pressure(input), high_pressure(read)),
    ];
    let shown = pairs.into_iter().filter_map(|(asked, from, to)| {
        let (from, to) = (from?, to?);
        asked.then(|| format!("{} instead of {}", both(to), both(from)))
    });
    shown.collect::<Vec<_>>().join(" and ")
}

fn one_degree(input: &Input, read: &Input, probe: Probe, unit: &str) -> Option<String> {
    let (from, to) = (probe.of(input)?.value, probe.of(read)?.value);
    Some(format!(
        "is the number of the {} in {unit} ({} instead of {})?",
        probe.words(),
        both(to),
        both(from)
    ))
}

fn low_pressure(input: &Input) -> Option<PressureGauge> {
    match &input.low {
        Some(LowSide::Gauge(gauge)) => Some(gauge.value),
        _ => None,
    }
}

fn high_pressure(input: &Input) -> Option<PressureGauge> {
    match &input.high {
        Some(HighSide::Gauge { pressure, .. }) => Some(pressure.value),
        _ => None,
    }
}

fn change_pressures(
    input: &mut Input,
    sides: Sides,
    change: impl Fn(PressureGauge) -> PressureGauge,
) -> Option<()> {
    if sides.low() {
        let Some(LowSide::Gauge(gauge)) = &mut input.low else {
            return None;
        };
        gauge.value = change(gauge.value);
    }
    if sides.high() {
        let Some(HighSide::Gauge { pressure, .. }) = &mut input.high else {
            return None;
        };
        pressure.value = change(pressure.value);
    }
    Some(())
}

fn change_probe(
    input: &mut Input,
    probe: Probe,
    change: impl Fn(Temperature) -> Temperature,
) -> Option<()> {
    let mut read = probe.of(input)?.clone();
    read.value = change(read.value);
    probe.put(input, read);
    Some(())
}

fn change_all(input: &mut Input, change: impl Fn(Temperature) -> Temperature) -> Option<()> {
    let changed = Probe::ALL
        .into_iter()
        .filter_map(|probe| change_probe(input, probe, &change))
        .count();
    (changed > 1).then_some(())
}

fn swap(input: &mut Input, one: Probe, other: Probe) -> Option<()> {
    let (a, b) = (one.of(input)?.clone(), other.of(input)?.clone());
    one.put(input, b);
    other.put(input, a);
    Some(())
}

fn swap_sides(input: &mut Input) -> Option<()> {
    match (input.low.clone()?, input.high.clone()?) {
        (LowSide::Gauge(low), HighSide::Gauge { pressure, tap }) => {
            input.low = Some(LowSide::Gauge(pressure));
            input.high = Some(HighSide::Gauge { pressure: low, tap });
        }
        (LowSide::CoilBend(low), HighSide::CoilBend(high)) => {
            input.low = Some(LowSide::CoilBend(high));
            input.high = Some(HighSide::CoilBend(low));
        }
        _ => return None,
    }
    Some(())
}

/// Glides below this make no difference between the columns, K.
const GLIDE_FROM: f64 = 1.0;

/// A chart's bubble or dew temperature as the middle of the glide, which a bend stands for.
fn from_chart(input: &mut Input, sides: Sides, column: Column) -> Option<()> {
    let probe = match sides {
        Sides::Low => Probe::EvaporatorBend,
        Sides::High => Probe::CondenserBend,
        Sides::Both => return None,
    };
    let mut read = probe.of(input)?.clone();
    let table = Saturation::of(input.refrigerant);
    let side = match column {
        Column::Bubble => Side::Bubble,
        Column::Dew => Side::Dew,
    };
    let glide = table
        .glide(table.pressure(side, read.value).ok()?)
        .ok()?
        .si();
    if glide < GLIDE_FROM {
        return None;
    }
    let by = match column {
        Column::Bubble => glide / 2.0,
        Column::Dew => -glide / 2.0,
    };
    read.value = read.value + TemperatureDiff::from_si(by);
    probe.put(input, read);
    Some(())
}
