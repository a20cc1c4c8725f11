//! Why something of a logbook could not be done.

use super::names::{option, options};
use crate::numbers::{kilonewtons, plain};
use crate::{places, trace};
use lab::logbook::dates::YEARS;
use lab::logbook::field::MOST_PAIRS;
use lab::logbook::package::{Conflict, PackageError, Part, What, Wrong};
use lab::logbook::peak::{NoPeak, PEAK_KN, UNITS};
use lab::logbook::{Doubt, Field, LogbookError, Mistake, NoTracedPeak, Problem, Unreadable};
use lab::trace::TraceError;
use std::fmt::Display;

/// Mistakes of a package told at most: more of them tell nothing more.
const TOLD: usize = 20;
/// Letters of what was found that are told at most.
const FOUND: usize = 60;

/// Why something of a logbook could not be done, with what to do.
#[must_use]
pub fn error(error: &LogbookError) -> String {
    match error {
        LogbookError::NotThere(path) => format!(
            "{}: there is no logbook\n  hint: `pullmap log add` and `pullmap log plan` make one; --logbook FILE names another",
            path.display()
        ),
        LogbookError::NotAFile(path) => {
            format!(
                "{}: it is not a file\n  hint: name the file of the logbook behind --logbook",
                path.display()
            )
        }
        LogbookError::NothingInIt(path) => format!(
            "{}: nothing was recorded in it yet\n  hint: `pullmap log add` records the first pull; --logbook FILE names another logbook",
            path.display()
        ),
        LogbookError::NotALogbook(path) => format!(
            "{}: it is not a logbook, and is left as it is\n  hint: name another file behind --logbook",
            path.display()
        ),
        LogbookError::Newer { path, found, known } => format!(
            "{}: a logbook of version {found}; this pullmap knows versions up to {known}\n  hint: use a newer pullmap; the file is left \
             as it is",
            path.display()
        ),
        LogbookError::Altered { path, names } => format!(
            "{}: tables or guards of this logbook were changed by another program: {}\n  hint: go on with a copy from before that change; \
             the file is left as it is",
            path.display(),
            names.join(", ")
        ),
        LogbookError::Damaged(words) => {
            format!(
                "the logbook is damaged: {words}\n  hint: go on with a copy from before the damage; nothing was written"
            )
        }
        LogbookError::Full => {
            "the disk is full; nothing was recorded\n  hint: make room and enter it again".to_owned()
        }
        LogbookError::ReadOnly(words) => format!(
            "the logbook cannot be written: {words}; nothing was recorded\n  hint: the program needs to write the file and the folder \
             that it lies in"
        ),
        LogbookError::Busy => {
            "another program holds the logbook; nothing was recorded\n  hint: try again when it is done"
                .to_owned()
        }
        LogbookError::System(words) => format!(
            "the logbook cannot be used: {words}; nothing was recorded\n  hint: the folder must be there, and the program must be allowed to \
             read and write both folder and file"
        ),
        LogbookError::Guard(word) => format!("the logbook refuses: {word}; nothing was recorded"),
        LogbookError::Values(mistakes) => {
            mistakes.iter().map(|mistake| told(mistake, option(mistake.field))).collect::<Vec<_>>().join("\n")
        }
        LogbookError::Why(problem) => format!("--why: {}", why_not(problem, "", Field::Remark)),
        LogbookError::NoPull { number, last: 0 } => {
            format!(
                "there is no pull {number}: the logbook is empty\n  hint: `pullmap log add` records the first"
            )
        }
        LogbookError::NoPull { number, last } => {
            format!("there is no pull {number}; allowed: 1 to {last}\n  hint: `pullmap log list` lists them")
        }
        LogbookError::Withdrawn(number) => format!(
            "pull {number} is withdrawn; nothing was recorded\n  hint: pullmap log show {number} tells why; record it anew by pullmap log add"
        ),
        LogbookError::OtherPull(number) => format!(
            "pull {number} of this logbook is another one than that in sight; nothing was recorded\n  hint: another logbook is kept now: reload the page"
        ),
        LogbookError::HasResult(number) => format!(
            "pull {number} has its result already, which is not replaced\n  hint: correct it by pullmap log amend {number} ... --why \
             REASON, or leave the number out for a new pull"
        ),
        LogbookError::NoResult { number, fields } => format!(
            "{}: pull {number} has no result yet to be corrected\n  hint: record it by pullmap log add {number} --peak KN",
            options(fields)
        ),
        LogbookError::LockedByForecast { number, fields } => format!(
            "{}: the forecast of pull {number} was made for it, and it stays as it is\n  hint: plan another pull; one that was done otherwise \
             than planned is recorded by pullmap log add without a number",
            options(fields)
        ),
        LogbookError::Twice(fields) => format!(
            "{}: named twice in one amendment; nothing was recorded\n  hint: give a value or take the field back by --clear, not both",
            options(fields)
        ),
        LogbookError::PackageTooLarge { most } => too_large(*most),
        LogbookError::Unchanged { number, fields } => {
            format!("{}: pull {number} has that value already; nothing was recorded", options(fields))
        }
        LogbookError::NoForecast => {
            "the forecast has no finite loads in order; nothing was recorded".to_owned()
        }
        LogbookError::CalibrationName(Problem::TooLong { most }) => {
            format!("the name of the calibration is too long; allowed: up to {most} letters")
        }
        LogbookError::CalibrationName(_) => {
            "found no name for the calibration; allowed: a text in one line that does not begin with a hyphen, such as autumn".to_owned()
        }
        LogbookError::CalibrationExists(name) => format!(
            "there is a calibration {name} already, and nothing is replaced\n  hint: choose another name; `pullmap log calibrations` lists them"
        ),
        LogbookError::NoCalibration { name, known } => {
            let allowed = match known.as_slice() {
                [] => "none is kept here".to_owned(),
                some => format!("allowed: {}", some.join(", ")),
            };
            format!(
                "there is no calibration {name}; {allowed}\n  hint: `pullmap log calibrate NAME` makes one of pulls that broke or opened"
            )
        }
        LogbookError::TooLarge { most } => {
            format!(
                "found a file larger than {0} MiB; allowed: up to {0} MiB; nothing was recorded",
                most >> 20
            )
        }
        LogbookError::Package(error) => package(error),
    }
}

/// A mistake after the place that it is in.
fn told(mistake: &Mistake, place: impl Display) -> String {
    format!("{place}: {}", why_not(&mistake.problem, &mistake.found, mistake.field))
}

/// What was found, as far as it is told.
fn found(text: &str) -> String {
    match text.char_indices().nth(FOUND) {
        Some((end, _)) => format!("\"{}...\"", &text[..end]),
        None => format!("\"{text}\""),
    }
}

pub(super) fn why_not(problem: &Problem, text: &str, field: Field) -> String {
    let text = found(text);
    match problem {
        Problem::Needed => match field {
            Field::Peak => {
                "missing; allowed: a load in kN, or with its unit, such as --peak 21.3 or --peak \"5400 lbf\""
                    .to_owned()
            }
            Field::Sample => {
                "missing; allowed: the name of the sample, such as --sample \"ring 7\"".to_owned()
            }
            _ => "it must be told".to_owned(),
        },
        Problem::Empty => "found nothing; allowed: a text".to_owned(),
        Problem::TooLong { most } => format!("found {text}; allowed: up to {most} letters"),
        Problem::Control => {
            format!("found {text} with a letter that steers a terminal; allowed: one line of plain text")
        }
        Problem::NoNumber => format!(
            "found {text}, which is not a number; allowed: a number with a decimal point, such as 12.5"
        ),
        Problem::Outside([low, high]) => {
            format!("found {text}; allowed: {} to {}", plain(*low), plain(*high))
        }
        Problem::NoCount(most) => format!("found {text}; allowed: a whole number from 0 to {most}"),
        Problem::NoWord(words) => format!("found {text}; allowed: {}", words.join(", ")),
        Problem::NoPair => format!("found {text}; allowed: KEY=VALUE, such as nose.tip_mm=14"),
        Problem::TooManyPairs => format!("found too many; allowed: up to {MOST_PAIRS}"),
        Problem::NoDate => format!(
            "found {text}; allowed: a day between {} and {}, such as 2026-05-03, or with its time in UTC, such as \"2026-05-03 14:05\"",
            YEARS[0], YEARS[1]
        ),
        Problem::NoPeak(reason) => no_peak(reason, &text),
        Problem::NoFile => format!("found {text}; allowed: a file that can be read"),
        Problem::NoPlace => format!("found {text}; allowed: {}", places::words().join(", ")),
        Problem::NoResult => "the pull has no result".to_owned(),
        Problem::NotAsKept => format!("found {text}, which is not written as it is kept"),
        Problem::OtherKn => format!("found {text} beside kilonewtons that are not those of this load"),
    }
}

fn no_peak(reason: &NoPeak, text: &str) -> String {
    let units: Vec<&str> = UNITS.iter().map(|unit| unit.sign()).collect();
    match reason {
        NoPeak::NoNumber => {
            format!("found {text}, which is not a load; allowed: a number in {}", units.join(", "))
        }
        NoPeak::Comma => format!(
            "found {text}, where it cannot be told whether a comma begins decimals or divides thousands; allowed: no sign between \
             thousands, and one decimal point"
        ),
        NoPeak::Mass(weight) => {
            format!("found {text}, a mass; allowed: a load in {}\n  hint: write {weight}", units.join(", "))
        }
        NoPeak::Unit => {
            format!("found {text}, which is not a load; allowed: a number in {}", units.join(", "))
        }
        NoPeak::Outside(kn) => format!(
            "found {text}, {} kN; allowed: {} to {} kN",
            plain(*kn),
            plain(PEAK_KN[0]),
            plain(PEAK_KN[1])
        ),
    }
}

fn package(error: &PackageError) -> String {
    let nothing = "; nothing was taken in";
    match error {
        PackageError::TooLarge(most) => format!("the package is larger than {} MiB{nothing}", most >> 20),
        PackageError::NotOfTheForm(words) => {
            format!(
                "it is no package of pulls: {words}{nothing}\n  hint: `pullmap log export FILE.json` writes one"
            )
        }
        PackageError::Format(found) => format!(
            "found the format \"{found}\"; allowed: {}{nothing}\n  hint: a package of a newer format needs a newer pullmap",
            lab::logbook::package::FORMAT
        ),
        PackageError::Wrong(all) => {
            some(&all.iter().map(wrong).collect::<Vec<_>>(), "the package has mistakes")
        }
        PackageError::Conflicts(all) => some(
            &all.iter().map(conflict).collect::<Vec<_>>(),
            "the package contradicts what stands in the logbook",
        ),
    }
}

/// A headline and what it is about, as far as that is told.
fn some(lines: &[String], headline: &str) -> String {
    let shown: Vec<String> = lines.iter().take(TOLD).map(|line| format!("  {line}")).collect();
    let more = match lines.len() - shown.len() {
        0 => String::new(),
        more => format!("\n  and {more} more"),
    };
    format!("{headline}; nothing was taken in\n{}{more}", shown.join("\n"))
}

fn wrong(wrong: &Wrong) -> String {
    let name = &wrong.name;
    let place = match wrong.pull {
        0 => format!("content {}", name.get(..12).unwrap_or(name)),
        pull => format!("pull {pull} of the package"),
    };
    let what = match &wrong.what {
        What::Hash => "damaged: its hash is another than the one beside it".to_owned(),
        What::NoContent(hash) => {
            format!("the content {} that it names is not there", hash.get(..12).unwrap_or(hash))
        }
        What::Uid => {
            format!("found the uid {}; allowed: 32 hexadecimal digits that no other pull has", found(name))
        }
        What::Time(text) => format!("found the time {}; allowed: such as 2026-05-03T14:05:00Z", found(text)),
        What::Order([earlier, later]) => format!(
            "its times run backwards, from {earlier} to {later}; allowed: plan, forecast and result in this order, amendments behind what they amend"
        ),
        What::Forecast => "its forecast has no finite loads in order".to_owned(),
        What::Value(mistake) => return format!("{place}: {}", told(mistake, mistake.field.word())),
        What::Withdrawal => "it is withdrawn without a reason".to_owned(),
        What::Amendment(number) => format!("its amendment {number} does not follow from what stood there"),
    };
    format!("{place}: {what}")
}

fn conflict(conflict: &Conflict) -> String {
    let part = match conflict.part {
        Part::Plan => "sample, model or rig",
        Part::Forecast => "the forecast",
        Part::Result => "the result",
        Part::Amendments => "the amendments",
    };
    format!("pull {} ({}): {part}", conflict.number, conflict.uid)
}

/// A logbook of which no pull that is asked for can be read.
#[must_use]
pub fn none_readable(unreadable: &[Unreadable]) -> String {
    let told: Vec<&str> = unreadable.iter().take(TOLD).map(|one| one.words.as_str()).collect();
    format!(
        "none of the pulls that are asked for can be read, {} of them since the logbook is damaged: {}\n  hint: go on with a copy from before the \
         damage, or withdraw them by pullmap log withdraw NUMBER --why REASON",
        unreadable.len(),
        told.join("; ")
    )
}

/// A trace without a peak.
#[must_use]
pub fn no_traced_peak(file: impl Display, why: &NoTracedPeak) -> String {
    let why = why_no_peak(why, trace::error, [" (pullmap trace tells why)", " (pullmap trace tells more)"]);
    format!(
        "--trace {file}: no peak can be read from it: {why}\n  hint: add --peak with the highest load of the pull; the trace is kept all the \
         same"
    )
}

/// The same on the page, which shows beside it what the trace tells.
#[must_use]
pub fn no_traced_peak_on_a_page(why: &NoTracedPeak) -> String {
    let why = why_no_peak(why, trace::error_on_a_page, [""; 2]);
    format!(
        "No peak of a result is read from it: {why}. Enter the highest load of the pull; the trace is kept all the same."
    )
}

fn why_no_peak(
    why: &NoTracedPeak,
    error: fn(&TraceError) -> String,
    [tells_why, tells_more]: [&str; 2],
) -> String {
    match why {
        NoTracedPeak::NoReading(reason) => error(reason),
        NoTracedPeak::Cells(cells) => {
            let told: Vec<String> =
                cells.iter().map(|cell| format!("{} {}", cell.name, kilonewtons(cell.kn))).collect();
            format!("it has several load cells ({}), and which of them counts is not known", told.join(", "))
        }
        NoTracedPeak::Peaks(count) => format!("it is a list of {count} peaks, no trace of one pull"),
        NoTracedPeak::Least(kn) => {
            format!("its highest load, {}, is a lower bound of the peak{tells_why}", kilonewtons(*kn))
        }
        NoTracedPeak::Doubtful(kn, doubt) => {
            let because = match doubt {
                Doubt::Disturbance => "is one to three samples far above those beside them",
                Doubt::NoZero => "is as it was read: what the cell shows without load is not known",
                Doubt::LargeZero => {
                    "is less a zero of more than 5 % of it, which may be a load that stood before and after the pull"
                }
                Doubt::ZeroMoved => "is uncertain: after the pull the cell shows another zero than before",
                Doubt::NoBound => "has too few samples to tell how much lies between them",
            };
            format!("its highest load, {}, {because}{tells_more}", kilonewtons(*kn))
        }
    }
}

/// What belongs to sample, model and rig was recorded with the plan.
#[must_use]
pub fn not_for_a_planned_pull(number: i64, fields: &[Field]) -> String {
    format!(
        "{}: sample, model and rig of pull {number} were recorded with its plan\n  hint: leave it out here, and correct it by pullmap log \
         amend {number} ... --why REASON",
        options(fields)
    )
}

/// A file that is not kept of a pull cannot be written.
#[must_use]
pub fn nothing_kept(option: &str, number: i64) -> String {
    format!("{option}: pull {number} has none")
}

/// Sets without a model.
#[must_use]
pub fn no_model() -> String {
    "--set: there is no model that it could be set over\n  hint: name it with --model".to_owned()
}

/// An amendment without a field.
#[must_use]
pub fn nothing_to_amend() -> String {
    "there is nothing to amend\n  hint: name what is to be corrected, such as --peak 21.5, or take a value back by --clear FIELD".to_owned()
}

/// A package that nobody could take in.
#[must_use]
pub fn too_large(most: usize) -> String {
    format!(
        "the package would be larger than the {} MiB that import takes in; nothing was written\n  hint: export fewer pulls at a time, by \
         --sample, --marking, --gate, --outcome, --since, --until, --rig or --model",
        most >> 20
    )
}

/// A file to be written that is the logbook itself.
#[must_use]
pub fn is_the_logbook(file: impl Display) -> String {
    format!("{file}: it is the logbook itself, and is left as it is\n  hint: name another file to write to")
}

/// A file that is neither of the two that are exported.
#[must_use]
pub fn export_format(file: impl Display) -> String {
    format!("{file}: allowed: a file name that ends in .csv, for a spreadsheet, or in .json, for sharing")
}

/// A file that cannot be read, and the words of the system.
#[must_use]
pub fn unread(file: impl Display, words: impl Display) -> String {
    format!("{file}: cannot be read: {words}")
}
