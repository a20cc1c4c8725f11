//! What stills are put together from: the statement and the stamp of the weakest part.

use super::page::Page;
use super::{Still, Weakest};
use crate::drawing::{Item, Stroke};
use crate::frame::{Head, HeadType, Placed};
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER, QUIET};
use crate::path::Path;
use crate::text::{Anchor, Block, LINE_HEIGHT, Weight};

/// Title, rig and statement from the top of an area; the statement as large as `largest` where it fits. Returns where they
/// end.
pub(super) fn words(still: &Still<'_>, page: &Page, area: Area, largest: f64) -> (Vec<Item>, f64) {
    let (main, second) = (page.main, page.second);
    let head = Head {
        title: &still.title,
        subtitle: &still.subtitle,
        sentence: &still.sentence,
        beyond: still.beyond.as_deref(),
        then: "",
    };
    let set = HeadType {
        title: [second, 0.8 * second],
        second: [0.9 * second, 0.7 * second],
        sentence: [largest, main, 0.7 * main],
        gaps: [0.45 * second, 0.3 * second],
        grows: true,
    };
    let Placed { items, end, .. } = head.place(area, set);
    (items, end)
}

/// "fails first", the part and its load, beside a bar of accent, with a line to a ring at the first point of `way`. The
/// stamp stands in the middle of its area, and the way ends at its left.
pub(super) fn stamp(weakest: &Weakest, page: &Page, area: Area, size: f64, way: &[[f64; 2]]) -> Vec<Item> {
    let second = page.second;
    let left = area.x + 0.55 * size;
    let room = area.right() - left;
    let blocks = [
        (Block::fit(&weakest.does, Weight::Regular, second, 0.8 * second, [room, 2.0 * second]), QUIET),
        (
            Block::fit(
                &weakest.part,
                Weight::Bold,
                size,
                page.main.min(size),
                [room, 3.0 * LINE_HEIGHT * size],
            ),
            INK,
        ),
        (
            Block::fit(
                &weakest.load,
                Weight::Bold,
                (1.1 * size).max(page.main),
                page.main,
                [room, 2.0 * size],
            ),
            ACCENT,
        ),
    ];
    let height: f64 = blocks.iter().map(|(block, _)| block.height()).sum();
    let top = area.y + 0.5 * (area.h - height).max(0.0);
    let mut items = leader(way);
    let bar = Path::rounded([area.x, top], [0.16 * size, height], 0.08 * size);
    items.push(Item::filled(bar, ACCENT));
    let mut y = top;
    for (block, colour) in blocks {
        items.extend(block.place(left, y, Anchor::Start, colour).into_iter().map(Item::Text));
        y += block.height();
    }
    items
}

/// A ring around the first point of a way, and the way from there.
fn leader(way: &[[f64; 2]]) -> Vec<Item> {
    const RING: f64 = 17.0;
    let [point, next, ..] = *way else { return Vec::new() };
    let (dx, dy) = (next[0] - point[0], next[1] - point[1]);
    let length = dx.hypot(dy).max(1e-9);
    let start = [point[0] + dx / length * RING, point[1] + dy / length * RING];
    let line = Path::line(&[&[start], &way[1..]].concat());
    let ring = Path::circle(point, RING);
    vec![
        Item::stroked(line.clone(), Stroke::new(PAPER.faded(0.9), 11.0)),
        Item::stroked(ring.clone(), Stroke::new(PAPER, 11.0)),
        Item::stroked(line, Stroke::new(INK, 4.0)),
        Item::stroked(ring, Stroke::new(INK, 5.0)),
    ]
}
