//! The sketch: a connector's outline with its measures and true sections, on squared paper, before anything is solved.

use crate::colour::Rgba;
use crate::dimension::dimensions;
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::{Head, HeadType, Page, Stack};
use crate::layout::{Area, View, bounds};
use crate::look::{ACCENT, INK, LABEL, MARGIN, PAPER, PAPER_SHADE, QUIET, SMALL};
use crate::path::{Path, Segment};
use crate::text::{Block, Text, Weight};

pub use crate::dimension::Dimension;

/// Everything a sketch shows. Lengths in mm (y up).
#[derive(Clone, Debug, PartialEq)]
pub struct Sketch {
    /// Name of the connector.
    pub title: String,
    /// Short name of the picture, for screen readers.
    pub name: String,
    /// What the picture says, for those who cannot see it.
    pub description: String,
    /// A line under it; empty for none.
    pub subtitle: String,
    /// Closed polygons of the frame: outer edge, then holes.
    pub frame: Vec<Vec<[f64; 2]>>,
    /// Closed polygons of the gate.
    pub gate: Vec<Vec<[f64; 2]>>,
    /// Centres and radii of the pins.
    pub pins: Vec<([f64; 2], f64)>,
    /// Measures to write, the important ones first: their words get the best places.
    pub dimensions: Vec<Dimension>,
    /// Sections to draw beside the connector.
    pub sections: Vec<SectionInset>,
    /// Lines of words at the foot.
    pub notes: Vec<String>,
}

/// A cross-section, drawn in true shape: depth in the plane of the connector (across the page), breadth upright.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionInset {
    /// Whose section: "spine".
    pub name: String,
    /// Its shape.
    pub outline: SectionOutline,
    /// Size in the plane of the connector.
    pub depth_mm: f64,
    /// Size across the plane.
    pub breadth_mm: f64,
}

/// Shapes of sections.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SectionOutline {
    /// A circle of the depth.
    Round,
    /// Flat sides and round ends.
    Oval,
    /// A rectangle.
    Rectangle,
    /// Two flanges joined by a web.
    I {
        /// Thickness of each flange in the plane.
        flange_mm: f64,
        /// Thickness of the web across the plane.
        web_mm: f64,
    },
}

const SECTIONS: f64 = 330.0;

impl Sketch {
    /// Lays the sketch out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let sheet = Page::new(width_px, height_px);
        let Page { width, height, .. } = sheet;
        let wide = width - 2.0 * MARGIN;
        let words = Head { title: &self.title, subtitle: &self.subtitle, ..Head::default() };
        let head = words.place(sheet.head(), HeadType::PAGE);
        let notes = self.notes_blocks(wide);
        let top = head.end + 14.0;
        let bottom = height - MARGIN + 14.0 - notes.iter().map(Block::height).sum::<f64>();
        let mut foot = Stack::new([MARGIN, bottom]);
        for block in &notes {
            foot.add(block, QUIET);
        }
        let side = if self.sections.is_empty() { 0.0 } else { SECTIONS };
        let page = Area { x: MARGIN, y: top, w: width - 2.0 * MARGIN - side, h: bottom - top - 10.0 };
        let (view, _) = self.view(page);

        let mut items = squared_paper(&view, Area { x: 0.0, y: 0.0, w: width, h: height });
        items.extend(self.connector(&view));
        items.extend(dimensions(&self.dimensions, &view, page));
        let insets = Area { x: page.right() + 20.0, y: top + 20.0, w: side - 20.0, h: page.h - 20.0 };
        items.extend(self.insets(&view, insets));
        items.extend(head.items);
        items.extend(foot.into_items());
        sheet.drawing(&self.name, self.description.clone(), items)
    }

    fn notes_blocks(&self, width: f64) -> Vec<Block> {
        let size = if self.notes.len() > 4 { SMALL } else { 26.0 };
        self.notes
            .iter()
            .map(|note| Block::fit(note, Weight::Regular, size, SMALL, [width, 3.7 * size]))
            .collect()
    }

    /// A view that leaves room for the dimension lines.
    fn view(&self, page: Area) -> (View, [[f64; 2]; 2]) {
        let mut points: Vec<[f64; 2]> = self.frame.iter().chain(&self.gate).flatten().copied().collect();
        for dimension in &self.dimensions {
            if let Dimension::Length { from, to, offset_mm, .. } = dimension {
                let d = [to[0] - from[0], to[1] - from[1]];
                let long = d[0].hypot(d[1]).max(1e-9);
                let off = [-d[1] / long * offset_mm, d[0] / long * offset_mm];
                points.extend([*from, *to].map(|p| [p[0] + off[0], p[1] + off[1]]));
            }
            if let Dimension::Caliper { line, .. } = dimension {
                points.extend(line);
            }
        }
        let box_mm = bounds(&points);
        // Words beside an upright caliper stand outside of it.
        let beside = self.dimensions.iter().any(|d| matches!(d, Dimension::Caliper { .. }));
        let [left, right] = if beside { [200.0, 220.0] } else { [40.0, 90.0] };
        let room = Area {
            x: page.x + left,
            y: page.y + 30.0,
            w: (page.w - left - right).max(0.3 * page.w),
            h: page.h - 60.0,
        };
        (View::fitting(box_mm[0], box_mm[1], room), box_mm)
    }

    fn connector(&self, view: &View) -> Vec<Item> {
        let path = |loops: &[Vec<[f64; 2]>]| {
            let loops: Vec<Vec<[f64; 2]>> = loops.iter().map(|l| view.places(l)).collect();
            Path::polygons(loops.iter().map(Vec::as_slice))
        };
        let (frame, gate) = (path(&self.frame), path(&self.gate));
        let hidden = Stroke::new(INK.faded(0.6), 1.8).dashed(8.0, 6.0);
        let mut items = vec![
            Item::outlined(frame.clone(), PAPER_SHADE, Stroke::new(INK, 3.4)),
            Item::stroked(gate.clone(), Stroke::new(PAPER, 9.0)),
            Item::outlined(gate.clone(), Rgba::hex(0xee_e7da), Stroke::new(INK, 3.0)),
            Item::Clipped { clip: gate, items: vec![Item::stroked(frame, hidden)] },
        ];
        for (centre, radius) in &self.pins {
            let (c, r) = (view.place(*centre), view.scale * radius);
            items.push(Item::outlined(Path::circle(c, r), PAPER, Stroke::new(INK, 2.6)));
            let mut cross = Path::line(&[[c[0] - 0.5 * r, c[1]], [c[0] + 0.5 * r, c[1]]]);
            cross.add_line(&[[c[0], c[1] - 0.5 * r], [c[0], c[1] + 0.5 * r]]);
            items.push(Item::stroked(cross, Stroke::new(INK, 1.6)));
        }
        items
    }

    fn insets(&self, view: &View, area: Area) -> Vec<Item> {
        let mut items = Vec::new();
        let rows = self.sections.len().max(1) as f64;
        let row = (area.h / rows).min(300.0);
        let words = 2.4 * LABEL;
        let deepest = self.sections.iter().map(|s| s.depth_mm).fold(1e-6, f64::max);
        let broadest = self.sections.iter().map(|s| s.breadth_mm).fold(1e-6, f64::max);
        // One scale for all of them, the connector's own where it fits.
        let scale = view.scale.min(0.8 * area.w / deepest).min((row - words - 30.0) / broadest).max(0.1);
        for (i, section) in self.sections.iter().enumerate() {
            let top = area.y + row * i as f64;
            let (w, h) = (scale * section.depth_mm, scale * section.breadth_mm);
            let name = Text::new([area.x, top + 24.0], LABEL, Weight::Bold, ACCENT, section.name.as_str());
            let size = format!("{} × {} mm", short(section.depth_mm), short(section.breadth_mm));
            let size = Text::new([area.x, top + 24.0 + 1.2 * LABEL], SMALL + 4.0, Weight::Regular, INK, size);
            items.extend([Item::Text(name), Item::Text(size)]);
            let shape = section.path([area.x, top + words], [w, h], scale);
            items.push(Item::outlined(shape.clone(), PAPER_SHADE, Stroke::new(INK, 2.6)));
            items.push(Item::Clipped { clip: shape, items: vec![hatching([area.x, top + words], [w, h])] });
        }
        items
    }
}

impl SectionInset {
    fn path(&self, at: [f64; 2], size: [f64; 2], scale: f64) -> Path {
        match self.outline {
            SectionOutline::Round => Path::rounded(at, size, 0.5 * size[0]),
            SectionOutline::Oval => Path::rounded(at, size, 0.5 * size[0].min(size[1])),
            SectionOutline::Rectangle => Path::rectangle(at, size),
            SectionOutline::I { flange_mm, web_mm } => {
                let [x, y] = at;
                let [w, h] = size;
                let (f, web) = (scale * flange_mm, scale * web_mm);
                let (low, high) = (y + 0.5 * (h - web), y + 0.5 * (h + web));
                Path::polygons([[
                    [x, y],
                    [x + f, y],
                    [x + f, low],
                    [x + w - f, low],
                    [x + w - f, y],
                    [x + w, y],
                    [x + w, y + h],
                    [x + w - f, y + h],
                    [x + w - f, high],
                    [x + f, high],
                    [x + f, y + h],
                    [x, y + h],
                ]
                .as_slice()])
            }
        }
    }
}

/// Slanted lines over a cut face.
fn hatching(at: [f64; 2], size: [f64; 2]) -> Item {
    let mut path = Path::default();
    let count = ((size[0] + size[1]) / 9.0) as i32;
    for i in 0..=count {
        let d = 9.0 * f64::from(i);
        path.add_line(&[[at[0] + d, at[1]], [at[0] + d - size[1], at[1] + size[1]]]);
    }
    Item::stroked(path, Stroke::new(INK.faded(0.35), 1.3))
}

/// Lines every 5 mm of the connector, stronger every 10 mm.
fn squared_paper(view: &View, page: Area) -> Vec<Item> {
    let origin = view.place([0.0, 0.0]);
    let step = 5.0 * view.scale;
    if step < 6.0 {
        return Vec::new();
    }
    let [mut fine, mut strong] = [Path::default(), Path::default()];
    let range = |from: f64, to: f64| ((from / step).ceil() as i32, (to / step).floor() as i32);
    let mut add = |i: i32, line: [[f64; 2]; 2]| {
        if i % 2 == 0 { &mut strong } else { &mut fine }
            .segments
            .extend([Segment::Move(line[0]), Segment::Line(line[1])]);
    };
    let (first, last) = range(page.x - origin[0], page.right() - origin[0]);
    for i in first..=last {
        let x = origin[0] + f64::from(i) * step;
        add(i, [[x, page.y], [x, page.bottom()]]);
    }
    let (first, last) = range(page.y - origin[1], page.bottom() - origin[1]);
    for i in first..=last {
        let y = origin[1] + f64::from(i) * step;
        add(i, [[page.x, y], [page.right(), y]]);
    }
    let blue = Rgba::hex(0x6f_a3a3);
    vec![
        Item::stroked(fine, Stroke::new(blue.faded(0.14), 1.0)),
        Item::stroked(strong, Stroke::new(blue.faded(0.26), 1.2)),
    ]
}

/// A length without needless zeros.
fn short(mm: f64) -> String {
    let words = format!("{mm:.2}");
    words.trim_end_matches('0').trim_end_matches('.').to_owned()
}
