//! The solved fields as files that other programs read.

use crate::fields_file::{BodyFields, Fields, FieldsError, RulePoints};
use solver::plane::element::stations;
use solver::plane::quadrature::Rule;
use solver::plane::stress::at_integration_points;
use solver::system::Part;
use study::map::Mapped;

/// A body's arrays, in the shapes that the files want.
struct Arrays {
    displacement: Vec<[f64; 2]>,
    force: Vec<[f64; 2]>,
    element_stress: Vec<[f64; 3]>,
    rule: Vec<u8>,
}

fn pairs(values: &[f64]) -> Vec<[f64; 2]> {
    values.chunks_exact(2).map(|p| [p[0], p[1]]).collect()
}

fn arrays(part: &Part, u: &[f64], forces: &[f64]) -> Arrays {
    Arrays {
        displacement: pairs(u),
        force: pairs(forces),
        element_stress: at_integration_points(&part.body, u),
        #[expect(clippy::cast_possible_truncation, reason = "a rule has at most 16 points")]
        rule: (0..part.body.triangles()).map(|t| part.body.rule(t).len() as u8).collect(),
    }
}

fn body<'a>(name: &'a str, part: &'a Part, arrays: &'a Arrays, recovered: &'a [[f64; 3]]) -> BodyFields<'a> {
    let elastic = part.body.elastic();
    BodyFields {
        name,
        points: &part.body.mesh().points,
        triangles: &part.body.mesh().triangles,
        displacement: &arrays.displacement,
        recovered_stress: recovered,
        element_stress: &arrays.element_stress,
        rule: &arrays.rule,
        breadth: part.body.breadths_mm(),
        force: &arrays.force,
        youngs_modulus_mpa: elastic.youngs_modulus_mpa,
        poisson_ratio: elastic.poisson_ratio,
    }
}

/// The `.vtu` and the `.npz` file of a solved connector.
///
/// # Errors
/// The arrays cannot be written: see [`FieldsError`].
pub fn fields_files(solved: &Mapped) -> Result<(Vec<u8>, Vec<u8>), FieldsError> {
    let (system, response) = (&solved.system, &solved.response);
    let frame = arrays(&system.frame, &response.frame_u, &response.frame_forces);
    let gate = arrays(&system.gate, &response.gate_u, &response.gate_forces);
    let rules = [Rule::Degree4, Rule::Degree8]
        .map(|rule| RulePoints {
            points: stations(rule).iter().map(|s| [s.local[0], s.local[1], s.weight]).collect(),
        })
        .to_vec();
    let fields = Fields {
        bodies: vec![
            body("frame", &system.frame, &frame, &solved.stress.frame),
            body("gate", &system.gate, &gate, &solved.stress.gate),
        ],
        rules,
    };
    Ok((fields.vtu()?, fields.npz()?))
}
