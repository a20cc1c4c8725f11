//! How the gate's share, or the forecast, changes with one parameter: a chart that tells where its plot lies, so that a
//! click on it can be read as a value.
//!
//! Values that are impossible leave gaps in the lines. In a forecast, thin lines part the ranges in which different parts
//! fail first, and each range that is wide enough says which.

use crate::convergence_chart::{ChartError, fonts};
use crate::look::round_up;
use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use std::fmt::Display;

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
    /// The picture.
    pub svg: String,
    /// Where its plot lies.
    pub plot: PlotArea,
}

/// plotters places by whole pixels: drawn this much larger, shown at its size.
const FINE: u32 = 4;
/// Type of numbers and labels, pixels.
const TYPE: u32 = 13;
/// Mean width of a letter, as a part of the size of type.
const LETTER: f64 = 0.56;

struct Colours {
    ink: RGBColor,
    quiet: RGBColor,
    first: RGBColor,
    second: RGBColor,
}

impl Colours {
    /// Each at least 4.5:1 on warm paper, and on a dark page; the two lines differ by marker as well.
    fn new(dark: bool) -> Self {
        if dark {
            Self {
                ink: RGBColor(236, 228, 214),
                quiet: RGBColor(167, 160, 148),
                first: RGBColor(95, 201, 188),
                second: RGBColor(240, 150, 100),
            }
        } else {
            Self {
                ink: RGBColor(28, 40, 49),
                quiet: RGBColor(98, 96, 89),
                first: RGBColor(13, 107, 102),
                second: RGBColor(160, 66, 22),
            }
        }
    }
}

type Plot<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
/// A line: its name, its colour, its points with gaps.
type Line<'a> = (&'a str, RGBColor, Vec<Option<(f64, f64)>>);

fn wrong(error: &dyn Display) -> ChartError {
    ChartError::new(error)
}

/// Rough width of a text, pixels of the shown picture.
fn width_of(words: &str) -> f64 {
    LETTER * f64::from(TYPE) * words.chars().count() as f64
}

impl ParameterChart {
    /// Draws it.
    ///
    /// # Errors
    /// There are fewer than two values, or the chart library fails.
    pub fn draw(&self) -> Result<DrawnChart, ChartError> {
        fonts();
        let (Some(from), Some(to)) = (self.readings.first(), self.readings.last()) else {
            return Err(ChartError::Values);
        };
        if from.value.partial_cmp(&to.value) != Some(std::cmp::Ordering::Less) {
            return Err(ChartError::Values);
        }
        let colours = Colours::new(self.dark);
        let lines = self.lines(&colours);
        let values = || lines.iter().flat_map(|line| line.2.iter().flatten().map(|p| p.1));
        let lowest = values().fold(0.0_f64, f64::min);
        let low = if lowest < -0.5 { -round_up(-lowest) } else { 0.0 };
        let high = round_up(values().fold(0.0, f64::max) * 1.12);
        let [width, height] = self.size.map(|side| side * FINE);
        let mut svg = String::new();
        let plot = {
            let root: DrawingArea<SVGBackend<'_>, Shift> =
                SVGBackend::with_string(&mut svg, (width, height)).into_drawing_area();
            let mut chart = ChartBuilder::on(&root)
                .margin_top(28 * FINE)
                .margin_right(20 * FINE)
                .margin_left(6 * FINE)
                .margin_bottom(4 * FINE)
                .x_label_area_size(44 * FINE)
                .y_label_area_size(52 * FINE)
                .build_cartesian_2d(from.value..to.value, low..high)
                .map_err(|e| wrong(&e))?;
            self.axes(&mut chart, &colours)?;
            self.parts(&mut chart, &colours, (low, high))?;
            if let Some(now) = self.now.filter(|now| (from.value..=to.value).contains(now)) {
                let line = [(now, low), (now, high)];
                chart
                    .draw_series(DashedLineSeries::new(
                        line,
                        6 * FINE,
                        4 * FINE,
                        colours.ink.stroke_width(FINE * 3 / 2),
                    ))
                    .map_err(|e| wrong(&e))?;
                // Inside the plot, on the side where there is room.
                let left = now > 0.5 * (from.value + to.value);
                let (side, by) = if left { (HPos::Right, -6) } else { (HPos::Left, 6) };
                let style = ("sans-serif", TYPE * FINE)
                    .into_font()
                    .color(&colours.ink)
                    .pos(Pos::new(side, VPos::Bottom));
                let label = EmptyElement::at((now, low))
                    + Text::new(
                        self.words.now.clone(),
                        (by * FINE.cast_signed(), -(8 * FINE.cast_signed())),
                        style,
                    );
                chart.draw_series(std::iter::once(label)).map_err(|e| wrong(&e))?;
            }
            for (index, line) in lines.iter().enumerate() {
                draw_line(&mut chart, line, index > 0)?;
            }
            let ((left, right), (top, bottom)) = {
                let (x, y) = chart.plotting_area().get_pixel_range();
                ((x.start, x.end), (y.start, y.end))
            };
            root.present().map_err(|e| wrong(&e))?;
            let shown = |pixel: i32| f64::from(pixel) / f64::from(FINE);
            PlotArea {
                left: shown(left),
                right: shown(right),
                top: shown(top),
                bottom: shown(bottom),
                low,
                high,
            }
        };
        Ok(DrawnChart { svg: self.titled(&svg), plot })
    }

    fn lines(&self, colours: &Colours) -> Vec<Line<'_>> {
        let line = |of: fn(&Reading) -> Option<f64>| -> Vec<Option<(f64, f64)>> {
            self.readings.iter().map(|reading| of(reading).map(|y| (reading.value, y))).collect()
        };
        if self.share {
            return vec![("", colours.first, line(|reading| reading.share.map(|share| 100.0 * share)))];
        }
        let (gives, peaks) = (line(|reading| reading.fails_at_kn), line(|reading| reading.peak_kn));
        if self.breaks_at_once() {
            return vec![("", colours.first, gives)];
        }
        let [highest, first] = &self.words.lines;
        vec![(highest.as_str(), colours.second, peaks), (first.as_str(), colours.first, gives)]
    }

    /// Whether the first part to give is the end everywhere: then one line tells both.
    fn breaks_at_once(&self) -> bool {
        let loads = self.readings.iter().filter_map(|r| r.fails_at_kn.zip(r.peak_kn));
        loads.fold(true, |same, (gives, breaks)| same && (gives - breaks).abs() < 0.05)
    }

    fn axes(&self, chart: &mut Plot<'_, '_>, colours: &Colours) -> Result<(), ChartError> {
        let unit = if self.unit.is_empty() { String::new() } else { format!(", {}", self.unit) };
        let upright = &self.words.upright[usize::from(self.share || self.breaks_at_once())];
        chart
            .configure_mesh()
            .disable_x_mesh()
            .light_line_style(TRANSPARENT)
            .bold_line_style(colours.quiet.mix(0.25).stroke_width(FINE))
            .axis_style(colours.quiet.stroke_width(FINE))
            .x_desc(format!("{}{unit}", self.label))
            .y_desc(upright.as_str())
            .label_style(("sans-serif", TYPE * FINE, &colours.quiet))
            .axis_desc_style(("sans-serif", TYPE * FINE, &colours.ink))
            .x_labels(7)
            .y_labels(6)
            .x_label_formatter(&|v| short(*v))
            .y_label_formatter(&|v| short(*v))
            .draw()
            .map_err(|e| wrong(&e))
    }

    /// Which part fails first, where.
    fn parts(
        &self,
        chart: &mut Plot<'_, '_>,
        colours: &Colours,
        (low, high): (f64, f64),
    ) -> Result<(), ChartError> {
        if self.share {
            return Ok(());
        }
        let (pixels, _) = chart.plotting_area().get_pixel_range();
        let whole = f64::from(pixels.end - pixels.start) / f64::from(FINE);
        let span = self.readings.last().map_or(0.0, |r| r.value) - self.readings[0].value;
        let style = ("sans-serif", TYPE * FINE)
            .into_font()
            .color(&colours.quiet)
            .pos(Pos::new(HPos::Center, VPos::Bottom));
        let mut start = self.readings[0].value;
        for (index, reading) in self.readings.iter().enumerate() {
            let next = self.readings.get(index + 1);
            if next.is_some_and(|next| next.fails_first == reading.fails_first) {
                continue;
            }
            let end = next.map_or(reading.value, |next| 0.5 * (reading.value + next.value));
            if next.is_some() {
                let line = [(end, low), (end, high)];
                chart
                    .draw_series(LineSeries::new(line, colours.quiet.mix(0.5).stroke_width(FINE)))
                    .map_err(|e| wrong(&e))?;
            }
            if let Some(part) = &reading.fails_first
                && width_of(part) < whole * (end - start) / span
            {
                let label = EmptyElement::at((0.5 * (start + end), high))
                    + Text::new(part.clone(), (0, -(6 * FINE.cast_signed())), style.clone());
                chart.draw_series(std::iter::once(label)).map_err(|e| wrong(&e))?;
            }
            start = end;
        }
        Ok(())
    }

    /// Gives the picture its size, a title, and its numbers in words.
    fn titled(&self, svg: &str) -> String {
        let [width, height] = self.size;
        let escape = |s: &str| s.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
        let start = svg.find('>').map_or(0, |i| i + 1);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {} {}\" \
             role=\"img\" lang=\"en\"><title>{}</title><desc>{}</desc>{}",
            width * FINE,
            height * FINE,
            escape(&self.words.name),
            escape(&self.words.description),
            &svg[start..]
        )
    }
}

/// A number with at most two decimals and no zeros at the end.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn draw_line(
    chart: &mut Plot<'_, '_>,
    (name, colour, points): &Line<'_>,
    below: bool,
) -> Result<(), ChartError> {
    for run in points.split(Option::is_none) {
        let run: Vec<(f64, f64)> = run.iter().flatten().copied().collect();
        chart
            .draw_series(LineSeries::new(run.iter().copied(), colour.stroke_width(FINE * 5 / 2)))
            .map_err(|e| wrong(&e))?;
        chart
            .draw_series(run.iter().map(|p| Circle::new(*p, FINE * 3, colour.filled())))
            .map_err(|e| wrong(&e))?;
    }
    if let (false, Some(last)) = (name.is_empty(), points.iter().flatten().next_back()) {
        let (upright, by) = if below { (VPos::Top, 9) } else { (VPos::Bottom, -9) };
        let style = ("sans-serif", TYPE * FINE).into_font().color(colour).pos(Pos::new(HPos::Right, upright));
        let label =
            EmptyElement::at(*last) + Text::new((*name).to_owned(), (0, by * FINE.cast_signed()), style);
        chart.draw_series(std::iter::once(label)).map_err(|e| wrong(&e))?;
    }
    Ok(())
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
        // Each value's mark stands where the mapping says, to half a pixel.
        let marks = drawn
            .svg
            .split("cx=\"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap().parse::<f64>().unwrap());
        let values = [-4.0, -3.0, -2.0, 0.0, 1.0, 2.0, 3.0, 4.0];
        assert_eq!(marks.clone().count(), values.len());
        for (mark, value) in marks.zip(values) {
            let x = plot.left + (value + 4.0) / 8.0 * (plot.right - plot.left);
            assert!((mark / f64::from(FINE) - x).abs() < 0.5, "{value}: {mark}, {x}");
        }
    }

    #[test]
    fn lines_and_parts_have_their_names() {
        let svg = chart(false).draw().unwrap().svg;
        assert!(svg.contains("<desc>4 &amp; 5</desc>"), "{svg}");
        assert!(svg.contains("nose pin &amp; more"));
        assert!(svg.contains("highest") && svg.contains("first"));
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
