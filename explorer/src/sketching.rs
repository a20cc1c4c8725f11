//! The sketch of a model: its outline with the dimensions that its file names, before anything is computed.

use geometry::connector::{LipOn, Section, SectionShape};
use geometry::outline::{Outline, PathPart};
use report::changes::changes;
use report::numbers::typed;
use study::model::Model;
use viz::{Dimension, SectionInset, SectionOutline, Sketch};

fn length(from: [f64; 2], to: [f64; 2], offset_mm: f64, label: String) -> Dimension {
    Dimension::Length { from, to, offset_mm, label }
}

fn inset(name: &str, section: Section) -> SectionInset {
    let outline = match section.shape {
        SectionShape::Round => SectionOutline::Round,
        SectionShape::Oval => SectionOutline::Oval,
        SectionShape::Rectangle => SectionOutline::Rectangle,
        SectionShape::I { flange_mm, web_mm } => SectionOutline::I { flange_mm, web_mm },
    };
    SectionInset {
        name: name.to_owned(),
        outline,
        depth_mm: section.depth_mm,
        breadth_mm: section.breadth_mm,
    }
}

/// The alternative text.
fn description(
    subtitle: &str,
    dimensions: &[Dimension],
    sections: &[SectionInset],
    notes: &[String],
) -> String {
    fn label(dimension: &Dimension) -> &str {
        let (Dimension::Length { label, .. } | Dimension::Radius { label, .. }) = dimension;
        label
    }
    let labels: Vec<&str> = dimensions.iter().map(label).collect();
    let sections: Vec<(&str, String, String)> =
        sections.iter().map(|s| (s.name.as_str(), typed(s.depth_mm), typed(s.breadth_mm))).collect();
    report::pictures::sketch::description(subtitle, &labels, &sections, notes)
}

/// Lays out the sketch of a drawn model. `sets`: what was changed about it.
#[must_use]
pub fn sketch(model: &Model, outline: &Outline, sets: &[(String, String)]) -> Sketch {
    let connector = &model.connector;
    let window = &connector.window;
    let [upper_spine, upper_gate, lower_gate, lower_spine] = geometry::outline::window_corners(window);
    let seats = &outline.seats;
    let leg = &seats.leg;
    let middle = 0.5 * window.inside_length_mm;
    let mut dimensions = vec![
        length([0.0, -middle], [0.0, middle], 0.0, format!("length {}", typed(window.inside_length_mm))),
        length(upper_spine, upper_gate, -0.16 * middle, format!("width {}", typed(window.upper_width_mm))),
    ];
    if (window.lower_width_mm - window.upper_width_mm).abs() > 1e-9 {
        dimensions.push(length(
            lower_spine,
            lower_gate,
            0.16 * middle,
            format!("width {}", typed(window.lower_width_mm)),
        ));
    }
    let beside = connector.upper.depth_mm + 6.0;
    let tip = seats.leg_point(connector.nose.tip_mm, connector.upper.depth_mm);
    let top = seats.leg_point(0.0, connector.upper.depth_mm);
    dimensions.push(length(top, tip, 6.0, format!("tip {}", typed(connector.nose.tip_mm))));
    let hinge = seats.hinge_pin.centre;
    let foot = [
        leg.lower_corner[0] + 0.5 * connector.lower.depth_mm * leg.outward[0],
        leg.lower_corner[1] + 0.5 * connector.lower.depth_mm * leg.outward[1],
    ];
    dimensions.push(length(
        hinge,
        foot,
        beside - 0.5 * connector.lower.depth_mm,
        format!("hinge {}", typed(connector.hinge.height_mm)),
    ));
    let closed = seats.notch.closed_end();
    if connector.nose.lip_on == LipOn::Frame {
        let mouth = seats.leg_point(
            (closed[0] - leg.upper_corner[0]) * leg.down[0] + (closed[1] - leg.upper_corner[1]) * leg.down[1],
            0.0,
        );
        let lip =
            seats.leg_point(connector.nose.tip_mm - connector.nose.lip_height_mm, connector.upper.depth_mm);
        dimensions.push(length(lip, tip, 20.0, format!("lip {}", typed(connector.nose.lip_height_mm))));
        dimensions.push(length(
            mouth,
            closed,
            7.0,
            format!("notch {}", typed(connector.nose.notch_depth_mm)),
        ));
    }
    for (index, part) in [
        PathPart::UpperSpineCorner,
        PathPart::UpperGateCorner,
        PathPart::LowerGateCorner,
        PathPart::LowerSpineCorner,
    ]
    .into_iter()
    .enumerate()
    {
        let Some(segment) = outline.strip.path.iter().find(|s| s.part == part) else { continue };
        if let geometry::curve::Curve::Arc { centre, radius, from, to } = &segment.curve {
            dimensions.push(Dimension::Radius {
                centre: *centre,
                radius: *radius,
                toward_deg: (0.5 * (from + to)).to_degrees(),
                label: format!("R {}", typed(window.corner_radius_mm[index])),
            });
        }
    }
    let mut sections = vec![inset("spine", connector.spine)];
    for (name, section) in [("upper bar", connector.upper), ("lower bar", connector.lower)] {
        if section != connector.spine {
            sections.push(inset(name, section));
        }
    }
    if let [only] = sections.as_mut_slice() {
        "spine and bars".clone_into(&mut only.name);
    }
    let mut notes = vec![format!(
        "Gate {} wide, {} broad. Nose pin {} with {} clearance all round; hinge pin {} with {}; lug radius {}. Lengths in mm.",
        typed(connector.gate.width_mm),
        typed(connector.gate.breadth_mm),
        typed(connector.nose.pin_diameter_mm),
        typed(connector.nose.pin_clearance_mm),
        typed(connector.hinge.pin_diameter_mm),
        typed(connector.hinge.pin_clearance_mm),
        typed(connector.hinge.lug_radius_mm)
    )];
    notes.extend(report::notes::notes(model));
    let subtitle = changes(sets).map_or_else(String::new, |changes| format!("Changed: {changes}"));
    Sketch {
        title: model.title.clone(),
        name: report::pictures::sketch::name(&model.title),
        description: description(&subtitle, &dimensions, &sections, &notes),
        subtitle,
        frame: outline.frame.polygons(),
        gate: outline.gate.polygons(),
        pins: vec![
            (seats.nose_pin.centre, seats.nose_pin.radius),
            (seats.hinge_pin.centre, seats.hinge_pin.radius),
        ],
        dimensions,
        sections,
        notes,
    }
}
