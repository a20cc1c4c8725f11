//! A connector at one moment of a pull: the deformed frame with its stress, the gate where it stands, and what pulls.

use crate::bodies::{self, FieldPicture};
use crate::body_field::BodyField;
use crate::drawing::{Item, Stroke};
use crate::layout::{Area, View, bounds};
use crate::load_shape::LoadShape;
use crate::look::{INK, PAPER_SHADE};
use crate::path::Path;
use crate::rig_shapes;
use crate::ruler::Span;

/// A moment of a pull. Lengths in mm, y up.
#[derive(Clone, Debug)]
pub struct PullMoment<'a> {
    /// What shows at this moment.
    pub what: String,
    /// The load.
    pub load: String,
    /// The frame as it is deformed.
    pub frame: BodyField<'a>,
    /// The gate, of which only the outline is known; nothing where it is gone.
    pub gate: Option<BodyField<'a>>,
    /// Centres and radii of the pins; those of a gate that is gone are not drawn.
    pub pins: Vec<([f64; 2], f64)>,
    /// What pulls up, and what pulls down; none where nothing pulls.
    pub loads: Vec<LoadShape>,
}

/// Space of a cell kept free beside the bodies, and above and below them for what pulls, as parts of it.
const BESIDE: f64 = 0.03;
const FOR_LOADS: f64 = 0.09;

/// The box that holds all moments.
pub(crate) fn box_of(moments: &[&PullMoment<'_>]) -> [[f64; 2]; 2] {
    let bodies = moments.iter().flat_map(|m| std::iter::once(&m.frame).chain(&m.gate));
    let outlines: Vec<&[f64; 2]> = bodies.flat_map(|body| body.outline.iter().flatten()).collect();
    bounds(outlines)
}

impl PullMoment<'_> {
    /// Drawn in a cell, in the view of a box that holds all moments.
    pub(crate) fn items(&self, [low, high]: [[f64; 2]; 2], cell: Area, span: Span, unit: f64) -> Vec<Item> {
        let [w, h] = [BESIDE * cell.w, FOR_LOADS * cell.h];
        let stage = Area { x: cell.x + w, y: cell.y + h, w: cell.w - 2.0 * w, h: cell.h - 2.0 * h };
        let view = View::fitting(low, high, stage);
        let reach = cell.h;
        let mut items = bodies::shadow(&self.frame, &view);
        for load in &self.loads {
            items.extend(rig_shapes::behind(load, &view, reach));
        }
        let field = self.frame.values;
        items.extend(FieldPicture { body: &self.frame, field, span, view: &view, unit }.items());
        for load in &self.loads {
            items.extend(rig_shapes::in_front(load, &view, &self.frame, reach));
        }
        if let Some(gate) = &self.gate {
            items.extend(bodies::halo(gate, &view));
            let loops: Vec<Vec<[f64; 2]>> = gate.outline.iter().map(|points| view.places(points)).collect();
            let path = Path::polygons(loops.iter().map(Vec::as_slice));
            items.push(Item::outlined(path, PAPER_SHADE.faded(0.92), Stroke::new(INK, 2.4)));
            items.extend(bodies::hidden_edges(&self.frame, gate, &view));
            for (centre, radius) in &self.pins {
                items.extend(rig_shapes::pin(view.place(*centre), view.scale * radius, false));
            }
        }
        vec![Item::Clipped { clip: Path::rectangle([cell.x, cell.y], [cell.w, cell.h]), items }]
    }
}
