//! Do narrow straps cut strength? They do where the bar bends between its ends; they do not where the shape seats the load
//! at the spine. Which of the two holds for a shape is computed: a narrow and a wide strap, each at the weakest of its own
//! rests and both in the middle. Who rigs cannot choose the rest, so the best one is no answer.

use super::rest_name;
use report::json;
use report::numbers::kilonewtons;
use serde::Serialize;
use solver::causes::Judgement;
use solver::rig::{DEFAULT_STRAP_STIFFNESS, Loader, Rig};
use solver::seats::Seating;
use solver::strength::FailureMode;
use solver::system::System;
use study::{Case, Engine, Watch};

/// The narrow strap, mm.
const NARROW_MM: f64 = 12.0;
/// The wide strap where it fits, mm.
const WIDE_MM: f64 = 40.0;
/// Less than this much wider is no comparison, mm.
const WIDER_BY_MM: f64 = 4.0;
/// Changes below this part count as none: one pull scatters by as much about its forecast ([`Judgement::scatter`]).
const NO_CHANGE: f64 = Judgement::STANDING.scatter;
/// Rests of a strap that are judged.
const MOST_RESTS: usize = 4;
/// A rest that draws from less than this part of all starting places, beside one that draws from more, is a curiosity.
const LIKELY: f64 = 0.04;
/// A rest that draws from so many times the places of another is told beside it.
const LIKELIER: f64 = 1.5;

/// What straps of one width hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WidthForecast {
    /// Width, mm.
    pub width_mm: f64,
    /// Forecast with both straps in the middle, kN.
    pub middle_kn: f64,
    /// What fails first there.
    #[serde(serialize_with = "json::mode")]
    pub middle_fails_first: FailureMode,
    /// Whether the friction that the rig relies on keeps both there.
    pub middle_held: bool,
    /// Whether that friction keeps both wherever they are put, at equal offsets: then no rest draws them.
    pub held_everywhere: bool,
    /// Where they rest: the weakest of those rests that draw from more than a few percent of all starting places.
    pub rest: String,
    /// Part of all starting places from which they run there; absent when nothing leads them anywhere.
    pub rest_share_of_starting_places: Option<f64>,
    /// Offsets of that rest, upper and lower, mm.
    pub rest_mm: [f64; 2],
    /// Forecast there, kN.
    pub rest_kn: f64,
    /// What fails first there.
    #[serde(serialize_with = "json::mode")]
    pub rest_fails_first: FailureMode,
    /// The rest that draws from most places, where it is another one.
    pub likeliest: Option<LikeliestRest>,
}

/// The rest that draws from most places, when it is not the weakest.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LikeliestRest {
    /// Where it is, in words.
    pub rest: String,
    /// Part of all starting places from which the straps run there.
    pub share_of_starting_places: f64,
    /// Forecast there, kN.
    pub rest_kn: f64,
}

/// The comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Widths {
    /// The narrow strap.
    pub narrow: WidthForecast,
    /// The wide strap.
    pub wide: WidthForecast,
    /// Offsets of the middle, upper and lower, mm: nought, or as near to it as the wide strap gets.
    pub middle_mm: [f64; 2],
    /// Narrow over wide, both in the middle: what the bending of the bars does.
    pub in_the_middle: f64,
    /// Narrow over wide, each at its weakest resting place.
    pub at_their_resting_places: f64,
    /// The finding in a sentence.
    pub sentence: String,
}

fn strap(rig: &Rig, width_mm: f64) -> Loader {
    let stiffness_n_per_mm2 = match rig.upper {
        Loader::Strap { stiffness_n_per_mm2, .. } => stiffness_n_per_mm2,
        Loader::Bar { .. } => DEFAULT_STRAP_STIFFNESS,
    };
    Loader::Strap { width_mm, offset_mm: 0.0, stiffness_n_per_mm2, strength_kn: None }
}

/// Compares straps of 12 mm with straps of 40 mm, or the widest that fit. `None` on bench bars, when there is no wider strap that fits, or
/// one of the two cannot be pulled in the middle.
#[must_use]
pub fn compare(engine: &Engine, case: &Case, system: &System) -> Option<Widths> {
    let rig = &case.rig;
    // On bench bars nobody asks how wide a strap is.
    if [rig.upper, rig.lower].iter().any(|end| matches!(end, Loader::Bar { .. })) {
        return None;
    }
    let room = [&system.upper, &system.lower].map(|seat| {
        let (low, high) = system.seat_room(seat);
        high - low
    });
    let widest = room[0].min(room[1]).floor().min(WIDE_MM);
    if widest < NARROW_MM + WIDER_BY_MM {
        return None;
    }
    // One place for both: the middle, or as near to it as the wide one gets.
    let wide = seating_of(system, rig, widest)?;
    let middle_mm = [&wide.upper, &wide.lower].map(|track| 0.0_f64.clamp(track.range().0, track.range().1));
    let at = |width_mm| judge((engine, case, system), width_mm, middle_mm);
    let (narrow, wide) = rayon::join(|| at(NARROW_MM), || at(widest));
    let (narrow, wide) = (narrow?, wide?);
    let in_the_middle = narrow.middle_kn / wide.middle_kn;
    let at_their_resting_places = narrow.rest_kn / wide.rest_kn;
    let sentence = sentence(&narrow, &wide, middle_mm, rig.friction);
    Some(Widths { narrow, wide, middle_mm, in_the_middle, at_their_resting_places, sentence })
}

/// Two straps of a width on their bars; `None` where one fits nowhere.
fn seating_of(system: &System, rig: &Rig, width_mm: f64) -> Option<Seating> {
    let loader = strap(rig, width_mm);
    Seating::on(system, &Rig { upper: loader, lower: loader, ..*rig })
}

/// Whether friction `mu` holds straps at every offset that both can have, where they have any room.
fn held_everywhere(seating: &Seating, mu: f64) -> bool {
    let low = seating.upper.range().0.max(seating.lower.range().0);
    let high = seating.upper.range().1.min(seating.lower.range().1);
    let held: f64 = seating.held_together(mu).iter().map(|[from, to]| to - from).sum();
    high - low > WIDER_BY_MM && held > high - low - 1e-9
}

fn judge(
    (engine, case, system): (&Engine, &Case, &System),
    width_mm: f64,
    middle: [f64; 2],
) -> Option<WidthForecast> {
    let rig = &case.rig;
    let loader = strap(rig, width_mm);
    let seating = seating_of(system, rig, width_mm)?;
    let (above, below) = (seating.upper.range(), seating.lower.range());
    let needed = seating.friction_needed(middle[0], middle[1]);
    let rests = seating.rests().0;
    let likely = rests
        .iter()
        .enumerate()
        .filter(|(i, r)| *i == 0 || r.share_of_starting_places >= LIKELY)
        .map(|(_, r)| r);
    let mut places = vec![(middle, None)];
    places.extend(
        likely.take(MOST_RESTS).map(|r| ([r.upper_mm, r.lower_mm], Some(r.share_of_starting_places))),
    );
    let cases: Vec<Case> = places
        .iter()
        .map(|([u, l], _)| {
            let rig = Rig { upper: loader.placed(*u), lower: loader.placed(*l), ..*rig };
            Case { rig, ..case.clone() }
        })
        .collect();
    let pulled = engine.evaluate(&cases, &Watch::quiet()).into_iter();
    let found: Vec<Option<(f64, FailureMode)>> =
        pulled.map(|pulled| pulled.ok().map(|p| (p.limits.peak_kn, p.limits.fails_first))).collect();
    let (middle_kn, middle_fails_first) = found.first().cloned().flatten()?;
    let weakest =
        (1..places.len()).filter_map(|i| found[i].map(|f| (i, f))).min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let (at, (rest_kn, rest_fails_first)) = weakest.unwrap_or((0, (middle_kn, middle_fails_first)));
    let name = |[u, l]: [f64; 2]| rest_name(u, l, above, below);
    let (rest_mm, rest_share_of_starting_places) = places[at];
    // The rests come with the one that draws from farthest first.
    let likeliest = match (places.get(1), found.get(1)) {
        (Some((mm, Some(part))), Some(Some((kn, _)))) if at > 1 => {
            Some(LikeliestRest { rest: name(*mm), share_of_starting_places: *part, rest_kn: *kn })
        }
        _ => None,
    };
    Some(WidthForecast {
        width_mm,
        middle_kn,
        middle_fails_first,
        middle_held: needed[0].max(needed[1]) <= rig.friction_holds(),
        held_everywhere: held_everywhere(&seating, rig.friction_holds()),
        rest: name(rest_mm),
        rest_share_of_starting_places,
        rest_mm,
        rest_kn,
        rest_fails_first,
        likeliest,
    })
}

/// The comparison where friction keeps both straps wherever they are put: in the same place, the middle.
fn held_in_words(narrow: &WidthForecast, wide: &WidthForecast, place: &str, friction: f64) -> String {
    let change = 100.0 * (narrow.middle_kn / wide.middle_kn - 1.0);
    let verdict = if change.abs() < 100.0 * NO_CHANGE {
        "the width of the strap hardly matters".to_owned()
    } else if change < 0.0 {
        format!("the narrow strap holds {:.0} % less", -change)
    } else {
        format!("the narrow strap holds {change:.0} % more")
    };
    format!(
        "Friction of {friction:.2} keeps straps wherever both are put at the same offset; {place} {verdict}: {} at {:.0} mm, {} at \
         {:.0} mm.",
        kilonewtons(narrow.middle_kn),
        narrow.width_mm,
        kilonewtons(wide.middle_kn),
        wide.width_mm
    )
}

/// The likeliest rest, where it is clearly stronger and clearly likelier than the weakest.
fn stronger_and_likelier(width: &WidthForecast) -> Option<&LikeliestRest> {
    let part = width.rest_share_of_starting_places.unwrap_or(1.0);
    width.likeliest.as_ref().filter(|other| {
        other.rest_kn > (1.0 + NO_CHANGE) * width.rest_kn && other.share_of_starting_places > LIKELIER * part
    })
}

/// A rest in words: what it holds, where it is, how often, and a clearly likelier and stronger one beside it.
fn rest_in_words(width: &WidthForecast) -> String {
    let part = width.rest_share_of_starting_places.unwrap_or(1.0);
    // The only rest needs no share.
    let from = if part < 0.995 {
        format!(", from {:.0} % of all starting places", 100.0 * part)
    } else {
        String::new()
    };
    let likelier = stronger_and_likelier(width).map_or_else(String::new, |other| {
        format!("; {} at its likeliest, {}", kilonewtons(other.rest_kn), other.rest)
    });
    format!("{} ({}{from}{likelier})", kilonewtons(width.rest_kn), width.rest)
}

/// Where both are compared: in the middle, or beside it where the wide strap does not get there.
fn place_in_words([upper, lower]: [f64; 2]) -> String {
    if upper == 0.0 && lower == 0.0 {
        "in the middle".to_owned()
    } else {
        format!("nearest to the middle ({upper:+.1} mm above, {lower:+.1} mm below)")
    }
}

fn sentence(narrow: &WidthForecast, wide: &WidthForecast, middle_mm: [f64; 2], friction: f64) -> String {
    let place = place_in_words(middle_mm);
    let change = |a: f64, b: f64| 100.0 * (a / b - 1.0);
    let (rest, middle) = (change(narrow.rest_kn, wide.rest_kn), change(narrow.middle_kn, wide.middle_kn));
    let small = 100.0 * NO_CHANGE;
    if narrow.held_everywhere && wide.held_everywhere {
        return held_in_words(narrow, wide, &place, friction);
    }
    let found = format!(
        "At its weakest resting place a {:.0} mm strap holds {}, a {:.0} mm strap {}.",
        narrow.width_mm,
        rest_in_words(narrow),
        wide.width_mm,
        rest_in_words(wide)
    );
    let verdict = if rest < -small {
        let bending = if middle < -small {
            format!("; in the same place, {place}, it costs {:.0} %: the bars bend more", -middle)
        } else if middle > small {
            format!("; in the same place, {place}, it would gain {middle:.0} %: it is the seat that costs")
        } else {
            format!("; in the same place, {place}, width hardly matters: it is the seat that costs")
        };
        // A weakest rest that few places lead to is not where they usually lie.
        let can = if stronger_and_likelier(narrow).is_some() { "can cut" } else { "cut" };
        format!("Narrow straps {can} strength here, by {:.0} %{bending}.", -rest)
    } else if rest > small {
        let bending = if middle < -small {
            let stays = if narrow.middle_held {
                format!(", and friction of {friction:.2} can keep it there")
            } else {
                ", but it does not stay there".to_owned()
            };
            format!("; {place} the narrow one costs {:.0} %{stays}", -middle)
        } else {
            String::new()
        };
        format!(
            "Wide straps cut strength here: at its weakest resting place the narrow one holds {rest:.0} % more{bending}."
        )
    } else {
        "The width of the strap hardly matters here.".to_owned()
    };
    format!("{verdict} {found}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(width_mm: f64, middle_kn: f64, rest_kn: f64) -> WidthForecast {
        WidthForecast {
            width_mm,
            middle_kn,
            middle_fails_first: FailureMode::Lip,
            middle_held: false,
            held_everywhere: false,
            rest: "both at the spine".to_owned(),
            rest_share_of_starting_places: Some(0.6),
            rest_mm: [0.0; 2],
            rest_kn,
            rest_fails_first: FailureMode::Lip,
            likeliest: None,
        }
    }

    #[test]
    fn a_middle_that_friction_holds_is_not_told_to_be_left() {
        let mut narrow = at(12.0, 18.0, 26.0);
        let told = sentence(&narrow, &at(28.0, 20.0, 20.0), [0.0; 2], 0.2);
        assert!(told.contains("costs 10 %, but it does not stay there"), "{told}");
        narrow.middle_held = true;
        let told = sentence(&narrow, &at(28.0, 20.0, 20.0), [0.0; 2], 0.2);
        assert!(told.contains("costs 10 %, and friction of 0.20 can keep it there"), "{told}");
    }

    #[test]
    fn a_stronger_likelier_rest_is_told_beside_the_weakest() {
        let mut narrow = at(12.0, 18.0, 10.0);
        narrow.rest_share_of_starting_places = Some(0.14);
        narrow.likeliest = Some(LikeliestRest {
            rest: "both in the middle".to_owned(),
            share_of_starting_places: 0.86,
            rest_kn: 21.5,
        });
        let told = sentence(&narrow, &at(28.0, 20.0, 16.0), [0.0; 2], 0.2);
        let words = "holds 10.0 kN (both at the spine, from 14 % of all starting places; \
                     21.5 kN at its likeliest, both in the middle), a 28 mm strap 16.0 kN (";
        assert!(told.contains(words), "{told}");
    }

    #[test]
    fn the_verdict_follows_the_numbers() {
        let told = sentence(&at(12.0, 18.0, 16.0), &at(40.0, 20.0, 20.0), [0.0; 2], 0.2);
        assert!(told.starts_with("Narrow straps cut strength here, by 20 %; in the same place"), "{told}");
        assert!(told.contains("it costs 10 %: the bars bend more"), "{told}");
        let told = sentence(&at(12.0, 20.0, 16.0), &at(40.0, 20.0, 20.0), [0.0; 2], 0.2);
        assert!(told.contains("it is the seat that costs"), "{told}");
        let told = sentence(&at(12.0, 18.0, 26.0), &at(28.0, 20.0, 20.0), [0.0; 2], 0.2);
        assert!(told.starts_with(
            "Wide straps cut strength here: at its weakest resting place the narrow one holds 30 % more"
        ));
        // Nor are 4 percent of a load that scatters by 5.
        for rest_kn in [20.1, 20.8, 19.2] {
            let told = sentence(&at(12.0, 20.0, rest_kn), &at(28.0, 20.0, 20.0), [0.0; 2], 0.2);
            assert!(told.starts_with("The width of the strap hardly matters here."), "{told}");
        }
        let told = sentence(&at(12.0, 20.0, 18.8), &at(28.0, 20.0, 20.0), [0.0; 2], 0.2);
        assert!(told.starts_with("Narrow straps cut strength here, by 6 %"), "{told}");
        // Where the wide strap does not get to the middle both are compared beside it.
        let told = sentence(&at(12.0, 18.0, 16.0), &at(27.0, 20.0, 20.0), [0.0, -2.5], 0.2);
        let words = "in the same place, nearest to the middle (+0.0 mm above, -2.5 mm below), it costs 10 %";
        assert!(told.contains(words), "{told}");
    }

    #[test]
    fn where_friction_holds_everything_no_rest_is_told() {
        let held = |width, middle, rest| WidthForecast { held_everywhere: true, ..at(width, middle, rest) };
        let told = sentence(&held(12.0, 18.0, 10.0), &held(28.0, 20.0, 20.0), [0.0; 2], 0.3);
        assert_eq!(
            told,
            "Friction of 0.30 keeps straps wherever both are put at the same offset; in the middle the narrow strap holds 10 % less: 18.0 kN at 12 \
             mm, 20.0 kN at 28 mm."
        );
    }
}
