//! docs/VALIDATION.md: every comparison as a reader sees it. `UPDATE_DOCS=1` writes the file anew.

use std::collections::BTreeSet;
use std::fmt::Write;

use crate::compare::{Compared, Comparison};

const INTRODUCTION: &str = "\
# Validation

Written by `UPDATE_DOCS=1 cargo test --test published` from the comparisons that the tests make; a test fails when \
this page is not what they give. The published values stand in `tests/published/data`, each with its source.

*Difference* is ours less published; temperatures are in degC or K, their differences in K. The last column of the \
summary says how much of its tolerance the worst value of a source uses: 100 % would be the limit. Which tolerance is \
honest, and why, stands with each source below. A tolerance is never widened to pass.
";

/// The whole page.
fn page(groups: &[(&str, Vec<Comparison>)]) -> String {
    let all = || groups.iter().flat_map(|(_, comparisons)| comparisons);
    let mut page = String::from(INTRODUCTION);
    let _ = write!(
        page,
        "\n## Summary\n\n{} values from {} sources.\n\n| source | values | worst difference | where | of its tolerance |\n|---|---:|---:|---|---:|\n",
        all().map(Comparison::count).sum::<usize>(),
        all().count(),
    );
    for (group, comparisons) in groups {
        let _ = writeln!(page, "| **{group}** | | | | |");
        for comparison in comparisons {
            page.push_str(&summary(comparison));
        }
    }
    for (group, comparisons) in groups {
        let _ = write!(page, "\n## {group}\n");
        for comparison in comparisons {
            page.push_str(&section(comparison));
        }
    }
    page
}

fn summary(comparison: &Comparison) -> String {
    let worst = comparison.worst();
    let unit = if worst.unit == "degC" {
        "K"
    } else {
        worst.unit
    };
    format!(
        "| [{}](#{}) | {} | {} | {}, {} | {} |\n",
        comparison.title,
        anchor(&comparison.title),
        comparison.count(),
        format!("{} {unit}", difference(worst)).trim_end(),
        worst.what,
        worst.at,
        percent(worst.share()),
    )
}

fn percent(share: f64) -> String {
    match 100.0 * share {
        small if small < 1.0 => "< 1 %".to_string(),
        percent => format!("{percent:.0} %"),
    }
}

fn section(comparison: &Comparison) -> String {
    let mut text = format!(
        "\n### {}\n\nSource: {}.\n\nTolerance: {}.\n",
        comparison.title, comparison.source, comparison.tolerance
    );
    for note in &comparison.notes {
        let _ = write!(text, "\n{note}\n");
    }
    let condensed = comparison.values.iter().any(|value| value.of > 1);
    let (head, rule) = if condensed {
        ("values | worst ", "---:|")
    } else {
        ("", "")
    };
    let _ = write!(
        text,
        "\n| what | {head}at | published | ours | difference | tolerance | unit |\n|---|{rule}---|---:|---:|---:|---:|---|\n"
    );
    for value in &comparison.values {
        let of = if condensed {
            format!("{} | ", value.of)
        } else {
            String::new()
        };
        let _ = writeln!(
            text,
            "| {} | {of}{} | {} | {} | {} | {} | {} |",
            value.what,
            value.at,
            value.published,
            ours(value),
            difference(value),
            two_digits(value.tolerance),
            value.unit,
        );
    }
    text
}

/// What a Markdown reader makes of a heading to link to it.
fn anchor(title: &str) -> String {
    let kept = title
        .chars()
        .filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-'));
    kept.flat_map(char::to_lowercase)
        .map(|c| if c == ' ' { '-' } else { c })
        .collect()
}

/// With the digits of the published value, or as many as show a hundredth of the tolerance.
fn ours(value: &Compared) -> String {
    let printed = value.published.split_once('.').map_or(0, |(_, d)| d.len());
    let decimals = (1.0 - value.tolerance.log10().floor()).max(0.0) as usize;
    format!("{:.*}", decimals.max(printed), value.ours)
}

/// Two digits; what a rounding error alone would make is none.
fn difference(value: &Compared) -> String {
    if value.share() < 1e-3 {
        return "0".to_string();
    }
    let sign = if value.difference < 0.0 { '-' } else { '+' };
    format!("{sign}{}", two_digits(value.difference.abs()))
}

fn two_digits(number: f64) -> String {
    // rounding to two digits can carry: 0.0996 is 0.10
    let rounded: f64 = format!("{number:.1e}").parse().expect("a number");
    if rounded < 1e-5 {
        return format!("{rounded:.1e}");
    }
    let decimals = (1.0 - rounded.log10().floor()).max(0.0) as usize;
    format!("{rounded:.decimals$}")
}

#[test]
fn the_page_is_what_the_comparisons_give() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/VALIDATION.md");
    let groups = crate::all();
    let titles: Vec<&str> = groups
        .iter()
        .flat_map(|(_, all)| all)
        .map(|c| &c.title[..])
        .collect();
    let anchors: BTreeSet<String> = titles.iter().map(|title| anchor(title)).collect();
    assert_eq!(anchors.len(), titles.len(), "two sources with one title");
    let page = page(&groups);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(path, &page).unwrap();
    }
    let committed = std::fs::read_to_string(path).unwrap_or_default();
    let differs = page
        .lines()
        .zip(committed.lines())
        .find(|(new, old)| new != old);
    assert!(
        page == committed,
        "docs/VALIDATION.md is stale: `UPDATE_DOCS=1 cargo test --test published` writes it. First line that differs: {differs:?}"
    );
}

#[test]
fn numbers_print_with_two_digits() {
    let printed = [0.35, 0.002, 0.0996, 1.0, 25.0, 3.14e-7].map(two_digits);
    assert_eq!(printed, ["0.35", "0.0020", "0.10", "1.0", "25", "3.1e-7"]);
    let value = |ours| Compared::new("", "", "200", ours, 0.006, "kJ/kg");
    assert_eq!(difference(&value(200.0 - 0.00123)), "-0.0012");
    assert_eq!(difference(&value(200.0 + 3e-14)), "0");
    assert_eq!(ours(&value(199.99877)), "199.9988");
    assert_eq!(
        anchor("R-454B: 1 % (REFPROP 10.0)"),
        "r-454b-1--refprop-100"
    );
}
