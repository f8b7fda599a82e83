//! What every refusal of the museum owes, whatever its words: nothing on standard output, an error on standard error,
//! and a record that is byte for byte what it was.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A command of the museum and the exit code its page states.
struct Exhibit {
    words: Vec<String>,
    code: i32,
}

/// The words of a command line; quotes hold a word together.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            _ => words.last_mut().expect("begins with one word").push(c),
        }
    }
    words.retain(|w| !w.is_empty());
    words
}

fn exhibits(page: &Path) -> Vec<Exhibit> {
    let text = fs::read_to_string(page).expect("a page is text");
    let mut found: Vec<Exhibit> = Vec::new();
    for line in text.lines() {
        if let Some(command) = line.strip_prefix("$ lineproof ") {
            found.push(Exhibit {
                words: words(command),
                code: 0,
            });
        } else if let (Some(code), Some(last)) = (line.strip_prefix("? "), found.last_mut()) {
            last.code = code.trim().parse().expect("an exit code is a number");
        }
    }
    found
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a sandbox can be made");
    for entry in fs::read_dir(from).expect("a folder can be listed") {
        let path = entry.expect("an entry can be read").path();
        let target = to.join(path.file_name().expect("an entry has a name"));
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).expect("a file can be copied");
        }
    }
}

/// Every file under a folder with its bytes.
fn contents(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).expect("a folder can be listed") {
            let path = entry.expect("an entry can be read").path();
            if path.is_dir() {
                open.push(path);
            } else {
                let bytes = fs::read(&path).expect("a file can be read");
                found.push((path, bytes));
            }
        }
    }
    found.sort();
    found
}

fn run(exhibit: &Exhibit, folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineproof"))
        .args(&exhibit.words)
        .current_dir(folder)
        .output()
        .expect("the program can be run")
}

#[test]
fn a_refusal_goes_to_standard_error_and_changes_nothing() {
    let museum = Path::new("tests/cli/museum");
    let mut refused = 0;
    for entry in fs::read_dir(museum).expect("the museum is there") {
        let page = entry.expect("an entry can be read").path();
        if page.extension().is_none_or(|e| e != "md") {
            continue;
        }
        let sandbox = tempfile::tempdir().expect("a sandbox can be made");
        let given = page.with_extension("in");
        if given.is_dir() {
            copy(&given, sandbox.path());
        }
        for exhibit in exhibits(&page) {
            let before = contents(sandbox.path());
            let output = run(&exhibit, sandbox.path());
            let shown = format!("{}: {}", page.display(), exhibit.words.join(" "));
            let error = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(exhibit.code), "{shown}\n{error}");
            assert!(!error.contains("panicked"), "{shown}\n{error}");
            if exhibit.code != 2 {
                continue;
            }
            refused += 1;
            assert!(output.stdout.is_empty(), "{shown}");
            assert!(
                error.lines().any(|l| l.starts_with("error: ")),
                "{shown}\n{error}"
            );
            assert!(
                contents(sandbox.path()) == before,
                "{shown}: a file changed"
            );
        }
    }
    assert!(refused > 80, "{refused} refusals in the museum");
}
