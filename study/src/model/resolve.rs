//! From values by key to the checked model: defaults filled in, words turned into types.
//!
//! The order is that of `keys`. Whatever needs only one value is judged by the reader; what needs several numbers of the
//! connector together is judged by `fit`.

use super::checked::{Converted, End, Marking, Model, SpreadKind, Taken};
use super::converted::{self, convert};
use super::keys::{self, Fallback, Kind, Need};
use super::misfit::Misfit;
use super::mistake::{ModelErrors, Problem, Unused};
use super::raw::Table;
use super::reader::Reader;
use super::told::Told;
use super::{fit, word};
use geometry::connector::{Connector, Gate, Hinge, LipOn, Nose, Section, SectionShape, Window};
use solver::material::{Material, Materials, library};
use solver::rig::{GateState, Loader, Rig};
use solver::strength::Constants;

/// Checks the values of a model that was `told`: its file is named in messages, its short name is the title of a model that has
/// none.
///
/// # Errors
/// Every mistake there is, in the order of reading.
pub fn resolve(table: &Table, told: &Told) -> Result<Model, ModelErrors> {
    let mut reader = Reader::open(table, &told.file);
    let title = reader.text("title").unwrap_or_else(|| told.stem.clone());
    let mut converted = Vec::new();
    let (window, lower_as_upper) = window(&mut reader, &mut converted);
    let (spine, upper, lower) = sections(&mut reader);
    let nose = nose(&mut reader, &mut converted);
    let gate = gate(&mut reader);
    let opening_mm = reader.optional("gate.opening_mm");
    let hinge = hinge(&mut reader, &lower, &nose, &mut converted);
    let materials = materials(&mut reader);
    let marking = Marking {
        closed_kn: reader.optional("marking.closed_kn"),
        open_kn: reader.optional("marking.open_kn"),
        across_kn: reader.optional("marking.across_kn"),
    };
    let rig = rig(&mut reader, &nose);
    let working_load_kn = reader.optional("rig.working_load_kn");
    let stroke_mm = reader.optional("rig.stroke_mm");
    let connector = Connector { window, spine, upper, lower, nose, hinge, gate };
    let connector = convert(&mut reader, connector, &mut converted, lower_as_upper);
    fit::check(&mut reader, &connector, &rig);
    if !reader.mistakes.is_empty() {
        return Err(ModelErrors(reader.mistakes));
    }
    let is_marked = |path: &str| reader.line(path).is_some_and(|line| told.marked.contains(&line));
    let marked = keys::all().iter().filter(|key| is_marked(&key.path)).map(|key| key.path.as_str()).collect();
    let places_entered = End::BOTH.map(|end| {
        let path = format!("rig.{}.offset_mm", end.word());
        reader.has(&path) && !is_marked(&path)
    });
    let Reader { spreads, unknown_metals, taken, .. } = reader;
    Ok(Model {
        title,
        marking,
        connector,
        materials,
        rig,
        working_load_kn,
        stroke_mm,
        spreads,
        unknown_metals,
        taken,
        converted,
        opening_mm,
        marked,
        places_entered,
        constants: Constants::default(),
        calibration: None,
        told: told.clone(),
    })
}

/// The window, and whether its lower end is as wide as the upper one because nothing is told of it.
fn window(reader: &mut Reader, converted: &mut Vec<Converted>) -> (Window, bool) {
    let inside_length_mm = converted::required(reader, "window.inside_length_mm", converted);
    let upper_width_mm = converted::required(reader, "window.upper_width_mm", converted);
    let lower_width_mm = converted::optional(reader, "window.lower_width_mm", converted);
    let window = Window {
        inside_length_mm,
        upper_width_mm,
        lower_width_mm: lower_width_mm.unwrap_or(upper_width_mm),
        upper_slope_deg: reader.or_fallback("window.upper_slope_deg"),
        lower_slope_deg: reader.or_fallback("window.lower_slope_deg"),
        corner_radius_mm: reader.corners("window.corner_radius_mm"),
    };
    (window, lower_width_mm.is_none())
}

/// What the file says of a section, before the shape decides what counts.
#[derive(Clone, Copy)]
struct Given {
    shape: Option<&'static str>,
    depth: Option<f64>,
    breadth: Option<f64>,
    flange: Option<f64>,
    web: Option<f64>,
}

impl Given {
    fn read(reader: &mut Reader, table: &str) -> Self {
        let path = |name: &str| format!("{table}.{name}");
        // An unknown word is reported; the section is then judged no further.
        let shape = reader.has(&path("shape")).then(|| reader.choice(&path("shape")));
        Self {
            shape,
            depth: reader.optional(&path("depth_mm")),
            breadth: reader.optional(&path("breadth_mm")),
            flange: reader.optional(&path("flange_mm")),
            web: reader.optional(&path("web_mm")),
        }
    }

    fn over(self, below: Self) -> Self {
        Self {
            shape: self.shape.or(below.shape),
            depth: self.depth.or(below.depth),
            breadth: self.breadth.or(below.breadth),
            flange: self.flange.or(below.flange),
            web: self.web.or(below.web),
        }
    }
}

fn sections(reader: &mut Reader) -> (Section, Section, Section) {
    let spine = Given::read(reader, "section.spine");
    let above = |reader: &mut Reader, table| {
        let own = Given::read(reader, table);
        section(reader, table, own, own.over(spine))
    };
    let upper = above(reader, "section.upper");
    let lower = above(reader, "section.lower");
    (section(reader, "section.spine", spine, spine), upper, lower)
}

/// Builds a section from its own and inherited keys. What is missing is reported once: under the spine when the spine
/// lacks it, under the other when its own shape asks for more than the spine has.
fn section(reader: &mut Reader, table: &str, own: Given, all: Given) -> Section {
    let path = |name: &str| format!("{table}.{name}");
    let reports = table == "section.spine" || own.shape.is_some();
    let mut need = |name: &str, value: Option<f64>| {
        value.unwrap_or_else(|| {
            if reports {
                reader.missing(&path(name));
            }
            f64::NAN
        })
    };
    let depth_mm = need("depth_mm", all.depth);
    let (shape, breadth_mm) = match all.shape {
        Some("round") => (SectionShape::Round, depth_mm),
        Some("oval") => (SectionShape::Oval, need("breadth_mm", all.breadth)),
        Some("rectangle") => (SectionShape::Rectangle, need("breadth_mm", all.breadth)),
        Some("i") => {
            let breadth = need("breadth_mm", all.breadth);
            let (flange_mm, web_mm) = (need("flange_mm", all.flange), need("web_mm", all.web));
            (SectionShape::I { flange_mm, web_mm }, breadth)
        }
        Some(_) => (SectionShape::Round, f64::NAN),
        None => {
            if table == "section.spine" {
                reader.missing(&path("shape"));
            }
            (SectionShape::Round, f64::NAN)
        }
    };
    if all.shape == Some("round") && own.breadth.is_some_and(|breadth| (breadth - depth_mm).abs() > 1e-9) {
        reader.unused(&path("breadth_mm"), Unused::RoundBreadth);
    }
    if matches!(all.shape, Some("round" | "oval" | "rectangle")) {
        reader.unused(&path("flange_mm"), Unused::NoFlanges);
        reader.unused(&path("web_mm"), Unused::NoWeb);
    }
    Section { shape, depth_mm, breadth_mm }
}

fn nose(reader: &mut Reader, converted: &mut Vec<Converted>) -> Nose {
    let tip_mm = converted::required(reader, "nose.tip_mm", converted);
    let notch_depth_mm = reader.required("nose.notch_depth_mm");
    let lip_height_mm = reader.required("nose.lip_height_mm");
    let lip_breadth_mm = reader.optional("nose.lip_breadth_mm");
    let breadth_mm = reader.required("nose.breadth_mm");
    Nose {
        tip_mm,
        notch_depth_mm,
        lip_height_mm,
        lip_breadth_mm: lip_breadth_mm.unwrap_or(breadth_mm),
        breadth_mm,
        pin_diameter_mm: reader.required("nose.pin_diameter_mm"),
        pin_clearance_mm: reader.required("nose.pin_clearance_mm"),
        flank_angle_deg: reader.or_fallback("nose.flank_angle_deg"),
        lip_on: match reader.choice("nose.lip_on") {
            "gate" => LipOn::Gate,
            _ => LipOn::Frame,
        },
    }
}

/// What stands in the place of a cheek that is not given, mm.
fn usual_cheek_mm(breadth_mm: f64) -> f64 {
    let third = breadth_mm / 3.0;
    match keys::find("gate.cheek_mm").map(|key| key.need) {
        Some(Need::Else(Fallback::ThirdOfBreadth { most_mm })) if third >= most_mm => most_mm,
        _ => third,
    }
}

fn gate(reader: &mut Reader) -> Gate {
    let width_mm = reader.required("gate.width_mm");
    let breadth_mm = reader.required("gate.breadth_mm");
    Gate {
        width_mm,
        breadth_mm,
        cheek_mm: reader.optional("gate.cheek_mm").unwrap_or_else(|| usual_cheek_mm(breadth_mm)),
        cheek_clearance_mm: reader.or_fallback("gate.cheek_clearance_mm"),
    }
}

fn hinge(reader: &mut Reader, lower: &Section, nose: &Nose, converted: &mut Vec<Converted>) -> Hinge {
    Hinge {
        height_mm: converted::required(reader, "hinge.height_mm", converted),
        pin_diameter_mm: reader.required("hinge.pin_diameter_mm"),
        pin_clearance_mm: reader.required("hinge.pin_clearance_mm"),
        lug_radius_mm: reader.optional("hinge.lug_radius_mm").unwrap_or(0.5 * lower.depth_mm),
        lug_breadth_mm: reader.optional("hinge.lug_breadth_mm").unwrap_or(nose.breadth_mm),
    }
}

fn materials(reader: &mut Reader) -> Materials {
    let [frame, gate, pins] = keys::MATERIALS;
    if !reader.has(frame) && !reader.has_table(frame) {
        reader.missing(frame);
    }
    let nothing = Material {
        name: String::new(),
        youngs_modulus_mpa: f64::NAN,
        poisson_ratio: f64::NAN,
        density_g_cm3: f64::NAN,
        yield_mpa: f64::NAN,
        ultimate_mpa: f64::NAN,
        shear_ultimate_mpa: f64::NAN,
        elongation: None,
        reduction_of_area: None,
        lot: None,
    };
    let frame = material(reader, frame).unwrap_or_else(|| nothing.clone());
    let gate = material(reader, gate).unwrap_or_else(|| frame.clone());
    let usual_pins = match keys::find(pins).map(|key| key.need) {
        Some(Need::Else(Fallback::Word(name))) => library::find(name).map(library::Handbook::material),
        _ => None,
    };
    let pins = material(reader, pins).or(usual_pins).unwrap_or(nothing);
    Materials { frame, gate, pins }
}

fn material(reader: &mut Reader, path: &str) -> Option<Material> {
    if reader.has_table(path) {
        return Some(own_material(reader, path));
    }
    if !reader.has(path) {
        return None;
    }
    let word = reader.text(path)?;
    if let Some((problem, hint)) = word::refused(Kind::Material, &word) {
        reader.mistake(path, problem, hint);
    }
    let metal = library::find(&word)?;
    if metal.yield_mpa.range.is_some() && metal.ultimate_mpa.range.is_some() {
        reader.note(path, SpreadKind::UnknownMaterial, metal.material().yield_mpa);
        reader.unknown_metals.push((path.to_owned(), metal));
    }
    Some(metal.material())
}

fn own_material(reader: &mut Reader, table: &str) -> Material {
    let path = |name: &str| format!("{table}.{name}");
    let name = if reader.has(&path("name")) {
        reader.text(&path("name")).unwrap_or_default()
    } else {
        reader.missing(&path("name"));
        String::new()
    };
    if reader.has(&path("source")) {
        // Kept in the file for the reader's sake; only its type is judged.
        let _: Option<String> = reader.text(&path("source"));
    }
    let ultimate_mpa = reader.required(&path("ultimate_mpa"));
    // A metal of the library told with one value changed keeps its name: it is of the same alloy.
    let lot = library::named(&name).and_then(|metal| metal.lot);
    let material = Material {
        name,
        youngs_modulus_mpa: reader.required(&path("youngs_modulus_mpa")),
        poisson_ratio: reader.required(&path("poisson_ratio")),
        density_g_cm3: reader.required(&path("density_g_cm3")),
        yield_mpa: reader.required(&path("yield_mpa")),
        ultimate_mpa,
        shear_ultimate_mpa: reader
            .optional(&path("shear_ultimate_mpa"))
            .unwrap_or_else(|| usual_shear_mpa(&path("shear_ultimate_mpa"), ultimate_mpa)),
        elongation: reader.optional(&path("elongation")),
        reduction_of_area: reader.optional(&path("reduction_of_area")),
        lot,
    };
    for (key, value) in
        [("yield_mpa", material.yield_mpa), ("shear_ultimate_mpa", material.shear_ultimate_mpa)]
    {
        if value > ultimate_mpa {
            let problem = Problem::DoesNotFit(Misfit::OverUltimate { found_mpa: value, ultimate_mpa });
            reader.mistake(&path(key), problem, None);
        }
    }
    material
}

/// What stands in the place of a shear strength that is not given, MPa.
fn usual_shear_mpa(path: &str, ultimate_mpa: f64) -> f64 {
    match keys::find(path).map(|key| key.need) {
        Some(Need::Else(Fallback::OfUltimate(share))) => share * ultimate_mpa,
        _ => f64::NAN,
    }
}

/// How deep a pin is engaged of which a set says only that it is half shut, mm: half way into the notch, told to a tenth.
fn usual_engaged_mm(nose: &Nose) -> f64 {
    (5.0 * nose.notch_depth_mm).round() / 10.0
}

fn engaged_mm(reader: &mut Reader, nose: &Nose) -> f64 {
    if reader.is_set("rig.gate") && !reader.has("rig.engaged_mm") {
        reader.taken.push(Taken::HalfEngaged);
        return usual_engaged_mm(nose);
    }
    reader.required("rig.engaged_mm")
}

fn rig(reader: &mut Reader, nose: &Nose) -> Rig {
    let load_kn = reader.or_fallback("rig.load_kn");
    let gate = match reader.choice("rig.gate") {
        "half" => GateState::Half { engaged_mm: engaged_mm(reader, nose) },
        state => {
            if reader.optional("rig.engaged_mm").is_some() {
                reader.taken.push(Taken::IdleEngaged);
            }
            if state == "open" { GateState::Open } else { GateState::Closed }
        }
    };
    Rig {
        load_kn,
        gate,
        friction: reader.or_fallback("rig.friction"),
        upper: loader(reader, "rig.upper"),
        lower: loader(reader, "rig.lower"),
    }
}

fn loader(reader: &mut Reader, table: &str) -> Loader {
    let path = |name: &str| format!("{table}.{name}");
    let kind = reader.choice(&path("kind"));
    let offset_mm = reader.or_fallback(&path("offset_mm"));
    if kind == "bar" {
        for key in ["width_mm", "stiffness_n_per_mm2", "strap_strength_kn"] {
            reader.unused(&path(key), Unused::OfStrap);
        }
        return Loader::Bar { diameter_mm: reader.required(&path("diameter_mm")), offset_mm };
    }
    reader.unused(&path("diameter_mm"), Unused::OfBar);
    Loader::Strap {
        width_mm: reader.or_fallback(&path("width_mm")),
        offset_mm,
        stiffness_n_per_mm2: reader.or_fallback(&path("stiffness_n_per_mm2")),
        strength_kn: reader.optional(&path("strap_strength_kn")),
    }
}
