//! Pulls along an axis of load, and under them a row for each load that they lead to.

use crate::chart_page::TYPE;
use crate::colour::Rgba;
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::Page;
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER, PAPER_SHADE, QUIET};
use crate::path::Path;
use crate::sheet::{Sheet, SheetWords};
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight, width};

/// Width of the names of rows beside the axis, as a part of the page, and the most that it is.
const NAMES: f64 = 0.25;
const WIDEST_NAMES: f64 = 280.0;
/// Room right of the axis for the value of a row at its end.
const VALUES: f64 = 150.0;
/// Height of the axis with its numbers.
const AXIS: f64 = 54.0;
/// Rows are no higher than this, on an upright page and on any other.
const ROOMIEST: [f64; 2] = [94.0, 62.0];
/// Type of a heading, and the height that it takes as a part of a row.
const HEADING: f64 = 24.0;
const HEADING_ROWS: f64 = 0.95;
/// An interval is shown no farther beyond the loads than this part of their span.
const FARTHER: f64 = 0.4;
/// Part of the room that pulls may take, and that of more groups than so many.
const PULLS: f64 = 0.4;
const MANY_GROUPS: usize = 6;
const PULLS_OF_MANY: f64 = 0.56;
/// Radius of a pull's mark, by how many there are: so many at most.
const RADII: [(usize, f64); 4] = [(12, 14.0), (40, 11.0), (150, 7.0), (600, 4.0)];
/// A mark's radius is no more than this part of its group's row.
const ROW_OF_MARK: f64 = 0.33;
/// Height that columns of more pulls take, and how many columns there are.
const COLUMNS_HIGH: f64 = 260.0;
const COLUMNS: usize = 60;
/// What is marked on the lot, and what is claimed of it.
const MARKED: Rgba = Rgba::hex(0xa0_4216);

/// A pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LotPull {
    /// Its peak, kN.
    pub kn: f64,
    /// Whether it broke.
    pub broke: bool,
}

/// Pulls that go together.
#[derive(Clone, Debug, PartialEq)]
pub struct LotGroup {
    /// What they are called.
    pub name: String,
    /// The pulls.
    pub pulls: Vec<LotPull>,
}

/// A load that pulls lead to.
#[derive(Clone, Debug, PartialEq)]
pub struct LotRow {
    /// What it is.
    pub name: String,
    /// The load, kN.
    pub kn: f64,
    /// The load in words.
    pub value: String,
    /// From where to where it may lie, kN.
    pub interval_kn: Option<[f64; 2]>,
    /// Whether the reader should find it first.
    pub first: bool,
}

/// Loads that go together.
#[derive(Clone, Debug, PartialEq)]
pub struct LotSection {
    /// What they are.
    pub heading: String,
    /// The loads.
    pub rows: Vec<LotRow>,
}

/// A load that pulls are held against.
#[derive(Clone, Debug, PartialEq)]
pub struct LotLimit {
    /// The load, kN.
    pub kn: f64,
    /// What it is, with the load.
    pub name: String,
}

/// Everything the picture shows.
#[derive(Clone, Debug, PartialEq)]
pub struct LotPicture {
    /// Its words.
    pub words: SheetWords,
    /// The lot, and the group that it is held against.
    pub groups: Vec<LotGroup>,
    /// Loads that the pulls lead to.
    pub sections: Vec<LotSection>,
    /// Loads that they are held against.
    pub limits: Vec<LotLimit>,
    /// What a filled mark is, and an open one.
    pub key: [String; 2],
    /// The unit of the axis.
    pub unit: String,
}

/// Where loads stand on the page.
#[derive(Clone, Copy, Debug)]
struct Scale {
    low: f64,
    high: f64,
    left: f64,
    right: f64,
}

impl Scale {
    fn at(&self, kn: f64) -> f64 {
        self.left + (self.right - self.left) * ((kn - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }

    fn shows(&self, kn: f64) -> bool {
        (self.low..=self.high).contains(&kn)
    }
}

impl LotPicture {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let readable = Page::readable(width_px, height_px);
        let upright = readable.is_upright();
        // Pulls alone need no height.
        let flat = !upright && self.sections.is_empty();
        let page = if flat { Page::wide(width_px, height_px, 1600.0) } else { readable };
        let Sheet { page, mut items, room } = Sheet::on(page, &self.words, 5.2);
        let names = (NAMES * page.width).min(WIDEST_NAMES);
        let scale = self.scale(room.x + names + 16.0, room.right() - VALUES);
        let key = self.key(Area { h: 1.6 * TYPE, ..room }, &mut items);
        let room = Area { y: key, h: room.bottom() - key, ..room };
        let roomiest = ROOMIEST[usize::from(!upright)];
        self.rows_and_pulls(room, scale, [names, roomiest], &mut items);
        page.drawing(&self.words.name, self.description(), items)
    }

    fn rows(&self) -> impl Iterator<Item = &LotRow> {
        self.sections.iter().flat_map(|section| &section.rows)
    }

    /// From the least to the most that is shown, with room beside; loads of no use below zero stay out.
    fn scale(&self, left: f64, right: f64) -> Scale {
        let pulls = self.groups.iter().flat_map(|group| group.pulls.iter().map(|pull| pull.kn));
        let rows = self.rows().map(|row| row.kn);
        let all = pulls.chain(rows).chain(self.limits.iter().map(|limit| limit.kn));
        let shown = all.filter(|kn| kn.is_finite() && *kn > 0.0);
        let (least, most) =
            shown.fold((f64::INFINITY, 0.0_f64), |(low, high), kn| (low.min(kn), high.max(kn)));
        let span = (most - least).max(0.02 * most).max(1e-6);
        // Intervals that reach far beyond all else end with the axis.
        let far = [least - FARTHER * span, most + FARTHER * span];
        let intervals = self.rows().filter_map(|row| row.interval_kn);
        let (least, most) = intervals
            .map(|interval| interval.map(|kn| kn.clamp(far[0], far[1])))
            .fold((least, most), |(low, high), [from, to]| (low.min(from), high.max(to)));
        let span = (most - least).max(0.02 * most).max(1e-6);
        Scale { low: (least - 0.06 * span).max(0.0), high: most + 0.06 * span, left, right }
    }

    /// What marks are; gives where it ends.
    fn key(&self, area: Area, items: &mut Vec<Item>) -> f64 {
        let shown = |broke: bool| self.groups.iter().any(|g| g.pulls.iter().any(|pull| pull.broke == broke));
        // Nothing is to be told apart where all broke.
        if !shown(false) {
            return area.y;
        }
        let kinds: Vec<(bool, &String)> =
            [true, false].into_iter().zip(&self.key).filter(|(broke, _)| shown(*broke)).collect();
        let total: f64 = kinds.iter().map(|(_, words)| width(words, TYPE, Weight::Regular) + 90.0).sum();
        let size = TYPE * (area.w / total).min(1.0);
        let (mut x, y) = (area.x + 12.0, area.y + 0.5 * area.h);
        for (broke, words) in kinds {
            items.extend(mark([x, y], 9.0, broke, 24.0));
            let from = x + if broke { 22.0 } else { 42.0 };
            let text =
                Text::new([from, y + 0.5 * CAP_HEIGHT * size], size, Weight::Regular, INK, words.as_str());
            x = from + text.width() + 48.0 * size / TYPE;
            items.push(Item::Text(text));
        }
        area.bottom() + 8.0
    }

    fn rows_and_pulls(&self, room: Area, scale: Scale, [names, roomiest]: [f64; 2], items: &mut Vec<Item>) {
        // Names of limits stand over everything, a line each.
        let limits_high = 1.35 * TYPE * self.limits.len() as f64;
        let count = self.rows().count() as f64 + HEADING_ROWS * self.sections.len() as f64;
        let free = room.h - limits_high - AXIS;
        let groups: Vec<Placed<'_>> = self.groups.iter().map(|group| Placed::new(group, scale)).collect();
        let wanted: f64 = groups.iter().map(|placed| placed.high).sum();
        let part = if groups.len() > MANY_GROUPS { PULLS_OF_MANY } else { PULLS };
        let pulls_high = if count == 0.0 { wanted.min(free) } else { wanted.min(part * free) };
        let pitch = if count == 0.0 { 0.0 } else { ((free - pulls_high) / count).min(roomiest) };
        let top = room.y + limits_high;
        self.draw_limits(scale, [room.y, top, top + pulls_high + AXIS + pitch * count], items);
        let mut base = top;
        for placed in groups {
            let from = base;
            base += placed.high * pulls_high / wanted.max(1.0);
            let block = Block::fit(&placed.group.name, Weight::Bold, TYPE, 18.0, [names - 16.0, base - from]);
            // On its line; in the middle of a row that has no room for that.
            let middle = from + 0.5 * (base - from - block.height());
            let named = block.place(room.x, middle.max(base - 8.0 - block.height()), Anchor::Start, INK);
            items.extend(named.into_iter().map(Item::Text));
            placed.draw(scale, [from, base], items);
            let line = Path::line(&[[scale.left, base], [scale.right, base]]);
            items.push(Item::stroked(line, Stroke::new(QUIET, 1.8)));
        }
        self.draw_axis(scale, base, items);
        let mut y = base + AXIS;
        for section in &self.sections {
            let high = HEADING_ROWS * pitch;
            let block = Block::fit(&section.heading, Weight::Regular, HEADING, 15.0, [room.w, high]);
            on_paper(block.place(room.x, y + high - block.height() - 1.0, Anchor::Start, QUIET), items);
            y += high;
            for row in &section.rows {
                let weight = if row.first { Weight::Bold } else { Weight::Regular };
                let colour = if row.first { ACCENT } else { INK };
                let size = TYPE.min(0.8 * pitch);
                let block = Block::fit(&row.name, weight, size, 15.0, [names - 8.0, 1.25 * size]);
                let top = y + 0.5 * (pitch - block.height());
                items.extend(block.place(room.x, top, Anchor::Start, colour).into_iter().map(Item::Text));
                draw_row(row, scale, y + 0.5 * pitch, pitch, items);
                y += pitch;
            }
        }
    }

    /// Lines through all rows, with their names over them: from the first name on, the pulls, and where the rows end.
    fn draw_limits(&self, scale: Scale, [top, names, bottom]: [f64; 3], items: &mut Vec<Item>) {
        let mut words = Vec::new();
        for (i, limit) in self.limits.iter().enumerate() {
            let x = scale.at(limit.kn);
            let line_top = top + 1.35 * TYPE * i as f64;
            let line = Path::line(&[[x, (line_top + 1.2 * TYPE).min(names)], [x, bottom]]);
            items.push(Item::stroked(line, Stroke::new(MARKED, 2.6).dashed(11.0, 8.0)));
            let half = 0.5 * width(&limit.name, TYPE, Weight::Bold);
            let middle = x.min(scale.right + VALUES - half - 8.0).max(half + 60.0);
            let at = [middle, line_top + 0.85 * TYPE];
            words.push(
                Text::new(at, TYPE, Weight::Bold, MARKED, limit.name.as_str()).anchored(Anchor::Middle),
            );
        }
        on_paper(words, items);
    }

    fn draw_axis(&self, scale: Scale, y: f64, items: &mut Vec<Item>) {
        let step = step_for((scale.high - scale.low) / 7.0);
        let decimals = usize::from(step < 0.995) + usize::from(step < 0.095) + usize::from(step < 0.0095);
        let mut tick = (scale.low / step).ceil();
        while tick * step <= scale.high {
            let x = scale.at(tick * step);
            items.push(Item::stroked(Path::line(&[[x, y], [x, y + 8.0]]), Stroke::new(QUIET, 1.8)));
            let words = format!("{:.decimals$}", tick * step);
            let text = Text::new([x, y + 14.0 + CAP_HEIGHT * 22.0], 22.0, Weight::Regular, QUIET, words);
            on_paper(vec![text.anchored(Anchor::Middle)], items);
            tick += 1.0;
        }
        let at = [scale.right + 24.0, y + 14.0 + CAP_HEIGHT * 22.0];
        items.push(Item::Text(Text::new(at, 22.0, Weight::Regular, QUIET, self.unit.as_str())));
    }

    fn description(&self) -> String {
        let mut out = format!("{} {}. ", self.words.sentence, self.words.subtitle);
        for section in &self.sections {
            out.push_str(&format!("{}: ", section.heading));
            let rows: Vec<String> =
                section.rows.iter().map(|row| format!("{}: {}", row.name, row.value)).collect();
            out.push_str(&format!("{}. ", rows.join("; ")));
        }
        for limit in &self.limits {
            out.push_str(&format!("{}. ", limit.name));
        }
        out.push_str(&format!("{} {}", self.words.note, self.words.caution));
        out
    }
}

/// A row: its interval, its load, and the load in words beside.
fn draw_row(row: &LotRow, scale: Scale, y: f64, pitch: f64, items: &mut Vec<Item>) {
    let line = Path::line(&[[scale.left, y], [scale.right, y]]);
    items.push(Item::stroked(line, Stroke::new(PAPER_SHADE, 1.6)));
    let colour = if row.first { ACCENT } else { INK };
    let mut right = scale.at(row.kn);
    if let Some(interval) = row.interval_kn {
        let [from, to] = interval.map(|kn| scale.at(kn));
        items.push(Item::stroked(Path::line(&[[from, y], [to, y]]), Stroke::new(colour.faded(0.45), 9.0)));
        right = right.max(to);
    }
    let x = scale.at(row.kn);
    let r = if row.first { 13.0 } else { 10.0 };
    let shape = if scale.shows(row.kn) {
        vec![[x, y - r], [x + r, y], [x, y + r], [x - r, y]]
    } else {
        // Off the axis, to the left.
        vec![[x - r, y], [x + r, y - r], [x + r, y + r]]
    };
    items.push(Item::outlined(Path::polygons([shape.as_slice()]), colour, Stroke::new(PAPER, 1.6)));
    let weight = if row.first { Weight::Bold } else { Weight::Regular };
    let size = TYPE.min(0.8 * pitch);
    let text =
        Text::new([right + 22.0, y + 0.5 * CAP_HEIGHT * size], size, weight, colour, row.value.as_str());
    on_paper(vec![text], items);
}

/// Words with paper under them, so that no line crosses them.
fn on_paper(words: Vec<Text>, items: &mut Vec<Item>) {
    for text in words {
        let wide = text.width();
        let left = match text.anchor {
            Anchor::Start => text.at[0],
            Anchor::Middle => text.at[0] - 0.5 * wide,
            Anchor::End => text.at[0] - wide,
        };
        let top = text.at[1] - 0.98 * text.size;
        let under = Path::rectangle([left - 5.0, top], [wide + 10.0, 1.24 * text.size]);
        items.push(Item::filled(under, PAPER));
        items.push(Item::Text(text));
    }
}

/// The least of 1, 2 and 5 times a power of ten that is no less.
fn step_for(least: f64) -> f64 {
    let power = 10.0_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0].map(|lead| lead * power).into_iter().find(|step| *step >= least).unwrap_or(10.0 * power)
}

/// A pull's mark: filled where it broke, else open with an arrow to what it would have held.
fn mark([x, y]: [f64; 2], r: f64, broke: bool, arrow: f64) -> Vec<Item> {
    if broke {
        return vec![Item::outlined(Path::circle([x, y], r), ACCENT, Stroke::new(PAPER, 1.4))];
    }
    let tip = x + r + arrow - 6.0;
    let mut line = Path::line(&[[x + r, y], [tip, y]]);
    line.add_line(&[[tip - 7.0, y - 6.0], [tip, y], [tip - 7.0, y + 6.0]]);
    vec![
        Item::stroked(line, Stroke::new(INK, 2.4)),
        Item::outlined(Path::circle([x, y], r - 1.0), PAPER, Stroke::new(INK, 2.4)),
    ]
}

/// A group with its marks in levels, those of about one load above each other; very many stand in columns.
struct Placed<'a> {
    group: &'a LotGroup,
    radius: Option<f64>,
    /// Levels from the line on.
    levels: Vec<(usize, LotPull)>,
    /// Height that it wants.
    high: f64,
}

impl<'a> Placed<'a> {
    fn new(group: &'a LotGroup, scale: Scale) -> Self {
        let Some((_, r)) = RADII.into_iter().find(|(most, _)| group.pulls.len() <= *most) else {
            return Self { group, radius: None, levels: Vec::new(), high: COLUMNS_HIGH };
        };
        let mut sorted = group.pulls.clone();
        sorted.sort_by(|a, b| a.kn.total_cmp(&b.kn));
        // The right end of what stands in each level.
        let mut ends: Vec<f64> = Vec::new();
        let place = |pull: LotPull| {
            let x = scale.at(pull.kn);
            let end = x + r + if pull.broke { 0.0 } else { arrow(r) };
            let free = ends.iter().position(|right| *right + 1.0 < x - r);
            let level = free.unwrap_or(ends.len());
            if level == ends.len() {
                ends.push(end)
            } else {
                ends[level] = end
            }
            (level, pull)
        };
        let levels = sorted.into_iter().map(place).collect();
        let high = (2.0 * r + 3.0) * ends.len() as f64 + 24.0;
        Self { group, radius: Some(r), levels, high: high.max(2.6 * TYPE) }
    }

    fn draw(&self, scale: Scale, [top, base]: [f64; 2], items: &mut Vec<Item>) {
        let Some(r) = self.radius else {
            return draw_columns(&self.group.pulls, scale, [top + 12.0, base], items);
        };
        let r = r.min(ROW_OF_MARK * (base - top));
        let highest = self.levels.iter().map(|(level, _)| *level).max().unwrap_or(0) as f64;
        let step = (2.0 * r + 3.0).min((base - top - 2.0 * r - 6.0).max(1.0) / highest.max(1.0));
        for (level, pull) in &self.levels {
            let y = base - 4.0 - r - step * *level as f64;
            items.extend(mark([scale.at(pull.kn), y], r, pull.broke, arrow(r)));
        }
    }
}

/// Length of the arrow of an open mark.
fn arrow(r: f64) -> f64 {
    2.2 * r
}

/// How many pulls there are by load: breaks filled, above them the others, open.
fn draw_columns(pulls: &[LotPull], scale: Scale, [top, base]: [f64; 2], items: &mut Vec<Item>) {
    let mut counts = [[0_u32; 2]; COLUMNS];
    for pull in pulls {
        let part = (pull.kn - scale.low) / (scale.high - scale.low);
        let column = ((part * COLUMNS as f64) as usize).min(COLUMNS - 1);
        counts[column][usize::from(!pull.broke)] += 1;
    }
    let most = counts.iter().map(|[broke, held]| broke + held).max().unwrap_or(1).max(1);
    let wide = (scale.right - scale.left) / COLUMNS as f64;
    let unit = (base - top) / f64::from(most);
    for (i, [broke, held]) in counts.into_iter().enumerate() {
        let x = scale.left + wide * i as f64;
        let [filled, open] = [broke, held].map(|count| unit * f64::from(count));
        if broke > 0 {
            items.push(Item::filled(Path::rectangle([x + 1.0, base - filled], [wide - 2.0, filled]), ACCENT));
        }
        if held > 0 {
            let box_of = Path::rectangle([x + 1.5, base - filled - open], [wide - 3.0, open]);
            items.push(Item::outlined(box_of, PAPER, Stroke::new(INK, 1.6)));
        }
    }
}
