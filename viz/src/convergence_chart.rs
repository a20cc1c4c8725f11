//! How errors fall on finer meshes: one log-log chart per problem. Each error is drawn as a part of what it was on the
//! coarsest mesh, so that errors of different units share an axis and differ by their slope alone.

use plotters::prelude::*;
use plotters::style::FontStyle;
use std::fmt::Write;
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
    /// Slope measured.
    pub measured: f64,
}

/// Why a chart could not be drawn.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("the chart could not be drawn: {0}")]
pub struct ChartError(String);

impl ChartError {
    pub(crate) fn new(words: &dyn std::fmt::Display) -> Self {
        Self(words.to_string())
    }
}

/// plotters places by whole pixels: drawn this much larger, shown at its size.
const FINE: u32 = 4;
const WIDTH: u32 = 760;
const HEIGHT: u32 = 400;

/// Dark enough on paper for 4.5:1, told apart by dash and marker as well.
const COLOURS: [RGBColor; 4] =
    [RGBColor(13, 107, 99), RGBColor(168, 74, 28), RGBColor(60, 70, 140), RGBColor(40, 40, 40)];

fn fonts() {
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
pub fn convergence_svg(title: &str, lines: &[Convergence]) -> Result<Option<String>, ChartError> {
    let curves: Vec<Vec<(f64, f64)>> = lines.iter().map(falling).collect();
    let points = || curves.iter().flatten().copied();
    if points().next().is_none() {
        return Ok(None);
    }
    fonts();
    let range = |of: fn((f64, f64)) -> f64| {
        let (low, high) = points().map(of).fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
        (low / 1.2)..(high * 1.2)
    };
    let (sizes, errors) = (range(|p| p.0), range(|p| p.1));
    let wrong = |e: &dyn std::fmt::Display| ChartError(e.to_string());
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, (WIDTH * FINE, HEIGHT * FINE)).into_drawing_area();
        root.fill(&RGBColor(246, 239, 226)).map_err(|e| wrong(&e))?;
        let mut chart = ChartBuilder::on(&root)
            .margin(16 * FINE)
            .margin_right(290 * FINE)
            .x_label_area_size(44 * FINE)
            .y_label_area_size(64 * FINE)
            .build_cartesian_2d(sizes.log_scale(), errors.log_scale())
            .map_err(|e| wrong(&e))?;
        chart
            .configure_mesh()
            .disable_mesh()
            .x_desc("square root of the number of elements")
            .y_desc("error over that on the coarsest mesh")
            .label_style(("sans-serif", 13 * FINE))
            .axis_desc_style(("sans-serif", 14 * FINE))
            .x_labels(4)
            .y_labels(5)
            .y_label_formatter(&|v| format!("{v:.0e}"))
            .x_label_formatter(&|v| format!("{v:.0}"))
            .draw()
            .map_err(|e| wrong(&e))?;
        for (index, (line, data)) in lines.iter().zip(&curves).enumerate() {
            let colour = COLOURS[index % COLOURS.len()];
            chart
                .draw_series(LineSeries::new(data.iter().copied(), colour.stroke_width(2 * FINE)))
                .map_err(|e| wrong(&e))?;
            chart
                .draw_series(data.iter().map(|p| Circle::new(*p, 4 * FINE, colour.filled())))
                .map_err(|e| wrong(&e))?;
            if let Some(last) = data.last().copied() {
                let words = format!("{}: {:.2} (theory {:.0})", line.label, line.measured, line.expected);
                let style = ("sans-serif", 13 * FINE).into_font().color(&colour);
                chart
                    .draw_series(std::iter::once(
                        EmptyElement::at(last)
                            + Text::new(words, (10 * FINE.cast_signed(), -(7 * FINE.cast_signed())), style),
                    ))
                    .map_err(|e| wrong(&e))?;
            }
        }
        root.present().map_err(|e| wrong(&e))?;
    }
    Ok(Some(titled(&svg, title, lines)))
}

/// Elements across (1 / size) and error over that on the coarsest mesh, from coarse to fine.
fn falling(line: &Convergence) -> Vec<(f64, f64)> {
    let mut points = line.points.clone();
    points.sort_by(|a, b| b.0.total_cmp(&a.0));
    let coarsest = points.first().map_or(1.0, |p| p.1);
    points.iter().map(|(size, error)| (1.0 / size, error / coarsest)).collect()
}

/// Gives the picture its size, a title, and its numbers in words.
fn titled(svg: &str, title: &str, lines: &[Convergence]) -> String {
    let mut words = String::new();
    for line in lines {
        let _ = write!(
            words,
            "{} falls with rate {:.2}, theory {:.0}. ",
            line.label, line.measured, line.expected
        );
    }
    let escape = |s: &str| s.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let (w, h) = (WIDTH * FINE, HEIGHT * FINE);
    let start = svg.find('>').map_or(0, |i| i + 1);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{HEIGHT}\" viewBox=\"0 0 {w} {h}\" \
         role=\"img\" lang=\"en\"><title>{}</title><desc>{}</desc>{}",
        escape(title),
        escape(&words),
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
            measured: 3.98,
        };
        let svg = convergence_svg("A & B", &[line]).unwrap().unwrap();
        assert!(svg.contains("<title>A &amp; B</title>") && svg.contains("rate 3.98, theory 4"), "{svg}");
        assert!(svg.ends_with("</svg>\n") || svg.ends_with("</svg>"));
        assert_eq!(convergence_svg("none", &[]).unwrap(), None);
    }
}
