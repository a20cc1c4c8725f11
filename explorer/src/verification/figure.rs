//! The picture of one problem, with the scale of its colours and its caption as text.

use super::Verified;
use super::page::escape;
use super::table::number;
use reference::problem::{Check, Outcome};
use reference::view::View;
use std::fmt::Write;
use viz::{FieldFigure, FigurePart, PictureError, Scale};

/// The check that stands for a problem in overviews: the one that comes nearest to its limit among those that read a
/// number off the picture or, when none fails, simply the first.
pub(super) fn leading(outcome: &Outcome) -> Option<&Check> {
    outcome.checks.iter().find(|c| !c.passes()).or_else(|| outcome.checks.first())
}

/// The picture as a `figure` element; empty when the problem has none.
///
/// # Errors
/// A picture that cannot be drawn.
pub(super) fn figure(problem: &Verified, outcome: &Outcome) -> Result<String, PictureError> {
    let Some(view) = &outcome.view else { return Ok(String::new()) };
    let numbers = leading(outcome).map_or_else(String::new, |c| {
        format!(" {}: expected {}, got {}.", c.quantity, number(c.expected), number(c.got))
    });
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
    let mut words = view.shown.words().to_owned();
    if let Some(first) = words.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    if view.unit == "MPa" { format!("{words}.") } else { format!("{words}, in {}.", view.unit) }
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
        s if s == 0.0 => "0".to_owned(),
        s if s >= 1e5 || s < 1e-3 => format!("{s:.1e}"),
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
