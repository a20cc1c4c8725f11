//! How the gate's share, or the forecast, changes with one parameter: a chart that tells where its plot lies, so that a
//! click on it can be read as a value.
//!
//! Values that are refused leave gaps in the lines, on a ground of their own that says so. In a forecast, thin lines part the ranges in which different parts
//! fail first, and each range that is wide enough says which.

use crate::chart_marks::Marker;
use crate::chart_panel::{Axes, ChartAxis, ChartError, Line, Panel, Ticks, number, panel_of, pieces};
use crate::colour::Rgba;
use crate::drawing::{Drawing, Item};
use crate::layout::Area;
use crate::look::{ACCENT, INK, QUIET, round_up};
use crate::path::Path;
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight, width};

/// One value of the parameter and what came of it; absent what could not be computed or was not asked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reading {
    /// The value.
    pub value: f64,
    /// The gate's part of the pull, 0 to 1.
    pub share: Option<f64>,
    /// Load at which something fails first, kN.
    pub fails_at_kn: Option<f64>,
    /// Highest load of the pull, kN.
    pub peak_kn: Option<f64>,
    /// What fails first.
    pub fails_first: Option<String>,
    /// Whether the connector cannot have this value.
    pub refused: bool,
}

/// What is written in a chart over a parameter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ParameterWords {
    /// Names of the lines: highest load, first part that fails.
    pub lines: [String; 2],
    /// What the upright axis counts: with both lines, and with one.
    pub upright: [String; 2],
    /// The word at the value that the connector has.
    pub now: String,
    /// The words where values are refused.
    pub refused: String,
    /// Short name, for screen readers.
    pub name: String,
    /// What the chart says, for those who cannot see it.
    pub description: String,
}

/// What a chart shows.
#[derive(Clone, Debug, PartialEq)]
pub struct ParameterChart {
    /// Name of the parameter.
    pub label: String,
    /// Its unit; empty without one.
    pub unit: String,
    /// What is written in it.
    pub words: ParameterWords,
    /// The share; otherwise the forecast.
    pub share: bool,
    /// Values, rising.
    pub readings: Vec<Reading>,
    /// The value that the connector has now.
    pub now: Option<f64>,
    /// For a dark page.
    pub dark: bool,
    /// Size, pixels.
    pub size: [u32; 2],
}

/// Where the plot lies in the picture, pixels, and what its edges mean.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlotArea {
    /// Left edge: the first value.
    pub left: f64,
    /// Right edge: the last value.
    pub right: f64,
    /// Top edge: `high`.
    pub top: f64,
    /// Bottom edge: `low`.
    pub bottom: f64,
    /// Lowest value of the upright axis.
    pub low: f64,
    /// Highest value of the upright axis.
    pub high: f64,
}

/// A drawn chart.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnChart {
    /// The picture, a pixel to a unit, without ground.
    pub drawing: Drawing,
    /// Where its plot lies.
    pub plot: PlotArea,
}

/// Type of numbers and names, pixels.
const TYPE: f64 = 13.0;
/// Space above the plot, for the parts that fail first, and right of it.
const MARGINS: [f64; 2] = [28.0, 20.0];

struct Colours {
    ink: Rgba,
    quiet: Rgba,
    first: Rgba,
    second: Rgba,
}

impl Colours {
    /// Each at least 4.5:1 on warm paper, and on a dark page; the two lines differ by marker as well.
    const fn new(dark: bool) -> Self {
        if dark {
            Self {
                ink: Rgba::hex(0xec_e4d6),
                quiet: Rgba::hex(0xa7_a094),
                first: Rgba::hex(0x5f_c9bc),
                second: Rgba::hex(0xf0_9664),
            }
        } else {
            Self { ink: INK, quiet: QUIET, first: ACCENT, second: Rgba::hex(0xa0_4216) }
        }
    }
}

/// A curve: its name, where there is another one, and how it is drawn.
struct Curve<'a> {
    name: &'a str,
    colour: Rgba,
    marker: Marker,
    /// Whether its name stands below its end.
    below: bool,
    /// One for each reading.
    values: Vec<Option<f64>>,
}

impl ParameterChart {
    /// Draws it.
    ///
    /// # Errors
    /// There are fewer than two values, or the chart library fails.
    pub fn draw(&self) -> Result<DrawnChart, ChartError> {
        let (Some(from), Some(to)) = (self.readings.first(), self.readings.last()) else {
            return Err(ChartError::Values);
        };
        if from.value.partial_cmp(&to.value) != Some(std::cmp::Ordering::Less) {
            return Err(ChartError::Values);
        }
        let colours = Colours::new(self.dark);
        let curves = self.curves(&colours);
        let values = || curves.iter().flat_map(|curve| curve.values.iter().flatten().copied());
        let lowest = values().fold(0.0_f64, f64::min);
        let low = if lowest < -0.5 { -round_up(-lowest) } else { 0.0 };
        let high = round_up(values().fold(0.0, f64::max) * 1.12);
        let size = self.size.map(f64::from);
        let axis = ChartAxis::Numbers(self.readings.iter().map(|reading| reading.value).collect());
        let now = self.now.filter(|now| (from.value..=to.value).contains(now));
        let upright =
            |x, colour, width, dash| Line { pieces: vec![vec![(x, low), (x, high)]], colour, width, dash };
        let ranges = self.ranges();
        let mut lines: Vec<Line> = ranges
            .iter()
            .skip(1)
            .map(|(start, ..)| upright(*start, colours.quiet.faded(0.5), 1.0, None))
            .collect();
        lines.extend(now.map(|now| upright(now, colours.ink, 1.5, Some([6.0, 4.0]))));
        lines.extend(curves.iter().map(|curve| Line {
            pieces: pieces(&axis, &curve.values, high),
            colour: curve.colour,
            width: 2.5,
            dash: None,
        }));
        let mut items = Vec::new();
        let panel = self.panel(&colours, size, &axis, [low, high], &lines, &mut items)?;
        // Behind all that is drawn.
        let grounds = self.refused().into_iter().map(|ends| {
            let [left, right] = ends.map(|x| panel.place(x, high)[0]);
            let path = Path::rectangle([left, panel.plot.y], [right - left, panel.plot.h]);
            Item::filled(path, colours.quiet.faded(0.2))
        });
        items.splice(0..0, grounds);
        let text = |at, anchor, colour, words: &str| {
            Item::Text(Text::new(at, TYPE, Weight::Regular, colour, words).anchored(anchor))
        };
        for (start, end, part) in &ranges {
            let [left, right] = [*start, *end].map(|x| panel.place(x, high)[0]);
            if let Some(part) = part.filter(|part| width(part, TYPE, Weight::Regular) < right - left) {
                let at = [0.5 * (left + right), panel.plot.y - 6.0];
                items.push(text(at, Anchor::Middle, colours.quiet, part));
            }
        }
        for ends in self.refused() {
            let [left, right] = ends.map(|x| panel.place(x, high)[0]);
            if width(&self.words.refused, TYPE, Weight::Regular) < right - left {
                let at = [0.5 * (left + right), panel.plot.y + 0.5 * panel.plot.h];
                items.push(text(at, Anchor::Middle, colours.ink, &self.words.refused));
            }
        }
        if let Some(now) = now {
            // Inside the plot, on the side where there is room.
            let left = now > 0.5 * (from.value + to.value);
            let (anchor, by) = if left { (Anchor::End, -6.0) } else { (Anchor::Start, 6.0) };
            let [x, y] = panel.place(now, low);
            items.push(text([x + by, y - 8.0], anchor, colours.ink, &self.words.now));
        }
        for curve in &curves {
            let points: Vec<[f64; 2]> = (0..self.readings.len())
                .filter_map(|place| curve.values[place].map(|y| panel.place(axis.at(place), y)))
                .collect();
            items.extend(points.iter().map(|at| curve.marker.item(*at, 6.0, curve.colour)));
            if let Some([x, y]) = points.last() {
                let y = if curve.below { y + 9.0 + CAP_HEIGHT * TYPE } else { y - 9.0 };
                items.push(text([*x, y], Anchor::End, curve.colour, curve.name));
            }
        }
        let plot = panel.plot;
        let [left, right, top, bottom] = [plot.x, plot.right(), plot.y, plot.bottom()];
        let drawing = Drawing {
            width: size[0],
            height: size[1],
            pixels_per_unit: 1.0,
            title: self.words.name.clone(),
            description: self.words.description.clone(),
            background: None,
            items,
        };
        Ok(DrawnChart { drawing, plot: PlotArea { left, right, top, bottom, low, high } })
    }

    fn panel(
        &self,
        colours: &Colours,
        [w, h]: [f64; 2],
        axis: &ChartAxis,
        y: [f64; 2],
        lines: &[Line],
        items: &mut Vec<Item>,
    ) -> Result<Panel, ChartError> {
        let unit = if self.unit.is_empty() { String::new() } else { format!(", {}", self.unit) };
        let across = format!("{}{unit}", self.label);
        let upright = &self.words.upright[usize::from(self.share || self.breaks_at_once())];
        let Colours { ink, quiet, .. } = *colours;
        let axes = Axes {
            size: TYPE,
            colours: [quiet, quiet, quiet.faded(0.25), ink],
            strokes: [1.0, 1.0],
            room: [52.0, 44.0],
            margins: MARGINS,
            tick: 5.0,
            ticks: [Ticks::About(7), Ticks::About(6)],
            upright_lines: false,
            number,
            names: [&across, upright],
        };
        let area = Area { x: 6.0, y: 0.0, w: w - 6.0, h: h - 8.0 };
        panel_of(&axes, [w, h], area, axis, y, lines, items)
    }

    fn curves(&self, colours: &Colours) -> Vec<Curve<'_>> {
        let values = |of: fn(&Reading) -> Option<f64>| self.readings.iter().map(of).collect();
        let curve = |name, of| Curve {
            name,
            colour: colours.first,
            marker: Marker::Disc,
            below: true,
            values: values(of),
        };
        if self.share {
            return vec![curve("", |reading| reading.share.map(|share| 100.0 * share))];
        }
        if self.breaks_at_once() {
            return vec![curve("", |reading| reading.fails_at_kn)];
        }
        let [highest, first] = &self.words.lines;
        let (colour, marker) = (colours.second, Marker::Square);
        vec![
            Curve { colour, marker, below: false, ..curve(highest, |reading| reading.peak_kn) },
            curve(first, |reading| reading.fails_at_kn),
        ]
    }

    /// Whether the first part to give is the end everywhere: then one line tells both.
    fn breaks_at_once(&self) -> bool {
        let loads = self.readings.iter().filter_map(|r| r.fails_at_kn.zip(r.peak_kn));
        loads.fold(true, |same, (gives, breaks)| same && (gives - breaks).abs() < 0.05)
    }

    /// Ranges of the parameter that are refused: each reaches half way to the next value that is not.
    fn refused(&self) -> Vec<[f64; 2]> {
        let mut all: Vec<[f64; 2]> = Vec::new();
        let half_way = |a: &Reading, b: &Reading| 0.5 * (a.value + b.value);
        for (index, reading) in self.readings.iter().enumerate().filter(|(_, reading)| reading.refused) {
            let before = index.checked_sub(1).map(|at| &self.readings[at]);
            let start = before.map_or(reading.value, |before| half_way(before, reading));
            let end = self.readings.get(index + 1).map_or(reading.value, |after| half_way(reading, after));
            match all.last_mut().filter(|_| before.is_some_and(|before| before.refused)) {
                Some(last) => last[1] = end,
                None => all.push([start, end]),
            }
        }
        all
    }

    /// Ranges of the parameter in each of which one part fails first: from, to, the part; none where that is not asked for.
    fn ranges(&self) -> Vec<(f64, f64, Option<&str>)> {
        let mut all = Vec::new();
        if self.share {
            return all;
        }
        let mut start = self.readings.first().map_or(0.0, |reading| reading.value);
        for (index, reading) in self.readings.iter().enumerate() {
            let next = self.readings.get(index + 1);
            if next.is_some_and(|next| next.fails_first == reading.fails_first) {
                continue;
            }
            let end = next.map_or(reading.value, |next| 0.5 * (reading.value + next.value));
            all.push((start, end, reading.fails_first.as_deref()));
            start = end;
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart(share: bool) -> ParameterChart {
        let readings = (0..9)
            .map(|i| Reading {
                value: f64::from(i) - 4.0,
                share: (i != 3).then_some(0.1 * f64::from(i)),
                fails_at_kn: (i != 3).then_some(20.0 - f64::from(i)),
                peak_kn: (i != 3).then_some(21.0),
                fails_first: (i != 3).then(|| if i < 5 { "lip" } else { "nose pin & more" }.to_owned()),
                refused: i == 3,
            })
            .collect();
        ParameterChart {
            label: "Offset".to_owned(),
            unit: "mm".to_owned(),
            words: ParameterWords {
                lines: ["highest", "first"].map(str::to_owned),
                description: "4 & 5".to_owned(),
                ..ParameterWords::default()
            },
            share,
            readings,
            now: Some(1.0),
            dark: false,
            size: [640, 360],
        }
    }

    #[test]
    fn the_plot_tells_where_it_lies() {
        let drawn = chart(true).draw().unwrap();
        let plot = drawn.plot;
        assert!(0.0 < plot.left && plot.left < plot.right && plot.right <= 640.0, "{plot:?}");
        assert!(0.0 < plot.top && plot.top < plot.bottom && plot.bottom < 360.0, "{plot:?}");
        assert_eq!((plot.low, plot.high), (0.0, 100.0));
        // Each value's mark stands where the mapping says.
        let filled = |item: &Item| match item {
            Item::Shape { path, fill: Some(_), .. } => path.bounds().map(|[a, b]| 0.5 * (a[0] + b[0])),
            _ => None,
        };
        let marks: Vec<f64> = drawn.drawing.items.iter().skip(1).filter_map(filled).collect();
        let values = [-4.0, -3.0, -2.0, 0.0, 1.0, 2.0, 3.0, 4.0];
        assert_eq!(marks.len(), values.len());
        for (mark, value) in marks.into_iter().zip(values) {
            let x = plot.left + (value + 4.0) / 8.0 * (plot.right - plot.left);
            assert!((mark - x).abs() < 1e-9, "{value}: {mark}, {x}");
        }
        assert_eq!((drawn.drawing.width, drawn.drawing.height), (640.0, 360.0));
    }

    #[test]
    fn lines_and_parts_have_their_names() {
        let drawing = chart(false).draw().unwrap().drawing;
        assert_eq!(drawing.description, "4 & 5");
        for words in ["nose pin & more", "highest", "first", "Offset, mm"] {
            let named = |item: &Item| matches!(item, Item::Text(text) if text.words == words);
            assert_eq!(drawing.items.iter().filter(|item| named(item)).count(), 1, "{words}");
        }
    }

    #[test]
    fn what_is_refused_has_a_ground_of_its_own_half_way_to_what_is_not() {
        let mut some = chart(true);
        some.words.refused = "no".to_owned();
        assert_eq!(some.refused(), [[-1.5, -0.5]]);
        let drawn = some.draw().unwrap();
        let place = |value: f64| drawn.plot.left + (value + 4.0) / 8.0 * (drawn.plot.right - drawn.plot.left);
        let Item::Shape { path, fill: Some(_), stroke: None } = &drawn.drawing.items[0] else { panic!() };
        let [low, high] = path.bounds().unwrap();
        assert!(
            (low[0] - place(-1.5)).abs() < 1e-9 && (high[0] - place(-0.5)).abs() < 1e-9,
            "{low:?} {high:?}"
        );
        assert!(
            drawn.drawing.items.iter().any(|item| matches!(item, Item::Text(text) if text.words == "no"))
        );
        for reading in &mut some.readings {
            *reading = Reading { value: reading.value, refused: reading.value != 0.0, ..Reading::default() };
        }
        assert_eq!(some.refused(), [[-4.0, -0.5], [0.5, 4.0]]);
        some.readings[4].refused = true;
        assert_eq!(some.refused(), [[-4.0, 4.0]]);
        some.draw().unwrap();
    }

    #[test]
    fn a_chart_of_nothing_is_refused() {
        let mut none = chart(true);
        none.readings.clear();
        assert!(none.draw().is_err());
        let mut one = chart(true);
        one.readings.truncate(1);
        assert!(one.draw().is_err());
    }
}
