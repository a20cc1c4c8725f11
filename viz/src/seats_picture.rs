//! Where straps come to rest: the connector once for each position, its straps and its line of pull in place, with what
//! the position needs and holds beneath.

use crate::body_field::BodyField;
use crate::drawing::{Drawing, Item, Stroke};
use crate::layout::{Area, View, bounds};
use crate::load_shape::LoadShape;
use crate::look::{ACCENT, INK, LABEL, NUMBER, PAPER, PAPER_SHADE, QUIET};
use crate::path::Path;
use crate::sheet::{Sheet, SheetWords};
use crate::text::{Anchor, Block, Text, Weight};
use crate::{bodies, rig_shapes};
use std::fmt::Write;

/// Most positions on one picture.
const MOST: usize = 8;
/// Most positions in a row: more have a second row.
const IN_A_ROW: usize = 6;
/// How far a friction wedge reaches into the window, mm.
const WEDGE_MM: f64 = 17.0;
/// Words beneath a connector take this much at least.
const WORDS: f64 = 226.0;

/// A position of both loads.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatPanel {
    /// What the position is called.
    pub name: String,
    /// Whether the loads come back to it by themselves.
    pub stable: bool,
    /// What pulls up, and down.
    pub loads: [LoadShape; 2],
    /// Load points, upper and lower, mm.
    pub points: [[f64; 2]; 2],
    /// Unit normals of the edges there, into the window.
    pub normals: [[f64; 2]; 2],
    /// The large line: the forecast, or that there is none.
    pub number: String,
    /// Smaller lines.
    pub lines: Vec<String>,
}

/// Everything the picture shows. Lengths in mm (y up).
#[derive(Clone, Debug, PartialEq)]
pub struct SeatsPicture {
    /// Its words.
    pub words: SheetWords,
    /// Closed polygons of the frame.
    pub frame: Vec<Vec<[f64; 2]>>,
    /// Closed polygons of the gate.
    pub gate: Vec<Vec<[f64; 2]>>,
    /// Whether the gate is open: drawn as a ghost.
    pub gate_open: bool,
    /// Centres and radii of the pins.
    pub pins: Vec<([f64; 2], f64)>,
    /// Friction angle that can be relied on, degrees.
    pub friction_deg: f64,
    /// Positions, the most important first; the first eight are drawn.
    pub panels: Vec<SeatPanel>,
}

impl SeatsPicture {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let Sheet { page, mut items, room } = Sheet::new(&self.words, width_px, height_px);
        let shown = &self.panels[..self.panels.len().min(MOST)];
        let in_a_row = if shown.len() > IN_A_ROW { shown.len().div_ceil(2) } else { shown.len() };
        let columns = if page.is_upright() { shown.len().min(2) } else { in_a_row }.max(1);
        let rows = shown.len().div_ceil(columns).max(1);
        let (w, h) = (room.w / columns as f64, room.h / rows as f64);
        for (i, panel) in shown.iter().enumerate() {
            let (column, row) = ((i % columns) as f64, (i / columns) as f64);
            let cell = Area { x: room.x + column * w, y: room.y + row * h, w, h };
            items.extend(self.panel(panel, cell));
        }
        page.drawing(&self.words.name, self.description(), items)
    }

    fn panel(&self, panel: &SeatPanel, cell: Area) -> Vec<Item> {
        let (frame, gate) = (BodyField::outlined(&self.frame), BodyField::outlined(&self.gate));
        let [low, high] = bounds(frame.outline.iter().chain(&gate.outline).flatten());
        // All connectors are drawn alike: the panel with most words decides.
        let wide = cell.w - 24.0;
        let beneath = self.panels.iter().map(|p| height_of(p, wide)).fold(WORDS, f64::max);
        let stage = Area { x: cell.x + 14.0, y: cell.y + 40.0, w: cell.w - 28.0, h: cell.h - beneath - 96.0 };
        let view = View::fitting(low, high, stage);
        let reach = 2.0 * cell.h;
        let mut drawn = Vec::new();
        for load in &panel.loads {
            drawn.extend(rig_shapes::behind(load, &view, reach));
        }
        let path = bodies::outline(&frame, &view);
        drawn.push(Item::outlined(path, PAPER_SHADE, Stroke::new(INK, 2.4)));
        for load in &panel.loads {
            drawn.extend(rig_shapes::in_front(load, &view, &frame, reach));
        }
        if self.gate_open {
            drawn.extend(bodies::ghost(&gate, &view));
        } else {
            drawn.extend(bodies::halo(&gate, &view));
            drawn.push(Item::outlined(bodies::outline(&gate, &view), PAPER_SHADE, Stroke::new(INK, 2.4)));
        }
        for (centre, radius) in &self.pins {
            drawn.extend(rig_shapes::pin(view.place(*centre), view.scale * radius, self.gate_open));
        }
        drawn.extend(self.pull(panel, &view));
        let clip = Path::rectangle([cell.x + 4.0, cell.y], [cell.w - 8.0, stage.bottom() + 46.0 - cell.y]);
        let mut items = vec![Item::Clipped { clip, items: drawn }];
        // The names of all positions have one size.
        let size = self.panels.iter().map(|p| name_of(p, wide, LABEL).size).fold(LABEL, f64::min);
        items.extend(words(panel, [cell.x + 0.5 * cell.w, stage.bottom() + 56.0], wide, size));
        items
    }

    /// The line of pull, and at both ends the wedge that friction allows it.
    fn pull(&self, panel: &SeatPanel, view: &View) -> Vec<Item> {
        let mut items = Vec::new();
        for (at, normal) in panel.points.iter().zip(panel.normals) {
            let turned = |deg: f64| {
                let (s, c) = deg.to_radians().sin_cos();
                [
                    at[0] + WEDGE_MM * (c * normal[0] - s * normal[1]),
                    at[1] + WEDGE_MM * (s * normal[0] + c * normal[1]),
                ]
            };
            let mut points = vec![*at];
            points.extend((-6..=6).map(|i| turned(self.friction_deg * f64::from(i) / 6.0)));
            items.push(Item::filled(Path::polygons([view.places(&points).as_slice()]), ACCENT.faded(0.22)));
            items.push(Item::stroked(
                Path::line(&view.places(&[*at, turned(0.0)])),
                Stroke::new(ACCENT.faded(0.8), 2.0),
            ));
        }
        let line = Path::line(&view.places(&panel.points));
        items.push(Item::stroked(line, Stroke::new(INK, 3.0).dashed(11.0, 9.0)));
        for at in panel.points {
            items.push(Item::outlined(Path::circle(view.place(at), 6.0), PAPER, Stroke::new(INK, 2.6)));
        }
        items
    }

    fn description(&self) -> String {
        let mut out = format!("{} {}. ", self.words.sentence, self.words.subtitle);
        for panel in &self.panels {
            let _ = write!(out, "{}: {}, {}. ", panel.name, panel.number, panel.lines.join(", "));
        }
        let _ = write!(out, "{} {}", self.words.note, self.words.caution);
        out
    }
}

/// The name of a position, no larger than a size.
fn name_of(panel: &SeatPanel, width: f64, size: f64) -> Block {
    Block::whole(&panel.name, Weight::Bold, size, size.min(20.0), width, 2)
}

/// Room for a name.
const NAME: f64 = 2.4 * LABEL;

fn line_block(line: &str, width: f64) -> Block {
    Block::fit(line, Weight::Regular, 26.0, 22.0, [width, 66.0])
}

/// Height of all words of a panel.
fn height_of(panel: &SeatPanel, width: f64) -> f64 {
    let lines: f64 = panel.lines.iter().map(|line| line_block(line, width).height()).sum();
    NAME + 1.05 * NUMBER + 14.0 + lines
}

fn words(panel: &SeatPanel, [x, top]: [f64; 2], width: f64, size: f64) -> Vec<Item> {
    let colour = if panel.stable { ACCENT } else { QUIET };
    let name = name_of(panel, width, size);
    let mut items: Vec<Item> =
        // Names of one and of two lines end at one height.
        name.place(x, top + NAME - name.height(), Anchor::Middle, colour).into_iter().map(Item::Text).collect();
    let y = top + NAME + 1.05 * NUMBER;
    let number = Text::new([x, y], NUMBER, Weight::Bold, INK, panel.number.as_str());
    items.push(Item::Text(number.anchored(Anchor::Middle)));
    let mut y = y + 14.0;
    for line in &panel.lines {
        let block = line_block(line, width);
        items.extend(block.place(x, y, Anchor::Middle, INK).into_iter().map(Item::Text));
        y += block.height();
    }
    items
}
