//! Where a load is held: for each state of the gate a field of marks, what pulls from top to bottom, its place from spine to gate.

use crate::colour::Rgba;
use crate::drawing::{Drawing, Item, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, PAPER, PAPER_SHADE, QUIET};
use crate::path::Path;
use crate::sheet::{Sheet, SheetWords};
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight};

/// What does not hold.
const FAILS: Rgba = Rgba::hex(0xa0_4216);
/// Width of the names of what pulls.
const NAMES: f64 = 214.0;
/// Space between fields.
const APART: f64 = 34.0;
/// Height of what stands over a field, and under it.
const HEAD: f64 = 92.0;
const FOOT: f64 = 70.0;
/// Width of the numbers beside a row.
const NUMBERS: f64 = 132.0;
/// Loads farther apart from each other than this, mm, lie diagonally: their mark stands off the line, by this part of a row.
const TOGETHER_MM: f64 = 4.0;
const OFF: f64 = 0.26;
/// Rows are no higher than this.
const ROOMIEST: f64 = 84.0;
/// Type of names and numbers.
const WORDS: f64 = 25.0;

/// What a mark stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReachMark {
    /// The load is held.
    Holds,
    /// It is not.
    Fails,
    /// Friction does not keep the loads there.
    Slides,
}

/// A place of both loads and what it comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReachPoint {
    /// Offsets of the upper and the lower load, mm.
    pub offsets_mm: [f64; 2],
    /// What it comes to.
    pub mark: ReachMark,
}

impl ReachPoint {
    /// Where its mark stands: between the offsets of both loads, mm, on the line; where they lie diagonally at that of the upper one,
    /// above the line if it is the nearer to the gate, else below.
    fn place(&self) -> (f64, f64) {
        let [upper, lower] = self.offsets_mm;
        match (upper - lower).abs() < TOGETHER_MM {
            true => (0.5 * (upper + lower), 0.0),
            false => (upper, (upper - lower).signum()),
        }
    }
}

/// A row of a field: one pair of straps or bars.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachRow {
    /// Every place.
    pub marks: Vec<ReachPoint>,
    /// Offsets that fit, mm; absent where nothing does.
    pub room_mm: Option<[f64; 2]>,
    /// What stands beside: the loads held, or why there are none.
    pub numbers: String,
}

/// A field: one state of the gate.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachField {
    /// The state of the gate.
    pub name: String,
    /// The load and how many settings hold it.
    pub line: String,
    /// One for each name of the picture; none where the gate cannot be so.
    pub rows: Vec<ReachRow>,
}

/// Everything the picture shows.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachPicture {
    /// Its words.
    pub words: SheetWords,
    /// What pulls, a name for each row.
    pub names: Vec<String>,
    /// Gate closed, half shut, open.
    pub fields: Vec<ReachField>,
    /// What a mark of each kind says.
    pub key: [(ReachMark, String); 3],
    /// What stands under the axis: the spine's side and the gate's side.
    pub axis: [String; 2],
    /// What the axis measures, and marks off the line.
    pub axis_line: String,
}

impl ReachPicture {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let Sheet { page, mut items, room } = Sheet::new(&self.words, width_px, height_px);
        let line = Block::fit(&self.axis_line, Weight::Regular, 0.9 * WORDS, 18.0, [room.w, 2.0 * LABEL]);
        let key = Area { h: 1.6 * LABEL + line.height(), ..room };
        items.extend(self.key(Area { h: 1.5 * LABEL, ..key }));
        let placed = line.place(room.x, key.y + 1.45 * LABEL, Anchor::Start, QUIET);
        items.extend(placed.into_iter().map(Item::Text));
        let room = Area { y: key.bottom() + 8.0, h: room.bottom() - key.bottom() - 8.0, ..room };
        let upright = page.is_upright();
        let count = self.fields.len().max(1) as f64;
        let low = if upright { (room.h - APART * (count - 1.0)) / count } else { room.h };
        let wide = if upright { room.w - NAMES } else { (room.w - NAMES - APART * (count - 1.0)) / count };
        for (i, field) in self.fields.iter().enumerate() {
            let at = i as f64;
            let area = if upright {
                Area { x: room.x + NAMES, y: room.y + at * (low + APART), w: wide, h: low }
            } else {
                Area { x: room.x + NAMES + at * (wide + APART), y: room.y, w: wide, h: low }
            };
            items.extend(self.field(field, area, upright || i == 0));
        }
        page.drawing(&self.words.name, self.description(), items)
    }

    /// Smallest and largest offset of all fields, mm.
    fn span_mm(&self) -> [f64; 2] {
        let rows = || self.fields.iter().flat_map(|f| &f.rows);
        let marks = rows().flat_map(|row| row.marks.iter().map(|point| [point.place().0; 2]));
        let all = rows().filter_map(|row| row.room_mm).chain(marks);
        all.fold([-1.0, 1.0], |[low, high], [from, to]| [low.min(from), high.max(to)])
    }

    fn field(&self, field: &ReachField, area: Area, named: bool) -> Vec<Item> {
        let mut items = Vec::new();
        let name = Block::fit(&field.name, Weight::Bold, LABEL, 22.0, [area.w, 1.3 * LABEL]);
        items.extend(name.place(area.x, area.y, Anchor::Start, ACCENT).into_iter().map(Item::Text));
        let line = Block::fit(&field.line, Weight::Regular, WORDS, 20.0, [area.w, HEAD - 1.3 * LABEL]);
        let under = area.y + name.height();
        items.extend(line.place(area.x, under, Anchor::Start, INK).into_iter().map(Item::Text));
        let rows = Area { y: area.y + HEAD, h: area.h - HEAD - FOOT, w: area.w - NUMBERS, ..area };
        let pitch = (rows.h / self.names.len().max(1) as f64).min(ROOMIEST);
        let bottom = rows.y + pitch * self.names.len() as f64;
        let [low, high] = self.span_mm();
        let inset = 14.0;
        let at = |mm: f64| rows.x + inset + (rows.w - 2.0 * inset) * (mm - low) / (high - low);
        // The middle of the window.
        let middle = Path::line(&[[at(0.0), rows.y], [at(0.0), bottom]]);
        items.push(Item::stroked(middle, Stroke::new(PAPER_SHADE, 2.4)));
        let base = |i: usize| rows.y + (i as f64 + 0.5) * pitch;
        for (i, row) in field.rows.iter().enumerate() {
            let y = base(i);
            if let Some([from, to]) = row.room_mm {
                let band = Path::rounded([at(from) - 9.0, y - 9.0], [at(to) - at(from) + 18.0, 18.0], 9.0);
                items.push(Item::filled(band, PAPER_SHADE));
            }
            // What does not hold lies over all else.
            for kind in [ReachMark::Slides, ReachMark::Holds, ReachMark::Fails] {
                for point in row.marks.iter().filter(|point| point.mark == kind) {
                    let (mm, off) = point.place();
                    items.push(mark(kind, [at(mm), y - off * OFF * pitch]));
                }
            }
            let numbers = Block::fit(&row.numbers, Weight::Regular, WORDS, 17.0, [NUMBERS - 14.0, pitch]);
            let top = y - 0.5 * numbers.height();
            let placed = numbers.place(rows.right() + 14.0, top, Anchor::Start, INK);
            items.extend(placed.into_iter().map(Item::Text));
        }
        if named {
            for (i, name) in self.names.iter().enumerate() {
                let block = Block::fit(name, Weight::Regular, WORDS, 17.0, [NAMES - 18.0, pitch]);
                let top = base(i) - 0.5 * block.height();
                let placed = block.place(area.x - NAMES, top, Anchor::Start, INK);
                items.extend(placed.into_iter().map(Item::Text));
            }
        }
        if !field.rows.is_empty() {
            items.extend(self.axis(&at, [low, high], [rows.x, rows.right()], bottom));
        }
        items
    }

    /// Ticks under a field, and which end is which.
    fn axis(
        &self,
        at: &dyn Fn(f64) -> f64,
        [low, high]: [f64; 2],
        [left, right]: [f64; 2],
        y: f64,
    ) -> Vec<Item> {
        let step = if high - low > 45.0 {
            20.0
        } else if high - low > 16.0 {
            10.0
        } else {
            5.0
        };
        let mut items = Vec::new();
        let line = Path::line(&[[left, y], [right, y]]);
        items.push(Item::stroked(line, Stroke::new(QUIET, 1.6)));
        // No minus before a zero.
        let mut mm = step * (low / step).ceil() + 0.0;
        while mm <= high {
            items.push(Item::stroked(Path::line(&[[at(mm), y], [at(mm), y + 7.0]]), Stroke::new(QUIET, 1.6)));
            let word = if mm > 0.0 { format!("+{mm}") } else { format!("{mm}").replace('-', "\u{2212}") };
            let number =
                Text::new([at(mm), y + 12.0 + CAP_HEIGHT * 20.0], 20.0, Weight::Regular, QUIET, word);
            items.push(Item::Text(number.anchored(Anchor::Middle)));
            mm += step;
        }
        let [spine, gate] = &self.axis;
        let base = y + 34.0 + CAP_HEIGHT * 20.0;
        for (words, x, anchor) in [(spine, left, Anchor::Start), (gate, right, Anchor::End)] {
            let text = Text::new([x, base], 20.0, Weight::Regular, QUIET, words.as_str());
            items.push(Item::Text(text.anchored(anchor)));
        }
        items
    }

    fn key(&self, area: Area) -> Vec<Item> {
        let mut items = Vec::new();
        let mut x = area.x + 12.0;
        let y = area.y + 0.5 * area.h;
        let total: f64 =
            self.key.iter().map(|(_, words)| crate::text::width(words, WORDS, Weight::Regular) + 66.0).sum();
        let size = WORDS * (area.w / total).min(1.0);
        for (kind, words) in &self.key {
            items.push(mark(*kind, [x, y]));
            let text = Text::new(
                [x + 20.0, y + 0.5 * CAP_HEIGHT * size],
                size,
                Weight::Regular,
                INK,
                words.as_str(),
            );
            x += 20.0 + text.width() + 46.0 * (size / WORDS);
            items.push(Item::Text(text));
        }
        items
    }

    fn description(&self) -> String {
        let mut out = format!("{} {}. ", self.words.sentence, self.words.subtitle);
        for field in &self.fields {
            out.push_str(&format!("{}: {}. ", field.name, field.line));
            for (name, row) in self.names.iter().zip(&field.rows) {
                out.push_str(&format!("{name}: {}. ", row.numbers));
            }
        }
        out.push_str(&format!("{} {}", self.words.note, self.words.caution));
        out
    }
}

/// A mark: shapes differ, not colours alone.
fn mark(kind: ReachMark, at: [f64; 2]) -> Item {
    match kind {
        ReachMark::Holds => Item::outlined(Path::circle(at, 7.5), ACCENT, Stroke::new(PAPER, 1.6)),
        ReachMark::Fails => {
            let r = 8.5;
            let corners = [[0.0, -r], [r, 0.0], [0.0, r], [-r, 0.0]].map(|d| [at[0] + d[0], at[1] + d[1]]);
            Item::outlined(Path::polygons([corners.as_slice()]), FAILS, Stroke::new(PAPER, 1.6))
        }
        ReachMark::Slides => Item::outlined(Path::circle(at, 5.0), PAPER, Stroke::new(QUIET, 2.0)),
    }
}
