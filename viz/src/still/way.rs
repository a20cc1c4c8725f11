//! The way of a stamp's leader around the connector.

use super::page::Page;
use crate::layout::{Area, View};
use crate::occupied::{Occupied, Taken};
use crate::stress_map::StressMap;

/// The last stretch of a straight leader, level, units.
const LAST: f64 = 34.0;
/// Where a leader around the connector runs up or down, from the stamp, as a part of what lies between it and the stage.
const BETWEEN: f64 = 0.55;
/// A leader may leave the body that its ring stands on within this, units.
const NEAR: f64 = 40.0;
/// Slants of a way around: how far it falls or rises until it is beside the stamp, units.
const SLANTS: [f64; 11] = [14.0, -14.0, 0.0, 34.0, -34.0, 52.0, -52.0, 70.0, -70.0, 100.0, -100.0];

/// From a ring on the connector to the left end of a stamp: straight where that crosses no metal, else along the connector and
/// up or down beside the stamp; the straight way where none is free. A way around leaves `words` alone.
pub(super) fn way(
    map: &StressMap<'_>,
    view: &View,
    page: &Page,
    words: &[Area],
    stage: Area,
    [from, to]: [[f64; 2]; 2],
) -> Vec<[f64; 2]> {
    let mut taken = Occupied::new(page.width, page.foot.area.bottom());
    for body in [&map.frame, &map.gate] {
        let loops: Vec<Vec<[f64; 2]>> = body.outline.iter().map(|points| view.places(points)).collect();
        taken.fill(&loops, Taken::Body);
    }
    for area in words {
        taken.take(area.grown(2.0), Taken::Words);
    }
    let [elbow, x] = [LAST, BETWEEN * (to[0] - stage.right())].map(|last| (to[0] - last).max(from[0] + 8.0));
    let straight = vec![from, [elbow, to[1]], to];
    let around = SLANTS.map(|slant| vec![from, [x, from[1] + slant], [x, to[1]], to]);
    // Lines are read toward the ring.
    let over = |way: &[[f64; 2]]| {
        let stretch =
            |pair: &[[f64; 2]]| taken.crossed(pair[1], pair[0], if pair[0] == from { NEAR } else { 0.0 });
        way.windows(2).map(stretch).sum::<Option<f64>>()
    };
    let free = |way: &Vec<[f64; 2]>| over(way).is_some_and(|crossed| crossed == 0.0);
    std::iter::once(straight.clone()).chain(around).find(free).unwrap_or(straight)
}
