//! What frames a picture: blocks of words from the top down, and caution and source under a line at its foot.

use crate::colour::Rgba;
use crate::drawing::{Item, Path, Stroke};
use crate::layout::Area;
use crate::look::QUIET;
use crate::text::{Anchor, Block, Weight};

/// Blocks one below the other, and where the next one goes.
pub(crate) struct Stack {
    at: [f64; 2],
    items: Vec<Item>,
}

impl Stack {
    /// Begins at the upper left corner of the first block.
    pub fn new(at: [f64; 2]) -> Self {
        Self { at, items: Vec::new() }
    }

    /// Sets a block below the others.
    pub fn add(&mut self, block: &Block, colour: Rgba) {
        let placed = block.place(self.at[0], self.at[1], Anchor::Start, colour);
        self.items.extend(placed.into_iter().map(Item::Text));
        self.at[1] += block.height();
    }

    /// Leaves room before the next one.
    pub fn gap(&mut self, high: f64) {
        self.at[1] += high;
    }

    /// Where the next block would go.
    pub fn end(&self) -> f64 {
        self.at[1]
    }

    /// What was set.
    pub fn into_items(self) -> Vec<Item> {
        self.items
    }
}

/// Type of a foot: its size, how small it may become, and the part of the width that the source takes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FootType {
    pub size: f64,
    pub least: f64,
    pub source: f64,
}

/// Caution on the left, source on the right, under a thin line.
pub(crate) fn foot(caution: &str, source: &str, area: Area, set: FootType) -> Vec<Item> {
    let right = set.source * area.w;
    let line = Path::line(&[[area.x, area.y], [area.right(), area.y]]);
    let room = area.h - 18.0;
    let caution = Block::fit(caution, Weight::Regular, set.size, set.least, [area.w - right - 40.0, room]);
    let source = Block::fit(source, Weight::Regular, set.size, set.least, [right, room]);
    let top = area.y + 12.0;
    let mut items = vec![Item::stroked(line, Stroke::new(QUIET.faded(0.6), 1.5))];
    items.extend(caution.place(area.x, top, Anchor::Start, QUIET).into_iter().map(Item::Text));
    items.extend(source.place(area.right(), top, Anchor::End, QUIET).into_iter().map(Item::Text));
    items
}
