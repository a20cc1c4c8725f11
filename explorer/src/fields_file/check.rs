//! What must hold before a fields file is written: arrays that fit together, rules that exist, finite numbers.

use super::{BodyFields, Fields, FieldsError, RulePoints};

/// Rules are written with 16 digits or so; their weights sum to one half this closely.
const WEIGHT_SUM_TOLERANCE: f64 = 1e-12;

impl Fields<'_> {
    /// Checks every promise that the layout makes to its readers.
    pub(super) fn check(&self) -> Result<(), FieldsError> {
        let has_triangles = self.bodies.iter().all(|body| !body.triangles.is_empty());
        if self.bodies.is_empty() || self.bodies.len() > usize::from(u8::MAX) || !has_triangles {
            return Err(FieldsError::NoBodies);
        }
        for (i, rule) in self.rules.iter().enumerate() {
            let points = rule.points.len();
            let is_repeated = self.rules[..i].iter().any(|other| other.points.len() == points);
            if is_repeated || !is_sound(rule) {
                return Err(FieldsError::Rule { points });
            }
        }
        self.bodies.iter().try_for_each(|body| check_body(body, &self.rules))
    }
}

fn is_sound(rule: &RulePoints) -> bool {
    let sum: f64 = rule.points.iter().map(|[_, _, weight]| weight).sum();
    // An empty rule sums to 0, a non-finite weight to something that no comparison holds for.
    rule.points.len() <= usize::from(u8::MAX)
        && (sum - 0.5).abs() <= WEIGHT_SUM_TOLERANCE
        && all_finite(&rule.points)
}

fn check_body(body: &BodyFields<'_>, rules: &[RulePoints]) -> Result<(), FieldsError> {
    let nodes = body.points.len();
    let integration_points = body.rule.iter().map(|&points| usize::from(points)).sum();
    for (array, found, expected) in [
        ("displacement", body.displacement.len(), nodes),
        ("recovered_stress", body.recovered_stress.len(), nodes),
        ("contact_and_strap_force", body.force.len(), nodes),
        ("rule", body.rule.len(), body.triangles.len()),
        ("breadth", body.breadth.len(), integration_points),
        ("element_stress", body.element_stress.len(), integration_points),
    ] {
        if found != expected {
            return Err(FieldsError::Length { body: body.name.to_owned(), array, found, expected });
        }
    }
    for (triangle, (corners, &points)) in body.triangles.iter().zip(body.rule).enumerate() {
        if corners.iter().any(|&node| node as usize >= nodes) {
            return Err(FieldsError::Node { body: body.name.to_owned(), triangle });
        }
        if !rules.iter().any(|rule| rule.points.len() == usize::from(points)) {
            return Err(FieldsError::UnknownRule { body: body.name.to_owned(), triangle, points });
        }
    }
    for (array, is_sound) in [
        ("points", all_finite(body.points)),
        ("displacement", all_finite(body.displacement)),
        ("recovered_stress", all_finite(body.recovered_stress)),
        ("contact_and_strap_force", all_finite(body.force)),
        ("element_stress", all_finite(body.element_stress)),
        ("breadth", body.breadth.iter().all(|&breadth| is_positive(breadth))),
        ("youngs_modulus_mpa", is_positive(body.youngs_modulus_mpa)),
        // Above one half, or at minus one, no elastic body is stable.
        ("poisson_ratio", body.poisson_ratio > -1.0 && body.poisson_ratio <= 0.5),
    ] {
        if !is_sound {
            return Err(FieldsError::Value { body: body.name.to_owned(), array });
        }
    }
    Ok(())
}

fn all_finite<const N: usize>(rows: &[[f64; N]]) -> bool {
    rows.iter().flatten().all(|value| value.is_finite())
}

fn is_positive(value: f64) -> bool {
    value.is_finite() && value > 0.0
}
