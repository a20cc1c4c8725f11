//! Arguments of `lot`: what a few pulls allow to be claimed.

use super::filter::FilterFields;
use super::values::{load, part};
use clap::Args;
use lab::logbook::Field;
use lab::statistics::{
    CONFIDENCE, CONFIDENCES_ALLOWED, PEAKS_KN, Pull, SHARES, SHARES_ALLOWED, SPREADS_ALLOWED,
};
use report::lot::{NoPeak, PeakMistake, PeakMistakes, key};
use report::program::options::Refusal;
use std::path::PathBuf;
use study::model::quantity::{Dimension, parse};

/// Arguments of `lot`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LotArguments {
    /// Peaks of the pulls, kN or with a unit, commas between: 24.1,23.7,22.9. A pull that ended without a break (the strap went
    /// first, the stroke was at its end, it was stopped) is told as 21.5+ or, in quotes, '>21.5'. May be given several times
    #[arg(long, value_name = "KN,KN,...", value_parser = peaks, allow_hyphen_values = true)]
    pub values: Vec<Peaks>,
    /// Without --values: the logbook that the pulls are taken from [default: pullmap-logbook.sqlite]
    #[arg(long, value_name = "FILE")]
    pub logbook: Option<PathBuf>,
    /// Which of its pulls
    #[command(flatten)]
    pub filter: FilterFields,
    /// Compare groups of its pulls by this: a row of the table and of the picture each, and Welch's t test between two
    #[arg(long, value_name = "KEY", value_parser = keys(), conflicts_with = "against")]
    pub by: Option<String>,
    /// What is marked on the lot: tell how believable that is, by one pull or more: kN, or with a unit [default: the marking that all
    /// pulls of the logbook have, where they have one]
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub marking: Option<f64>,
    /// Standard deviation of the lot over its mean, taken for the marking: 4% [default: 2 %, 4 % and 8 %, side by side]
    #[arg(long, value_name = "PERCENT", value_parser = spread, allow_hyphen_values = true)]
    pub spread: Option<f64>,
    /// A load to claim: tell whether it may be claimed and, if not, how many breaks that takes: kN, or with a unit
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub claim: Option<f64>,
    /// The share of the lot that is to break above the claimed load: 0.99 or 99%
    #[arg(long, value_name = "SHARE", value_parser = share, requires = "claim", default_value_t = SHARES[0], allow_hyphen_values = true)]
    pub share: f64,
    /// The confidence of the claim: 0.95 or 95%
    #[arg(long, value_name = "SHARE", value_parser = confidence, requires = "claim", default_value_t = CONFIDENCE, allow_hyphen_values = true)]
    pub confidence: f64,
    /// Peaks of another group, told in the same way: do the means differ? (Welch's t test)
    #[arg(long, value_name = "KN,KN,...", value_parser = peaks, allow_hyphen_values = true)]
    pub against: Vec<Peaks>,
    /// End with exit code 1 when the load that 95 % of the lot break above, with 95 % confidence, does not reach this load in kN
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub at_least: Option<f64>,
    /// Print what was found as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for lot.png, lot.svg, lot-phone.png, lot-phone.svg and lot.json
    #[arg(long, value_name = "DIR", default_value = "pullmap-out/lot")]
    pub out: PathBuf,
}

/// What pulls may be told apart by.
const KEYS: [Field; 16] = [
    Field::Sample,
    Field::Kind,
    Field::MarkedClosedKn,
    Field::MarkedOpenKn,
    Field::Model,
    Field::Upper,
    Field::UpperSizeMm,
    Field::UpperOffsetMm,
    Field::Lower,
    Field::LowerSizeMm,
    Field::LowerOffsetMm,
    Field::Gate,
    Field::EngagedMm,
    Field::Rig,
    Field::Outcome,
    Field::Place,
];

fn keys() -> clap::builder::PossibleValuesParser {
    lot_keys().into()
}

/// The words that pulls may be told apart by.
#[must_use]
pub fn lot_keys() -> [&'static str; 16] {
    KEYS.map(key)
}

/// The field of such a word.
#[must_use]
pub fn lot_key(word: &str) -> Option<Field> {
    KEYS.into_iter().find(|field| key(*field) == word)
}

impl LotArguments {
    /// What pulls are to be told apart by.
    #[must_use]
    pub fn by(&self) -> Option<Field> {
        lot_key(self.by.as_deref()?)
    }

    /// The options that ask for pulls of the logbook.
    #[must_use]
    pub fn of_logbook(&self) -> Vec<&'static str> {
        let own = [("--logbook", self.logbook.is_some()), ("--by", self.by.is_some())];
        let own = own.into_iter().filter(|option| option.1).map(|option| option.0);
        own.chain(self.filter.given()).collect()
    }
}

/// Pulls told by one option.
#[derive(Clone, Debug, PartialEq)]
pub struct Peaks(pub Vec<Pull>);

/// All pulls of an option that may be given several times.
pub fn all_pulls(given: &[Peaks]) -> Vec<Pull> {
    given.iter().flat_map(|peaks| peaks.0.iter().cloned()).collect()
}

/// Peaks as they are typed.
///
/// # Errors
/// Every one that is none.
pub fn peaks(text: &str) -> Result<Peaks, PeakMistakes> {
    let separator = if text.contains(';') { ';' } else { ',' };
    let (mut pulls, mut mistakes) = (Vec::new(), Vec::new());
    for (i, value) in text.split(separator).enumerate() {
        match peak(value.trim()) {
            Ok(pull) => pulls.push(pull),
            Err(why) => mistakes.push(PeakMistake { place: i + 1, why }),
        }
    }
    // One unit behind the last of several is that of all, or of the last alone: nobody can tell.
    let bare = |value: &str| ends_with_a_digit(value.trim());
    if mistakes.is_empty() && text.split(separator).any(bare) && !text.split(separator).all(bare) {
        let first = text.split(separator).position(bare).unwrap_or_default();
        let with = text.split(separator).find(|value| !bare(value)).unwrap_or_default().trim().to_owned();
        mistakes.push(PeakMistake { place: first + 1, why: NoPeak::NoUnit { beside: with } });
    }
    if mistakes.is_empty() { Ok(Peaks(pulls)) } else { Err(PeakMistakes(mistakes)) }
}

/// Whether a value has no unit.
fn ends_with_a_digit(value: &str) -> bool {
    value.trim_end_matches('+').trim_end().ends_with(|last: char| last.is_ascii_digit() || last == '.')
}

fn peak(value: &str) -> Result<Pull, NoPeak> {
    let held = value.strip_prefix('>').or_else(|| value.strip_suffix('+'));
    let load = held.unwrap_or(value).trim();
    if load.is_empty() {
        return Err(NoPeak::Nothing);
    }
    let kn = match load.parse::<f64>() {
        Ok(kn) => kn,
        Err(_) => parse(load, Dimension::Force).map_err(NoPeak::NoLoad)?,
    };
    let [low, high] = PEAKS_KN;
    if (low..=high).contains(&kn) { Ok(Pull::new(kn, held.is_none())) } else { Err(NoPeak::Outside(kn)) }
}

fn spread(text: &str) -> Result<f64, Refusal> {
    part(text, SPREADS_ALLOWED)
}

fn share(text: &str) -> Result<f64, Refusal> {
    part(text, SHARES_ALLOWED)
}

fn confidence(text: &str) -> Result<f64, Refusal> {
    part(text, CONFIDENCES_ALLOWED)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peaks_are_read_as_they_are_typed() {
        let read = |text: &str| -> Vec<(f64, bool)> {
            peaks(text).unwrap().0.iter().map(|pull| (pull.peak_kn, pull.broke)).collect()
        };
        assert_eq!(read("24.1, >21.5,22+"), [(24.1, true), (21.5, false), (22.0, false)]);
        assert_eq!(read("24,1; 23,7"), [(24.1, true), (23.7, true)]);
        assert_eq!(read("500 daN,> 12 kN"), [(5.0, true), (12.0, false)]);
        assert_eq!(read("500 daN, 12 kN+"), [(5.0, true), (12.0, false)]);
    }

    #[test]
    fn a_unit_behind_some_values_alone_is_refused() {
        for (text, place) in
            [("3000,3100,2900 lbf", 1), ("24 kN,23.7,22.9", 2), ("24 kN,>23", 2), ("500 daN;5+", 2)]
        {
            let found = peaks(text).unwrap_err();
            assert!(found.0.len() == 1 && found.0[0].place == place, "{text}: {found:?}");
            assert!(found.to_string().contains("a unit behind each value, or behind none"), "{found}");
        }
    }

    #[test]
    fn every_mistake_is_found() {
        let found = peaks("24,,x,-3,nan,inf,0,>,1e9").unwrap_err();
        let places: Vec<usize> = found.0.iter().map(|mistake| mistake.place).collect();
        assert_eq!(places, [2, 3, 4, 5, 6, 7, 8, 9]);
        let told = found.to_string();
        assert!(told.contains("value 2: found nothing") && told.contains("21.5+"), "{told}");
    }
}
