//! What the charts of a sweep share: page, words above and below, panels with axes, labels that keep clear of each other.

use crate::chart_pen::{FINE, Pen, steps};
use crate::colour::Rgba;
use crate::convergence_chart::ChartError;
use crate::drawing::{Drawing, Item, Path, Stroke};
use crate::frame::Stack;
use crate::layout::Area;
use crate::look::{HEADLINE, INK, LABEL, MARGIN, PAPER, QUIET, SMALL};
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight, width};
use plotters::prelude::*;

/// Numbers at axes and names at lines.
pub(crate) const TYPE: f64 = 27.0;

/// The words of a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ChartWords {
    /// Name of the connector.
    pub title: String,
    /// What was varied.
    pub subtitle: String,
    /// What came of it.
    pub sentence: String,
    /// The line of caution.
    pub caution: String,
    /// Program, model, hash of the inputs.
    pub source_line: String,
}

impl ChartWords {
    /// The page as a drawing, `unit` pixels to a picture unit.
    pub(crate) fn drawing(
        &self,
        [width, height]: [f64; 2],
        unit: f64,
        description: String,
        items: Vec<Item>,
    ) -> Drawing {
        Drawing {
            width,
            height,
            pixels_per_unit: unit,
            title: format!("{}: {}", self.title, self.subtitle),
            description,
            background: Some(PAPER),
            items,
        }
    }
}

/// Words above and below; the room left between them.
pub(crate) fn page(words: &ChartWords, [w, h]: [f64; 2], items: &mut Vec<Item>) -> Area {
    let inner = w - 2.0 * MARGIN;
    let mut stack = Stack::new([MARGIN, MARGIN - 14.0]);
    let fit =
        |words: &str, weight, size: f64, room| Block::fit(words, weight, size, 0.6 * size, [inner, room]);
    stack.add(&fit(&words.title, Weight::Bold, HEADLINE, 60.0), INK);
    // What was taken makes it long.
    let lines = 2.0 * LINE_HEIGHT * TYPE + 1.0;
    stack.add(&fit(&words.subtitle, Weight::Regular, TYPE, lines), QUIET);
    stack.add(&fit(&words.sentence, Weight::Regular, LABEL, 112.0), INK);
    let top = stack.end() + 14.0;
    items.extend(stack.into_items());
    // An upright page takes it in more lines rather than in smaller letters.
    let lines = if w < h { 4.9 } else { 2.4 };
    let caution = Block::fit(&words.caution, Weight::Regular, SMALL, 16.0, [inner, lines * SMALL]);
    let bottom = h - 26.0 - 1.2 * SMALL - caution.height();
    items.extend(caution.place(MARGIN, bottom, Anchor::Start, QUIET).into_iter().map(Item::Text));
    let source = [MARGIN, h - 30.0];
    items.push(Item::Text(Text::new(source, SMALL, Weight::Regular, QUIET, words.source_line.as_str())));
    Area { x: MARGIN, y: top, w: inner, h: bottom - 22.0 - top }
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

pub(crate) fn rgb(c: Rgba) -> RGBColor {
    RGBColor(c.r, c.g, c.b)
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
    panel_beside(None, page, area, axis, y, lines, items)
}

/// As [`panel`]; with room of a width for words left of the plot, there are no numbers there.
pub(crate) fn panel_beside(
    words_left: Option<f64>,
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
        .margin_right(steps(10.0))
        .margin_top(steps(10.0))
        .x_label_area_size(steps(BELOW))
        .y_label_area_size(steps(words_left.unwrap_or(LEFT)))
        .build_cartesian_2d(x[0]..x[1], y[0]..y[1])
        .map_err(|e| ChartError::new(&e))?;
    let words = matches!(axis, ChartAxis::Words(_));
    let type_style = ("sans-serif", f64::from(FINE) * TYPE).into_font().color(&rgb(INK));
    let line = rgb(Rgba::hex(0xd6_cab4));
    chart
        .configure_mesh()
        .disable_x_mesh()
        .light_line_style(TRANSPARENT)
        .bold_line_style(line.stroke_width(12))
        .axis_style(rgb(INK).stroke_width(14))
        .label_style(type_style)
        .x_labels(if words { 0 } else { 8 })
        .y_labels(match words_left {
            Some(_) => 0,
            None if area.h > 330.0 => 7,
            None => 4,
        })
        .x_label_formatter(&|v| number(*v))
        .y_label_formatter(&|v| number(*v))
        .set_all_tick_mark_size(steps(7.0))
        .draw()
        .map_err(|e| ChartError::new(&e))?;
    for l in lines {
        let style = rgb(l.colour).stroke_width(steps(l.width).unsigned_abs());
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

/// How a series is told apart besides its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Marker {
    Disc,
    Square,
    Triangle,
    Diamond,
    Ring,
    Bar,
    Cross,
}

pub(crate) const MARKERS: [Marker; 7] = [
    Marker::Square,
    Marker::Triangle,
    Marker::Diamond,
    Marker::Disc,
    Marker::Ring,
    Marker::Cross,
    Marker::Bar,
];

impl Marker {
    /// The marker at a point of the page.
    pub fn item(self, [x, y]: [f64; 2], size: f64, colour: Rgba) -> Item {
        let r = 0.5 * size;
        let polygon = |points: &[[f64; 2]]| Item::filled(Path::polygons([points]), colour);
        match self {
            Self::Disc => Item::filled(Path::circle([x, y], r), colour),
            Self::Square => {
                Item::filled(Path::rectangle([x - 0.85 * r, y - 0.85 * r], [1.7 * r, 1.7 * r]), colour)
            }
            Self::Triangle => polygon(&[[x, y - 1.1 * r], [x + r, y + 0.8 * r], [x - r, y + 0.8 * r]]),
            Self::Diamond => polygon(&[[x, y - 1.2 * r], [x + r, y], [x, y + 1.2 * r], [x - r, y]]),
            Self::Ring => Item::stroked(Path::circle([x, y], 0.8 * r), Stroke::new(colour, 0.4 * r)),
            Self::Bar => Item::stroked(Path::line(&[[x - r, y], [x + r, y]]), Stroke::new(colour, 0.7 * r)),
            Self::Cross => {
                let mut path = Path::line(&[[x - r, y - r], [x + r, y + r]]);
                path.add_line(&[[x - r, y + r], [x + r, y - r]]);
                Item::stroked(path, Stroke::new(colour, 0.5 * r))
            }
        }
    }
}

/// Words that name a line at its end.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Label {
    /// Height on the page where the line ends.
    pub y: f64,
    pub words: String,
    pub colour: Rgba,
    pub weight: Weight,
    pub marker: Option<Marker>,
    /// Whether a thin line leads from the curve to the words.
    pub leader: bool,
}

/// Labels in a column beside a plot, each as near its line as the others let it.
pub(crate) fn labels(mut all: Vec<Label>, plot: Area, room: f64, items: &mut Vec<Item>) {
    const APART: f64 = 1.22 * TYPE;
    all.sort_by(|a, b| a.y.total_cmp(&b.y));
    let mut ys: Vec<f64> = all.iter().map(|l| l.y).collect();
    // Down, then up again from the bottom: whatever fits keeps clear.
    for i in 0..ys.len() {
        let least = if i == 0 { plot.y } else { ys[i - 1] + APART };
        ys[i] = ys[i].max(least);
    }
    let mut most = plot.bottom();
    for y in ys.iter_mut().rev() {
        *y = y.min(most);
        most = *y - APART;
    }
    for (label, y) in all.iter().zip(ys) {
        let x = plot.right() + 44.0;
        if label.leader {
            let leader = Path::line(&[[plot.right() + 4.0, label.y], [x - 16.0, y]]);
            items.push(Item::stroked(leader, Stroke::new(label.colour, 1.5)));
        }
        if let Some(marker) = label.marker {
            items.push(marker.item([x - 6.0, y], 15.0, label.colour));
        }
        let start = if label.marker.is_some() { x + 10.0 } else { x - 10.0 };
        let fits = (plot.right() + room - start) / width(&label.words, TYPE, label.weight);
        let at = [start, y + 0.5 * CAP_HEIGHT * TYPE];
        items.push(Item::Text(Text::new(
            at,
            TYPE * fits.min(1.0),
            label.weight,
            label.colour,
            label.words.as_str(),
        )));
    }
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

    #[test]
    fn labels_keep_apart_and_inside() {
        let plot = Area { x: 0.0, y: 0.0, w: 100.0, h: 200.0 };
        let label = |y| Label {
            y,
            words: "x".to_owned(),
            colour: INK,
            weight: Weight::Regular,
            marker: None,
            leader: true,
        };
        let mut items = Vec::new();
        labels(vec![label(100.0), label(101.0), label(199.0), label(200.0)], plot, 300.0, &mut items);
        let ys: Vec<f64> =
            items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t.at[1]) } else { None }).collect();
        assert_eq!(ys.len(), 4);
        assert!(ys.windows(2).all(|w| w[1] - w[0] > TYPE), "{ys:?}");
        assert!(ys[3] <= 200.0 + TYPE, "{ys:?}");
    }
}
