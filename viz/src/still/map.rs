//! The still of one map: connector, statement, weakest part, see-saw, ruler.

use super::blocks::{self, stamp};
use super::page::{Page, Shape};
use super::way::way;
use super::{Still, Weakest};
use crate::balance::balance;
use crate::comparison::Shared;
use crate::drawing::Item;
use crate::inset_room::{self, Split};
use crate::layout::{Area, View};
use crate::look::INK;
use crate::stress_map::StressMap;
use crate::text::{CAP_HEIGHT, Text, Weight};
use crate::{nose_window, rig_shapes};

/// A part is at the nose when it lies no deeper than this below its middle, mm.
const NEAR_MM: f64 = 6.0;

/// Where the pieces go.
struct Places {
    words: Area,
    largest: f64,
    stage: Area,
    /// Space kept above and below the connector for its straps.
    strap: f64,
    stamp: Area,
    stamp_size: f64,
    balance: Area,
    balance_size: f64,
    ruler: Area,
}

pub(super) fn items(still: &Still<'_>, page: &Page, map: &StressMap<'_>, weakest: &Weakest) -> Vec<Item> {
    let mut places = places(page);
    let (texts, bottom) = blocks::words(still, page, places.words, places.largest);
    // The stamp takes what the statement leaves.
    match page.shape {
        Shape::Landscape => {
            places.stamp.y = bottom + 16.0;
            places.stamp.h = places.balance.y - 16.0 - places.stamp.y;
        }
        Shape::Portrait | Shape::Square => {
            let gain = places.stage.y - bottom - 18.0;
            for area in [&mut places.stage, &mut places.stamp] {
                area.y -= gain;
                area.h += gain;
            }
        }
    }
    let maps = [map];
    let shared = Shared::new(&maps);
    // An upright page has its inset beside the connector, with the stamp.
    let divide = if page.shape == Shape::Portrait { inset_room::whole } else { inset_room::split };
    let Split { stage, inset: inset_room, scale } = divide(&maps, places.stage, places.strap, 60.0);
    let (mut items, view) = shared.connector(map, 0, stage, scale, page.unit);
    // The pull stands beside the upper strap.
    let y = stage.y.max(0.35 * page.margin) + 1.1 * page.second;
    let x = rig_shapes::right_edge_at(&map.upper, &view, y) + 0.5 * page.second;
    let pull = Text::new([x, y], page.second, Weight::Bold, INK, map.words.pull.as_str());
    let mut words =
        vec![Area { x, y: y - CAP_HEIGHT * page.second, w: pull.width(), h: CAP_HEIGHT * page.second }];
    items.push(Item::Text(pull));
    items.extend(texts);
    let upright = upright_inset(page, map, weakest, &places, &view);
    if let Some((_, around)) = upright {
        places.stamp = around;
    }
    let ends = [view.place(weakest.at), [places.stamp.x, places.stamp.y + 0.5 * places.stamp.h]];
    words.extend(upright.as_ref().map(|(inset, _)| inset.area()));
    words.extend([places.ruler, places.balance, Area { h: bottom - places.words.y, ..places.words }]);
    let way = way(map, &view, page, &words, places.stage, ends);
    let mut lines: Vec<[[f64; 2]; 2]> = way.windows(2).map(|pair| [pair[0], pair[1]]).collect();
    // The inset keeps off the pull as well.
    lines.extend(words.first().map(|pull| [[pull.x, pull.bottom()], [pull.right() + 12.0, pull.y]]));
    if let Some((inset, _)) = upright {
        items.extend(inset.leader(&view));
        items.extend(shared.inset(map, 0, &inset, &view, page.unit));
    }
    if let Some(inset) = inset_room.and_then(|room| inset_room::place(map, &view, room, &lines)) {
        items.extend(inset_room::pointer(&inset, &view));
        items.extend(shared.inset(map, 0, &inset, &view, page.unit));
    }
    items.extend(stamp(weakest, page, places.stamp, places.stamp_size, &way));
    items.extend(balance(map, places.balance, places.balance_size));
    items.extend(shared.legend(&maps, scale, places.ruler, 0.0, page.ruler));
    items
}

/// On an upright page, the nose enlarged beside the connector, and the room that is left for the stamp: below it or above, so
/// that their leaders do not cross.
fn upright_inset<'a>(
    page: &Page,
    map: &'a StressMap<'_>,
    weakest: &Weakest,
    places: &Places,
    view: &View,
) -> Option<(nose_window::Placed<'a>, Area)> {
    let nose = map.nose.as_ref().filter(|_| page.shape == Shape::Portrait)?;
    let room = places.stamp;
    let below = 0.5 * (nose.shown[0][1] + nose.shown[1][1]) > weakest.at[1] + NEAR_MM;
    let gap = 24.0;
    let high = 0.5 * (room.h - gap);
    let upper = Area { h: high, ..room };
    let lower = Area { y: room.y + high + gap, h: high, ..room };
    let (inset, stamp) = if below { (upper, lower) } else { (lower, upper) };
    Some((nose.place_bare(view, inset)?, stamp))
}

fn places(page: &Page) -> Places {
    let (margin, inside, floor) = (page.margin, page.inside(), page.foot.area.y);
    match page.shape {
        Shape::Landscape => {
            let x = 0.52 * page.width;
            let w = page.width - margin - x;
            let ruler = Area { x, y: floor - 116.0, w, h: 88.0 };
            let balance = Area { x, y: ruler.y - 238.0, w, h: 206.0 };
            Places {
                words: Area { x, y: 44.0, w, h: 350.0 },
                largest: 66.0,
                stage: Area { x: 0.0, y: 0.0, w: x - 60.0, h: floor },
                strap: 96.0,
                stamp: Area { x: x + 4.0, y: 0.0, w, h: 0.0 },
                stamp_size: 52.0,
                balance,
                balance_size: 1.3,
                ruler,
            }
        }
        Shape::Portrait => {
            let ruler = Area { x: margin, y: floor - 124.0, w: inside, h: 98.0 };
            let balance = Area { x: margin, y: ruler.y - 340.0, w: inside, h: 310.0 };
            let top = 560.0;
            let stage = Area { x: 0.0, y: top, w: 640.0, h: balance.y - 30.0 - top };
            Places {
                words: Area { x: margin, y: 54.0, w: inside, h: top - 54.0 - 18.0 },
                largest: 84.0,
                stage,
                strap: 64.0,
                stamp: Area { x: 664.0, w: page.width - margin - 664.0, ..stage },
                stamp_size: 66.0,
                balance,
                balance_size: 64.0 / 30.0,
                ruler,
            }
        }
        Shape::Square => {
            // Height is scarce: the ruler stands in the column beside the connector too.
            let top = 330.0;
            let stage = Area { x: 0.0, y: top, w: 540.0, h: floor - 10.0 - top };
            let right = Area { x: 560.0, w: page.width - margin - 560.0, ..stage };
            let ruler = Area { y: floor - 118.0, h: 106.0, ..right };
            let balance = Area { y: ruler.y - 200.0, h: 190.0, ..right };
            Places {
                words: Area { x: margin, y: 32.0, w: inside, h: top - 32.0 - 18.0 },
                largest: 60.0,
                stage,
                strap: 46.0,
                stamp: Area { h: balance.y - 16.0 - top, ..right },
                stamp_size: 48.0,
                balance,
                balance_size: 1.2,
                ruler,
            }
        }
    }
}
