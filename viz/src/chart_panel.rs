//! Panels of charts: axes with their numbers, and curves between them. plotters draws both into our own list of shapes.

use crate::chart_page::TYPE;
use crate::chart_pen::{FINE, Pen, steps};
use crate::colour::Rgba;
use crate::drawing::{Item, Stroke};
use crate::layout::Area;
use crate::look::{INK, QUIET};
use crate::path::Path;
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight, width};
use plotters::coord::ranged1d::{BoldPoints, DefaultFormatting, KeyPointHint, Ranged};
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use std::ops::Range;
use thiserror::Error;

/// Why a chart could not be drawn. Displayed as it is held: who draws has the words.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("{self:?}")]
pub enum ChartError {
    /// Fewer than two values, or values that do not rise.
    Values,
    /// The chart library failed, with its words.
    Library(String),
}

impl ChartError {
    pub(crate) fn new(words: &dyn std::fmt::Display) -> Self {
        Self::Library(words.to_string())
    }
}

/// What an axis counts.
#[derive(Clone, Debug, PartialEq)]
pub enum ChartAxis {
    /// Numbers, not necessarily rising.
    Numbers(Vec<f64>),
    /// Words, one place each.
    Words(Vec<String>),
}

impl ChartAxis {
    /// Number of places.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::Numbers(values) => values.len(),
            Self::Words(words) => words.len(),
        }
    }

    /// True without places.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Where a place lies on the axis.
    pub(crate) fn at(&self, place: usize) -> f64 {
        match self {
            Self::Numbers(values) => values[place],
            Self::Words(_) => place as f64,
        }
    }

    /// From end to end.
    pub(crate) fn range(&self) -> [f64; 2] {
        match self {
            Self::Numbers(values) => {
                let (low, high) =
                    values.iter().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(*v), b.max(*v)));
                if high > low { [low, high] } else { [low - 0.5, low + 0.5] }
            }
            Self::Words(words) => [-0.5, words.len() as f64 - 0.5],
        }
    }
}

/// A panel as drawn: where its axes lie on the page and what they count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Panel {
    /// The plot itself, without labels.
    pub plot: Area,
    pub x: [f64; 2],
    pub y: [f64; 2],
}

impl Panel {
    /// Where a point lies on the page.
    pub fn place(&self, x: f64, y: f64) -> [f64; 2] {
        let part = |v: f64, [a, b]: [f64; 2]| (v - a) / (b - a);
        [self.plot.x + part(x, self.x) * self.plot.w, self.plot.bottom() - part(y, self.y) * self.plot.h]
    }
}

/// Room for the numbers below and left of a plot.
pub(crate) const BELOW: f64 = 44.0;
/// Room for the numbers left of a plot.
pub(crate) const LEFT: f64 = 74.0;

/// A number on an axis: no more digits than it has.
pub(crate) fn number(value: f64) -> String {
    let rounded = (value * 1e6).round() / 1e6;
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    rounded.to_string().replace('-', "\u{2212}")
}

/// Where the numbers of an axis stand.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Ticks {
    /// At about so many round values.
    About(usize),
    /// At these values.
    At(Vec<f64>),
}

/// How the axes of a panel are drawn, numbered and named. Lengths in units of the page.
#[derive(Clone, Debug)]
pub(crate) struct Axes<'a> {
    /// Size of numbers and names.
    pub size: f64,
    /// Colours of numbers, of the axes, of the lines behind the curves, and of the names of the axes.
    pub colours: [Rgba; 4],
    /// Thickness of the axes, and of the lines behind the curves.
    pub strokes: [f64; 2],
    /// Room left of the plot, and below it.
    pub room: [f64; 2],
    /// Space kept above the plot, and right of it.
    pub margins: [f64; 2],
    /// Length of the ticks.
    pub tick: f64,
    /// Numbers across, and upright.
    pub ticks: [Ticks; 2],
    /// Whether lines stand behind the curves at the numbers across too.
    pub upright_lines: bool,
    /// A number as written.
    pub number: fn(f64) -> String,
    /// What the axes count: across, and upright; empty where a heading says it.
    pub names: [&'a str; 2],
}

impl Axes<'_> {
    /// Of the panels of a whole page of this height; with room of a width for words left of the plot, there are no numbers there.
    fn of_page(axis: &ChartAxis, height: f64, words_left: Option<f64>) -> Self {
        let across =
            if matches!(axis, ChartAxis::Words(_)) { Ticks::At(Vec::new()) } else { Ticks::About(8) };
        let up = match words_left {
            Some(_) => Ticks::At(Vec::new()),
            None if height > 330.0 => Ticks::About(7),
            None => Ticks::About(4),
        };
        Self {
            size: TYPE,
            colours: [INK, INK, Rgba::hex(0xd6_cab4), INK],
            strokes: [1.75, 1.5],
            room: [words_left.unwrap_or(LEFT), BELOW],
            margins: [10.0, 10.0],
            tick: 7.0,
            ticks: [across, up],
            upright_lines: false,
            number,
            names: ["", ""],
        }
    }
}

/// An axis as plotters asks for it: its range, and where its numbers stand.
struct Numbered {
    range: RangedCoordf64,
    ticks: Vec<f64>,
}

impl Numbered {
    fn new([from, to]: [f64; 2], ticks: &Ticks) -> Self {
        let range = RangedCoordf64::from(from..to);
        let ticks = match ticks {
            Ticks::About(count) => range.key_points(BoldPoints(*count)),
            Ticks::At(values) => values.clone(),
        };
        Self { range, ticks }
    }
}

impl Ranged for Numbered {
    type FormatOption = DefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limit: (i32, i32)) -> i32 {
        self.range.map(value, limit)
    }

    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        if hint.weight().allow_light_points() { Vec::new() } else { self.ticks.clone() }
    }

    fn range(&self) -> Range<f64> {
        self.range.range()
    }
}

fn rgb(c: Rgba) -> RGBAColor {
    RGBAColor(c.r, c.g, c.b, f64::from(c.a) / 255.0)
}

fn stroke(colour: Rgba, thick: f64) -> ShapeStyle {
    rgb(colour).stroke_width(steps(thick).unsigned_abs())
}

/// Axes in `area`, which holds the numbers as well; a heading stands above it. `y` is the range of the upright axis; the
/// lines are drawn by plotters.
pub(crate) fn panel(
    page: [f64; 2],
    area: Area,
    axis: &ChartAxis,
    y: [f64; 2],
    lines: &[Line],
    items: &mut Vec<Item>,
) -> Result<Panel, ChartError> {
    panel_of(&Axes::of_page(axis, area.h, None), page, area, axis, y, lines, items)
}

/// As [`panel`]; with room of a width for words left of the plot, there are no numbers there.
pub(crate) fn panel_beside(
    words_left: f64,
    page: [f64; 2],
    area: Area,
    axis: &ChartAxis,
    y: [f64; 2],
    items: &mut Vec<Item>,
) -> Result<Panel, ChartError> {
    panel_of(&Axes::of_page(axis, area.h, Some(words_left)), page, area, axis, y, &[], items)
}

/// As [`panel`], with axes of another look.
pub(crate) fn panel_of(
    axes: &Axes<'_>,
    page: [f64; 2],
    area: Area,
    axis: &ChartAxis,
    y: [f64; 2],
    lines: &[Line],
    items: &mut Vec<Item>,
) -> Result<Panel, ChartError> {
    let x = axis.range();
    let root = Pen::new(page, items).into_drawing_area();
    let sub = root.clone().shrink((steps(area.x), steps(area.y)), (steps(area.w), steps(area.h)));
    let mut chart = ChartBuilder::on(&sub)
        .margin_top(steps(axes.margins[0]))
        .margin_right(steps(axes.margins[1]))
        .x_label_area_size(steps(axes.room[1]))
        .y_label_area_size(steps(axes.room[0]))
        .build_cartesian_2d(Numbered::new(x, &axes.ticks[0]), Numbered::new(y, &axes.ticks[1]))
        .map_err(|e| ChartError::new(&e))?;
    let [ink, axis_ink, grid, name_ink] = axes.colours;
    let letters = |colour| ("sans-serif", f64::from(FINE) * axes.size).into_font().color(&rgb(colour));
    let mut mesh = chart.configure_mesh();
    if !axes.upright_lines {
        mesh.disable_x_mesh();
    }
    mesh.bold_line_style(stroke(grid, axes.strokes[1]))
        .axis_style(stroke(axis_ink, axes.strokes[0]))
        .label_style(letters(ink))
        .axis_desc_style(letters(name_ink))
        .x_desc(axes.names[0])
        .y_desc(axes.names[1])
        .x_label_formatter(&|v| (axes.number)(*v))
        .y_label_formatter(&|v| (axes.number)(*v))
        .set_all_tick_mark_size(steps(axes.tick))
        .draw()
        .map_err(|e| ChartError::new(&e))?;
    for l in lines {
        let style = stroke(l.colour, l.width);
        for piece in &l.pieces {
            match l.dash {
                None => chart.draw_series(LineSeries::new(piece.iter().copied(), style)).map(|_| ()),
                Some([on, off]) => chart
                    .draw_series(DashedLineSeries::new(piece.iter().copied(), steps(on), steps(off), style))
                    .map(|_| ()),
            }
            .map_err(|e| ChartError::new(&e))?;
        }
    }
    let (across, down) = chart.plotting_area().get_pixel_range();
    let units = |v: i32| f64::from(v) / f64::from(FINE);
    let plot = Area {
        x: units(across.start),
        y: units(down.start),
        w: units(across.end - across.start),
        h: units(down.end - down.start),
    };
    drop(chart);
    root.present().map_err(|e| ChartError::new(&e))?;
    drop(sub);
    drop(root);
    let panel = Panel { plot, x, y };
    if let ChartAxis::Words(all) = axis {
        let room = plot.w / all.len() as f64 - 12.0;
        for (place, word) in all.iter().enumerate() {
            let size = TYPE * (room / width(word, TYPE, Weight::Regular)).min(1.0);
            let [at, _] = panel.place(place as f64, y[0]);
            let at = [at, plot.bottom() + 14.0 + CAP_HEIGHT * TYPE];
            items.push(Item::Text(
                Text::new(at, size, Weight::Regular, INK, word.as_str()).anchored(Anchor::Middle),
            ));
        }
    }
    Ok(panel)
}

/// Slanted lines: nothing is known here.
pub(crate) fn hatch(plot: Area, items: &mut Vec<Item>) {
    let mut path = Path::default();
    let mut x = plot.x - plot.h;
    while x < plot.right() {
        path.add_line(&[[x, plot.bottom()], [x + plot.h, plot.y]]);
        x += 18.0;
    }
    items.push(Item::Clipped {
        clip: Path::rectangle([plot.x, plot.y], [plot.w, plot.h]),
        items: vec![Item::stroked(path, Stroke::new(QUIET.faded(0.6), 1.5))],
    });
}

/// A curve: pieces between which nothing is known.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    pub pieces: Vec<Vec<(f64, f64)>>,
    pub colour: Rgba,
    pub width: f64,
    pub dash: Option<[f64; 2]>,
}

/// Curve through the values that are there, cut off above `top`.
pub(crate) fn pieces(axis: &ChartAxis, values: &[Option<f64>], top: f64) -> Vec<Vec<(f64, f64)>> {
    if matches!(axis, ChartAxis::Words(_)) {
        return Vec::new();
    }
    let mut all: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut last: Option<(f64, f64)> = None;
    for (place, value) in values.iter().enumerate() {
        let Some(y) = *value else {
            last = None;
            continue;
        };
        let here = (axis.at(place), y);
        match last {
            None if y <= top => all.push(vec![here]),
            Some(before) => {
                let crossing = |a: (f64, f64), b: (f64, f64)| {
                    let t = (top - a.1) / (b.1 - a.1);
                    (a.0 + t * (b.0 - a.0), top)
                };
                match (before.1 <= top, y <= top) {
                    (true, true) => {}
                    (true, false) => {
                        if let Some(piece) = all.last_mut() {
                            piece.push(crossing(before, here));
                        }
                    }
                    (false, true) => all.push(vec![crossing(before, here)]),
                    (false, false) => {}
                }
                if y <= top
                    && let Some(piece) = all.last_mut()
                {
                    piece.push(here);
                }
            }
            None => {}
        }
        last = Some(here);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_is_cut_where_it_leaves_and_where_nothing_is_known() {
        let axis = ChartAxis::Numbers(vec![0.0, 1.0, 2.0, 3.0, 4.0, 5.0]);
        let values = [Some(30.0), Some(10.0), None, Some(5.0), Some(15.0), Some(25.0)];
        let all = pieces(&axis, &values, 20.0);
        assert_eq!(all, [vec![(0.5, 20.0), (1.0, 10.0)], vec![(3.0, 5.0), (4.0, 15.0), (4.5, 20.0)]]);
        assert!(pieces(&ChartAxis::Words(vec!["a".to_owned()]), &[Some(1.0)], 20.0).is_empty());
    }
}
