//! A picture that is mostly words and small drawings, in the frame of all pictures, with a note beneath.

use crate::drawing::Item;
use crate::frame::{Head, Page};
use crate::layout::Area;
use crate::look::{INK, LABEL};
use crate::text::{Anchor, Block, Weight};

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
    pub page: Page,
    pub items: Vec<Item>,
    pub room: Area,
}

impl Sheet {
    pub fn new(words: &SheetWords, width_px: u32, height_px: u32) -> Self {
        Self::on(Page::new(width_px, height_px), words, 4.2)
    }

    /// On a page of its own measure, with room for so many lines of the note.
    pub fn on(page: Page, words: &SheetWords, lines: f64) -> Self {
        let head = Head {
            title: &words.title,
            subtitle: &words.subtitle,
            sentence: &words.sentence,
            ..Head::default()
        };
        let (mut items, room) = page.framed(&head, &words.caution, &words.source_line);
        let note = Block::fit(&words.note, Weight::Regular, LABEL, 21.0, [room.w, lines * LABEL]);
        let note_top = room.bottom() - note.height();
        items.extend(note.place(room.x, note_top, Anchor::Start, INK).into_iter().map(Item::Text));
        Self { page, items, room: Area { h: note_top - 20.0 - room.y, ..room } }
    }
}
