//! Pulls that a calibration leaves out, and why.

use crate::logbook::{field, pulls};
use lab::logbook::Field;

/// Why a pull tells nothing.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Left {
    /// It was not done yet.
    NotPulled,
    /// How it ended was not told.
    NoOutcome,
    /// It has no model.
    NoModel,
    /// Its model has mistakes: the first of them.
    Mistakes(String),
    /// It was pulled in another rig than that of its model: fields that differ.
    OtherRig(Vec<Field>),
    /// Its model cannot be solved: why.
    Unsolved(String),
}

impl Left {
    fn words(&self) -> String {
        match self {
            Self::NotPulled => "planned and not pulled yet".to_owned(),
            Self::NoOutcome => "how it ended was not told".to_owned(),
            Self::NoModel => "no model stands for it".to_owned(),
            Self::Mistakes(first) => format!("its model has mistakes: {first}"),
            Self::OtherRig(fields) => {
                let names: Vec<&str> = fields.iter().map(|of| field(*of)).collect();
                format!("it was pulled otherwise than its model says: {}", names.join(", "))
            }
            Self::Unsolved(why) => format!("its model cannot be solved: {why}"),
        }
    }
}

/// A sentence for each reason, with the pulls that it is that of.
#[must_use]
pub fn lines(left: &[(i64, Left)]) -> Vec<String> {
    let mut reasons: Vec<&Left> = left.iter().map(|one| &one.1).collect();
    reasons.sort();
    reasons.dedup();
    reasons
        .into_iter()
        .map(|why| {
            let of: Vec<i64> = left.iter().filter(|one| one.1 == *why).map(|one| one.0).collect();
            format!("{} left out: {}.", pulls(&of), why.words())
        })
        .collect()
}

/// Why there is no calibration: none of the pulls that were asked for tells anything.
#[must_use]
pub fn nothing_to_learn(asked: usize, left: &[(i64, Left)]) -> String {
    let told: Vec<String> = lines(left).iter().map(|line| format!("\n  {line}")).collect();
    let asked = match asked {
        0 => "no pull of the logbook meets what was asked for".to_owned(),
        1 => "the pull that is asked for is none that counts".to_owned(),
        count => format!("of {count} pulls none that broke or opened has a model in its own rig"),
    };
    format!(
        "{asked}: nothing is learnt of the constants{}\n  hint: what counts is a pull with a model in whose rig it was done, that broke or opened; pullmap log \
         list shows what there is",
        told.concat()
    )
}
