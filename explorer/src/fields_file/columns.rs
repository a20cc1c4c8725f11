//! The quantities of all bodies, one after the other, as rows and as little-endian bytes.
//!
//! Rows are made on the way to the file, so that a large mesh is never held twice.

use super::{BodyFields, Fields, RulePoints};

impl<'a> Fields<'a> {
    /// Rows of one quantity over all bodies.
    pub(super) fn rows<T: Copy + 'a>(
        &self,
        quantity: impl Fn(&BodyFields<'a>) -> &'a [T],
    ) -> impl Iterator<Item = T> {
        self.bodies.iter().flat_map(move |body| quantity(body).iter().copied())
    }

    /// One value per body.
    pub(super) fn per_body(
        &self,
        quantity: impl Fn(&BodyFields<'a>) -> f64,
    ) -> impl Iterator<Item = [f64; 1]> {
        self.bodies.iter().map(move |body| [quantity(body)])
    }

    /// The body number of each triangle.
    pub(super) fn body_numbers(&self) -> impl Iterator<Item = u8> {
        (0..=u8::MAX).zip(&self.bodies).flat_map(|(number, body)| body.triangles.iter().map(move |_| number))
    }

    /// The body number of each node.
    pub(super) fn node_body_numbers(&self) -> impl Iterator<Item = u8> {
        (0..=u8::MAX).zip(&self.bodies).flat_map(|(number, body)| body.points.iter().map(move |_| number))
    }

    /// The nodes of each triangle, counted over all bodies.
    pub(super) fn connectivity(&self) -> impl Iterator<Item = [i64; 6]> {
        self.bodies
            .iter()
            .scan(0, |next_node, body| {
                let first = *next_node;
                *next_node += count(body.points.len());
                Some(body.triangles.iter().map(move |nodes| nodes.map(|node| first + i64::from(node))))
            })
            .flatten()
    }

    /// Where the integration points of each triangle begin, and at last where they all end.
    pub(super) fn integration_offsets(&self) -> impl Iterator<Item = [i64; 1]> {
        let ends = self.rows(|body| body.rule).scan(0, |end, points| {
            *end += i64::from(points);
            Some([*end])
        });
        std::iter::once([0]).chain(ends)
    }

    /// The mean stress of each triangle, weighted with the rule and the breadth: the mean over its volume where its
    /// sides are straight, and close to it where they are arcs.
    pub(super) fn mean_element_stress(&self) -> impl Iterator<Item = [f64; 3]> {
        self.bodies.iter().flat_map(|body| {
            body.rule.iter().scan(0, |begin, &points| {
                let range = *begin..*begin + usize::from(points);
                *begin = range.end;
                let weights = self.rule(points).iter().zip(&body.breadth[range.clone()]);
                let mut total = [0.0; 3];
                let mut total_weight = 0.0;
                for (([_, _, weight], breadth), stress) in weights.zip(&body.element_stress[range]) {
                    total_weight += weight * breadth;
                    for (sum, component) in total.iter_mut().zip(stress) {
                        *sum += weight * breadth * component;
                    }
                }
                Some(total.map(|sum| sum / total_weight))
            })
        })
    }

    /// The points of the rule with so many points; empty when there is none, which [`Fields::check`] excludes.
    fn rule(&self, points: u8) -> &[[f64; 3]] {
        let is_wanted = |rule: &&RulePoints| rule.points.len() == usize::from(points);
        self.rules.iter().find(is_wanted).map_or(&[], |rule| &rule.points)
    }
}

/// A length as the files store it.
pub(super) fn count(length: usize) -> i64 {
    // No slice of more than `isize::MAX` bytes exists.
    length as i64
}

/// Little-endian bytes of rows of floating-point numbers.
pub(super) fn float_bytes<const N: usize>(rows: impl Iterator<Item = [f64; N]>) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(8 * N * rows.size_hint().0);
    for value in rows.flatten() {
        bytes.extend_from_slice(&value.to_le_bytes());
    }
    bytes
}

/// Little-endian bytes of rows of integers.
pub(super) fn integer_bytes<const N: usize>(rows: impl Iterator<Item = [i64; N]>) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(8 * N * rows.size_hint().0);
    for value in rows.flatten() {
        bytes.extend_from_slice(&value.to_le_bytes());
    }
    bytes
}
