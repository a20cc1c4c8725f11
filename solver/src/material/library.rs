//! Handbook values of the metals that connectors and their pins are made of, each with its source.
//!
//! Values of different standing are kept apart by their source: typical values describe what one is likely to hold in
//! the hand, minimum values what a specification promises. A shear strength that no source lists is 0.6 of the ultimate
//! strength. How far a metal stretches and necks down before it breaks is mostly a specification's minimum as well. The two
//! unknown metals carry ranges; their middle is used, and whoever asks for more must look at the ends.

use super::Material;
use super::lot::{self, Lot};
use serde::Serialize;

/// A value and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Datum {
    /// The value, or the middle of its range.
    pub value: f64,
    /// From where to where it may lie, where only that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<[f64; 2]>,
    /// Where it comes from.
    pub source: &'static str,
}

/// A metal of the library.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Handbook {
    /// Its name in model files.
    pub key: &'static str,
    /// Its name for people.
    pub name: &'static str,
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: Datum,
    /// Poisson's ratio.
    pub poisson_ratio: Datum,
    /// Density, g/cm^3.
    pub density_g_cm3: Datum,
    /// Yield strength, MPa.
    pub yield_mpa: Datum,
    /// Ultimate tensile strength, MPa.
    pub ultimate_mpa: Datum,
    /// Ultimate shear strength, MPa.
    pub shear_ultimate_mpa: Datum,
    /// Elongation after fracture, a share of the gauge length.
    pub elongation: Datum,
    /// Reduction of area at fracture, a share of the area, where a source lists it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reduction_of_area: Option<Datum>,
    /// A tested lot of the alloy that gives the shape of its first pull, where one is listed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lot: Option<&'static Lot>,
}

/// Share of the ultimate tensile strength that is used as shear strength where no source lists one: listed values of
/// wrought aluminium and of quenched steel lie between 0.58 and 0.65. Engineering judgement.
pub const SHEAR_OF_ULTIMATE: f64 = 0.6;

/// One ksi in MPa: 1000 lbf/in^2, with lbf and inch exact by definition.
const KSI: f64 = 4.448_221_615_260_5 * 1000.0 / (25.4 * 25.4);

/// One Msi in GPa, hence 1000 Msi in MPa.
const MSI: f64 = 1000.0 * KSI;

const JUDGED_SHEAR: &str = "0.6 of the ultimate strength, engineering judgement";
const TYPICAL_ALUMINIUM: &str = "Aluminum Association, typical values";
const EXTRUDED: &str = "EN 755-2, minimum for extruded round bar up to 20 mm, from memory";
const QUENCHED: &str = "MIL-HDBK-5J table 2.3.1, from memory";
const PRECIPITATION: &str = "MIL-HDBK-5J, from memory";
const SHEET: &str = "ASTM A240, minimum, annealed, from memory";
const NECKING_OF_STEEL: &str = "MIL-HDBK-5J table 2.3.1.0(e), minimum, from memory";
const BAR_OF_STAINLESS: &str = "ASTM A564, minimum, from memory";
const COMMON: &str = "common handbook value, from memory";
const JUDGED_RANGE: &str = "range met in connectors of unknown alloy, engineering judgement";

/// All metals, in the order in which they are listed. Those that are not unknown are also what a part may be made of in
/// truth: `explain` weighs each of the told metal's family.
#[must_use]
pub fn all() -> &'static [Handbook] {
    &METALS
}

/// The metal with this name in model files.
///
/// ```
/// use solver::material::library;
///
/// let metal = library::find("7075-t6").unwrap();
/// assert!(metal.yield_mpa.value > 400.0 && !metal.yield_mpa.source.is_empty());
/// assert!(library::find("cheese").is_none());
/// ```
#[must_use]
pub fn find(key: &str) -> Option<&'static Handbook> {
    METALS.iter().find(|metal| metal.key == key)
}

/// The metal with this name for people.
#[must_use]
pub fn named(name: &str) -> Option<&'static Handbook> {
    METALS.iter().find(|metal| metal.name == name)
}

impl Handbook {
    /// The values as a solve takes them.
    #[must_use]
    pub fn material(&self) -> Material {
        Material {
            name: self.name.to_owned(),
            youngs_modulus_mpa: self.youngs_modulus_mpa.value,
            poisson_ratio: self.poisson_ratio.value,
            density_g_cm3: self.density_g_cm3.value,
            yield_mpa: self.yield_mpa.value,
            ultimate_mpa: self.ultimate_mpa.value,
            shear_ultimate_mpa: self.shear_ultimate_mpa.value,
            elongation: Some(self.elongation.value),
            reduction_of_area: self.reduction_of_area.map(|datum| datum.value),
            lot: self.lot,
        }
    }

    /// Whether only ranges of its strength are known.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        self.yield_mpa.range.is_some()
    }

    /// Its values with their names in model files.
    pub fn values(&self) -> impl Iterator<Item = (&'static str, Datum)> {
        let all = [
            ("youngs_modulus_mpa", self.youngs_modulus_mpa),
            ("poisson_ratio", self.poisson_ratio),
            ("density_g_cm3", self.density_g_cm3),
            ("yield_mpa", self.yield_mpa),
            ("ultimate_mpa", self.ultimate_mpa),
            ("shear_ultimate_mpa", self.shear_ultimate_mpa),
            ("elongation", self.elongation),
        ];
        all.into_iter().chain(self.reduction_of_area.map(|datum| ("reduction_of_area", datum)))
    }
}

const fn from(value: f64, source: &'static str) -> Datum {
    Datum { value, range: None, source }
}

const fn between(low: f64, high: f64, source: &'static str) -> Datum {
    Datum { value: 0.5 * (low + high), range: Some([low, high]), source }
}

const fn judged_shear(ultimate: Datum) -> Datum {
    let range = match ultimate.range {
        Some([low, high]) => Some([SHEAR_OF_ULTIMATE * low, SHEAR_OF_ULTIMATE * high]),
        None => None,
    };
    Datum { value: SHEAR_OF_ULTIMATE * ultimate.value, range, source: JUDGED_SHEAR }
}

/// 4340, quenched and tempered to an ultimate strength; all strengths in ksi, then elongation and reduction of area.
const fn quenched(
    key: &'static str,
    name: &'static str,
    [ultimate, yielding, shear]: [f64; 3],
    [elongation, reduction_of_area]: [f64; 2],
    stretching_source: &'static str,
) -> Handbook {
    Handbook {
        key,
        name,
        youngs_modulus_mpa: from(29.0 * MSI, QUENCHED),
        poisson_ratio: from(0.32, QUENCHED),
        density_g_cm3: from(7.83, COMMON),
        yield_mpa: from(yielding * KSI, QUENCHED),
        ultimate_mpa: from(ultimate * KSI, QUENCHED),
        shear_ultimate_mpa: from(shear * KSI, QUENCHED),
        elongation: from(elongation, stretching_source),
        reduction_of_area: Some(from(reduction_of_area, stretching_source)),
        lot: Some(&lot::STEEL_4340),
    }
}

const fn annealed(key: &'static str, name: &'static str, poisson_source: &'static str) -> Handbook {
    let ultimate_mpa = from(515.0, SHEET);
    Handbook {
        key,
        name,
        youngs_modulus_mpa: from(193_000.0, COMMON),
        poisson_ratio: from(0.29, poisson_source),
        density_g_cm3: from(8.0, COMMON),
        yield_mpa: from(205.0, SHEET),
        ultimate_mpa,
        shear_ultimate_mpa: judged_shear(ultimate_mpa),
        elongation: from(0.40, SHEET),
        reduction_of_area: None,
        lot: None,
    }
}

const fn unknown(
    key: &'static str,
    name: &'static str,
    [youngs_modulus, poisson, density]: [f64; 3],
    yielding: [f64; 2],
    ultimate: [f64; 2],
    elongation: [f64; 2],
) -> Handbook {
    let ultimate_mpa = between(ultimate[0], ultimate[1], JUDGED_RANGE);
    Handbook {
        key,
        name,
        youngs_modulus_mpa: from(youngs_modulus, COMMON),
        poisson_ratio: from(poisson, COMMON),
        density_g_cm3: from(density, COMMON),
        yield_mpa: between(yielding[0], yielding[1], JUDGED_RANGE),
        ultimate_mpa,
        shear_ultimate_mpa: judged_shear(ultimate_mpa),
        elongation: between(elongation[0], elongation[1], JUDGED_RANGE),
        reduction_of_area: None,
        lot: None,
    }
}

/// The aluminium that many connectors are forged of.
pub const ALUMINIUM_7075_T6: Handbook = Handbook {
    key: "7075-t6",
    name: "7075-T6 aluminium, typical",
    youngs_modulus_mpa: from(71_700.0, TYPICAL_ALUMINIUM),
    poisson_ratio: from(0.33, TYPICAL_ALUMINIUM),
    density_g_cm3: from(2.81, TYPICAL_ALUMINIUM),
    yield_mpa: from(503.0, TYPICAL_ALUMINIUM),
    ultimate_mpa: from(572.0, TYPICAL_ALUMINIUM),
    shear_ultimate_mpa: from(331.0, TYPICAL_ALUMINIUM),
    elongation: from(0.11, TYPICAL_ALUMINIUM),
    reduction_of_area: Some(from(lot::ALUMINIUM_7075_T6.reduction_of_area, lot::ALUMINIUM_7075_T6.source)),
    lot: Some(&lot::ALUMINIUM_7075_T6),
};

/// A steel that pins are made of.
pub const STEEL_4340_180: Handbook = quenched(
    "4340-180",
    "4340 steel, quenched and tempered to 180 ksi",
    [180.0, 163.0, 108.0],
    [0.12, 0.47],
    NECKING_OF_STEEL,
);

static METALS: [Handbook; 12] = [
    ALUMINIUM_7075_T6,
    Handbook {
        key: "6082-t6",
        name: "6082-T6 aluminium, minimum",
        youngs_modulus_mpa: from(70_000.0, "EN 1999-1-1, from memory"),
        poisson_ratio: from(0.33, COMMON),
        density_g_cm3: from(2.70, COMMON),
        yield_mpa: from(250.0, EXTRUDED),
        ultimate_mpa: from(295.0, EXTRUDED),
        shear_ultimate_mpa: judged_shear(from(295.0, EXTRUDED)),
        elongation: from(0.08, EXTRUDED),
        reduction_of_area: None,
        lot: None,
    },
    quenched(
        "4340-125",
        "4340 steel, quenched and tempered to 125 ksi",
        [125.0, 103.0, 75.0],
        [0.17, 0.55],
        NECKING_OF_STEEL,
    ),
    quenched(
        "4340-150",
        "4340 steel, quenched and tempered to 150 ksi",
        [150.0, 132.0, 90.0],
        [0.14, 0.52],
        NECKING_OF_STEEL,
    ),
    STEEL_4340_180,
    quenched(
        "4340-200",
        "4340 steel, quenched and tempered to 200 ksi",
        [200.0, 176.0, 120.0],
        [0.10, 0.43],
        NECKING_OF_STEEL,
    ),
    quenched(
        "4340-260",
        "4340 steel, quenched and tempered to 260 ksi",
        [260.0, 217.0, 156.0],
        [0.10, 0.35],
        COMMON,
    ),
    annealed("304", "304 stainless steel, annealed, minimum", COMMON),
    annealed("316", "316 stainless steel, annealed, minimum", "as 304, engineering judgement"),
    Handbook {
        key: "17-4ph-h900",
        name: "17-4PH stainless steel, H900",
        youngs_modulus_mpa: from(28.5 * MSI, PRECIPITATION),
        poisson_ratio: from(0.27, PRECIPITATION),
        density_g_cm3: from(7.80, COMMON),
        yield_mpa: from(170.0 * KSI, PRECIPITATION),
        ultimate_mpa: from(190.0 * KSI, PRECIPITATION),
        shear_ultimate_mpa: from(123.0 * KSI, PRECIPITATION),
        elongation: from(0.10, BAR_OF_STAINLESS),
        reduction_of_area: Some(from(0.40, BAR_OF_STAINLESS)),
        lot: None,
    },
    unknown(
        "unknown-aluminium",
        "unknown aluminium of the 7000 series",
        [71_700.0, 0.33, 2.81],
        [430.0, 505.0],
        [510.0, 575.0],
        [0.05, 0.12],
    ),
    unknown(
        "unknown-steel",
        "unknown quenched alloy steel",
        [205_000.0, 0.29, 7.85],
        [800.0, 1100.0],
        [950.0, 1250.0],
        [0.08, 0.16],
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typical_7075_as_listed() {
        let material = find("7075-t6").unwrap().material();
        assert_eq!(material.youngs_modulus_mpa, 71_700.0);
        assert_eq!(material.poisson_ratio, 0.33);
        assert_eq!((material.yield_mpa, material.ultimate_mpa), (503.0, 572.0));
        assert_eq!((material.shear_ultimate_mpa, material.density_g_cm3), (331.0, 2.81));
        assert_eq!((material.elongation, material.reduction_of_area), (Some(0.11), Some(0.33)));
    }

    #[test]
    fn ksi_become_megapascal() {
        // 1 ksi = 6.894757 MPa: 163 -> 1123.85, 180 -> 1241.06, 108 -> 744.63; 29 Msi -> 199 948.
        let material = find("4340-180").unwrap().material();
        assert!((material.yield_mpa - 1123.85).abs() < 0.01);
        assert!((material.ultimate_mpa - 1241.06).abs() < 0.01);
        assert!((material.shear_ultimate_mpa - 744.63).abs() < 0.01);
        assert!((material.youngs_modulus_mpa - 199_948.0).abs() < 1.0);
    }

    #[test]
    fn every_metal_is_plausible_and_sourced() {
        for (at, metal) in all().iter().enumerate() {
            assert!(all()[..at].iter().all(|other| other.key != metal.key), "{} twice", metal.key);
            let material = metal.material();
            assert!(material.yield_mpa < material.ultimate_mpa, "{}", metal.key);
            let shear = material.shear_ultimate_mpa / material.ultimate_mpa;
            assert!((0.55..0.68).contains(&shear), "{}: {shear}", metal.key);
            assert!((0.25..0.35).contains(&material.poisson_ratio), "{}", metal.key);
            assert!(named(metal.name).is_some_and(|known| known.key == metal.key));
            let elongation = metal.elongation.value;
            assert!((0.05..=0.4).contains(&elongation), "{}: {elongation}", metal.key);
            // A neck is where a bar stretches most.
            let necked = material.reduction_of_area.map(lot::strain_of_neck);
            assert!(necked.is_none_or(|strain| strain > elongation.ln_1p()), "{}", metal.key);
            for (name, datum) in metal.values() {
                assert!(!datum.source.is_empty(), "{} {name}", metal.key);
                if let Some([low, high]) = datum.range {
                    assert!(low < datum.value && datum.value < high, "{} {name}", metal.key);
                }
            }
        }
    }

    #[test]
    fn unknown_metals_use_the_middle() {
        let metal = find("unknown-aluminium").unwrap();
        assert!(metal.is_unknown());
        assert_eq!(metal.material().yield_mpa, 467.5);
        assert_eq!(metal.material().shear_ultimate_mpa, 0.6 * 542.5);
        assert!(!find("304").unwrap().is_unknown());
        assert!(find("unobtainium").is_none());
    }
}
