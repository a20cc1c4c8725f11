//! Solved fields as files that other programs read: a VTK XML unstructured grid (`.vtu`) and NumPy arrays (`.npz`).
//!
//! Both hold the same numbers, and everything that an independent solver needs to repeat the solution: mesh, elastic
//! constants, breadth at every integration point, the rules themselves, nodal forces, displacements, stresses. The
//! layout is written down in `docs/fields-file.md`, and `tests/independent` reads it without a line of this crate.
//!
//! Limits: the functions return bytes and write no file; both bodies share one array per quantity, told apart by
//! `body`; numbers are stored uncompressed and little-endian, so that the same fields always give the same bytes.

mod check;
mod columns;
mod npz;
#[cfg(test)]
mod tests;
mod vtu;

use report::program::fields as words;
use thiserror::Error;

/// Name and version of the layout, stored in the `.npz` and in a comment of the `.vtu`.
pub const FORMAT: &str = "pullmap-fields-1";

/// Everything that one fields file holds.
#[derive(Clone, Debug)]
pub struct Fields<'a> {
    /// The bodies; their place in this list is the `body` number in the files (0 frame, 1 gate).
    pub bodies: Vec<BodyFields<'a>>,
    /// Every integration rule that a triangle of these bodies names.
    pub rules: Vec<RulePoints>,
}

/// The mesh of one body and what was solved on it.
///
/// Arrays per integration point are ragged: the points of triangle 0, then those of triangle 1, each in the order of
/// its rule.
#[derive(Clone, Copy, Debug)]
pub struct BodyFields<'a> {
    /// `frame` or `gate`.
    pub name: &'a str,
    /// Node positions, mm.
    pub points: &'a [[f64; 2]],
    /// Nodes of each triangle: corners 0 1 2 counter-clockwise, then the middles of sides 01, 12, 20.
    pub triangles: &'a [[u32; 6]],
    /// Displacement of each node, mm, rigid motion included.
    pub displacement: &'a [[f64; 2]],
    /// Stress `[xx, yy, xy]` recovered at each node, MPa, tension positive.
    pub recovered_stress: &'a [[f64; 3]],
    /// Stress `[xx, yy, xy]` at each integration point from the element's own displacements, MPa, tension positive.
    pub element_stress: &'a [[f64; 3]],
    /// For each triangle the number of points of its rule, which names the rule.
    pub rule: &'a [u8],
    /// Breadth across the plane at each integration point, mm, above 0.
    pub breadth: &'a [f64],
    /// Force on each node from contact, straps and bench bars, N; in balance over the body.
    pub force: &'a [[f64; 2]],
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: f64,
    /// Poisson's ratio.
    pub poisson_ratio: f64,
}

/// An integration rule on the reference triangle with corners (0, 0), (1, 0), (0, 1).
#[derive(Clone, Debug, PartialEq)]
pub struct RulePoints {
    /// `[xi, eta, weight]` of each point; the weights sum to the triangle's area, one half. Corner 0 of an element is at
    /// (0, 0), corner 1 at (1, 0), corner 2 at (0, 1).
    pub points: Vec<[f64; 3]>,
}

/// Why fields cannot be written.
#[derive(Debug, Error)]
pub enum FieldsError {
    /// There is nothing to write.
    #[error("{}", words::NO_BODIES)]
    NoBodies,
    /// Two arrays that belong together differ in length.
    #[error("{}", words::rows(.body, .array, *.found, *.expected))]
    Length {
        /// Name of the body.
        body: String,
        /// Name of the array.
        array: &'static str,
        /// Rows found.
        found: usize,
        /// Rows expected.
        expected: usize,
    },
    /// A triangle names a node that does not exist.
    #[error("{}", words::node(.body, *.triangle))]
    Node {
        /// Name of the body.
        body: String,
        /// Index of the triangle in its body.
        triangle: usize,
    },
    /// A triangle names a rule that is not in [`Fields::rules`].
    #[error("{}", words::unknown_rule(.body, *.triangle, *.points))]
    UnknownRule {
        /// Name of the body.
        body: String,
        /// Index of the triangle in its body.
        triangle: usize,
        /// Number of points that it names.
        points: u8,
    },
    /// A rule is empty, too long, given twice, or its weights do not sum to one half.
    #[error("{}", words::rule(*.points))]
    Rule {
        /// Number of points of the rule.
        points: usize,
    },
    /// A number is not finite, or a breadth or elastic constant is out of its range.
    #[error("{}", words::value(.body, .array))]
    Value {
        /// Name of the body.
        body: String,
        /// Name of the array.
        array: &'static str,
    },
    /// The container of the arrays could not be built.
    #[error("{}", words::NO_CONTAINER)]
    Container(#[from] zip::result::ZipError),
    /// An array could not be put into the container.
    #[error("{}", words::NOT_FILLED)]
    Write(#[from] std::io::Error),
}

impl Fields<'_> {
    /// The bytes of the `.vtu` file.
    ///
    /// # Errors
    /// When the arrays do not fit together or hold a number that is not finite; nothing is built then.
    pub fn vtu(&self) -> Result<Vec<u8>, FieldsError> {
        self.check()?;
        Ok(vtu::bytes(self))
    }

    /// The bytes of the `.npz` file.
    ///
    /// # Errors
    /// As [`Fields::vtu`]; also when the container grows beyond what its format can hold (4 GB an array).
    pub fn npz(&self) -> Result<Vec<u8>, FieldsError> {
        self.check()?;
        npz::bytes(self)
    }
}
