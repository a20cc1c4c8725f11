//! Do narrow straps cut strength? They do where the bar bends between its ends; they do not where the shape seats the load
//! at the spine. Which of the two holds for a shape is computed: a narrow and a wide strap, each at its own rest and both
//! in the middle.

use super::{placed, rest_name};
use rayon::prelude::*;
use serde::Serialize;
use solver::rig::{DEFAULT_STRAP_STIFFNESS, Loader, Rig};
use solver::seats::{Seating, Track};
use solver::strength::limits;
use solver::system::System;

/// The narrow strap, mm.
const NARROW_MM: f64 = 12.0;
/// The wide strap where it fits, mm.
const WIDE_MM: f64 = 40.0;
/// Less than this much wider is no comparison, mm.
const WIDER_BY_MM: f64 = 4.0;
/// Changes below this part count as none: forecasts are solved to 0.1 %, and straps differ by more.
const NO_CHANGE: f64 = 0.02;
/// Rests of a strap that are judged.
const MOST_RESTS: usize = 3;
/// A rest that draws from less than this part of all places, beside one that draws from more, is a curiosity.
const LIKELY: f64 = 0.25;

/// What straps of one width bear.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WidthForecast {
    /// Width, mm.
    pub width_mm: f64,
    /// Forecast with both straps in the middle, kN.
    pub middle_kn: f64,
    /// What gives first there.
    pub middle_gives_first: String,
    /// Where they rest: the weakest of those rests that draw from at least a quarter of all places.
    pub rest: String,
    /// Offsets of that rest, upper and lower, mm.
    pub rest_mm: [f64; 2],
    /// Forecast there, kN.
    pub rest_kn: f64,
    /// What gives first there.
    pub rest_gives_first: String,
}

/// The comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Widths {
    /// The narrow strap.
    pub narrow: WidthForecast,
    /// The wide strap.
    pub wide: WidthForecast,
    /// Narrow over wide, both in the middle: what the bending of the bars does.
    pub in_the_middle: f64,
    /// Narrow over wide, each at its own rest.
    pub at_their_rests: f64,
    /// The finding in a sentence.
    pub sentence: String,
}

fn strap(rig: &Rig, width_mm: f64) -> Loader {
    let stiffness_n_per_mm2 = match rig.upper {
        Loader::Strap { stiffness_n_per_mm2, .. } => stiffness_n_per_mm2,
        Loader::Pin { .. } => DEFAULT_STRAP_STIFFNESS,
    };
    Loader::Strap { width_mm, offset_mm: 0.0, stiffness_n_per_mm2, strength_kn: None }
}

/// Compares straps of 12 mm with straps of 40 mm, or the widest that fit. `None` when there is no wider strap that fits, or
/// one of the two cannot be pulled in the middle.
#[must_use]
pub fn compare(system: &System, rig: &Rig) -> Option<Widths> {
    let room = [&system.upper, &system.lower].map(|seat| {
        let (low, high) = system.seat_room(seat);
        high - low
    });
    let widest = room[0].min(room[1]).floor().min(WIDE_MM);
    if widest < NARROW_MM + WIDER_BY_MM {
        return None;
    }
    let (narrow, wide) = rayon::join(|| judge(system, rig, NARROW_MM), || judge(system, rig, widest));
    let (narrow, wide) = (narrow?, wide?);
    let in_the_middle = narrow.middle_kn / wide.middle_kn;
    let at_their_rests = narrow.rest_kn / wide.rest_kn;
    let sentence = sentence(&narrow, &wide);
    Some(Widths { narrow, wide, in_the_middle, at_their_rests, sentence })
}

fn judge(system: &System, rig: &Rig, width_mm: f64) -> Option<WidthForecast> {
    let loader = strap(rig, width_mm);
    let (upper, lower) = (Track::on(system, true, loader)?, Track::on(system, false, loader)?);
    let (above, below) = (upper.range(), lower.range());
    let seating = Seating { upper, lower };
    let mut places = vec![[0.0_f64.clamp(above.0, above.1), 0.0_f64.clamp(below.0, below.1)]];
    let rests = seating.rests().0;
    let likely = rests.iter().enumerate().filter(|(i, r)| *i == 0 || r.drawn_from >= LIKELY).map(|(_, r)| r);
    places.extend(likely.take(MOST_RESTS).map(|r| [r.upper_mm, r.lower_mm]));
    let found: Vec<Option<(f64, String)>> = places
        .par_iter()
        .map(|[u, l]| {
            let rig = Rig { upper: placed(loader, *u), lower: placed(loader, *l), ..*rig };
            limits(system, &rig).ok().map(|f| (f.breaks_at_kn, f.gives_first))
        })
        .collect();
    let (middle_kn, middle_gives_first) = found.first().cloned().flatten()?;
    let weakest = (1..places.len())
        .filter_map(|i| found[i].clone().map(|f| (i, f)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let (at, (rest_kn, rest_gives_first)) = weakest.unwrap_or((0, (middle_kn, middle_gives_first.clone())));
    let rest_mm = places[at];
    Some(WidthForecast {
        width_mm,
        middle_kn,
        middle_gives_first,
        rest: rest_name(rest_mm[0], rest_mm[1], above, below),
        rest_mm,
        rest_kn,
        rest_gives_first,
    })
}

fn sentence(narrow: &WidthForecast, wide: &WidthForecast) -> String {
    let change = |a: f64, b: f64| 100.0 * (a / b - 1.0);
    let (rest, middle) = (change(narrow.rest_kn, wide.rest_kn), change(narrow.middle_kn, wide.middle_kn));
    let small = 100.0 * NO_CHANGE;
    let found = format!(
        "At their own rests a {:.0} mm strap bears {:.1} kN ({}) and a {:.0} mm strap {:.1} kN ({}).",
        narrow.width_mm, narrow.rest_kn, narrow.rest, wide.width_mm, wide.rest_kn, wide.rest
    );
    let verdict = if rest < -small {
        let bending = if middle < -small {
            format!("; in the same place, in the middle, it costs {:.0} %: the bars bend more", -middle)
        } else if middle > small {
            format!(
                "; in the same place, in the middle, it would gain {middle:.0} %: it is the seat that costs"
            )
        } else {
            "; in the same place, in the middle, width hardly matters: it is the seat that costs".to_owned()
        };
        format!("Narrow straps cut strength here, by {:.0} %{bending}.", -rest)
    } else if rest > small {
        let bending = if middle < -small {
            format!("; in the middle the narrow one would cost {:.0} %, but it does not stay there", -middle)
        } else {
            String::new()
        };
        format!("Narrow straps do not cut strength here: where they rest they gain {rest:.0} %{bending}.")
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
            middle_gives_first: String::new(),
            rest: "both at the spine".to_owned(),
            rest_mm: [0.0; 2],
            rest_kn,
            rest_gives_first: String::new(),
        }
    }

    #[test]
    fn the_verdict_follows_the_numbers() {
        let told = sentence(&at(12.0, 18.0, 16.0), &at(40.0, 20.0, 20.0));
        assert!(told.starts_with("Narrow straps cut strength here, by 20 %; in the same place"), "{told}");
        assert!(told.contains("it costs 10 %: the bars bend more"), "{told}");
        let told = sentence(&at(12.0, 20.0, 16.0), &at(40.0, 20.0, 20.0));
        assert!(told.contains("it is the seat that costs"), "{told}");
        let told = sentence(&at(12.0, 18.0, 26.0), &at(28.0, 20.0, 20.0));
        assert!(told.starts_with("Narrow straps do not cut strength here: where they rest they gain 30 %"));
        let told = sentence(&at(12.0, 20.0, 20.1), &at(28.0, 20.0, 20.0));
        assert!(told.starts_with("The width of the strap hardly matters here."), "{told}");
    }
}
