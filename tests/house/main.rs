//! The house rules, held against the code itself.

mod codes;
// shared with the decisions' tests, which use more of it
#[allow(dead_code)]
#[path = "../decide/said/mod.rs"]
mod said;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use lineproof::source::SourceId;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
    found
}

/// Path below `src` with slashes, and the text without comments.
fn sources() -> Vec<(String, String)> {
    let src = root().join("src");
    files(&src, "rs")
        .into_iter()
        .map(|path| {
            let name = path
                .strip_prefix(&src)
                .unwrap()
                .to_string_lossy()
                .replace('\\', "/");
            let text = fs::read_to_string(&path).unwrap();
            let code = text
                .lines()
                .filter(|l| !l.trim_start().starts_with("//"))
                .collect::<Vec<_>>()
                .join("\n");
            (name, code)
        })
        .collect()
}

const FLOORS: &[&[&str]] = &[
    &["quantity", "source"],
    &["fluid", "physics"],
    &["stats"],
    &["check"],
    &["record"],
    &["decide"],
    &["out"],
    &["cli"],
];

fn floor_of(module: &str) -> Option<usize> {
    FLOORS.iter().position(|floor| floor.contains(&module))
}

/// Every `crate::module` named in a text, also inside `use crate::{a, b}`.
fn named_modules(code: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        let word = |text: &str| {
            text.chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect::<String>()
        };
        if let Some(list) = rest.strip_prefix('{') {
            let inside = list.split('}').next().unwrap_or_default();
            found.extend(inside.split(',').map(|part| word(part.trim())));
        } else {
            found.insert(word(rest));
        }
    }
    found
}

#[test]
fn a_floor_uses_only_floors_below_it() {
    let mut wrong = Vec::new();
    for (name, code) in sources() {
        let module = name.split(['/', '.']).next().unwrap().to_string();
        let Some(own) = floor_of(&module) else {
            continue;
        };
        for other in named_modules(&code) {
            if let Some(floor) = floor_of(&other)
                && floor > own
            {
                wrong.push(format!("{name} looks up to {other}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn checks_do_not_know_each_other() {
    let stages = ["joints", "tight", "dry", "charge", "start", "run", "watch"];
    let mut wrong = Vec::new();
    for (name, code) in sources() {
        let Some(stage) = name
            .strip_prefix("check/")
            .and_then(|n| n.split_once('/'))
            .map(|(s, _)| s)
        else {
            continue;
        };
        for other in stages.iter().filter(|s| **s != stage) {
            if code.contains(&format!("check::{other}")) {
                wrong.push(format!("{name} knows {other}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn checks_neither_print_nor_read_files_nor_serialize() {
    let mut wrong = Vec::new();
    for (name, code) in sources() {
        let library = !name.starts_with("cli/") && name != "main.rs";
        if library && (code.contains("println!") || code.contains("eprintln!")) {
            wrong.push(format!("{name} prints"));
        }
        if name.starts_with("check/") && (code.contains("std::fs") || code.contains("Serialize")) {
            wrong.push(format!("{name} reads files or serializes"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_source_is_used() {
    let all: String = sources()
        .into_iter()
        .filter(|(n, _)| n != "source.rs")
        .map(|(_, code)| code)
        .collect();
    let unused: Vec<_> = SourceId::ALL
        .iter()
        .filter(|s| {
            !all.contains(&format!("SourceId::{s:?}")) && !all.contains(&format!("; {s:?}"))
        })
        .collect();
    assert!(unused.is_empty(), "sources that nothing cites: {unused:?}");
}

#[test]
fn source_keys_are_unique() {
    let keys: BTreeSet<_> = SourceId::ALL.iter().map(|s| s.key()).collect();
    assert_eq!(keys.len(), SourceId::ALL.len());
}

#[test]
fn codes_are_unique_and_kebab_case() {
    use lineproof::check::{charge, dry, joints, run, start, tight};
    let mut codes: Vec<&str> = Vec::new();
    for list in [
        tight::reasons::CODES,
        dry::reasons::CODES,
        charge::reasons::CODES,
        joints::reasons::CODES,
        start::reasons::CODES,
        run::reasons::CODES,
    ] {
        codes.extend(list.iter().map(|(code, _)| *code));
    }
    codes.extend(lineproof::decide::rules::all().map(|r| r.code));
    let unique: BTreeSet<_> = codes.iter().collect();
    assert_eq!(unique.len(), codes.len(), "a code is used twice");
    for code in codes {
        assert!(
            code.chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'),
            "{code}"
        );
    }
}

#[test]
fn every_reason_code_is_said_somewhere() {
    let code: String = sources()
        .into_iter()
        .filter(|(n, _)| n.starts_with("check/"))
        .map(|(_, c)| c)
        .collect();
    for (name, text) in sources() {
        if !name.ends_with("reasons.rs") {
            continue;
        }
        for line in text.lines() {
            let Some((constant, _)) = line.trim().split_once(" = \"") else {
                continue;
            };
            if constant
                .chars()
                .all(|c| c.is_ascii_uppercase() || c == '_' || c.is_ascii_digit())
            {
                let uses = code.matches(constant).count();
                assert!(uses > 1, "{name}: {constant} is never said");
            }
        }
    }
}

#[test]
fn forbidden_words_stand_on_no_screen() {
    let never = [
        "posterior",
        "Ornstein",
        "guard band",
        "wizard",
        "diagnostic",
        "health score",
    ];
    for (name, code) in sources() {
        for word in never {
            for line in code.lines().filter(|l| l.contains('"')) {
                let text = line.split('"').skip(1).step_by(2).collect::<String>();
                assert!(
                    !text.to_lowercase().contains(&word.to_lowercase()),
                    "{name}: \"{word}\" in {line}"
                );
            }
        }
    }
}

#[test]
fn no_file_is_a_drawer_or_too_long() {
    for path in files(&root().join("src"), "rs") {
        let size = fs::metadata(&path).unwrap().len();
        assert!(size < 40_000, "{} has {size} bytes", path.display());
        let name = path.file_stem().unwrap().to_string_lossy().to_string();
        assert!(
            !["utils", "helpers", "misc", "common"].contains(&name.as_str()),
            "{}",
            path.display()
        );
    }
}
