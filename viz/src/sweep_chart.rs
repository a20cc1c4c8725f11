//! One key varied: the gate's share, the spine's moment, and the limit of each part, with the forecast below them all.

use crate::chart_marks::{Label, MARKERS, Marker, labels};
use crate::chart_page::{ChartWords, TYPE};
use crate::chart_panel::{ChartAxis, ChartError, LEFT, Line, Panel, hatch, number, panel, pieces};
use crate::colour::Rgba;
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::Page;
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, PAPER, QUIET, SMALL, round_up};
use crate::path::Path;
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight, width};

/// The limit of a part along a sweep.
#[derive(Clone, Debug, PartialEq)]
pub struct PartCurve {
    /// The part, in words.
    pub name: String,
    /// What stands on the ground where it fails first.
    pub on_ground: String,
    /// Load on the connector at its limit, kN, at each place of the axis; absent where none brings it there.
    pub at_kn: Vec<Option<f64>>,
}

/// What is written in the chart of a sweep, beside the words of its page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SweepWords {
    /// Headings of its panels, with units: share, moment, limits.
    pub headings: [String; 3],
    /// The name of the curve of the highest loads.
    pub forecast: String,
    /// What stands where no point could be computed.
    pub not_computed: String,
    /// What is said of parts whose curves are not drawn; absent where all are.
    pub more: Option<String>,
    /// What the picture says, for those who cannot see it.
    pub description: String,
}

/// The chart of a sweep over one key. Every list has one entry for each place of the axis, whose numbers rise; absent ones
/// failed.
#[derive(Clone, Debug, PartialEq)]
pub struct SweepChart {
    /// Words above and below.
    pub words: ChartWords,
    /// What is written in it.
    pub told: SweepWords,
    /// What was varied, with unit.
    pub key: String,
    /// Its values.
    pub axis: ChartAxis,
    /// Gate's share of the pull, percent.
    pub gate_percent: Vec<Option<f64>>,
    /// Moment of the spine at mid height, N m.
    pub spine_moment_nm: Vec<Option<f64>>,
    /// Highest load of the pull, kN.
    pub forecast_kn: Vec<Option<f64>>,
    /// Parts whose limit ends the pull or costs the gate.
    pub parts: Vec<PartCurve>,
    /// Limits of the frame that end nothing: first yield, permanently bent.
    pub quiet: Vec<PartCurve>,
    /// The part that fails first, by its place among the parts.
    pub fails_first: Vec<Option<usize>>,
    /// Where on the axis the weakest part changes from one place to the next, in order. Where places between failed, nobody
    /// knows where it does.
    pub changes: Vec<f64>,
}

/// At least 4.5:1 on paper; a line has a dash and a marker of its own as well.
const COLOURS: [Rgba; 7] = [
    Rgba::hex(0xa0_4216),
    Rgba::hex(0x39_4796),
    Rgba::hex(0x7d_2a6b),
    Rgba::hex(0x1c_2831),
    Rgba::hex(0x7a_5a00),
    Rgba::hex(0x0b_5f86),
    Rgba::hex(0x8c_2334),
];
const DASHES: [Option<[f64; 2]>; 4] = [None, Some([18.0, 10.0]), Some([5.0, 9.0]), Some([30.0, 8.0])];

/// Lines drawn at most.
const MOST_LINES: usize = 7;
/// Room right of the limits for the names of the lines.
const NAMES: f64 = 430.0;

impl SweepChart {
    /// Lays out the chart on a page of so many pixels.
    ///
    /// # Errors
    /// The chart library fails.
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Result<Drawing, ChartError> {
        let page = Page::new(width_px, height_px);
        let size = page.size();
        let (mut items, room) = self.words.framed(&page);
        let top = 0.33 * room.h;
        let half = 0.5 * (room.w - 60.0);
        let heading = 1.5 * LABEL;
        let small = |x: f64| Area { x, y: room.y + heading, w: half, h: top - heading };
        self.simple(
            size,
            small(room.x),
            &self.told.headings[0],
            &self.gate_percent,
            Marker::Disc,
            &mut items,
        )?;
        let right = small(room.x + half + 60.0);
        self.simple(size, right, &self.told.headings[1], &self.spine_moment_nm, Marker::Square, &mut items)?;
        let y = room.y + top + 24.0 + heading;
        let area = Area { x: room.x, y, w: room.w - NAMES, h: room.bottom() - y - 1.3 * TYPE };
        self.limits(size, area, &mut items)?;
        Ok(self.words.drawing(&page, self.told.description.clone(), items))
    }

    fn simple(
        &self,
        size: [f64; 2],
        area: Area,
        heading: &str,
        values: &[Option<f64>],
        marker: Marker,
        items: &mut Vec<Item>,
    ) -> Result<(), ChartError> {
        head(heading, area, items);
        let (low, high) =
            values.iter().flatten().fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(*v), b.max(*v)));
        let y = [if low < 0.0 { -round_up(-low) } else { 0.0 }, round_up(high.max(1e-9) * 1.05)];
        let line = Line { pieces: self.pieces(values, y[1]), colour: ACCENT, width: 4.0, dash: None };
        let panel = panel(size, area, &self.axis, y, &[line], items)?;
        self.gaps(&panel, false, items);
        if self.has_words() {
            bars(&panel, values, 0, items);
        } else {
            self.marks(&panel, values, marker, ACCENT, 13.0, items);
        }
        Ok(())
    }

    /// Places where the connector becomes another one: the weakest part changes, and beyond the change one of the two has no
    /// limit at all, as a pin that rides out where it was held. What was between is a jump, not a slope.
    fn jumps(&self) -> Vec<usize> {
        let lacks = |part: usize, place: usize| {
            self.parts.get(part).and_then(|part| part.at_kn.get(place)).is_some_and(Option::is_none)
        };
        (1..self.fails_first.len())
            .filter(|place| match (self.fails_first[place - 1], self.fails_first[*place]) {
                (Some(a), Some(b)) => a != b && (lacks(a, *place) || lacks(b, place - 1)),
                _ => false,
            })
            .collect()
    }

    /// Curves through values, parted where the connector becomes another one.
    fn pieces(&self, values: &[Option<f64>], top: f64) -> Vec<Vec<(f64, f64)>> {
        let mut ends = self.jumps();
        ends.push(values.len());
        let mut start = 0;
        let mut all = Vec::new();
        for end in ends {
            let within =
                |(place, value): (usize, &Option<f64>)| value.filter(|_| (start..end).contains(&place));
            let own: Vec<Option<f64>> = values.iter().enumerate().map(within).collect();
            all.extend(pieces(&self.axis, &own, top));
            start = end;
        }
        all
    }

    /// Markers along a curve: at every point of a short sweep, at about ten of a long one.
    fn marks(
        &self,
        panel: &Panel,
        values: &[Option<f64>],
        marker: Marker,
        colour: Rgba,
        size: f64,
        items: &mut Vec<Item>,
    ) {
        let every = (values.len() / 10).max(1);
        for (place, value) in values.iter().enumerate() {
            let Some(value) = value.filter(|v| *v <= panel.y[1]) else { continue };
            if place % every == 0 || place + 1 == values.len() {
                let [x, y] = panel.place(self.axis.at(place), value);
                // Beside the bar of a word, not on it.
                let aside = if self.has_words() { 0.5 * bar_width(panel, values.len()) + 16.0 } else { 0.0 };
                items.push(marker.item([x - aside, y], size, colour));
            }
        }
    }

    /// Parts worth a line: those that come near the forecast, lowest first.
    #[must_use]
    pub fn drawn(&self) -> Vec<&PartCurve> {
        let highest = self.forecast_kn.iter().flatten().fold(0.0_f64, |a, b| a.max(*b));
        let lowest = |p: &PartCurve| p.at_kn.iter().flatten().fold(f64::INFINITY, |a, b| a.min(*b));
        let mut near: Vec<&PartCurve> = self.parts.iter().filter(|p| lowest(p) <= 1.4 * highest).collect();
        near.sort_by(|a, b| lowest(a).total_cmp(&lowest(b)));
        near.truncate(MOST_LINES);
        near
    }

    fn limits(&self, size: [f64; 2], area: Area, items: &mut Vec<Item>) -> Result<(), ChartError> {
        let highest = self.forecast_kn.iter().flatten().fold(0.0_f64, |a, b| a.max(*b));
        let y = [0.0, round_up(1.4 * highest.max(1e-3))];
        let drawn = self.drawn();
        let mut lines = vec![Line {
            pieces: self.pieces(&self.forecast_kn, y[1]),
            colour: ACCENT,
            width: 10.0,
            dash: None,
        }];
        for (i, part) in drawn.iter().enumerate() {
            lines.push(Line {
                pieces: self.pieces(&part.at_kn, y[1]),
                colour: COLOURS[i % COLOURS.len()],
                width: 3.0,
                dash: DASHES[i % DASHES.len()],
            });
        }
        for part in &self.quiet {
            lines.push(Line {
                pieces: self.pieces(&part.at_kn, y[1]),
                colour: QUIET,
                width: 2.0,
                dash: Some([3.0, 8.0]),
            });
        }
        head(&self.told.headings[2], area, items);
        let panel = panel(size, area, &self.axis, y, &lines, items)?;
        self.gaps(&panel, true, items);
        self.regions(&panel, items);
        if self.has_words() {
            bars(&panel, &self.forecast_kn, 1, items);
        }
        let mut names = Vec::new();
        for (i, part) in drawn.iter().enumerate() {
            let (colour, marker) = (COLOURS[i % COLOURS.len()], MARKERS[i % MARKERS.len()]);
            self.marks(&panel, &part.at_kn, marker, colour, 15.0, items);
            names.push((part.name.clone(), &part.at_kn, colour, Weight::Regular, Some(marker)));
        }
        self.change_numbers(&panel, items);
        if self.has_words() {
            // A list: the lines that would lead to names are not there.
            let all = names.into_iter().enumerate().map(|(i, (words, _, colour, weight, marker))| {
                let y = panel.plot.y + 1.3 * TYPE * (i as f64 + 0.5);
                Label { y, words, colour, weight, marker, leader: false }
            });
            labels(all.collect(), panel.plot, NAMES, items);
        } else {
            for part in &self.quiet {
                names.push((part.name.clone(), &part.at_kn, QUIET, Weight::Regular, None));
            }
            names.push((self.told.forecast.clone(), &self.forecast_kn, ACCENT, Weight::Bold, None));
            let rightmost = self.rightmost();
            let all = names.into_iter().filter_map(|(words, values, colour, weight, marker)| {
                let at_edge = rightmost.and_then(|place| values[place]);
                // A curve that ends before the edge is named beside its last point; no line leads there.
                let value = at_edge.or_else(|| values.iter().rev().flatten().next().copied())?;
                let (y, words) = if value <= panel.y[1] {
                    (panel.place(panel.x[1], value)[1], words)
                } else {
                    (panel.plot.y, format!("{words} \u{2191}"))
                };
                Some(Label { y, words, colour, weight, marker, leader: at_edge.is_some() })
            });
            labels(all.collect(), panel.plot, NAMES, items);
        }
        let at = [panel.plot.x + 0.5 * panel.plot.w, panel.plot.bottom() + 44.0 + TYPE];
        let key = Text::new(at, TYPE, Weight::Bold, INK, self.key.as_str()).anchored(Anchor::Middle);
        items.push(Item::Text(key));
        if let Some(more) = &self.told.more {
            let at = [panel.plot.right() + 34.0, panel.plot.bottom() + 44.0 + TYPE];
            items.push(Item::Text(Text::new(at, SMALL, Weight::Regular, QUIET, more.as_str())));
        }
        Ok(())
    }

    fn has_words(&self) -> bool {
        matches!(self.axis, ChartAxis::Words(_))
    }

    /// The place at the right edge that was computed.
    fn rightmost(&self) -> Option<usize> {
        (0..self.axis.len())
            .filter(|place| self.forecast_kn[*place].is_some())
            .max_by(|a, b| self.axis.at(*a).total_cmp(&self.axis.at(*b)))
    }

    /// Stretches of the axis with one weakest part, and those where nothing could be computed: from, to, which part. Half
    /// way between a place that was computed and one that was not the one ends and the other begins.
    fn stretches(&self) -> Vec<(f64, f64, Option<usize>)> {
        let [start, end] = self.axis.range();
        let mut all: Vec<(f64, f64, Option<usize>)> = Vec::new();
        let mut changes = self.changes.iter().copied();
        for (place, first) in self.fails_first.iter().copied().enumerate() {
            match all.last_mut() {
                None => all.push((start, end, first)),
                Some((.., last)) if *last == first => {}
                Some((_, to, last)) => {
                    let half = 0.5 * (self.axis.at(place - 1) + self.axis.at(place));
                    let known = last.is_some() && first.is_some();
                    let at = if known { changes.next().unwrap_or(half) } else { half };
                    *to = at;
                    all.push((at, end, first));
                }
            }
        }
        all
    }

    /// Hatches the stretches where nothing could be computed; `told` says so where there is room.
    fn gaps(&self, panel: &Panel, told: bool, items: &mut Vec<Item>) {
        let not_computed = self.told.not_computed.as_str();
        for (from, to, _) in self.stretches().into_iter().filter(|(.., first)| first.is_none()) {
            let (a, b) = (panel.place(from, 0.0)[0], panel.place(to, 0.0)[0]);
            let area = Area { x: a, y: panel.plot.y, w: b - a, h: panel.plot.h };
            hatch(area, items);
            let block =
                Block::fit(not_computed, Weight::Regular, TYPE, 0.75 * TYPE, [area.w - 20.0, 3.8 * TYPE]);
            if !told || block.cut || block.broken {
                continue;
            }
            let top = area.y + 0.5 * (area.h - block.height());
            let (x, padding) = (a + 0.5 * area.w, 10.0);
            let plate = [block.width() + 2.0 * padding, block.height() + padding];
            let corner = [x - 0.5 * plate[0], top - 0.5 * padding];
            items.push(Item::filled(Path::rounded(corner, plate, 8.0), PAPER));
            let texts = block.place(x, top, Anchor::Middle, QUIET);
            items.extend(texts.into_iter().map(Item::Text));
        }
    }

    /// Upright marks where the weakest part changes, and its name in between.
    fn regions(&self, panel: &Panel, items: &mut Vec<Item>) {
        if self.has_words() {
            return;
        }
        for (from, to, first) in self.stretches() {
            let Some(part) = first.and_then(|part| self.parts.get(part)) else { continue };
            let (a, b) = (panel.place(from, 0.0)[0], panel.place(to, 0.0)[0]);
            // The foot of the plot is free: no part of a sound connector gives at a tenth of the forecast.
            let room = [(b - a).abs() - 20.0, 2.5 * TYPE];
            let block = Block::fit(&part.on_ground, Weight::Bold, TYPE, 0.75 * TYPE, room);
            if room[0] > 90.0 && !block.cut {
                let top = panel.plot.bottom() - 8.0 - block.height();
                let texts = block.place(0.5 * (a + b), top, Anchor::Middle, INK);
                items.extend(texts.into_iter().map(Item::Text));
            }
        }
        for at in &self.changes {
            let [x, _] = panel.place(*at, 0.0);
            let line = Path::line(&[[x, panel.plot.y], [x, panel.plot.bottom()]]);
            items.push(Item::stroked(line, Stroke::new(INK, 2.5).dashed(12.0, 9.0)));
        }
    }

    /// Where the weakest part changes, over whatever curve runs there.
    fn change_numbers(&self, panel: &Panel, items: &mut Vec<Item>) {
        if self.has_words() {
            return;
        }
        for at in &self.changes {
            let [x, _] = panel.place(*at, 0.0);
            let words = number((100.0 * at).round() / 100.0);
            let wide = width(&words, TYPE, Weight::Bold) + 16.0;
            let corner = [x - 0.5 * wide, panel.plot.y - 4.0];
            items.push(Item::filled(Path::rounded(corner, [wide, 1.3 * TYPE], 8.0), PAPER));
            let at = [x, panel.plot.y + CAP_HEIGHT * TYPE + 4.0];
            let text = Text::new(at, TYPE, Weight::Bold, INK, words).anchored(Anchor::Middle);
            items.push(Item::Text(text));
        }
    }
}

/// What a panel shows, above it.
fn head(words: &str, area: Area, items: &mut Vec<Item>) {
    let fits = (area.w + NAMES / 2.0) / width(words, LABEL, Weight::Bold);
    let at = [area.x + LEFT - 60.0, area.y - 12.0];
    items.push(Item::Text(Text::new(at, LABEL * fits.min(1.0), Weight::Bold, INK, words)));
}

fn bar_width(panel: &Panel, bars: usize) -> f64 {
    (0.4 * panel.plot.w / bars as f64).min(80.0)
}

/// Bars from zero, with their numbers, for words.
fn bars(panel: &Panel, values: &[Option<f64>], digits: usize, items: &mut Vec<Item>) {
    for (place, value) in values.iter().enumerate() {
        let Some(value) = *value else { continue };
        let [x, y] = panel.place(place as f64, value);
        let [_, zero] = panel.place(place as f64, 0.0);
        let wide = bar_width(panel, values.len());
        items.push(Item::filled(
            Path::rectangle([x - 0.5 * wide, y.min(zero)], [wide, (zero - y).abs().max(1.0)]),
            ACCENT,
        ));
        let words = format!("{value:.digits$}").replace('-', "\u{2212}");
        let at = [x + 0.5 * wide + 10.0, y.min(zero - TYPE) + 0.8 * TYPE];
        items.push(Item::Text(Text::new(at, TYPE, Weight::Bold, INK, words)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At 0, 1, 2 ...: what fails first, at 10 kN.
    fn chart(first: &[Option<&str>], axis: ChartAxis, changes: Vec<f64>) -> SweepChart {
        let mut names: Vec<&str> = first.iter().flatten().copied().collect();
        names.sort_unstable();
        names.dedup();
        let along: Vec<Option<f64>> = first.iter().map(|f| f.map(|_| 10.0)).collect();
        SweepChart {
            words: ChartWords::default(),
            told: SweepWords {
                not_computed: "could not be computed".to_owned(),
                forecast: "forecast".to_owned(),
                ..SweepWords::default()
            },
            key: "depth, mm".to_owned(),
            axis,
            gate_percent: along.clone(),
            spine_moment_nm: along.clone(),
            forecast_kn: along.clone(),
            parts: names.iter().map(|name| part(name, along.clone())).collect(),
            quiet: Vec::new(),
            fails_first: first.iter().map(|f| names.iter().position(|name| Some(*name) == *f)).collect(),
            changes,
        }
    }

    fn part(name: &str, at_kn: Vec<Option<f64>>) -> PartCurve {
        PartCurve { name: name.to_owned(), on_ground: format!("{name} first"), at_kn }
    }

    fn numbers(count: u32) -> ChartAxis {
        ChartAxis::Numbers((0..count).map(f64::from).collect())
    }

    #[test]
    fn a_pin_that_rides_out_has_its_name_and_the_forecast_jumps() {
        let first = [Some("rides out"), Some("rides out"), Some("lip"), Some("lip")];
        let mut chart = chart(&first, numbers(4), vec![1.5]);
        chart.forecast_kn = [7.0, 7.0, 21.0, 21.0].map(Some).to_vec();
        chart.parts = vec![
            part("lip", vec![None, None, Some(21.0), Some(21.0)]),
            part("rides out", vec![Some(0.0), Some(0.0), None, None]),
        ];
        assert_eq!(chart.jumps(), [2]);
        let apart = [vec![(0.0, 7.0), (1.0, 7.0)], vec![(2.0, 21.0), (3.0, 21.0)]];
        assert_eq!(chart.pieces(&chart.forecast_kn, 30.0), apart);
        let drawing = chart.drawing(1600, 1200).unwrap();
        let named = |i: &Item| matches!(i, Item::Text(t) if t.words == "rides out");
        assert!(drawing.items.iter().any(named), "a curve that ends before the edge is named too");
        // Two parts that both have limits on both sides of a change meet there: no jump.
        chart.parts[1].at_kn = [0.0, 0.0, 30.0, 30.0].map(Some).to_vec();
        chart.parts[0].at_kn = [30.0, 30.0, 21.0, 21.0].map(Some).to_vec();
        assert_eq!(chart.jumps(), [0; 0]);
    }

    #[test]
    fn a_part_reaches_as_far_as_what_was_computed() {
        let first = [None, Some("lip"), Some("root"), None, None, Some("root"), Some("lip")];
        let chart = chart(&first, numbers(7), vec![1.3, 5.8]);
        let [lip, root] = [Some(0), Some(1)];
        let expected = [
            (0.0, 0.5, None),
            (0.5, 1.3, lip),
            (1.3, 2.5, root),
            (2.5, 4.5, None),
            (4.5, 5.8, root),
            (5.8, 6.0, lip),
        ];
        assert_eq!(chart.stretches(), expected);
    }

    #[test]
    fn what_could_not_be_computed_says_so_beside_the_name_of_the_part() {
        let place = |drawing: &Drawing, words: &str| {
            drawing.items.iter().find_map(|item| match item {
                Item::Text(text) if text.words.contains(words) => Some(text.at[0]),
                _ => None,
            })
        };
        let first = [Some("lip"), Some("lip"), Some("lip"), None, None, None];
        let drawing = chart(&first, numbers(6), Vec::new()).drawing(1600, 1200).unwrap();
        let (name, gap) = (place(&drawing, "lip first").unwrap(), place(&drawing, "not be").unwrap());
        // The plot is 0 to 5 wide; the part holds up to 2.5.
        assert!(name < 500.0 && gap > 600.0, "{name} {gap}");

        let words = ["shut", "half", "open"].map(str::to_owned).to_vec();
        let drawing = chart(&[Some("lip"), None, Some("lip")], ChartAxis::Words(words), Vec::new())
            .drawing(1600, 1200)
            .unwrap();
        let (gap, half) = (place(&drawing, "not be").unwrap(), place(&drawing, "half").unwrap());
        assert!(gap != half && place(&drawing, "lip first").is_none());
    }
}
