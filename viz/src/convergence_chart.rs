//! How errors fall on finer meshes: one log-log chart per problem over the number of elements, theory dashed beside it. Each error is drawn as a part of what it was on the
//! coarsest mesh, so that errors of different units share an axis and differ by their slope alone.

use crate::chart_marks::Marker;
use crate::chart_panel::{Axes, ChartAxis, ChartError, Line, Ticks, panel_of};
use crate::colour::Rgba;
use crate::drawing::{Drawing, Item};
use crate::layout::Area;
use crate::look::INK;
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Weight};

/// One measured error over mesh size.
#[derive(Clone, Debug, PartialEq)]
pub struct Convergence {
    /// Which error, in few words: they stand at the end of its curve.
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

/// The errors of a problem over the number of its elements.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConvergenceChart {
    /// What is written in it.
    pub words: ConvergenceWords,
    /// Its errors.
    pub lines: Vec<Convergence>,
}

/// Narrow, so that a phone shows the letters at three quarters of their size and not at less; pixels.
const SIZE: [f64; 2] = [460.0, 340.0];
/// Room to the right of the curves for their names.
const NAMES: f64 = 176.0;
const LETTERS: f64 = 14.5;
const SMALL: f64 = 13.0;
const EDGE: f64 = 10.0;

const GRID: Rgba = Rgba::hex(0xde_d3bd);
/// Dark enough on paper for 4.5:1; the curves are named at their ends and have markers, so colour is not all that tells them apart.
const COLOURS: [Rgba; 4] =
    [Rgba::hex(0x0d_6b63), Rgba::hex(0x9c_4418), Rgba::hex(0x3c_468c), Rgba::hex(0x5a_3c6e)];
const MARKERS: [Marker; 4] = [Marker::Disc, Marker::Square, Marker::Triangle, Marker::Diamond];

impl ConvergenceChart {
    /// Lays the chart out, a pixel to a unit, without ground; `None` when there is nothing to draw.
    ///
    /// # Errors
    /// The chart library fails.
    pub fn drawing(&self) -> Result<Option<Drawing>, ChartError> {
        let curves: Vec<Vec<(f64, f64)>> = self.lines.iter().map(falling).collect();
        let points = || curves.iter().flatten().copied();
        if points().next().is_none() {
            return Ok(None);
        }
        let range = |of: fn((f64, f64)) -> f64, room: f64| {
            let (low, high) = points().map(of).fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
            [low / room, high * room]
        };
        let (counts, errors) = (range(|p| p.0, 1.15), range(|p| p.1, 1.3));
        let powers = |values: Vec<f64>| Ticks::At(values.into_iter().map(f64::log10).collect());
        let axes = Axes {
            size: SMALL,
            colours: [INK, INK, GRID, INK],
            strokes: [1.0, 1.0],
            room: [64.0, 46.0],
            margins: [EDGE, NAMES],
            tick: 5.0,
            ticks: [powers(one_two_five(counts)), powers(powers_of_ten(errors))],
            upright_lines: true,
            number: power,
            names: [&self.words.axes[0], &self.words.axes[1]],
        };
        let log = |(n, error): (f64, f64)| (n.log10(), error.log10());
        let mut lines = Vec::new();
        for ((line, data), colour) in self.lines.iter().zip(&curves).zip(COLOURS.iter().cycle()) {
            let (Some(first), Some(last)) = (data.first(), data.last()) else { continue };
            // Error over mesh size to the power that theory gives; the number of elements is the inverse square of size.
            let theory = |n: f64| (n, first.1 * (first.0 / n).powf(0.5 * line.expected));
            let pieces = vec![vec![log(theory(first.0)), log(theory(last.0))]];
            lines.push(Line { pieces, colour: colour.faded(0.75), width: 1.0, dash: Some([6.0, 5.0]) });
            let pieces = vec![data.iter().map(|p| log(*p)).collect()];
            lines.push(Line { pieces, colour: *colour, width: 2.0, dash: None });
        }
        let mut items = Vec::new();
        let area = Area { x: EDGE, y: 0.0, w: SIZE[0] - EDGE, h: SIZE[1] - EDGE };
        let axis = ChartAxis::Numbers(counts.map(f64::log10).to_vec());
        let panel = panel_of(&axes, SIZE, area, &axis, errors.map(f64::log10), &lines, &mut items)?;
        let mut ends = Vec::new();
        for (index, data) in curves.iter().enumerate() {
            let (colour, marker) = (COLOURS[index % COLOURS.len()], MARKERS[index % MARKERS.len()]);
            let places = data.iter().map(|p| log(*p)).map(|(x, y)| panel.place(x, y));
            ends.extend(places.clone().next_back().map(|[_, y]| (y, index)));
            items.extend(places.map(|at| marker.item(at, 8.0, colour)));
        }
        // What stands at the end of a curve: the error, and its rate beside theory's.
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let left = panel.plot.right() + 10.0;
        let mut free = 0.0;
        for (end, index) in ends {
            let line = &self.lines[index];
            let colour = COLOURS[index % COLOURS.len()];
            let mut top = f64::max(end - 0.5 * (LINE_HEIGHT + CAP_HEIGHT) * LETTERS, free);
            for (words, size) in [(line.label.as_str(), LETTERS), (line.rate.as_str(), SMALL)] {
                let room = [SIZE[0] - left, LINE_HEIGHT * size + 1e-6];
                let block = Block::fit(words, Weight::Regular, size, 0.8 * size, room);
                items.extend(block.place(left, top, Anchor::Start, colour).into_iter().map(Item::Text));
                top += block.height();
            }
            free = top + 5.0;
        }
        Ok(Some(Drawing {
            width: SIZE[0],
            height: SIZE[1],
            pixels_per_unit: 1.0,
            title: self.words.name.clone(),
            description: self.words.description.clone(),
            background: None,
            items,
        }))
    }
}

/// The number at a place of an axis of powers of ten.
fn power(exponent: f64) -> String {
    let value = 10.0_f64.powf(exponent);
    // Three digits: what the logarithm left over is not shown.
    let digits = (2.0 - exponent.floor()).max(0.0) as usize;
    let words = format!("{value:.digits$}");
    if words.contains('.') { words.trim_end_matches('0').trim_end_matches('.').to_owned() } else { words }
}

/// Numbers 1, 2 and 5 times a power of ten within a range.
fn one_two_five(range: [f64; 2]) -> Vec<f64> {
    powers(range).flat_map(|p| [p, 2.0 * p, 5.0 * p]).filter(|v| (range[0]..range[1]).contains(v)).collect()
}

fn powers_of_ten(range: [f64; 2]) -> Vec<f64> {
    powers(range).filter(|v| (range[0]..range[1]).contains(v)).collect()
}

/// Powers of ten from the one below a range to the one above. From text: `10.0.powi(-3)` is not quite 0.001.
fn powers([from, to]: [f64; 2]) -> impl Iterator<Item = f64> {
    let exponents = (from.log10().floor() as i32)..=(to.log10().ceil() as i32);
    exponents.filter_map(|e| format!("1e{e}").parse().ok())
}

/// Number of elements (1 / size squared) and error over that on the coarsest mesh, from coarse to fine.
fn falling(line: &Convergence) -> Vec<(f64, f64)> {
    let mut points = line.points.clone();
    points.sort_by(|a, b| b.0.total_cmp(&a.0));
    let coarsest = points.first().map_or(1.0, |p| p.1);
    points.iter().map(|(size, error)| (1.0 / (size * size), error / coarsest)).collect()
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
        let drawing =
            ConvergenceChart { words: words.clone(), lines: vec![line] }.drawing().unwrap().unwrap();
        assert_eq!(drawing.title, "A & B");
        let texts = || drawing.texts().into_iter();
        for words in ["energy", "rate 3.98", "100", "200", "1", "0.1", "0.01"] {
            assert_eq!(texts().filter(|t| t.words == words).count(), 1, "{words}");
        }
        assert!(texts().all(|t| t.anchor != Anchor::Start || t.at[0] + t.width() <= drawing.width));
        assert_eq!(ConvergenceChart { words, lines: Vec::new() }.drawing().unwrap(), None);
    }

    #[test]
    fn ticks_within_a_decade_are_numbered() {
        assert_eq!(one_two_five([80.0, 1500.0]), [100.0, 200.0, 500.0, 1000.0]);
        assert_eq!(powers_of_ten([0.004, 1.3]), [0.01, 0.1, 1.0]);
    }

    #[test]
    fn places_on_an_axis_of_powers_are_written_as_their_numbers() {
        let written = [0.01, 0.1, 1.0, 2.0, 500.0, 2000.0, 1e5].map(|v: f64| power(v.log10()));
        assert_eq!(written, ["0.01", "0.1", "1", "2", "500", "2000", "100000"]);
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
