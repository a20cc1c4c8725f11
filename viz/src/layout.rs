//! Where things go on the page, in units of a picture 1200 high (or 1600 wide, whichever binds).

use crate::look::{LABEL, MARGIN};

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
}

impl Area {
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    pub fn holds(&self, p: [f64; 2]) -> bool {
        self.x <= p[0] && p[0] <= self.right() && self.y <= p[1] && p[1] <= self.bottom()
    }

    /// The same, larger by so much on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self { x: self.x - by, y: self.y - by, w: self.w + 2.0 * by, h: self.h + 2.0 * by }
    }

    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.bottom() && other.y < self.bottom()
    }
}

/// The page of a map.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layout {
    /// Pixels per unit.
    pub unit: f64,
    pub width: f64,
    pub height: f64,
    /// Title, subtitle and headline.
    pub words: Area,
    /// The connector.
    pub stage: Area,
    /// Straps are visible between these heights.
    pub rig: [f64; 2],
    /// Callouts left and right of the connector.
    pub columns: [Area; 2],
    /// The ruler.
    pub ruler: Area,
    /// What spine and gate carry.
    pub balance: Area,
    /// Caution and source.
    pub footer: Area,
}

const FOOTER: f64 = 104.0;
const RULER: f64 = 160.0;
const BALANCE: f64 = 190.0;
/// Above and below an inset.
const INSET_GAPS: [f64; 2] = [22.0, 26.0];

impl Layout {
    pub fn new(width_px: u32, height_px: u32) -> Self {
        let (w, h) = (f64::from(width_px.max(1)), f64::from(height_px.max(1)));
        let unit = (w / 1600.0).min(h / 1200.0);
        let (width, height) = (w / unit, h / unit);
        let footer = Area { x: MARGIN, y: height - FOOTER, w: width - 2.0 * MARGIN, h: FOOTER };
        if height > 1.2 * width {
            Self::tall(unit, width, height, footer)
        } else {
            Self::wide(unit, width, height, footer)
        }
    }

    /// Words and shares on the left, connector in the middle, ruler on the right.
    fn wide(unit: f64, width: f64, height: f64, footer: Area) -> Self {
        let extra = width - 1600.0;
        let left = 430.0 + 0.25 * extra;
        let right = 220.0 + 0.25 * extra;
        let ruler_top = MARGIN + 2.6 * LABEL;
        let ruler =
            Area { x: width - MARGIN - RULER, y: ruler_top, w: RULER, h: footer.y - 40.0 - ruler_top };
        let balance = Area { x: MARGIN, y: footer.y - 36.0 - BALANCE, w: left, h: BALANCE };
        // Words may reach down to the shares; labels of the left column begin where they end.
        let words = Area { x: MARGIN, y: MARGIN - 8.0, w: left, h: balance.y - MARGIN - 36.0 };
        let stage_x = MARGIN + left + 24.0;
        let right_x = ruler.x - 24.0 - right;
        let stage = Area { x: stage_x, y: 130.0, w: right_x - 16.0 - stage_x, h: footer.y - 260.0 };
        let columns = [words, Area { x: right_x, y: 90.0, w: right, h: footer.y - 112.0 }];
        Self { unit, width, height, words, stage, rig: [0.0, footer.y], columns, ruler, balance, footer }
    }

    /// Keeps the words of a wide page short enough for an inset of this height below them.
    pub fn keep_for_inset(&mut self, height: f64) {
        if !self.is_tall() {
            self.words.h = self.balance.y - INSET_GAPS[1] - height - INSET_GAPS[0] - self.words.y;
        }
    }

    /// Room for an inset where words end at this height: between words and shares, on an upright page left of the connector.
    pub fn inset_below(&self, words_end: f64) -> Area {
        if self.is_tall() {
            let column = self.columns[0];
            return Area { h: 0.4 * column.h, ..column };
        }
        let y = words_end + INSET_GAPS[0];
        Area { y, h: self.balance.y - INSET_GAPS[1] - y, ..self.words }
    }

    /// The connector with the free room between both columns.
    pub fn around_stage(&self) -> Area {
        let [left, right] = self.columns;
        Area {
            x: left.right(),
            y: self.rig[0] + 60.0,
            w: right.x - left.right(),
            h: self.rig[1] - self.rig[0] - 90.0,
        }
    }

    fn is_tall(&self) -> bool {
        self.height > 1.2 * self.width
    }

    /// For upright pages: words above, shares below, the same middle.
    fn tall(unit: f64, width: f64, height: f64, footer: Area) -> Self {
        let words = Area { x: MARGIN, y: MARGIN - 8.0, w: width - 2.0 * MARGIN, h: 330.0 };
        let balance = Area { x: MARGIN, y: footer.y - 60.0 - BALANCE, w: width - 2.0 * MARGIN, h: BALANCE };
        let top = words.bottom() + 30.0;
        let bottom = balance.y - 50.0;
        let ruler =
            Area { x: width - MARGIN - RULER, y: top + 2.6 * LABEL, w: RULER, h: bottom - top - 2.6 * LABEL };
        let (left, right) = (280.0, 220.0);
        let stage_x = MARGIN + left + 20.0;
        let right_x = ruler.x - 24.0 - right;
        let stage = Area { x: stage_x, y: top + 130.0, w: right_x - 16.0 - stage_x, h: bottom - top - 260.0 };
        let columns = [
            Area { x: MARGIN, y: top, w: left, h: bottom - top },
            Area { x: right_x, y: top + 100.0, w: right, h: bottom - top - 200.0 },
        ];
        Self { unit, width, height, words, stage, rig: [top, bottom], columns, ruler, balance, footer }
    }
}

/// From millimetres (y up) to the page (y down).
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    pub scale: f64,
    origin: [f64; 2],
}

impl View {
    /// The largest view that shows the box `low` to `high` (mm) inside an area, centred.
    pub fn fitting(low: [f64; 2], high: [f64; 2], area: Area) -> Self {
        let size = [(high[0] - low[0]).max(1e-6), (high[1] - low[1]).max(1e-6)];
        let scale = (area.w / size[0]).min(area.h / size[1]).max(1e-6);
        let origin = [
            area.x + 0.5 * area.w - scale * 0.5 * (low[0] + high[0]),
            area.y + 0.5 * area.h + scale * 0.5 * (low[1] + high[1]),
        ];
        Self { scale, origin }
    }

    pub fn place(&self, p: [f64; 2]) -> [f64; 2] {
        [self.origin[0] + self.scale * p[0], self.origin[1] - self.scale * p[1]]
    }

    pub fn places(&self, points: &[[f64; 2]]) -> Vec<[f64; 2]> {
        points.iter().map(|p| self.place(*p)).collect()
    }
}

/// Smallest box around finite points: low, high. A unit box when there are none.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> [[f64; 2]; 2] {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for p in points.into_iter().filter(|p| p[0].is_finite() && p[1].is_finite()) {
        for k in 0..2 {
            low[k] = low[k].min(p[k]);
            high[k] = high[k].max(p[k]);
        }
    }
    if low[0] > high[0] { [[0.0; 2], [1.0; 2]] } else { [low, high] }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_do_not_overlap_on_any_page() {
        for (w, h) in [(1600, 1200), (1920, 1080), (1080, 1080), (1080, 1920), (3840, 2160)] {
            let l = Layout::new(w, h);
            let all = [l.columns[0], l.stage, l.columns[1], l.ruler, l.balance, l.footer];
            for (i, a) in all.iter().enumerate() {
                assert!(
                    a.w > 100.0 && a.h > 60.0 && a.x >= 0.0 && a.right() <= l.width + 1e-9,
                    "{w}x{h}: {a:?}"
                );
                for b in &all[i + 1..] {
                    assert!(!a.overlaps(b), "{w}x{h}: {a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn the_view_turns_y_over_and_centres() {
        let view = View::fitting([-10.0, -20.0], [10.0, 20.0], Area { x: 0.0, y: 0.0, w: 100.0, h: 400.0 });
        assert_eq!(view.scale, 5.0);
        assert_eq!(view.place([0.0, 0.0]), [50.0, 200.0]);
        assert_eq!(view.place([10.0, 20.0]), [100.0, 100.0]);
    }
}
