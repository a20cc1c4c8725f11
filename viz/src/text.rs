//! Text as outlines: measuring, breaking into lines, and turning letters into paths.
//!
//! Letters are written as outlines in SVG and PNG alike. A reader without our font would otherwise see other widths, and
//! a label placed clear of its neighbour here would run into it there. The words themselves are in the drawing's
//! description, so nothing is lost to a screen reader.
//!
//! The font has Latin, Greek and Cyrillic letters. A letter of another script is never drawn as the font's empty box: a PNG leaves its place
//! blank ([`crate::Drawing::lacking`] tells which, for a warning), an SVG writes the whole run as text in the reader's own
//! font, pressed into the width that was measured.

use crate::colour::Rgba;
use crate::path::{Path, Rule, Segment};
use ab_glyph::{Font, FontRef, OutlineCurve, Point};
use std::sync::OnceLock;

/// Height of a capital letter over the font size, Noto Sans.
pub(crate) const CAP_HEIGHT: f64 = 0.714;
/// Distance of base lines over the font size.
pub(crate) const LINE_HEIGHT: f64 = 1.2;

/// How heavy the letters are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Plain.
    Regular,
    /// Bold.
    Bold,
}

/// Which end of the text stands at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The text starts there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// A run of text on one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where the anchor lies, on the base line.
    pub at: [f64; 2],
    /// Which end lies there.
    pub anchor: Anchor,
    /// Font size (height of the em square), picture units.
    pub size: f64,
    /// Weight.
    pub weight: Weight,
    /// Colour.
    pub colour: Rgba,
    /// Turn about `at`, degrees, clockwise on the page.
    pub turn_deg: f64,
    /// What it says.
    pub words: String,
}

/// Lines of one size, stacked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Block {
    pub lines: Vec<String>,
    pub size: f64,
    pub weight: Weight,
    /// Whether words were left out: an ellipsis stands for them.
    pub cut: bool,
    /// Whether a word wider than the box runs on in the next line.
    pub broken: bool,
}

/// A step of the search for a size of type: from the largest to the smallest, in lines no higher than `high` together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Step {
    pub largest: f64,
    pub smallest: f64,
    pub high: f64,
}

impl Step {
    /// In so many lines of the largest type.
    pub fn lines(largest: f64, smallest: f64, count: u8) -> Self {
        Self { largest, smallest, high: LINE_HEIGHT * largest * f64::from(count) + 1e-6 }
    }
}

/// The file of the font, as a page embeds it to have the face of the pictures.
#[must_use]
pub fn font_file(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => notosans::REGULAR_TTF,
        Weight::Bold => notosans::BOLD_TTF,
    }
}

#[expect(clippy::expect_used, reason = "the font's bytes are part of the program; a test reads them")]
fn font(weight: Weight) -> &'static FontRef<'static> {
    static REGULAR: OnceLock<FontRef<'static>> = OnceLock::new();
    static BOLD: OnceLock<FontRef<'static>> = OnceLock::new();
    let cell = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    cell.get_or_init(|| FontRef::try_from_slice(font_file(weight)).expect("a font that the program carries"))
}

fn per_unit(font: &FontRef<'_>, size: f64) -> f64 {
    size / f64::from(font.units_per_em().unwrap_or(1000.0))
}

/// Whether the font has no shape for a letter.
fn lacks(font: &FontRef<'_>, c: char) -> bool {
    font.glyph_id(c).0 == 0 && !c.is_control()
}

/// How far the pen moves, in units of the font. Letters that it lacks keep the room of a common letter, those of scripts
/// with square letters a square.
fn advance(font: &FontRef<'_>, c: char) -> f64 {
    /// First of the Hangul, Kana and Han letters.
    const SQUARE: char = '\u{1100}';
    if c.is_control() {
        0.0
    } else if lacks(font, c) {
        f64::from(font.units_per_em().unwrap_or(1000.0)) * if c < SQUARE { 0.62 } else { 1.0 }
    } else {
        f64::from(font.h_advance_unscaled(font.glyph_id(c)))
    }
}

/// Width of a run of text, in the unit of `size`.
pub(crate) fn width(words: &str, size: f64, weight: Weight) -> f64 {
    let font = font(weight);
    words.chars().map(|c| advance(font, c)).sum::<f64>() * per_unit(font, size)
}

impl Text {
    /// Horizontal text.
    pub fn new(at: [f64; 2], size: f64, weight: Weight, colour: Rgba, words: impl Into<String>) -> Self {
        Self { at, anchor: Anchor::Start, size, weight, colour, turn_deg: 0.0, words: words.into() }
    }

    /// The same text with its middle or end at the point.
    #[must_use]
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// Width in picture units.
    #[must_use]
    pub fn width(&self) -> f64 {
        width(&self.words, self.size, self.weight)
    }

    /// Its letters that the font has no shape for.
    pub(crate) fn lacking(&self) -> impl Iterator<Item = char> + '_ {
        let font = font(self.weight);
        self.words.chars().filter(|c| lacks(font, *c))
    }

    /// The letters as closed curves, where they stand in the picture; without those that the font lacks.
    #[must_use]
    pub fn outline(&self) -> Path {
        let font = font(self.weight);
        let scale = per_unit(font, self.size);
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        let mut pen = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -0.5 * self.width(),
            Anchor::End => -self.width(),
        };
        let mut path = Path { segments: Vec::new(), rule: Rule::NonZero };
        for c in self.words.chars() {
            let glyph = font.glyph_id(c);
            let place = |p: Point| {
                let (x, y) = (pen + scale * f64::from(p.x), -scale * f64::from(p.y));
                [self.at[0] + cos * x - sin * y, self.at[1] + sin * x + cos * y]
            };
            // Glyph 0 is the box that stands for what is missing.
            let shape = if glyph.0 == 0 { None } else { font.outline(glyph) };
            let curves = shape.map(|o| o.curves).unwrap_or_default();
            let mut last: Option<Point> = None;
            for curve in curves {
                let (start, end) = match curve {
                    OutlineCurve::Line(a, b) => (a, b),
                    OutlineCurve::Quad(a, _, c) => (a, c),
                    OutlineCurve::Cubic(a, _, _, d) => (a, d),
                };
                // The font gives pieces only; a jump between them begins a new loop.
                if last != Some(start) {
                    if last.is_some() {
                        path.segments.push(Segment::Close);
                    }
                    path.segments.push(Segment::Move(place(start)));
                }
                path.segments.push(match curve {
                    OutlineCurve::Line(_, b) => Segment::Line(place(b)),
                    OutlineCurve::Quad(_, b, c) => Segment::Quad(place(b), place(c)),
                    OutlineCurve::Cubic(_, b, c, d) => Segment::Cubic(place(b), place(c), place(d)),
                });
                last = Some(end);
            }
            if last.is_some() {
                path.segments.push(Segment::Close);
            }
            pen += scale * advance(font, c);
        }
        path
    }
}

/// The words, those wider than `max_width` in pieces: after a sign that joins words, else wherever the line is full.
fn broken(words: &str, size: f64, weight: Weight, max_width: f64) -> String {
    let mut pieces: Vec<String> = Vec::new();
    for word in words.split([' ', '\n', '\t']) {
        let mut rest = word;
        while width(rest, size, weight) > max_width && rest.chars().count() > 1 {
            let fits = |end: &usize| width(&rest[..*end], size, weight) <= max_width;
            let ends: Vec<usize> = rest.char_indices().skip(1).map(|(at, _)| at).take_while(fits).collect();
            let after_sign = |end: &&usize| rest[..**end].ends_with(['-', '_', '/', '.', '\u{a0}']);
            let first = rest.chars().next().map_or(1, char::len_utf8);
            let end = ends.iter().rev().find(after_sign).or(ends.last()).copied().unwrap_or(first);
            pieces.push(rest[..end].to_owned());
            rest = &rest[end..];
        }
        pieces.push(rest.to_owned());
    }
    pieces.join(" ")
}

impl Block {
    /// Breaks words into lines no wider than `max_width`; a single word that is wider stands alone.
    pub fn wrap(words: &str, size: f64, weight: Weight, max_width: f64) -> Self {
        let mut lines: Vec<String> = Vec::new();
        for word in words.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
            if let Some(line) = lines.last_mut() {
                let longer = format!("{line} {word}");
                if width(&longer, size, weight) <= max_width {
                    *line = longer;
                    continue;
                }
            }
            lines.push(word.to_owned());
        }
        Self { lines, size, weight, cut: false, broken: false }
    }

    /// The fewest lines, of at most `lines`, that hold all words no smaller than `smallest`, as large as they can be. Words
    /// that no number of lines holds end in an ellipsis.
    pub fn whole(
        words: &str,
        weight: Weight,
        largest: f64,
        smallest: f64,
        max_width: f64,
        lines: u8,
    ) -> Self {
        let step = |count| Step::lines(largest, smallest, count);
        Self::first_whole(words, weight, max_width, (1..=lines.max(1)).map(step))
    }

    /// The first of some steps that holds all words; else the last, which ends in an ellipsis.
    pub fn first_whole(
        words: &str,
        weight: Weight,
        max_width: f64,
        steps: impl IntoIterator<Item = Step>,
    ) -> Self {
        let mut block = Self { lines: Vec::new(), size: 0.0, weight, cut: false, broken: false };
        for Step { largest, smallest, high } in steps {
            block = Self::fit(words, weight, largest, smallest, [max_width, high]);
            if !block.cut {
                break;
            }
        }
        block
    }

    /// The largest text between `largest` and `smallest` that stays inside the box, in steps of 4 %. At the smallest size
    /// words that are wider than the box are broken; what is too long even so ends in an ellipsis.
    pub fn fit(words: &str, weight: Weight, largest: f64, smallest: f64, size: [f64; 2]) -> Self {
        let mut font_size = largest;
        loop {
            let block = Self::wrap(words, font_size, weight, size[0]);
            let inside = block.width() <= size[0] && block.height() <= size[1];
            if inside {
                return block;
            }
            if font_size <= smallest {
                let in_pieces = broken(words, font_size, weight, size[0]);
                let block = Self::wrap(&in_pieces, font_size, weight, size[0]).cut_to(size);
                return Self { broken: in_pieces != words, ..block };
            }
            font_size = (0.96 * font_size).max(smallest);
        }
    }

    fn cut_to(mut self, size: [f64; 2]) -> Self {
        let most = ((size[1] / (LINE_HEIGHT * self.size)).floor() as usize).max(1);
        let cut = self.lines.len() > most;
        self.cut = cut;
        self.lines.truncate(most);
        let count = self.lines.len();
        for (i, line) in self.lines.iter_mut().enumerate() {
            let ends_early = cut && i + 1 == count;
            if ends_early {
                line.push('…');
            }
            while width(line, self.size, self.weight) > size[0] && line.chars().count() > 1 {
                let keep = line.chars().count().saturating_sub(2);
                *line = line.chars().take(keep).collect::<String>();
                line.push('…');
                self.cut = true;
            }
        }
        self
    }

    pub fn width(&self) -> f64 {
        self.lines.iter().map(|line| width(line, self.size, self.weight)).fold(0.0, f64::max)
    }

    /// Height from the top of the first line's box to the bottom of the last one's.
    pub fn height(&self) -> f64 {
        LINE_HEIGHT * self.size * self.lines.len() as f64
    }

    /// The lines as text items, the first line's box starting at `top`.
    pub fn place(&self, x: f64, top: f64, anchor: Anchor, colour: Rgba) -> Vec<Text> {
        let first = top + 0.5 * (LINE_HEIGHT + CAP_HEIGHT) * self.size;
        self.lines
            .iter()
            .enumerate()
            .map(|(i, line)| {
                let y = first + i as f64 * LINE_HEIGHT * self.size;
                Text::new([x, y], self.size, self.weight, colour, line.as_str()).anchored(anchor)
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INK: Rgba = Rgba::new(0, 0, 0, 255);

    #[test]
    fn the_outline_is_as_wide_as_it_measures() {
        // The letter H has side bearings of about a tenth of its width: nearly all of the advance is ink.
        let text = Text::new([10.0, 50.0], 40.0, Weight::Bold, INK, "HHHH");
        let [low, high] = text.outline().bounds().unwrap();
        assert!((high[0] - low[0]) > 0.9 * text.width() && (high[0] - low[0]) < text.width());
        assert!((50.0 - low[1] - CAP_HEIGHT * 40.0).abs() < 0.1, "capitals stand on the base line");
        assert_eq!(high[1], 50.0);
    }

    #[test]
    fn anchors_shift_by_half_and_whole_widths() {
        let start = Text::new([0.0, 0.0], 30.0, Weight::Regular, INK, "spine");
        let x = |t: &Text| t.outline().bounds().unwrap()[0][0];
        let w = start.width();
        assert!((x(&start) - x(&start.clone().anchored(Anchor::Middle)) - 0.5 * w).abs() < 1e-9);
        assert!((x(&start) - x(&start.clone().anchored(Anchor::End)) - w).abs() < 1e-9);
    }

    #[test]
    fn long_words_shrink_and_then_end_early() {
        let long = "one two three four five six seven eight nine ten eleven twelve";
        let block = Block::fit(long, Weight::Bold, 60.0, 20.0, [300.0, 200.0]);
        assert!(block.size < 60.0 && block.width() <= 300.0 && block.height() <= 200.0);
        assert_eq!(block.lines.join(" "), long, "nothing lost by shrinking");
        let cut = Block::fit(long, Weight::Bold, 60.0, 40.0, [200.0, 100.0]);
        assert!(cut.width() <= 200.0 && cut.height() <= 100.0 && cut.lines.last().unwrap().ends_with('…'));
    }

    #[test]
    fn words_wider_than_a_line_are_broken_before_any_is_lost() {
        let name = "a-connector-with-a-name-as-long-as-its-story-of-pulls-and-breaks";
        let block = Block::fit(name, Weight::Bold, 40.0, 20.0, [300.0, 100.0]);
        assert_eq!(block.lines.concat(), name);
        assert!(block.lines.len() > 1 && block.lines[0].ends_with('-') && block.width() <= 300.0);
        let block = Block::fit(&"x".repeat(60), Weight::Bold, 40.0, 20.0, [300.0, 100.0]);
        assert_eq!(block.lines.concat().chars().count(), 60);
        assert_eq!(Block::fit("a b", Weight::Bold, 40.0, 20.0, [1.0, 900.0]).lines.len(), 2);
    }

    #[test]
    fn whole_words_take_another_line_before_any_is_lost() {
        let long = "one two three four five six seven eight nine ten eleven twelve";
        let short = Block::whole("one two", Weight::Bold, 40.0, 30.0, 400.0, 5);
        assert_eq!((short.lines.len(), short.size), (1, 40.0));
        let block = Block::whole(long, Weight::Bold, 40.0, 30.0, 400.0, 5);
        assert!(block.lines.join(" ") == long && block.width() <= 400.0);
        assert!(Block::whole(long, Weight::Bold, 40.0, 30.0, 400.0, 2).lines[1].ends_with('…'));
    }

    #[test]
    fn letters_that_the_font_lacks_keep_their_room_and_are_no_boxes() {
        for words in ["鉄環", "연결고리"] {
            let text = Text::new([0.0, 0.0], 30.0, Weight::Bold, INK, words);
            assert_eq!(text.lacking().collect::<String>(), words);
            assert!(text.outline().segments.is_empty(), "{words}");
            assert!(text.width() > 0.5 * 30.0 * words.chars().count() as f64);
        }
        let latin =
            Text::new([0.0, 0.0], 30.0, Weight::Regular, INK, "Żółw für Ærø\u{a0}7 Карабин γάντζος\n");
        assert_eq!(latin.lacking().count(), 0);
    }

    #[test]
    fn our_font_has_the_signs_we_use() {
        for c in "·–…×°²µ±⌀".chars().filter(|c| *c != '⌀') {
            assert_ne!(font(Weight::Regular).glyph_id(c).0, 0, "{c}");
        }
    }
}
