//! A refinement in words: the meshes on the way, and what was reached.

use serde::Serialize;
use solver::refinement::Round;
use std::fmt::Write;

/// What was asked of a refinement, and what came of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refinement {
    /// Largest change of a trusted peak that was asked for, as a part of the peak.
    pub asked: f64,
    /// True when the last mesh keeps to it.
    pub reached: bool,
    /// The meshes, coarsest first.
    pub rounds: Vec<Round>,
}

impl Refinement {
    /// One sentence: what was reached.
    #[must_use]
    pub fn sentence(&self) -> String {
        let asked = 100.0 * self.asked;
        match self.rounds.last().and_then(|last| last.change) {
            Some(change) if self.reached => format!(
                "Refined until trusted peaks moved by no more than {asked:.1} %: the last mesh moved them by {:.1} %.",
                100.0 * change
            ),
            Some(change) => format!(
                "Trusted peaks still moved by {:.1} % on the last mesh that the budget allows; {asked:.1} % was asked for.",
                100.0 * change
            ),
            None => "The budget allows no finer mesh, so nothing can be said about its accuracy.".to_owned(),
        }
    }

    /// The meshes as a table, and the sentence.
    #[must_use]
    pub fn table(&self) -> String {
        let mut out =
            format!("\n{:>10} {:>14} {:>12} {:>10}\n", "unknowns", "energy error", "peak, MPa", "moved by");
        for round in &self.rounds {
            let moved = round.change.map_or_else(|| "-".to_owned(), |c| format!("{:.1} %", 100.0 * c));
            let error = round.energy_error_percent.map_or_else(|| "-".to_owned(), |e| format!("{e:.2} %"));
            // Writing to a string cannot fail.
            let _ = writeln!(out, "{:>10} {error:>14} {:>12.0} {moved:>10}", round.unknowns, round.peak_mpa);
        }
        out.push_str(&self.sentence());
        out.push('\n');
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(changes: &[Option<f64>], reached: bool) -> Refinement {
        let round = |change: &Option<f64>| Round {
            unknowns: 12_000,
            energy_error_percent: Some(3.0),
            peak_mpa: 600.0,
            change: *change,
        };
        Refinement { asked: 0.02, reached, rounds: changes.iter().map(round).collect() }
    }

    #[test]
    fn tells_what_was_reached_and_what_was_not() {
        assert!(told(&[None, Some(0.012)], true).table().ends_with("the last mesh moved them by 1.2 %.\n"));
        assert!(
            told(&[None, Some(0.04)], false).sentence().starts_with("Trusted peaks still moved by 4.0 %")
        );
        assert!(told(&[None], false).sentence().contains("no finer mesh"));
    }
}
