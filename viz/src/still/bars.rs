//! Parts as bars against the load at which each reaches its limit.

use super::page::Page;
use crate::colour::Rgba;
use crate::drawing::{Item, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER, PAPER_SHADE, QUIET};
use crate::path::Path;
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight, width};

/// The load at which a part reaches its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthBar {
    /// The part: "lip of the notch".
    pub name: String,
    /// The load, kN.
    pub load_kn: f64,
    /// The load as written: "20.9 kN".
    pub load: String,
    /// Whether this ends a pull; yielding and bending do not, and are drawn hollow.
    pub ends_pull: bool,
    /// Whether it is the one that fails first.
    pub first: bool,
}

/// A load that is marked on the connector.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// The load, kN.
    pub kn: f64,
    /// As written: "marked 20 kN".
    pub told: String,
}

/// Solid bars of parts that come later; 3:1 against paper.
const LATER: Rgba = Rgba::hex(0x8b_8a83);

/// The bars that are shown where there is room for `most`: hollow ones beyond the first two make room, then the highest.
fn fitting(all: &[StrengthBar], most: usize) -> Vec<&StrengthBar> {
    let mut shown: Vec<&StrengthBar> = all.iter().collect();
    while shown.len() > most {
        let hollow: Vec<usize> = (0..shown.len()).filter(|i| !shown[*i].ends_pull).collect();
        match hollow.as_slice() {
            [_, _, .., last] => drop(shown.remove(*last)),
            _ => drop(shown.pop()),
        }
    }
    shown
}

/// As many bars as find room, lowest load first. `size`: of the type.
pub(super) fn bars(
    all: &[StrengthBar],
    marked: Option<&Marked>,
    page: &Page,
    area: Area,
    size: f64,
) -> Vec<Item> {
    let marked_kn = marked.map(|marked| marked.kn);
    let row = 2.05 * size;
    let below = if marked_kn.is_some() { 1.5 * size } else { 0.0 };
    let most = (((area.h - below) / row).floor() as usize).max(1);
    let shown = fitting(all, most);
    // A few bars are set larger, so that no half of the page stays empty.
    let (least, rows) = (size, shown.len().max(1) as f64);
    let widest =
        |bar: &&StrengthBar| width(&bar.name, 1.0, Weight::Bold) + width(&bar.load, 1.0, Weight::Bold) + 0.9;
    let in_width = area.w / shown.iter().map(widest).fold(1e-9, f64::max);
    let size = ((area.h - below) / (2.5 * rows)).min(in_width).clamp(least, 1.7 * least);
    let below = below * size / least;
    let row = 2.05 * size;
    // Few bars spread out, but not so far that a name seems to belong to the bar above it.
    let row = ((area.h - below) / shown.len().max(1) as f64).clamp(row, 1.25 * row);
    let longest = shown.iter().map(|bar| bar.load_kn).chain(marked_kn).fold(1e-9, f64::max);
    let x_of = |kn: f64| area.x + area.w * kn / longest;
    let thick = 0.62 * size;
    let mut items = Vec::new();
    let mut ends = area.y;
    for (i, bar) in shown.iter().enumerate() {
        let top = area.y + row * i as f64;
        let base = top + 0.5 * (LINE_HEIGHT + CAP_HEIGHT) * size;
        let colour = if bar.first { ACCENT } else { INK };
        let weight = if bar.first { Weight::Bold } else { Weight::Regular };
        let value = bar.load.as_str();
        let room = area.w - width(value, size, Weight::Bold) - 0.8 * size;
        let name = Block::fit(&bar.name, weight, size, 0.7 * size, [room, LINE_HEIGHT * size + 1e-6]);
        let words = name.lines.first().cloned().unwrap_or_default();
        items.push(Item::Text(Text::new([area.x, base], name.size, weight, colour, words)));
        let value = Text::new([area.right(), base], size, Weight::Bold, colour, value);
        items.push(Item::Text(value.anchored(Anchor::End)));
        let at = [area.x, top + LINE_HEIGHT * size + 0.08 * size];
        let path = Path::rounded(at, [(x_of(bar.load_kn) - area.x).max(4.0), thick], 0.12 * size);
        items.push(match (bar.first, bar.ends_pull) {
            (true, _) => Item::filled(path, ACCENT),
            (false, true) => Item::filled(path, LATER),
            (false, false) => Item::outlined(path, PAPER_SHADE, Stroke::new(LATER, 3.0)),
        });
        ends = at[1] + thick;
        if let Some(kn) = marked_kn {
            let line = Path::line(&[[x_of(kn), at[1] - 5.0], [x_of(kn), ends + 5.0]]);
            if bar.load_kn >= kn {
                items.push(Item::stroked(line.clone(), Stroke::new(PAPER, 9.0)));
                items.push(Item::stroked(line, Stroke::new(INK, 4.0)));
            } else {
                items.push(Item::stroked(line, Stroke::new(LATER, 3.0)));
            }
        }
    }
    if let Some(Marked { kn, told }) = marked {
        let words = Text::new(
            [0.0, ends + 1.2 * size],
            0.85 * size.max(page.foot.size()),
            Weight::Regular,
            QUIET,
            told.as_str(),
        );
        let half = 0.5 * words.width();
        let x = x_of(*kn).clamp(area.x + half, area.right() - half);
        items.push(Item::Text(Text { at: [x, words.at[1]], ..words }.anchored(Anchor::Middle)));
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(name: &str, load_kn: f64, ends_pull: bool) -> StrengthBar {
        StrengthBar { name: name.to_owned(), load_kn, load: load_kn.to_string(), ends_pull, first: false }
    }

    #[test]
    fn hollow_bars_make_room_before_parts_that_end_a_pull() {
        let all = [
            bar("a", 1.0, false),
            bar("b", 2.0, false),
            bar("c", 3.0, false),
            bar("d", 4.0, true),
            bar("e", 5.0, true),
            bar("f", 6.0, true),
        ];
        let names = |most| fitting(&all, most).iter().map(|b| b.name.as_str()).collect::<String>();
        assert_eq!(names(9), "abcdef");
        assert_eq!(names(5), "abdef");
        assert_eq!(names(3), "abd");
    }

    #[test]
    fn lengths_are_in_proportion_to_loads() {
        let page = Page::new(1920, 1080, "", "");
        let area = Area { x: 100.0, y: 0.0, w: 1000.0, h: 500.0 };
        let items = bars(&[bar("a", 5.0, true), bar("b", 20.0, true)], None, &page, area, 36.0);
        let widths: Vec<f64> = items
            .iter()
            .filter_map(|item| match item {
                Item::Shape { path, .. } => path.bounds().map(|[low, high]| high[0] - low[0]),
                _ => None,
            })
            .collect();
        assert_eq!(widths, [250.0, 1000.0]);
    }
}
