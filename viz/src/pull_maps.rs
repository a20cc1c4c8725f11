//! A strip of moments of a pull, all in one scale of length and of colour.

use crate::colour::Scale;
use crate::drawing::{Drawing, Item};
use crate::frame::{Head, Page};
use crate::layout::Area;
use crate::look::{INK, LABEL, QUIET};
use crate::pull_moment::{PullMoment, box_of};
use crate::ruler::Span;
use crate::ruler_across::ruler_across;
use crate::sheet::SheetWords;
use crate::text::{Anchor, Block, Weight};

/// Height of the ruler of colours, and width of its name.
const RULER: f64 = 74.0;
const RULER_NAME: f64 = 320.0;
/// Height of what stands over a moment.
const CAPTION: f64 = 118.0;
/// Space between moments.
const APART: f64 = 14.0;

/// The strip.
#[derive(Clone, Debug)]
pub struct PullMaps<'a> {
    /// Its words; the sentence is left out where it is empty.
    pub words: SheetWords,
    /// What it says, for those who cannot see it.
    pub description: String,
    /// What the colours are, and the words at yield and before what lies past an end.
    pub ruler: [String; 3],
    /// Yield stress of the frame, MPa.
    pub yield_mpa: f64,
    /// The highest stress that the colours show, MPa: what nearly all metal stays below.
    pub most_mpa: f64,
    /// The highest stress of all moments, MPa, marked at the end of the ruler where it lies past it.
    pub told_mpa: f64,
    /// Moments, the first to come first.
    pub moments: Vec<PullMoment<'a>>,
}

/// The range of colours of a pull: past yield, since all that is shown has yielded somewhere.
pub(crate) fn span(most_mpa: f64, yield_mpa: f64) -> Span {
    Span::new(most_mpa, yield_mpa, Scale::Glow)
}

impl PullMaps<'_> {
    /// Lays the strip out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let page = Page::new(width_px, height_px);
        let words = &self.words;
        let head = Head {
            title: &words.title,
            subtitle: &words.subtitle,
            sentence: &words.sentence,
            ..Head::default()
        };
        let (mut items, room) = page.framed(&head, &words.caution, &words.source_line);
        let note = Block::whole(&words.note, Weight::Regular, 26.0, 20.0, room.w, 3);
        let note_high = if words.note.is_empty() { 0.0 } else { note.height() + 10.0 };
        items.extend(
            note.place(room.x, room.bottom() - note_high + 6.0, Anchor::Start, QUIET)
                .into_iter()
                .map(Item::Text),
        );
        let ruler_top = room.bottom() - note_high - RULER;
        let span = span(self.most_mpa, self.yield_mpa).telling([self.told_mpa]);
        let [name, yields, past] = &self.ruler;
        let block = Block::fit(name, Weight::Regular, LABEL, 0.8 * LABEL, [RULER_NAME, RULER]);
        let top = ruler_top + 0.5 * (RULER - block.height());
        items.extend(block.place(room.x, top, Anchor::Start, INK).into_iter().map(Item::Text));
        let left = room.x + RULER_NAME + 20.0;
        let ruler = Area { x: left, y: ruler_top, w: room.right() - left, h: RULER };
        items.extend(ruler_across(&span, Some(self.yield_mpa), ruler, LABEL, [yields, past]));
        let count = self.moments.len().max(1) as f64;
        let wide = (room.w - APART * (count - 1.0)) / count;
        let view = box_of(&self.moments.iter().collect::<Vec<_>>());
        for (i, moment) in self.moments.iter().enumerate() {
            let x = room.x + i as f64 * (wide + APART);
            let what = Block::whole(&moment.what, Weight::Bold, LABEL, 20.0, wide, 2);
            let load = Block::whole(&moment.load, Weight::Regular, LABEL, 20.0, wide, 1);
            let middle = x + 0.5 * wide;
            let top = room.y + CAPTION - 8.0 - what.height() - load.height();
            items.extend(what.place(middle, top, Anchor::Middle, INK).into_iter().map(Item::Text));
            let below = top + what.height();
            items.extend(load.place(middle, below, Anchor::Middle, INK).into_iter().map(Item::Text));
            let y = room.y + CAPTION;
            let cell = Area { x, y, w: wide, h: ruler_top - 16.0 - y };
            items.extend(moment.items(view, cell, span, page.unit));
        }
        page.drawing(&words.name, self.description.clone(), items)
    }
}
