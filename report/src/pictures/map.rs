//! Words of a stress map.

use crate::beyond::tells;
use crate::numbers::{kilonewtons, plain};
use geometry::connector::Pin;
use solver::findings::Tells;
use solver::strength::{Capacity, FailureMode, LimitKind};
use std::fmt::Write;

/// How a stress is called on pictures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FieldWords {
    /// Its name: "von Mises stress".
    pub name: &'static str,
    /// As part of a sentence.
    pub in_sentence: &'static str,
    /// In two lines over an upright legend, with the unit.
    pub upright: [&'static str; 2],
    /// In a line beside a legend across the page, with the unit.
    pub across: &'static str,
}

/// Von Mises stress.
pub const VON_MISES: FieldWords = FieldWords {
    name: "von Mises stress",
    in_sentence: "von Mises stress",
    upright: ["von Mises", "stress, MPa"],
    across: "von Mises stress, MPa",
};

/// Normal stress along the line of pull.
pub const PULL_DIRECTION: FieldWords = FieldWords {
    name: "stress along the pull",
    in_sentence: "the stress along the pull, tension positive",
    upright: ["stress along", "the pull, MPa"],
    across: "stress along the pull, MPa",
};

/// The principal stress that is larger in size.
pub const PRINCIPAL: FieldWords = FieldWords {
    name: "principal stress",
    in_sentence: "the principal stress that is larger in size, tension positive",
    upright: ["principal", "stress, MPa"],
    across: "principal stress, MPa",
};

/// Stress trajectories.
pub const TRAJECTORIES: FieldWords = FieldWords {
    name: "stress trajectories",
    in_sentence: "stress trajectories along the first principal stress where it pulls, as thick as their force",
    upright: ["pull along", "a line, kN"],
    across: "pull along a trajectory, kN",
};

/// The word at the mark of the yield stress.
pub const YIELD: &str = "yield";
/// The word before a stress that lies past the end of a legend.
pub const PAST: &str = "to";
/// What the key of trajectories leaves out.
pub const PULL_ONLY: &str = "Trajectories are pull; metal that is only pushed has none.";

/// What spine and gate carry of a pull: each load, and below it whose it is and its share. All in kN.
#[must_use]
pub fn shares(spine_kn: f64, gate_kn: f64, load_kn: f64, gate_open: bool) -> [[String; 2]; 2] {
    let gate =
        if gate_open { "gate open".to_owned() } else { format!("gate {}", percents(gate_kn, load_kn)) };
    [[kilonewtons(spine_kn), format!("spine {}", percents(spine_kn, load_kn))], [kilonewtons(gate_kn), gate]]
}

fn percent(kn: f64, load_kn: f64) -> f64 {
    if load_kn == 0.0 { 0.0 } else { 100.0 * kn / load_kn }
}

/// Whole percent; what rounds to zero has no sign.
fn percents(kn: f64, load_kn: f64) -> String {
    let percent = percent(kn, load_kn).round();
    format!("{:.0} %", if percent == 0.0 { 0.0 } else { percent })
}

/// What trajectories in a window `enlarged` times carry.
#[must_use]
pub fn enlarged_lines(enlarged: f64) -> String {
    format!("lines carry 1/{} of the map's", plain((10.0 * enlarged).round() / 10.0))
}

/// What is said where forces in the gate line, or of its pin, stand beside a share of the gate that is another number.
pub const SHARE_OF_THE_PULL: &str =
    "The gate's share counts only the part of the force in the gate line that lies along the pull.";

/// The same in a few words.
pub const SHARE_OF_THE_PULL_SHORT: &str = "the gate's share is the part along the pull";

/// What the picture of a map says in words. Forces in kN, stresses in MPa.
#[derive(Clone, Debug)]
pub struct MapTold<'a> {
    /// The headline.
    pub sentence: &'a str,
    /// The rig in a line.
    pub subtitle: &'a str,
    /// Pull, and what spine and gate carry of it.
    pub loads_kn: [f64; 3],
    /// What is shown.
    pub field: FieldWords,
    /// Places that are named, with their stress.
    pub callouts: Vec<(&'a str, f64)>,
    /// What the enlarged nose shows: the forces of its pin, and what holds.
    pub nose: Option<(Vec<f64>, &'a str)>,
    /// Yield stress of the frame.
    pub yield_mpa: f64,
    /// Further sentences, with or without full stop.
    pub notes: Vec<&'a str>,
    /// The line of caution.
    pub caution: &'a str,
}

/// The alternative text of a map.
#[must_use]
pub fn description(told: &MapTold<'_>) -> String {
    let [load, spine, gate] = told.loads_kn;
    let mut out = format!("{} {}. ", told.sentence, told.subtitle);
    let _ = write!(
        out,
        "Of {} the spine carries {} ({:.0} percent) and the gate {} ({:.0} percent). ",
        kilonewtons(load),
        kilonewtons(spine),
        percent(spine, load),
        kilonewtons(gate),
        percent(gate, load)
    );
    let _ = write!(out, "It shows {}. ", told.field.in_sentence);
    for (words, mpa) in &told.callouts {
        let _ = write!(out, "{words}: {mpa:.0} MPa. ");
    }
    if let Some((forces, holds)) = &told.nose {
        let forces: Vec<String> = forces.iter().map(|kn| kilonewtons(*kn)).collect();
        let presses = match forces.as_slice() {
            [] => "its pin does not press yet".to_owned(),
            forces => format!("its pin presses with {}", forces.join(" and ")),
        };
        let told: Vec<&str> =
            [presses.as_str(), holds].into_iter().filter(|words| !words.is_empty()).collect();
        let _ = write!(out, "The nose is shown enlarged: {}. ", told.join("; "));
    }
    let _ = write!(out, "The frame yields at {:.0} MPa. ", told.yield_mpa);
    for note in &told.notes {
        let _ = write!(out, "{}. ", note.trim_end_matches('.'));
    }
    out.push_str(told.caution);
    out
}

/// What a shape says that is drawn so many times enlarged.
#[must_use]
pub fn enlarged(times: f64) -> String {
    format!("shape drawn with its displacements {times} times enlarged")
}

/// What a map says that is loaded beyond what its connector holds; nothing where it holds.
#[must_use]
pub fn beyond(tells_of: Tells) -> Option<String> {
    tells(tells_of).map(|words| format!("Shown is metal that never yields: stresses tell {words}."))
}

/// A place beside which a stress is written that the lines of trajectories do not show.
#[must_use]
pub fn von_mises_at(place: &str) -> String {
    format!("von Mises, {place}")
}

/// A part that the enlarged nose shows.
#[derive(Clone, Copy, PartialEq, Eq)]
enum AtTheNose {
    Lip,
    Pin,
    Head,
}

impl AtTheNose {
    /// In the order in which they are told.
    const ALL: [Self; 3] = [Self::Lip, Self::Pin, Self::Head];

    const fn of(mode: FailureMode) -> Option<Self> {
        match mode {
            FailureMode::Lip => Some(Self::Lip),
            FailureMode::Pin(Pin::Nose, _) => Some(Self::Pin),
            FailureMode::NoseHead => Some(Self::Head),
            FailureMode::FrameYields
            | FailureMode::FrameBends
            | FailureMode::FrameOpens
            | FailureMode::RidesOut
            | FailureMode::Flank
            | FailureMode::NoseRoot
            | FailureMode::BehindNotch
            | FailureMode::Pin(Pin::Hinge, _)
            | FailureMode::Gate(..)
            | FailureMode::HingeLug(_)
            | FailureMode::Strap(_) => None,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Lip => "lip",
            Self::Pin => "pin",
            Self::Head => "head",
        }
    }
}

/// What lip and pin hold before they break: "lip holds 11.2 kN, pin 12.5 kN in the gate line".
#[must_use]
pub fn holds(parts: &[Capacity]) -> String {
    let mut words: Vec<String> = Vec::new();
    for shown in AtTheNose::ALL {
        let breaks =
            |part: &&Capacity| part.kind == LimitKind::Breaks && AtTheNose::of(part.what) == Some(shown);
        // Weakest first: the first of a part is the one that counts.
        if let Some(weakest) = parts.iter().find(breaks) {
            let verb = if words.is_empty() { " holds" } else { "" };
            let kn = kilonewtons(1e-3 * weakest.force_n).replace(' ', "\u{a0}");
            words.push(format!("{}{verb} {kn}", shown.word()));
        }
    }
    if words.is_empty() { String::new() } else { format!("{} in the gate line", words.join(", ")) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::strength::{Formula, PinFailure};

    fn part(what: FailureMode, kn: f64, kind: LimitKind) -> Capacity {
        let (force_n, inputs) = (1e3 * kn, Vec::new());
        Capacity { what, force_n, kind, by_hand_n: None, formula: Formula::PinShear, inputs }
    }

    #[test]
    fn what_lip_and_pin_bear_is_the_weakest_way_to_break() {
        let parts = [
            part(FailureMode::Pin(Pin::Nose, PinFailure::Bent), 6.1, LimitKind::Bends),
            part(FailureMode::Pin(Pin::Nose, PinFailure::BentThrough), 8.4, LimitKind::Breaks),
            part(FailureMode::Lip, 9.93, LimitKind::Breaks),
            part(FailureMode::Pin(Pin::Nose, PinFailure::Sheared), 12.0, LimitKind::Breaks),
        ];
        assert_eq!(holds(&parts), "lip holds 9.9\u{a0}kN, pin 8.4\u{a0}kN in the gate line");
        let on_gate = [
            part(FailureMode::Lip, 1.4, LimitKind::Breaks),
            part(FailureMode::NoseHead, 8.3, LimitKind::Breaks),
        ];
        assert_eq!(holds(&on_gate), "lip holds 1.4\u{a0}kN, head 8.3\u{a0}kN in the gate line");
        assert_eq!(holds(&[]), "");
    }

    #[test]
    fn an_open_gate_has_no_share_and_zero_has_no_sign() {
        let [spine, gate] = shares(10.0, -0.001, 10.0, false);
        assert_eq!(spine, ["10.0 kN", "spine 100 %"]);
        assert_eq!(gate, ["0.0 kN", "gate 0 %"]);
        assert_eq!(shares(10.0, 0.0, 10.0, true)[1][1], "gate open");
    }

    #[test]
    fn the_alternative_text_has_the_numbers_of_the_map() {
        let told = MapTold {
            sentence: "S.",
            subtitle: "R",
            loads_kn: [10.0, 5.74, 4.26],
            field: VON_MISES,
            callouts: vec![("spine", 287.4)],
            nose: Some((vec![4.2, 1.1], "")),
            yield_mpa: 503.0,
            notes: vec!["N."],
            caution: "C.",
        };
        let said = description(&told);
        for number in [
            "10.0 kN",
            "5.7 kN",
            "57 percent",
            "4.3 kN",
            "43 percent",
            "287 MPa",
            "4.2 kN",
            "1.1 kN",
            "503 MPa",
        ] {
            assert!(said.contains(number), "{number}: {said}");
        }
        assert!(said.contains(" N. C."), "{said}");
    }
}
