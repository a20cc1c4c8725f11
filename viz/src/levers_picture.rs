//! What one step of each key does to the forecast: bars to both sides of it, strongest first.

use crate::colour::Rgba;
use crate::drawing::{Drawing, Item, Stroke};
use crate::layout::Area;
use crate::look::{INK, LABEL, PAPER_SHADE, QUIET, round_up};
use crate::path::Path;
use crate::sheet::{Sheet, SheetWords};
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight, width};

/// One step down.
const LESS: Rgba = Rgba::hex(0x9a_6b16);
/// One step up.
const MORE: Rgba = Rgba::hex(0x3c_468c);
/// Most rows on a page.
pub const MOST_LEVERS: usize = 12;
/// Rows are no higher than this.
const ROOMIEST: f64 = 74.0;
/// Share of the width that names take; on an upright page they stand over their bars.
const NAMES: f64 = 0.31;
/// Room over the rows.
const HEAD: f64 = 66.0;
/// Type of names.
const WORDS: f64 = 27.0;

/// A bar: one step.
#[derive(Clone, Debug, PartialEq)]
pub struct LeverBar {
    /// Change of the forecast, kN.
    pub change_kn: f64,
    /// The same as written.
    pub number: String,
    /// Where on the way another part fails first; empty where none does.
    pub turn: String,
}

/// A row: one key.
#[derive(Clone, Debug, PartialEq)]
pub struct LeverRow {
    /// Its name.
    pub name: String,
    /// Its value and both that it is moved to.
    pub line: String,
    /// One step down, and up; absent where there is no such step.
    pub bars: [Option<LeverBar>; 2],
}

/// Everything the picture shows.
#[derive(Clone, Debug, PartialEq)]
pub struct LeversPicture {
    /// Its words.
    pub words: SheetWords,
    /// The forecast as entered: what stands over the line in the middle.
    pub middle: String,
    /// Rows, strongest first; the first [`MOST_LEVERS`] are drawn.
    pub rows: Vec<LeverRow>,
    /// What the two colours say: a step down, a step up.
    pub key: [String; 2],
}

impl LeversPicture {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let Sheet { page, mut items, room } = Sheet::new(&self.words, width_px, height_px);
        let rows = &self.rows[..self.rows.len().min(MOST_LEVERS)];
        let upright = page.is_upright();
        let left = if upright { room.x } else { room.x + NAMES * room.w };
        let area = Area { x: left, y: room.y + HEAD, w: room.right() - left, h: room.h - HEAD };
        let pitch = (area.h / rows.len().max(1) as f64).min(if upright { 2.2 * ROOMIEST } else { ROOMIEST });
        let most =
            rows.iter().flat_map(|r| r.bars.iter().flatten()).map(|b| b.change_kn.abs()).fold(0.0, f64::max);
        let reach = round_up(most.max(1e-3));
        let middle = area.x + 0.5 * area.w;
        // Numbers and turns stand beside the bars.
        let scale = 0.22 * area.w / reach;
        let bottom = area.y + pitch * rows.len() as f64;
        items.push(Item::stroked(
            Path::line(&[[middle, area.y - 6.0], [middle, bottom]]),
            Stroke::new(INK, 2.4),
        ));
        items.extend(self.head([room.x, left], middle, area));
        for (i, row) in rows.iter().enumerate() {
            let top = area.y + pitch * i as f64;
            if i % 2 == 1 {
                let band = Path::rectangle([room.x - 8.0, top], [room.w + 16.0, pitch]);
                items.insert(0, Item::filled(band, PAPER_SHADE.faded(0.45)));
            }
            items.extend(names(
                row,
                Area { x: room.x, y: top, w: left - room.x - 20.0, h: pitch },
                upright,
                room.w,
            ));
            items.extend(bars(row, Area { y: top, h: pitch, ..area }, middle, scale, upright));
        }
        page.drawing(&self.words.name, self.description(), items)
    }

    /// The forecast over the line, and the two colours.
    fn head(&self, [x, left]: [f64; 2], middle: f64, area: Area) -> Vec<Item> {
        let mut items = Vec::new();
        let base = area.y - 22.0;
        let wide = area.w - 8.0;
        let text = Block::fit(&self.middle, Weight::Bold, LABEL, 20.0, [wide, 1.3 * LABEL]);
        let placed = text.place(middle, base - text.height() + 4.0, Anchor::Middle, INK);
        items.extend(placed.into_iter().map(Item::Text));
        // On an upright page they stand over the forecast.
        let (mut x, y) = if left > x { (x, base) } else { (x, base - 38.0) };
        for (words, colour) in self.key.iter().zip([LESS, MORE]) {
            items.push(Item::filled(Path::rectangle([x, y - 16.0], [26.0, 14.0]), colour));
            let text = Text::new([x + 34.0, y], 0.85 * WORDS, Weight::Regular, INK, words.as_str());
            x += 34.0 + text.width() + 30.0;
            items.push(Item::Text(text));
        }
        items
    }

    fn description(&self) -> String {
        let mut out = format!("{} {}. ", self.words.sentence, self.words.subtitle);
        for row in &self.rows[..self.rows.len().min(MOST_LEVERS)] {
            out.push_str(&format!("{}, {}:", row.name, row.line));
            for (bar, words) in
                row.bars.iter().zip(&self.key).filter_map(|(bar, key)| Some((bar.as_ref()?, key)))
            {
                let turn = if bar.turn.is_empty() { String::new() } else { format!(", {}", bar.turn) };
                out.push_str(&format!(" {words} {}{turn};", bar.number));
            }
            out.pop();
            out.push_str(". ");
        }
        out.push_str(&format!("{} {}", self.words.note, self.words.caution));
        out
    }
}

/// Name and values: two lines beside the bars, one over them on an upright page.
fn names(row: &LeverRow, area: Area, upright: bool, whole: f64) -> Vec<Item> {
    let mut items = Vec::new();
    if upright {
        let name = Text::new([area.x, area.y + 30.0], WORDS, Weight::Bold, INK, row.name.as_str());
        let beside = area.x + name.width() + 18.0;
        let room = [(area.x + whole - beside).max(60.0), 1.3 * WORDS];
        let line = Block::fit(&row.line, Weight::Regular, 0.85 * WORDS, 15.0, room);
        items.extend(line.place(beside, area.y + 8.0, Anchor::Start, QUIET).into_iter().map(Item::Text));
        items.push(Item::Text(name));
        return items;
    }
    // Both lines fit the row.
    let size = WORDS.min(0.42 * area.h);
    let name = Block::fit(&row.name, Weight::Bold, size, 15.0, [area.w, 1.3 * size]);
    let line = Block::fit(&row.line, Weight::Regular, 0.8 * size, 13.0, [area.w, 1.1 * size]);
    let top = area.y + 0.5 * (area.h - name.height() - line.height());
    items.extend(name.place(area.x, top, Anchor::Start, INK).into_iter().map(Item::Text));
    items.extend(line.place(area.x, top + name.height(), Anchor::Start, QUIET).into_iter().map(Item::Text));
    items
}

/// Both bars of a row, the step down over the step up, with their numbers at the ends.
fn bars(row: &LeverRow, area: Area, middle: f64, scale: f64, upright: bool) -> Vec<Item> {
    let mut items = Vec::new();
    let (top, high) = if upright { (area.y + 40.0, area.h - 46.0) } else { (area.y + 5.0, area.h - 10.0) };
    let thick = (0.5 * high - 3.0).clamp(4.0, 26.0);
    let size = (1.05 * thick).clamp(18.0, 25.0);
    for (i, (bar, colour)) in row.bars.iter().zip([LESS, MORE]).enumerate() {
        let Some(bar) = bar else { continue };
        let y = top + 0.5 * high + if i == 0 { -thick - 1.5 } else { 1.5 };
        let to = middle + scale * bar.change_kn;
        let (from, long) = (middle.min(to), (to - middle).abs());
        items.push(Item::filled(Path::rectangle([from, y], [long.max(1.5), thick]), colour));
        let right = bar.change_kn >= 0.0;
        let base = y + 0.5 * (thick + CAP_HEIGHT * size);
        let (x, anchor) = if right { (to.max(middle) + 9.0, Anchor::Start) } else { (to - 9.0, Anchor::End) };
        let number = Text::new([x, base], size, Weight::Bold, INK, bar.number.as_str()).anchored(anchor);
        let after = width(&bar.number, size, Weight::Bold) + 12.0;
        items.push(Item::Text(number));
        if bar.turn.is_empty() {
            continue;
        }
        let room = if right { area.right() - x - after } else { x - after - area.x };
        let turn = Block::fit(&bar.turn, Weight::Regular, 0.95 * size, 13.0, [room.max(40.0), 1.3 * size]);
        let x = if right { x + after } else { x - after };
        let top = base - 0.5 * (turn.height() + CAP_HEIGHT * size);
        items.extend(turn.place(x, top, anchor, QUIET).into_iter().map(Item::Text));
    }
    items
}
