//! Stills: one statement as a picture for a post or a film, to be read on a phone in three seconds.
//!
//! Head, legend and foot are those of every picture; between them each shape of page has an order of its own. The statement,
//! the see-saw and the part that fails first are set in main type, never smaller than a thirtieth of the page's height; only
//! caution and source are small. The short side of every
//! page is 1080 units, so a page of twice the pixels shows the same picture.

mod bars;
mod blocks;
mod map;
mod page;
mod pair;
mod strength;
mod way;

pub use bars::{Marked, StrengthBar};

use crate::drawing::{Drawing, Item, Stroke};
use crate::look::PAPER;
use crate::stress_map::StressMap;
use page::Page;

/// The part that fails first.
#[derive(Clone, Debug, PartialEq)]
pub struct Weakest {
    /// Where it is, mm.
    pub at: [f64; 2],
    /// Its name: "lip of the notch".
    pub part: String,
    /// The load at which it gives: "20.9 kN".
    pub load: String,
    /// What it does: "fails first".
    pub does: String,
}

/// One of a pair.
#[derive(Clone, Debug)]
pub struct StillVariant<'a> {
    /// What differs, in a few words.
    pub label: String,
    /// The connector under load.
    pub map: StressMap<'a>,
    /// What fails first.
    pub weakest: Weakest,
}

/// What a still shows.
#[derive(Clone, Debug)]
pub enum StillContent<'a> {
    /// The map of one connector.
    Map {
        /// The connector under load.
        map: Box<StressMap<'a>>,
        /// What fails first.
        weakest: Weakest,
    },
    /// The loads at which its parts reach their limits.
    Strength {
        /// The connector under load.
        map: Box<StressMap<'a>>,
        /// What fails first.
        weakest: Weakest,
        /// The parts, lowest load first; as many are shown as there is room for.
        bars: Vec<StrengthBar>,
        /// The marking, kN, where it is known.
        marked: Option<Marked>,
    },
    /// Two connectors on one scale.
    Pair(Box<[StillVariant<'a>; 2]>),
}

/// A picture for a post or a film.
#[derive(Clone, Debug)]
pub struct Still<'a> {
    /// Name of the connector.
    pub title: String,
    /// The rig in a line.
    pub subtitle: String,
    /// The statement: one plain sentence.
    pub sentence: String,
    /// What is loaded above what it holds, and what stresses then tell.
    pub beyond: Option<String>,
    /// The picture in words.
    pub description: String,
    /// The line that says what this picture is not.
    pub caution: &'a str,
    /// Program, model and inputs.
    pub source_line: String,
    /// No ground; letters then carry a rim of paper, to be read on any film.
    pub transparent: bool,
    /// What it shows.
    pub content: StillContent<'a>,
}

impl Still<'_> {
    /// Lays the still out for a size in pixels: landscape, portrait or square.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let page = Page::new(width_px, height_px, self.caution, &self.source_line);
        let mut items = match &self.content {
            StillContent::Map { map, weakest } => map::items(self, &page, map, weakest),
            StillContent::Strength { map, weakest, bars, marked } => {
                strength::items(self, &page, map, weakest, (bars, marked.as_ref()))
            }
            StillContent::Pair(pair) => pair::items(self, &page, pair),
        };
        items.extend(page.foot.items());
        if self.transparent {
            items = rimmed(items);
        }
        Drawing {
            width: page.width,
            height: page.height,
            pixels_per_unit: page.unit,
            title: format!("{}: {}", self.title, self.sentence),
            description: self.description.clone(),
            background: (!self.transparent).then_some(PAPER),
            items,
        }
    }
}

/// The same items with a rim of paper under every letter.
fn rimmed(items: Vec<Item>) -> Vec<Item> {
    let mut out = Vec::with_capacity(2 * items.len());
    for item in items {
        if let Item::Text(text) = &item {
            out.push(Item::stroked(text.outline(), Stroke::new(PAPER, 0.17 * text.size)));
        }
        out.push(item);
    }
    out
}
