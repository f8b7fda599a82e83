//! Workbooks, and files that only look like one.

use std::io::Write;
use std::path::PathBuf;

use lineproof::quantity::Barometer;
use lineproof::record::logger::{Asked, HoldLog, LoggerError, read_hold};
use zip::write::SimpleFileOptions;

use crate::{near, psig, refused};

/// A cell of the sheets below.
enum Cell<'a> {
    Words(&'a str),
    Number(&'a str),
    /// A date and time as days since 1899-12-30.
    Days(f64),
    Nothing,
}
use Cell::{Days, Nothing, Number, Words};

fn sheet_xml(rows: &[Vec<Cell>]) -> String {
    let mut xml = String::from(
        r#"<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>"#,
    );
    for (r, row) in rows.iter().enumerate() {
        xml += &format!(r#"<row r="{}">"#, r + 1);
        for (c, cell) in row.iter().enumerate() {
            let at = format!("{}{}", char::from(b'A' + c as u8), r + 1);
            xml += &match cell {
                Words(text) => format!(r#"<c r="{at}" t="inlineStr"><is><t>{text}</t></is></c>"#),
                Number(number) => format!(r#"<c r="{at}"><v>{number}</v></c>"#),
                Days(days) => format!(r#"<c r="{at}" s="1"><v>{days}</v></c>"#),
                Nothing => String::new(),
            };
        }
        xml += "</row>";
    }
    xml + "</sheetData></worksheet>"
}

/// The parts of a workbook, as little as a reader needs.
fn parts(sheets: &[(&str, String)]) -> Vec<(String, Vec<u8>)> {
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let rels = "http://schemas.openxmlformats.org/package/2006/relationships";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let (mut list, mut targets) = (String::new(), String::new());
    for (i, (name, _)) in sheets.iter().enumerate() {
        let n = i + 1;
        list += &format!(r#"<sheet name="{name}" sheetId="{n}" r:id="rId{n}"/>"#);
        targets += &format!(
            r#"<Relationship Id="rId{n}" Type="{office}/worksheet" Target="worksheets/sheet{n}.xml"/>"#
        );
    }
    targets += &format!(r#"<Relationship Id="rId99" Type="{office}/styles" Target="styles.xml"/>"#);
    let mut parts = vec![
        (
            "_rels/.rels".to_string(),
            format!(
                r#"<Relationships xmlns="{rels}"><Relationship Id="rId1" Type="{office}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#
            ),
        ),
        (
            "xl/workbook.xml".to_string(),
            format!(
                r#"<workbook xmlns="{main}" xmlns:r="{office}"><sheets>{list}</sheets></workbook>"#
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels".to_string(),
            format!(r#"<Relationships xmlns="{rels}">{targets}</Relationships>"#),
        ),
        (
            "xl/styles.xml".to_string(),
            format!(
                r#"<styleSheet xmlns="{main}"><cellXfs><xf numFmtId="0"/><xf numFmtId="22"/></cellXfs></styleSheet>"#
            ),
        ),
    ];
    for (i, (_, xml)) in sheets.iter().enumerate() {
        parts.push((format!("xl/worksheets/sheet{}.xml", i + 1), xml.clone()));
    }
    parts
        .into_iter()
        .map(|(name, xml)| (name, xml.into_bytes()))
        .collect()
}

fn packed(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(name.as_str(), SimpleFileOptions::default())
            .unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn read(bytes: &[u8], asked: &Asked) -> Result<HoldLog, LoggerError> {
    let dir = tempfile::tempdir().unwrap();
    let path: PathBuf = dir.path().join("log.xlsx");
    std::fs::write(&path, bytes).unwrap();
    read_hold(&path, asked, Barometer::standard())
}

fn night() -> Vec<Vec<Cell<'static>>> {
    vec![
        vec![Words("Gauge with memory")],
        vec![],
        vec![Words("time"), Words("p_psig"), Words("T_outdoor_F")],
        // 2026-03-01 18:00:00 and every half hour after it
        vec![Days(46_082.75), Number("450"), Number("60.5")],
        vec![
            Days(46_082.770_833_333_336),
            Number("449.5"),
            Number("60.1"),
        ],
        vec![
            Days(46_082.791_666_666_664),
            Number("449.00000000000006"),
            Number("59.8"),
        ],
    ]
}

#[test]
fn the_only_sheet_is_read_with_its_dates() {
    let log = read(
        &packed(&parts(&[("Log", sheet_xml(&night()))])),
        &Asked::default(),
    )
    .unwrap();
    near(&psig(&log), &[450.0, 449.5, 449.0]);
    near(&log.hours, &[0.0, 0.5, 1.0]);
    assert_eq!(log.outdoor.unwrap().len(), 3);
}

#[test]
fn the_line_of_an_error_is_the_row_of_the_sheet() {
    let mut rows = night();
    rows[4][1] = Words("OL");
    let bytes = packed(&parts(&[("Log", sheet_xml(&rows))]));
    refused(
        read(&bytes, &Asked::default()),
        &["line 5", "\"p_psig\"", "\"OL\" is no reading"],
    );
    rows[4][1] = Nothing;
    let bytes = packed(&parts(&[("Log", sheet_xml(&rows))]));
    refused(
        read(&bytes, &Asked::default()),
        &["line 5", "\"\" is no reading"],
    );
}

#[test]
fn one_of_several_sheets_is_asked_for() {
    let other = vec![
        vec![Words("t_h"), Words("p_psig")],
        vec![Number("0"), Number("300")],
        vec![Number("1"), Number("299")],
    ];
    let empty = sheet_xml(&[]);
    let one = packed(&parts(&[("Night", sheet_xml(&night())), ("Sheet2", empty)]));
    assert!(
        read(&one, &Asked::default()).is_ok(),
        "an empty sheet is no choice"
    );
    let two = packed(&parts(&[
        ("Night", sheet_xml(&night())),
        ("Day", sheet_xml(&other)),
    ]));
    refused(
        read(&two, &Asked::default()),
        &["several sheets: \"Night\", \"Day\"", "--sheet"],
    );
    let sheet = |name: &str| Asked {
        sheet: Some(name.into()),
        ..Asked::default()
    };
    near(&psig(&read(&two, &sheet("Day")).unwrap()), &[300.0, 299.0]);
    refused(
        read(&two, &sheet("Week")),
        &["no sheet \"Week\"", "\"Night\", \"Day\""],
    );
}

/// 400 MB of noughts pack into less than half a megabyte.
#[test]
fn a_file_that_unpacks_too_far_is_refused() {
    let mut parts = parts(&[("Log", sheet_xml(&night()))]);
    parts.push(("xl/media/large.bin".into(), vec![0; 400 << 20]));
    let bomb = packed(&parts);
    assert!(bomb.len() < 1 << 20, "{}", bomb.len());
    refused(
        read(&bomb, &Asked::default()),
        &["unpacks to more than 256 MiB"],
    );

    // the same with a small size written where sizes are declared: the real one counts
    let real = (400u32 << 20).to_le_bytes();
    let mut liar = bomb.clone();
    let mut found = 0;
    for at in 0..liar.len() - 4 {
        if liar[at..at + 4] == real {
            liar[at..at + 4].copy_from_slice(&1000u32.to_le_bytes());
            found += 1;
        }
    }
    assert!(found >= 1, "no declared size was found");
    assert!(read(&liar, &Asked::default()).is_err());
}

#[test]
fn a_cell_far_to_the_right_does_not_fill_the_memory() {
    let xml = r#"<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>"#;
    let bytes = packed(&parts(&[("Log", xml.to_string())]));
    refused(
        read(&bytes, &Asked::default()),
        &["row 1048576", "column 16384"],
    );
}

#[test]
fn what_is_no_workbook_is_said() {
    refused(
        read(b"PK\x03\x04 and then nothing", &Asked::default()),
        &["no workbook that can be read"],
    );
    refused(
        read(b"\xd0\xcf\x11\xe0 an old one", &Asked::default()),
        &[".xls", "save it as .xlsx"],
    );
    let sheet = Asked {
        sheet: Some("Log".into()),
        ..Asked::default()
    };
    refused(
        read(b"t_h,p_psig\n0,450\n1,449\n", &sheet),
        &["it is text and has no sheet"],
    );
}
