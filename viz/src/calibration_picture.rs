//! Constants before and after pulls: a pale bar for what was believed, on it a dark one for what is, a row each.

use crate::chart_page::TYPE;
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::Page;
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER, PAPER_SHADE, QUIET};
use crate::path::Path;
use crate::sheet::{Sheet, SheetWords};
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight, width};

/// Width of the names beside the bars, as a part of the page, and the most that it is.
const NAMES: f64 = 0.26;
const WIDEST_NAMES: f64 = 330.0;
/// Room right of the bars for the value of a row, on a page that is not upright.
const VALUES: f64 = 330.0;
/// Rows are no higher than this.
const ROOMIEST: f64 = 165.0;
/// Heights of the bars.
const BARS: [f64; 2] = [34.0, 18.0];
/// How far a bar may reach beyond that of before, as a part of it.
const BEYOND: f64 = 0.12;
/// Type of what values count, and of the ends of a bar.
const UNDER: f64 = 21.0;

/// A constant before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibrationRow {
    /// What it is.
    pub name: String,
    /// What its values count.
    pub counts: String,
    /// The values that 5 and 95 of 100 draws stay below before, on the scale of the bar.
    pub before: [f64; 2],
    /// That of 5, the middle, and that of 95 after.
    pub after: [f64; 3],
    /// The ends of before in words.
    pub ends: [String; 2],
    /// The value after, in words.
    pub value: String,
}

/// Everything the picture shows.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibrationPicture {
    /// Its words.
    pub words: SheetWords,
    /// The constants.
    pub rows: Vec<CalibrationRow>,
    /// What a pale bar is, and a dark one.
    pub key: [String; 2],
}

impl CalibrationPicture {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let page = Page::readable(width_px, height_px);
        let upright = page.is_upright();
        let Sheet { page, mut items, room } = Sheet::on(page, &self.words, if upright { 9.0 } else { 5.2 });
        let names = if upright { 0.0 } else { (NAMES * page.width).min(WIDEST_NAMES) };
        let top = self.key(room, upright, &mut items);
        let pitch = ((room.bottom() - top) / self.rows.len().max(1) as f64).min(ROOMIEST);
        let right = room.right() - if upright { 24.0 } else { VALUES };
        let bar =
            [room.x + names + if upright { -90.0 } else { 24.0 }, right + if upright { 114.0 } else { 0.0 }];
        for (i, row) in self.rows.iter().enumerate() {
            let area = Area { y: top + pitch * i as f64, h: pitch, ..room };
            draw_row(row, area, bar, upright, &mut items);
        }
        page.drawing(&self.words.name, self.description(), items)
    }

    /// What the bars are; gives where it ends.
    fn key(&self, room: Area, upright: bool, items: &mut Vec<Item>) -> f64 {
        let (mut x, mut y) = (room.x, room.y + 0.8 * TYPE);
        for (after, words) in self.key.iter().enumerate() {
            let wide = 54.0;
            items.extend(bar([x, x + wide], y, after));
            if after == 1 {
                items.push(dot([x + 0.5 * wide, y]));
            }
            let at = [x + wide + 14.0, y + 0.5 * CAP_HEIGHT * TYPE];
            items.push(Item::Text(Text::new(at, TYPE, Weight::Regular, INK, words.as_str())));
            if upright {
                y += 1.6 * TYPE;
            } else {
                x += wide + 60.0 + width(words, TYPE, Weight::Regular);
            }
        }
        if upright { y } else { y + 1.5 * TYPE }
    }

    fn description(&self) -> String {
        let rows: Vec<String> =
            self.rows.iter().map(|row| format!("{}: {} {}", row.name, row.value, row.counts)).collect();
        format!(
            "{} {}. {}. {} {}",
            self.words.sentence,
            self.words.subtitle,
            rows.join("; "),
            self.words.note,
            self.words.caution
        )
    }
}

/// The bar of before (0) or of after (1).
fn bar([from, to]: [f64; 2], y: f64, after: usize) -> Vec<Item> {
    let high = BARS[after];
    let shape = Path::rectangle([from, y - 0.5 * high], [(to - from).max(2.0), high]);
    vec![Item::filled(shape, if after == 0 { PAPER_SHADE } else { ACCENT })]
}

/// The middle of after.
fn dot(at: [f64; 2]) -> Item {
    Item::outlined(Path::circle(at, 8.0), PAPER, Stroke::new(ACCENT, 4.0))
}

fn draw_row(row: &CalibrationRow, area: Area, [left, right]: [f64; 2], upright: bool, items: &mut Vec<Item>) {
    let [low, high] = row.before;
    let span = (high - low).max(1e-9);
    // The bar of before leaves room beyond its ends.
    let [from, to] = [left + BEYOND * (right - left), right - BEYOND * (right - left)];
    let [least, most] = [left.max(area.x), right.min(area.right())];
    let at = |x: f64| (from + (to - from) * (x - low) / span).clamp(least, most);
    let y = if upright { area.y + 0.62 * area.h } else { area.y + 0.42 * area.h };
    let named = TYPE * 1.04;
    let (name_at, counts_at) = if upright {
        let base = y - 0.5 * BARS[0] - 14.0;
        ([area.x, base], [area.right(), base])
    } else {
        let base = y + 0.5 * CAP_HEIGHT * named - 12.0;
        ([area.x, base], [area.x, base + 1.45 * UNDER])
    };
    items.push(Item::Text(Text::new(name_at, named, Weight::Bold, INK, row.name.as_str())));
    if upright {
        let at = [0.5 * (left + right), y + 0.5 * BARS[0] + 8.0 + CAP_HEIGHT * UNDER];
        let text = Text::new(at, UNDER, Weight::Regular, QUIET, row.counts.as_str());
        items.push(Item::Text(text.anchored(Anchor::Middle)));
    } else {
        let room = [left - area.x - 8.0, 1.4 * UNDER];
        let block = Block::fit(&row.counts, Weight::Regular, UNDER, 15.0, room);
        let placed = block.place(counts_at[0], counts_at[1] - 0.8 * UNDER, Anchor::Start, QUIET);
        items.extend(placed.into_iter().map(Item::Text));
    }
    items.extend(bar([at(low), at(high)], y, 0));
    items.extend(bar([at(row.after[0]), at(row.after[2])], y, 1));
    items.push(dot([at(row.after[1]), y]));
    let under = y + 0.5 * BARS[0] + 8.0 + CAP_HEIGHT * UNDER;
    for (x, words) in [low, high].map(at).into_iter().zip(&row.ends) {
        let text = Text::new([x, under], UNDER, Weight::Regular, QUIET, words.as_str());
        items.push(Item::Text(text.anchored(Anchor::Middle)));
    }
    let value = if upright {
        Text::new(counts_at, TYPE, Weight::Regular, ACCENT, row.value.as_str()).anchored(Anchor::End)
    } else {
        let at = [right + 20.0, y + 0.5 * CAP_HEIGHT * TYPE];
        Text::new(at, TYPE, Weight::Regular, ACCENT, row.value.as_str())
    };
    items.push(Item::Text(value));
}
