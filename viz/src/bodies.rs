//! Frame and gate: the field inside the outline, the outline itself, and the gate's layer over the frame.

use crate::body_field::{BodyField, Field};
use crate::colour::Rgba;
use crate::drawing::{Image, Item, Stroke};
use crate::layout::View;
use crate::look::{INK, PAPER, PAPER_SHADE};
use crate::path::Path;
use crate::raster::ValueRaster;
use crate::ruler::Span;

/// Width of an outline, units.
const OUTLINE: f64 = 2.4;
/// Pixels that the raster runs past the outline.
const MARGIN: i32 = 4;

/// The shown stress of each node, MPa. `pull`: unit vector of the pull.
pub(crate) fn field_of(body: &BodyField<'_>, field: Field, pull: [f64; 2]) -> Vec<f64> {
    match field {
        Field::VonMises | Field::Trajectories => body.values.to_vec(),
        Field::PullDirection | Field::Principal => {
            body.nodal_stress.iter().map(|s| field.at(*s, pull)).collect()
        }
    }
}

impl Field {
    /// The shown stress, MPa, of a stress `[xx, yy, xy]` in MPa; von Mises stress for trajectories. `pull`: unit vector of the
    /// pull.
    #[must_use]
    pub fn at(self, stress: [f64; 3], pull: [f64; 2]) -> f64 {
        let [xx, yy, xy] = stress;
        match self {
            Self::VonMises | Self::Trajectories => (xx * xx - xx * yy + yy * yy + 3.0 * xy * xy).sqrt(),
            Self::PullDirection => along(stress, pull),
            Self::Principal => larger_principal(stress),
        }
    }
}

/// Normal stress on a plane square to the unit vector `n`.
fn along([xx, yy, xy]: [f64; 3], n: [f64; 2]) -> f64 {
    xx * n[0] * n[0] + yy * n[1] * n[1] + 2.0 * xy * n[0] * n[1]
}

/// Principal stresses, larger first.
pub(crate) fn principal([xx, yy, xy]: [f64; 3]) -> [f64; 2] {
    let (middle, radius) = (0.5 * (xx + yy), (0.5 * (xx - yy)).hypot(xy));
    [middle + radius, middle - radius]
}

fn larger_principal(stress: [f64; 3]) -> f64 {
    let [first, second] = principal(stress);
    if first.abs() >= second.abs() { first } else { second }
}

/// The outline as it lies on the page.
pub(crate) fn outline(body: &BodyField<'_>, view: &View) -> Path {
    let loops: Vec<Vec<[f64; 2]>> = body.outline.iter().map(|points| view.places(points)).collect();
    Path::polygons(loops.iter().map(Vec::as_slice))
}

/// A field to be painted on a body.
pub(crate) struct FieldPicture<'a> {
    pub body: &'a BodyField<'a>,
    pub field: &'a [f64],
    pub span: Span,
    pub view: &'a View,
    pub unit: f64,
}

impl FieldPicture<'_> {
    /// The field, cut along the outline, and the outline.
    pub fn items(&self) -> Vec<Item> {
        let path = outline(self.body, self.view);
        let mut items = Vec::new();
        if let Some(image) = self.image() {
            items.push(Item::Clipped { clip: path.clone(), items: vec![Item::Image(image)] });
        }
        items.push(Item::stroked(path, Stroke::new(INK, OUTLINE)));
        items
    }

    fn image(&self) -> Option<Image> {
        let points: Vec<[f64; 2]> =
            self.body.points.iter().map(|p| self.view.place(*p).map(|c| c * self.unit)).collect();
        let values: Vec<[f64; 1]> = self.field.iter().map(|v| [*v]).collect();
        let mut raster = ValueRaster::draw(&points, self.body.triangles, &values, MARGIN);
        raster.grow(MARGIN as usize);
        if raster.values.is_empty() {
            return None;
        }
        let mut rgba = Vec::with_capacity(4 * raster.values.len());
        for [value] in &raster.values {
            let c = if value.is_nan() {
                Rgba::new(0, 0, 0, 0)
            } else {
                self.span.scale.colour(self.span.part(f64::from(*value)))
            };
            rgba.extend([c.r, c.g, c.b, c.a]);
        }
        let size = [raster.width, raster.height];
        Some(Image {
            at: [f64::from(raster.x0) / self.unit, f64::from(raster.y0) / self.unit],
            size: size.map(|s| s as f64 / self.unit),
            pixels: size.map(|s| s as u32),
            rgba,
        })
    }
}

/// A soft shadow that lifts the connector off the paper.
pub(crate) fn shadow(body: &BodyField<'_>, view: &View) -> Vec<Item> {
    let moved: Vec<Vec<[f64; 2]>> = body
        .outline
        .iter()
        .map(|points| view.places(points).into_iter().map(|[x, y]| [x + 5.0, y + 8.0]).collect())
        .collect();
    let path = Path::polygons(moved.iter().map(Vec::as_slice));
    let soft = |width, alpha| Item::stroked(path.clone(), Stroke::new(INK.faded(alpha), width));
    vec![soft(18.0, 0.05), soft(8.0, 0.06), Item::filled(path.clone(), INK.faded(0.1))]
}

/// A rim of paper around the gate, so that its edge reads over the frame.
pub(crate) fn halo(body: &BodyField<'_>, view: &View) -> Vec<Item> {
    vec![Item::stroked(outline(body, view), Stroke::new(PAPER.faded(0.9), OUTLINE + 6.0))]
}

/// What of the frame lies behind the gate, as thin dashes.
pub(crate) fn hidden_edges(frame: &BodyField<'_>, gate: &BodyField<'_>, view: &View) -> Vec<Item> {
    let edges = outline(frame, view);
    let clip = outline(gate, view);
    let light = Item::stroked(edges.clone(), Stroke::new(PAPER.faded(0.55), 3.2));
    let dark = Item::stroked(edges, Stroke::new(INK.faded(0.8), 1.6).dashed(7.0, 5.0));
    vec![Item::Clipped { clip, items: vec![light, dark] }]
}

/// A gate that carries nothing.
pub(crate) fn ghost(body: &BodyField<'_>, view: &View) -> Vec<Item> {
    let path = outline(body, view);
    vec![Item::outlined(path, PAPER_SHADE.faded(0.45), Stroke::new(INK.faded(0.55), 2.0).dashed(10.0, 7.0))]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stresses_along_a_line_and_principal_stresses() {
        // Pure pull of 100 along y.
        assert_eq!(along([0.0, 100.0, 0.0], [0.0, 1.0]), 100.0);
        assert!((along([0.0, 100.0, 0.0], [0.6, 0.8]) - 64.0).abs() < 1e-12);
        // Pure shear of 50: principal stresses 50 and -50.
        assert_eq!(principal([0.0, 0.0, 50.0]), [50.0, -50.0]);
        assert_eq!(larger_principal([-120.0, 20.0, 0.0]), -120.0);
        assert_eq!(Field::Principal.at([-120.0, 20.0, 0.0], [0.0, 1.0]), -120.0);
        assert_eq!(Field::PullDirection.at([-120.0, 20.0, 0.0], [0.0, 1.0]), 20.0);
        assert_eq!(Field::VonMises.at([0.0, 0.0, 10.0], [0.0, 1.0]), 300.0_f64.sqrt());
    }
}
