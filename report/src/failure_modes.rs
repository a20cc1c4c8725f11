//! The names of parts and of how they fail, as sentences, tables and columns have them.

use geometry::connector::Pin;
use solver::rig::RigEnd;
use solver::strength::{Ends, FailureMode, LugFailure, PinFailure};
use study::forecast::Supposes;

/// What a part is called, and how it fails where its name says so.
struct Words {
    /// With a comma between the two.
    name: &'static str,
    /// Without one.
    run_on: &'static str,
    part: &'static str,
    how: Option<&'static str>,
}

macro_rules! words {
    ($part:literal) => {
        Words { name: $part, run_on: $part, part: $part, how: None }
    };
    ($part:literal, $how:literal) => {
        Words {
            name: concat!($part, ", ", $how),
            run_on: concat!($part, " ", $how),
            part: $part,
            how: Some($how),
        }
    };
}

const fn words(mode: FailureMode) -> Words {
    match mode {
        FailureMode::FrameYields => words!("frame", "first yield"),
        FailureMode::FrameBends => words!("frame", "permanently bent"),
        FailureMode::FrameOpens => words!("frame opens"),
        FailureMode::RidesOut => words!("pin riding out of the notch"),
        FailureMode::Lip => words!("lip of the notch"),
        FailureMode::Flank => words!("flank of the notch"),
        FailureMode::NoseHead => words!("head of the nose", "sheared"),
        FailureMode::NoseRoot => words!("root of the nose"),
        FailureMode::BehindNotch => words!("gate behind its notch"),
        FailureMode::Pin(Pin::Nose, how) => match how {
            PinFailure::Sheared => words!("nose pin", "sheared"),
            PinFailure::Bent => words!("nose pin", "bent"),
            PinFailure::BentThrough => words!("nose pin", "bent through"),
        },
        FailureMode::Pin(Pin::Hinge, how) => match how {
            PinFailure::Sheared => words!("hinge pin", "sheared"),
            PinFailure::Bent => words!("hinge pin", "bent"),
            PinFailure::BentThrough => words!("hinge pin", "bent through"),
        },
        FailureMode::Gate(Pin::Nose, how) => match how {
            LugFailure::TornOut => words!("gate", "torn out at the nose pin"),
            LugFailure::TornAcross => words!("gate", "torn across at the nose pin"),
            LugFailure::Crushed => words!("gate", "crushed by the nose pin"),
        },
        FailureMode::Gate(Pin::Hinge, how) => match how {
            LugFailure::TornOut => words!("gate", "torn out at the hinge pin"),
            LugFailure::TornAcross => words!("gate", "torn across at the hinge pin"),
            LugFailure::Crushed => words!("gate", "crushed by the hinge pin"),
        },
        FailureMode::HingeLug(how) => match how {
            LugFailure::TornOut => words!("hinge lug", "torn out"),
            LugFailure::TornAcross => words!("hinge lug", "torn across the hole"),
            LugFailure::Crushed => words!("hinge lug", "crushed by the pin"),
        },
        FailureMode::Strap(RigEnd::Upper) => words!("upper strap"),
        FailureMode::Strap(RigEnd::Lower) => words!("lower strap"),
    }
}

/// A part and how it fails: "hinge pin, sheared", "lip of the notch".
#[must_use]
pub const fn name(mode: FailureMode) -> &'static str {
    words(mode).name
}

/// The same within a sentence, without a comma: "hinge pin sheared".
#[must_use]
pub const fn run_on(mode: FailureMode) -> &'static str {
    words(mode).run_on
}

/// How a pull ends, in a word.
#[must_use]
pub const fn ends(ends: Ends) -> &'static str {
    match ends {
        Ends::Breaks => "breaks",
        Ends::Opens => "opens",
        Ends::Strap => "strap",
    }
}

/// A strap: "upper strap".
#[must_use]
pub const fn strap(end: RigEnd) -> &'static str {
    name(FailureMode::Strap(end))
}

/// The column of a part's limit in a table, kN: an identifier, whatever the part is called.
#[must_use]
pub const fn column(mode: FailureMode) -> &'static str {
    match mode {
        FailureMode::FrameYields => "limit_frame_first_yield_kn",
        FailureMode::FrameBends => "limit_frame_permanently_bent_kn",
        FailureMode::FrameOpens => "limit_frame_opens_kn",
        FailureMode::RidesOut => "limit_pin_riding_out_of_the_notch_kn",
        FailureMode::Lip => "limit_lip_of_the_notch_kn",
        FailureMode::Flank => "limit_flank_of_the_notch_kn",
        FailureMode::NoseHead => "limit_head_of_the_nose_sheared_kn",
        FailureMode::NoseRoot => "limit_root_of_the_nose_kn",
        FailureMode::BehindNotch => "limit_gate_behind_its_notch_kn",
        FailureMode::Pin(Pin::Nose, how) => match how {
            PinFailure::Sheared => "limit_nose_pin_sheared_kn",
            PinFailure::Bent => "limit_nose_pin_bent_kn",
            PinFailure::BentThrough => "limit_nose_pin_bent_through_kn",
        },
        FailureMode::Pin(Pin::Hinge, how) => match how {
            PinFailure::Sheared => "limit_hinge_pin_sheared_kn",
            PinFailure::Bent => "limit_hinge_pin_bent_kn",
            PinFailure::BentThrough => "limit_hinge_pin_bent_through_kn",
        },
        FailureMode::Gate(Pin::Nose, how) => match how {
            LugFailure::TornOut => "limit_gate_torn_out_at_the_nose_pin_kn",
            LugFailure::TornAcross => "limit_gate_torn_across_at_the_nose_pin_kn",
            LugFailure::Crushed => "limit_gate_crushed_by_the_nose_pin_kn",
        },
        FailureMode::Gate(Pin::Hinge, how) => match how {
            LugFailure::TornOut => "limit_gate_torn_out_at_the_hinge_pin_kn",
            LugFailure::TornAcross => "limit_gate_torn_across_at_the_hinge_pin_kn",
            LugFailure::Crushed => "limit_gate_crushed_by_the_hinge_pin_kn",
        },
        FailureMode::HingeLug(how) => match how {
            LugFailure::TornOut => "limit_hinge_lug_torn_out_kn",
            LugFailure::TornAcross => "limit_hinge_lug_torn_across_the_hole_kn",
            LugFailure::Crushed => "limit_hinge_lug_crushed_by_the_pin_kn",
        },
        FailureMode::Strap(RigEnd::Upper) => "limit_upper_strap_kn",
        FailureMode::Strap(RigEnd::Lower) => "limit_lower_strap_kn",
    }
}

/// As subject and verb of what has not changed: "the lip of the notch" and "still fails", "the hinge pin" and "is still sheared".
#[must_use]
pub fn subject_and_verb_still(mode: FailureMode) -> (String, String) {
    let (part, verb) = subject_and_verb(mode);
    match words(mode).how {
        Some(how) => (part, format!("is still {how}")),
        None => (part, format!("still {verb}")),
    }
}

/// As subject and verb: "the lip of the notch" and "fails", "the hinge pin" and "is sheared".
#[must_use]
pub fn subject_and_verb(mode: FailureMode) -> (String, String) {
    let Words { part, how, .. } = words(mode);
    match (mode, how) {
        (FailureMode::FrameOpens, _) => ("the frame".to_owned(), "opens".to_owned()),
        (FailureMode::RidesOut, _) => ("the pin".to_owned(), "rides out of the notch".to_owned()),
        (FailureMode::Strap(_), _) => (format!("the {part}"), "breaks".to_owned()),
        (_, Some(how)) => (format!("the {part}"), format!("is {how}")),
        (_, None) => (format!("the {part}"), "fails".to_owned()),
    }
}

/// The part without how it fails: "hinge pin", "frame".
#[must_use]
pub const fn part(mode: FailureMode) -> &'static str {
    match mode {
        FailureMode::FrameOpens => "frame",
        _ => words(mode).part,
    }
}

/// With an article: "the hinge pin (sheared)".
#[must_use]
pub fn with_article(mode: FailureMode) -> String {
    match words(mode) {
        Words { part, how: Some(how), .. } => format!("the {part} ({how})"),
        Words { part, how: None, .. } => format!("the {part}"),
    }
}

/// What the hook holds, beside the parts.
pub const OPEN_HOOK: &str = "open hook, once the gate has gone";

/// What a load supposes that is beyond the first part's.
#[must_use]
pub const fn supposes(supposes: Supposes) -> &'static str {
    match supposes {
        Supposes::Gate => "if the gate held",
        Supposes::GateAtItsLimit => "its gate at its limit",
        Supposes::Strap => "if the strap held",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_parts_have_one_name() {
        let mut names: Vec<&str> = FailureMode::all().into_iter().map(name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), FailureMode::all().len());
        for mode in FailureMode::all() {
            // The column is named alike, so that a reader of both knows it again.
            let words: Vec<&str> = name(mode).split([',', ' ']).filter(|w| !w.is_empty()).collect();
            assert_eq!(column(mode), format!("limit_{}_kn", words.join("_")));
        }
    }

    #[test]
    fn parts_read_as_subject_and_verb() {
        let words = |mode| {
            let (part, verb) = subject_and_verb(mode);
            format!("{part} {verb}")
        };
        let sheared = FailureMode::Pin(Pin::Hinge, PinFailure::Sheared);
        assert_eq!(words(FailureMode::Lip), "the lip of the notch fails");
        assert_eq!(words(sheared), "the hinge pin is sheared");
        assert_eq!(subject_and_verb_still(sheared).1, "is still sheared");
        assert_eq!(subject_and_verb_still(FailureMode::Lip).1, "still fails");
        assert_eq!(words(FailureMode::FrameOpens), "the frame opens");
        assert_eq!(words(FailureMode::RidesOut), "the pin rides out of the notch");
        assert_eq!(words(FailureMode::Strap(RigEnd::Upper)), "the upper strap breaks");
        assert_eq!(
            [sheared, FailureMode::FrameOpens, FailureMode::Lip].map(part),
            ["hinge pin", "frame", "lip of the notch"]
        );
        assert_eq!(with_article(sheared), "the hinge pin (sheared)");
    }
}
