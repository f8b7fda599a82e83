//! The line of column names: where it stands, what separates its cells, and whether units stand below it.

use super::column::{Asked, Kind, Role};
use super::name::is_unit;

/// How far down the column names are looked for.
const SEARCHED: usize = 120;

/// Where the names stand, and where the rows begin.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    pub separator: u8,
    /// Whether quotes enclose cells; not in the text of a workbook's sheet.
    pub quotes: bool,
    pub names: Vec<String>,
    /// The cells of a row of units below the names; empty without one.
    pub units: Vec<String>,
    /// The line of the names.
    pub line: u64,
    /// How many lines with something in them were passed over before it.
    pub passed_over: usize,
    /// Where the rows begin: byte and line.
    pub start: usize,
    pub start_line: u64,
}

/// What was found under one separator.
enum Found {
    /// Names, and whether one of them is the time's.
    Names {
        layout: Layout,
        time: bool,
    },
    /// Two lines that could be the names.
    Several(u64, u64),
    Nothing,
}

struct Line {
    line: u64,
    cells: Vec<String>,
    end: usize,
    end_line: u64,
}

/// What stands at the top of a file.
pub(super) enum Top {
    Names(Layout),
    /// No line is surely the names: the first one is taken, and what it lacks is said.
    First(Layout),
    Several(u64, u64),
}

/// Finds the names; `separators` are tried from the most to the least likely.
pub(super) fn find(text: &str, separators: &[u8], quotes: bool, kind: Kind, asked: &Asked) -> Top {
    // "# t_h,p_psig" above the rows are names all the same
    let found = [true, false]
        .iter()
        .find_map(|comments| under_any(text, separators, (quotes, *comments), kind, asked));
    found.unwrap_or_else(|| Top::First(first(text, separators, quotes)))
}

fn under_any(
    text: &str,
    separators: &[u8],
    (quotes, comments): (bool, bool),
    kind: Kind,
    asked: &Asked,
) -> Option<Top> {
    let mut best: Option<(bool, Layout)> = None;
    let mut several = None;
    for separator in separators {
        let lines = first_lines(text, *separator, quotes, comments);
        match choose(&lines, *separator, quotes, kind, asked) {
            Found::Names { layout, time } => {
                let better = best
                    .as_ref()
                    .is_none_or(|(t, b)| (time, layout.names.len()) > (*t, b.names.len()));
                if better {
                    best = Some((time, layout));
                }
            }
            Found::Several(a, b) => several = several.or(Some((a, b))),
            Found::Nothing => {}
        }
    }
    match (best, several) {
        (Some((_, layout)), _) => Some(Top::Names(layout)),
        (None, Some((a, b))) => Some(Top::Several(a, b)),
        (None, None) => None,
    }
}

/// The first line as names, with whichever separator it has most of.
fn first(text: &str, separators: &[u8], quotes: bool) -> Layout {
    let line = text
        .lines()
        .find(|l| !l.starts_with('#') && !l.trim().is_empty())
        .unwrap_or_default();
    let separator = separators
        .iter()
        .copied()
        .max_by_key(|s| (line.bytes().filter(|b| b == s).count(), *s == b','))
        .unwrap_or(b',');
    match first_lines(text, separator, quotes, true).as_slice() {
        [] => Layout {
            separator,
            quotes,
            names: Vec::new(),
            units: Vec::new(),
            line: 1,
            passed_over: 0,
            start: text.len(),
            start_line: 1,
        },
        lines => layout(lines, 0, separator, quotes),
    }
}

/// The lines of a text; those with `#` are passed over where they are comments.
pub(super) fn reader(
    text: &str,
    separator: u8,
    quotes: bool,
    comments: bool,
) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(separator)
        .quoting(quotes)
        .comment(comments.then_some(b'#'))
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes())
}

/// The line on which a record begins; the reader counts from the blank lines and comments above it.
pub(super) fn line_of(text: &str, record: &csv::StringRecord, comments: bool) -> u64 {
    let Some(position) = record.position() else {
        return 1;
    };
    let bytes = text.as_bytes();
    let (mut at, mut line) = (position.byte() as usize, position.line());
    loop {
        match bytes.get(at) {
            Some(b'\r') => at += 1,
            Some(b'\n') => (at, line) = (at + 1, line + 1),
            Some(b'#') if comments => {
                let end = bytes[at..].iter().position(|b| *b == b'\n');
                at = end.map_or(bytes.len(), |end| at + end);
            }
            _ => return line,
        }
    }
}

fn first_lines(text: &str, separator: u8, quotes: bool, comments: bool) -> Vec<Line> {
    let mut reader = reader(text, separator, quotes, comments);
    let mut lines = Vec::new();
    let mut record = csv::StringRecord::new();
    while lines.len() < SEARCHED && matches!(reader.read_record(&mut record), Ok(true)) {
        let mut cells: Vec<String> = record.iter().map(|c| c.trim().to_string()).collect();
        if let Some(first) = cells.first_mut().filter(|c| c.starts_with('#')) {
            *first = first.trim_start_matches('#').trim_start().to_string();
        }
        if cells.iter().all(String::is_empty) {
            continue;
        }
        // a line that ends in separators has no columns there
        while cells.last().is_some_and(String::is_empty) {
            cells.pop();
        }
        lines.push(Line {
            line: line_of(text, &record, comments),
            cells,
            end: reader.position().byte() as usize,
            end_line: reader.position().line(),
        });
    }
    lines
}

fn layout(lines: &[Line], at: usize, separator: u8, quotes: bool) -> Layout {
    let units = units_row(lines, at);
    let last = &lines[at + usize::from(units)];
    let mut names = lines[at].cells.clone();
    if names.len() < last.cells.len() && units {
        names.resize(last.cells.len(), String::new());
    }
    Layout {
        separator,
        quotes,
        names,
        units: if units {
            last.cells.clone()
        } else {
            Vec::new()
        },
        line: lines[at].line,
        passed_over: at,
        start: last.end,
        start_line: last.end_line,
    }
}

fn choose(lines: &[Line], separator: u8, quotes: bool, kind: Kind, asked: &Asked) -> Found {
    let names = |at: usize| {
        let time = has_time(&lines[at], kind, asked);
        Found::Names {
            layout: layout(lines, at, separator, quotes),
            time,
        }
    };
    if let Some(line) = asked.header_line {
        let at = lines.iter().position(|l| l.line == line);
        return at.map_or(Found::Nothing, names);
    }
    let mut could: Vec<usize> = Vec::new();
    for at in 0..lines.len() {
        let again = could.last().is_some_and(|before| {
            // the units, or the same names once more in the middle of the rows
            let same = |l: &Line| fits(&l.cells, lines[*before].cells.len());
            lines[*before..=at].iter().all(same)
        });
        if !again && could_be_names(lines, at) {
            could.push(at);
        }
    }
    let timed: Vec<usize> = could
        .iter()
        .copied()
        .filter(|at| has_time(&lines[*at], kind, asked))
        .collect();
    match (timed.as_slice(), could.as_slice()) {
        ([only], _) | ([], [only]) => names(*only),
        ([], []) => Found::Nothing,
        ([a, b, ..], _) | ([], [a, b, ..]) => Found::Several(lines[*a].line, lines[*b].line),
    }
}

/// Words over a row of as many cells, of which some are numbers.
fn could_be_names(lines: &[Line], at: usize) -> bool {
    let cells = &lines[at].cells;
    let words = cells.iter().filter(|c| !c.is_empty()).count();
    if words < 2 || cells.iter().any(|c| is_value(c)) {
        return false;
    }
    let row = lines.get(at + 1 + usize::from(units_row(lines, at)));
    row.is_some_and(|row| {
        row.cells.len() <= cells.len()
            && row.cells.len() >= 2
            && row.cells.iter().any(|c| is_value(c))
    })
}

fn fits(cells: &[String], columns: usize) -> bool {
    (2..=columns).contains(&cells.len())
}

/// Whether the line below the names has units, and no values.
fn units_row(lines: &[Line], names: usize) -> bool {
    lines.get(names + 1).is_some_and(|row| {
        let plain = |c: &str| c.trim_matches(['[', ']', '(', ')']).to_string();
        row.cells.len().abs_diff(lines[names].cells.len()) <= 1
            && !row.cells.iter().any(|c| is_value(c))
            && row.cells.iter().any(|c| is_unit(&plain(c)))
            && lines
                .get(names + 2)
                .is_some_and(|below| below.cells.iter().any(|c| is_value(c)))
    })
}

fn has_time(line: &Line, kind: Kind, asked: &Asked) -> bool {
    let named = |cell: &String| asked.columns.iter().any(|(_, name)| name == cell);
    line.cells
        .iter()
        .any(|cell| named(cell) || kind.role_of(cell) == Some(Role::Time))
}

/// A number, a date or a clock time.
fn is_value(cell: &str) -> bool {
    cell.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c))
        && cell.contains(|c: char| c.is_ascii_digit())
        && cell
            .chars()
            .all(|c| c.is_ascii_digit() || "+-.,eE:/ TZ".contains(c))
}

/// Cells separated by blanks as cells separated by tabs.
pub(super) fn blanks_to_tabs(text: &str) -> String {
    let mut tabs = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let cells: Vec<&str> = line.split_whitespace().collect();
        tabs += &cells.join("\t");
        tabs.push('\n');
    }
    tabs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn top(text: &str) -> Layout {
        match find(text, b"\t;,", true, Kind::Hold, &Asked::default()) {
            Top::Names(layout) => layout,
            Top::First(_) => panic!("only the first line: {text}"),
            Top::Several(a, b) => panic!("lines {a} and {b}: {text}"),
        }
    }

    #[test]
    fn names_are_found_below_other_lines() {
        let layout =
            top("Gauge 7\nSerial,12345\nCalibrated,2026-01-05\n\nt_h,p_psig\n0,450\n1,449\n");
        assert_eq!((layout.line, layout.passed_over), (5, 3));
        assert_eq!(layout.names, ["t_h", "p_psig"]);
        let layout = top("Sensor,Offset\nA,0.5\nB,0.3\nt_h,p_psig,x\n0,450,1\n1,449,1\n");
        assert_eq!((layout.line, layout.passed_over), (4, 3));
    }

    #[test]
    fn units_below_the_names_are_not_a_row() {
        let layout = top("time;line;outdoor\nh;bar abs;degC\n0,0;24,8;7,0\n");
        assert_eq!(layout.units, ["h", "bar abs", "degC"]);
        assert_eq!((layout.separator, layout.start_line), (b';', 3));
    }

    #[test]
    fn names_behind_a_comment_sign_are_names_where_no_others_are() {
        assert_eq!(
            top("# a log\n# t_h,p_psig\n0,450\n1,449\n").names,
            ["t_h", "p_psig"]
        );
        assert_eq!(
            top("#,t_h,p_psig\n1,0,450\n2,1,449\n").names,
            ["", "t_h", "p_psig"]
        );
        assert_eq!(
            top("# t_s,p_psia\nt_h,p_psig\n0,450\n").names,
            ["t_h", "p_psig"]
        );
    }

    #[test]
    fn two_lines_of_names_are_asked_about() {
        let text = "t_h,p_psig\n0,450\n\nt_h,p_psig,T_outdoor_F\n0,450,60\n";
        assert!(matches!(
            find(text, b",", true, Kind::Hold, &Asked::default()),
            Top::Several(1, 4)
        ));
        let asked = Asked {
            header_line: Some(4),
            ..Asked::default()
        };
        let Top::Names(layout) = find(text, b",", true, Kind::Hold, &asked) else {
            panic!("it was asked for");
        };
        assert_eq!(layout.names.len(), 3);
    }
}
