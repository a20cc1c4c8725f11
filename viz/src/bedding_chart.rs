//! A pin that beds into a lip: what the lip holds and where the pin presses, over how far it has moved. Upright and in few
//! words, so that a phone shows its letters.

use crate::chart_marks::Marker;
use crate::chart_page::{ChartWords, TYPE};
use crate::chart_panel::{ChartAxis, ChartError, Line, Panel, panel};
use crate::colour::Rgba;
use crate::drawing::{Drawing, Item};
use crate::frame::Page;
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL};
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight};

/// The pin at one travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeddingPoint {
    /// Travel after it touched, in its radii.
    pub travel: f64,
    /// Its force on the lip, kN.
    pub force_kn: f64,
    /// Flank that it presses on, mm.
    pub flank_mm: f64,
    /// Round end of the notch that it presses on, degrees.
    pub arc_deg: f64,
}

/// The chart.
#[derive(Clone, Debug, PartialEq)]
pub struct BeddingChart {
    /// Words above and below.
    pub words: ChartWords,
    /// What the three parts show, with units: force, flank, round end.
    pub headings: [String; 3],
    /// What the axis counts.
    pub axis: String,
    /// What the picture says, for those who cannot see it.
    pub description: String,
    /// By rising travel, at least two.
    pub points: Vec<BeddingPoint>,
    /// Travels that a limit is read at, with the name of each, by rising travel.
    pub marks: Vec<(String, BeddingPoint)>,
    /// A patch that is given instead of a travel, with its name; its travel is not looked at.
    pub narrow: (String, BeddingPoint),
}

/// Width of the page, picture units: letters are a thirty-seventh of it.
const WIDE: f64 = 1000.0;
/// The narrow patch; at least 4.5:1 on paper.
const NARROW: Rgba = Rgba::hex(0xa0_4216);
/// Part of the room that the force takes.
const FORCE: f64 = 0.46;

/// One of the three things shown.
struct Quantity {
    of: fn(&BeddingPoint) -> f64,
    words: fn(f64) -> String,
    /// Whether marks and the narrow patch are named here, over their numbers.
    named: bool,
    /// Height of the plot over the highest value.
    room: f64,
}

const QUANTITIES: [Quantity; 3] = [
    Quantity { of: |p| p.force_kn, words: |v| format!("{v:.1} kN"), named: true, room: 1.35 },
    Quantity { of: |p| p.flank_mm, words: |v| format!("{v:.1} mm"), named: false, room: 1.3 },
    Quantity { of: |p| p.arc_deg, words: |v| format!("{v:.0}°"), named: false, room: 1.3 },
];

impl BeddingChart {
    /// Lays out the chart on a page of so many pixels.
    ///
    /// # Errors
    /// The chart library fails, or there is no curve: fewer than two points.
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Result<Drawing, ChartError> {
        if self.points.len() < 2 {
            return Err(ChartError::Values);
        }
        // As wide as letters are large for a phone, whatever its height.
        let page = Page::wide(width_px, height_px, WIDE);
        let size = page.size();
        let (mut items, room) = self.words.framed(&page);
        let heading = 1.4 * LABEL;
        let gap = 14.0;
        let below = 1.5 * TYPE;
        let all = room.h - below - 3.0 * heading - 2.0 * gap;
        let mut y = room.y;
        for (k, quantity) in QUANTITIES.iter().enumerate() {
            let h = all * if k == 0 { FORCE } else { 0.5 * (1.0 - FORCE) };
            let at = [room.x, y + CAP_HEIGHT * LABEL];
            items.push(Item::Text(Text::new(at, LABEL, Weight::Bold, INK, self.headings[k].as_str())));
            y += heading;
            self.quantity(quantity, size, Area { x: room.x, y, w: room.w, h }, &mut items)?;
            y += h + gap;
        }
        let at = [room.x + 0.5 * room.w, room.bottom() - 0.3 * TYPE];
        let words = self.axis.as_str();
        items.push(Item::Text(Text::new(at, TYPE, Weight::Bold, INK, words).anchored(Anchor::Middle)));
        Ok(self.words.drawing(&page, self.description.clone(), items))
    }

    fn quantity(
        &self,
        quantity: &Quantity,
        size: [f64; 2],
        area: Area,
        items: &mut Vec<Item>,
    ) -> Result<(), ChartError> {
        let of = quantity.of;
        let narrow = of(&self.narrow.1);
        let high = self.points.iter().map(of).fold(narrow, f64::max);
        // Room over the curve for the words at its marks.
        let y = [0.0, quantity.room * high.max(1e-9)];
        let end = self.points.iter().map(|p| p.travel).fold(0.0, f64::max);
        let axis = ChartAxis::Numbers(vec![0.0, end]);
        let plain = |pieces, colour, width, dash| Line { pieces: vec![pieces], colour, width, dash };
        let curve = self.points.iter().map(|p| (p.travel, of(p))).collect();
        let mut lines = vec![
            plain(vec![(0.0, narrow), (end, narrow)], NARROW, 3.0, Some([14.0, 9.0])),
            plain(curve, ACCENT, 6.0, None),
        ];
        for (_, mark) in &self.marks {
            lines.push(plain(vec![(mark.travel, 0.0), (mark.travel, of(mark))], INK, 2.0, Some([4.0, 6.0])));
        }
        let panel = panel(size, area, &axis, y, &lines, items)?;
        for (name, mark) in &self.marks {
            let [x, at] = panel.place(mark.travel, of(mark));
            items.push(Marker::Disc.item([x, at], 20.0, INK));
            let value = (quantity.words)(of(mark));
            let words = if quantity.named { vec![value, name.clone()] } else { vec![value] };
            let right = x > panel.plot.x + 0.6 * panel.plot.w;
            // Over the curve, which rises to the right: named ones run along it, single numbers stand before it. Where the line of
            // the narrow patch lies over the curve, they stand under it instead.
            let under = of(mark) < narrow;
            let (x, anchor) = if right || !(quantity.named || under) {
                (x - 12.0, Anchor::End)
            } else {
                (x + 12.0, Anchor::Start)
            };
            let first = if under { at + 14.0 + CAP_HEIGHT * TYPE } else { at - 18.0 };
            for (k, words) in words.into_iter().enumerate() {
                let at = [x, first - 1.2 * TYPE * k as f64];
                items.push(Item::Text(Text::new(at, TYPE, Weight::Bold, INK, words).anchored(anchor)));
            }
        }
        let over = self.points.iter().map(of).next_back().is_some_and(|last| last < narrow);
        self.name_narrow(quantity, &panel, narrow, over, items);
        Ok(())
    }

    /// The words at the line of the narrow patch, under its right end, or over it where the curve lies below.
    fn name_narrow(&self, quantity: &Quantity, panel: &Panel, value: f64, over: bool, items: &mut Vec<Item>) {
        let [x, y] = panel.place(panel.x[1], value);
        let value = (quantity.words)(value);
        let words = if quantity.named { format!("{}: {value}", self.narrow.0) } else { value };
        let under = y + 12.0 + CAP_HEIGHT * TYPE;
        let at = [x - 14.0, if over || under > panel.plot.bottom() - 6.0 { y - 12.0 } else { under }];
        items.push(Item::Text(Text::new(at, TYPE, Weight::Bold, NARROW, words).anchored(Anchor::End)));
    }

    /// The numbers of a point, as the chart writes them.
    #[must_use]
    pub fn told(point: &BeddingPoint) -> String {
        QUANTITIES.iter().map(|q| (q.words)((q.of)(point))).collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart() -> BeddingChart {
        let at = |travel: f64| BeddingPoint {
            travel,
            force_kn: 12.0 * travel.powf(0.1),
            flank_mm: 2.0 * travel.sqrt(),
            arc_deg: 80.0 * travel.sqrt(),
        };
        BeddingChart {
            headings: ["force", "flank", "arc"].map(str::to_owned),
            axis: "travel".to_owned(),
            description: String::new(),
            words: ChartWords {
                title: "Bar".to_owned(),
                sentence: "It beds in.".to_owned(),
                ..ChartWords::default()
            },
            points: (1..=20).map(|k| at(0.05 * f64::from(k))).collect(),
            marks: vec![("nominal".to_owned(), at(0.25)), ("deep".to_owned(), at(1.0))],
            narrow: (
                "narrow patch".to_owned(),
                BeddingPoint { travel: 0.0, force_kn: 8.0, flank_mm: 0.7, arc_deg: 25.0 },
            ),
        }
    }

    #[test]
    fn every_mark_is_told_with_its_numbers_and_inside_the_page() {
        let drawing = chart().drawing(800, 1040).unwrap();
        let all = drawing.texts();
        for words in ["nominal", "deep", "narrow patch: 8.0 kN", "12.0 kN", "0.7 mm", "1.0 mm", "25°", "40°"]
        {
            assert!(all.iter().any(|t| t.words == words), "{words}");
        }
        for text in &all {
            let left = match text.anchor {
                Anchor::Start => text.at[0],
                Anchor::Middle => text.at[0] - 0.5 * text.width(),
                Anchor::End => text.at[0] - text.width(),
            };
            assert!(left >= 0.0 && left + text.width() <= drawing.width, "{}", text.words);
            assert!(text.at[1] > 0.0 && text.at[1] < drawing.height, "{}", text.words);
        }
        assert_eq!(BeddingChart::told(&chart().marks[0].1), "10.4 kN, 1.0 mm, 40°");
    }

    #[test]
    fn numbers_and_the_narrow_patch_keep_to_their_own_side() {
        let mut chart = chart();
        chart.narrow.1.arc_deg = 84.0;
        let drawing = chart.drawing(800, 1040).unwrap();
        let at = |words: &str| drawing.texts().iter().find(|t| t.words == words).unwrap().at[1];
        // Both lines end within a few degrees; their numbers stand on either side of them.
        assert!(at("80°") - at("84°") > 1.5 * TYPE, "{} {}", at("80°"), at("84°"));
    }

    #[test]
    fn letters_are_large_enough_for_a_phone() {
        // On a phone of 390 pixels a letter of 27 units is 10.5 pixels high.
        let drawing = chart().drawing(800, 1040).unwrap();
        assert!(drawing.texts().iter().filter(|t| t.size >= TYPE - 1e-9).count() > 12);
        assert!(TYPE / drawing.width * 390.0 > 10.0);
    }

    #[test]
    fn a_chart_of_nothing_is_refused() {
        let mut none = chart();
        none.points.truncate(1);
        assert!(none.drawing(800, 1040).is_err());
    }
}
