//! Where the pieces of a map go on its page.

use crate::frame::Page;
use crate::layout::Area;
use crate::look::{LABEL, MARGIN};

/// The page of a map.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layout {
    pub page: Page,
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

const RULER: f64 = 160.0;
const BALANCE: f64 = 190.0;
/// Above and below an inset.
const INSET_GAPS: [f64; 2] = [22.0, 26.0];

impl Layout {
    /// Of a page with the place of its foot.
    pub fn new(page: Page, footer: Area) -> Self {
        if page.is_upright() { Self::tall(page, footer) } else { Self::wide(page, footer) }
    }

    /// Words and shares on the left, connector in the middle, ruler on the right.
    fn wide(page: Page, footer: Area) -> Self {
        let Page { width, .. } = page;
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
        Self { page, words, stage, rig: [0.0, footer.y], columns, ruler, balance, footer }
    }

    /// Keeps the words of a wide page short enough for an inset of this height below them.
    pub fn keep_for_inset(&mut self, height: f64) {
        if !self.page.is_upright() {
            self.words.h = self.balance.y - INSET_GAPS[1] - height - INSET_GAPS[0] - self.words.y;
        }
    }

    /// Room for an inset where words end at this height: between words and shares, on an upright page left of the connector.
    pub fn inset_below(&self, words_end: f64) -> Area {
        if self.page.is_upright() {
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

    /// For upright pages: words above, shares below, the same middle.
    fn tall(page: Page, footer: Area) -> Self {
        let Page { width, .. } = page;
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
        Self { page, words, stage, rig: [top, bottom], columns, ruler, balance, footer }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_do_not_overlap_on_any_page() {
        for (w, h) in [(1600, 1200), (1920, 1080), (1080, 1080), (1080, 1920), (3840, 2160)] {
            let page = Page::new(w, h);
            let l = Layout::new(page, page.foot("for planning only", "inputs 1f2e").area);
            let all = [l.columns[0], l.stage, l.columns[1], l.ruler, l.balance, l.footer];
            for (i, a) in all.iter().enumerate() {
                assert!(
                    a.w > 100.0 && a.h > 60.0 && a.x >= 0.0 && a.right() <= l.page.width + 1e-9,
                    "{w}x{h}: {a:?}"
                );
                for b in &all[i + 1..] {
                    assert!(!a.overlaps(b), "{w}x{h}: {a:?} {b:?}");
                }
            }
        }
    }
}
