//! `pullmap lot`: what a few pulls allow to be claimed of the lot that they were drawn from.

use super::files::{Files, json_of};
use crate::args::{LotArguments, all_pulls};
use crate::failure::{Failure, Outcome};
use crate::lots::picture;
use crate::output::print;
use crate::progress::Progress;
use lab::logbook::{DEFAULT_FILE, Logbook, LogbookError};
use lab::lots::{Chosen, Groups};
use lab::statistics::{Asked, Figures, Lot, Pull, Question};
use report::caution::CAUTION_OF_LOTS;
use report::lot::{
    Document, FromLogbook, answer, key, no_logbook, no_lot, nothing_counts, spread_of_nothing, two_sources,
};
use report::steps;
use serde_json::{Value, json};
use std::path::PathBuf;
use study::inputs;

/// Size of the picture, pixels, and of the same for a phone.
const PICTURES: [[u32; 2]; 2] = [[1600, 1200], [1080, 2340]];

/// The same of pulls that lead to no load.
const OF_PULLS_ALONE: [[u32; 2]; 2] = [[1600, 800], [1080, 1400]];

/// Judges one lot.
///
/// # Errors
/// The values are none of pulls, the logbook has none that count, or a file cannot be written.
pub fn run(arguments: &LotArguments) -> Result<Outcome, Failure> {
    let lot = |pulls: Vec<Pull>| Lot::new(pulls).map_err(|mistakes| Failure::Lot(no_lot(&mistakes)));
    let (pulls, taken) = if arguments.values.is_empty() {
        let taken = from_logbook(arguments)?;
        (lot(taken.chosen.pulls())?, Some(taken))
    } else {
        let also = arguments.of_logbook();
        if !also.is_empty() {
            return Err(Failure::Lot(two_sources(&also)));
        }
        (lot(all_pulls(&arguments.values))?, None)
    };
    let marking_kn = arguments.marking.or_else(|| taken.as_ref()?.marking_kn);
    if arguments.spread.is_some() && marking_kn.is_none() {
        return Err(Failure::Lot(spread_of_nothing()));
    }
    let others = all_pulls(&arguments.against);
    let LotArguments { share, confidence, .. } = *arguments;
    let question = Question {
        marking_kn,
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
    let hash = inputs::hash(told(&pulls, &question, taken.as_ref()));
    let found = Figures::of(pulls, &question);
    let document = json_of(&Document::new(&found, &question, taken.as_ref()))?;
    if arguments.json {
        progress.done();
        print(&document)?;
    } else {
        let mut files = Files::new(arguments.out.clone())?;
        progress.say(steps::PICTURES);
        let [wide, phone] = if found.normal.is_ok() { PICTURES } else { OF_PULLS_ALONE };
        files.drawing("lot", &picture(&found, &question, taken.as_ref(), &hash, wide))?;
        files.drawing("lot-phone", &picture(&found, &question, taken.as_ref(), &hash, phone))?;
        files.text("lot.json", &document)?;
        progress.done();
        let of_logbook = taken.as_ref().map(FromLogbook::answer).unwrap_or_default();
        let words = format!("{}{of_logbook}{}", answer(&found, &question), files.told());
        print(&format!("{words}{CAUTION_OF_LOTS}\n"))?;
    }
    Ok(match found.at_least {
        Some((_, false)) => Outcome::LimitExceeded,
        _ => Outcome::Done,
    })
}

/// The pulls that are asked for of the logbook.
fn from_logbook(arguments: &LotArguments) -> Result<FromLogbook, Failure> {
    let logbook = arguments.logbook.clone().unwrap_or_else(|| PathBuf::from(DEFAULT_FILE));
    let open = Logbook::read(&logbook).map_err(|error| match error {
        LogbookError::NotThere(path) => Failure::Lot(no_logbook(path.display())),
        other => other.into(),
    })?;
    let chosen = Chosen::of(open.pulls(&arguments.filter.filter())?);
    if chosen.counted.is_empty() {
        return Err(Failure::Lot(nothing_counts(logbook.display(), &chosen)));
    }
    let marking_kn = if arguments.marking.is_none() { chosen.marking_kn() } else { None };
    let groups = arguments.by().map(|by| Groups::of(&chosen.counted, by));
    let outcome = arguments.filter.of_outcome.clone();
    Ok(FromLogbook { chosen, marking_kn, outcome, groups })
}

/// Everything that the answer depends on.
fn told(lot: &Lot, question: &Question, taken: Option<&FromLogbook>) -> Value {
    let pulls = |lot: &Lot| -> Vec<Value> {
        lot.pulls().iter().map(|pull| json!([pull.peak_kn, pull.broke])).collect()
    };
    let mut told = json!({
        "pulls": pulls(lot),
        "marking_kn": question.marking_kn,
        "spread": question.spread,
        "claim": question.claim.map(|asked| [asked.kn, asked.share, asked.confidence]),
        "at_least_kn": question.at_least_kn,
        "against": question.against.as_ref().map(pulls),
    });
    if let Some(groups) = taken.and_then(|taken| taken.groups.as_ref()) {
        told["by"] = json!(key(groups.by));
        told["groups"] = groups.groups.iter().map(|group| pulls(&group.figures.lot)).collect();
    }
    told
}
