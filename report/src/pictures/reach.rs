//! Words of the picture of where a load is held.

use crate::letters::{capital, typeset};
use crate::reach::{gate, load, nearest, no_range, no_reach, pair, range};
use study::reach::{Pair, Reach, ReachOfGate, Verdict};

/// The name of the picture.
#[must_use]
pub fn name(connector: &str) -> String {
    format!("{connector}: where the load is held")
}

/// The line under the title.
#[must_use]
pub fn subtitle(found: &Reach) -> String {
    format!(
        "usual straps and bars, in the places that seats tells and to the ends of what friction of {:.2} keeps",
        found.friction
    )
}

/// What stands over the field of a gate: its state, then the load and how many settings hold it.
#[must_use]
pub fn field(of: &ReachOfGate) -> [String; 2] {
    let line = match &of.tried {
        Err(reason) => format!("cannot be tried: {}", no_reach(reason)),
        Ok(_) => match of.kept() {
            0 => format!("{}: none that friction keeps was solved", load(of.load)),
            kept => format!("{}: in {} of {kept}", load(of.load), of.count(Verdict::Holds)),
        },
    };
    [capital(&gate(of)), typeset(&line)]
}

/// What stands beside a row.
#[must_use]
pub fn numbers(of: &ReachOfGate, row: Pair) -> String {
    if of.pairs.iter().any(|(pair, fits)| *pair == row && !fits) {
        return "does not fit".to_owned();
    }
    range(of, row)
        .map_or_else(|| no_range(of, row).to_owned(), |range| typeset(&range.replace(" to ", "\u{2013}")))
}

/// The name of a row.
#[must_use]
pub fn row(of: Pair) -> String {
    typeset(&pair(of))
}

/// What decides, gate by gate.
#[must_use]
pub fn note(found: &Reach) -> String {
    let told = found.gates.iter().filter_map(|of| Some(format!("{}: {}.", capital(&gate(of)), nearest(of)?)));
    typeset(&told.collect::<Vec<_>>().join(" "))
}

/// What marks say: held, not held, sliding.
#[must_use]
pub fn key(found: &Reach) -> [String; 3] {
    [
        "holds the load, at its middle".to_owned(),
        "does not".to_owned(),
        format!("friction of {:.2} does not keep it there", found.friction),
    ]
}

/// The ends of the axis.
#[must_use]
pub fn axis() -> [String; 2] {
    ["spine", "gate"].map(str::to_owned)
}

/// What the axis measures, and what stands beside.
pub const AXIS: &str = "Across: offset of the loads, mm. Off the line they lie diagonally, the upper one where the mark stands: above the \
                        line nearer to the gate than the lower, below it nearer to the spine. Beside: loads held, kN, weakest to strongest.";
