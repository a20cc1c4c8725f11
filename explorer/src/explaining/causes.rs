//! What may have been other than told, over which range, and how often that happens.
//!
//! Ranges that the model states are used as they stand; where it states none, the defaults here are engineering judgement,
//! as are all chances: they order what to look at first, and claim no more.

use super::solving::Setting;
use crate::model_file::{Model, Source, SpreadKind};
use crate::seating::placed;
use solver::causes::Prior;
use solver::material::{Material, library};
use solver::rig::{GateState, Loader};
use solver::seats::Track;
use solver::system::System;

/// Chance, against all others, that everything was as told.
pub const AS_TOLD: f64 = 0.5;
/// Both straps beside where they were told to be.
const OFFSETS: f64 = 0.1;
/// One of them, or both in opposite directions.
const ONE_OFFSET: f64 = 0.05;
/// The gate not shut: one pull in twenty; half shut: one in twenty.
const GATE: f64 = 0.05;
/// Machined dimensions are never exact.
const DIMENSION: f64 = 0.3;
/// Play that is other than told.
const PLAY: f64 = 0.1;
/// Another alloy than told, shared among the alternatives.
const ALLOY: f64 = 0.06;
/// Strength of pins within one alloy.
const PIN_STRENGTH: f64 = 0.2;
/// What the model itself gives as a range is other than its middle.
const STATED_RANGE: f64 = 0.5;
/// Dimensions vary by this part to each side where no range is stated; half of it is one standard deviation.
const DIMENSION_PART: f64 = 0.1;
/// Largest radial play, mm.
const MOST_PLAY_MM: f64 = 0.5;
/// Least radial play that a shut gate is drawn with, mm.
const LEAST_PLAY_MM: f64 = 0.02;
/// Kept clear of the ends of a seat, mm.
const SPARE_MM: f64 = 0.3;
/// Least engagement of a half-shut gate that is drawn, mm.
const LEAST_ENGAGED_MM: f64 = 0.35;

/// The family of everything about where the loads lay.
pub const OFFSET: &str = "offset";

/// What a value of a cause is told as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Nothing: the cause has no value.
    Nothing,
    /// A plain number and its unit.
    Plain(&'static str),
    /// A number with its sign: to the gate is positive.
    Signed(&'static str),
}

/// Makes a setting from the nominal one and a value; `None` where the value makes no sense.
type Apply = Box<dyn Fn(&Setting, f64) -> Option<Setting> + Send + Sync>;

/// Something that may have been other than told.
pub struct Cause {
    /// Causes of one family are one line of the ranking.
    pub family: String,
    /// What was other than told, without its value.
    pub what: String,
    /// How its value is told.
    pub told: Told,
    /// What to measure.
    pub measure: String,
    /// Chance that it was.
    pub chance: f64,
    /// Chance of each value of its range.
    pub prior: Prior,
    /// Values to solve.
    pub values: Vec<f64>,
    /// The value that everything being as told would be.
    pub nominal: Option<f64>,
    /// Whether it may come together with straps off centre.
    pub pairs: bool,
    /// Makes the setting.
    pub apply: Apply,
}

/// Values at even steps.
fn steps(low: f64, high: f64, count: u32) -> Vec<f64> {
    (0..count).map(|i| low + (high - low) * f64::from(i) / f64::from(count - 1)).collect()
}

/// Offsets that fit at one end of a system, mm. Other shapes have other meshes, whose seats end up to a few tenths of a
/// millimetre elsewhere.
fn room(model: &Model, system: &System, upper: bool) -> [f64; 2] {
    let loader = if upper { model.rig.upper } else { model.rig.lower };
    let offset = loader.offset_mm();
    match Track::on(system, upper, loader).map(|track| track.range()) {
        Some((low, high)) if high - low > 2.0 * SPARE_MM => {
            [(low + SPARE_MM).min(offset), (high - SPARE_MM).max(offset)]
        }
        _ => [offset; 2],
    }
}

fn thing(model: &Model) -> [&'static str; 2] {
    let strap = |l: Loader| matches!(l, Loader::Strap { .. });
    if strap(model.rig.upper) && strap(model.rig.lower) { ["strap", "straps"] } else { ["load", "loads"] }
}

/// The causes of offsets. The first moves both loads together.
fn offsets(model: &Model, system: &System) -> Vec<Cause> {
    let (upper, lower) = (model.rig.upper.offset_mm(), model.rig.lower.offset_mm());
    let (above, below) = (room(model, system, true), room(model, system, false));
    let [one, both] = thing(model);
    let cause =
        |what: String, measure: String, chance: f64, values: Vec<f64>, nominal: f64, apply: Apply| Cause {
            family: OFFSET.to_owned(),
            what,
            told: Told::Signed("mm"),
            measure,
            chance,
            prior: Prior::Even,
            values,
            nominal: Some(nominal),
            pairs: false,
            apply,
        };
    let move_both = move |setting: &Setting, mm: f64| {
        let mut changed = setting.clone();
        changed.rig.upper = placed(changed.rig.upper, mm);
        changed.rig.lower = placed(changed.rig.lower, mm - upper + lower);
        Some(changed)
    };
    let together = [above[0].max(below[0] + upper - lower), above[1].min(below[1] + upper - lower)];
    let aslant = (above[1] - upper).min(lower - below[0]).min(upper - above[0]).min(below[1] - lower);
    let mut all = Vec::new();
    if together[1] > together[0] {
        all.push(cause(
            format!("both {both} at"),
            format!("the offset of both {one} marks on the bars"),
            OFFSETS,
            steps(together[0], together[1], 9),
            upper,
            Box::new(move_both),
        ));
    }
    for (word, range, nominal, is_upper) in [("upper", above, upper, true), ("lower", below, lower, false)] {
        if range[1] <= range[0] {
            continue;
        }
        let apply = move |setting: &Setting, mm: f64| {
            let mut changed = setting.clone();
            let end = if is_upper { &mut changed.rig.upper } else { &mut changed.rig.lower };
            *end = placed(*end, mm);
            Some(changed)
        };
        all.push(cause(
            format!("the {word} {one} at"),
            format!("the offset of the {word} {one} mark on its bar"),
            ONE_OFFSET,
            steps(range[0], range[1], 5),
            nominal,
            Box::new(apply),
        ));
    }
    if aslant > 1.0 {
        let apply = move |setting: &Setting, mm: f64| {
            let mut changed = setting.clone();
            changed.rig.upper = placed(changed.rig.upper, upper + mm);
            changed.rig.lower = placed(changed.rig.lower, lower - mm);
            Some(changed)
        };
        all.push(cause(
            format!("the {both} aslant, the upper to the gate and the lower to the spine by"),
            format!("the offsets of both {one} marks"),
            ONE_OFFSET,
            steps(-aslant, aslant, 5),
            0.0,
            Box::new(apply),
        ));
    }
    all
}

fn gates(model: &Model, all: &mut Vec<Cause>) {
    let with = |gate: GateState| -> Apply {
        Box::new(move |setting: &Setting, _| {
            let mut changed = setting.clone();
            changed.rig.gate = gate;
            Some(changed)
        })
    };
    let cause = |family: &str, what: &str, measure: &str, apply: Apply| Cause {
        family: family.to_owned(),
        what: what.to_owned(),
        told: Told::Nothing,
        measure: measure.to_owned(),
        chance: GATE,
        prior: Prior::Even,
        values: vec![0.0],
        nominal: None,
        pairs: false,
        apply,
    };
    let rig = model.rig;
    if rig.gate != GateState::Open {
        let mark = "the pin's mark in the notch: none at all";
        all.push(cause("gate open", "the gate was open", mark, with(GateState::Open)));
        // An open hook is another frame: its offsets are solved, not estimated from the shut one's.
        if let Some(together) = all.first().filter(|c| c.family == OFFSET && c.chance == OFFSETS) {
            let (range, measure, what) =
                (together.values.clone(), together.measure.clone(), together.what.clone());
            let nominal = rig.upper.offset_mm();
            let by = rig.lower.offset_mm() - nominal;
            let apply: Apply = Box::new(move |setting, mm| {
                let mut changed = setting.clone();
                changed.rig.gate = GateState::Open;
                changed.rig.upper = placed(changed.rig.upper, mm);
                changed.rig.lower = placed(changed.rig.lower, mm + by);
                Some(changed)
            });
            let (low, high) = (range[0], range[range.len() - 1]);
            all.push(Cause {
                told: Told::Signed("mm"),
                chance: GATE * OFFSETS,
                values: steps(low, high, 5),
                ..cause(
                    "gate open, offset",
                    &format!("the gate was open, and {what}"),
                    &format!("the pin's mark in the notch: none at all; and {measure}"),
                    apply,
                )
            });
        }
    }
    if rig.gate != GateState::Closed {
        let mark = "the pin's mark in the notch: at its closed end";
        all.push(cause("gate shut", "the gate was shut", mark, with(GateState::Closed)));
    }
    let nose = &model.connector.nose;
    let most = 0.98 * (nose.notch_depth_mm - nose.pin_clearance_mm);
    if most <= LEAST_ENGAGED_MM {
        return;
    }
    let nominal = match rig.gate {
        GateState::Half { engaged_mm } => Some(engaged_mm),
        _ => None,
    };
    let apply: Apply = Box::new(|setting, engaged_mm| {
        let mut changed = setting.clone();
        changed.rig.gate = GateState::Half { engaged_mm };
        Some(changed)
    });
    all.push(Cause {
        told: Told::Plain("mm"),
        values: steps(LEAST_ENGAGED_MM, most, 5),
        nominal,
        pairs: true,
        ..cause(
            "gate half shut",
            if nominal.is_some() { "the gate engaged" } else { "the gate half shut, engaged" },
            "how far inside the mouth the pin's mark on the lip ends",
            apply,
        )
    });
}

/// What to measure for a dimension.
fn measure_of(key: &str) -> &'static str {
    match key {
        "nose.lip_height_mm" => "the height of the lip",
        "nose.lip_breadth_mm" => "the breadth of the lip",
        "nose.pin_clearance_mm" => "the play of the nose pin in its notch (half of how much wider it is)",
        _ => "the play of the hinge pin in its hole (half of how much wider it is)",
    }
}

fn dimensions(model: &Model, all: &mut Vec<Cause>) {
    let stated = |key: &str| model.spreads.iter().any(|s| s.key == key);
    let nose = &model.connector.nose;
    type Pick = fn(&mut geometry::connector::Connector) -> &mut f64;
    let lips: [(&str, &str, f64, Pick); 2] = [
        ("nose.lip_height_mm", "the lip's height", nose.lip_height_mm, |c| &mut c.nose.lip_height_mm),
        ("nose.lip_breadth_mm", "the lip's breadth", nose.lip_breadth_mm, |c| &mut c.nose.lip_breadth_mm),
    ];
    let hinge = &model.connector.hinge;
    let plays: [(&str, &str, f64, Pick); 2] = [
        ("nose.pin_clearance_mm", "the play in the notch", nose.pin_clearance_mm, |c| {
            &mut c.nose.pin_clearance_mm
        }),
        ("hinge.pin_clearance_mm", "the play in the hinge", hinge.pin_clearance_mm, |c| {
            &mut c.hinge.pin_clearance_mm
        }),
    ];
    let change = |pick: Pick| -> Apply {
        Box::new(move |setting, value| {
            let mut changed = setting.clone();
            *pick(&mut changed.connector) = value;
            Some(changed)
        })
    };
    for (key, what, nominal, pick) in lips {
        if stated(key) {
            continue;
        }
        let by = DIMENSION_PART * nominal;
        all.push(Cause {
            family: key.to_owned(),
            what: what.to_owned(),
            told: Told::Plain("mm"),
            measure: measure_of(key).to_owned(),
            chance: DIMENSION,
            prior: Prior::About { middle: nominal, spread: 0.5 * by },
            values: vec![nominal - by, nominal + by],
            nominal: Some(nominal),
            pairs: true,
            apply: change(pick),
        });
    }
    for (key, what, nominal, pick) in plays {
        if stated(key) {
            continue;
        }
        let mut values = steps(LEAST_PLAY_MM.min(nominal), MOST_PLAY_MM.max(nominal), 3);
        values.retain(|v| (v - nominal).abs() > 0.02);
        all.push(Cause {
            family: key.to_owned(),
            what: what.to_owned(),
            told: Told::Plain("mm"),
            measure: measure_of(key).to_owned(),
            chance: PLAY,
            prior: Prior::Even,
            values,
            nominal: Some(nominal),
            pairs: true,
            apply: change(pick),
        });
    }
}

/// Family of a metal: metals of one family are taken for each other.
fn is_light(material: &Material) -> bool {
    material.density_g_cm3 < 5.0
}

/// The three parts that have a metal.
const METALS: [(&str, &str); 3] =
    [("material.frame", "frame"), ("material.gate", "gate"), ("material.pins", "pins")];

fn metal_of<'a>(setting: &'a mut Setting, part: &str) -> &'a mut Material {
    match part {
        "frame" => &mut setting.materials.frame,
        "gate" => &mut setting.materials.gate,
        _ => &mut setting.materials.pins,
    }
}

fn metals(model: &Model, nominal: &Setting, all: &mut Vec<Cause>) {
    for (key, part) in METALS {
        if model.spreads.iter().any(|s| s.key.starts_with(key)) {
            continue;
        }
        let own = metal_of(&mut nominal.clone(), part).clone();
        // What is called unknown is a range, not a metal to be taken for.
        let others: Vec<&'static library::Handbook> = library::all()
            .iter()
            .filter(|m| !m.is_unknown() && m.name != own.name && is_light(&m.material()) == is_light(&own))
            .collect();
        for metal in others.iter().copied() {
            let apply: Apply = Box::new(move |setting, _| {
                let mut changed = setting.clone();
                *metal_of(&mut changed, part) = metal.material();
                Some(changed)
            });
            all.push(Cause {
                family: format!("alloy of the {part}"),
                what: format!("the {part} of {}", metal.name),
                told: Told::Nothing,
                measure: format!("the hardness of the {part}: that of {}", metal.name),
                chance: ALLOY / others.len() as f64,
                prior: Prior::Even,
                values: vec![0.0],
                nominal: None,
                pairs: part == "frame",
                apply,
            });
        }
    }
    if !model.spreads.iter().any(|s| s.key.starts_with("material.pins")) {
        let apply: Apply = Box::new(|setting, percent| {
            let mut changed = setting.clone();
            strengthen(&mut changed.materials.pins, 1.0 + 0.01 * percent);
            Some(changed)
        });
        let by = 100.0 * DIMENSION_PART;
        all.push(Cause {
            family: "strength of the pins".to_owned(),
            what: "the strength of the pins changed by".to_owned(),
            told: Told::Signed("%"),
            measure: "the hardness of the pins: a strength changed by".to_owned(),
            chance: PIN_STRENGTH,
            prior: Prior::About { middle: 0.0, spread: 0.5 * by },
            values: vec![-by, by],
            nominal: Some(0.0),
            pairs: true,
            apply,
        });
    }
}

fn strengthen(material: &mut Material, factor: f64) {
    material.yield_mpa *= factor;
    material.ultimate_mpa *= factor;
    material.shear_ultimate_mpa *= factor;
}

fn stated_ranges(source: &Source, model: &Model, sets: &[(String, String)], all: &mut Vec<Cause>) {
    for spread in &model.spreads {
        let (low, high, prior) = match spread.kind {
            SpreadKind::PlusMinus(by) => (
                spread.middle - by,
                spread.middle + by,
                // A stated tolerance is taken as two standard deviations.
                Prior::About { middle: spread.middle, spread: 0.5 * by },
            ),
            SpreadKind::Between(low, high) => (low, high, Prior::Even),
            SpreadKind::UnknownMaterial => {
                unknown_metal(&spread.key, model, all);
                continue;
            }
        };
        if is_idle(&spread.key) {
            continue;
        }
        // Each value goes through the model's own checks.
        let (source, key) = (source.clone(), spread.key.clone());
        let sets = sets.to_vec();
        let set_key = key.clone();
        let corner = corner_of(&key);
        let apply: Apply = Box::new(move |setting, value| {
            // A corner radius of its own has no key that could be set.
            if let Some(corner) = corner {
                let mut changed = setting.clone();
                *changed.connector.window.corner_radius_mm.get_mut(corner)? = value;
                return Some(changed);
            }
            let mut with = sets.clone();
            with.push((set_key.clone(), value.to_string()));
            let model = source.model(&with).ok()?;
            Some(Setting { connector: model.connector, materials: model.materials, rig: model.rig })
        });
        let (what, unit) = in_words(&key);
        all.push(Cause {
            family: key.clone(),
            what: what.clone(),
            told: Told::Plain(unit),
            measure: what,
            chance: STATED_RANGE,
            prior,
            values: steps(low, high, 3),
            nominal: Some(spread.middle),
            pairs: true,
            apply,
        });
    }
}

/// Keys that no break depends on.
fn is_idle(key: &str) -> bool {
    key.starts_with("marking.") || key == "rig.load_kn" || key.ends_with(".density_g_cm3")
}

/// The corner that a key of one corner radius is of.
fn corner_of(key: &str) -> Option<usize> {
    let number = key.strip_prefix("window.corner_radius_mm[")?.strip_suffix(']')?;
    number.parse::<usize>().ok()?.checked_sub(1)
}

/// A key in words, and its unit.
fn in_words(key: &str) -> (String, &'static str) {
    if let Some(corner) = corner_of(key) {
        let corners = ["upper spine", "upper gate", "lower gate", "lower spine"];
        return (format!("the window's {} radius", corners.get(corner).copied().unwrap_or("corner")), "mm");
    }
    // The table that holds the key comes last in words: "notch depth of the nose".
    if let Some((table, name)) = key.rsplit_once('.') {
        let (name, unit) = in_words(name);
        return (format!("the {name} of the {}", table.replace(['.', '_'], " ")), unit);
    }
    for (end, unit) in [("_mm", "mm"), ("_deg", "deg"), ("_kn", "kN"), ("_mpa", "MPa")] {
        if let Some(stem) = key.strip_suffix(end) {
            return (stem.replace('_', " "), unit);
        }
    }
    (key.replace('_', " "), "")
}

/// A metal of which only ranges are known: from its weakest to its strongest.
fn unknown_metal(key: &str, model: &Model, all: &mut Vec<Cause>) {
    let part = key.trim_start_matches("material.").to_owned();
    let mut nominal =
        Setting { connector: model.connector.clone(), materials: model.materials.clone(), rig: model.rig };
    let own = metal_of(&mut nominal, &part).clone();
    let Some(metal) = library::all().iter().find(|m| m.name == own.name) else { return };
    let range = |datum: library::Datum| datum.range.unwrap_or([datum.value; 2]);
    let (ultimate, yields, shear) =
        (range(metal.ultimate_mpa), range(metal.yield_mpa), range(metal.shear_ultimate_mpa));
    let at = |range: [f64; 2], part: f64| range[0] + part * (range[1] - range[0]);
    // A gate of the same unknown metal is of the same melt.
    let both = part == "frame" && model.materials.gate == own;
    let words = if both { "frame and gate".to_owned() } else { part.clone() };
    let apply: Apply = Box::new(move |setting, mpa| {
        let share = (mpa - ultimate[0]) / (ultimate[1] - ultimate[0]);
        let mut changed = setting.clone();
        let material = metal_of(&mut changed, &part);
        (material.ultimate_mpa, material.yield_mpa, material.shear_ultimate_mpa) =
            (mpa, at(yields, share), at(shear, share));
        if both {
            changed.materials.gate = changed.materials.frame.clone();
        }
        Some(changed)
    });
    all.push(Cause {
        family: key.to_owned(),
        what: format!("the ultimate strength of the {words}"),
        told: Told::Plain("MPa"),
        measure: format!("the hardness of the {words}: ultimate strength"),
        chance: STATED_RANGE,
        prior: Prior::Even,
        values: steps(ultimate[0], ultimate[1], 2),
        nominal: Some(own.ultimate_mpa),
        pairs: true,
        apply,
    });
}

/// Everything that may have been other than told. The first causes are offsets; the very first moves both loads, if they
/// have room.
pub fn causes(
    source: &Source,
    model: &Model,
    sets: &[(String, String)],
    nominal: &Setting,
    system: &System,
) -> Vec<Cause> {
    let mut all = offsets(model, system);
    gates(model, &mut all);
    dimensions(model, &mut all);
    metals(model, nominal, &mut all);
    stated_ranges(source, model, sets, &mut all);
    all
}

impl Cause {
    /// Whether it has a value that can be told.
    pub fn has_value(&self) -> bool {
        self.told != Told::Nothing
    }

    /// The cause with its value.
    pub fn with_value(&self, value: f64) -> String {
        match self.told {
            Told::Nothing => self.what.clone(),
            Told::Plain(_) | Told::Signed(_) => format!("{} {}", self.what, self.value_in_words(value)),
        }
    }

    /// A value and its unit.
    pub fn value_in_words(&self, value: f64) -> String {
        match self.told {
            Told::Nothing => String::new(),
            Told::Plain(unit) => format!("{} {unit}", digits(value, self.fine())),
            Told::Signed(unit) => {
                let sign = if value < 0.0 { "-" } else { "+" };
                format!("{sign}{} {unit}", digits(value.abs(), self.fine()))
            }
        }
    }

    /// From where to where, in words.
    pub fn range_in_words(&self, range: [f64; 2]) -> String {
        let [low, high] = range.map(|v| self.value_in_words(v));
        if low == high {
            return low;
        }
        let unit = match self.told {
            Told::Plain(unit) | Told::Signed(unit) => format!(" {unit}"),
            Told::Nothing => String::new(),
        };
        format!("{} to {high}", low.trim_end_matches(&unit))
    }

    /// Decimals that a value of this range deserves.
    fn fine(&self) -> usize {
        let range = match (self.values.first(), self.values.last()) {
            (Some(a), Some(b)) => (b - a).abs(),
            _ => 0.0,
        };
        if range < 2.0 {
            2
        } else if range < 50.0 {
            1
        } else {
            0
        }
    }
}

fn digits(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$}")
}
