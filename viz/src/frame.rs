//! The frame of every picture: the head (title, the line under it, the sentence, what goes with it) and, under a line, the foot
//! (caution and source). `legend` has the third piece.

use crate::colour::Rgba;
use crate::drawing::{Drawing, Item, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, HEADLINE, INK, LABEL, MARGIN, PAPER, QUIET, SMALL};
use crate::path::Path;
use crate::text::{Anchor, Block, LINE_HEIGHT, Step, Weight};

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

/// A page in units of a picture 1200 high, or 1600 wide, whichever binds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Page {
    /// Pixels per unit.
    pub unit: f64,
    pub width: f64,
    pub height: f64,
}

/// Units across an upright page.
const UPRIGHT: f64 = 900.0;

impl Page {
    /// Of so many pixels.
    pub fn new(width_px: u32, height_px: u32) -> Self {
        Self::of(width_px, height_px, [1600.0, 1200.0])
    }

    /// Of so many pixels, in units of which at least so many go across and up.
    pub fn of(width_px: u32, height_px: u32, [across, up]: [f64; 2]) -> Self {
        let (w, h) = (f64::from(width_px.max(1)), f64::from(height_px.max(1)));
        let unit = (w / across).min(h / up);
        Self { unit, width: w / unit, height: h / unit }
    }

    /// Of so many pixels, so many units wide whatever its height.
    pub fn wide(width_px: u32, height_px: u32, across: f64) -> Self {
        let (w, h) = (f64::from(width_px.max(1)), f64::from(height_px.max(1)));
        let unit = w / across;
        Self { unit, width: across, height: h / unit }
    }

    /// Of so many pixels; an upright one is 900 units across: the least type is then some ten pixels high on a phone, 390 pixels wide.
    pub fn readable(width_px: u32, height_px: u32) -> Self {
        let page = Self::new(width_px, height_px);
        if page.is_upright() { Self::wide(width_px, height_px, UPRIGHT) } else { page }
    }

    /// Width and height.
    pub fn size(&self) -> [f64; 2] {
        [self.width, self.height]
    }

    /// Whether it is clearly higher than wide.
    pub fn is_upright(&self) -> bool {
        self.height > 1.2 * self.width
    }

    /// The foot: as high as its words.
    pub fn foot(&self, caution: &str, source: &str) -> Foot {
        Foot::new(caution, source, self.size(), MARGIN, FootType::of(self.is_upright()))
    }

    /// The place of a head over the whole width: below its bottom a long sentence is set smaller.
    pub fn head(&self) -> Area {
        Area { x: MARGIN, y: MARGIN - 16.0, w: self.width - 2.0 * MARGIN, h: HEAD }
    }

    /// Head and foot, and the room between them.
    pub fn framed(&self, head: &Head<'_>, caution: &str, source: &str) -> (Vec<Item>, Area) {
        let Placed { mut items, end, .. } = head.place(self.head(), HeadType::PAGE);
        let foot = self.foot(caution, source);
        let top = end + 18.0;
        let room = Area { y: top, h: foot.area.y - 22.0 - top, ..foot.area };
        items.extend(foot.items());
        (items, room)
    }

    /// The page as a drawing on paper.
    pub fn drawing(&self, title: &str, description: String, items: Vec<Item>) -> Drawing {
        Drawing {
            width: self.width,
            height: self.height,
            pixels_per_unit: self.unit,
            title: title.to_owned(),
            description,
            background: Some(PAPER),
            items,
        }
    }
}

/// Height that a head over the whole width takes, unless its sentence is very long.
const HEAD: f64 = 236.0;

/// The words over a picture; empty ones take no room.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Head<'a> {
    /// Name of the connector.
    pub title: &'a str,
    /// The line under it.
    pub subtitle: &'a str,
    /// What the picture says.
    pub sentence: &'a str,
    /// What the sentence must not be read without.
    pub beyond: Option<&'a str>,
    /// What follows from it.
    pub then: &'a str,
}

/// Type of a head: the largest that is tried, and the least.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HeadType {
    pub title: [f64; 2],
    /// The line under the title, and what goes with the sentence.
    pub second: [f64; 2],
    /// Of the sentence; between them the size that it keeps where it can.
    pub sentence: [f64; 3],
    /// Before the sentence, and before each thing that goes with it.
    pub gaps: [f64; 2],
    /// Whether a long sentence runs on below the area; else it ends in an ellipsis.
    pub grows: bool,
}

impl HeadType {
    /// On a page of [`Page`].
    pub const PAGE: Self = Self {
        title: [34.0, 28.0],
        second: [LABEL, 28.0],
        sentence: [HEADLINE, 36.0, 26.0],
        gaps: [10.0, 6.0],
        grows: true,
    };
}

/// A head in place.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub items: Vec<Item>,
    /// Where it ends.
    pub end: f64,
    /// Whether words were left out.
    pub cut: bool,
}

/// Lines that a title, or a line under it, may become before words are lost.
const MOST_LINES: u8 = 6;

impl Head<'_> {
    /// The head from the top of an area down.
    pub fn place(&self, area: Area, set: HeadType) -> Placed {
        let line = |words: &str, weight, [largest, least]: [f64; 2]| {
            Block::whole(words, weight, largest, least, area.w, MOST_LINES)
        };
        let mut stack = Stack::new([area.x, area.y]);
        let title = line(self.title, Weight::Bold, set.title);
        let subtitle = line(self.subtitle, Weight::Regular, set.second);
        stack.add(&title, ACCENT);
        stack.add(&subtitle, QUIET);
        let beyond = self.beyond.map(|words| (line(words, Weight::Bold, set.second), ACCENT));
        let then = (!self.then.is_empty()).then(|| (line(self.then, Weight::Regular, set.second), INK));
        let after: Vec<(Block, Rgba)> = beyond.into_iter().chain(then).collect();
        let mut cut = title.cut || subtitle.cut || after.iter().any(|(block, _)| block.cut);
        if !self.sentence.is_empty() {
            stack.gap(set.gaps[0]);
            // The sentence leaves what goes with it its lines.
            let kept: f64 = after.iter().map(|(block, _)| block.height() + set.gaps[1]).sum();
            let sentence = sentence(self.sentence, set, [area.w, area.bottom() - stack.end() - kept]);
            stack.add(&sentence, INK);
            cut = cut || sentence.cut;
        }
        for (block, colour) in &after {
            stack.gap(set.gaps[1]);
            stack.add(block, *colour);
        }
        let end = stack.end();
        Placed { items: stack.into_items(), end, cut }
    }
}

/// The sentence on as few lines as hold it in nearly its largest type, then in its usual type, then in its least; on lines without
/// room only where no word would be left otherwise.
fn sentence(words: &str, set: HeadType, [wide, high]: [f64; 2]) -> Block {
    let [largest, usual, least] = set.sentence;
    let high = high.max(LINE_HEIGHT * if set.grows { 3.0 * usual } else { usual });
    let nearly = (NEARLY * largest).max(usual);
    let steps = [(largest, nearly), (nearly, usual), (usual, least)].into_iter().flat_map(|(from, to)| {
        let most = (high / (LINE_HEIGHT * to)).floor().max(1.0) as u8;
        (1..=most).map(move |count| {
            let step = Step::lines(from, to, count);
            Step { high: step.high.min(high), ..step }
        })
    });
    let on = Step { largest: least, smallest: least, high: f64::INFINITY };
    Block::first_whole(words, Weight::Bold, wide, steps.chain(set.grows.then_some(on)))
}

/// Type that is nearly the largest.
const NEARLY: f64 = 0.8;

/// Where the source stands in a foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Source {
    /// On the right, in this part of the width.
    Beside(f64),
    /// In one line below the caution: for pages as wide as a phone.
    Below,
}

/// Type of a foot: its size, how small its source may become, where that stands, and what is left free below it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FootType {
    pub size: f64,
    pub least: f64,
    pub source: Source,
    pub bottom: f64,
}

impl FootType {
    /// On a page that is read on a phone.
    pub const UPRIGHT: Self = Self { size: 26.0, least: SMALL, source: Source::Below, bottom: 24.0 };
    /// On any other.
    pub const WIDE: Self = Self { size: SMALL, least: 18.0, source: Source::Beside(0.3), bottom: 38.0 };

    pub const fn of(upright: bool) -> Self {
        if upright { Self::UPRIGHT } else { Self::WIDE }
    }
}

/// From the line over a foot to its words.
const UNDER_LINE: f64 = 12.0;
/// Between caution and source beside each other.
const BETWEEN: f64 = 40.0;

/// Caution and source under a thin line, at the bottom of a page.
#[derive(Clone, Debug)]
pub(crate) struct Foot {
    /// Its place, between the margins.
    pub area: Area,
    caution: Block,
    source: Block,
    beside: bool,
}

impl Foot {
    /// As high as its words on a page of a width and a height.
    pub fn new(caution: &str, source: &str, [w, h]: [f64; 2], margin: f64, set: FootType) -> Self {
        let inside = w - 2.0 * margin;
        let (right, beside) = match set.source {
            Source::Beside(part) => (part * inside, true),
            Source::Below => (inside, false),
        };
        let left = if beside { inside - right - BETWEEN } else { inside };
        let caution = Block::wrap(caution, set.size, Weight::Regular, left);
        let source =
            Block::whole(source, Weight::Regular, set.size, set.least, right, if beside { 2 } else { 1 });
        let words =
            if beside { caution.height().max(source.height()) } else { caution.height() + source.height() };
        let high = UNDER_LINE + words + set.bottom;
        Self { area: Area { x: margin, y: h - high, w: inside, h: high }, caution, source, beside }
    }

    /// Size of its type.
    pub fn size(&self) -> f64 {
        self.caution.size
    }

    /// Line, caution and source.
    pub fn items(&self) -> Vec<Item> {
        let Self { area, caution, source, beside } = self;
        let line = Path::line(&[[area.x, area.y], [area.right(), area.y]]);
        let top = area.y + UNDER_LINE;
        let source = if *beside {
            source.place(area.right(), top, Anchor::End, QUIET)
        } else {
            source.place(area.x, top + caution.height(), Anchor::Start, QUIET)
        };
        let texts = caution.place(area.x, top, Anchor::Start, QUIET).into_iter().chain(source);
        std::iter::once(Item::stroked(line, Stroke::new(QUIET.faded(0.6), 1.5)))
            .chain(texts.map(Item::Text))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Text;

    #[test]
    fn a_foot_is_as_high_as_its_words_which_keep_apart_and_lose_none() {
        let caution = "A plane model for planning only; an accredited laboratory decides about equipment.";
        for times in [1, 4] {
            let caution = [caution; 4][..times].join(" ");
            for (w, h) in [(1600.0, 1200.0), (1000.0, 1300.0)] {
                let set = FootType::of(h > w);
                let foot = Foot::new(&caution, "inputs 1f2e", [w, h], MARGIN, set);
                let items = foot.items();
                let texts: Vec<&Text> =
                    items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None }).collect();
                let (last, above) = texts.split_last().unwrap();
                let words: Vec<&str> = above.iter().map(|t| t.words.as_str()).collect();
                assert_eq!((words.join(" "), last.words.as_str()), (caution.clone(), "inputs 1f2e"));
                assert!(texts.iter().all(|t| t.size == set.size && foot.area.y < t.at[1] - t.size));
                assert!(texts.iter().all(|t| t.at[1] < h - 0.5 * set.bottom));
                assert_eq!(foot.area.bottom(), h);
                for line in above {
                    let beside = line.at[0] + line.width() < last.at[0] - last.width();
                    assert!(beside || line.at[1] + line.size < last.at[1] + 1.0, "{line:?}");
                }
            }
        }
    }

    fn head(sentence: &str) -> Head<'_> {
        Head { title: "Oval", subtitle: "10 kN", sentence, beyond: Some("It holds 8 kN."), then: "" }
    }

    #[test]
    fn a_sentence_is_set_smaller_before_a_word_is_lost_and_what_follows_keeps_its_room() {
        let area = Area { x: 0.0, y: 0.0, w: 400.0, h: 300.0 };
        let long = "the gate carries 43 % ".repeat(20);
        let short = head("It holds.").place(area, HeadType::PAGE);
        assert!(!short.cut && short.end < area.bottom());
        let held = head(&long).place(area, HeadType { grows: false, ..HeadType::PAGE });
        assert!(held.cut && held.end <= area.bottom() + 1.0, "{}", held.end);
        let grown = head(&long).place(area, HeadType::PAGE);
        assert!(!grown.cut && grown.end > area.bottom());
    }
}
