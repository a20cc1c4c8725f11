//! A pull as a film: one moment after the other, in one scale of length and of colour, over its curve.

use crate::drawing::{Drawing, Item, PictureError, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER, QUIET};
use crate::path::Path;
use crate::pull_maps::span;
use crate::pull_moment::{PullMoment, box_of};
use crate::text::{Anchor, Block, Weight};

/// Width and height, pixels: a phone's.
const SIZE: [f64; 2] = [600.0, 860.0];
/// Space around.
const EDGE: f64 = 22.0;
/// From the top to the moment, and how high it is.
const HEAD: f64 = 108.0;
const STAGE: f64 = 544.0;
/// Height of the curve.
const CURVE: f64 = 104.0;
/// How long the poster, a moment and the last moment stay, hundredths of a second.
const POSTER: u16 = 150;
const STAYS: u16 = 12;
const LAST: u16 = 250;

/// A film.
#[derive(Clone, Debug)]
pub struct PullFilm<'a> {
    /// Name of the connector.
    pub title: String,
    /// What stands at the curve: upright, across.
    pub axes: [String; 2],
    /// The line of caution.
    pub caution: String,
    /// Yield stress of the frame, MPa.
    pub yield_mpa: f64,
    /// The highest stress that the colours show, MPa.
    pub most_mpa: f64,
    /// Which moment stands before all others, as a poster: who cannot show the film moving shows that one.
    pub poster: usize,
    /// Moments, each with its stretch in mm and load in kN.
    pub moments: Vec<(PullMoment<'a>, [f64; 2])>,
    /// The curve of the pull, and that of the open hook: stretch in mm, load in kN.
    pub curves: [Vec<[f64; 2]>; 2],
}

impl PullFilm<'_> {
    /// The film as an animated PNG, the poster first.
    ///
    /// # Errors
    /// The PNG cannot be packed, or there is nothing to show.
    pub fn to_png(&self) -> Result<Vec<u8>, PictureError> {
        let count = self.moments.len();
        let poster = (self.poster < count).then(|| (self.picture(self.poster), POSTER));
        let stays = |i: usize| if i + 1 == count { LAST } else { STAYS };
        let pictures = poster.into_iter().chain((0..count).map(|i| (self.picture(i), stays(i))));
        crate::png::film(&pictures.collect::<Vec<_>>())
    }

    /// One of its pictures.
    #[must_use]
    pub fn picture(&self, index: usize) -> Drawing {
        let [w, h] = SIZE;
        let inside = w - 2.0 * EDGE;
        let all: Vec<&PullMoment<'_>> = self.moments.iter().map(|m| &m.0).collect();
        let (moment, at) = &self.moments[index];
        let mut items = Vec::new();
        let mut words = |words: &str, weight, size, y, colour| {
            let block = Block::whole(words, weight, size, 13.0, inside, 1);
            items.extend(block.place(EDGE, y, Anchor::Start, colour).into_iter().map(Item::Text));
        };
        words(&self.title, Weight::Bold, 22.0, 14.0, ACCENT);
        words(&moment.load, Weight::Bold, 30.0, 42.0, INK);
        words(&moment.what, Weight::Regular, 22.0, 78.0, INK);
        let stage = Area { x: EDGE, y: HEAD, w: inside, h: STAGE };
        let span = span(self.most_mpa, self.yield_mpa);
        items.extend(moment.items(box_of(&all), stage, span, 1.0));
        let plot = Area { x: EDGE + 4.0, y: HEAD + STAGE + 30.0, w: inside - 8.0, h: CURVE };
        items.extend(self.curve(plot, *at));
        let caution = Block::whole(&self.caution, Weight::Regular, 13.0, 11.0, inside, 2);
        items.extend(
            caution.place(EDGE, h - 8.0 - caution.height(), Anchor::Start, QUIET).into_iter().map(Item::Text),
        );
        Drawing {
            width: w,
            height: h,
            pixels_per_unit: 1.0,
            title: self.title.clone(),
            description: moment.load.clone(),
            background: Some(PAPER),
            items,
        }
    }

    fn curve(&self, plot: Area, at: [f64; 2]) -> Vec<Item> {
        let points = || self.curves.iter().flatten();
        let most = |k: usize| points().map(|p| p[k]).fold(1e-9, f64::max);
        let (wide, high) = (1.03 * most(0), 1.06 * most(1));
        let place = |p: &[f64; 2]| {
            [plot.x + p[0].max(0.0) / wide * plot.w, plot.bottom() - p[1].max(0.0) / high * plot.h]
        };
        let axes = Path::line(&[[plot.x, plot.y], [plot.x, plot.bottom()], [plot.right(), plot.bottom()]]);
        let mut items = vec![Item::stroked(axes, Stroke::new(QUIET, 1.5))];
        for (curve, dash) in self.curves.iter().zip([None, Some([8.0, 5.0])]) {
            let path = Path::line(&curve.iter().map(place).collect::<Vec<_>>());
            if curve.len() > 1 {
                items.push(Item::stroked(path, Stroke { colour: ACCENT, width: 3.0, dash }));
            }
        }
        items.push(Item::filled(Path::circle(place(&at), 8.0), INK));
        let [upright, across] = &self.axes;
        let text = |words: &str, x, y, anchor| {
            crate::text::Text::new([x, y], 17.0, Weight::Regular, QUIET, words).anchored(anchor)
        };
        items.push(Item::Text(text(upright, plot.x, plot.y - 7.0, Anchor::Start)));
        items.push(Item::Text(text(across, plot.right(), plot.bottom() + 20.0, Anchor::End)));
        items
    }
}
