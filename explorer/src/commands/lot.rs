//! `pullmap lot`: what a few pulls allow to be claimed of the lot that they were drawn from.

use super::files::{Files, json_of};
use crate::args::{LotArguments, all_pulls};
use crate::failure::{Failure, Outcome};
use crate::lots::{from_logbook, hash, picture, sizes};
use crate::output::print;
use crate::progress::Progress;
use lab::logbook::DEFAULT_FILE;
use lab::statistics::{Asked, Figures, Lot, Pull, Question};
use report::caution::CAUTION_OF_LOTS;
use report::lot::{Document, FromLogbook, answer, no_lot, spread_of_nothing, two_sources};
use report::steps;
use std::path::PathBuf;

/// Judges one lot.
///
/// # Errors
/// The values are none of pulls, the logbook has none that count, or a file cannot be written.
pub fn run(arguments: &LotArguments) -> Result<Outcome, Failure> {
    let lot = |pulls: Vec<Pull>| Lot::new(pulls).map_err(|mistakes| Failure::Lot(no_lot(&mistakes)));
    let (pulls, taken) = if arguments.values.is_empty() {
        let logbook = arguments.logbook.clone().unwrap_or_else(|| PathBuf::from(DEFAULT_FILE));
        let mut taken = from_logbook(&logbook, &arguments.filter.filter(), arguments.by())?;
        taken.marking_kn = taken.marking_kn.filter(|_| arguments.marking.is_none());
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
    let hash = hash(&pulls, &question, taken.as_ref());
    let found = Figures::of(pulls, &question);
    let document = json_of(&Document::new(&found, &question, taken.as_ref()))?;
    if arguments.json {
        progress.done();
        print(&document)?;
    } else {
        let mut files = Files::new(arguments.out.clone())?;
        progress.say(steps::PICTURES);
        let [wide, phone] = sizes(&found);
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
