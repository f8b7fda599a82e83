//! The known name nearest to a mistyped one.

/// The nearest of the known names, if it is near enough to have been meant.
pub(crate) fn nearest<'a>(
    typed: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let typed = typed.to_lowercase().replace(['_', ' '], "-");
    known
        .into_iter()
        .map(|name| (distance(&typed, &name.replace('_', "-")), name))
        .filter(|(distance, name)| *distance <= (name.len() / 3).max(1))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// Single-letter insertions, deletions and replacements from one text to the other (Levenshtein).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, cb) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(ca != *cb);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_recognised_and_a_stranger_is_not() {
        let known = ["joint-made", "joint-checked", "vapour_line"];
        assert_eq!(nearest("joint_mde", known), Some("joint-made"));
        assert_eq!(nearest("vapor_line", known), Some("vapour_line"));
        assert_eq!(nearest("weather", known), None);
    }

    #[test]
    fn distances_of_known_pairs() {
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("", "abc"), 3);
        assert_eq!(distance("abc", "abc"), 0);
    }
}
