//! What each key is, and its short label, by path. A star stands for any one part of a path.

/// The words of a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Words {
    /// What it is, without unit and final stop.
    pub about: &'static str,
    /// A short name, without the end or bar that it is of.
    pub label: &'static str,
}

/// The words of the key at a path; empty where no key has it.
pub(super) fn words(path: &str) -> Words {
    let found = WORDS.iter().find(|(pattern, ..)| matches(pattern, path));
    found.map_or(Words { about: "", label: "" }, |(_, label, about)| Words { about, label })
}

/// Whether a path is one of those that a pattern stands for.
pub(super) fn matches(pattern: &str, path: &str) -> bool {
    let (mut wanted, mut parts) = (pattern.split('.'), path.split('.'));
    loop {
        match (wanted.next(), parts.next()) {
            (None, None) => return true,
            (Some(part), Some(of_path)) if part == "*" || part == of_path => {}
            _ => return false,
        }
    }
}

/// Path, label, what it is.
pub(super) const WORDS: [(&str, &str, &str); 65] = [
    ("title", "title", "A name to find it again by"),
    ("window.inside_length_mm", "length", "Length inside along the major axis, at mid-width"),
    (
        "window.overall_length_mm",
        "overall length",
        "Outside jaws square to the major axis: how long the whole frame is",
    ),
    (
        "window.clear_length_mm",
        "clear length",
        "Inside jaws on the major axis, at mid-width, from the lower bar to the upper one",
    ),
    (
        "window.upper_width_mm",
        "upper width",
        "Width inside at the upper end (the nose end), as if its corners were sharp",
    ),
    (
        "window.upper_over_all_mm",
        "upper width over all",
        "Outside jaws over spine side and gate side of the upper bar, its two corners included, without the legs",
    ),
    (
        "window.lower_width_mm",
        "lower width",
        "Width inside at the lower end (the hinge end), as if its corners were sharp",
    ),
    (
        "window.lower_over_all_mm",
        "lower width over all",
        "Outside jaws over spine side and gate side of the lower bar, its two corners included, without the legs",
    ),
    (
        "window.upper_slope_deg",
        "upper slope",
        "Slope of the upper end, above 0 when it rises toward the gate",
    ),
    (
        "window.lower_slope_deg",
        "lower slope",
        "Slope of the lower end, above 0 when it rises toward the gate",
    ),
    (
        "window.corner_radius_mm",
        "corner radius",
        "Inner corner radius: one number, or [upper spine, upper gate, lower gate, lower spine]",
    ),
    (
        "section.*.shape",
        "shape",
        "round, oval (flat sides, round edges), rectangle, or i (two flanges and a web)",
    ),
    ("section.*.depth_mm", "depth", "Size of the bar in the plane of the connector"),
    ("section.*.breadth_mm", "breadth", "Size of the bar across the plane"),
    ("section.*.flange_mm", "flange", "Thickness of each flange, in the plane"),
    ("section.*.web_mm", "web", "Thickness of the web, across the plane"),
    ("nose.tip_mm", "nose tip", "From the upper inner edge down to the tip of the nose, along the gate side"),
    (
        "nose.tip_over_bar_mm",
        "tip over bar",
        "Outside jaws square to the gate side: from the tip of the nose to the far side of the upper bar",
    ),
    ("nose.notch_depth_mm", "notch depth", "Depth of the notch, square to the gate side"),
    ("nose.lip_height_mm", "lip height", "What stands between the notch and the tip"),
    ("nose.lip_breadth_mm", "lip breadth", "Breadth of the lip across the plane"),
    ("nose.breadth_mm", "nose breadth", "Breadth of the machined nose across the plane"),
    (
        "nose.pin_diameter_mm",
        "nose pin diameter",
        "Diameter of the pin that sits in the notch when the gate is shut",
    ),
    (
        "nose.pin_clearance_mm",
        "nose pin clearance",
        "Radial clearance of that pin: half of how much wider the notch is (clearance is often 0.1 to 0.4)",
    ),
    (
        "nose.flank_angle_deg",
        "flank angle",
        "Undercut: above 0 when the lip's flank rises toward the mouth and holds the pin in",
    ),
    (
        "nose.lip_on",
        "lip on",
        "frame: the nose has the notch, the gate the pin; gate: the gate has the notch, the nose a head",
    ),
    ("gate.width_mm", "gate width", "Width of the gate in the plane"),
    ("gate.breadth_mm", "gate breadth", "Breadth of the gate across the plane"),
    ("gate.cheek_mm", "cheek", "One cheek of the gate, the wall that carries a pin, across the plane"),
    ("gate.cheek_clearance_mm", "cheek clearance", "Clearance of that cheek beside nose or lug"),
    (
        "gate.opening_mm",
        "gate opening",
        "Clear opening of the mouth, the gate turned into the window as far as it goes; checks the model, nothing depends on it",
    ),
    (
        "hinge.height_mm",
        "hinge height",
        "Centre of the hinge pin above the lower inner edge, along the gate side",
    ),
    (
        "hinge.pin_to_pin_mm",
        "pin to pin",
        "From the centre of the nose pin to that of the hinge pin, the gate shut",
    ),
    ("hinge.pin_diameter_mm", "hinge pin diameter", "Diameter of the hinge pin"),
    ("hinge.pin_clearance_mm", "hinge pin clearance", "Radial clearance of the hinge pin in its hole"),
    ("hinge.lug_radius_mm", "lug radius", "Radius of the lug of the frame about the pin"),
    ("hinge.lug_breadth_mm", "lug breadth", "Breadth of that lug across the plane"),
    (
        "material.frame",
        "frame",
        "Frame: a name that `pullmap materials` lists, unknown-aluminium, unknown-steel, or a table of your own",
    ),
    ("material.gate", "gate", "Gate"),
    ("material.pins", "pins", "Nose pin and hinge pin"),
    ("material.*.name", "name", "Name of the material"),
    (
        "material.*.youngs_modulus_mpa",
        "Young's modulus",
        "Young's modulus (aluminium about \"71 GPa\", steel \"200 GPa\")",
    ),
    ("material.*.poisson_ratio", "Poisson's ratio", "Poisson's ratio (metals: 0.27 to 0.34)"),
    ("material.*.yield_mpa", "yield strength", "Yield strength"),
    ("material.*.ultimate_mpa", "ultimate strength", "Ultimate tensile strength"),
    ("material.*.shear_ultimate_mpa", "ultimate in shear", "Ultimate shear strength"),
    ("material.*.elongation", "elongation", "Elongation after fracture, a share of the length (0.11: 11 %)"),
    (
        "material.*.reduction_of_area",
        "reduction of area",
        "Reduction of area at fracture, a share of the area (0.33: 33 %)",
    ),
    ("material.*.density_g_cm3", "density", "Density"),
    ("material.*.source", "source", "Where these values come from"),
    ("marking.closed_kn", "marked, gate closed", "Marked strength along the major axis, gate closed"),
    ("marking.open_kn", "marked, gate open", "Marked strength along the major axis, gate open"),
    (
        "marking.across_kn",
        "marked, across",
        "Marked strength across (kept for the record: a pull across is not modelled)",
    ),
    ("rig.load_kn", "pull", "The pull"),
    (
        "rig.working_load_kn",
        "load in use",
        "The load in use: how far first yield, failure and marking lie above it is told beside it",
    ),
    ("rig.gate", "gate", "closed, half (the pin only partly in the notch) or open"),
    ("rig.engaged_mm", "pin engaged", "How far the pin's leading edge is past the mouth of the notch"),
    ("rig.friction", "friction", "Coefficient of friction to rely on"),
    (
        "rig.stroke_mm",
        "stroke of the bench",
        "How far the bench's grips can move apart: it ends a pull until failure that goes so far",
    ),
    ("rig.*.kind", "load by", "strap, or bar for a bench bar"),
    ("rig.*.width_mm", "strap width", "Width of the strap"),
    ("rig.*.diameter_mm", "bar diameter", "Diameter of the bench bar"),
    ("rig.*.offset_mm", "offset", "Its middle from the middle of the window, above 0 toward the gate"),
    (
        "rig.*.stiffness_n_per_mm2",
        "strap stiffness",
        "Stiffness of a strap, N per mm of width and mm of stretch (webbing: 20 to 150)",
    ),
    ("rig.*.strap_strength_kn", "strap strength", "Strength of the strap itself"),
];
