//! Leak units, three laws of flow and what a hold or a rise can show, against tables computed elsewhere.

use lineproof::fluid::{DryGas, Refrigerant, Saturation};
use lineproof::physics::leak::{self, Drive, FlowLaw, Gas};
use lineproof::quantity::{
    LeakRate, MassRate, PressureAbs, PressureRate, Quantity, RiseRate, Temperature, Viscosity,
    Volume, unit,
};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};

const UNITS: &str = include_str!("data/leak_unit_conversion.csv");
const SCALING: &str = include_str!("data/leak_scaling_nitrogen_to_refrigerant.csv");

/// Half a unit of the last digit of a text that may have an exponent.
fn as_printed(text: &str) -> f64 {
    let (digits, exponent) = text.split_once('e').unwrap_or((text, "0"));
    let decimals = digits.split_once('.').map_or(0, |(_, d)| d.len() as i32);
    let exponent: i32 = exponent.parse().unwrap();
    // the ends of a rounding, and what the last bit of a double adds to them
    0.5 * 10f64.powi(exponent - decimals) * (1.0 + 1e-6)
}

fn number(row: &Row, column: &str) -> f64 {
    row.number(column).unwrap()
}

/// A cell against ours, by its own rounding and `share` of it for what went in rounded.
fn cell(row: &Row, at: &str, column: &str, ours: f64, share: f64, unit: &'static str) -> Compared {
    let text = row.text(column);
    let tolerance = as_printed(text) + share * number(row, column).abs();
    Compared::new(column, at, text, ours, tolerance, unit)
}

fn units_of_leaks() -> Comparison {
    let one = LeakRate::from_si(1.0);
    let five = MassRate::of(5.0, unit::GRAM_PER_YEAR);
    let compared = |row: &Row| {
        let at = format!("{}, {} K", row.text("gas"), row.text("T_ref_K"));
        let (mass, t) = (
            number(row, "M_g_mol"),
            Temperature::from_si(number(row, "T_ref_K")),
        );
        let grams = |leak| leak::mass_rate(leak, mass, t).in_unit(unit::GRAM_PER_YEAR);
        let carrying = |rate| leak::throughput_of(rate, mass, t);
        let gram = MassRate::of(1.0, unit::GRAM_PER_YEAR);
        // cm3 a minute at 0 degC and one atmosphere
        let at_zero = leak::throughput_of(five, mass, Temperature::from_si(273.15));
        let sccm = at_zero.si() / 101_325.0 * 1e6 * 60.0;
        let is = |column, ours, unit| cell(row, &at, column, ours, 0.0, unit);
        [
            is("g_per_yr_per_Pa_m3_s", grams(one), "g/yr"),
            is(
                "g_per_yr_per_mbar_l_s",
                grams(LeakRate::of(1.0, unit::MBAR_L_PER_S)),
                "g/yr",
            ),
            is("Pa_m3_s_per_g_yr", carrying(gram).si(), "Pa m3/s"),
            is("Pa_m3_s_for_5_g_yr", carrying(five).si(), "Pa m3/s"),
            is(
                "mbar_l_s_for_5_g_yr",
                carrying(five).in_unit(unit::MBAR_L_PER_S),
                "mbar l/s",
            ),
            is("sccm_0C_for_5_g_yr", sccm, "cm3/min"),
        ]
    };
    Comparison {
        title: "Leak units".into(),
        source: "ideal gas, a year of 365 days, computed elsewhere".into(),
        tolerance: "half a unit of the last digit that is printed".into(),
        notes: Vec::new(),
        values: Compared::worst_of_each(rows(UNITS).iter().flat_map(compared).collect()),
    }
}

/// A refrigerant of the table, by its name without a dash.
fn refrigerant(name: &str) -> Option<Refrigerant> {
    name.parse().ok()
}

fn molar_masses() -> Comparison {
    let compared = |row: &Row| {
        let known = refrigerant(row.text("gas")).map(|r| r.facts().molar_mass);
        let dry = DryGas::ALL
            .into_iter()
            .find(|gas| gas.name().eq_ignore_ascii_case(row.text("gas")))
            .map(DryGas::molar_mass);
        let printed = row.text("M_g_mol");
        // one in the last digit: atomic masses moved between editions
        let last = 2.0 * as_printed(printed);
        let at = row.text("T_ref_K");
        let what = format!("molar mass of {}", row.text("gas"));
        Some(Compared::new(
            what,
            format!("for {at} K"),
            printed,
            known.or(dry)?,
            last,
            "g/mol",
        ))
    };
    Comparison {
        title: "Molar masses of the leak units".into(),
        source: "the same table".into(),
        tolerance: "one in the last digit: atomic masses moved between editions".into(),
        notes: vec!["R-12, air and hydrogen are left out: not known by name here.".into()],
        values: rows(UNITS).iter().filter_map(compared).collect(),
    }
}

fn test_pressure(row: &Row) -> PressureAbs {
    PressureAbs::of(number(row, "N2_test_psig") + 14.696, unit::PSIA)
}

fn open() -> PressureAbs {
    PressureAbs::of(1.0, unit::ATM)
}

/// The pressure of the other gas; that of the test itself for helium and air, which stand for a tracer in the test.
fn operating(row: &Row) -> PressureAbs {
    match row.text("gas") {
        "Helium" | "Air" => test_pressure(row),
        _ => PressureAbs::of(number(row, "p_operating_bar_abs"), unit::BAR_ABS),
    }
}

fn micropascal_second(row: &Row, column: &str) -> Viscosity {
    Viscosity::of(number(row, column), unit::MICROPASCAL_SECOND)
}

/// The three ratios and the three losses of a row: nitrogen and the other gas as they are given.
fn scaled(row: &Row, nitrogen: Gas, gas: Gas, share: [f64; 3]) -> Vec<Compared> {
    let at = format!(
        "{} psig, {} at {} bar",
        row.text("N2_test_psig"),
        row.text("gas"),
        row.text("p_operating_bar_abs")
    );
    let test = Drive::new(nitrogen, test_pressure(row), open()).unwrap();
    let other = Drive::new(gas, operating(row), open()).unwrap();
    let columns = [
        (
            "throughput_ratio_viscous",
            "g_yr_per_1e-4_Pa_m3_s_N2_viscous",
        ),
        ("throughput_ratio_choked", "choked"),
        ("throughput_ratio_molecular", "molecular"),
    ];
    let laws = FlowLaw::ALL.into_iter().zip(columns).zip(share);
    laws.flat_map(|((law, (ratio, grams)), share)| {
        let ours = law.ratio(&test, &other);
        let leak = LeakRate::from_si(1e-4 * ours);
        let mass = leak::mass_rate(leak, gas.molar_mass, leak::reference());
        [
            cell(row, &at, ratio, ours, share, ""),
            cell(
                row,
                &at,
                grams,
                mass.in_unit(unit::GRAM_PER_YEAR),
                share,
                "g/yr",
            ),
        ]
    })
    .collect()
}

fn laws() -> Comparison {
    let units = rows(UNITS);
    let molar_mass = |name: &str| {
        let row = units.iter().find(|row| row.text("gas") == name);
        number(row.unwrap(), "M_g_mol")
    };
    let compared = |row: &Row| {
        let nitrogen = Gas {
            molar_mass: molar_mass("Nitrogen"),
            viscosity: micropascal_second(row, "mu_N2_uPa_s"),
            heat_capacity_ratio: 1.4,
        };
        let gas = Gas {
            molar_mass: molar_mass(row.text("gas")),
            viscosity: micropascal_second(row, "mu_gas_uPa_s"),
            heat_capacity_ratio: number(row, "gamma"),
        };
        // four digits of each viscosity; three decimals of gamma
        scaled(row, nitrogen, gas, [8e-4, 3e-4, 5e-5])
    };
    Comparison {
        title: "Three laws of flow".into(),
        source: "throughput of one hole from nitrogen at test pressure to another gas, computed elsewhere with properties of CoolProp 8.0.0".into(),
        tolerance: "the last digit printed, and what the printed properties were rounded by: 0.08 % viscous (two viscosities of four digits), 0.03 % choked (gamma of three decimals), 0.005 % molecular".into(),
        notes: vec!["With the properties that the table prints: the laws themselves.".into()],
        values: Compared::worst_of_each(rows(SCALING).iter().flat_map(compared).collect()),
    }
}

fn own_gas(row: &Row) -> Option<Gas> {
    if row.text("gas") == "Helium" {
        return Some(Gas::dry(DryGas::Helium, operating(row), leak::reference()).unwrap());
    }
    let refrigerant = refrigerant(row.text("gas"))?;
    let bubble = Saturation::of(refrigerant)
        .bubble_temperature(operating(row))
        .unwrap();
    Some(Gas::vapour(refrigerant, bubble).unwrap())
}

fn laws_with_our_properties() -> Comparison {
    let compared = |row: &Row| {
        let Some(gas) = own_gas(row) else {
            return Vec::new();
        };
        let nitrogen = Gas::dry(DryGas::Nitrogen, test_pressure(row), leak::reference()).unwrap();
        let at = format!(
            "{} psig, {} at {} bar",
            row.text("N2_test_psig"),
            row.text("gas"),
            row.text("p_operating_bar_abs")
        );
        let micro = |eta: Viscosity| eta.in_unit(unit::MICROPASCAL_SECOND);
        let is = |column, ours, share| cell(row, &at, column, ours, share, "");
        // another model of R-22: ours claims 15 %
        let vapour = if row.text("gas") == "R22" { 0.15 } else { 0.01 };
        let mut values = vec![
            is("mu_gas_uPa_s", micro(gas.viscosity), vapour),
            is("mu_N2_uPa_s", micro(nitrogen.viscosity), 0.0),
            is("gamma", gas.heat_capacity_ratio, 0.002),
        ];
        values.extend(scaled(row, nitrogen, gas, [vapour, 0.001, 1e-4]));
        values
    };
    Comparison {
        title: "Three laws of flow with our own properties".into(),
        source: "the same table".into(),
        tolerance: "1 % in the viscosity of vapour, which is taken in proportion to the absolute temperature, and 0.2 % in gamma, from vapour at low pressure; nitrogen as printed".into(),
        notes: vec![
            "Air is left out: not a test gas here.".into(),
            "R-22: the model of Klein and others behind our table gives 12.23 uPa s where the source has 13.55, 10 % more; ours claims 15 %, and that is its tolerance here.".into(),
        ],
        values: Compared::worst_of_each(rows(SCALING).iter().flat_map(compared).collect()),
    }
}

/// A gas of no matter which properties: both sides are the same.
fn same_gas() -> Gas {
    Gas::dry(DryGas::Nitrogen, open(), leak::reference()).unwrap()
}

fn outward(psig: f64) -> [f64; 3] {
    let test = PressureAbs::of(psig + 14.696, unit::PSIA);
    let out = Drive::new(same_gas(), test, open()).unwrap();
    let inward = Drive::new(same_gas(), open(), PressureAbs::from_si(0.0)).unwrap();
    FlowLaw::ALL.map(|law| law.ratio(&inward, &out))
}

fn outward_against_inward() -> Comparison {
    let compared = |row: &Row| {
        let at = format!("{} psig", row.text("N2_test_psig"));
        let [viscous, choked, molecular] = outward(number(row, "N2_test_psig"));
        [
            cell(row, &at, "viscous_ratio_out/in", viscous, 0.0, ""),
            cell(row, &at, "choked_ratio", choked, 0.0, ""),
            cell(row, &at, "molecular_ratio", molecular, 0.0, ""),
        ]
    };
    let table = rows(include_str!("data/outward_vs_inward_drive.csv"));
    Comparison {
        title: "A test outward against a vacuum inward".into(),
        source: "one hole and one gas, nitrogen at test pressure outward against one atmosphere inward, computed elsewhere".into(),
        tolerance: "half a unit of the last digit that is printed".into(),
        notes: Vec::new(),
        values: table.iter().flat_map(compared).collect(),
    }
}

fn vacuum_rise() -> Comparison {
    let compared = |row: &Row| {
        let volume = Volume::of(number(row, "V_L"), unit::LITRE);
        let rise = RiseRate::of(number(row, "rise_um_per_min"), unit::MICRON_PER_MINUTE);
        let at = format!(
            "{} L, {} micron/min",
            row.text("V_L"),
            row.text("rise_um_per_min")
        );
        let leak = leak::throughput(PressureRate::from_si(rise.si()), volume, leak::reference());
        let [viscous, choked, _] = outward(500.0).map(|ratio| {
            let out = LeakRate::from_si(leak.si() * ratio);
            leak::loss_of_pressure(out, volume, leak::reference()).in_unit(unit::PSI_PER_HOUR)
        });
        let grams = leak::mass_rate(leak, 28.965, leak::reference()).in_unit(unit::GRAM_PER_YEAR);
        let is = |column, ours, share, unit| cell(row, &at, column, ours, share, unit);
        [
            is("q_air_in_Pa_m3_s", leak.si(), 0.0, "Pa m3/s"),
            is(
                "mbar_l_s",
                leak.in_unit(unit::MBAR_L_PER_S),
                0.0,
                "mbar l/s",
            ),
            is("air_g_per_yr", grams, 0.0, "g/yr"),
            is(
                "same_hole_500psig_psi_per_h_viscous",
                viscous,
                0.0012,
                "psi/h",
            ),
            is("same_hole_500psig_psi_per_h_choked", choked, 0.0, "psi/h"),
        ]
    };
    let table = rows(include_str!("data/vacuum_rise_to_leak.csv"));
    Comparison {
        title: "Vacuum rise to leak".into(),
        source: "q = V dp/dt of air inward, and the same hole under 500 psig of nitrogen, computed elsewhere".into(),
        tolerance: "half a unit of the last digit that is printed; 0.12 % more in the viscous column".into(),
        notes: vec![
            "The viscous column was computed with a ratio of 1227.0 where the table of drives above prints 1225.6 for the same hole: 0.12 % more, in every row. Ours is that of the table of drives; the choked column agrees with it to the last digit.".into(),
        ],
        values: Compared::worst_of_each(table.iter().flat_map(compared).collect()),
    }
}

fn least_seen() -> Comparison {
    let compared = |row: &Row| {
        let at = format!(
            "{} L, {} psi in {} h",
            row.text("V_L"),
            row.text("detectable_drop_psi"),
            row.text("hold_h")
        );
        let loss = number(row, "detectable_drop_psi") / number(row, "hold_h");
        let leak = leak::throughput(
            PressureRate::of(loss, unit::PSI_PER_HOUR),
            Volume::of(number(row, "V_L"), unit::LITRE),
            leak::reference(),
        );
        let atm = leak.si() / 101_325.0 * 1e6 * 60.0;
        let is = |column, ours, unit| cell(row, &at, column, ours, 0.0, unit);
        [
            is("q_N2_Pa_m3_s", leak.si(), "Pa m3/s"),
            is("mbar_l_s", leak.in_unit(unit::MBAR_L_PER_S), "mbar l/s"),
            is("atm_cm3_per_min", atm, "cm3/min"),
        ]
    };
    let table = rows(include_str!("data/min_detectable.csv"));
    Comparison {
        title: "The smallest leak that a drop shows".into(),
        source: "q = V dp/t, computed elsewhere".into(),
        tolerance: "half a unit of the last digit that is printed".into(),
        notes: Vec::new(),
        values: Compared::worst_of_each(table.iter().flat_map(compared).collect()),
    }
}

pub fn comparisons() -> Vec<Comparison> {
    vec![
        units_of_leaks(),
        molar_masses(),
        laws(),
        laws_with_our_properties(),
        outward_against_inward(),
        vacuum_rise(),
        least_seen(),
    ]
}

#[test]
fn every_unit() {
    units_of_leaks().holds(26 * 6);
    molar_masses().holds(20);
}

#[test]
fn every_row_of_the_laws() {
    laws().holds(36 * 6);
    laws_with_our_properties().holds(32 * 9);
    outward_against_inward().holds(4 * 3);
}

#[test]
fn rise_and_drop() {
    vacuum_rise().holds(20 * 5);
    least_seen().holds(60 * 3);
}
