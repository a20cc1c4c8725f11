//! What the numbers of a model file measure, and the units of each.

/// What a number measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// Base unit mm.
    Length,
    /// Base unit kN.
    Force,
    /// Base unit degree.
    Angle,
    /// Base unit MPa.
    Stress,
    /// Force per mm of strap width and mm of stretch; base unit N/mm^2.
    StrapStiffness,
    /// Base unit g/cm^3.
    Density,
    /// A plain ratio.
    Ratio,
}

const ALL: [Dimension; 6] = [
    Dimension::Length,
    Dimension::Force,
    Dimension::Angle,
    Dimension::Stress,
    Dimension::StrapStiffness,
    Dimension::Density,
];

/// One ksi in MPa: 1000 lbf/in^2 with the lbf and inch below.
const KSI: f64 = 4.448_221_615_260_5 * 1000.0 / (25.4 * 25.4);

/// Signs of the inch: of the keyboard, of print, and what a keyboard that thinks for itself makes of its own.
const INCH_SIGNS: [&str; 3] = ["\"", "\u{2033}", "\u{201d}"];

impl Dimension {
    /// The unit of a bare number; empty for a ratio.
    #[must_use]
    pub fn base_unit(self) -> &'static str {
        self.units().first().map_or("", |unit| unit.0)
    }

    /// Spelling of each unit and its size in base units. The pound-force, the kilogram-force and the inch are exact by
    /// definition.
    #[must_use]
    pub fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Length => &[("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4)],
            Self::Force => &[
                ("kN", 1.0),
                ("N", 1e-3),
                ("daN", 1e-2),
                ("kgf", 9.806_65e-3),
                ("lbf", 4.448_221_615_260_5e-3),
            ],
            Self::Angle => &[("deg", 1.0), ("rad", 180.0 / std::f64::consts::PI)],
            Self::Stress => &[("MPa", 1.0), ("GPa", 1000.0), ("ksi", KSI), ("N/mm^2", 1.0), ("N/mm2", 1.0)],
            Self::StrapStiffness => &[("N/mm^2", 1.0), ("N/mm2", 1.0), ("MPa", 1.0)],
            Self::Density => &[("g/cm^3", 1.0), ("g/cm3", 1.0), ("kg/m^3", 1e-3), ("kg/m3", 1e-3)],
            Self::Ratio => &[],
        }
    }

    /// Size of a unit in base units, as it is spelled or by its sign; `None` for one of something else.
    #[must_use]
    pub fn size_of(self, unit: &str) -> Option<f64> {
        let spelled = if self == Self::Length && INCH_SIGNS.contains(&unit) { "in" } else { unit };
        self.units().iter().find(|known| known.0 == spelled).map(|known| known.1)
    }

    /// How the name of a key of this dimension ends: `_mm`; empty for a ratio.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Length => "_mm",
            Self::Force => "_kn",
            Self::Angle => "_deg",
            Self::Stress => "_mpa",
            Self::StrapStiffness => "_n_per_mm2",
            Self::Density => "_g_cm3",
            Self::Ratio => "",
        }
    }

    /// The dimension that has this unit, other than this one.
    #[must_use]
    pub fn other_with(self, unit: &str) -> Option<Self> {
        let has = |other: &Self| other.units().iter().any(|known| known.0 == unit);
        ALL.into_iter().filter(|other| *other != self).find(has)
    }
}
