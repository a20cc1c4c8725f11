//! The page of a chart: words above and below, and the room between them for its panels.

use crate::drawing::{Drawing, Item};
use crate::frame::{FootType, Source, Stack, foot};
use crate::layout::Area;
use crate::look::{HEADLINE, INK, LABEL, MARGIN, PAPER, QUIET, SMALL};
use crate::text::{Block, LINE_HEIGHT, Weight};

/// Numbers at axes and names at lines.
pub(crate) const TYPE: f64 = 27.0;

/// Heights of the foot on a wide page, and on an upright one.
const FOOT: f64 = 104.0;
const UPRIGHT_FOOT: f64 = 164.0;

/// The words of a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ChartWords {
    /// Name of the connector.
    pub title: String,
    /// What was varied.
    pub subtitle: String,
    /// What came of it.
    pub sentence: String,
    /// The line of caution.
    pub caution: String,
    /// Program, model, hash of the inputs.
    pub source_line: String,
}

impl ChartWords {
    /// The page as a drawing, `unit` pixels to a picture unit.
    pub(crate) fn drawing(
        &self,
        [width, height]: [f64; 2],
        unit: f64,
        description: String,
        items: Vec<Item>,
    ) -> Drawing {
        Drawing {
            width,
            height,
            pixels_per_unit: unit,
            title: format!("{}: {}", self.title, self.subtitle),
            description,
            background: Some(PAPER),
            items,
        }
    }
}

/// Words above and below; the room left between them.
pub(crate) fn page(words: &ChartWords, [w, h]: [f64; 2], items: &mut Vec<Item>) -> Area {
    let inner = w - 2.0 * MARGIN;
    let mut stack = Stack::new([MARGIN, MARGIN - 14.0]);
    let fit =
        |words: &str, weight, size: f64, room| Block::fit(words, weight, size, 0.6 * size, [inner, room]);
    stack.add(&fit(&words.title, Weight::Bold, HEADLINE, 60.0), INK);
    // What was taken makes it long.
    let lines = 2.0 * LINE_HEIGHT * TYPE + 1.0;
    stack.add(&fit(&words.subtitle, Weight::Regular, TYPE, lines), QUIET);
    stack.add(&fit(&words.sentence, Weight::Regular, LABEL, 112.0), INK);
    let top = stack.end() + 14.0;
    items.extend(stack.into_items());
    // An upright page is read on a phone.
    let (high, set) = if w < h {
        (UPRIGHT_FOOT, FootType { size: 26.0, least: SMALL, source: Source::Below })
    } else {
        (FOOT, FootType::WIDE)
    };
    let area = Area { x: MARGIN, y: h - high, w: inner, h: high };
    items.extend(foot(&words.caution, &words.source_line, area, set));
    Area { x: MARGIN, y: top, w: inner, h: area.y - 22.0 - top }
}
