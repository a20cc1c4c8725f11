//! The sketch of a model: its outline with the dimensions that its file names, before anything is computed.

use geometry::caliper::{Measure, touched};
use geometry::connector::{Connector, LipOn, Section, SectionShape};
use geometry::curve::Point;
use geometry::outline::{Bar, Outline, PathPart};
use report::changes::changes;
use report::locations::bar;
use report::numbers::typed;
use report::pictures::sketch::{Named, SPINE_AND_BARS, changed, description, label, name, undrawn};
use report::sketch::opening;
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

/// How far a caliper lies beside the connector, mm.
const BESIDE_MM: f64 = 7.0;

/// What a caliper reads, as it lies on the part; nothing where the connector has no outline with its gate shut.
fn read(connector: &Connector, outline: &Outline) -> Vec<Dimension> {
    let points: Vec<Point> = outline.frame.polygons().concat();
    let edge = |axis: usize, sign: f64| {
        points.iter().map(|p| sign * p[axis]).fold(f64::NEG_INFINITY, f64::max) + BESIDE_MM
    };
    let leg = &outline.seats.leg;
    let along = |p: Point, square: f64| {
        let down = (p[0] - leg.upper_corner[0]) * leg.down[0] + (p[1] - leg.upper_corner[1]) * leg.down[1];
        outline.seats.leg_point(down, square)
    };
    let over_leg = connector.upper.depth_mm.max(connector.lower.depth_mm);
    let measures = Measure::ALL.into_iter().filter(|measure| *measure != Measure::GateOpening);
    measures
        .filter_map(|measure| {
            let touched @ [a, b] = touched(connector, measure).ok()?;
            let mm = measure.read(connector).ok()?;
            let line = match measure {
                Measure::OverallLength => [a, b].map(|p| [-edge(0, -1.0), p[1]]),
                Measure::UpperOverAll => [a, b].map(|p| [p[0], edge(1, 1.0)]),
                Measure::LowerOverAll => [a, b].map(|p| [p[0], -edge(1, -1.0)]),
                Measure::TipOverBar => [a, b].map(|p| along(p, over_leg + 4.5 * BESIDE_MM)),
                Measure::ClearLength | Measure::GateOpening => [a, b],
                Measure::PinToPin => {
                    // Square to the line from pin to pin, beyond the legs.
                    let (x, y) = (b[0] - a[0], b[1] - a[1]);
                    let (long, aside) = (x.hypot(y), over_leg + 2.0 * BESIDE_MM);
                    [a, b].map(|p| [p[0] - aside * y / long, p[1] + aside * x / long])
                }
            };
            Some(Dimension::Caliper { touched, line, label: label(Named::Read(measure), mm) })
        })
        .collect()
}

/// The alternative text.
fn alternative(
    subtitle: &str,
    dimensions: &[Dimension],
    sections: &[SectionInset],
    notes: &[String],
) -> String {
    let labels: Vec<&str> = dimensions.iter().map(Dimension::label).collect();
    let sections: Vec<(&str, String, String)> =
        sections.iter().map(|s| (s.name.as_str(), typed(s.depth_mm), typed(s.breadth_mm))).collect();
    description(subtitle, &labels, &sections, notes)
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
    let mut dimensions = read(connector, outline);
    // Most often the same: told once.
    let clear = Measure::ClearLength.read(connector).ok();
    if clear.is_none_or(|clear| (clear - window.inside_length_mm).abs() > 0.005) {
        let aside = 0.12 * window.upper_width_mm;
        let told = label(Named::Length, window.inside_length_mm);
        dimensions.push(length([0.0, -middle], [0.0, middle], aside, told));
    }
    dimensions.push(length(
        upper_spine,
        upper_gate,
        -0.16 * middle,
        label(Named::Width, window.upper_width_mm),
    ));
    if (window.lower_width_mm - window.upper_width_mm).abs() > 1e-9 {
        dimensions.push(length(
            lower_spine,
            lower_gate,
            0.16 * middle,
            label(Named::Width, window.lower_width_mm),
        ));
    }
    let beside = connector.upper.depth_mm + 6.0;
    let tip = seats.leg_point(connector.nose.tip_mm, connector.upper.depth_mm);
    let top = seats.leg_point(0.0, connector.upper.depth_mm);
    dimensions.push(length(top, tip, 6.0, label(Named::Tip, connector.nose.tip_mm)));
    let hinge = seats.hinge_pin.centre;
    let foot = [
        leg.lower_corner[0] + 0.5 * connector.lower.depth_mm * leg.outward[0],
        leg.lower_corner[1] + 0.5 * connector.lower.depth_mm * leg.outward[1],
    ];
    dimensions.push(length(
        hinge,
        foot,
        beside - 0.5 * connector.lower.depth_mm,
        label(Named::Hinge, connector.hinge.height_mm),
    ));
    let closed = seats.notch.closed_end();
    if connector.nose.lip_on == LipOn::Frame {
        let mouth = seats.leg_point(
            (closed[0] - leg.upper_corner[0]) * leg.down[0] + (closed[1] - leg.upper_corner[1]) * leg.down[1],
            0.0,
        );
        let lip =
            seats.leg_point(connector.nose.tip_mm - connector.nose.lip_height_mm, connector.upper.depth_mm);
        dimensions.push(length(lip, tip, 24.0, label(Named::Lip, connector.nose.lip_height_mm)));
        dimensions.push(length(mouth, closed, 7.0, label(Named::Notch, connector.nose.notch_depth_mm)));
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
                label: label(Named::Radius, window.corner_radius_mm[index]),
            });
        }
    }
    let mut sections = vec![inset(bar(Bar::Spine), connector.spine)];
    for (name, section) in [(bar(Bar::Upper), connector.upper), (bar(Bar::Lower), connector.lower)] {
        if section != connector.spine {
            sections.push(inset(name, section));
        }
    }
    if let [only] = sections.as_mut_slice() {
        SPINE_AND_BARS.clone_into(&mut only.name);
    }
    let mut notes = vec![undrawn(connector)];
    if let Ok(computed) = Measure::GateOpening.read(connector) {
        notes.push(opening(model.opening_mm, computed));
    }
    notes.extend(report::notes::notes(model));
    let subtitle = changes(sets).map_or_else(String::new, |changes| changed(&changes));
    Sketch {
        title: model.title.clone(),
        name: name(&model.title),
        description: alternative(&subtitle, &dimensions, &sections, &notes),
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
