use proptest::prelude::*;

use super::*;

fn fahrenheit(t: f64) -> Temperature {
    Temperature::of(t, unit::FAHRENHEIT)
}

fn read(t: f64) -> Measured<Temperature> {
    Measured {
        value: fahrenheit(t),
        standard_uncertainty: TemperatureDiff::of(0.5, unit::FAHRENHEIT_DIFF),
        origin: crate::quantity::Origin::Reading("thermometer".into()),
    }
}

fn table(text: &str) -> Result<TargetTable, TableError> {
    TargetTable::parse(text, SourceId::UnitInstructions)
}

fn degf(looked: Looked) -> f64 {
    looked
        .target()
        .unwrap()
        .value
        .in_unit(unit::FAHRENHEIT_DIFF)
}

const TYPED: &str = "\
outdoor_F,wb_60,wb_62,wb_64,wb_66
75,12,15,18,21
80,9,12,15,18
85,6,9,12,15
90,-,6,9,12
";

/// Case C28: one cell breaks the order of its row and column; nothing is interpolated through it.
#[test]
fn a_cell_that_breaks_the_order_is_named_and_refused() {
    let wrong = TYPED.replace("80,9,12,15,18", "80,9,21,15,18");
    let table = table(&wrong).unwrap();
    assert_eq!(
        table.cells_out_of_order(),
        ["outdoor air 80, return wet bulb 62: 21"]
    );
    let error = table.at(fahrenheit(78.0), fahrenheit(61.0)).unwrap_err();
    assert!(
        error.to_string().starts_with(
            "the table's cell at outdoor air 80, return wet bulb 62 is 21, which breaks the order"
        ),
        "{error}"
    );
    // its neighbours stay usable
    let away = table.at(fahrenheit(87.0), fahrenheit(65.0)).unwrap();
    assert!(matches!(away, Cell::Target(_)));
    let beside = table.at(fahrenheit(80.0), fahrenheit(64.0)).unwrap();
    assert!(matches!(beside, Cell::Target(_)));
}

/// A cell that breaks its row alone cannot be told from the neighbour that it contradicts: both are refused.
#[test]
fn where_it_cannot_be_told_which_cell_is_wrong_both_are_named() {
    let wrong = "outdoor_F,wb_60,wb_62,wb_64\n80,9,13,12.5\n85,6,9,12\n";
    let named = table(wrong).unwrap().cells_out_of_order();
    assert_eq!(named.len(), 2, "{named:?}");
}

#[test]
fn a_right_table_has_nothing_out_of_order_and_equal_neighbours_are_in_order() {
    assert!(table(TYPED).unwrap().cells_out_of_order().is_empty());
    let whole = "outdoor_F,wb_60,wb_62\n75,12,12\n80,9,10\n85,9,9\n";
    assert!(table(whole).unwrap().cells_out_of_order().is_empty());
}

#[test]
fn a_dash_is_a_stop_and_never_zero() {
    let table = table(TYPED).unwrap();
    let looked = table.look_up(&read(88.0), &read(61.0)).unwrap();
    assert!(matches!(looked, Looked::NoTest { .. }));
    // on the printed line beside the dash it is not needed
    assert!((degf(table.look_up(&read(88.0), &read(62.0)).unwrap()) - 7.2).abs() < 1e-9);
    for dash in ["", "--", "–", "—"] {
        let text = TYPED.replace("90,-", &format!("90,{dash}"));
        assert_eq!(
            super::table::TargetTable::parse(&text, SourceId::UnitInstructions).unwrap(),
            table
        );
    }
}

#[test]
fn outside_the_axes_is_an_error_that_says_the_range() {
    let table = table(TYPED).unwrap();
    let error = table.look_up(&read(95.0), &read(62.0)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "outdoor air 95.0 °F (35.0 °C) is outside the table: it goes from 75.0 °F (23.9 °C) to 90.0 °F (32.2 °C); check the reading and its unit"
    );
    assert!(table.look_up(&read(80.0), &read(59.9)).is_err());
}

#[test]
fn celsius_semicolons_and_decimal_commas_are_read() {
    let text =
        "\u{feff}# from the cover of the unit\noutdoor_C;wb_16,5;wb_18\n25;6,5;8\n30;-;5,5\n";
    let table = table(text).unwrap();
    let celsius = |t| Temperature::of(t, unit::CELSIUS);
    let Cell::Target(target) = table.at(celsius(25.0), celsius(17.25)).unwrap() else {
        panic!("a target")
    };
    assert!((target.si() - 7.25).abs() < 1e-9);
}

#[test]
fn what_is_no_table_says_what_one_looks_like() {
    let cases = [
        ("", "the table is empty"),
        ("# nothing\n", "the table is empty"),
        (
            "outdoor,wb_60,wb_62\n75,1,2\n80,1,2\n",
            "the first cell \"outdoor\" names no axis with its unit",
        ),
        ("outdoor_F,60,62\n75,1,2\n80,1,2\n", "column 2, \"60\""),
        (
            "outdoor_F,wb_60,db_62\n75,1,2\n80,1,2\n",
            "column 3, \"db_62\"",
        ),
        (
            "return_F,db_60,db_62\n75,1,2\n80,1,2\n",
            "rows and columns both count the return air",
        ),
        (
            "outdoor_F,wb_60,wb_62\nhot,1,2\n80,1,2\n",
            "line 2: \"hot\" is no temperature",
        ),
        (
            "outdoor_F,wb_60,wb_62\n75,1,x\n80,1,2\n",
            "line 2, column wb_62: \"x\" is no number",
        ),
        (
            "outdoor_F,wb_60,wb_62\n75,1\n80,1,2\n",
            "line 2 has 2 cells, the first line 3",
        ),
        (
            "outdoor_F,wb_60,wb_62\n80,1,2\n75,1,2\n",
            "outdoor air 75 after 80",
        ),
        (
            "outdoor_F,wb_62,wb_60\n75,1,2\n80,1,2\n",
            "return wet bulb 60 after 62",
        ),
        ("outdoor_F,wb_60,wb_62\n75,1,2\n", "1 rows and 2 columns"),
        (
            "outdoor_F\n75\n80\n",
            "0 rows and 0 columns: a table has 2 to 200 of each",
        ),
        (
            "outdoor_C,wb_60,wb_62\n75,1,2\n80,1,2\n",
            "outside -40 to 60 °C",
        ),
        (
            "outdoor_F,wb_60,wb_62\n75,-5,2\n80,1,2\n",
            "a target of -5 is outside 0 to 80 °F",
        ),
    ];
    for (text, says) in cases {
        let error = table(text).unwrap_err().to_string();
        assert!(error.contains(says), "{text:?}: {error}");
    }
}

/// The target is moved by a thermometer as far as its slope says.
#[test]
fn the_uncertainty_follows_the_slope() {
    let table = table(TYPED).unwrap();
    let target = table
        .look_up(&read(82.0), &read(63.0))
        .unwrap()
        .target()
        .unwrap();
    // 1.5 °F for each °F of wet bulb, -0.6 for each of outdoor air, both known to 0.5 °F
    let expected = 0.5 * 1.5f64.hypot(0.6);
    assert!((target.standard_uncertainty.in_unit(unit::FAHRENHEIT_DIFF) - expected).abs() < 1e-9);
    assert_eq!(target.parts[0].0, "return wet bulb");
}

proptest! {
    #[test]
    fn a_warmer_wet_bulb_never_lowers_the_superheat_target(
        dry in 55.0..115.0f64, wet in 50.0..75.9f64, more in 0.0..5.0f64,
    ) {
        let at = |wet: f64| superheat_table().at(fahrenheit(dry), fahrenheit(wet.min(76.0))).unwrap();
        if let (Cell::Target(a), Cell::Target(b)) = (at(wet), at(wet + more)) {
            prop_assert!(b.si() >= a.si() - 1e-9);
        }
    }

    #[test]
    fn warmer_outdoor_air_never_raises_the_superheat_target(
        dry in 55.0..114.9f64, wet in 50.0..76.0f64, more in 0.0..5.0f64,
    ) {
        let at = |dry: f64| superheat_table().at(fahrenheit(dry.min(115.0)), fahrenheit(wet)).unwrap();
        if let (Cell::Target(a), Cell::Target(b)) = (at(dry), at(dry + more)) {
            prop_assert!(b.si() <= a.si() + 1e-9);
        }
    }

    #[test]
    fn a_dash_never_lies_beyond_a_target_on_the_warm_side(dry in 55.0..115.0f64, wet in 50.0..75.0f64) {
        let at = |wet| superheat_table().at(fahrenheit(dry), fahrenheit(wet)).unwrap();
        if matches!(at(wet), Cell::Target(_)) {
            prop_assert!(matches!(at(wet + 1.0), Cell::Target(_)));
        }
    }

    #[test]
    fn a_wetter_return_lowers_the_target_split(dry in 70.0..84.0f64, wet in 50.0..75.0f64) {
        let at = |wet| split_table().at(fahrenheit(dry), fahrenheit(wet)).unwrap();
        if let (Cell::Target(a), Cell::Target(b)) = (at(wet), at(wet + 1.0)) {
            prop_assert!(b < a);
        }
    }

    #[test]
    fn any_text_is_a_table_or_an_error(text in "[\\PC\n]{0,200}") {
        let _ = table(&text);
    }

    #[test]
    fn one_wrong_cell_in_a_steady_table_is_the_one_that_is_named(
        row in 0..5usize, column in 0..6usize, off in prop_oneof![-40.0..-15.0f64, 15.0..40.0f64],
    ) {
        let value = |r: usize, c: usize| 40.0 - 3.0 * r as f64 + 4.0 * c as f64;
        let cells: Vec<Vec<Option<f64>>> = (0..5)
            .map(|r| (0..6).map(|c| Some(value(r, c) + if (r, c) == (row, column) { off } else { 0.0 })).collect())
            .collect();
        let broken = order::broken(&cells);
        // at the end of a row and column a wrong cell may keep the order
        prop_assert!(broken.is_empty() || broken.contains(&(row, column)), "{:?}", broken);
        let inner = (1..4).contains(&row) && (1..5).contains(&column);
        if inner {
            prop_assert_eq!(broken, vec![(row, column)]);
        }
    }

    #[test]
    fn a_wider_thermometer_never_narrows_the_target(u in 0.0..2.0f64, more in 0.0..2.0f64) {
        let of = |u: f64| {
            let read = |t| Measured {
                value: fahrenheit(t),
                standard_uncertainty: TemperatureDiff::of(u, unit::FAHRENHEIT_DIFF),
                origin: crate::quantity::Origin::Unit,
            };
            let target = target_superheat(&read(85.0), &read(68.0)).unwrap().target().unwrap();
            target.standard_uncertainty.si()
        };
        prop_assert!(of(u + more) >= of(u) - 1e-9);
    }
}
