//! A pull until failure: load over stretch with numbered marks, the forecast's limits beside it, and the gate's share over the load. On an
//! upright page, which is read on a phone, limits have letters, and both lists stand below each other.

use crate::chart_marks::{Label, Marker, labels};
use crate::chart_page::{ChartWords, TYPE};
use crate::chart_panel::{ChartAxis, ChartError, LEFT, Line, Panel, panel};
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::Page;
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, PAPER, QUIET, round_up};
use crate::path::Path;
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight};

/// Room right of the panels, for limits and for the list of marks; on an upright page for the letters of limits.
const NAMES: f64 = 470.0;
const LETTERS: f64 = 64.0;
/// Height of a row, and space between two lists, on an upright page.
const ROW: f64 = 42.0;
const BETWEEN: f64 = 26.0;
/// Room over a panel for its heading, and under it for numbers and the name of its axis.
const HEADING: f64 = 46.0;
const FOOT: f64 = 34.0;
/// Part of the room that the curve takes, where the share has a panel.
const CURVE: f64 = 0.62;
/// Diameter of a numbered mark, and of the point on the curve.
const DISC: f64 = 32.0;
const POINT: f64 = 13.0;
/// How far a numbered mark stands from its point, first and with each further try.
const AWAY: f64 = 34.0;
const FURTHER: f64 = 9.0;
/// Length of the mark of a limit inside the plot.
const TICK: f64 = 46.0;

/// Marks that are listed in one column.
const ONE_COLUMN: usize = 6;

/// A point of the curve to be named.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveMark {
    /// Stretch in mm, load in kN.
    pub at: [f64; 2],
    /// What it is, with its load.
    pub words: String,
}

/// A limit of the forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveTick {
    /// Its load, kN.
    pub at_kn: f64,
    /// What it is, with its load.
    pub words: String,
}

/// What is written in the chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PullCurveWords {
    /// Over the curve.
    pub curve: String,
    /// Under the curve: what its axis counts.
    pub stretch: String,
    /// Over the share.
    pub share: String,
    /// Under the share.
    pub load: String,
    /// Over the limits of the forecast.
    pub forecast: String,
    /// Over the list of marks.
    pub marks: String,
    /// What the dashed branch is; empty without one.
    pub hook: String,
}

/// Everything the chart shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PullCurve {
    /// Its head and foot.
    pub words: ChartWords,
    /// What is written in it.
    pub told: PullCurveWords,
    /// What it says, for those who cannot see it.
    pub description: String,
    /// Stretch in mm and load in kN of each step, with the gate.
    pub gate: Vec<[f64; 2]>,
    /// The same of the open hook afterwards; empty without one.
    pub hook: Vec<[f64; 2]>,
    /// The same by others who measured it: drawn thin beside.
    pub beside: Vec<Vec<[f64; 2]>>,
    /// Load in kN and the gate's share in percent; empty without a gate that carries.
    pub shares: Vec<[f64; 2]>,
    /// Points to name, in the order of the list.
    pub marks: Vec<CurveMark>,
    /// Limits of the forecast, lowest first.
    pub ticks: Vec<CurveTick>,
}

impl PullCurve {
    /// Lays the chart out for a size in pixels.
    ///
    /// # Errors
    /// There are fewer than two steps, or the chart library fails.
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Result<Drawing, ChartError> {
        if self.gate.len() < 2 {
            return Err(ChartError::Values);
        }
        let page = Page::readable(width_px, height_px);
        if page.is_upright() {
            return self.upright(&page);
        }
        let (mut items, room) = self.words.framed(&page);
        let part = if self.shares.is_empty() { 0.72 } else { CURVE };
        let high = part * room.h - HEADING - FOOT;
        let names = if self.ticks.is_empty() { 0.0 } else { NAMES };
        let upper = Area { x: room.x, y: room.y + HEADING, w: room.w - names, h: high };
        let list_top = upper.bottom() + FOOT + HEADING;
        let lower = Area { y: list_top, h: room.bottom() - FOOT - list_top, ..upper };
        let curve = self.curve(&page, upper, &mut items)?;
        self.limits(&curve, upper, &mut items);
        if !self.shares.is_empty() {
            self.share(&page, lower, &mut items)?;
        }
        let beside = self.shares.is_empty().then_some(room.x);
        let left = beside.unwrap_or(curve.plot.right() + 34.0);
        let list = Area { x: left, y: list_top, w: room.right() - left, h: room.bottom() - list_top };
        self.list(list, &mut items);
        Ok(self.words.drawing(&page, self.description.clone(), items))
    }

    fn upright(&self, page: &Page) -> Result<Drawing, ChartError> {
        let (mut items, room) = self.words.framed(page);
        let list_high = |rows: usize| if rows == 0 { 0.0 } else { HEADING + ROW * rows as f64 + BETWEEN };
        let lists = list_high(self.marks.len()) + list_high(self.ticks.len());
        let beside = if self.ticks.is_empty() { 0.0 } else { LETTERS };
        let panels = room.h - lists;
        let part = if self.shares.is_empty() { 1.0 } else { 0.66 };
        let high = part * panels - HEADING - FOOT;
        let upper = Area { x: room.x, y: room.y + HEADING, w: room.w - beside, h: high };
        let curve = self.curve(page, upper, &mut items)?;
        let lettered =
            self.ticks.iter().zip('A'..).map(|(tick, letter)| label(&curve, tick, letter.to_string()));
        items.extend(self.ticks.iter().map(|tick| at_limit(&curve, tick)));
        labels(lettered.collect(), curve.plot, LETTERS, &mut items);
        if !self.shares.is_empty() {
            let top = upper.bottom() + FOOT + HEADING;
            let lower = Area { y: top, h: room.y + panels - FOOT - top, ..upper };
            self.share(page, lower, &mut items)?;
        }
        let top = room.y + panels + HEADING;
        self.list(Area { y: top, h: list_high(self.marks.len()) - HEADING, ..room }, &mut items);
        let top = top + list_high(self.marks.len());
        if !self.ticks.is_empty() {
            items.push(over(&self.told.forecast, [room.x, top - 12.0]));
        }
        for ((tick, letter), row) in self.ticks.iter().zip('A'..).zip(0_u32..) {
            let y = top + (f64::from(row) + 0.5) * ROW + 6.0;
            let text = |words: &str, x, weight| {
                Item::Text(Text::new([x, y + 0.5 * CAP_HEIGHT * TYPE], TYPE, weight, INK, words))
            };
            items.push(text(&letter.to_string(), room.x + 0.2 * DISC, Weight::Bold));
            items.push(text(&tick.words, room.x + 1.4 * DISC, Weight::Regular));
        }
        Ok(self.words.drawing(page, self.description.clone(), items))
    }

    /// The forecast's limits in the plot, with their names beside it.
    fn limits(&self, panel: &Panel, area: Area, items: &mut Vec<Item>) {
        if self.ticks.is_empty() {
            return;
        }
        items.extend(self.ticks.iter().map(|tick| at_limit(panel, tick)));
        items.push(over(&self.told.forecast, [panel.plot.right() + 34.0, area.y - 12.0]));
        let named = self.ticks.iter().map(|tick| label(panel, tick, tick.words.clone()));
        labels(named.collect(), panel.plot, NAMES - 10.0, items);
    }

    fn curve(&self, page: &Page, area: Area, items: &mut Vec<Item>) -> Result<Panel, ChartError> {
        let points = || self.gate.iter().chain(&self.hook).chain(self.beside.iter().flatten());
        let stretch = points().map(|p| p[0]).fold(0.0, f64::max).max(1e-6);
        let load = points().map(|p| p[1]).chain(self.ticks.iter().map(|t| t.at_kn)).fold(0.0, f64::max);
        let line = |points: &[[f64; 2]], dash| Line {
            pieces: vec![points.iter().map(|p| (p[0], p[1].max(0.0))).collect()],
            colour: ACCENT,
            width: 5.0,
            dash,
        };
        let thin = |points: &Vec<[f64; 2]>| Line { width: 2.0, colour: INK, ..line(points, None) };
        let mut lines: Vec<Line> = self.beside.iter().map(thin).collect();
        lines.push(line(&self.gate, None));
        if self.hook.len() > 1 {
            lines.push(line(&self.hook, Some([16.0, 10.0])));
            // The load falls at one stretch when the gate goes.
            if let (Some(gate), Some(hook)) = (self.gate.last(), self.hook.first()) {
                lines.push(Line { width: 2.5, ..line(&[*gate, *hook], Some([4.0, 7.0])) });
            }
        }
        let axis = ChartAxis::Numbers(vec![0.0, 1.05 * stretch]);
        let panel = panel(page.size(), area, &axis, [0.0, 1.1 * load], &lines, items)?;
        heading(&self.told.curve, area, items);
        foot(&self.told.stretch, &panel, items);
        if !self.told.hook.is_empty() {
            let at = [panel.plot.right() - 14.0, panel.plot.bottom() - 16.0];
            let text = Text::new(at, TYPE, Weight::Regular, QUIET, self.told.hook.as_str());
            items.push(Item::Text(text.anchored(Anchor::End)));
        }
        self.numbered(&panel, items);
        Ok(panel)
    }

    /// The marks on the curve, each with its number beside, clear of the others.
    fn numbered(&self, panel: &Panel, items: &mut Vec<Item>) {
        let mut taken: Vec<[f64; 2]> = Vec::new();
        let points: Vec<[f64; 2]> = self.marks.iter().map(|m| panel.place(m.at[0], m.at[1])).collect();
        let all: Vec<[f64; 2]> =
            self.gate.iter().chain(&self.hook).map(|p| panel.place(p[0], p[1])).collect();
        for (number, point) in (1..).zip(&points) {
            let free = |at: &[f64; 2]| {
                let inside = panel.plot.grown(-0.55 * DISC).holds(*at);
                let off = |p: &[f64; 2]| (p[0] - at[0]).hypot(p[1] - at[1]);
                let clear = |p: &[f64; 2], by: f64| off(p) > by;
                inside
                    && taken.iter().all(|p| clear(p, 1.1 * DISC))
                    && points.iter().all(|p| clear(p, 0.8 * DISC))
                    && all.windows(2).all(|pair| clear(&nearest(pair[0], pair[1], *at), 0.62 * DISC))
            };
            let ways =
                [[-0.7, -0.7], [0.7, 0.7], [-1.0, -0.1], [1.0, 0.3], [1.0, -0.35], [0.0, 1.0], [0.0, -1.0]];
            let tries = (0..24).flat_map(|further| {
                let away = AWAY + FURTHER * f64::from(further);
                ways.map(|[x, y]| [point[0] + away * x, point[1] + away * y])
            });
            let at = tries.clone().find(free).or_else(|| tries.into_iter().next()).unwrap_or(*point);
            taken.push(at);
            items.push(Item::stroked(Path::line(&[*point, at]), Stroke::new(INK, 1.5)));
            items.push(Item::filled(Path::circle(*point, 0.5 * POINT), INK));
            items.push(disc(at));
            items.push(Item::Text(numeral(number, at)));
        }
    }

    fn share(&self, page: &Page, area: Area, items: &mut Vec<Item>) -> Result<(), ChartError> {
        let load = self.shares.iter().map(|p| p[0]).fold(0.0, f64::max).max(1e-6);
        let most = self.shares.iter().map(|p| p[1]).fold(0.0, f64::max).max(1.0);
        let line = Line {
            pieces: vec![self.shares.iter().map(|p| (p[0], p[1].max(0.0))).collect()],
            colour: ACCENT,
            width: 5.0,
            dash: None,
        };
        let axis = ChartAxis::Numbers(vec![0.0, 1.05 * load]);
        let panel = panel(page.size(), area, &axis, [0.0, round_up(1.02 * most)], &[line], items)?;
        heading(&self.told.share, area, items);
        foot(&self.told.load, &panel, items);
        Ok(())
    }

    /// What the numbers on the curve stand for.
    fn list(&self, area: Area, items: &mut Vec<Item>) {
        items.push(over(&self.told.marks, [area.x, area.y - 12.0]));
        // Two columns where one would be too narrow for its lines.
        let columns = if self.marks.len() > ONE_COLUMN && area.w > 2.0 * NAMES { 2 } else { 1 };
        let rows = self.marks.len().div_ceil(columns).max(1);
        let row = ((area.h - 8.0) / rows as f64).min(1.6 * LABEL);
        let wide = area.w / columns as f64;
        for (k, (number, mark)) in (1..).zip(&self.marks).enumerate() {
            let y = area.y + ((k % rows) as f64 + 0.5) * row + 6.0;
            let from = area.x + wide * (k / rows) as f64;
            let at = [from + 0.5 * DISC, y];
            items.push(Marker::Disc.item(at, DISC.min(0.92 * row), INK));
            items.push(Item::Text(numeral(number, at)));
            let left = from + 1.4 * DISC;
            let block = Block::whole(&mark.words, Weight::Regular, TYPE, 19.0, from + wide - left - 8.0, 1);
            let top = y - 0.5 * block.height();
            items.extend(block.place(left, top, Anchor::Start, INK).into_iter().map(Item::Text));
        }
    }
}

/// The mark of a limit at the right end of a plot.
fn at_limit(panel: &Panel, tick: &CurveTick) -> Item {
    let [right, y] = [panel.plot.right(), panel.place(0.0, tick.at_kn)[1]];
    Item::stroked(Path::line(&[[right - TICK, y], [right, y]]), Stroke::new(INK, 3.0))
}

/// What stands beside it.
fn label(panel: &Panel, tick: &CurveTick, words: String) -> Label {
    let y = panel.place(0.0, tick.at_kn)[1];
    Label { y, words, colour: INK, weight: Weight::Regular, marker: None, leader: true }
}

/// The heading of a list.
fn over(words: &str, at: [f64; 2]) -> Item {
    Item::Text(Text::new(at, LABEL, Weight::Bold, INK, words))
}

/// The point of a line between two points that is nearest to another.
fn nearest(a: [f64; 2], b: [f64; 2], to: [f64; 2]) -> [f64; 2] {
    let along = [b[0] - a[0], b[1] - a[1]];
    let square = along[0] * along[0] + along[1] * along[1];
    let t = if square > 0.0 {
        (((to[0] - a[0]) * along[0] + (to[1] - a[1]) * along[1]) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    [a[0] + t * along[0], a[1] + t * along[1]]
}

fn disc(at: [f64; 2]) -> Item {
    Marker::Disc.item(at, DISC, INK)
}

fn numeral(number: i32, at: [f64; 2]) -> Text {
    const SIZE: f64 = 23.0;
    let at = [at[0], at[1] + 0.5 * CAP_HEIGHT * SIZE];
    Text::new(at, SIZE, Weight::Bold, PAPER, number.to_string()).anchored(Anchor::Middle)
}

fn heading(words: &str, area: Area, items: &mut Vec<Item>) {
    items.push(over(words, [area.x + LEFT - 60.0, area.y - 12.0]));
}

fn foot(words: &str, panel: &Panel, items: &mut Vec<Item>) {
    let at = [panel.plot.x + 0.5 * panel.plot.w, panel.plot.bottom() + 44.0 + TYPE];
    items.push(Item::Text(Text::new(at, TYPE, Weight::Regular, INK, words).anchored(Anchor::Middle)));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulled() -> PullCurve {
        let mark = |stretch_mm, load_kn, words: &str| CurveMark {
            at: [stretch_mm, load_kn],
            words: words.to_owned(),
        };
        let tick = |at_kn: f64, words: &str| CurveTick { at_kn, words: format!("{words} {at_kn:.1} kN") };
        PullCurve {
            words: ChartWords {
                title: "Broad bar, aluminium, for the spreader beams".to_owned(),
                subtitle: "gate closed, both ends 12 mm strap centred".to_owned(),
                sentence: "The gate is torn out at the hinge pin at 28.2 kN, where 11.2 kN run along the gate. The open hook holds 5.6 kN \
                           right after, at the same stretch, and 8.2 kN until its bars have turned by 23 degrees."
                    .to_owned(),
                caution: "A plane model for understanding and planning only; an accredited laboratory decides about life-safety equipment."
                    .to_owned(),
                source_line: "pullmap 0.1.0, broadbar-alu, inputs e9d333ac4ae5".to_owned(),
            },
            told: PullCurveWords {
                curve: "Load, kN".to_owned(),
                stretch: "stretch between the load centres, mm".to_owned(),
                share: "Gate's share of the load, %".to_owned(),
                load: "load, kN".to_owned(),
                forecast: "The forecast's limits".to_owned(),
                marks: "On the curve".to_owned(),
                hook: "dashed: the open hook, while friction holds".to_owned(),
            },
            description: String::new(),
            gate: vec![[0.0, 0.0], [0.8, 10.0], [2.0, 20.0], [6.0, 28.0]],
            hook: vec![[6.0, 5.6], [14.0, 8.2]],
            beside: Vec::new(),
            shares: vec![[1.0, 36.0], [28.0, 40.0]],
            marks: vec![
                mark(0.8, 10.0, "first yield 10.3 kN"),
                mark(2.0, 20.0, "gate no longer shuts 18.9 kN"),
                mark(6.0, 28.0, "gate torn out at the hinge pin 28.2 kN"),
                mark(14.0, 8.2, "friction no longer holds 8.2 kN"),
            ],
            ticks: vec![
                tick(7.8, "nose pin, bent"),
                tick(10.1, "frame, first yield"),
                tick(21.9, "frame opens"),
                tick(25.9, "gate, torn out at the hinge pin"),
                tick(26.0, "lip of the notch"),
            ],
        }
    }

    #[test]
    fn on_a_phone_every_word_can_be_read_and_none_leaves_the_page_or_runs_into_another() {
        let (pulled, [width, height]) = (pulled(), [1080, 2340]);
        let drawing = pulled.drawing(width, height).unwrap();
        let all = drawing.texts();
        let on_phone = |size: f64| size * drawing.pixels_per_unit * 390.0 / f64::from(width);
        for text in &all {
            assert!(on_phone(text.size) >= 9.5, "{:.1} pixels: {}", on_phone(text.size), text.words);
        }
        let boxes: Vec<_> =
            all.iter().filter_map(|t| Some((t.words.as_str(), t.outline().bounds()?))).collect();
        for (i, (words, b)) in boxes.iter().enumerate() {
            let page = [drawing.width, drawing.height];
            assert!((0..2).all(|k| b[0][k] >= 0.0 && b[1][k] <= page[k]), "{words} leaves the page");
            for (other, o) in &boxes[i + 1..] {
                let apart = (0..2).any(|k| b[0][k] >= o[1][k] || o[0][k] >= b[1][k]);
                assert!(apart, "{words} runs into {other}");
            }
        }
        // Each limit and each mark is named once; what stands in the plot is a letter or a number.
        for words in pulled.marks.iter().map(|m| &m.words).chain(pulled.ticks.iter().map(|t| &t.words)) {
            assert_eq!(all.iter().filter(|t| &t.words == words).count(), 1, "{words}");
        }
        assert_eq!(all.iter().filter(|t| t.words == "E").count(), 2, "at its limit, and in the list");
    }
}
