//! Where the rise of an evacuation begins: typed, by a phase column, by the valve to the pump; and its pump-down.

use std::fs;

use lineproof::check::Segment;
use lineproof::check::dry::{Input, ShutOffBy};
use lineproof::quantity::{Quantity, UnitSystem, unit};
use lineproof::record::*;

use super::{flared, minute, new_event, quantity};

/// The pump pulls for 15 min, a reading a minute, and then it rises by 2 micron a minute.
fn micron(minutes: i32) -> f64 {
    let m = f64::from(minutes);
    if minutes < 15 {
        250.0 + 700_000.0 * (-m).exp()
    } else {
        250.0 + 2.0 * (m - 15.0)
    }
}

/// Pump-down and rise in one file, with a phase column that turns at a minute.
fn log(turns: Option<i32>) -> String {
    let mut text = String::from(match turns {
        Some(_) => "t_min,p_micron,phase\n",
        None => "t_min,p_micron\n",
    });
    for m in 0..40 {
        text += &format!("{m},{:.0}", micron(m));
        if let Some(turns) = turns {
            text += if m < turns { ",pump on" } else { ",isolated" };
        }
        text += "\n";
    }
    text
}

struct Kept {
    home: tempfile::TempDir,
    record: Record,
}

impl Kept {
    fn new() -> Kept {
        let home = tempfile::tempdir().unwrap();
        let record = Record::create(&home.path().join("record"), flared()).unwrap();
        Kept { home, record }
    }

    fn file(&self, name: &str, text: &str) -> LogFile {
        let source = self.home.path().join(name);
        fs::write(&source, text).unwrap();
        self.record.attach_log(&source).unwrap()
    }

    /// The valve to the pump, so many minutes after the evacuation began.
    fn valve(mut self, after: i64, to: Position) -> Kept {
        let moved = new_event(after, PumpValveMoved { to });
        self.record.append(moved).unwrap();
        self
    }

    /// The evacuation, written and read again, and what it is judged from.
    fn input(mut self, evacuation: Evacuation) -> Result<Input, String> {
        self.record.append(new_event(0, evacuation)).unwrap();
        let record = Record::open(&self.record.folder).unwrap();
        let event = record.events.last().unwrap();
        let EventBody::Evacuation(evacuation) = &event.body else {
            panic!("an evacuation was added last");
        };
        let input = record.dry_input(event, evacuation, UnitSystem::Us);
        input.map_err(|error| error.to_string())
    }
}

fn evacuation(log: LogFile) -> Evacuation {
    Evacuation {
        covers: vec![Segment::LiquidLine],
        rule: None,
        gauge: None,
        valves: None,
        isolated_after: None,
        coldest: None,
        ambient: None,
        until: None,
        log: Some(log),
        pump_down: None,
        readings: Vec::new(),
    }
}

/// The first and the last reading that count, micron, and when the pump was shut off by what.
fn begins(input: &Input) -> (f64, f64, Option<(f64, ShutOffBy)>) {
    let read = |at: usize| input.pressure[at].in_unit(unit::MICRON).round();
    let shut_off = input.shut_off.as_ref();
    (
        read(0),
        read(input.pressure.len() - 1),
        shut_off.map(|s| (s.after_min, s.by.clone())),
    )
}

#[test]
fn what_is_typed_comes_before_the_phase_column_and_that_before_the_valve() {
    let kept = Kept::new().valve(17, Position::Shut);
    let log = kept.file("a.csv", &log(Some(16)));
    let typed = Evacuation {
        isolated_after: Some(quantity("20 min")),
        ..evacuation(log)
    };
    let input = kept.input(typed).unwrap();
    let told = Some((20.0, ShutOffBy::Told));
    assert_eq!(begins(&input), (260.0, 298.0, told));
    assert_eq!(input.minutes[0], 0.0);

    let kept = Kept::new().valve(17, Position::Shut);
    let log = kept.file("a.csv", &self::log(Some(16)));
    let input = kept.input(evacuation(log)).unwrap();
    let phase = Some((16.0, ShutOffBy::Phase("isolated".into())));
    assert_eq!(begins(&input), (252.0, 298.0, phase));
}

#[test]
fn the_valve_to_the_pump_says_where_the_rise_begins_and_where_it_ends() {
    let kept = Kept::new()
        .valve(0, Position::Open)
        .valve(15, Position::Shut);
    let log = kept.file("a.csv", &self::log(None));
    let input = kept.input(evacuation(log)).unwrap();
    let valve = |number| Some((15.0, ShutOffBy::Valve(number)));
    assert_eq!(begins(&input), (250.0, 298.0, valve(2)));

    let kept = Kept::new()
        .valve(15, Position::Shut)
        .valve(30, Position::Open);
    let log = kept.file("a.csv", &self::log(None));
    let input = kept.input(evacuation(log)).unwrap();
    assert_eq!(begins(&input), (250.0, 278.0, valve(1)));
    let shut_off = input.shut_off.unwrap();
    assert_eq!(shut_off.until_min, Some(30.0));

    // of three evacuations in one log the last counts, and what happened on another day does not
    let kept = Kept::new()
        .valve(-600, Position::Shut)
        .valve(5, Position::Shut)
        .valve(8, Position::Open)
        .valve(15, Position::Shut)
        .valve(600, Position::Open);
    let log = kept.file("a.csv", &self::log(None));
    let input = kept.input(evacuation(log)).unwrap();
    assert_eq!(begins(&input), (250.0, 298.0, valve(4)));
    assert_eq!(input.shut_off.unwrap().until_min, None);
}

#[test]
fn with_nothing_said_all_of_it_is_taken() {
    let kept = Kept::new().valve(-10, Position::Shut);
    let log = kept.file("a.csv", &self::log(None));
    let input = kept.input(evacuation(log)).unwrap();
    assert_eq!(begins(&input), (700_250.0, 298.0, None));
}

#[test]
fn the_pump_pulling_again_ends_the_isolated_phase() {
    let mut text = log(Some(15));
    for m in 40..50 {
        text += &format!("{m},200,pump on\n");
    }
    let kept = Kept::new();
    let log = kept.file("a.csv", &text);
    let input = kept.input(evacuation(log)).unwrap();
    let phase = Some((15.0, ShutOffBy::Phase("isolated".into())));
    assert_eq!(begins(&input), (250.0, 298.0, phase));
    assert_eq!(input.shut_off.unwrap().until_min, Some(40.0));
}

#[test]
fn readings_by_hand_while_the_pump_pulled_are_left_out() {
    let reading = |(after, vacuum, phase): (&str, &str, Option<Phase>)| VacuumReading {
        at: None,
        after: Some(quantity(after)),
        vacuum: quantity(vacuum),
        phase,
    };
    let with = |readings: Vec<VacuumReading>| {
        let kept = Kept::new();
        let log = kept.file("a.csv", "t_min,p_micron\n0,1\n");
        let mut record = kept.record;
        record.lineset.instruments.push(InstrumentFacts {
            id: "v".into(),
            kind: InstrumentKind::VacuumGauge,
            accuracy: None,
            resolution: Some("1 micron".into()),
            full_scale: None,
        });
        let evacuation = Evacuation {
            gauge: Some("v".into()),
            log: None,
            readings,
            ..evacuation(log)
        };
        let event = super::event(1, 0, evacuation.clone());
        let input = record.dry_input(&event, &evacuation, UnitSystem::Us);
        input.map_err(|error| error.to_string())
    };
    let pumping = Some(Phase::Pumping);
    let rise = [
        ("0 min", "9000 micron", pumping),
        ("10 min", "400 micron", pumping),
        ("12 min", "410 micron", Some(Phase::Isolated)),
        ("20 min", "430 micron", None),
    ];
    let input = with(rise.into_iter().map(reading).collect()).unwrap();
    let phase = Some((12.0, ShutOffBy::Phase("isolated".into())));
    assert_eq!(begins(&input), (410.0, 430.0, phase));
    assert_eq!(input.minutes, [0.0, 8.0]);
    let error = with(rise[..2].iter().copied().map(reading).collect()).unwrap_err();
    assert!(
        error.contains("by their phase all its readings were taken while the pump pulled"),
        "{error}"
    );
}

#[test]
fn a_time_that_no_reading_belongs_to_is_refused() {
    for wrong in ["50 min", "39.1 min"] {
        let kept = Kept::new();
        let log = kept.file("a.csv", &self::log(None));
        let typed = Evacuation {
            isolated_after: Some(quantity(wrong)),
            ..evacuation(log)
        };
        let error = kept.input(typed).unwrap_err();
        assert!(
            error.contains("lies outside its readings, 0 to 39.00 min; count it from the first"),
            "{error}"
        );
    }
}

#[test]
fn the_pump_down_is_read_from_the_same_log_or_from_one_of_its_own() {
    let kept = Kept::new().valve(15, Position::Shut);
    let log = kept.file("a.csv", &self::log(None));
    let input = kept.input(evacuation(log)).unwrap();
    let pumped = input.pumped.expect("the pump-down is in the same log");
    let deepest = pumped.log.deepest.1.in_unit(unit::MICRON);
    assert!((deepest - 250.0).abs() < 2.0, "{deepest}");
    assert_eq!(pumped.minutes.len(), 16);

    let rise = "t_min,p_micron\n0,250\n5,260\n10,270\n20,290\n";
    let kept = Kept::new();
    let (log, own) = (
        kept.file("rise.csv", rise),
        kept.file("pump.csv", &self::log(None)),
    );
    let both = Evacuation {
        pump_down: Some(own),
        ..evacuation(log)
    };
    let input = kept.input(both).unwrap();
    assert_eq!(begins(&input), (250.0, 290.0, None));
    assert!(input.pumped.is_some());

    // a rise alone holds none, and a file given as one has to hold one
    let kept = Kept::new();
    let log = kept.file("rise.csv", rise);
    assert!(kept.input(evacuation(log)).unwrap().pumped.is_none());
    let kept = Kept::new();
    let wrong = Evacuation {
        pump_down: Some(kept.file("pump.csv", rise)),
        ..evacuation(kept.file("rise.csv", rise))
    };
    let error = kept.input(wrong).unwrap_err();
    assert!(
        error.starts_with("event 1, its pump-down: ") && error.contains("no pump-down"),
        "{error}"
    );
}

#[test]
fn the_second_file_is_verified_and_never_exchanged() {
    let kept = Kept::new();
    let both = Evacuation {
        pump_down: Some(kept.file("pump.csv", &log(None))),
        ..evacuation(kept.file("rise.csv", "t_min,p_micron\n0,250\n5,260\n"))
    };
    let Kept { home, mut record } = kept;
    record.append(new_event(0, both)).unwrap();
    let fates = || verify(&record.folder).unwrap().files;
    let names: Vec<String> = fates().into_iter().map(|f| f.file).collect();
    assert_eq!(names, ["logs/rise.csv", "logs/pump.csv"]);
    assert!(fates().iter().all(|f| f.fate == FileFate::Intact));
    let path = home.path().join("record/logs/pump.csv");
    fs::write(&path, "t_min,p_micron\n0,1\n").unwrap();
    assert!(matches!(fates()[1].fate, FileFate::Edited { .. }));
    let mut record = Record::open(&home.path().join("record")).unwrap();
    for field in ["pump_down", "pump_down.sha256"] {
        let refused = record.correct(1, field, Some("x"), None, minute(1), minute(2));
        let error = refused.unwrap_err().to_string();
        assert!(
            error.contains("is not exchanged under its event"),
            "{error}"
        );
    }
}

/// A line as an older program wrote it reads as ever, and an evacuation without a second file is written as ever.
#[test]
fn an_older_line_reads_and_is_written_unchanged() {
    let old = r#"{"covers":["liquid-line"],"isolated_after":"5 min","readings":[{"after":"0 min","vacuum":"300 micron"}]}"#;
    let read: Evacuation = serde_json::from_str(old).unwrap();
    assert_eq!(read.pump_down, None);
    let written = serde_json::to_string(&read).unwrap();
    assert!(!written.contains("pump_down"), "{written}");
    assert_eq!(serde_json::from_str::<Evacuation>(&written).unwrap(), read);
}

/// The volume is that of what was evacuated, by its tubes where nobody stated it, and none where a part is not known.
#[test]
fn the_volume_is_that_of_what_was_evacuated() {
    use Segment::{IndoorCoil, LiquidLine, OutdoorUnit, VapourLine};
    let litres = |covers: &[Segment], stated: Option<&str>| {
        let mut lineset = flared();
        let lines = &mut lineset.line_set;
        lines.liquid = Some(Tube {
            od: quantity("3/8 in"),
            wall: Some(quantity("0.8 mm")),
            length: quantity("10 m"),
        });
        lines.volume = stated.map(quantity);
        let kept = Kept::new();
        let evacuation = Evacuation {
            covers: covers.to_vec(),
            ..evacuation(kept.file("a.csv", "t_min,p_micron\n0,1\n"))
        };
        let record = Record {
            lineset,
            ..kept.record
        };
        let volume = record.volume_evacuated(&evacuation).unwrap();
        volume.map(|v| v.in_unit(unit::LITRE))
    };
    // 7.925 mm inside: 49.3 mm2, 0.493 L in 10 m
    let line = litres(&[LiquidLine], Some("2.9 L")).unwrap();
    assert!((line - 0.493).abs() < 0.002, "{line}");
    let all = [LiquidLine, VapourLine, IndoorCoil];
    assert_eq!(litres(&all, None), None);
    let stated = litres(&all, Some("2.9 L")).unwrap();
    assert!((stated - 2.9).abs() < 1e-9);
    let circuit = [OutdoorUnit, LiquidLine, VapourLine, IndoorCoil];
    assert_eq!(litres(&circuit, Some("2.9 L")), None);
}

/// The valve to the pump is none of the circuit's: what rests on where those stand does not move with it.
#[test]
fn the_valve_to_the_pump_touches_nothing() {
    for to in [Position::Open, Position::Shut] {
        let body = EventBody::from(PumpValveMoved { to });
        assert!(coverage::voids(&body, &flared()).is_empty());
        let route = |events: &[Event]| Route::of(&flared(), events);
        assert_eq!(route(&[super::event(1, 0, body)]), route(&[]));
    }
}
