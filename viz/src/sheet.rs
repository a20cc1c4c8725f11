//! The frame of a picture that is mostly words and small drawings: headline above, caution and source below.

use crate::drawing::{Item, Path, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, MARGIN, QUIET, SMALL};
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
        let mut items = Vec::new();
        let mut add = |block: Block, y: f64, colour| {
            items.extend(block.place(MARGIN, y, Anchor::Start, colour).into_iter().map(Item::Text));
            y + block.height()
        };
        let title = Block::fit(&words.title, Weight::Bold, 34.0, LABEL, [inner, 2.5 * LABEL]);
        let y = add(title, MARGIN - 12.0, ACCENT);
        let subtitle = Block::fit(&words.subtitle, Weight::Regular, LABEL, 25.0, [inner, 2.5 * LABEL]);
        let y = add(subtitle, y, QUIET) + 10.0;
        let sentence = Block::fit(&words.sentence, Weight::Bold, 42.0, 28.0, [inner, 160.0]);
        let top = add(sentence, y, INK) + 24.0;

        let foot = height - FOOTER;
        let right = 0.27 * inner;
        let caution =
            Block::fit(&words.caution, Weight::Regular, SMALL, 18.0, [inner - right - 40.0, FOOTER - 18.0]);
        add(caution, foot + 12.0, QUIET);
        let note = Block::fit(&words.note, Weight::Regular, LABEL, 21.0, [inner, 4.2 * LABEL]);
        let note_top = foot - 18.0 - note.height();
        add(note, note_top, INK);
        let source = Block::fit(&words.source_line, Weight::Regular, SMALL, 18.0, [right, FOOTER - 18.0]);
        items.extend(
            source.place(width - MARGIN, foot + 12.0, Anchor::End, QUIET).into_iter().map(Item::Text),
        );
        let line = Path::line(&[[MARGIN, foot], [width - MARGIN, foot]]);
        items.push(Item::stroked(line, Stroke::new(QUIET.faded(0.6), 1.5)));
        let room = Area { x: MARGIN, y: top, w: inner, h: note_top - 20.0 - top };
        Self { unit, width, height, items, room }
    }
}
