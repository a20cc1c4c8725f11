//! The still of two connectors on one scale of colour and one of length.

use super::blocks::{stamp, words};
use super::page::{Page, Shape};
use super::{Still, StillVariant, Weakest};
use crate::balance::balance;
use crate::comparison::{Shared, ring};
use crate::drawing::Item;
use crate::inset_room::{self, Split};
use crate::layout::Area;
use crate::look::{ACCENT, INK};
use crate::stress_map::StressMap;
use crate::text::{Anchor, Block, LINE_HEIGHT, Text, Weight, width};

pub(super) fn items(still: &Still<'_>, page: &Page, pair: &[StillVariant<'_>; 2]) -> Vec<Item> {
    let (margin, inside, floor) = (page.margin, page.inside(), page.foot.area.y);
    let (head, largest) = match page.shape {
        Shape::Landscape => (Area { x: margin, y: 48.0, w: 600.0, h: floor - 48.0 - 200.0 }, 60.0),
        Shape::Portrait => (Area { x: margin, y: 54.0, w: inside, h: 640.0 }, 70.0),
        Shape::Square => (Area { x: margin, y: 26.0, w: inside, h: 280.0 }, 46.0),
    };
    let (texts, bottom) = words(still, page, head, largest);
    let ruler_height = 2.45 * page.ruler;
    let ruler = Area { x: margin, y: floor - ruler_height - 20.0, w: inside, h: ruler_height };
    let (panels, ruler) = match page.shape {
        Shape::Landscape => {
            let x = 720.0;
            let panels = Area { x, y: 24.0, w: page.width - 0.6 * margin - x, h: floor - 24.0 - 16.0 };
            (panels, Area { w: 600.0, y: ruler.y - 48.0, h: ruler.h + 48.0, ..ruler })
        }
        Shape::Portrait | Shape::Square => {
            let y = bottom + 14.0;
            (Area { x: margin, y, w: inside, h: ruler.y - 20.0 - y }, ruler)
        }
    };
    let gap = 0.9 * margin;
    let wide = 0.5 * (panels.w - gap);
    let main = page.main;
    // Under each connector: what it carries, then what fails first.
    let (label, times, strap) = match page.shape {
        Shape::Landscape => (62.0, 1.2, 50.0),
        Shape::Portrait => (72.0, 1.36, 40.0),
        Shape::Square => (48.0, 0.92, 24.0),
    };
    let balance_height = 158.0 * times;
    // Where height is scarce, part and load share a line.
    let low = page.shape == Shape::Square;
    let stamp_size = if page.shape == Shape::Portrait { 0.8 * main } else { main };
    let lines = |v: &StillVariant<'_>| {
        let room = wide - 0.55 * stamp_size;
        if low { 1 } else { Block::wrap(&v.weakest.part, stamp_size, Weight::Bold, room).lines.len() }
    };
    let part_lines = pair.iter().map(lines).max().unwrap_or(1);
    let stamp_height = match page.shape {
        Shape::Square => 1.3 * main,
        _ => 1.25 * page.second + 1.2 * stamp_size * part_lines as f64 + 1.35 * main,
    };
    let stage_height = panels.h - label - balance_height - stamp_height - 34.0;
    let maps: Vec<&StressMap<'_>> = pair.iter().map(|variant| &variant.map).collect();
    let shared = Shared::new(&maps);
    let room = Area { x: panels.x, y: panels.y + label, w: wide, h: stage_height };
    let Split { stage, inset, scale } = inset_room::split(&maps, room, strap, 20.0);
    let mut items = Vec::new();
    for (i, variant) in pair.iter().enumerate() {
        let x = panels.x + (wide + gap) * i as f64;
        let name =
            Block::fit(&variant.label, Weight::Bold, 1.15 * main.min(50.0), 0.7 * page.second, [wide, label]);
        let top = panels.y + 0.5 * (label - name.height());
        items.extend(name.place(x + 0.5 * wide, top, Anchor::Middle, INK).into_iter().map(Item::Text));
        let (connector, view) = shared.connector(&variant.map, i, Area { x, ..stage }, scale, page.unit);
        items.extend(connector);
        let inset = inset.and_then(|room| {
            let own = Area { x: room.x + x - panels.x, ..room };
            inset_room::place(&variant.map, &view, own, &[])
        });
        if let Some(inset) = inset {
            items.extend(inset_room::pointer(&inset, &view));
            items.extend(shared.inset(&variant.map, i, &inset, &view, page.unit));
        }
        items.extend(ring(view.place(variant.weakest.at), 13.0));
        let shares = Area { x, y: room.bottom() + 14.0, w: wide, h: balance_height };
        let map = &variant.map;
        items.extend(balance(map, shares, times));
        let area = Area { x, y: shares.bottom() + 14.0, w: wide, h: stamp_height };
        items.extend(if low {
            line_of(&variant.weakest, area, main)
        } else {
            stamp(&variant.weakest, page, area, stamp_size, &[])
        });
    }
    items.extend(texts);
    items.extend(shared.legend(&maps, scale, ruler, 0.0, page.ruler));
    items
}

/// The part that fails first, and its load at the other end of the line.
fn line_of(weakest: &Weakest, area: Area, size: f64) -> Vec<Item> {
    let room = area.w - width(&weakest.load, size, Weight::Bold) - 0.6 * size;
    let part = Block::fit(
        &format!("{} {}", weakest.part, weakest.does),
        Weight::Bold,
        size,
        0.6 * size,
        [room, LINE_HEIGHT * size + 1e-6],
    );
    let words = part.lines.first().cloned().unwrap_or_default();
    let base = area.y + size;
    let load = Text::new([area.right(), base], size, Weight::Bold, ACCENT, weakest.load.as_str());
    vec![
        Item::Text(Text::new([area.x, base], part.size, Weight::Bold, INK, words)),
        Item::Text(load.anchored(Anchor::End)),
    ]
}
