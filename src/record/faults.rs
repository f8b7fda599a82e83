//! From a reader's message to file, line, field, what is wrong and the next step.

use std::path::Path;

use super::error::{RecordError, Spot};
use super::near::nearest;

/// What is wrong and what to do, from serde's message.
pub(crate) fn explain(message: &str) -> (String, String) {
    let message = message.split(" at line ").next().unwrap_or(message).trim();
    let names = quoted(message);
    let known = || names[1..].to_vec();
    if message.starts_with("unknown field") && !names.is_empty() {
        let what = format!("there is no field \"{}\" here", names[0]);
        return (what, choose(names[0], &known(), "known fields are"));
    }
    if message.starts_with("unknown variant") && !names.is_empty() {
        let what = format!("\"{}\" is none of the choices", names[0]);
        return (what, choose(names[0], &known(), "choose one of"));
    }
    if message.starts_with("missing field") && !names.is_empty() {
        let what = format!("\"{}\" is missing", names[0]);
        return (what, format!("add \"{}\"", names[0]));
    }
    if message.starts_with("invalid type") && message.contains("expected a string") {
        let next = "write it as text in quotes, a quantity with its unit, like \"5 lb 4 oz\"";
        return (message.to_string(), next.to_string());
    }
    (message.to_string(), "correct it there".to_string())
}

/// The names between backticks.
fn quoted(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

/// "did you mean ...?" where one is near, and the list.
pub(crate) fn choose(typed: &str, known: &[&str], lead: &str) -> String {
    let list = known.join(", ");
    match nearest(typed, known.iter().copied()) {
        Some(name) => format!("did you mean \"{name}\"? {lead} {list}"),
        None => format!("{lead} {list}"),
    }
}

/// An error in the fields of an event, which were read from `fields`.
pub(crate) fn in_event(
    file: &Path,
    line: usize,
    fields: &str,
    error: &serde_json::Error,
) -> RecordError {
    let (what, next) = explain(&error.to_string());
    let field = Some(json_path(fields, error.column())).filter(|path| !path.is_empty());
    let spot = Spot {
        file: file.to_path_buf(),
        line,
        field,
    };
    RecordError::Field { spot, what, next }
}

/// An error in the facts.
pub(crate) fn in_facts(file: &Path, text: &str, error: &toml::de::Error) -> RecordError {
    let (what, next) = explain(error.message());
    let start = error.span().map_or(0, |span| span.start).min(text.len());
    let line = text[..start].matches('\n').count() + 1;
    let spot = Spot {
        file: file.to_path_buf(),
        line,
        field: toml_field(text, line),
    };
    RecordError::Field { spot, what, next }
}

/// The line of a key in the nth table of a name; the table's own line for an empty key; 0 if there is none.
pub(crate) fn toml_line(text: &str, table: &str, nth: usize, key: &str) -> usize {
    let mut seen = 0;
    let mut inside = false;
    let mut header = 0;
    for (index, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.starts_with('[') {
            inside = line.trim_matches(['[', ']', ' ']) == table;
            if inside {
                seen += 1;
                header = if seen == nth + 1 { index + 1 } else { header };
            }
        }
        let here = inside && seen == nth + 1;
        if here && !key.is_empty() && line.split('=').next().is_some_and(|k| k.trim() == key) {
            return index + 1;
        }
    }
    match table.rsplit_once('.') {
        // written as an inline table
        Some((outer, inner)) if header == 0 => toml_line(text, outer, nth, inner),
        _ => header,
    }
}

/// The line of a key in front of every table; 0 if it is not there.
pub(crate) fn key_line(text: &str, key: &str) -> usize {
    text.lines()
        .take_while(|line| !line.trim_start().starts_with('['))
        .position(|line| line.split('=').next().is_some_and(|k| k.trim() == key))
        .map_or(0, |index| index + 1)
}

/// The dotted name of the key on a line, with its table.
fn toml_field(text: &str, line: usize) -> Option<String> {
    let lines: Vec<&str> = text.lines().take(line).collect();
    let last = lines.last()?.trim();
    let table = lines
        .iter()
        .rev()
        .map(|l| l.trim())
        .find(|l| l.starts_with('['))
        .map(|l| l.trim_matches(['[', ']', ' ']));
    let key = last.split_once('=').map(|(key, _)| key.trim());
    match (table, key) {
        (Some(table), Some(key)) => Some(format!("{table}.{key}")),
        (None, Some(key)) => Some(key.to_string()),
        (table, None) => table.map(str::to_string),
    }
}

/// The path to the value that ends at a column of one-line JSON: "readings 2, pressure".
fn json_path(json: &str, column: usize) -> String {
    let bytes = json.as_bytes();
    let end = column.min(bytes.len());
    // one step per open bracket: the key seen last in an object, or the count in an array
    let mut path: Vec<String> = Vec::new();
    let mut at = 0;
    while at < end {
        match bytes[at] {
            b'{' => path.push(String::new()),
            b'[' => path.push("1".into()),
            b'}' | b']' => {
                path.pop();
            }
            b',' => count_on(&mut path),
            b'"' => {
                let close = string_end(bytes, at);
                if bytes.get(close + 1) == Some(&b':')
                    && let Some(step) = path.last_mut()
                {
                    *step = json[at + 1..close].to_string();
                }
                at = close;
            }
            _ => {}
        }
        at += 1;
    }
    words(&path)
}

fn count_on(path: &mut [String]) {
    if let Some(step) = path.last_mut()
        && let Ok(count) = step.parse::<usize>()
    {
        *step = (count + 1).to_string();
    }
}

/// Where the string that opens at `open` closes.
fn string_end(bytes: &[u8], open: usize) -> usize {
    let mut at = open + 1;
    while at < bytes.len() && bytes[at] != b'"' {
        at += if bytes[at] == b'\\' { 2 } else { 1 };
    }
    at.min(bytes.len() - 1)
}

fn words(path: &[String]) -> String {
    let mut text = String::new();
    for step in path.iter().filter(|step| !step.is_empty()) {
        let counts = step.bytes().all(|b| b.is_ascii_digit());
        if !text.is_empty() {
            text.push_str(if counts { " " } else { ", " });
        }
        text.push_str(step);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_leads_to_its_field() {
        let json = r#"{"covers":["hoses"],"readings":[{"pressure":"1 psig"},{"after":"2 h","pressure":"x"}]}"#;
        let column = json.find("\"x\"").unwrap() + 3;
        assert_eq!(json_path(json, column), "readings 2, pressure");
        assert_eq!(json_path(json, json.len()), "");
    }

    #[test]
    fn a_key_leads_to_its_line() {
        let text = "name = \"a\"\n\n[[joint]]\nid = \"1\"\n[[joint]]\nid = \"1\"\n";
        assert_eq!(toml_line(text, "joint", 1, "id"), 6);
        assert_eq!(toml_line(text, "joint", 1, "torque"), 5);
        assert_eq!(toml_line(text, "place", 0, "zone"), 0);
    }
}
