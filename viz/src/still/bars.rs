//! Parts as bars against the load at which each reaches its limit.

use super::page::Page;
use crate::colour::Rgba;
use crate::drawing::{Item, Path, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER, PAPER_SHADE, QUIET, kilonewtons};
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight, width};

/// The load at which a part reaches its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthBar {
    /// The part: "lip of the notch".
    pub name: String,
    /// The load, kN.
    pub load_kn: f64,
    /// Whether this ends a pull; yielding and bending do not, and are drawn hollow.
    pub ends_pull: bool,
    /// Whether it is the one that gives first.
    pub first: bool,
}

/// Solid bars of parts that come later; 3:1 against paper.
const LATER: Rgba = Rgba::hex(0x8b_8a83);

/// As many bars as find room, lowest load first. `size`: of the type.
pub(super) fn bars(
    all: &[StrengthBar],
    marked_kn: Option<f64>,
    page: &Page,
    area: Area,
    size: f64,
) -> Vec<Item> {
    let row = 2.05 * size;
    let below = if marked_kn.is_some() { 1.5 * size } else { 0.0 };
    let most = (((area.h - below) / row).floor() as usize).max(1);
    let shown = &all[..all.len().min(most)];
    // Few bars spread out, but not so far that a name seems to belong to the bar above it.
    let row = ((area.h - below) / shown.len().max(1) as f64).clamp(row, 1.25 * row);
    let longest = shown.iter().map(|bar| bar.load_kn).chain(marked_kn).fold(1e-9, f64::max);
    let x_of = |kn: f64| area.x + area.w * kn / longest;
    let thick = 0.62 * size;
    let mut items = Vec::new();
    let mut ends = area.y;
    for (i, bar) in shown.iter().enumerate() {
        let top = area.y + row * i as f64;
        let base = top + 0.5 * (LINE_HEIGHT + CAP_HEIGHT) * size;
        let colour = if bar.first { ACCENT } else { INK };
        let weight = if bar.first { Weight::Bold } else { Weight::Regular };
        let value = kilonewtons(bar.load_kn);
        let room = area.w - width(&value, size, Weight::Bold) - 0.8 * size;
        let name = Block::fit(&bar.name, weight, size, 0.7 * size, [room, LINE_HEIGHT * size + 1e-6]);
        let words = name.lines.first().cloned().unwrap_or_default();
        items.push(Item::Text(Text::new([area.x, base], name.size, weight, colour, words)));
        let value = Text::new([area.right(), base], size, Weight::Bold, colour, value);
        items.push(Item::Text(value.anchored(Anchor::End)));
        let at = [area.x, top + LINE_HEIGHT * size + 0.08 * size];
        let path = Path::rounded(at, [(x_of(bar.load_kn) - area.x).max(4.0), thick], 0.12 * size);
        items.push(match (bar.first, bar.ends_pull) {
            (true, _) => Item::filled(path, ACCENT),
            (false, true) => Item::filled(path, LATER),
            (false, false) => Item::outlined(path, PAPER_SHADE, Stroke::new(LATER, 3.0)),
        });
        ends = at[1] + thick;
        if let Some(kn) = marked_kn {
            let line = Path::line(&[[x_of(kn), at[1] - 5.0], [x_of(kn), ends + 5.0]]);
            items.push(Item::stroked(line.clone(), Stroke::new(PAPER, 9.0)));
            items.push(Item::stroked(line, Stroke::new(INK, 4.0)));
        }
    }
    if let Some(kn) = marked_kn {
        let name =
            format!("marked {}", if kn.fract() == 0.0 { format!("{kn:.0} kN") } else { kilonewtons(kn) });
        let words =
            Text::new([0.0, ends + 1.2 * size], 0.85 * size.max(page.small), Weight::Regular, QUIET, name);
        let half = 0.5 * words.width();
        let x = x_of(kn).clamp(area.x + half, area.right() - half);
        items.push(Item::Text(Text { at: [x, words.at[1]], ..words }.anchored(Anchor::Middle)));
    }
    items
}
