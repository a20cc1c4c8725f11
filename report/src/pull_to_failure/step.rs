//! What carries at a step of a pull, and what has yielded, a sentence each.

use super::places::{at_or_beside, strain};
use crate::numbers::{kilonewtons, percent};
use solver::pull_to_failure::Reached;
use study::pull_to_failure::Pulled;

/// Less than this is no force, kN: it is written as zero.
const NONE_KN: f64 = 0.005;

/// Who carries how much.
#[must_use]
pub fn carries(s: &Reached) -> String {
    let spine = kilonewtons(s.spine_kn);
    if s.gate_kn.abs() < NONE_KN {
        return format!("The spine carries {spine}.");
    }
    if s.gate_kn < 0.0 {
        return format!(
            "The gate carries nothing and is pressed together by {}; the spine carries {spine}.",
            kilonewtons(-s.gate_kn)
        );
    }
    format!(
        "The gate carries {}, {}; the spine {spine}.",
        kilonewtons(s.gate_kn),
        percent(s.gate_fraction.max(0.0))
    )
}

/// How far its bars have yielded, and where most.
#[must_use]
pub fn yielded(pulled: &Pulled<'_>, s: &Reached) -> String {
    if s.plastic_strain > 0.0 {
        let most = strain(s.plastic_strain);
        format!("Largest plastic strain of the bars {most}: {}.", at_or_beside(pulled, s.plastic_at))
    } else {
        "All bars are elastic.".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gate_that_is_pressed_together_carries_nothing() {
        let told = |gate_kn: f64, spine_kn: f64| {
            let load_kn = gate_kn + spine_kn;
            carries(&Reached { gate_kn, spine_kn, gate_fraction: gate_kn / load_kn, ..Reached::default() })
        };
        assert_eq!(told(3.2, 6.4), "The gate carries 3.2 kN, 33 %; the spine 6.4 kN.");
        assert_eq!(told(0.02, 6.4), "The gate carries 0.02 kN, under 1 %; the spine 6.4 kN.");
        assert_eq!(told(0.001, 6.4), "The spine carries 6.4 kN.");
        assert_eq!(
            told(-0.2, 6.4),
            "The gate carries nothing and is pressed together by 0.20 kN; the spine carries 6.4 kN."
        );
    }
}
