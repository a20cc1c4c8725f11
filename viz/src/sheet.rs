//! The frame of a picture that is mostly words and small drawings: headline above, caution and source below.

use crate::drawing::Item;
use crate::frame::{FootType, Stack, foot};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, MARGIN, QUIET};
use crate::text::{Anchor, Block, Weight};

const FOOTER: f64 = 104.0;

/// What every sheet says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetWords {
    /// Short name of the picture, for screen readers.
    pub name: String,
    /// Name of the connector.
    pub title: String,
    /// The rig, or what was observed, in a line.
    pub subtitle: String,
    /// What the picture says, in one plain sentence: the headline.
    pub sentence: String,
    /// One more sentence, beneath everything; may be empty.
    pub note: String,
    /// The line that says what this picture is not.
    pub caution: String,
    /// Program, model and inputs.
    pub source_line: String,
}

/// A page with its words in place, and the room that they leave.
pub(crate) struct Sheet {
    pub unit: f64,
    pub width: f64,
    pub height: f64,
    pub items: Vec<Item>,
    pub room: Area,
}

impl Sheet {
    pub fn new(words: &SheetWords, width_px: u32, height_px: u32) -> Self {
        let (w, h) = (f64::from(width_px.max(1)), f64::from(height_px.max(1)));
        let unit = (w / 1600.0).min(h / 1200.0);
        let (width, height) = (w / unit, h / unit);
        let inner = width - 2.0 * MARGIN;
        let mut stack = Stack::new([MARGIN, MARGIN - 12.0]);
        stack.add(&Block::fit(&words.title, Weight::Bold, 34.0, LABEL, [inner, 2.5 * LABEL]), ACCENT);
        stack.add(&Block::fit(&words.subtitle, Weight::Regular, LABEL, 25.0, [inner, 2.5 * LABEL]), QUIET);
        stack.gap(10.0);
        stack.add(&Block::fit(&words.sentence, Weight::Bold, 42.0, 28.0, [inner, 160.0]), INK);
        let top = stack.end() + 24.0;

        let area = Area { x: MARGIN, y: height - FOOTER, w: inner, h: FOOTER };
        let note = Block::fit(&words.note, Weight::Regular, LABEL, 21.0, [inner, 4.2 * LABEL]);
        let note_top = area.y - 18.0 - note.height();
        let mut items = stack.into_items();
        items.extend(note.place(MARGIN, note_top, Anchor::Start, INK).into_iter().map(Item::Text));
        items.extend(foot(&words.caution, &words.source_line, area, FootType::WIDE));
        let room = Area { x: MARGIN, y: top, w: inner, h: note_top - 20.0 - top };
        Self { unit, width, height, items, room }
    }
}
