//! Readings in the order of their times, whichever order they were given in.

use std::borrow::Cow;

use super::input::Input;
use crate::quantity::{PressureAbs, Temperature};

/// Two readings at one time.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error(
    "two readings at {hours} h: every reading needs a time of its own; leave one of them out, or split the log where the clock restarts"
)]
pub struct SameTime {
    /// The time, h.
    pub hours: f64,
}

impl Input {
    /// The same readings with their times increasing.
    ///
    /// Only the order in memory: a logger file whose clock runs backwards is refused where it is read, since there the order
    /// of the rows is evidence of its own. Columns of unequal length are left for the regression to name.
    pub(super) fn in_order(&self) -> Result<Cow<'_, Input>, SameTime> {
        let given = if self.is_sorted() || !self.has_whole_rows() {
            Cow::Borrowed(self)
        } else {
            Cow::Owned(self.sorted())
        };
        match given.hours.windows(2).find(|pair| pair[0] == pair[1]) {
            Some(pair) => Err(SameTime { hours: pair[0] }),
            None => Ok(given),
        }
    }

    fn is_sorted(&self) -> bool {
        self.hours.is_sorted_by(|a, b| a <= b)
    }

    fn has_whole_rows(&self) -> bool {
        let rows = self.hours.len();
        let whole =
            |column: &Option<Vec<Temperature>>| column.as_ref().is_none_or(|c| c.len() == rows);
        self.pressure.len() == rows
            && whole(&self.outdoor)
            && whole(&self.indoor)
            && self.witness.as_ref().is_none_or(|c| c.len() == rows)
    }

    fn sorted(&self) -> Input {
        let mut rows: Vec<usize> = (0..self.hours.len()).collect();
        rows.sort_by(|a, b| self.hours[*a].total_cmp(&self.hours[*b]));
        fn picked<T: Copy>(rows: &[usize], column: &[T]) -> Vec<T> {
            rows.iter().map(|&row| column[row]).collect()
        }
        let temperatures =
            |column: &Option<Vec<Temperature>>| column.as_ref().map(|c| picked(&rows, c));
        let witness: Option<Vec<PressureAbs>> = self.witness.as_ref().map(|c| picked(&rows, c));
        Input {
            hours: picked(&rows, &self.hours),
            pressure: picked(&rows, &self.pressure),
            outdoor: temperatures(&self.outdoor),
            indoor: temperatures(&self.indoor),
            witness,
            ..self.clone()
        }
    }
}
