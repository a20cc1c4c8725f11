//! `pullmap lot`: what a few pulls allow to be claimed of the lot that they were drawn from.

use super::files::{Files, json_of};
use crate::args::{LotArguments, all_pulls};
use crate::failure::{Failure, Outcome};
use crate::lots::picture;
use crate::output::print;
use crate::progress::Progress;
use lab::statistics::{Asked, Figures, Lot, Pull, Question};
use report::caution::CAUTION_OF_LOTS;
use report::lot::{Document, answer, no_lot};
use report::steps;
use serde_json::{Value, json};
use study::inputs;

/// Size of the picture, pixels, and of the same for a phone.
const PICTURES: [[u32; 2]; 2] = [[1600, 1200], [1080, 2340]];

/// The same of pulls that lead to no load.
const OF_PULLS_ALONE: [[u32; 2]; 2] = [[1600, 800], [1080, 1400]];

/// Judges one lot.
///
/// # Errors
/// The values are none of pulls, or a file cannot be written.
pub fn run(arguments: &LotArguments) -> Result<Outcome, Failure> {
    let lot = |pulls: Vec<Pull>| Lot::new(pulls).map_err(|mistakes| Failure::Lot(no_lot(&mistakes)));
    let pulls = lot(all_pulls(&arguments.values))?;
    let others = all_pulls(&arguments.against);
    let LotArguments { share, confidence, .. } = *arguments;
    let question = Question {
        marking_kn: arguments.marking,
        spread: arguments.spread,
        claim: arguments.claim.map(|kn| Asked { kn, share, confidence }),
        at_least_kn: arguments.at_least,
        against: if others.is_empty() { None } else { Some(lot(others)?) },
    };
    if !arguments.json {
        Files::check(&arguments.out)?;
    }
    let progress = Progress::new("lot");
    progress.say(steps::LOT);
    let hash = inputs::hash(told(&pulls, &question));
    let found = Figures::of(pulls, &question);
    let document = json_of(&Document::new(&found, &question))?;
    if arguments.json {
        progress.done();
        print(&document)?;
    } else {
        let mut files = Files::new(arguments.out.clone())?;
        progress.say(steps::PICTURES);
        let [wide, phone] = if found.normal.is_ok() { PICTURES } else { OF_PULLS_ALONE };
        files.drawing("lot", &picture(&found, &question, &hash, wide))?;
        files.drawing("lot-phone", &picture(&found, &question, &hash, phone))?;
        files.text("lot.json", &document)?;
        progress.done();
        print(&format!("{}{}{CAUTION_OF_LOTS}\n", answer(&found, &question), files.told()))?;
    }
    Ok(match found.at_least {
        Some((_, false)) => Outcome::LimitExceeded,
        _ => Outcome::Done,
    })
}

/// Everything that the answer depends on.
fn told(lot: &Lot, question: &Question) -> Value {
    let pulls = |lot: &Lot| -> Vec<Value> {
        lot.pulls().iter().map(|pull| json!([pull.peak_kn, pull.broke])).collect()
    };
    json!({
        "pulls": pulls(lot),
        "marking_kn": question.marking_kn,
        "spread": question.spread,
        "claim": question.claim.map(|asked| [asked.kn, asked.share, asked.confidence]),
        "at_least_kn": question.at_least_kn,
        "against": question.against.as_ref().map(pulls),
    })
}
