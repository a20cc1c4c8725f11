//! The pulls of a lot: peaks, and whether each ended in a break.

/// Smallest and largest peak that is taken for one, kN: below, no load cell of a bench tells a load from its zero; above, no bench of
/// this trade pulls.
pub const PEAKS_KN: [f64; 2] = [0.001, 10_000.0];

/// One pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// Its highest load, kN.
    pub peak_kn: f64,
    /// Whether the sample broke. One that did not (the strap went first, the stroke was at its end, the pull was stopped) would have
    /// held at least its peak: a lower bound, never a break.
    pub broke: bool,
    /// What its sample is called.
    pub name: Option<String>,
    /// Its number in the logbook.
    pub number: Option<i64>,
}

impl Pull {
    /// A pull of which nothing but its peak is told, in kN.
    #[must_use]
    pub fn new(peak_kn: f64, broke: bool) -> Self {
        Self { peak_kn, broke, name: None, number: None }
    }
}

/// What makes pulls no lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LotMistake {
    /// There is no pull.
    Empty,
    /// A peak is no number, or outside [`PEAKS_KN`].
    Peak {
        /// Which pull, from 0.
        index: usize,
        /// Its peak, kN.
        found_kn: f64,
    },
}

/// Pulls that are taken as drawn from one lot: at least one, each with a peak within [`PEAKS_KN`].
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    pulls: Vec<Pull>,
}

impl Lot {
    /// Checks pulls.
    ///
    /// # Errors
    /// Every mistake: no pull at all, peaks that are none.
    pub fn new(pulls: Vec<Pull>) -> Result<Self, Vec<LotMistake>> {
        let [low, high] = PEAKS_KN;
        let outside = pulls.iter().enumerate().filter(|(_, pull)| !(low..=high).contains(&pull.peak_kn));
        let mut mistakes: Vec<LotMistake> =
            outside.map(|(index, pull)| LotMistake::Peak { index, found_kn: pull.peak_kn }).collect();
        if pulls.is_empty() {
            mistakes.push(LotMistake::Empty);
        }
        if mistakes.is_empty() { Ok(Self { pulls }) } else { Err(mistakes) }
    }

    /// The pulls, in their order.
    #[must_use]
    pub fn pulls(&self) -> &[Pull] {
        &self.pulls
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.pulls.len()
    }

    /// Peaks of those that broke, kN.
    #[must_use]
    pub fn breaks_kn(&self) -> Vec<f64> {
        self.pulls.iter().filter(|pull| pull.broke).map(|pull| pull.peak_kn).collect()
    }

    /// Peaks of those that did not, kN.
    #[must_use]
    pub fn held_kn(&self) -> Vec<f64> {
        self.pulls.iter().filter(|pull| !pull.broke).map(|pull| pull.peak_kn).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mistake_is_found_and_none_in_good_pulls() {
        let lot = |peaks: &[f64]| Lot::new(peaks.iter().map(|kn| Pull::new(*kn, true)).collect());
        assert_eq!(lot(&[]), Err(vec![LotMistake::Empty]));
        let found = lot(&[24.0, -1.0, 0.0, f64::INFINITY, 2e4]).unwrap_err();
        let indices: Vec<usize> = found
            .iter()
            .map(|m| match m {
                LotMistake::Peak { index, .. } => *index,
                LotMistake::Empty => panic!("{found:?}"),
            })
            .collect();
        assert_eq!(indices, [1, 2, 3, 4]);
        assert!(matches!(lot(&[f64::NAN]).unwrap_err()[..], [LotMistake::Peak { index: 0, .. }]));
        let lot = Lot::new(vec![Pull::new(24.0, true), Pull::new(21.5, false)]).unwrap();
        assert_eq!((lot.count(), lot.breaks_kn(), lot.held_kn()), (2, vec![24.0], vec![21.5]));
    }
}
