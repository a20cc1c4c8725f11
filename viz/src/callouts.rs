//! Words at the hottest points, kept clear of each other and of the connector.
//!
//! Labels stand in two columns beside the connector. In a column they keep the order of their points from top to bottom,
//! so leader lines do not cross, and each lies as near to its point as its neighbours allow.

use crate::drawing::{Item, Path, Stroke};
use crate::layout::{Area, View};
use crate::look::{INK, LABEL, NUMBER, PAPER, QUIET};
use crate::stress_map::Callout;
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight};

const GAP: f64 = 30.0;
/// Room between a number and what stands beyond its column.
const CLEAR: f64 = 20.0;
/// Lines of words below a number, at most.
const MOST_LINES: f64 = 4.0;

/// A label that has found its place.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    /// Box of number and words.
    pub area: Area,
    point: [f64; 2],
    left: bool,
    number: String,
    /// Font size of the number: that of all numbers unless it is too long for its column.
    size: f64,
    words: Block,
    trusted: bool,
}

/// Finds places for as many callouts as there is room for, the first ones first.
pub(crate) fn place(callouts: &[Callout], view: &View, columns: [Area; 2], middle: f64) -> Vec<Placed> {
    let mut sides: [Vec<Placed>; 2] = [Vec::new(), Vec::new()];
    for callout in callouts {
        let point = view.place(callout.at);
        let nearest = usize::from(point[0] > middle);
        for side in [nearest, 1 - nearest] {
            let new = Placed::new(callout, point, side == 0, columns[side]);
            let used: f64 = sides[side].iter().map(|p| p.area.h + GAP).sum();
            if used + new.area.h <= columns[side].h {
                sides[side].push(new);
                break;
            }
        }
    }
    for (side, column) in sides.iter_mut().zip(columns) {
        side.sort_by(|a, b| a.point[1].total_cmp(&b.point[1]));
        stack(side, column);
    }
    sides.into_iter().flatten().collect()
}

/// Pushes labels down until none overlaps the one above, then up until the last one is inside.
fn stack(labels: &mut [Placed], column: Area) {
    let mut free = column.y;
    for label in labels.iter_mut() {
        let wanted = label.point[1] - 0.5 * label.area.h;
        label.area.y = wanted.max(free);
        free = label.area.bottom() + GAP;
    }
    let mut floor = column.bottom();
    for label in labels.iter_mut().rev() {
        label.area.y = label.area.y.min(floor - label.area.h);
        floor = label.area.y - GAP;
    }
}

impl Placed {
    fn new(callout: &Callout, point: [f64; 2], left: bool, column: Area) -> Self {
        let words = if callout.trusted {
            callout.words.clone()
        } else {
            format!("{} (not trusted: depends on the mesh)", callout.words)
        };
        let room = [column.w - 20.0, MOST_LINES * LINE_HEIGHT * LABEL + 1e-6];
        let words = Block::fit(&words, Weight::Regular, LABEL, LABEL, room);
        let number = format!("{:.0} MPa", callout.value_mpa);
        let long = crate::text::width(&number, NUMBER, Weight::Bold);
        let size = NUMBER * ((column.w - 20.0 - CLEAR) / long).clamp(0.5, 1.0);
        let wide = crate::text::width(&number, size, Weight::Bold).max(words.width());
        let h = LINE_HEIGHT * NUMBER + words.height();
        // Text is set from the left on both sides; on the left the box hugs its words so that leaders start close.
        let area = Area { x: column.x + if left { 0.0 } else { 20.0 }, y: column.y, w: wide, h };
        Self { area, point, left, number, size, words, trusted: callout.trusted }
    }

    /// Leader line and ring, to be painted over the connector, then the words.
    pub fn items(&self) -> Vec<Item> {
        let colour = if self.trusted { INK } else { QUIET };
        let y = self.area.y + 0.5 * LINE_HEIGHT * NUMBER;
        let number_width = crate::text::width(&self.number, self.size, Weight::Bold);
        let start = if self.left { self.area.x + number_width + 12.0 } else { self.area.x - 12.0 };
        let elbow = if self.left { (start + 22.0).max(self.area.right() + 6.0) } else { start - 10.0 };
        let ring = 10.0;
        let (dx, dy) = (self.point[0] - elbow, self.point[1] - y);
        let length = dx.hypot(dy).max(1e-9);
        let end = [self.point[0] - dx / length * ring, self.point[1] - dy / length * ring];
        let line = Path::line(&[[start, y], [elbow, y], end]);
        let circle = Path::circle(self.point, ring);
        let mut thin = Stroke::new(colour, 2.2);
        if !self.trusted {
            thin = thin.dashed(7.0, 5.0);
        }
        let mut items = vec![
            Item::stroked(line.clone(), Stroke::new(PAPER.faded(0.85), 6.0)),
            Item::stroked(circle.clone(), Stroke::new(PAPER, 7.0)),
            Item::stroked(line, thin),
            Item::stroked(circle, Stroke::new(colour, 3.0)),
        ];
        let base = y + 0.5 * CAP_HEIGHT * self.size;
        items.push(Item::Text(Text::new(
            [self.area.x, base],
            self.size,
            Weight::Bold,
            colour,
            self.number.as_str(),
        )));
        let words = self.words.place(self.area.x, self.area.y + LINE_HEIGHT * NUMBER, Anchor::Start, colour);
        items.extend(words.into_iter().map(Item::Text));
        items
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_number_keeps_clear_of_the_scale_beside_its_column() {
        let column = Area { x: 500.0, y: 0.0, w: 220.0, h: 400.0 };
        let view = View::fitting([0.0, 0.0], [100.0, 100.0], Area { x: 0.0, y: 0.0, w: 500.0, h: 400.0 });
        for (value_mpa, shrinks) in [(512.0, false), (37_125.0, true)] {
            let callout =
                Callout { at: [90.0, 50.0], value_mpa, words: "upper bar".to_owned(), trusted: true };
            let left = Area { x: 0.0, ..column };
            let placed = place(&[callout], &view, [left, column], 250.0);
            assert!(placed[0].area.right() <= column.right() - CLEAR + 1e-9, "{:?}", placed[0].area);
            assert_eq!(placed[0].size < NUMBER, shrinks);
        }
    }
}
