//! What pulls have told of the constants, in sentences and a table.

use super::Told;
use super::constants::{counts, in_a_sentence, name, value};
use super::left::lines;
use crate::numbers::decimals;
use crate::{caution::HAZARD, logbook::pulls};
use std::fmt::Write;
use study::calibrate::{Doubts, HeldOut, Helps, Judged, Learned, Tied, Verdict};

/// `3 pulls that broke or opened tell`.
fn broke(count: usize) -> String {
    match count {
        1 => "1 pull that broke or opened tells".to_owned(),
        count => format!("{count} pulls that broke or opened tell"),
    }
}

/// How a constant stands to what was computed or entered.
fn stands(learned: &Learned) -> String {
    let Learned { constant, after: [low, middle, high], .. } = learned;
    let at = |x: f64| value(*constant, x);
    format!(
        "{}: {} {} ({} to {})",
        in_a_sentence(*constant),
        at(*middle),
        counts(*constant),
        at(*low),
        at(*high)
    )
}

/// What was learnt most, in a sentence; what speaks against it first.
#[must_use]
pub fn headline(told: &Told<'_>) -> String {
    if let Some(against) = against(&told.found.doubts).into_iter().next() {
        return against;
    }
    let limits = told.found.held_out.pulls.iter().filter(|pull| pull.is_limit).count();
    let mut most: Vec<&Learned> = told.found.learned.iter().filter(|one| one.is_told()).collect();
    most.sort_by(|a, b| b.told.total_cmp(&a.told));
    match most.as_slice() {
        [] => format!("{} little of any constant by itself.", capital(&broke(limits))),
        [first, ..] => format!("{} most of {}.", capital(&broke(limits)), stands(first)),
    }
}

/// Why a calibration is not kept, a sentence for each reason.
#[must_use]
pub fn against(doubts: &Doubts) -> Vec<String> {
    let mut all = Vec::new();
    if doubts.many_slips {
        let explain = if doubts.slips.len() == 1 { "it" } else { "them" };
        all.push(format!(
            "No constants within what is assumed go with {}: something else made {explain} so (pullmap explain).",
            pulls(&doubts.slips)
        ));
    }
    if doubts.places_contradict {
        all.push(format!(
            "The constants that go with the peaks let other parts fail first than those that were found broken in {}: another cause is likelier (pullmap \
             explain).",
            pulls(&doubts.elsewhere)
        ));
    }
    if doubts.harms {
        all.push(
            "These pulls do not go together under one set of constants: what the others say makes them less likely, on average, than a forecast without calibration."
                .to_owned(),
        );
    }
    all
}

/// What else speaks against it.
fn notes(doubts: &Doubts) -> Vec<String> {
    let mut all = Vec::new();
    if !doubts.many_slips && !doubts.slips.is_empty() {
        all.push(format!(
            "Note: the others do not explain {}, which counts for little.",
            pulls(&doubts.slips)
        ));
    }
    if !doubts.places_contradict && !doubts.elsewhere.is_empty() {
        all.push(format!(
            "Note: {} broke elsewhere than where the calibrated forecast has it.",
            pulls(&doubts.elsewhere)
        ));
    }
    all.extend(doubts.at_an_end.iter().map(|(of, high)| {
        format!(
            "Note: {} stands at the {} end of what is assumed of it: the pulls ask for more than that, and its range is narrower than it \
             should be.",
            in_a_sentence(*of),
            if *high { "high" } else { "low" }
        )
    }));
    all
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// All of it in sentences, but for the table.
#[must_use]
pub fn sentences(told: &Told<'_>) -> Vec<String> {
    let left_out = lines(told.left).into_iter().map(|line| format!("Note: {line}"));
    std::iter::once(headline(told)).chain(under_it(told)).chain(left_out).collect()
}

/// What stands under the headline, but for what was left out.
#[must_use]
pub fn under_it(told: &Told<'_>) -> Vec<String> {
    let found = told.found;
    let mut all = Vec::new();
    all.extend(against(&found.doubts).into_iter().skip(1));
    all.extend(notes(&found.doubts));
    all.extend(held_out(&found.held_out));
    let bounds: Vec<&Judged> = found.held_out.pulls.iter().filter(|pull| !pull.is_limit).collect();
    if !bounds.is_empty() {
        let numbers: Vec<i64> = bounds.iter().map(|pull| pull.number).collect();
        all.push(format!(
            "{} ended otherwise: each holds at least its peak.",
            capital(&pulls(&sorted(numbers)))
        ));
    }
    all.extend(found.tied.iter().map(tied));
    let little: Vec<String> = found
        .learned
        .iter()
        .filter(|one| !one.is_told() && found.tied.iter().all(|tied| !tied.pair.contains(&one.constant)))
        .map(|one| in_a_sentence(one.constant))
        .collect();
    if !little.is_empty() {
        all.push(format!("These pulls tell little of: {}.", little.join(", ")));
    }
    all.extend(found.not_varied.iter().map(|(of, numbers)| {
        format!(
            "Note: of {} nothing follows from {}: there it could not be varied.",
            in_a_sentence(*of),
            pulls(numbers)
        )
    }));
    all
}

fn sorted(mut numbers: Vec<i64>) -> Vec<i64> {
    numbers.sort_unstable();
    numbers
}

fn tied(tied: &Tied) -> String {
    let [a, b] = tied.pair.map(in_a_sentence);
    let way = if tied.correlation < 0.0 {
        "more of one does what less of the other would"
    } else {
        "they rise and fall together"
    };
    format!(
        "{} and {b} are not told apart (correlation {}): {way}.",
        capital(&a),
        decimals(tied.correlation, 2)
    )
}

/// What the pulls say of the calibration itself.
fn held_out(found: &HeldOut) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(Verdict { judged, within: [before, after], gain, is, scatter_less }) = found.verdict() {
        let likely = match is {
            Helps::Likelier => "likelier",
            Helps::LessLikely => "less likely",
            Helps::AsBefore => "about as likely as before",
        };
        all.push(format!(
            "Each forecast from the others alone, {after} of {judged} peaks lie within their range of 90 % ({before} without calibration), and are \
             {likely}, {} times by the geometric mean.",
            decimals(gain.exp(), 2)
        ));
        if scatter_less {
            all.push(
                "Note: these pulls scatter less than the forecast takes pulls to: its range is wide for them."
                    .to_owned(),
            );
        }
    }
    let unjudged = found.pulls.iter().filter(|pull| pull.is_limit && pull.after.is_none());
    let unjudged: Vec<i64> = unjudged.map(|pull| pull.number).collect();
    if !unjudged.is_empty() {
        all.push(format!(
            "Note: so much hangs on {} that the others alone do not forecast it.",
            pulls(&sorted(unjudged))
        ));
    }
    all
}

/// What `log calibrate` prints, but for where it is kept.
#[must_use]
pub fn answer(told: &Told<'_>) -> String {
    let mut text = sentences(told).join("\n") + "\n";
    let _ = writeln!(text, "\n  {:<25} {:>20} {:>20} {:>6}", "90 of 100 lie", "before", "after", "told");
    for one in &told.found.learned {
        let range = |[low, _, high]: [f64; 3]| {
            format!("{} to {}", value(one.constant, low), value(one.constant, high))
        };
        let _ = writeln!(
            text,
            "  {:<25} {:>20} {:>20} {:>4.0} %  {}",
            name(one.constant),
            range(one.before),
            range(one.after),
            100.0 * one.told,
            counts(one.constant)
        );
    }
    text.push_str("\"Told\" is the part of the variance that these pulls took. What stays open from sample to sample is drawn as before.\n");
    text
}

/// Why it is not kept.
#[must_use]
pub fn not_kept(told: &Told<'_>) -> String {
    let reasons: Vec<String> = against(&told.found.doubts).iter().map(|why| format!("\n  {why}")).collect();
    format!(
        "nothing is kept as {}:{}\n  hint: --dry-run tells all that these pulls say; choose others by the options of log list",
        told.name,
        reasons.concat()
    )
}

/// Where it is kept, and what it is for.
#[must_use]
pub fn kept_as(name: &str) -> String {
    let quoted = if name.chars().all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c)) {
        name.to_owned()
    } else {
        format!("'{name}'")
    };
    format!(
        "Kept as {name}. Then: pullmap forecast MODEL --calibration {quoted}, or pullmap log plan MODEL --sample NAME --calibration {quoted}\n{HAZARD}\n"
    )
}
