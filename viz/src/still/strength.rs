//! The still of a forecast: which part reaches its limit at which load, with the connector small beside it.

use super::bars::{Marked, StrengthBar, bars};
use super::blocks::words;
use super::page::{Page, Shape};
use super::{Still, Weakest};
use crate::balance;
use crate::comparison::{Shared, ring};
use crate::drawing::Item;
use crate::inset_room::{self, Split};
use crate::layout::Area;
use crate::stress_map::StressMap;

pub(super) fn items(
    still: &Still<'_>,
    page: &Page,
    map: &StressMap<'_>,
    weakest: &Weakest,
    (all, marked): (&[StrengthBar], Option<&Marked>),
) -> Vec<Item> {
    let (margin, inside, floor) = (page.margin, page.inside(), page.foot.area.y);
    // Words; bars below them, from where the words end; connector; see-saw and its size; least type of the bars.
    let (head, largest, chart, stage, balance, size) = match page.shape {
        Shape::Landscape => {
            let x = 0.36 * page.width;
            let w = page.width - margin - x;
            let balance = Area { x: margin, y: floor - 232.0, w: x - 2.0 * margin, h: 200.0 };
            let stage = Area { x: 0.0, y: 0.0, w: x, h: balance.y - 16.0 };
            let head = Area { x, y: 44.0, w, h: 300.0 };
            (head, 60.0, Area { x, y: 0.0, w, h: floor - 18.0 }, stage, (balance, 1.25), 36.0)
        }
        Shape::Portrait => {
            let low = Area { x: 0.0, y: floor - 530.0, w: 430.0, h: 506.0 };
            let left = 450.0;
            let balance = Area { x: left, y: low.y + 246.0, w: page.width - margin - left, h: 250.0 };
            let head = Area { x: margin, y: 54.0, w: inside, h: 480.0 };
            let chart = Area { x: margin, y: 0.0, w: inside, h: low.y - 20.0 };
            (head, 80.0, chart, low, (balance, 1.6), 54.0)
        }
        Shape::Square => {
            let left = 430.0;
            let head = Area { x: margin, y: 32.0, w: inside, h: 290.0 };
            let balance = Area { x: margin, y: floor - 200.0, w: left - 2.0 * margin, h: 180.0 };
            let stage = Area { x: 0.0, y: 340.0, w: left - margin, h: balance.y - 356.0 };
            let chart = Area { x: left, y: 0.0, w: page.width - margin - left, h: floor - 14.0 };
            (head, 56.0, chart, stage, (balance, 1.05), 36.0)
        }
    };
    let (texts, bottom) = words(still, page, head, largest);
    let chart = Area { y: bottom + 0.8 * page.second, h: chart.h - bottom - 0.8 * page.second, ..chart };
    let stage = match page.shape {
        Shape::Square => Area { y: bottom + 16.0, h: stage.bottom() - bottom - 16.0, ..stage },
        Shape::Landscape | Shape::Portrait => stage,
    };
    let maps = [map];
    let shared = Shared::new(&maps);
    let strap = if page.shape == Shape::Landscape { 60.0 } else { 44.0 };
    let (area, times) = balance;
    // The nose stands beside or below the connector, or over the see-saw where that is beside it.
    let room = match page.shape {
        Shape::Portrait => {
            let above = Area { w: area.w.min(340.0), y: stage.y, h: area.y - stage.y - 16.0, ..area };
            Split { inset: Some(above), ..inset_room::whole(&maps, stage, strap, 80.0) }
        }
        Shape::Landscape => {
            inset_room::split(&maps, Area { x: margin, w: stage.w - 1.6 * margin, ..stage }, strap, 12.0)
        }
        // Beside bars on a square the connector alone is small enough.
        Shape::Square => {
            inset_room::whole(&maps, Area { x: margin, w: stage.w - 1.6 * margin, ..stage }, strap, 12.0)
        }
    };
    let (mut items, view) = shared.connector(map, 0, room.stage, room.scale, page.unit);
    items.extend(ring(view.place(weakest.at), 14.0));
    if let Some(inset) = room.inset.and_then(|area| inset_room::place(map, &view, area, &[])) {
        items.extend(inset_room::pointer(&inset, &view));
        items.extend(shared.inset(map, 0, &inset, &view, page.unit));
    }
    items.extend(texts);
    items.extend(bars(all, marked, page, chart, size));
    items.extend(balance::balance(map, area, times));
    items
}
