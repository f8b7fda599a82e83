//! docs/CODES.md lists every code with its meaning and its source. `UPDATE_DOCS=1` writes the file anew.

use std::collections::BTreeSet;
use std::fmt::Write;

use lineproof::decide::rules;

use super::{root, said};

fn sentence(meaning: &str) -> String {
    let (first, rest) = meaning.split_at(meaning.chars().next().map_or(0, char::len_utf8));
    let stop = if meaning.ends_with(['.', '?']) {
        ""
    } else {
        "."
    };
    format!("{}{rest}{stop}", first.to_uppercase())
}

fn page() -> String {
    let mut page = String::from(
        "# Everything lineproof can say\n\n\
         Written by `UPDATE_DOCS=1 cargo test --test house`, from the code. A code is never renamed: \
         scripts and old records rely on it.\n\n\
         A reason says why a stage came out as it did. Its source is that of the limit it was held against, here \
         with the program's own limits; one typed in from the unit's instructions or the local code wins over \
         any of them, and is then the source. Sources are named by their keys; `src/source.rs` has the texts.\n",
    );
    for (list, codes, table) in said::all() {
        let _ = write!(
            page,
            "\n## Reasons of {list}\n\n| code | meaning | source |\n|---|---|---|\n"
        );
        let table = table();
        for (code, meaning) in codes {
            let reasons = table.iter().flat_map(|(_, finding, _)| &finding.reasons);
            let sources: BTreeSet<&str> = reasons
                .filter(|r| r.code == *code)
                .map(|r| r.source.key())
                .collect();
            let sources: Vec<&str> = sources.into_iter().collect();
            let _ = writeln!(
                page,
                "| `{code}` | {} | {} |",
                sentence(meaning),
                sources.join(", ")
            );
        }
    }
    page.push_str(
        "\n## Rules of the decision\n\n\
         The most severe answer, the most careful *meanwhile* and the most pressing *how soon* of all rules \
         that speak win. Evidence in conflict is shown whatever else speaks.\n\n\
         | code | answer | meanwhile | how soon | meaning | source |\n|---|---|---|---|---|---|\n",
    );
    for rule in rules::all() {
        let _ = writeln!(
            page,
            "| `{}` | {} | {} | {} | {} | {} |",
            rule.code,
            rule.verdict.words(),
            rule.meanwhile.words(),
            rule.how_soon.words(),
            sentence(rule.meaning),
            rule.source.key()
        );
    }
    page.push_str("\n## What each rule asks for\n");
    for rule in rules::all() {
        let _ = write!(page, "\n`{}`\n", rule.code);
        for (what, list) in [("first", rule.first), ("bring", rule.bring)] {
            if !list.is_empty() {
                let _ = writeln!(page, "- {what}: {}", list.join("; "));
            }
        }
        let _ = writeln!(page, "- undone by: {}", rule.undo);
    }
    page
}

/// The sources that the tests' inputs say each reason with, the stages' own first.
fn reason_sources() -> String {
    let mut table = String::from(
        "# The sources that each reason is held against. Written by `UPDATE_DOCS=1 cargo test --test house` \
         from the tests that say every code\ncode,sources\n",
    );
    for (_, codes, inputs) in said::all() {
        let inputs = inputs();
        for (code, _) in codes {
            let reasons = inputs.iter().flat_map(|(_, finding, _)| &finding.reasons);
            let keys: BTreeSet<&str> = reasons
                .filter(|r| r.code == *code)
                .map(|r| r.source.key())
                .collect();
            let keys: Vec<&str> = keys.into_iter().collect();
            let _ = writeln!(table, "{code},{}", keys.join(" "));
        }
    }
    table
}

#[test]
fn the_sources_of_the_reasons_are_up_to_date() {
    let path = root().join("tables/reason_sources.csv");
    let table = reason_sources();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &table).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found.replace("\r\n", "\n") == table,
        "tables/reason_sources.csv is stale: UPDATE_DOCS=1 cargo test --test house writes it"
    );
}

#[test]
fn the_list_of_codes_is_up_to_date() {
    let path = root().join("docs/CODES.md");
    let page = page();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found.replace("\r\n", "\n") == page,
        "docs/CODES.md is stale: UPDATE_DOCS=1 cargo test --test house writes it"
    );
}
