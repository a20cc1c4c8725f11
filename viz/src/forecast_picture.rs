//! The forecast: parts as bars against the load, the weakest marked, with the range, the marking, and the map small beside.

use crate::balance::balance;
use crate::colour::Rgba;
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::{Head, HeadType, Page, Placed};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, MARGIN, PAPER, PAPER_SHADE, QUIET, SMALL, round_up};
use crate::path::Path;
use crate::still::Marked;
use crate::stress_map::StressMap;
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight, width};

/// A part and the load of its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitBar {
    /// The part, in words.
    pub what: String,
    /// The load, kN.
    pub at_kn: f64,
    /// Whether it is what fails first.
    pub first: bool,
    /// Whether a pull can end there; otherwise the bar is hollow.
    pub ends: bool,
}

/// Everything the picture shows. Loads in kN.
#[derive(Clone, Debug)]
pub struct ForecastPicture<'a> {
    /// Name of the connector.
    pub title: String,
    /// The rig in a line, without a load.
    pub subtitle: String,
    /// What the picture says, in one plain sentence: the headline.
    pub sentence: String,
    /// What follows, in one or two sentences more.
    pub then: String,
    /// The parts, in the order in which they shall stand.
    pub bars: Vec<LimitBar>,
    /// What is not shown: "11 more parts, from 31.2 kN".
    pub more: Option<String>,
    /// The 90 % range.
    pub range_kn: [f64; 2],
    /// The range as written.
    pub range: String,
    /// What is marked, for this state of the gate.
    pub marked: Option<Marked>,
    /// What stands under the map.
    pub map_caption: String,
    /// Short name of the picture, for screen readers.
    pub name: String,
    /// What the picture says, for those who cannot see it.
    pub description: String,
    /// The map at the load of the rig.
    pub map: &'a StressMap<'a>,
}

/// From the end of a bar to its number.
const BEHIND: f64 = 12.0;
/// Parts that are not the weakest; as dark as ink at 60 % on paper.
const PART: Rgba = Rgba::hex(0x72_797c);
/// Space between what ends a pull and what does not.
const APART: f64 = 22.0;
/// Bars are no thicker, names no larger, rows no farther apart than this.
const THICKEST: f64 = 56.0;
const LARGEST: f64 = 38.0;
const ROOMIEST: f64 = 170.0;
/// Space above the rows for the words of the range, and below for the axis.
const HEAD: f64 = 64.0;
const FOOT: f64 = 96.0;
/// From the base line of a label down to its bar.
const LABEL_GAP: f64 = 11.0;

impl ForecastPicture<'_> {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let page = Page::new(width_px, height_px);
        let tall = page.is_upright();
        let across = page.width - 2.0 * MARGIN;
        let side = if tall { across } else { 0.3 * across };
        let words_width = if tall { across } else { across - side - 48.0 };
        let head = Head {
            title: &self.title,
            subtitle: &self.subtitle,
            sentence: &self.sentence,
            then: &self.then,
            beyond: None,
        };
        let Placed { mut items, end, .. } =
            head.place(Area { w: words_width, h: 310.0, ..page.head() }, HeadType::PAGE);
        let foot = page.foot(self.map.caution, &self.map.source_line);
        let (top, bottom) = (end + 20.0, foot.area.y - 24.0);
        let (chart, beside) = if tall {
            let split = top + 0.6 * (bottom - top);
            (
                Area { x: MARGIN, y: top, w: across, h: split - top },
                Area { x: MARGIN, y: split + 30.0, w: across, h: bottom - split - 30.0 },
            )
        } else {
            (
                Area { x: MARGIN, y: top, w: words_width, h: bottom - top },
                Area { x: page.width - MARGIN - side, y: 0.0, w: side, h: bottom },
            )
        };
        items.extend(self.chart(chart));
        items.extend(self.beside(beside, tall, &page));
        items.extend(foot.items());
        page.drawing(&self.name, self.description.clone(), items)
    }

    /// Step and end of the axis, kN: room for everything shown, and for a number behind the longest bar.
    fn axis_kn(&self) -> [f64; 2] {
        let bars = self.bars.iter().map(|b| b.at_kn);
        let most = bars.chain([self.range_kn[1], self.marked_kn().unwrap_or(0.0)]).fold(0.0, f64::max);
        let step = axis_step(most);
        [step, step * (1.1 * most / step).ceil().max(1.0)]
    }

    fn chart(&self, area: Area) -> Vec<Item> {
        let [step, axis] = self.axis_kn();
        let at = |kn: f64| area.x + area.w * (kn / axis).clamp(0.0, 1.0);
        let rows = Area { y: area.y + HEAD, h: area.h - HEAD - FOOT, ..area };
        let mut items = self.range_band(&rows, &at);
        items.extend(axis_items(&rows, [step, axis], &at));
        let groups = 1 + self.bars.windows(2).filter(|w| w[0].ends != w[1].ends).count();
        let room = rows.h - APART * (groups - 1) as f64;
        let pitch = (room / self.bars.len().max(1) as f64).min(ROOMIEST);
        let (height, size) = ((0.38 * pitch).min(THICKEST), (0.42 * pitch).clamp(20.0, LARGEST));
        let mut bottom = rows.y - 8.0;
        let mut words = Vec::new();
        for (i, bar) in self.bars.iter().enumerate() {
            let next_group = i > 0 && self.bars[i - 1].ends != bar.ends;
            bottom += pitch + if next_group { APART } else { 0.0 };
            let area =
                Area { x: at(0.0), y: bottom - height, w: (at(bar.at_kn) - at(0.0)).max(2.0), h: height };
            items.push(bar_item(bar, &area));
            words.extend(bar_words(bar, &area, size, self.marked_kn().map(&at)));
        }
        items.extend(self.marking(&rows, &at));
        // The marking's line breaks off where it would run through a name.
        let crossed =
            self.marked_kn().map(&at).into_iter().flat_map(|x| words.iter().filter_map(move |w| gap(w, x)));
        items.extend(crossed);
        items.extend(words);
        if let Some(more) = &self.more {
            // On the side where the words of the marking are not.
            let marked_left = self.marked_kn().is_some_and(|kn| kn < 0.5 * axis);
            let (x, anchor) = if marked_left { (area.right(), Anchor::End) } else { (area.x, Anchor::Start) };
            let text = Text::new([x, area.bottom() - 4.0], SMALL, Weight::Regular, QUIET, more.as_str());
            items.push(Item::Text(text.anchored(anchor)));
        }
        items
    }

    /// The range as a band behind the bars, its words above it.
    fn range_band(&self, rows: &Area, at: &dyn Fn(f64) -> f64) -> Vec<Item> {
        let [low, high] = self.range_kn.map(at);
        let top = rows.y - 18.0;
        let band = Path::rectangle([low, top], [(high - low).max(2.0), rows.bottom() - top]);
        let words = self.range.as_str();
        let half = 0.5 * width(words, LABEL, Weight::Bold);
        let middle = (0.5 * (low + high)).clamp(rows.x + half, rows.right() - half);
        let y = top - 14.0;
        let bracket = Path::line(&[[low, top + 10.0], [low, top], [high, top], [high, top + 10.0]]);
        vec![
            Item::filled(band, ACCENT.faded(0.13)),
            Item::stroked(bracket, Stroke::new(ACCENT, 3.0)),
            Item::Text(Text::new([middle, y], LABEL, Weight::Bold, ACCENT, words).anchored(Anchor::Middle)),
        ]
    }

    /// The marking as a line through all bars, its words beside the axis.
    fn marking(&self, rows: &Area, at: &dyn Fn(f64) -> f64) -> Vec<Item> {
        let Some(Marked { kn, told }) = &self.marked else { return Vec::new() };
        let (x, bottom) = (at(*kn), rows.bottom() + 56.0);
        let line = Path::line(&[[x, rows.y - 8.0], [x, rows.bottom() + 12.0]]);
        let half = 0.5 * width(told, LABEL, Weight::Bold);
        let middle = x.clamp(rows.x + half, rows.right() - half);
        let text = Text::new([middle, bottom + 0.5 + LABEL], LABEL, Weight::Bold, INK, told.as_str());
        vec![
            Item::stroked(line.clone(), Stroke::new(PAPER.faded(0.8), 7.0)),
            Item::stroked(line, Stroke::new(INK, 3.0).dashed(12.0, 8.0)),
            Item::Text(text.anchored(Anchor::Middle)),
        ]
    }

    /// The map, and under it what spine and gate carry.
    fn beside(&self, area: Area, tall: bool, page: &Page) -> Vec<Item> {
        const BALANCE: f64 = 180.0;
        let map = self.map;
        let (stage, shares) = if tall {
            let half = 0.5 * area.w - 20.0;
            (
                Area { w: half, ..area },
                Area { x: area.right() - half, y: area.y + 0.5 * (area.h - BALANCE), w: half, h: BALANCE },
            )
        } else {
            let shares = Area { y: area.bottom() - BALANCE - 8.0, h: BALANCE, ..area };
            (Area { h: shares.y - 76.0 - area.y, ..area }, shares)
        };
        let mut items = map.small(stage, page);
        let caption = Block::fit(&self.map_caption, Weight::Regular, LABEL, 24.0, [shares.w, 1.3 * LABEL]);
        let top = shares.y - 22.0 - caption.height();
        items.extend(caption.place(shares.x, top, Anchor::Start, QUIET).into_iter().map(Item::Text));
        items.extend(balance(map, shares, 1.0));
        items
    }

    /// The marking, kN.
    fn marked_kn(&self) -> Option<f64> {
        self.marked.as_ref().map(|marked| marked.kn)
    }
}

/// A patch of paper over the upright line at `x` where it crosses a name.
fn gap(words: &Item, x: f64) -> Option<Item> {
    let Item::Text(text) = words else { return None };
    let crosses = text.anchor == Anchor::Start && text.at[0] < x && x < text.at[0] + text.width() + 4.0;
    let [top, height] = [text.at[1] - 0.84 * text.size, 1.12 * text.size];
    crosses.then(|| Item::filled(Path::rectangle([x - 6.0, top], [12.0, height]), PAPER))
}

/// Distance of the axis' numbers for loads up to `most`, kN: 1, 2 or 5 times a power of ten, about six of them.
fn axis_step(most: f64) -> f64 {
    let least = round_up(most / 7.0);
    let power = 10.0_f64.powf(least.log10().floor());
    let lead = [1.0, 2.0, 5.0].into_iter().find(|m| m * power >= least * (1.0 - 1e-9)).unwrap_or(10.0);
    lead * power
}

/// The load axis under the rows, with lines up through them.
fn axis_items(rows: &Area, [step, axis_kn]: [f64; 2], at: &dyn Fn(f64) -> f64) -> Vec<Item> {
    let y = rows.bottom();
    let mut items = Vec::new();
    let mut kn = 0.0;
    while kn <= axis_kn * (1.0 + 1e-9) {
        let x = at(kn);
        items.push(Item::stroked(Path::line(&[[x, rows.y], [x, y]]), Stroke::new(QUIET.faded(0.25), 1.5)));
        items.push(Item::stroked(Path::line(&[[x, y], [x, y + 12.0]]), Stroke::new(INK, 2.0)));
        let words = if kn == 0.0 { "0 kN".to_owned() } else { format!("{kn}") };
        let anchor = if kn == 0.0 {
            Anchor::Start
        } else if kn + 0.5 * step > axis_kn {
            Anchor::End
        } else {
            Anchor::Middle
        };
        let text = Text::new([x, y + 18.0 + CAP_HEIGHT * LABEL], LABEL, Weight::Regular, INK, words);
        items.push(Item::Text(text.anchored(anchor)));
        kn += step;
    }
    items.push(Item::stroked(Path::line(&[[rows.x, y], [rows.right(), y]]), Stroke::new(INK, 2.0)));
    items
}

/// A bar.
fn bar_item(bar: &LimitBar, area: &Area) -> Item {
    let shape = Path::rounded([area.x, area.y], [area.w, area.h], 4.0);
    if bar.first {
        Item::filled(shape, ACCENT)
    } else if bar.ends {
        Item::filled(shape, PART)
    } else {
        Item::outlined(shape, PAPER_SHADE.faded(0.5), Stroke::new(PART, 2.5).dashed(7.0, 6.0))
    }
}

/// Its name above and its load behind it, or behind the line of the marking where that would run through it.
fn bar_words(bar: &LimitBar, area: &Area, size: f64, line: Option<f64>) -> [Item; 2] {
    let (colour, weight) = if bar.first { (ACCENT, Weight::Bold) } else { (INK, Weight::Regular) };
    let name = Text::new([area.x, area.y - LABEL_GAP], size, weight, colour, bar.what.as_str());
    let middle = area.y + 0.5 * area.h + 0.5 * CAP_HEIGHT * size;
    let at = [area.right() + BEHIND, middle];
    let mut number = Text::new(at, size, Weight::Bold, colour, format!("{:.1}", bar.at_kn));
    let end = at[0] + number.width() + 0.5 * BEHIND;
    if let Some(line) = line.filter(|x| *x > area.right() && *x < end) {
        number.at[0] = line + BEHIND;
    }
    [Item::Text(name), Item::Text(number)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_axis_has_round_numbers() {
        for (most, step) in [(26.8, 5.0), (7.7, 2.0), (103.0, 20.0), (0.8, 0.2), (60.0, 10.0)] {
            assert!((axis_step(most) - step).abs() < 1e-9, "{most}: {}", axis_step(most));
        }
    }
}
