//! Do narrow straps cut strength? The two widths side by side, in a sentence.

use super::places::rest;
use crate::numbers::kilonewtons;
use study::seats::{NO_CHANGE, RestName, WidthForecast};

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

/// A rest in words: what it holds, where it is, how often, and a clearly likelier and stronger one beside it.
fn rest_in_words(width: &WidthForecast) -> String {
    let part = width.rest_share_of_starting_places.unwrap_or(1.0);
    // The only rest needs no share.
    let from = if part < 0.995 {
        format!(", from {:.0} % of all starting places", 100.0 * part)
    } else {
        String::new()
    };
    let likelier = width.stronger_and_likelier().map_or_else(String::new, |other| {
        format!("; {} at its likeliest, {}", kilonewtons(other.rest_kn), rest(other.rest))
    });
    format!("{} ({}{from}{likelier})", kilonewtons(width.rest_kn), place_of_rest(width))
}

/// Where a strap rests; near the middle with its offsets, so that nobody takes it for the middle itself.
fn place_of_rest(width: &WidthForecast) -> String {
    let [upper, lower] = width.rest_mm;
    if width.rest == RestName::MIDDLE && width.rest_mm.iter().any(|mm| mm.abs() >= 0.05) {
        format!("near the middle, {upper:+.1} mm above, {lower:+.1} mm below")
    } else {
        rest(width.rest)
    }
}

/// Where both are compared: in the middle, or beside it where the wide strap does not get there.
fn place_in_words([upper, lower]: [f64; 2]) -> String {
    if upper == 0.0 && lower == 0.0 {
        "in the middle".to_owned()
    } else {
        format!("nearest to the middle ({upper:+.1} mm above, {lower:+.1} mm below)")
    }
}

pub(super) fn sentence(
    narrow: &WidthForecast,
    wide: &WidthForecast,
    middle_mm: [f64; 2],
    friction: f64,
) -> String {
    let place = place_in_words(middle_mm);
    let change = |a: f64, b: f64| 100.0 * (a / b - 1.0);
    let (resting, middle) = (change(narrow.rest_kn, wide.rest_kn), change(narrow.middle_kn, wide.middle_kn));
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
    let verdict = if resting < -small {
        let bending = if middle < -small {
            format!("; in the same place, {place}, it costs {:.0} %: the bars bend more", -middle)
        } else if middle > small {
            format!("; in the same place, {place}, it would gain {middle:.0} %: it is the seat that costs")
        } else {
            format!("; in the same place, {place}, width hardly matters: it is the seat that costs")
        };
        // A weakest rest that few places lead to is not where they usually lie.
        let can = if narrow.stronger_and_likelier().is_some() { "can cut" } else { "cut" };
        format!("Narrow straps {can} strength here, by {:.0} %{bending}.", -resting)
    } else if resting > small {
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
            "Wide straps cut strength here: at its weakest resting place the narrow one holds {resting:.0} % more{bending}."
        )
    } else {
        "The width of the strap hardly matters here.".to_owned()
    };
    format!("{verdict} {found}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::strength::FailureMode;
    use study::seats::{RestName, Third};

    fn at(width_mm: f64, middle_kn: f64, rest_kn: f64) -> WidthForecast {
        WidthForecast {
            width_mm,
            middle_kn,
            middle_fails_first: FailureMode::Lip,
            middle_held: false,
            held_everywhere: false,
            rest: RestName { upper: Third::Spine, lower: Third::Spine },
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
        narrow.likeliest = Some(study::seats::LikeliestRest {
            rest: RestName::MIDDLE,
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
