//! The checked description of a connector: what later steps may rely on without asking for a unit or a default.
//!
//! Axes: millimetres; `y` is the major axis, up; `x` runs from spine to gate; the origin is the centre of the window
//! (mid-width, mid-length there). Slopes are positive when the end rises toward the gate. Clearances are radial.

use serde::{Deserialize, Serialize};

/// A whole connector: window, cross-sections, nose, hinge and gate. Lengths in mm, angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Connector {
    /// The opening that the frame runs around.
    pub window: Window,
    /// Cross-section of the spine.
    pub spine: Section,
    /// Cross-section of the upper bar and of the leg that carries the nose.
    pub upper: Section,
    /// Cross-section of the lower bar and of the leg that carries the hinge.
    pub lower: Section,
    /// Nose, notch and lip.
    pub nose: Nose,
    /// Hinge pin and lug.
    pub hinge: Hinge,
    /// The gate.
    pub gate: Gate,
}

/// The window: a quadrilateral with a vertical spine side and four rounded corners.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Window {
    /// Length along the major axis at mid-width, before rounding, mm.
    pub inside_length_mm: f64,
    /// Width at the upper end before rounding, mm.
    pub upper_width_mm: f64,
    /// Width at the lower end before rounding, mm.
    pub lower_width_mm: f64,
    /// Slope of the upper end, degrees, positive when it rises toward the gate.
    pub upper_slope_deg: f64,
    /// Slope of the lower end, degrees, positive when it rises toward the gate.
    pub lower_slope_deg: f64,
    /// Inner corner radii, mm: upper spine, upper gate, lower gate, lower spine.
    pub corner_radius_mm: [f64; 4],
}

/// Cross-section of a bar: depth lies in the plane of the connector, breadth across it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Section {
    /// Shape of the section.
    pub shape: SectionShape,
    /// Size in the plane of the connector, mm.
    pub depth_mm: f64,
    /// Size across the plane, mm. Equal to the depth for a round bar.
    pub breadth_mm: f64,
}

/// The family of cross-sections.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "kind")]
pub enum SectionShape {
    /// A circle of the depth.
    Round,
    /// Flat sides and round ends.
    Oval,
    /// A rectangle.
    Rectangle,
    /// Two flanges (inner and outer edge of the bar) joined by a web.
    I {
        /// In-plane thickness of each flange, mm.
        flange_mm: f64,
        /// Thickness of the web across the plane, mm.
        web_mm: f64,
    },
}

/// Which part carries the lip that holds the other's pin or head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LipOn {
    /// The nose of the frame has a notch; the gate carries the pin.
    Frame,
    /// The gate has a notch; the nose of the frame carries the head.
    Gate,
}

/// Nose, notch and lip, laid out along the gate side of the window and square to it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Nose {
    /// Distance of the nose tip below the upper inner edge, along the gate side, mm.
    pub tip_mm: f64,
    /// Depth of the notch, square from the extended straight gate side, mm.
    pub notch_depth_mm: f64,
    /// What stands between notch and tip, mm.
    pub lip_height_mm: f64,
    /// Breadth of the lip, mm (strength of the lip; the nose block has `breadth_mm`).
    pub lip_breadth_mm: f64,
    /// Breadth of the machined nose block, mm.
    pub breadth_mm: f64,
    /// Diameter of the nose pin (or of the nose's head when the lip is on the gate), mm.
    pub pin_diameter_mm: f64,
    /// Radial clearance of that pin in the notch, mm.
    pub pin_clearance_mm: f64,
    /// Undercut: the flanks turn from square so that the lip's flank rises toward the mouth, degrees.
    pub flank_angle_deg: f64,
    /// Which part carries the lip.
    pub lip_on: LipOn,
}

/// One of the two pins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pin {
    /// Through the nose end of the gate.
    Nose,
    /// Through its hinge end.
    Hinge,
}

impl Pin {
    /// Both of them.
    pub const BOTH: [Self; 2] = [Self::Nose, Self::Hinge];
}

/// Hinge pin and lug.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hinge {
    /// Pin centre above the lower inner edge, along the gate side, mm.
    pub height_mm: f64,
    /// Diameter of the hinge pin, mm.
    pub pin_diameter_mm: f64,
    /// Radial clearance of the hinge pin in its hole, mm.
    pub pin_clearance_mm: f64,
    /// Radius of the lug about the pin, mm.
    pub lug_radius_mm: f64,
    /// Breadth of the lug block, mm.
    pub lug_breadth_mm: f64,
}

/// The gate: a bar with full-round ends about the two pin centres.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gate {
    /// Width in the plane, mm.
    pub width_mm: f64,
    /// Breadth across the plane, mm.
    pub breadth_mm: f64,
    /// One side wall of the gate that carries a pin, across the plane, mm.
    pub cheek_mm: f64,
    /// Clearance of that cheek beside nose or lug, mm.
    pub cheek_clearance_mm: f64,
}

impl Gate {
    /// Thickness of metal at the gate's pins, mm: its two walls, or all of its breadth if that is less.
    #[must_use]
    pub fn wall_thickness_mm(&self) -> f64 {
        (2.0 * self.cheek_mm).min(self.breadth_mm)
    }
}

/// Where the gate stands when the outline is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum GatePlace {
    /// Pin seated in the notch, in the middle of its clearance.
    Shut,
    /// Pin only partly in the notch.
    Half {
        /// How far the pin's leading edge is past the mouth, mm.
        engaged_mm: f64,
    },
}

impl Nose {
    /// Radius of the round end of the notch, mm: pin radius plus clearance.
    #[must_use]
    pub fn notch_radius_mm(&self) -> f64 {
        0.5 * self.pin_diameter_mm + self.pin_clearance_mm
    }
}

impl Connector {
    /// The radial clearance of a pin, mm.
    pub fn pin_clearance_mut(&mut self, pin: Pin) -> &mut f64 {
        match pin {
            Pin::Nose => &mut self.nose.pin_clearance_mm,
            Pin::Hinge => &mut self.hinge.pin_clearance_mm,
        }
    }

    /// An invented broad bar connector with a 44 x 60 window, for examples and tests.
    ///
    /// ```
    /// let connector = geometry::connector::Connector::example();
    /// assert_eq!(connector.window.inside_length_mm, 60.0);
    /// ```
    #[must_use]
    pub fn example() -> Self {
        let section = Section { shape: SectionShape::Oval, depth_mm: 14.0, breadth_mm: 11.0 };
        Self {
            window: Window {
                inside_length_mm: 60.0,
                upper_width_mm: 44.0,
                lower_width_mm: 44.0,
                upper_slope_deg: 0.0,
                lower_slope_deg: 0.0,
                corner_radius_mm: [8.0; 4],
            },
            spine: section,
            upper: section,
            lower: section,
            nose: Nose {
                tip_mm: 14.0,
                notch_depth_mm: 6.0,
                lip_height_mm: 4.5,
                lip_breadth_mm: 9.0,
                breadth_mm: 9.0,
                pin_diameter_mm: 4.0,
                pin_clearance_mm: 0.15,
                flank_angle_deg: 0.0,
                lip_on: LipOn::Frame,
            },
            hinge: Hinge {
                height_mm: 10.0,
                pin_diameter_mm: 5.0,
                pin_clearance_mm: 0.05,
                lug_radius_mm: 7.0,
                lug_breadth_mm: 9.0,
            },
            gate: Gate { width_mm: 9.0, breadth_mm: 10.0, cheek_mm: 3.0, cheek_clearance_mm: 0.5 },
        }
    }
}
