//! Words of a forecast's picture.

use crate::numbers::{kilonewtons, kilonewtons_alone};
use std::fmt::Write;

/// The name of the picture.
#[must_use]
pub fn name(connector: &str) -> String {
    format!("{connector}: what fails first")
}

/// The 90 % range, kN.
#[must_use]
pub fn range([low, high]: [f64; 2]) -> String {
    format!("90 % range: {} to {}", kilonewtons_alone(low), kilonewtons(high))
}

/// A marking, kN, as it is stamped: without decimals where it has none.
#[must_use]
pub fn marked(kn: f64) -> String {
    format!("marked {}", if kn.fract() == 0.0 { format!("{kn:.0} kN") } else { kilonewtons(kn) })
}

/// What stands under the small map.
#[must_use]
pub fn map_caption(load_kn: f64) -> String {
    format!("stress at {}, warm is high", kilonewtons(load_kn))
}

/// What the picture says in words. Loads in kN.
#[derive(Clone, Debug)]
pub struct ForecastTold<'a> {
    /// Headline, what follows, and the rig.
    pub lead: [&'a str; 3],
    /// The 90 % range.
    pub range_kn: [f64; 2],
    /// What is marked.
    pub marked_kn: Option<f64>,
    /// Parts with the loads of their limits.
    pub bars: Vec<(&'a str, f64)>,
    /// What is not shown.
    pub more: Option<&'a str>,
    /// Pull of the small map, and what spine and gate carry of it.
    pub loads_kn: [f64; 3],
    /// The line of caution.
    pub caution: &'a str,
}

/// The alternative text.
#[must_use]
pub fn description(told: &ForecastTold<'_>) -> String {
    let [sentence, then, rig] = told.lead;
    let [low, high] = told.range_kn;
    let mut out = format!("{sentence} {then} {rig}. ");
    let _ = write!(out, "The 90 % range is {} to {}. ", kilonewtons_alone(low), kilonewtons(high));
    if let Some(kn) = told.marked_kn {
        let _ = write!(out, "Marked {}. ", kilonewtons(kn));
    }
    for (part, kn) in &told.bars {
        let _ = write!(out, "{part}: {}. ", kilonewtons(*kn));
    }
    if let Some(more) = told.more {
        let _ = write!(out, "{more}. ");
    }
    let [load, spine, gate] = told.loads_kn.map(kilonewtons);
    let _ = write!(out, "At {load} the spine carries {spine} and the gate {gate}. {}", told.caution);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_marking_is_written_as_it_is_stamped() {
        assert_eq!([marked(20.0), marked(7.5)], ["marked 20 kN", "marked 7.5 kN"]);
    }

    #[test]
    fn the_alternative_text_has_every_number() {
        let said = description(&ForecastTold {
            lead: ["S.", "T.", "R"],
            range_kn: [18.0, 21.5],
            marked_kn: Some(20.0),
            bars: vec![("root of the nose", 26.1)],
            more: Some("7 more"),
            loads_kn: [10.0, 5.74, 4.26],
            caution: "C.",
        });
        for needed in [
            "18.0 to 21.5 kN",
            "root of the nose: 26.1 kN",
            "Marked 20.0 kN",
            "7 more. ",
            "5.7 kN",
            "4.3 kN. C.",
        ] {
            assert!(said.contains(needed), "{needed} is not in {said}");
        }
    }
}
