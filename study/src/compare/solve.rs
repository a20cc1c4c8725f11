//! The variants, solved. They do not depend on each other, so they are solved at the same time; their order is kept.

use super::asked::Asked;
use super::compared::Compared;
use super::mistake::COUNT;
use super::variant::{LeftOut, SolvedVariant, VariantRequest};
use crate::Engine;
use rayon::prelude::*;
use solver::system::SystemSettings;

/// Fewer variants can be computed than make a comparison.
#[derive(Clone, Debug)]
pub struct TooFew<E> {
    /// How many can be.
    pub found: usize,
    /// How many were asked for.
    pub asked: usize,
    /// The others, in the order asked for.
    pub left_out: Vec<LeftOut<E>>,
}

/// Solves the variants on a mesh; those that cannot be computed are left out with their reason.
///
/// # Errors
/// [`TooFew`]: fewer than two can be computed.
///
/// ```
/// use solver::system::SystemSettings;
/// use std::convert::Infallible;
/// use study::model::Source;
/// use study::{Engine, compare};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let find = |_: &str| Ok::<_, Infallible>(Source::of("oval.toml", text));
/// // No window is as wide as 90 mm.
/// let vary = ("rig.both.offset_mm".to_owned(), "0,4,90".to_owned());
/// let asked = compare::asked(&["oval".to_owned()], &[], Some(&vary), &find).unwrap();
/// let mesh = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
/// let compared = compare::solve(asked, &Engine::default(), &mesh).unwrap();
/// let shares: Vec<f64> =
///     compared.variants.iter().map(|variant| variant.mapped.findings.share.gate_fraction).collect();
/// // A load nearer to the gate leaves it more to carry.
/// assert!(shares[1] > shares[0]);
/// assert!(matches!(compared.left_out[0].why, compare::Why::Model { varied: Some(0), .. }));
/// ```
pub fn solve<E: Send>(
    asked: Asked<E>,
    engine: &Engine,
    mesh: &SystemSettings,
) -> Result<Compared<E>, TooFew<E>> {
    let Asked { variants: requests, key } = asked;
    let asked = requests.len();
    let one = |request: VariantRequest<E>| {
        let name = request.name.clone();
        SolvedVariant::solve(engine, request, mesh).map_err(|why| LeftOut { name, why })
    };
    // Values of a rig's key share one system from when the first of them is built.
    let solved: Vec<Result<SolvedVariant, LeftOut<E>>> = requests.into_par_iter().map(one).collect();
    let (mut variants, mut left_out) = (Vec::new(), Vec::new());
    for result in solved {
        match result {
            Ok(variant) => variants.push(variant),
            Err(left) => left_out.push(left),
        }
    }
    if variants.len() < COUNT[0] {
        return Err(TooFew { found: variants.len(), asked, left_out });
    }
    Ok(Compared { variants, left_out, key })
}

#[cfg(test)]
mod tests {
    use super::super::{VariantName, Why, asked};
    use super::*;
    use crate::CaseError;
    use crate::model::Source;

    const BASE: &str = include_str!("../model/tests/base.toml");

    /// What the caller cannot find.
    #[derive(Clone, Debug, PartialEq)]
    struct NotFound(String);

    fn find(model: &str) -> Result<Source, NotFound> {
        if model == "lost" { Err(NotFound(model.to_owned())) } else { Ok(Source::of(model, BASE)) }
    }

    fn solved(models: &[&str], vary: Option<(&str, &str)>) -> Result<Compared<NotFound>, TooFew<NotFound>> {
        let models: Vec<String> = models.iter().map(|model| (*model).to_owned()).collect();
        let vary = vary.map(|(key, list)| (key.to_owned(), list.to_owned()));
        let asked = asked(&models, &[], vary.as_ref(), &find).unwrap();
        let coarse = SystemSettings { unknowns: 5000.0, ..SystemSettings::default() };
        solve(asked, &Engine::default(), &coarse)
    }

    #[test]
    fn what_cannot_be_computed_is_left_out_with_its_reason_as_a_type() {
        let compared = solved(&["base.toml"], Some(("nose.notch_depth_mm", "6,0.5,60,7"))).unwrap();
        let depths: Vec<f64> =
            compared.variants.iter().map(|v| v.model.connector.nose.notch_depth_mm).collect();
        assert_eq!(depths, [6.0, 7.0]);
        let of = |value: &str| VariantName::Value {
            key: "nose.notch_depth_mm".to_owned(),
            value: value.to_owned(),
        };
        let left = |value: &str| compared.left_out.iter().find(|left| left.name == of(value)).unwrap();
        match &left("0.5").why {
            Why::Case { error, .. } => assert!(matches!(**error, CaseError::System(_)), "{error:?}"),
            other => panic!("{other:?}"),
        }
        assert!(matches!(&left("60").why, Why::Model { varied: Some(0), .. }), "{:?}", left("60"));
        assert_eq!(compared.left_out.len(), 2);
        assert_eq!(compared.farthest(), Some(1));
        assert_eq!(compared.variants[1].sets.last().map(|set| set.1.as_str()), Some("7"));
        assert!(compared.changed_in_all().is_empty());
    }

    #[test]
    fn one_alone_is_no_comparison() {
        let few = solved(&["base.toml", "lost"], None).unwrap_err();
        assert_eq!((few.found, few.asked), (1, 2));
        assert!(
            matches!(&few.left_out[..], [LeftOut { name: VariantName::Model(name), why: Why::Refused(why) }]
                if name == "lost" && *why == NotFound("lost".to_owned()))
        );
    }
}
