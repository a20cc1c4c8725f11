//! Number and words of a callout, before they have a place.

use crate::callout::Callout;
use crate::layout::Area;
use crate::look::{LABEL, NUMBER};
use crate::text::{Block, LINE_HEIGHT, Weight, width};

/// Room between a number and what stands beyond its column.
const CLEAR: f64 = 20.0;

/// Lines of words below a number, at most.
const MOST_LINES: f64 = 5.0;

/// A leader may start above or below words that its point lies no farther beside.
const ASIDE: f64 = 60.0;

/// Number and words, before they have a place.
#[derive(Clone, Debug)]
pub(crate) struct Label {
    pub number: String,
    /// Font size of the number: that of all numbers unless it is too long for its column.
    pub size: f64,
    pub words: Block,
    pub trusted: bool,
    /// Whether all of its words found room.
    pub is_whole: bool,
    pub wide: f64,
    pub tall: f64,
}

impl Label {
    pub fn new(callout: &Callout, wide: f64) -> Self {
        let room = [wide, MOST_LINES * LINE_HEIGHT * LABEL + 1e-6];
        let words = Block::fit(&callout.words, Weight::Regular, LABEL, LABEL, room);
        let is_whole = !words.cut;
        let number = format!("{:.0} MPa", callout.value_mpa).replace('-', "−");
        let long = width(&number, NUMBER, Weight::Bold);
        let size = NUMBER * ((wide - CLEAR) / long).clamp(0.5, 1.0);
        let most = width(&number, size, Weight::Bold).max(words.width());
        let tall = LINE_HEIGHT * NUMBER + words.height();
        Self { number, size, words, trusted: callout.trusted, is_whole, wide: most, tall }
    }

    /// Where a leader to a point may start on a label in this box, and where it turns: beside the number; above or below the
    /// words too where the point lies over or under them.
    pub fn starts(&self, area: Area, point: [f64; 2]) -> Vec<[[f64; 2]; 2]> {
        let y = area.y + 0.5 * LINE_HEIGHT * NUMBER;
        let beside = if point[0] > area.x + 0.5 * area.w {
            let start = area.x + width(&self.number, self.size, Weight::Bold) + 12.0;
            [[start, y], [(start + 22.0).max(area.right() + 6.0), y]]
        } else {
            [[area.x - 12.0, y], [area.x - 22.0, y]]
        };
        let mut starts = vec![beside];
        if area.x - ASIDE <= point[0] && point[0] <= area.right() + ASIDE {
            let number = width(&self.number, self.size, Weight::Bold);
            let from = |wide: f64| point[0].clamp(area.x + 4.0, (area.x + wide).max(area.x + 4.0));
            // Capitals begin below the top of their line.
            let above = [from(number), area.y + 4.0];
            let below = [from(self.words.width()), area.bottom() + 2.0];
            if point[1] < area.y {
                starts.push([above, above]);
            } else if point[1] > area.bottom() {
                starts.push([below, below]);
            }
        }
        starts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value_mpa: f64, wide: f64) -> Label {
        let words = "lower bar, inner side at mid width".to_owned();
        Label::new(&Callout { at: [0.0; 2], value_mpa, words, trusted: true }, wide)
    }

    #[test]
    fn a_long_number_keeps_clear_of_the_scale_beside_its_column() {
        for (value, shrinks) in [(512.0, false), (37_125.0, true)] {
            let label = number(value, 200.0);
            assert!(width(&label.number, label.size, Weight::Bold) <= 200.0 - CLEAR + 1e-9, "{label:?}");
            assert_eq!(label.size < NUMBER, shrinks);
        }
        assert_eq!(number(-92.4, 200.0).number, "−92 MPa");
    }
}
