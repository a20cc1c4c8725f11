//! A body of a map with its stress, and which stress is shown.

/// A body with the field on it. Lengths in mm (y up), stresses in MPa, tension positive.
#[derive(Clone, Debug)]
pub struct BodyField<'a> {
    /// Node positions, as they shall be drawn.
    pub points: &'a [[f64; 2]],
    /// Six-node triangles: corners, then middles of sides 01, 12, 20.
    pub triangles: &'a [[u32; 6]],
    /// Von Mises stress of each node.
    pub values: &'a [f64],
    /// Dense closed polygons of the outline as it shall be drawn: the outer edge, then the holes.
    pub outline: Vec<Vec<[f64; 2]>>,
    /// Stress `[xx, yy, xy]` of each node.
    pub nodal_stress: &'a [[f64; 3]],
    /// Breadth (thickness across the plane) at each node, mm.
    pub breadth: &'a [f64],
}

impl BodyField<'_> {
    /// A body of which only the outline is drawn.
    #[must_use]
    pub fn outlined(outline: &[Vec<[f64; 2]>]) -> Self {
        Self {
            points: &[],
            triangles: &[],
            values: &[],
            outline: outline.to_vec(),
            nodal_stress: &[],
            breadth: &[],
        }
    }
}

/// Which stress is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// Von Mises stress, [`BodyField::values`].
    VonMises,
    /// Normal stress along the line of pull, from [`BodyField::nodal_stress`].
    PullDirection,
    /// The principal stress that is larger in size, with its sign.
    Principal,
    /// Stress trajectories: lines along the first principal stress, as thick as the force they carry.
    Trajectories,
}
