//! How errors fall on finer meshes: one log-log chart per problem over the number of elements, theory dashed beside it. Each error is drawn as a part of what it was on the
//! coarsest mesh, so that errors of different units share an axis and differ by their slope alone.

use plotters::coord::combinators::{BindKeyPoints, LogCoord};
use plotters::prelude::*;
use plotters::style::FontStyle;
use std::ops::Range;
use std::sync::Once;
use thiserror::Error;

/// One measured error over mesh size.
#[derive(Clone, Debug, PartialEq)]
pub struct Convergence {
    /// Which error.
    pub label: String,
    /// Mesh size and error, both positive.
    pub points: Vec<(f64, f64)>,
    /// Slope that theory gives.
    pub expected: f64,
    /// The measured slope beside it, as written.
    pub rate: String,
}

/// What is written in a convergence chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConvergenceWords {
    /// Short name, for screen readers.
    pub name: String,
    /// What the axes count: across, upright.
    pub axes: [String; 2],
    /// What the chart says, for those who cannot see it.
    pub description: String,
}

/// Why a chart could not be drawn.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum ChartError {
    /// Fewer than two values, or values that do not rise.
    #[error("the chart could not be drawn: it needs two values that rise")]
    Values,
    /// The chart library failed, with its words.
    #[error("the chart could not be drawn: {0}")]
    Library(String),
}

impl ChartError {
    pub(crate) fn new(words: &dyn std::fmt::Display) -> Self {
        Self::Library(words.to_string())
    }
}

/// plotters places by whole pixels: drawn this much larger, shown at its size.
const FINE: i32 = 4;
/// Narrow, so that a phone shows the letters at three quarters of their size and not at less.
const WIDTH: i32 = 460;
const HEIGHT: i32 = 340;
/// Room to the right of the curves for their names.
const NAMES: i32 = 176;
const LETTERS: i32 = 17;
const SMALL: i32 = 15;

const INK: RGBColor = RGBColor(28, 40, 49);
const GRID: RGBColor = RGBColor(222, 211, 189);
/// Dark enough on paper for 4.5:1; the curves are named at their ends, so colour is not all that tells them apart.
const COLOURS: [RGBColor; 4] =
    [RGBColor(13, 107, 99), RGBColor(156, 68, 24), RGBColor(60, 70, 140), RGBColor(90, 60, 110)];

pub(crate) fn fonts() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // The crate's own fonts are sound; were they not, drawing would say so.
        let _ = plotters::style::register_font("sans-serif", FontStyle::Normal, notosans::REGULAR_TTF);
        let _ = plotters::style::register_font("sans-serif", FontStyle::Bold, notosans::BOLD_TTF);
    });
}

/// Draws the chart as SVG; `None` when there is nothing to draw.
///
/// # Errors
/// The chart library fails.
pub fn convergence_svg(
    words: &ConvergenceWords,
    lines: &[Convergence],
) -> Result<Option<String>, ChartError> {
    let curves: Vec<Vec<(f64, f64)>> = lines.iter().map(falling).collect();
    let points = || curves.iter().flatten().copied();
    if points().next().is_none() {
        return Ok(None);
    }
    fonts();
    let range = |of: fn((f64, f64)) -> f64, room: f64| {
        let (low, high) = points().map(of).fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
        (low / room)..(high * room)
    };
    let (counts, errors) = (range(|p| p.0, 1.15), range(|p| p.1, 1.3));
    let wrong = |e: &dyn std::fmt::Display| ChartError::new(e);
    let font = |size: i32| ("sans-serif", size * FINE).into_font();
    let mut svg = String::new();
    {
        let size = ((WIDTH * FINE).cast_unsigned(), (HEIGHT * FINE).cast_unsigned());
        let root = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        let (across, up) = (one_two_five(&counts), powers_of_ten(&errors));
        let counts: LogCoord<f64> = counts.log_scale().into();
        let errors: LogCoord<f64> = errors.log_scale().into();
        let mut chart = ChartBuilder::on(&root)
            .margin(10 * FINE)
            .margin_right(NAMES * FINE)
            .x_label_area_size(46 * FINE)
            .y_label_area_size(64 * FINE)
            .build_cartesian_2d(counts.with_key_points(across), errors.with_key_points(up))
            .map_err(|e| wrong(&e))?;
        chart
            .configure_mesh()
            .bold_line_style(GRID.stroke_width(FINE.cast_unsigned()))
            .light_line_style(TRANSPARENT)
            .axis_style(INK.stroke_width(FINE.cast_unsigned()))
            .x_desc(words.axes[0].as_str())
            .y_desc(words.axes[1].as_str())
            .label_style(font(SMALL).color(&INK))
            .axis_desc_style(font(SMALL).color(&INK))
            .set_all_tick_mark_size(5 * FINE)
            .x_label_formatter(&|v| format!("{v:.0}"))
            .y_label_formatter(&|v| format!("{v}"))
            .draw()
            .map_err(|e| wrong(&e))?;
        let mut names = Vec::new();
        for (index, (line, data)) in lines.iter().zip(&curves).enumerate() {
            let colour = COLOURS[index % COLOURS.len()];
            if let (Some(first), Some(last)) = (data.first(), data.last()) {
                // Error over mesh size to the power that theory gives; the number of elements is the inverse square of size.
                let theory = |n: f64| (n, first.1 * (first.0 / n).powf(0.5 * line.expected));
                let style = colour.mix(0.75).stroke_width(FINE.cast_unsigned());
                let dashes =
                    DashedLineSeries::new([theory(first.0), theory(last.0)], 6 * FINE, 5 * FINE, style);
                chart.draw_series(dashes).map_err(|e| wrong(&e))?;
                names.push((chart.backend_coord(last).1, index));
            }
            let style = colour.stroke_width(2 * FINE.cast_unsigned());
            chart.draw_series(LineSeries::new(data.iter().copied(), style)).map_err(|e| wrong(&e))?;
            chart
                .draw_series(data.iter().map(|p| Circle::new(*p, 4 * FINE, colour.filled())))
                .map_err(|e| wrong(&e))?;
        }
        names.sort_unstable();
        let (left, mut free) = ((WIDTH - NAMES + 10) * FINE, 0);
        for (end, index) in names {
            let (name, rate) = named(&lines[index]);
            let colour = COLOURS[index % COLOURS.len()];
            let top = (end - LETTERS * FINE).max(free);
            let below = top + (LETTERS + 3) * FINE;
            root.draw(&Text::new(name, (left, top), font(LETTERS).color(&colour))).map_err(|e| wrong(&e))?;
            root.draw(&Text::new(rate, (left, below), font(SMALL).color(&colour))).map_err(|e| wrong(&e))?;
            free = below + (SMALL + 8) * FINE;
        }
        root.present().map_err(|e| wrong(&e))?;
    }
    Ok(Some(titled(&svg, words)))
}

/// What stands at the end of a curve: the error (up to the first comma), and its rate beside theory's.
fn named(line: &Convergence) -> (String, String) {
    let name = line.label.split(',').next().unwrap_or_default().to_owned();
    (name, line.rate.clone())
}

/// Numbers 1, 2 and 5 times a power of ten within a range.
fn one_two_five(range: &Range<f64>) -> Vec<f64> {
    powers(range).flat_map(|p| [p, 2.0 * p, 5.0 * p]).filter(|v| range.contains(v)).collect()
}

fn powers_of_ten(range: &Range<f64>) -> Vec<f64> {
    powers(range).filter(|v| range.contains(v)).collect()
}

/// Powers of ten from the one below a range to the one above. From text: `10.0.powi(-3)` is not quite 0.001.
fn powers(range: &Range<f64>) -> impl Iterator<Item = f64> {
    let exponents = (range.start.log10().floor() as i32)..=(range.end.log10().ceil() as i32);
    exponents.filter_map(|e| format!("1e{e}").parse().ok())
}

/// Number of elements (1 / size squared) and error over that on the coarsest mesh, from coarse to fine.
fn falling(line: &Convergence) -> Vec<(f64, f64)> {
    let mut points = line.points.clone();
    points.sort_by(|a, b| b.0.total_cmp(&a.0));
    let coarsest = points.first().map_or(1.0, |p| p.1);
    points.iter().map(|(size, error)| (1.0 / (size * size), error / coarsest)).collect()
}

/// Gives the picture its size, a title, and its numbers in words.
fn titled(svg: &str, words: &ConvergenceWords) -> String {
    let escape = |s: &str| s.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let (w, h) = (WIDTH * FINE, HEIGHT * FINE);
    let start = svg.find('>').map_or(0, |i| i + 1);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{HEIGHT}\" viewBox=\"0 0 {w} {h}\" \
         role=\"img\" lang=\"en\"><title>{}</title><desc>{}</desc>{}",
        escape(&words.name),
        escape(&words.description),
        &svg[start..]
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chart_names_its_lines_and_says_its_rates() {
        let line = Convergence {
            label: "energy".to_owned(),
            points: vec![(0.2, 1e-2), (0.1, 6e-4), (0.05, 4e-5)],
            expected: 4.0,
            rate: "rate 3.98".to_owned(),
        };
        let words = ConvergenceWords { name: "A & B".to_owned(), ..ConvergenceWords::default() };
        let svg = convergence_svg(&words, &[line]).unwrap().unwrap();
        assert!(svg.contains("<title>A &amp; B</title>") && svg.contains("rate 3.98"), "{svg}");
        assert!(svg.ends_with("</svg>\n") || svg.ends_with("</svg>"));
        assert_eq!(convergence_svg(&words, &[]).unwrap(), None);
    }

    #[test]
    fn ticks_within_a_decade_are_numbered() {
        assert_eq!(one_two_five(&(80.0..1500.0)), [100.0, 200.0, 500.0, 1000.0]);
        assert_eq!(powers_of_ten(&(0.004..1.3)), [0.01, 0.1, 1.0]);
    }

    #[test]
    fn sizes_become_numbers_of_elements() {
        let line = Convergence {
            label: "e".to_owned(),
            points: vec![(0.05, 2.0), (0.1, 8.0)],
            expected: 2.0,
            rate: String::new(),
        };
        let falls = falling(&line);
        assert!((falls[0].0 - 100.0).abs() < 1e-9 && falls[0].1 == 1.0);
        assert!((falls[1].0 - 400.0).abs() < 1e-9 && falls[1].1 == 0.25);
    }
}
