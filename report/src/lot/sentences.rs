//! Sentences about a lot.

use super::numbers::{
    claimed, claimed_beside, confident, confident_beside, exact, is_a_load, share, two_decimals,
};
use crate::numbers::{kilonewtons, plain, typed};
use lab::statistics::{
    Against, Belief, Bound, BySpread, CONFIDENCE, Claim, Farthest, Figures, MOST_PULLS, NoMaximum, NoWelch,
    Normal, NormalLot, Note, OUTLIER_LEVEL, Plan, SHARES, Welch,
};

/// So many of something.
pub(super) fn count(number: usize, one: &str, several: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {several}") }
}

/// What a lot is called.
#[must_use]
pub fn title(found: &Figures) -> String {
    format!("Lot of {}", count(found.lot.count(), "pull", "pulls"))
}

/// How its pulls ended: `3 broke, 1 ended without a break`.
#[must_use]
pub fn ended(found: &Figures) -> String {
    let (breaks, held) = (found.lot.breaks_kn().len(), found.lot.held_kn().len());
    match (breaks, held) {
        (1, 0) => "it broke".to_owned(),
        (_, 0) => "all broke".to_owned(),
        (0, 1) => "it ended without a break".to_owned(),
        (0, _) => "all ended without a break".to_owned(),
        (broke, held) => format!("{broke} broke, {held} ended without a break"),
    }
}

/// The breaks, and the pulls that ended otherwise, as a sentence begins with them.
fn pulls(found: &Figures) -> String {
    let (breaks, held) = (found.lot.breaks_kn().len(), found.lot.held_kn().len());
    let broke = count(breaks, "break", "breaks");
    match held {
        0 => broke,
        held => format!("{broke} and {} without one", count(held, "pull that ended", "pulls that ended")),
    }
}

/// What it all comes to.
#[must_use]
pub fn headline(found: &Figures) -> String {
    match &found.normal {
        Ok(normal) => of_a_normal(found, normal),
        Err(reason) => no_spread(found, *reason),
    }
}

fn of_a_normal(found: &Figures, normal: &Normal) -> String {
    let mean = kilonewtons(normal.mean_kn());
    let likely = if found.lot.held_kn().is_empty() { "mean" } else { "likeliest mean" };
    let head = format!("{}, {likely} {mean}:", pulls(found));
    let first = found.bounds.first();
    let claim = match first.filter(|bound| is_a_load(bound.kn)) {
        Some(bound) => format!(
            "with {} confidence, {} of the lot break above {} if the lot is normal{}",
            share(bound.confidence),
            share(bound.share),
            claimed(bound.kn),
            if found.lot.held_kn().is_empty() {
                ""
            } else {
                " (not exact, but on the safe side, as pulls ended without a break)"
            }
        ),
        None => format!(
            "too few, or too far apart, to claim any load of {} of a normal lot with {} confidence{}",
            share(SHARES[0]),
            share(CONFIDENCE),
            of_the_weibull_alone(found)
        ),
    };
    let NormalLot::Broke { three_sigma, .. } = &normal.figures else {
        return format!("{head} {claim}.");
    };
    let rating = three_sigma.by_sd;
    let rated = if is_a_load(rating.kn) {
        format!(
            "mean minus three standard deviations is {}, which {} of the lot break above with {} confidence",
            claimed(rating.kn),
            share(SHARES[2]),
            confident(rating.confidence[2])
        )
    } else {
        "mean minus three standard deviations is below zero".to_owned()
    };
    format!("{head} {claim}; {rated}.")
}

/// The Weibull load where only that is one: the headline and the table tell the same.
fn of_the_weibull_alone(found: &Figures) -> String {
    let bound = found.weibull.as_ref().ok().map(|weibull| weibull.exceeded[0].bound.kn);
    bound.filter(|kn| is_a_load(*kn)).map_or_else(String::new, |kn| {
        format!(" (of a Weibull lot {}: which of the two it is, so few pulls do not tell)", claimed(kn))
    })
}

/// Why nothing can be claimed of a lot, with what its pulls tell.
fn no_spread(found: &Figures, reason: NoMaximum) -> String {
    let (breaks, held) = (found.lot.breaks_kn(), found.lot.held_kn());
    let highest = held.iter().copied().fold(0.0, f64::max);
    let beside = match held.len() {
        0 => String::new(),
        1 => format!(" and 1 pull that ended at {} without one", claimed(highest)),
        more => format!(" and {more} pulls that ended without one, the highest at {}", claimed(highest)),
    };
    let at = breaks.first().copied().map(kilonewtons).unwrap_or_default();
    match reason {
        NoMaximum::NoBreak if held.len() == 1 => format!(
            "The one pull ended at {} without a break: it would have held at least that, and nothing else is known of the lot.",
            claimed(highest)
        ),
        NoMaximum::NoBreak => format!(
            "None of {} pulls broke: each would have held at least its peak, the highest {}, and nothing else is known of the lot.",
            held.len(),
            claimed(highest)
        ),
        NoMaximum::OneBreak => format!(
            "One break, at {at}{beside}: a single break tells no spread, so no load can be claimed of the lot by these pulls alone."
        ),
        NoMaximum::AllEqual => format!(
            "The {} breaks are all written down as {at}{beside}: as they stand they tell no spread, so no load can be claimed of the lot; \
             read them to more digits.",
            breaks.len()
        ),
    }
}

/// Why there are no figures, in a few words.
#[must_use]
pub fn reason(reason: NoMaximum) -> &'static str {
    match reason {
        NoMaximum::NoBreak => "no pull broke",
        NoMaximum::OneBreak => "a single break tells no spread",
        NoMaximum::AllEqual => "all breaks are equal as they are written down",
    }
}

/// `2 %, 4 % or 8 %`.
fn any_of(words: &[String]) -> String {
    match words {
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
        [] => String::new(),
    }
}

/// What is assumed where a marking is judged.
#[must_use]
pub fn assumed(belief: &Belief, stated: bool) -> String {
    let spreads: Vec<String> = belief.by_spread.iter().map(|by| share(by.spread)).collect();
    let taken = any_of(&spreads);
    let from = if stated { "as stated" } else { "engineering judgement, not from these pulls" };
    let floor = if belief.at_least {
        " Pulls that ended without a break stand in it with their peaks, so each confidence is at least what is told."
    } else {
        ""
    };
    format!(
        "For the marking the lot is taken as normal, with a standard deviation of {taken} of its mean ({from}) and a mean of which nothing \
         was known before; the standard deviation of these pulls is not used.{floor}"
    )
}

/// What breaks below a marking say, and breaks that are farther apart than is taken; none where there is nothing to say.
#[must_use]
pub fn against_marking(belief: &Belief, breaks: usize) -> Vec<String> {
    let mut told = Vec::new();
    let marking = typed(belief.marking_kn);
    match (belief.broke_below, breaks) {
        (0, _) => {}
        (1, 1) => told.push(format!("The break lies below the marking of {marking} kN.")),
        (1, all) => told.push(format!("1 of {all} breaks lies below the marking of {marking} kN.")),
        (below, all) if below == all => {
            told.push(format!("All {all} breaks lie below the marking of {marking} kN."));
        }
        (below, all) => told.push(format!("{below} of {all} breaks lie below the marking of {marking} kN.")),
    }
    let found = belief.found_spread.map(|found| share((1e3 * found).round() / 1e3)).unwrap_or_default();
    for (way, says) in [(Against::Wider, "farther apart"), (Against::Closer, "closer together")] {
        let spreads: Vec<String> =
            belief.by_spread.iter().filter(|by| by.against == Some(way)).map(|by| share(by.spread)).collect();
        if !spreads.is_empty() {
            told.push(format!(
                "The breaks speak against a standard deviation of {} of the mean: they lie {says}, theirs is {found}.",
                any_of(&spreads)
            ));
        }
    }
    told
}

/// A confidence in a marking as a table has it: down to zero where it is only the least that it may be.
#[must_use]
pub fn believed(belief: &Belief, confidence: f64) -> String {
    if belief.at_least && confidence < 0.01 { "0 %".to_owned() } else { confident(confidence) }
}

/// Whether a confidence is told as a number of percent, not as more than 99.
fn confidence_is_whole(confidence: f64) -> bool {
    confident(confidence) != confident(1.0)
}

/// What the pulls say of a marking, in a sentence.
#[must_use]
pub fn marking(belief: &Belief) -> String {
    let by = &belief.by_spread;
    let Some(usual) = by.get(by.len() / 2) else {
        return String::new();
    };
    // More than 99 % is itself the least that it may be.
    let told = |by: &BySpread, index: usize| match believed(belief, by.confidence[index]) {
        least if belief.at_least && confidence_is_whole(by.confidence[index]) => format!("at least {least}"),
        alone => alone,
    };
    let ends = match by.as_slice() {
        [first, .., last] => {
            let both = |index| match [first, last].map(|by| told(by, index)) {
                [from, to] if from == to => format!("{from} at either"),
                [from, to] => format!("{from} and {to}"),
            };
            format!(
                " With {} and with {} instead the first is {}, the second {}.",
                share(first.spread),
                share(last.spread),
                both(0),
                both(2)
            )
        }
        _ => String::new(),
    };
    format!(
        "If the lot's standard deviation is {} of its mean, {} of the lot hold the marking of {} kN with {} confidence, {} of it with {}.{ends}",
        share(usual.spread),
        share(SHARES[0]),
        typed(belief.marking_kn),
        told(usual, 0),
        share(SHARES[2]),
        told(usual, 2)
    )
}

/// What the pulls say to a claim.
#[must_use]
pub fn claim(found: &Claim, breaks: usize) -> String {
    let asked = found.asked;
    let kn = exact(asked.kn);
    let (part, sure) = (share(asked.share), share(asked.confidence));
    let bound = found.bound.filter(|bound| is_a_load(bound.kn));
    let now = found.confidence_now.map(|now| confident_beside(now, asked.confidence));
    if found.plan == Plan::Stands {
        let now = now.map_or_else(String::new, |now| format!(" (these pulls give {now})"));
        return format!(
            "Of this lot {kn} kN may be claimed: {part} break above it with {sure} confidence{now}."
        );
    }
    let instead = match bound {
        Some(Bound { kn, .. }) => format!("what may be claimed so is {}", claimed_beside(kn, asked.kn)),
        None => "no load may be claimed so".to_owned(),
    };
    let now = now.map_or_else(String::new, |now| format!("these pulls give {now}; "));
    let takes = match found.plan {
        Plan::Pulls(all) => format!(
            "with mean and standard deviation as they are it takes {all} breaks in all, {} more",
            all - breaks.min(all)
        ),
        Plan::TooMany => {
            format!(
                "with mean and standard deviation as they are it takes more than {} breaks",
                plain(MOST_PULLS as f64)
            )
        }
        Plan::MeanBelow => "the mean does not reach it, so no number of pulls would change that".to_owned(),
        Plan::LotBelow => format!(
            "with mean and standard deviation as they are less than {part} of the lot break above it, so no number of pulls would \
             change that"
        ),
        Plan::Ended | Plan::Stands => {
            "how many more it takes is not told where pulls ended without a break".to_owned()
        }
    };
    format!(
        "Of this lot {kn} kN may not be claimed for {part} with {sure} confidence: {now}{instead}; {takes}."
    )
}

/// Why a claim cannot be judged.
#[must_use]
pub fn no_claim(why: NoMaximum, kn: f64) -> String {
    format!("Whether {} kN may be claimed cannot be told: {}.", exact(kn), reason(why))
}

/// Whether the first bound reaches the load asked for.
#[must_use]
pub fn at_least(found: &Figures) -> Option<String> {
    let (kn, reached) = found.at_least?;
    let asked = exact(kn);
    let told = match found.bounds.first().filter(|bound| is_a_load(bound.kn)) {
        Some(bound) => {
            format!("{} of the lot break above {}", share(bound.share), claimed_beside(bound.kn, kn))
        }
        None => format!("no load can be claimed of {} of the lot", share(SHARES[0])),
    };
    let sure = share(CONFIDENCE);
    Some(match reached {
        true => {
            format!("At least {asked} kN were asked for, and are reached: with {sure} confidence {told}.")
        }
        false => {
            format!("At least {asked} kN were asked for, and are not reached: with {sure} confidence {told}.")
        }
    })
}

/// A chance as p values are told.
fn p(p: f64) -> String {
    match p {
        small if small < 0.001 => "p < 0.001".to_owned(),
        // Beside the 5 % that decides, as many digits as it takes.
        near if (near - 0.05).abs() < 0.001 => format!("p = {}", plain(near)),
        other => format!("p = {other:.3}"),
    }
}

/// Against another group, or why not.
#[must_use]
pub fn against_others(found: &Result<Welch, NoWelch>) -> String {
    match found {
        Ok(welch) => against(welch),
        Err(why) => not_compared("The groups are", *why),
    }
}

/// One group against another, by their names, or why not.
#[must_use]
pub fn between([first, second]: [&str; 2], found: &Result<Welch, NoWelch>) -> String {
    match found {
        Ok(welch) => format!(
            "{first} ({}, mean {}) against {second} ({}, mean {}): the first {}",
            count(welch.first.count, "break", "breaks"),
            kilonewtons(welch.first.mean),
            count(welch.second.count, "break", "breaks"),
            kilonewtons(welch.second.mean),
            lies("lies", welch)
        ),
        Err(why) => not_compared(&format!("{first} and {second} are"), *why),
    }
}

fn against(found: &Welch) -> String {
    format!(
        "Against the other {} with mean {}: these {}",
        found.second.count,
        kilonewtons(found.second.mean),
        lies("lie", found)
    )
}

/// How far the first lies from the second, and what follows.
fn lies(verb: &str, found: &Welch) -> String {
    let off = found.difference_kn;
    let side = if off < 0.0 { "lower" } else { "higher" };
    let [low, high] = found.interval_kn.map(two_decimals);
    let said = if found.differs() {
        "the lots differ in their means"
    } else {
        "no difference of the means is shown; that is no proof that there is none"
    };
    format!(
        "{verb} {} kN {side} on average (95 % interval of the difference {low} to {high} kN; Welch's t = {}, {:.1} degrees of freedom, {}): \
         {said}.",
        two_decimals(off.abs()),
        two_decimals(found.t),
        found.degrees_of_freedom,
        p(found.p)
    )
}

/// Why groups are not compared, after what they are called.
fn not_compared(groups_are: &str, why: NoWelch) -> String {
    let why = match why {
        NoWelch::Ended => "pulls ended without a break, and their peaks are no strengths",
        NoWelch::TooFew => "each needs two breaks or more",
        NoWelch::AllEqual => "neither has any spread as it is written down",
    };
    format!("{groups_are} not compared: {why}.")
}

/// What must be known beside figures.
#[must_use]
pub fn note(note: &Note) -> String {
    match note {
        Note::FewBreaks { breaks: 0 } => {
            "No break: the trade's rating of three standard deviations asks for five or more.".to_owned()
        }
        Note::FewBreaks { breaks } => format!(
            "Only {}: the trade's rating of three standard deviations asks for five or more, and bounds by so few lie low.",
            count(*breaks, "break", "breaks")
        ),
        Note::Ended { count: held } => format!(
            "{} without a break: each counts as at least its peak, never as a break; there is no rating of three standard deviations and no test for outliers.",
            count(*held, "pull ended", "pulls ended")
        ),
        Note::Outlier(Farthest { kn, sds, critical_sds, .. }) => format!(
            "The break at {} lies {sds:.3} standard deviations from the mean, farther than the {critical_sds:.3} at which it counts as an \
             outlier (Grubbs' test, {}). It is kept: look for its reason before anything is left out.",
            kilonewtons(*kn),
            share(OUTLIER_LEVEL)
        ),
        Note::FarApart { least_kn, most_kn } => format!(
            "Peaks from {} to {}: was a decimal comma typed? A comma stands between values; with commas in numbers put semicolons between \
             them.",
            kilonewtons(*least_kn),
            kilonewtons(*most_kn)
        ),
    }
}
