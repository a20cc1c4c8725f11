//! Words of a still: its statement, its line under the title, what is told to those who cannot see it, its caption.

use crate::beyond::in_short;
use crate::caution::CAUTION;
use crate::failure_modes::subject_and_verb;
use crate::letters::{capital, plain, typeset};
use crate::numbers::{kilonewtons, typed};
use solver::findings::{Beyond, Share};
use solver::rig::GateState;
use solver::strength::Limits;
use std::fmt::Write;

/// "the lip of the notch fails first, at 20.9 kN".
fn fails_first(limits: &Limits) -> String {
    let (part, verb) = subject_and_verb(limits.fails_first);
    format!("{part} {verb} first, at {}", kilonewtons(limits.fails_at_kn))
}

/// The statement of a map under a load, kN: who carries it and what fails first, or what would have given way.
#[must_use]
pub fn of_map(
    load_kn: f64,
    gate: GateState,
    share: &Share,
    beyond: Option<&Beyond>,
    limits: &Limits,
) -> String {
    if let Some(beyond) = beyond {
        return typeset(&in_short(beyond));
    }
    let carries = match (gate, (100.0 * share.gate_fraction).round() as i64) {
        (GateState::Open, _) => "the spine carries it all".to_owned(),
        (_, 0) => "the gate carries nothing".to_owned(),
        (_, percent) => format!("the gate carries {percent} %"),
    };
    typeset(&format!("At {} kN {carries}; {}.", typed(load_kn), fails_first(limits)))
}

/// The statement of a forecast: what fails first, and what is marked, kN.
#[must_use]
pub fn of_forecast(limits: &Limits, marked_kn: Option<f64>) -> String {
    let beside = marked_kn.map_or_else(String::new, |kn| format!("; it is marked {}", kilonewtons(kn)));
    typeset(&format!("{}{beside}.", capital(&fails_first(limits))))
}

/// What several rigs share: their loads, kN, where those are the same, and what was taken, in short.
#[must_use]
pub fn rigs(loads_kn: &[f64], taken: &[String]) -> String {
    let loads = match loads_kn {
        [load] => format!("each at {} kN", typed(*load)),
        _ => "each under its own rig".to_owned(),
    };
    std::iter::once(loads).chain(taken.iter().cloned()).collect::<Vec<_>>().join("; ")
}

/// What a still shows, as its alternative text tells it. `field`: the stress as part of a sentence.
#[derive(Clone, Copy, Debug)]
pub enum Shown<'a> {
    /// A connector with its stress.
    Map(&'a str),
    /// The loads of its parts, kN.
    Bars(&'a [(&'a str, f64)]),
    /// Two connectors with their stresses.
    Pair(&'a str),
}

/// A connector of a still.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// What it is called among several.
    pub label: &'a str,
    /// The pull, kN.
    pub load_kn: f64,
    /// What spine and gate carry of it.
    pub share: &'a Share,
    /// What fails first.
    pub limits: &'a Limits,
}

/// The alternative text; `lead`: title, statement and the line under the title.
#[must_use]
pub fn description(
    [title, sentence, subtitle]: [&str; 3],
    connectors: &[Told<'_>],
    shown: Shown<'_>,
    beyond: Option<&str>,
) -> String {
    let mut out = format!("{title}. {sentence} {}. ", capital(subtitle));
    for told in connectors {
        let of = match connectors {
            [_] => "Of".to_owned(),
            _ => format!("{}: of", capital(told.label)),
        };
        let [load, spine, gate] = [told.load_kn, told.share.spine_kn, told.share.gate_kn].map(kilonewtons);
        let first = fails_first(told.limits);
        let _ = write!(out, "{of} {load} the spine carries {spine} and the gate {gate}; {first}. ");
    }
    let _ = match shown {
        Shown::Map(field) => write!(
            out,
            "The connector is drawn with {field}, and with the straps or bars that pull it; a ring marks the part that fails \
             first. "
        ),
        Shown::Bars(bars) => {
            let each: Vec<String> =
                bars.iter().map(|(name, kn)| format!("{name} {}", kilonewtons(*kn))).collect();
            write!(
                out,
                "Bars show the loads at which parts reach their limits, as many as there is room for; all of them: {}. ",
                each.join(", ")
            )
        }
        Shown::Pair(field) => write!(
            out,
            "Both connectors are drawn with {field}, on one scale of colour and one of length; rings mark the parts that fail \
             first. "
        ),
    };
    if let Some(beyond) = beyond {
        let _ = write!(out, "{beyond} ");
    }
    out.push_str(CAUTION);
    plain(&out)
}

/// The program, the models and the inputs: what names a still in a text.
#[must_use]
pub fn citation(models: &str, hash: &str) -> String {
    format!("pullmap {}, {models}, inputs {hash}", env!("CARGO_PKG_VERSION"))
}

/// The text beside a still: what to write under it, what to tell those who cannot see it, where it is from.
#[must_use]
pub fn caption(sentence: &str, description: &str, citation: &str) -> String {
    format!(
        "Caption: {}\n\nAlternative text: {description}\n\nSource: {citation}\n\n{CAUTION}\n",
        plain(sentence)
    )
}

/// What a still was asked for that does not go together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StillMistake {
    /// More or fewer variants than a pair has.
    NoPair {
        /// How many.
        found: usize,
    },
    /// More or fewer models than one for a kind that shows one.
    NotOne {
        /// How many.
        found: usize,
    },
    /// A key varied for a kind that shows one.
    Varied {
        /// The key.
        key: String,
        /// Its values as typed.
        values: String,
    },
}

/// The sentence of a mistake.
#[must_use]
pub fn mistake(mistake: &StillMistake) -> String {
    match mistake {
        StillMistake::NoPair { found } => format!(
            "found {found} variants; allowed: 2 on a still\n  hint: `pullmap compare` shows up to six"
        ),
        StillMistake::NotOne { found } => format!(
            "found {found} models; allowed: 1 for this kind of still\n  hint: --kind compare shows two"
        ),
        StillMistake::Varied { key, values } => format!(
            "found --vary {key}={values}; allowed: with --kind compare\n  hint: --set {key}=VALUE for one value"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_rigs_tell_what_was_taken_without_the_reason() {
        let half = crate::notes::taken_in_short(study::model::Taken::HalfEngaged);
        assert_eq!(rigs(&[10.0], &[half]), "each at 10 kN; a pin engaged half way into the notch is taken");
        assert_eq!(rigs(&[10.0, 12.0], &[]), "each under its own rig");
        // Some pounds-force are no round number of kilonewtons.
        assert_eq!(rigs(&[11.120_554_038_151_25], &[]), "each at 11.12 kN");
    }

    #[test]
    fn a_caption_has_no_blank_that_does_not_break() {
        assert!(!caption("At 10\u{a0}kN.", "It.", "p").contains('\u{a0}'));
    }
}
