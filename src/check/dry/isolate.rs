//! Where the isolated phase of a log begins.

/// To half its pressure only a pump takes a volume (own choice): of 1000 simulated rises, a gauge that falls by up to 40 %
/// among them, none is then taken for a pump-down. Wet lines that cool by 12 K fall as far, but in hours.
const PULLED: f64 = 2.0;
/// The reading before has to be high too: one that jumps alone is no pump-down (own choice).
const HIGH_TOO: f64 = 1.5;

/// A place where the pump seems to have been shut off.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The first row of the isolated phase.
    pub row: usize,
    /// Its time, min.
    pub from_minute: f64,
    /// What speaks for it.
    pub why: String,
    /// Whether a phase column says it, not the course of the pressure.
    pub by_phase: bool,
}

/// Whether a word in a phase column says that the pump was shut off; none for a word that is not known.
///
/// ```
/// use lineproof::check::dry::isolate::is_isolated;
/// assert_eq!(is_isolated("Pump on"), Some(false));
/// assert_eq!(is_isolated("isolated"), Some(true));
/// assert_eq!(is_isolated("lunch"), None);
/// ```
pub fn is_isolated(word: &str) -> Option<bool> {
    let word = word.trim().to_lowercase();
    let has = |words: &[&str]| words.iter().any(|w| word.contains(w));
    // "pump off" and "not pumping" first, as both hold the word pump
    if has(&[
        "pump off",
        "pump shut",
        "not pump",
        "isolat",
        "hold",
        "rise",
        "closed",
        "shut",
        "decay",
    ]) {
        Some(true)
    } else if has(&["pump", "evacuat", "pull", "open"]) {
        Some(false)
    } else {
        None
    }
}

/// Where the pump seems to be shut off: by the phase column where it says so, else by the course of the pressure.
///
/// `minutes` increasing, `micron` as read, `phases` the word of each row. By the course: the last time that the pressure
/// fell to less than half and has been higher ever since. Nothing is proposed where the log holds the isolated phase
/// alone, or ends while the pump still pulls.
///
/// Departures: where nothing rises after the valve is shut the lowest reading lies anywhere on the flat part. In simulated
/// pump-downs before a rise the time is right within half a minute and a reading in four of five, else as near as the
/// gauge's wander lets see.
///
/// Source: own choice; the pump-down's knee as [`super`] says.
///
/// ```
/// use lineproof::check::dry::isolate::propose;
/// let minutes: Vec<f64> = (0..30).map(f64::from).collect();
/// let micron: Vec<f64> = minutes.iter()
///     .map(|m| if *m < 15.0 { 300.0 + 9000.0 * (-m).exp() } else { 300.0 + 5.0 * (m - 15.0) })
///     .collect();
/// assert_eq!(propose(&minutes, &micron, None)[0].from_minute, 15.0);
/// assert!(propose(&minutes[15..], &micron[15..], None).is_empty());
/// ```
pub fn propose(minutes: &[f64], micron: &[f64], phases: Option<&[String]>) -> Vec<Proposal> {
    let by_phase = phases.and_then(|words| by_phase(minutes, words));
    by_phase
        .into_iter()
        .chain(by_course(minutes, micron))
        .collect()
}

/// The last change from a word for pumping to one for isolated.
fn by_phase(minutes: &[f64], words: &[String]) -> Option<Proposal> {
    let isolated: Vec<_> = words.iter().map(|w| is_isolated(w)).collect();
    let row = (1..words.len())
        .rfind(|i| isolated[*i] == Some(true) && isolated[*i - 1] == Some(false))?;
    Some(Proposal {
        row,
        from_minute: minutes[row],
        why: format!("its phase column says \"{}\" from there", words[row].trim()),
        by_phase: true,
    })
}

fn by_course(minutes: &[f64], micron: &[f64]) -> Option<Proposal> {
    let (mut knee, mut pumped) = (micron.len().checked_sub(1)?, false);
    for i in (0..micron.len()).rev() {
        if micron[i] < micron[knee] {
            knee = i;
        }
        // one reading that jumps is no pump-down
        let high = |i: usize| micron[i] > PULLED * micron[knee];
        if high(i) && (i == 0 || micron[i - 1] > HIGH_TOO * micron[knee]) {
            pumped = true;
            break;
        }
    }
    let rises = micron[knee..].iter().copied().fold(f64::MIN, f64::max) > micron[knee];
    (pumped && rises && micron.len() - knee >= 2).then(|| Proposal {
        row: knee,
        from_minute: minutes[knee],
        why: format!("lowest {:.0} micron, then only higher", micron[knee]),
        by_phase: false,
    })
}

/// Whether the readings hold a pump-down: they fall to less than half.
///
/// ```
/// use lineproof::check::dry::isolate::pumps;
/// assert!(pumps(&[9000.0, 3000.0, 900.0, 400.0]));
/// assert!(!pumps(&[400.0, 380.0, 410.0, 600.0]));
/// ```
pub fn pumps(micron: &[f64]) -> bool {
    let mut lowest = f64::INFINITY;
    (0..micron.len()).rev().any(|i| {
        lowest = lowest.min(micron[i]);
        micron[i] > PULLED * lowest && (i == 0 || micron[i - 1] > HIGH_TOO * lowest)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn course(parts: &[(usize, f64, f64)]) -> (Vec<f64>, Vec<f64>) {
        let micron: Vec<f64> = parts
            .iter()
            .flat_map(|(n, from, to)| {
                (0..*n).map(move |i| from + (to - from) * i as f64 / *n as f64)
            })
            .collect();
        ((0..micron.len()).map(|i| i as f64).collect(), micron)
    }

    #[test]
    fn the_last_of_three_evacuations_counts() {
        let (minutes, micron) = course(&[
            (10, 9000.0, 200.0),
            (10, 200.0, 8000.0),
            (10, 8000.0, 400.0),
            (10, 400.0, 600.0),
        ]);
        let found = propose(&minutes, &micron, None);
        assert_eq!((found.len(), found[0].from_minute), (1, 30.0));
    }

    #[test]
    fn a_jump_a_drift_and_a_pump_that_still_pulls_are_no_knee() {
        let (minutes, mut micron) = course(&[(20, 300.0, 400.0)]);
        micron[7] = 2000.0;
        assert!(propose(&minutes, &micron, None).is_empty() && !pumps(&micron));
        let (minutes, micron) = course(&[(20, 400.0, 380.0)]);
        assert!(propose(&minutes, &micron, None).is_empty() && !pumps(&micron));
        let (minutes, micron) = course(&[(20, 9000.0, 300.0)]);
        assert!(propose(&minutes, &micron, None).is_empty() && pumps(&micron));
    }

    #[test]
    fn the_phase_column_comes_first() {
        let (minutes, micron) = course(&[(5, 9000.0, 300.0), (5, 300.0, 400.0)]);
        let words: Vec<String> = (0..10)
            .map(|i| if i < 6 { "pump" } else { "isolated" }.into())
            .collect();
        let found = propose(&minutes, &micron, Some(&words));
        let at: Vec<_> = found.iter().map(|p| p.from_minute).collect();
        assert_eq!(at, [6.0, 5.0]);
    }
}
