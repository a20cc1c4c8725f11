//! Two keys varied: maps of the forecast and of the gate's share over both, with lines of equal value, and the regions in
//! which one part and the same fails first.
//!
//! Keys that have words, or few values, have no "between": then each pair of values is a cell with its number in it.

use crate::chart_page::{ChartWords, TYPE};
use crate::chart_panel::{BELOW, ChartAxis, ChartError, LEFT, Panel, hatch, number, panel, panel_beside};
use crate::colour::{Rgba, walk};
use crate::contour::{Grid, levels};
use crate::drawing::{Drawing, Image, Item, Paint, Stroke};
use crate::frame::Page;
use crate::layout::Area;
use crate::look::{INK, LABEL, PAPER};
use crate::path::Path;
use crate::sweep_chart::PartCurve;
use crate::sweep_regions::{Named, Regions};
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight, width};
use std::sync::OnceLock;

/// The maps of a sweep over two keys. Lists have an entry for each point, the second key running fastest; absent ones
/// failed.
#[derive(Clone, Debug, PartialEq)]
pub struct SweepMap {
    /// Words above and below.
    pub words: ChartWords,
    /// Headings of the maps, with units: forecast, share.
    pub headings: [String; 2],
    /// What dashed lines mean; told where there are any.
    pub dashed: String,
    /// What the two keys are, with unit.
    pub keys: [String; 2],
    /// Their values: across, then up.
    pub axes: [ChartAxis; 2],
    /// Highest load of the pull, kN.
    pub forecast_kn: Vec<Option<f64>>,
    /// Gate's share of the pull, percent.
    pub gate_percent: Vec<Option<f64>>,
    /// The part that fails first, by its place among the parts.
    pub fails_first: Vec<Option<usize>>,
    /// Limits of the parts that fail first somewhere.
    pub parts: Vec<PartCurve>,
}

/// Colours of low, middling and high values: sand to sea green, light enough for ink all along. Not those of stress, since
/// neither a load nor a share is one.
const RAMP: [u32; 4] = [0xf4_e9cf, 0xc9_dcc0, 0x8c_c4b4, 0x52_a59d];
/// Fewer values than this along a key are shown as cells.
const FEW: usize = 4;

fn colour(t: f64) -> Rgba {
    static TABLE: OnceLock<Vec<Rgba>> = OnceLock::new();
    let table = TABLE.get_or_init(|| walk(&RAMP, 257));
    table[(t.clamp(0.0, 1.0) * (table.len() - 1) as f64).round() as usize]
}

/// Values that one map shows, over sorted places.
struct Field<'a> {
    heading: &'a str,
    values: &'a [Option<f64>],
    digits: usize,
    regions: bool,
}

impl SweepMap {
    /// Lays out the maps on a page of so many pixels.
    ///
    /// # Errors
    /// The chart library fails.
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Result<Drawing, ChartError> {
        let page = Page::new(width_px, height_px);
        let size = page.size();
        let (mut items, room) = self.words.framed(&page);
        let gap = 50.0;
        let wide = 0.58 * (room.w - gap);
        let forecast = if self.is_smooth() {
            format!("{}; {}", self.headings[0], self.dashed)
        } else {
            self.headings[0].clone()
        };
        let fields = [
            (
                Area { w: wide, ..room },
                Field { heading: &forecast, values: &self.forecast_kn, digits: 1, regions: true },
            ),
            (
                Area { x: room.x + wide + gap, w: room.w - gap - wide, ..room },
                Field { heading: &self.headings[1], values: &self.gate_percent, digits: 0, regions: false },
            ),
        ];
        for (area, field) in &fields {
            self.map(size, *area, field, &mut items)?;
        }
        Ok(self.words.drawing(&page, format!("{} {}", self.words.sentence, self.words.caution), items))
    }

    /// Whether the values between two points mean something.
    fn is_smooth(&self) -> bool {
        self.axes.iter().all(|a| matches!(a, ChartAxis::Numbers(v) if v.len() >= FEW))
    }

    fn map(
        &self,
        size: [f64; 2],
        area: Area,
        field: &Field<'_>,
        items: &mut Vec<Item>,
    ) -> Result<(), ChartError> {
        let heading = [area.x, area.y + LABEL];
        let fits = area.w / width(field.heading, LABEL, Weight::Bold);
        items.push(Item::Text(Text::new(heading, LABEL * fits.min(1.0), Weight::Bold, INK, field.heading)));
        // The key that runs up is named above its axis, the other below.
        let upright = format!("\u{2191} {}", self.keys[1]);
        let at = [area.x, area.y + LABEL + 1.5 * TYPE];
        items.push(Item::Text(fitting(&upright, at, area.w, Weight::Regular)));
        let top = area.y + LABEL + 1.9 * TYPE;
        let legend = 100.0;
        let body = Area { y: top, h: area.bottom() - top - legend - 1.5 * TYPE, ..area };
        let (low, high) =
            field.values.iter().flatten().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(*v), b.max(*v)));
        let range = if high > low { [low, high] } else { [low - 0.5, low + 0.5] };
        let panel = if self.is_smooth() {
            self.smooth(size, body, field, range, items)?
        } else {
            self.cells(size, body, field, range, items)?
        };
        let key = format!("{} \u{2192}", self.keys[0]);
        let at = [panel.plot.x, panel.plot.bottom() + BELOW + TYPE];
        items.push(Item::Text(fitting(&key, at, panel.plot.w, Weight::Regular)));
        let bar = Area { x: panel.plot.x, y: at[1] + 22.0, w: panel.plot.w, h: 26.0 };
        legend_bar(bar, range, field.digits, items);
        Ok(())
    }

    fn smooth(
        &self,
        size: [f64; 2],
        area: Area,
        field: &Field<'_>,
        range: [f64; 2],
        items: &mut Vec<Item>,
    ) -> Result<Panel, ChartError> {
        let y = self.axes[1].range();
        let panel = panel(size, area, &self.axes[0], y, &[], items)?;
        hatch(panel.plot, items);
        let grid = self.grid(field.values);
        items.push(Item::Image(picture(&grid, &panel, range)));
        let frame = Path::rectangle([panel.plot.x, panel.plot.y], [panel.plot.w, panel.plot.h]);
        items.push(Item::stroked(frame, Stroke::new(INK, 1.5)));
        let mut taken: Vec<Area> = Vec::new();
        let (mut borders, mut names) = (Vec::new(), Vec::new());
        if field.regions {
            let regions = self.part_regions();
            for line in regions.borders() {
                let points: Vec<[f64; 2]> = line.iter().map(|p| panel.place(p[0], p[1])).collect();
                borders.push(Item::stroked(Path::line(&points), Stroke::new(PAPER, 8.0)));
                borders.push(Item::stroked(Path::line(&points), Stroke::new(INK, 4.0).dashed(16.0, 10.0)));
            }
            names = self.names(&regions, &panel, &mut taken);
        }
        let mut plates = Vec::new();
        for level in levels(range[0], range[1], 7.0) {
            let mut lines = grid.contour(level);
            let length = |l: &Vec<[f64; 2]>| {
                let ends =
                    |w: &[[f64; 2]]| apart(panel.place(w[0][0], w[0][1]), panel.place(w[1][0], w[1][1]));
                l.windows(2).map(ends).sum::<f64>()
            };
            lines.sort_by(|a, b| length(b).total_cmp(&length(a)));
            // A line without its number says little: one that has no room for it is left to the colours.
            for line in &lines {
                let points: Vec<[f64; 2]> = line.iter().map(|p| panel.place(p[0], p[1])).collect();
                let plate = label_on(&points, &number(level), panel.plot, &mut taken);
                if !plate.is_empty() {
                    items.push(Item::stroked(Path::line(&points), Stroke::new(INK, 2.0)));
                    plates.extend(plate);
                }
            }
        }
        items.extend(borders);
        items.extend(plates);
        items.extend(names);
        Ok(panel)
    }

    /// Values over rising axes.
    fn grid(&self, values: &[Option<f64>]) -> Grid {
        let orders = self.axes.each_ref().map(|axis| {
            let mut order: Vec<usize> = (0..axis.len()).collect();
            order.sort_by(|a, b| axis.at(*a).total_cmp(&axis.at(*b)));
            order
        });
        let [xs, ys] = [0, 1].map(|k| orders[k].iter().map(|i| self.axes[k].at(*i)).collect::<Vec<f64>>());
        let count = self.axes[1].len();
        let values = orders[0]
            .iter()
            .flat_map(|i| orders[1].iter().map(move |j| i * count + j))
            .map(|p| values[p])
            .collect();
        Grid { xs, ys, values }
    }

    /// The limits of the parts over the map. What is never reached stands far above all forecasts.
    fn part_regions(&self) -> Regions {
        let far = 3.0 * self.forecast_kn.iter().flatten().fold(0.0_f64, |a, b| a.max(*b));
        let limits = self.parts.iter().map(|part| {
            let known = self.forecast_kn.iter().zip(&part.at_kn);
            let values: Vec<Option<f64>> =
                known.map(|(forecast, at)| forecast.map(|_| at.map_or(far, |v| v.min(far)))).collect();
            self.grid(&values)
        });
        Regions { limits: limits.collect() }
    }

    /// The name of each region, on it or with a line to it.
    fn names(&self, regions: &Regions, panel: &Panel, taken: &mut Vec<Area>) -> Vec<Item> {
        let words: Vec<&str> = self.parts.iter().map(|part| part.on_ground.as_str()).collect();
        let widths: Vec<f64> = words.iter().map(|w| width(w, TYPE, Weight::Bold) + 16.0).collect();
        let named = regions.names(panel, &widths, taken);
        let mut items = Vec::new();
        for Named { area, leads_to, .. } in &named {
            let Some(to) = *leads_to else { continue };
            let from = [to[0].clamp(area.x, area.right()), to[1].clamp(area.y, area.bottom())];
            let line = Path::line(&[from, to]);
            items.push(Item::stroked(line.clone(), Stroke::new(PAPER, 7.0)));
            items.push(Item::stroked(line, Stroke::new(INK, 2.5)));
            items.push(Item::outlined(Path::circle(to, 6.0), INK, Stroke::new(PAPER, 2.5)));
        }
        for Named { part, area, .. } in named {
            let middle = [area.x + 0.5 * area.w, area.y + 0.5 * area.h];
            items.extend(plate(words[part], middle, area, Weight::Bold));
        }
        items
    }

    fn cells(
        &self,
        size: [f64; 2],
        area: Area,
        field: &Field<'_>,
        range: [f64; 2],
        items: &mut Vec<Item>,
    ) -> Result<Panel, ChartError> {
        let [x, y] = self.axes.each_ref().map(as_words);
        // Words that name rows are as large as numbers: the plot makes room for them, up to a third of the width.
        let words = match &y {
            ChartAxis::Words(words) => words.as_slice(),
            ChartAxis::Numbers(_) => &[],
        };
        let longest = words.iter().map(|word| width(word, TYPE, Weight::Regular)).fold(0.0, f64::max);
        let left = (longest + 16.0).clamp(LEFT, 0.34 * area.w);
        let panel = panel_beside(left, size, area, &x, y.range(), items)?;
        let count = y.len();
        let row = panel.plot.h / count as f64;
        for (j, word) in words.iter().enumerate() {
            let room = [left - 16.0, row.max(LINE_HEIGHT * TYPE)];
            let block = Block::fit(word, Weight::Regular, TYPE, 0.7 * TYPE, room);
            let top = panel.place(0.0, j as f64)[1] - 0.5 * block.height();
            items.extend(block.place(panel.plot.x - 12.0, top, Anchor::End, INK).into_iter().map(Item::Text));
        }
        hatch(panel.plot, items);
        let (w, h) = (panel.plot.w / x.len() as f64, panel.plot.h / count as f64);
        for (point, value) in field.values.iter().enumerate() {
            let Some(value) = *value else { continue };
            let [cx, cy] = panel.place((point / count) as f64, (point % count) as f64);
            let fill = colour((value - range[0]) / (range[1] - range[0]));
            let path = Path::rectangle([cx - 0.5 * w, cy - 0.5 * h], [w, h]);
            items.push(Item::outlined(path, fill, Stroke::new(PAPER, 2.0)));
            let words = format!("{value:.*}", field.digits);
            let type_size = LABEL.min(0.5 * h) * (0.9 * w / width(&words, LABEL, Weight::Bold)).min(1.0);
            if type_size < 12.0 {
                continue;
            }
            let part = self.fails_first[point]
                .and_then(|part| self.parts.get(part))
                .filter(|_| field.regions && h > 90.0);
            let up = if part.is_some() { 0.5 * type_size } else { 0.0 };
            let at = [cx, cy + 0.5 * CAP_HEIGHT * type_size - up];
            items.push(Item::Text(
                Text::new(at, type_size, Weight::Bold, INK, words).anchored(Anchor::Middle),
            ));
            if let Some(part) = part {
                let room = [0.92 * w, 0.5 * h - 0.7 * type_size];
                let block = Block::fit(&part.name, Weight::Regular, 0.9 * TYPE, 0.65 * TYPE, room);
                items.extend(
                    block.place(cx, cy + 0.4 * type_size, Anchor::Middle, INK).into_iter().map(Item::Text),
                );
            }
        }
        Ok(panel)
    }
}

/// An axis of words: numbers as they are written.
fn as_words(axis: &ChartAxis) -> ChartAxis {
    ChartAxis::Words(match axis {
        ChartAxis::Numbers(values) => values.iter().map(|v| number((v * 1e3).round() / 1e3)).collect(),
        ChartAxis::Words(words) => words.clone(),
    })
}

fn fitting(words: &str, at: [f64; 2], room: f64, weight: Weight) -> Text {
    let fits = room / width(words, TYPE, weight);
    Text::new(at, TYPE * fits.min(1.0), weight, INK, words)
}

/// The colours of a grid as pixels; clear where nothing is known.
fn picture(grid: &Grid, panel: &Panel, range: [f64; 2]) -> Image {
    let pixels = [panel.plot.w, panel.plot.h].map(|s| s.round().max(1.0) as u32);
    let mut rgba = Vec::with_capacity(4 * (pixels[0] * pixels[1]) as usize);
    for row in 0..pixels[1] {
        let t = 1.0 - (f64::from(row) + 0.5) / f64::from(pixels[1]);
        let y = panel.y[0] + t * (panel.y[1] - panel.y[0]);
        for column in 0..pixels[0] {
            let s = (f64::from(column) + 0.5) / f64::from(pixels[0]);
            let x = panel.x[0] + s * (panel.x[1] - panel.x[0]);
            match grid.between(x, y) {
                Some(value) => {
                    let c = colour((value - range[0]) / (range[1] - range[0]));
                    rgba.extend([c.r, c.g, c.b, 255]);
                }
                None => rgba.extend([0; 4]),
            }
        }
    }
    Image { at: [panel.plot.x, panel.plot.y], size: [panel.plot.w, panel.plot.h], pixels, rgba }
}

/// Room for words about a point, if it is inside the plot and free.
fn plate_box(
    words: &str,
    [x, y]: [f64; 2],
    weight: Weight,
    plot: Area,
    taken: &[Area],
) -> Option<([f64; 2], Area)> {
    let (w, h) = (width(words, TYPE, weight) + 16.0, 1.25 * TYPE);
    if w > plot.w - 8.0 {
        return None;
    }
    let x = x.clamp(plot.x + 0.5 * w + 4.0, plot.right() - 0.5 * w - 4.0);
    let y = y.clamp(plot.y + 0.5 * h + 4.0, plot.bottom() - 0.5 * h - 4.0);
    let area = Area { x: x - 0.5 * w, y: y - 0.5 * h, w, h };
    (!taken.iter().any(|t| t.overlaps(&area))).then_some(([x, y], area))
}

fn plate(words: &str, [x, y]: [f64; 2], area: Area, weight: Weight) -> [Item; 2] {
    let at = [x, y + 0.5 * CAP_HEIGHT * TYPE];
    [
        Item::filled(Path::rounded([area.x, area.y], [area.w, area.h], 8.0), PAPER.faded(0.9)),
        Item::Text(Text::new(at, TYPE, weight, INK, words).anchored(Anchor::Middle)),
    ]
}

/// The number of a contour on it, where there is room.
fn label_on(points: &[[f64; 2]], words: &str, plot: Area, taken: &mut Vec<Area>) -> Vec<Item> {
    let length: f64 = points.windows(2).map(|w| apart(w[0], w[1])).sum();
    // From the middle outward.
    let parts = (0..=9).flat_map(|i| [0.5 - 0.05 * f64::from(i), 0.5 + 0.05 * f64::from(i)]);
    for part in parts {
        let Some(at) = along(points, part * length) else { continue };
        if let Some((at, area)) = plate_box(words, at, Weight::Regular, plot, taken) {
            taken.push(area);
            return plate(words, at, area, Weight::Regular).into();
        }
    }
    Vec::new()
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The point of a line at a distance from its start.
fn along(points: &[[f64; 2]], mut distance: f64) -> Option<[f64; 2]> {
    for ends in points.windows(2) {
        let length = apart(ends[0], ends[1]);
        if distance <= length {
            let t = if length > 0.0 { distance / length } else { 0.0 };
            return Some([0, 1].map(|k| (1.0 - t) * ends[0][k] + t * ends[1][k]));
        }
        distance -= length;
    }
    points.last().copied()
}

/// The scale under a map.
fn legend_bar(bar: Area, range: [f64; 2], digits: usize, items: &mut Vec<Item>) {
    let stops = (0..=16).map(|i| f64::from(i) / 16.0).map(|t| (t, colour(t))).collect();
    items.push(Item::outlined(
        Path::rectangle([bar.x, bar.y], [bar.w, bar.h]),
        Paint::Linear { from: [bar.x, 0.0], to: [bar.right(), 0.0], stops },
        Stroke::new(INK, 1.5),
    ));
    let mut free = bar.x - 40.0;
    for level in levels(range[0], range[1], 6.0) {
        let x = bar.x + (level - range[0]) / (range[1] - range[0]) * bar.w;
        let words = if digits == 0 && level.fract() == 0.0 { format!("{level:.0}") } else { number(level) };
        let w = width(&words, TYPE, Weight::Regular);
        if x - 0.5 * w < free || x + 0.5 * w > bar.right() + 20.0 {
            continue;
        }
        free = x + 0.5 * w + 14.0;
        items.push(Item::stroked(Path::line(&[[x, bar.y], [x, bar.bottom() + 8.0]]), Stroke::new(INK, 1.5)));
        let at = [x, bar.bottom() + 12.0 + CAP_HEIGHT * TYPE];
        items.push(Item::Text(Text::new(at, TYPE, Weight::Regular, INK, words).anchored(Anchor::Middle)));
    }
}
