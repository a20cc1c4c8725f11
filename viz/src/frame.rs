//! What frames a picture: blocks of words from the top down, and caution and source under a line at its foot.

use crate::colour::Rgba;
use crate::drawing::{Item, Stroke};
use crate::layout::Area;
use crate::look::{QUIET, SMALL};
use crate::path::Path;
use crate::text::{Anchor, Block, LINE_HEIGHT, Weight};

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

/// Where the source stands in a foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Source {
    /// On the right, in this part of the width.
    Beside(f64),
    /// In one line below the caution: for pages as wide as a phone.
    Below,
}

/// Type of a foot: its size, how small it may become, and where the source stands.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FootType {
    pub size: f64,
    pub least: f64,
    pub source: Source,
}

impl FootType {
    /// On a wide page whose type is [`SMALL`] at its foot.
    pub const WIDE: Self = Self { size: SMALL, least: 18.0, source: Source::Beside(0.27) };
}

/// Caution and source, under a thin line.
pub(crate) fn foot(caution: &str, source: &str, area: Area, set: FootType) -> Vec<Item> {
    let line = Path::line(&[[area.x, area.y], [area.right(), area.y]]);
    let mut items = vec![Item::stroked(line, Stroke::new(QUIET.faded(0.6), 1.5))];
    let fit = |words: &str, room| Block::fit(words, Weight::Regular, set.size, set.least, room);
    let top = area.y + 12.0;
    let room = area.h - 18.0;
    match set.source {
        Source::Beside(part) => {
            let right = part * area.w;
            let [caution, source] = [fit(caution, [area.w - right - 40.0, room]), fit(source, [right, room])];
            items.extend(caution.place(area.x, top, Anchor::Start, QUIET).into_iter().map(Item::Text));
            items.extend(source.place(area.right(), top, Anchor::End, QUIET).into_iter().map(Item::Text));
        }
        Source::Below => {
            let line = LINE_HEIGHT * set.size + 1e-6;
            let mut stack = Stack::new([area.x, top]);
            stack.add(&fit(caution, [area.w, room - line]), QUIET);
            stack.add(&fit(source, [area.w, line]), QUIET);
            items.extend(stack.into_items());
        }
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Text;

    #[test]
    fn caution_and_source_keep_apart_and_lose_no_word() {
        let caution = "A plane model for planning only; an accredited laboratory decides about equipment.";
        for source in [Source::Beside(0.3), Source::Below] {
            let area = Area { x: 50.0, y: 900.0, w: 900.0, h: 120.0 };
            let set = FootType { size: 26.0, least: 18.0, source };
            let items = foot(caution, "inputs 1f2e", area, set);
            let texts: Vec<&Text> =
                items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None }).collect();
            let (last, above) = texts.split_last().unwrap();
            let words: Vec<&str> = above.iter().map(|t| t.words.as_str()).collect();
            assert_eq!((words.join(" ").as_str(), last.words.as_str()), (caution, "inputs 1f2e"));
            assert!(texts.iter().all(|t| area.y < t.at[1] - t.size && t.at[1] < area.bottom()));
            for line in above {
                let beside = line.at[0] + line.width() < last.at[0] - last.width();
                assert!(beside || line.at[1] + line.size < last.at[1] + 1.0, "{line:?}");
            }
        }
    }
}
