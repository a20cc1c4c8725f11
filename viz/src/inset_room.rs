//! Room for the enlarged nose beside or below a connector, where a picture has no column for it: stills and comparisons.

use crate::common_scale::common_scale;
use crate::drawing::Item;
use crate::layout::{Area, View};
use crate::lines::touches;
use crate::nose_window::{LEAST_WINDOW, Placed};
use crate::stress_map::StressMap;

/// Between a connector and its inset, units.
const GAP: f64 = 14.0;
/// An inset keeps this far from the upper edge of a page, units.
const EDGE: f64 = 16.0;
/// Width of an inset beside the connector over that of the whole, and its least and largest, units.
const BESIDE: f64 = 0.3;
const WIDTHS: [f64; 2] = [200.0, 290.0];
/// Connectors are never drawn for less height than this, units.
const LEAST_HIGH: f64 = 60.0;
/// Least height of an inset below its connector, units.
pub(crate) const LOWEST: f64 = LEAST_WINDOW + 4.0;
/// Height of an inset over its width.
const HIGH: f64 = 0.8;

/// A part of a page, divided between a connector and its inset.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Split {
    /// Where the connector stands.
    pub stage: Area,
    /// Where the inset may stand, if it may.
    pub inset: Option<Area>,
    /// Units per mm.
    pub scale: f64,
}

/// All of an area for the connectors. `strap`, `sides`: what is kept above and below them, and beside them both.
pub(crate) fn whole(maps: &[&StressMap<'_>], area: Area, strap: f64, sides: f64) -> Split {
    let scale = common_scale(maps, [area.w - sides, (area.h - 2.0 * strap).max(LEAST_HIGH)]);
    Split { stage: area, inset: None, scale }
}

/// Divides an area so that its connectors stay as large as they can; all of it is theirs where none of the maps has an inset.
pub(crate) fn split(maps: &[&StressMap<'_>], area: Area, strap: f64, sides: f64) -> Split {
    if maps.iter().all(|map| map.nose.is_none()) {
        return whole(maps, area, strap, sides);
    }
    let wide = (BESIDE * area.w).clamp(WIDTHS[0], WIDTHS[1]);
    let right = Area { w: area.w - wide - GAP, ..area };
    let high = (0.5 * BESIDE * area.h).max(LOWEST);
    let upper = Area { h: area.h - high - GAP, ..area };
    let below = {
        let w = (1.5 * high).min(area.w);
        Area { x: area.x + 0.5 * (area.w - w), y: upper.bottom() + GAP, w, h: high }
    };
    let beside = Area { x: right.right() + GAP, w: wide, ..area };
    let [right, upper] = [(right, beside), (upper, below)]
        .map(|(stage, inset)| Split { inset: Some(inset), ..whole(maps, stage, strap, sides) });
    if right.scale >= upper.scale { right } else { upper }
}

/// The inset of a map in its room: as high on the page as the nose, or where the given lines leave it free.
pub(crate) fn place<'a>(
    map: &'a StressMap<'_>,
    view: &View,
    room: Area,
    lines: &[[[f64; 2]; 2]],
) -> Option<Placed<'a>> {
    let nose = map.nose.as_ref()?;
    // The page's own edge would cut its border.
    let top = room.y.max(EDGE);
    let room = Area { y: top, h: room.bottom() - top, ..room };
    let high = (HIGH * room.w).min(room.h);
    let middle = view.place([0, 1].map(|k| 0.5 * (nose.shown[0][k] + nose.shown[1][k])));
    let last = room.bottom() - high;
    let level = (middle[1] - 0.5 * high).clamp(room.y, last.max(room.y));
    let free = |y: &f64| {
        let area = Area { y: *y, h: high, ..room };
        !lines.iter().any(|line| touches(*line, area.grown(6.0)))
    };
    let step = 20.0;
    let heights = (0_u32..).map(|i| room.y + step * f64::from(i)).take_while(|y| *y <= last);
    let y = std::iter::once(level).chain(heights).find(free)?;
    nose.place_bare(view, Area { y, h: high, ..room })
}

/// The frame around what the inset shows, with a line to it where it stands beside the connector.
pub(crate) fn pointer(inset: &Placed<'_>, view: &View) -> Vec<Item> {
    if inset.area().x > inset.on_map(view)[1][0] { inset.leader(view) } else { inset.frame(view) }
}
