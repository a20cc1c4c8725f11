//! What would explain a peak: one row for each cause, its likelihood as a bar, the value it needs, and the broken place
//! marked on a small connector of that cause's own shape, its gate and loads where the cause has them.

use crate::body_field::BodyField;
use crate::drawing::{Drawing, Item, Stroke};
use crate::layout::{Area, View, bounds};
use crate::load_shape::LoadShape;
use crate::look::{ACCENT, INK, LABEL, PAPER, PAPER_SHADE, QUIET};
use crate::path::Path;
use crate::sheet::{Sheet, SheetWords};
use crate::text::{Anchor, Block, Text, Weight};
use crate::{bodies, rig_shapes};
use std::fmt::Write;

/// Most rows on one picture.
pub const MOST_CAUSES: usize = 5;
/// Tallest row.
const TALLEST: f64 = 520.0;
/// Widest connector, as a part of its row.
const WIDEST: f64 = 0.36;

/// A connector as a cause has it. Lengths in mm (y up).
#[derive(Clone, Debug, PartialEq)]
pub struct CauseShape {
    /// Closed polygons of the frame.
    pub frame: Vec<Vec<[f64; 2]>>,
    /// Closed polygons of the gate, as far shut as the cause has it.
    pub gate: Vec<Vec<[f64; 2]>>,
    /// Centres and radii of the pins.
    pub pins: Vec<([f64; 2], f64)>,
}

/// A cause.
#[derive(Clone, Debug, PartialEq)]
pub struct CauseRow {
    /// Likelihood, 0 to 1.
    pub likelihood: f64,
    /// The likelihood in words.
    pub percent: String,
    /// The cause with its value.
    pub cause: String,
    /// What it gives: load, part, likely values.
    pub gives: String,
    /// The connector.
    pub shape: CauseShape,
    /// What pulls; none when the loads cannot be drawn.
    pub loads: Vec<LoadShape>,
    /// Whether the gate is open.
    pub gate_open: bool,
    /// Broken places, mm.
    pub marks: Vec<[f64; 2]>,
}

/// Everything the picture shows.
#[derive(Clone, Debug, PartialEq)]
pub struct ExplainPicture {
    /// Its words.
    pub words: SheetWords,
    /// Causes, the most likely first; the first five are drawn.
    pub rows: Vec<CauseRow>,
}

impl ExplainPicture {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let Sheet { page, mut items, room } = Sheet::new(&self.words, width_px, height_px);
        let shown = &self.rows[..self.rows.len().min(MOST_CAUSES)];
        let tallest = if shown.iter().any(|r| r.likelihood > 0.0) { TALLEST } else { room.h };
        let row_height = (room.h / shown.len().max(1) as f64).min(tallest);
        // One scale for all rows: what differs between them is what their causes change.
        let all = bounds(shown.iter().flat_map(|r| r.shape.frame.iter().chain(&r.shape.gate).flatten()));
        let longest = shown.iter().map(|r| r.likelihood).fold(0.0, f64::max).max(1e-9);
        for (i, row) in shown.iter().enumerate() {
            let area = Area { x: room.x, y: room.y + i as f64 * row_height, w: room.w, h: row_height };
            items.extend(if row.likelihood > 0.0 {
                drawn_row(row, area, all, longest, i == 0)
            } else {
                drawn_alone(row, area, all)
            });
        }
        page.drawing(&self.words.name, self.description(), items)
    }

    fn description(&self) -> String {
        let mut out = format!("{} {}. ", self.words.sentence, self.words.subtitle);
        for row in &self.rows {
            let _ = write!(out, "{}: {}, {}. ", row.percent, row.cause, row.gives);
        }
        let _ = write!(out, "{} {}", self.words.note, self.words.caution);
        out
    }
}

/// A row; `all` are the corners of all rows' connectors, mm.
fn drawn_row(row: &CauseRow, area: Area, all: [[f64; 2]; 2], longest: f64, first: bool) -> Vec<Item> {
    let room = Area { x: area.x, y: area.y + 8.0, w: (1.05 * area.h).min(WIDEST * area.w), h: area.h - 16.0 };
    let mut items = thumb(row, room, all);
    let left = room.right() + 26.0;
    let percent_width = 190.0;
    let bar_room = area.right() - left - percent_width;
    let (colour, weight) = if first { (ACCENT, Weight::Bold) } else { (INK, Weight::Regular) };
    let words_room = [area.right() - left, 0.42 * area.h];
    let cause = Block::fit(&row.cause, weight, LABEL, 23.0, words_room);
    let bar = (0.2 * area.h).clamp(14.0, 30.0);
    // One line, or as many as the row has room for.
    let under = (area.h - cause.height() - bar - 24.0).max(34.0);
    let gives = Block::fit(&row.gives, Weight::Regular, 25.0, 19.0, [words_room[0], under]);
    let content = cause.height() + gives.height() + bar + 12.0;
    let top = area.y + 0.5 * (area.h - content).max(0.0);
    items.extend(cause.place(left, top, Anchor::Start, colour).into_iter().map(Item::Text));
    let y = top + cause.height();
    items.extend(gives.place(left, y, Anchor::Start, QUIET).into_iter().map(Item::Text));
    let y = y + gives.height() + 8.0;
    let length = (bar_room * row.likelihood / longest).max(4.0);
    let fill = if first { ACCENT } else { QUIET };
    items.push(Item::filled(Path::rounded([left, y], [length, bar], 4.0), fill));
    let percent = Text::new(
        [left + length + 14.0, y + 0.5 * bar + 11.0],
        LABEL,
        Weight::Bold,
        colour,
        row.percent.as_str(),
    );
    items.push(Item::Text(percent));
    let line = Path::line(&[[area.x, area.bottom()], [area.right(), area.bottom()]]);
    items.push(Item::stroked(line, Stroke::new(QUIET.faded(0.25), 1.2)));
    items
}

/// What explains nothing: a large connector, and in large type what it would take instead of a bar without length.
fn drawn_alone(row: &CauseRow, area: Area, all: [[f64; 2]; 2]) -> Vec<Item> {
    let room = Area { x: area.x, y: area.y + 8.0, w: area.h.min(0.46 * area.w), h: area.h - 16.0 };
    let mut items = thumb(row, room, all);
    let left = room.right() + 44.0;
    let wide = area.right() - left;
    let lines = [
        (row.cause.as_str(), Weight::Regular, 40.0, QUIET),
        (row.gives.as_str(), Weight::Bold, 60.0, INK),
        (row.percent.as_str(), Weight::Bold, 44.0, ACCENT),
    ];
    let blocks =
        lines.map(|(words, weight, size, colour)| (Block::whole(words, weight, size, 30.0, wide, 4), colour));
    let gap = 16.0;
    let height: f64 = blocks.iter().map(|(block, _)| block.height() + gap).sum::<f64>() - gap;
    let mut y = area.y + 0.5 * (area.h - height).max(0.0);
    for (block, colour) in blocks {
        items.extend(block.place(left, y, Anchor::Start, colour).into_iter().map(Item::Text));
        y += block.height() + gap;
    }
    items
}

fn thumb(row: &CauseRow, area: Area, all: [[f64; 2]; 2]) -> Vec<Item> {
    let (frame, gate) = (BodyField::outlined(&row.shape.frame), BodyField::outlined(&row.shape.gate));
    let ring = (0.075 * area.h.min(area.w)).max(8.0);
    // Room for a ring about a place on the rim.
    let inner = Area { x: area.x + ring, y: area.y + ring, w: area.w - 2.0 * ring, h: area.h - 2.0 * ring };
    let view = View::fitting(all[0], all[1], inner);
    let line = Stroke::new(INK, 1.8);
    let mut drawn = Vec::new();
    for load in &row.loads {
        drawn.extend(rig_shapes::behind(load, &view, area.h));
    }
    drawn.push(Item::outlined(bodies::outline(&frame, &view), PAPER_SHADE, line.clone()));
    for load in &row.loads {
        drawn.extend(rig_shapes::in_front(load, &view, &frame, area.h));
    }
    if row.gate_open {
        drawn.extend(bodies::ghost(&gate, &view));
    } else {
        // The notch behind it shows how far in the pin is.
        drawn.push(Item::outlined(bodies::outline(&gate, &view), PAPER_SHADE.faded(0.55), line));
    }
    for (centre, radius) in &row.shape.pins {
        drawn.push(Item::outlined(
            Path::circle(view.place(*centre), view.scale * radius),
            PAPER,
            Stroke::new(INK.faded(if row.gate_open { 0.4 } else { 1.0 }), 1.6),
        ));
    }
    for at in &row.marks {
        let at = view.place(*at);
        drawn.push(Item::stroked(Path::circle(at, ring), Stroke::new(PAPER, 7.0)));
        drawn.push(Item::stroked(Path::circle(at, ring), Stroke::new(ACCENT, 4.0)));
    }
    let clip = Path::rectangle([area.x, area.y], [area.w, area.h]);
    vec![Item::Clipped { clip, items: drawn }]
}
