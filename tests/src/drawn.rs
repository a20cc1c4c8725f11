//! Connectors and rigs drawn from the dimensions that are met.

use crate::draws::Draws;
use crate::strap;
use geometry::connector::{Connector, Gate, Hinge, LipOn, Nose, Section, SectionShape, Window};
use solver::rig::{GateState, Loader, Rig};

/// A section of a bar, common practice (no source): depth 6 to 14 mm.
fn section(d: &mut Draws, depth: f64) -> Section {
    let shape = match d.between(0.0, 4.0) {
        x if x < 1.0 => SectionShape::Round,
        x if x < 2.0 => SectionShape::Oval,
        x if x < 3.0 => SectionShape::Rectangle,
        _ => SectionShape::I { flange_mm: 0.25 * depth, web_mm: 0.35 * depth },
    };
    let breadth_mm = if shape == SectionShape::Round { depth } else { depth * d.between(0.7, 1.2) };
    Section { shape, depth_mm: depth, breadth_mm }
}

/// The connector of an index and how it is pulled; not all of them fit together.
#[must_use]
pub fn connector(index: u64) -> (Connector, Rig) {
    let mut d = Draws::of(index);
    let depth = d.between(6.0, 14.0);
    let upper_width_mm = d.between(18.0, 52.0);
    let lower_width_mm = if d.chance(0.5) { upper_width_mm } else { upper_width_mm * d.between(0.6, 1.1) };
    let least = upper_width_mm.min(lower_width_mm);
    let corner_radius_mm = [(); 4].map(|()| d.between(4.0, 0.5 * least));
    let pin = d.between(2.5, 4.5).min(0.45 * depth);
    let pin_clearance_mm = d.between(0.0, 0.4);
    let lip = d.between(1.5, 5.0);
    let spine = section(&mut d, depth);
    let upper_depth = depth * d.between(0.8, 1.2);
    let upper = section(&mut d, upper_depth);
    let lower_depth = depth * d.between(0.8, 1.2);
    let lower = section(&mut d, lower_depth);
    let height_mm = corner_radius_mm[2] + d.between(1.0, 4.0);
    let tip_mm = corner_radius_mm[1] + lip + d.between(0.0, 4.0);
    let connector = Connector {
        window: Window {
            inside_length_mm: d.between(45.0, 100.0),
            upper_width_mm,
            lower_width_mm,
            upper_slope_deg: if d.chance(0.5) { 0.0 } else { d.between(-12.0, 12.0) },
            lower_slope_deg: if d.chance(0.5) { 0.0 } else { d.between(-12.0, 12.0) },
            corner_radius_mm,
        },
        spine,
        upper,
        lower,
        nose: Nose {
            tip_mm,
            notch_depth_mm: pin + d.between(0.0, 0.4 * depth),
            lip_height_mm: lip,
            lip_breadth_mm: 0.8 * depth,
            breadth_mm: depth * d.between(0.6, 1.0),
            pin_diameter_mm: pin,
            pin_clearance_mm,
            flank_angle_deg: if d.chance(0.6) { 0.0 } else { d.between(-3.0, 10.0) },
            lip_on: if d.chance(0.8) { LipOn::Frame } else { LipOn::Gate },
        },
        hinge: Hinge {
            height_mm,
            pin_diameter_mm: d.between(2.5, 5.0),
            pin_clearance_mm: d.between(0.0, 0.15),
            lug_radius_mm: 0.5 * lower.depth_mm * d.between(0.9, 1.15),
            lug_breadth_mm: depth * d.between(0.6, 1.0),
        },
        gate: Gate {
            width_mm: d.between(6.0, 10.0),
            breadth_mm: d.between(6.0, 11.0),
            cheek_mm: 2.5,
            cheek_clearance_mm: 0.5,
        },
    };
    let room = (0.5 * least - 9.0).max(0.0);
    let load = |d: &mut Draws| {
        let offset_mm = d.between(-room, room);
        if d.chance(0.75) {
            strap(d.between(8.0, 20.0_f64.min(least - 2.0)), offset_mm)
        } else {
            Loader::Bar { diameter_mm: d.between(8.0, 12.0), offset_mm }
        }
    };
    let gate = match d.between(0.0, 4.0) {
        x if x < 2.5 => GateState::Closed,
        x if x < 3.2 => GateState::Open,
        _ => GateState::Half { engaged_mm: d.between(0.5, 3.0) },
    };
    let (upper, lower) = (load(&mut d), load(&mut d));
    (connector, Rig { load_kn: d.between(0.2, 25.0), gate, friction: 0.2, upper, lower })
}
