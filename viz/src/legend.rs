//! The legend of a picture with stress: its name, and a ruler of the colours or sample trajectories; upright or across the page.

use crate::body_field::Field;
use crate::drawing::Item;
use crate::layout::Area;
use crate::look::{INK, LABEL};
use crate::ruler::{Span, ruler};
use crate::ruler_across::ruler_across;
use crate::stress_map::MapWords;
use crate::text::{Anchor, Block, Text, Weight};
use crate::trajectories::Plan;

/// What a legend tells.
#[derive(Clone, Copy)]
pub(crate) struct Legend<'a> {
    pub field: Field,
    pub words: &'a MapWords,
    /// Range of the colours.
    pub span: Span,
    /// Yield stress to mark, MPa, where there is one for all that is shown.
    pub yield_mpa: Option<f64>,
    /// Thickness of trajectories.
    pub plan: &'a Plan,
    /// Page units per mm.
    pub scale: f64,
    /// On which side of an upright one its name begins or ends.
    pub named: Anchor,
}

impl Legend<'_> {
    /// In an area: upright in one that is higher than wide, its name above; else across, its name on the left, at least
    /// `name_width` wide, in type of a size.
    pub fn items(&self, area: Area, name_width: f64, size: f64) -> Vec<Item> {
        if area.h > area.w { self.upright(area) } else { self.across(area, name_width, size) }
    }

    /// Height of the name over an upright legend.
    pub const NAME: f64 = 2.6 * LABEL;

    fn upright(&self, area: Area) -> Vec<Item> {
        let words = self.words;
        let mut items = if self.field == Field::Trajectories {
            self.plan.key(self.scale, area, &words.key_note)
        } else {
            ruler(&self.span, self.yield_mpa, area, [&words.yields, &words.past])
        };
        for (i, line) in words.ruler.iter().enumerate() {
            let x = if self.named == Anchor::End { area.right() } else { area.x };
            let at = [x, area.y - Self::NAME + 22.0 + i as f64 * 1.15 * LABEL];
            let text = Text::new(at, LABEL, Weight::Regular, INK, line.as_str());
            items.push(Item::Text(text.anchored(self.named)));
        }
        items
    }

    fn across(&self, area: Area, name_width: f64, size: f64) -> Vec<Item> {
        let name = self.words.across.as_str();
        // On a narrow area the name stands above the ruler.
        let narrow = area.w < 20.0 * size;
        let over = if narrow { 1.6 * size } else { 0.0 };
        let block = if narrow {
            Block::whole(name, Weight::Regular, size, 0.8 * size, area.w, 1)
        } else {
            Block::fit(name, Weight::Regular, size, 0.8 * size, [7.5 * size, area.h])
        };
        let top = if narrow { area.y } else { area.y + 0.5 * (area.h - block.height()) };
        let mut items: Vec<Item> =
            block.place(area.x, top, Anchor::Start, INK).into_iter().map(Item::Text).collect();
        let left = if narrow { area.x } else { area.x + (block.width() + size).max(name_width) };
        let body = Area { x: left, y: area.y + over, w: area.right() - left, h: area.h - over };
        if self.field == Field::Trajectories {
            items.extend(self.plan.key_across(self.scale, body, size));
        } else {
            let words = [self.words.yields.as_str(), self.words.past.as_str()];
            items.extend(ruler_across(&self.span, self.yield_mpa, body, size, words));
        }
        items
    }
}
