//! The picture of one problem, with the scale of its colours and its caption as text.

use super::Verified;
use super::html::escape;
use super::table::number;
use reference::check::Check;
use reference::problem::Outcome;
use reference::view::View;
use report::letters::capital;
use report::published::expected_and_got;
use std::fmt::Write;
use viz::{FieldFigure, FigurePart, PictureError, Scale};

/// The check that stands for a problem in overviews: the one nearest to its limit, so that no overview looks better than
/// the worst number below it.
pub(super) fn leading(outcome: &Outcome) -> Option<&Check> {
    let used = |c: &Check| match c.difference().abs() / c.tolerance {
        // Nothing off and nothing allowed.
        u if u.is_nan() && c.passes() => 0.0,
        u if u.is_nan() => f64::INFINITY,
        u => u,
    };
    // The first of several, unlike `max_by`.
    outcome.checks.iter().reduce(|a, b| if used(b) > used(a) { b } else { a })
}

/// The picture as a `figure` element; empty when the problem has none.
///
/// # Errors
/// A picture that cannot be drawn.
pub(super) fn figure(problem: &Verified, outcome: &Outcome) -> Result<String, PictureError> {
    let Some(view) = &outcome.view else { return Ok(String::new()) };
    let numbers = leading(outcome)
        .map_or_else(String::new, |c| expected_and_got(&c.quantity, &number(c.expected), &number(c.got)));
    let picture = field_figure(view, problem.problem.title, &numbers);
    let [low, high] = picture.span();
    let mut out = format!("<figure>\n{}", picture.drawing().to_svg()?);
    // Writing to a string cannot fail.
    let _ = writeln!(
        out,
        "<figcaption><span class=\"scale {}\"></span><span class=\"ends\"><b>{}</b><b>{}{}</b></span>",
        if picture.signed { "signed" } else { "plain" },
        ends(low),
        ends(high),
        if view.unit == "MPa" { " MPa" } else { "" }
    );
    let _ = writeln!(out, "<span class=\"shown\">{}</span> {}", escape(&named(view)), escape(&view.caption));
    out.push_str("</figcaption></figure>\n");
    Ok(out)
}

fn named(view: &View) -> String {
    let words = capital(view.shown.words());
    if view.unit == "MPa" { format!("{words}.") } else { format!("{words}, {}.", view.unit) }
}

fn field_figure<'a>(view: &'a View, title: &'a str, numbers: &str) -> FieldFigure<'a> {
    let parts = view.parts.iter().map(|part| FigurePart {
        points: &part.points,
        triangles: &part.triangles,
        edges: &part.edges,
        values: &part.values,
        edge_loads: &part.edge_loads,
        point_loads: &part.point_loads,
        held: &part.held,
    });
    FieldFigure {
        title,
        description: format!("{} {}{numbers}", named(view), view.caption),
        parts: parts.collect(),
        signed: view.shown.is_signed(),
        mirrored: view.mirrored,
        window: view.window,
        pins: &view.pins,
        marks: &view.read_at,
    }
}

/// An end of a scale: two figures are all it has.
fn ends(value: f64) -> String {
    let size = value.abs();
    let words = match size {
        0.0 => "0".to_owned(),
        s if !(1e-3..1e5).contains(&s) => format!("{s:.1e}"),
        s if s >= 10.0 => format!("{s:.0}"),
        s if s >= 1.0 => format!("{s:.1}"),
        s => format!("{s:.3}"),
    };
    if value < 0.0 { format!("−{words}") } else { words }
}

/// The rules that paint the two scales under the pictures.
pub(super) fn scale_style() -> String {
    let stops = |scale: Scale| {
        let colours = (0..=16).map(|i| {
            let c = scale.colour(f64::from(i) / 16.0);
            format!("#{:02x}{:02x}{:02x}", c.r, c.g, c.b)
        });
        colours.collect::<Vec<_>>().join(",")
    };
    format!(
        ".plain {{ background: linear-gradient(90deg,{}) }}\n.signed {{ background: linear-gradient(90deg,{}) }}\n",
        stops(Scale::Glow),
        stops(Scale::TwoSided)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use reference::problem::Problem;
    use reference::view::{Part, Shown};

    #[test]
    fn the_number_nearest_to_its_limit_leads() {
        let check =
            |got, tolerance| Check { quantity: String::new(), expected: 1.0, got, tolerance, reason: "" };
        let exact = Check { expected: 0.0, ..check(0.0, 0.0) };
        let outcome =
            Outcome { checks: vec![exact, check(1.01, 0.1), check(1.004, 0.01)], ..Outcome::default() };
        assert_eq!(leading(&outcome).unwrap().got, 1.004);
        assert!(leading(&Outcome::default()).is_none());
    }

    #[test]
    fn a_picture_says_problem_expected_and_got_in_words() {
        let part = Part {
            points: vec![[0.0, 0.0], [2.0, 0.0], [0.0, 2.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]],
            triangles: vec![[0, 1, 2, 3, 4, 5]],
            edges: vec![[0, 1, 3], [1, 2, 4], [2, 0, 5]],
            values: vec![7.0; 6],
            edge_loads: Vec::new(),
            point_loads: Vec::new(),
            held: Vec::new(),
        };
        let check =
            Check { quantity: "pull".to_owned(), expected: 7.0, got: 7.01, tolerance: 0.1, reason: "" };
        let view = Some(View::of(vec![part], Shown::VonMises, "Pulled <hard>."));
        let outcome = Outcome { checks: vec![check], view, ..Outcome::default() };
        let run = || Ok(Outcome::default());
        let problem = Problem { name: "corner", title: "a corner", source: "", run };
        let words = figure(&Verified { problem, result: Ok(outcome.clone()) }, &outcome).unwrap();
        assert!(words.contains(">a corner</title>"), "{words}");
        assert!(words.contains("pull: expected 7.00000, got 7.01000."), "{words}");
        assert!(words.contains("Pulled &lt;hard&gt;.\n</figcaption>"), "{words}");
        assert!(words.contains("<b>7.0 MPa</b>"), "{words}");
    }

    #[test]
    fn ends_of_scales_are_short() {
        for (value, words) in
            [(0.0, "0"), (-320.0, "−320"), (3.1, "3.1"), (0.082, "0.082"), (80_000.0, "80000")]
        {
            assert_eq!(ends(value), words);
        }
        assert_eq!(ends(2.1e8), "2.1e8");
    }
}
