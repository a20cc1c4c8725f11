//! How far a pull has come that is still under way.

use crate::numbers::kilonewtons;
use solver::pull_to_failure::Reached;

/// How far a pull has come.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PullSoFar {
    /// Steps, those of the open hook among them.
    pub steps: usize,
    /// Load of the last one, kN.
    load_kn: f64,
    /// Its stretch, mm.
    stretch_mm: f64,
    /// The highest load until then, kN.
    highest_kn: f64,
    /// Iterations of all steps.
    iterations: usize,
    /// Whether the gate has carried.
    gated: bool,
    /// Whether it is the open hook that is being pulled, after its gate was lost.
    hook: bool,
}

impl PullSoFar {
    /// Another step is reached.
    pub fn take(&mut self, reached: &Reached) {
        self.steps += 1;
        self.iterations += reached.iterations;
        (self.load_kn, self.stretch_mm) = (reached.load_kn, reached.stretch_mm);
        self.highest_kn = self.highest_kn.max(reached.load_kn);
        // Only a gate that is not there carries exactly nothing.
        self.hook = self.gated && reached.gate_line_kn == 0.0 && reached.gate_kn == 0.0;
        self.gated |= reached.gate_line_kn > 0.0;
    }

    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        let Self { steps, load_kn, stretch_mm, highest_kn, iterations, hook, .. } = *self;
        let (load, highest) = (kilonewtons(load_kn), kilonewtons(highest_kn));
        let most = if load == highest { String::new() } else { format!(", after {highest} at most") };
        let of = if hook { " (open hook)" } else { "" };
        format!("Step {steps}{of}: {load}{most}, {stretch_mm:.2} mm of stretch, {iterations} iterations.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_that_has_fallen_is_told_beside_the_highest_and_an_open_hook_by_its_name() {
        let step = |load_kn, stretch_mm, gate_kn| Reached {
            load_kn,
            stretch_mm,
            gate_kn,
            gate_line_kn: gate_kn,
            iterations: 5,
            ..Reached::default()
        };
        let mut so_far = PullSoFar::default();
        let mut told = |reached: Reached| {
            so_far.take(&reached);
            so_far.words()
        };
        assert_eq!(told(step(0.02, 0.01, 0.0)), "Step 1: 0.02 kN, 0.01 mm of stretch, 5 iterations.");
        assert_eq!(told(step(19.6, 0.876, 8.4)), "Step 2: 19.6 kN, 0.88 mm of stretch, 10 iterations.");
        assert_eq!(
            told(step(2.71, 3.1, 0.0)),
            "Step 3 (open hook): 2.7 kN, after 19.6 kN at most, 3.10 mm of stretch, 15 iterations."
        );
    }
}
