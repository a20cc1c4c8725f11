//! Sentences about where a load is held.

use super::names::{gate, gate_first, holds};
use super::no_reach;
use crate::numbers::{kilonewtons, typed};
use solver::rig::GateState;
use study::reach::{LoadIs, Reach, ReachOfGate, Verdict};

/// How many settings hold, of those in which friction keeps the loads.
fn count(gate: &ReachOfGate) -> String {
    let (held, kept) = (gate.count(Verdict::Holds), gate.kept());
    match (held, kept) {
        (_, 0) => "in none, since friction keeps none that was solved,".to_owned(),
        (0, kept) => format!("in none of {kept} settings"),
        (held, kept) if held == kept => format!("in all {kept} settings"),
        (held, kept) => format!("in {held} of {kept} settings"),
    }
}

/// The load as a sentence has it.
fn load(gate: &ReachOfGate) -> String {
    let kn = typed(gate.load.kn);
    match gate.load.is {
        LoadIs::Asked => format!("{kn} kN"),
        LoadIs::MarkedClosed if matches!(gate.state, Some(GateState::Half { .. })) => {
            format!("the {kn} kN marked for a closed gate")
        }
        LoadIs::MarkedClosed | LoadIs::MarkedOpen => format!("the marked {kn} kN"),
    }
}

/// What no setting says of itself.
pub const AT_ITS_MIDDLE: &str = "Held is a load up to which no part breaks; a pull may end at a higher one, on the open hook. \
                                 Every load is told with all that is not known exactly at its middle: a pull may end well below; `forecast` \
                                 with the sets of a setting, in reach.json, tells its 90 % range. What was tried are places, not chances.";

/// What all of it comes to: gate by gate, how many settings hold.
#[must_use]
pub fn headline(found: &Reach) -> String {
    let mut said = None;
    let parts: Vec<String> = found
        .gates
        .iter()
        .filter(|of| of.tried.is_ok())
        .map(|of| {
            let kn = load(of);
            let again = said.as_ref() == Some(&kn);
            let what = if again { String::new() } else { format!("{kn} ") };
            said = Some(kn);
            let weakest =
                of.weakest_kept().map_or_else(String::new, |kn| format!(", weakest {}", kilonewtons(kn)));
            format!("{what}{} with the {}{weakest}", count(of), gate(of))
        })
        .collect();
    let untried = found.gates.iter().filter(|of| of.tried.is_err());
    let untried: String = untried.map(|of| format!(" The {} could not be tried.", gate(of))).collect();
    format!("With everything at its middle it holds {}.{untried}", parts.join("; "))
}

/// The setting that decides: the nearest miss, or where all hold the one with least to spare.
#[must_use]
pub fn nearest(of: &ReachOfGate) -> Option<String> {
    match (of.nearest_miss(), of.least_to_spare()) {
        (Some(miss), Some(_)) => Some(format!("the nearest miss is {}", holds(miss, of.load.kn))),
        (Some(miss), None) => {
            let above = match of.load.is {
                LoadIs::Asked => "the load is above all that was tried",
                LoadIs::MarkedClosed | LoadIs::MarkedOpen => "the marking is above all that was tried",
            };
            Some(format!("{above}, and the nearest miss is {}", holds(miss, of.load.kn)))
        }
        (None, Some(least)) => Some(format!("least to spare has {}", holds(least, of.load.kn))),
        (None, None) => None,
    }
}

/// A gate in full.
#[must_use]
pub fn sentence(of: &ReachOfGate, friction: f64) -> String {
    let head = gate_first(of);
    if let Err(reason) = &of.tried {
        return format!("{head}: cannot be tried: {}", no_reach(reason));
    }
    let mut text = format!("{head}: holds {} {}", load(of), count(of));
    if let Some(nearest) = nearest(of) {
        text.push_str(&format!("; {nearest}"));
    }
    let weakest =
        of.weakest().filter(|weak| of.nearest_miss().is_some_and(|miss| !std::ptr::eq(miss, *weak)));
    if let Some(weakest) = weakest {
        text.push_str(&format!("; the weakest is {}", holds(weakest, of.load.kn)));
    }
    text.push('.');
    match of.count(Verdict::NotKept) {
        0 => {}
        1 => text.push_str(&format!(" In 1 more friction of {friction:.2} does not keep the loads.")),
        slide => {
            text.push_str(&format!(" In {slide} more friction of {friction:.2} does not keep the loads."))
        }
    }
    match of.count(Verdict::NotSolved) {
        0 => {}
        1 => text.push_str(" 1 could not be solved."),
        left => text.push_str(&format!(" {left} could not be solved.")),
    }
    text
}
