//! Which rigs would have reached what is marked on the connector, or that none would. A rig whose straps would not stay where
//! they lie reaches nothing.

use super::causes::{Cause, OFFSET};
use report::numbers::{kilonewtons, typed};
use serde::Serialize;
use solver::causes::{Outcome, Parts, Scan};
use solver::rig::{GateState, Loader, Rig};
use solver::seats::Seating;
use solver::system::System;
use study::Case;
use study::model::Model;

/// Straps that are tried in the middle, mm.
const WIDTHS_MM: [f64; 3] = [12.0, 25.0, 40.0];
/// Rests of one kind of load that are tried.
const MOST_RESTS: usize = 4;
/// Places nearer to each other than this are one place, mm.
const SAME_MM: f64 = 0.6;
/// Points that a scan of offsets is read at.
const POINTS: u32 = 240;

/// A kind of rig that reaches a marking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReachedBy {
    /// The rig in words.
    pub rig: String,
    /// Highest load of these rigs, kN.
    pub up_to_kn: f64,
}

/// What reaches a marking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MarkingReach {
    /// `closed` or `open`.
    pub gate: &'static str,
    /// The marking, kN.
    pub marked_kn: f64,
    /// Rigs that reach it; empty when none that was tried does.
    pub reached_by: Vec<ReachedBy>,
    /// Highest load of all rigs that were tried and stay where they lie, kN.
    pub highest_kn: f64,
    /// The finding in a sentence.
    pub sentence: String,
}

/// A rig to try.
pub struct Tried {
    gate: GateState,
    at: At,
    /// What to solve.
    pub setting: Case,
}

/// Where the loads of a rig lie.
enum At {
    /// The model's own at an offset of the upper one, mm, the lower as far from it as entered.
    Together(f64),
    /// A single place, in words.
    Place(String),
}

impl Tried {
    /// Whether another one is the same loads at the same place, but for what no eye tells apart.
    fn is(&self, other: &Self) -> bool {
        let ends = |t: &Self| [t.setting.rig.upper, t.setting.rig.lower];
        let same = |(a, b): (Loader, Loader)| {
            a.placed(0.0) == b.placed(0.0) && (a.offset_mm() - b.offset_mm()).abs() < SAME_MM
        };
        self.gate == other.gate && ends(self).into_iter().zip(ends(other)).all(same)
    }
}

fn markings(model: &Model) -> Vec<(GateState, f64)> {
    let closed = model.marking.closed_kn.map(|kn| (GateState::Closed, kn));
    let open = model.marking.open_kn.map(|kn| (GateState::Open, kn));
    closed.into_iter().chain(open).collect()
}

/// The rigs to try: the model's own loads at the offsets that fit, together, one by one and diagonal, and where they come to rest;
/// straps of some widths in the middle and where they rest.
pub fn wanted(model: &Model, nominal: &Case, causes: &[Cause], system: &System) -> Vec<Tried> {
    let mut all = Vec::new();
    for (gate, _) in markings(model) {
        let at_gate = |mut setting: Case| {
            setting.rig.gate = gate;
            setting
        };
        let (own, between) =
            (model.rig.upper.offset_mm(), model.rig.lower.offset_mm() - model.rig.upper.offset_mm());
        let mut offsets = vec![own];
        if let Some(both) = causes.first().filter(|c| c.family == OFFSET) {
            offsets.extend(&both.values);
        }
        for mm in offsets {
            let mut setting = at_gate(nominal.clone());
            setting.rig.upper = setting.rig.upper.placed(mm);
            setting.rig.lower = setting.rig.lower.placed(mm + between);
            all.push(Tried { gate, at: At::Together(mm), setting });
        }
        let start = at_gate(nominal.clone());
        for cause in causes.iter().skip(1).filter(|c| c.family == OFFSET) {
            for setting in cause.values.iter().filter_map(|mm| (cause.apply)(&start, *mm)) {
                let words = at_in_words(&setting.rig);
                all.push(Tried { gate, at: At::Place(words), setting });
            }
        }
        all.extend(at_rest(gate, &start, start.rig, system));
        for width in WIDTHS_MM {
            let strap = |loader: Loader| match loader {
                Loader::Strap { stiffness_n_per_mm2, strength_kn, .. } => {
                    Some(Loader::Strap { width_mm: width, offset_mm: 0.0, stiffness_n_per_mm2, strength_kn })
                }
                // A bench with bars has no straps to try.
                Loader::Bar { .. } => None,
            };
            let mut setting = at_gate(nominal.clone());
            if let (Some(upper), Some(lower)) = (strap(setting.rig.upper), strap(setting.rig.lower)) {
                (setting.rig.upper, setting.rig.lower) = (upper, lower);
                let rests = at_rest(gate, &setting, setting.rig, system);
                let words = format!("{width:.0} mm straps in the middle");
                all.push(Tried { gate, at: At::Place(words), setting });
                all.extend(rests);
            }
        }
    }
    let mut apart: Vec<Tried> = Vec::new();
    for tried in all {
        if matches!(tried.at, At::Together(_)) || apart.iter().all(|other| !tried.is(other)) {
            apart.push(tried);
        }
    }
    apart
}

/// A rig wherever its loads come to rest without friction.
fn at_rest(gate: GateState, start: &Case, rig: Rig, system: &System) -> Vec<Tried> {
    let Some(seating) = Seating::on(system, &rig) else { return Vec::new() };
    let rests = seating.rests().0.into_iter().take(MOST_RESTS);
    rests
        .map(|rest| {
            let mut setting = start.clone();
            setting.rig = rig.placed(rest.upper_mm, rest.lower_mm);
            let words = format!("{}, where they come to rest", at_in_words(&setting.rig));
            Tried { gate, at: At::Place(words), setting }
        })
        .collect()
}

/// Whether friction `holds` the model's own straps at offsets of the upper one, the lower as far from it as entered.
fn held_together(model: &Model, system: &System, holds: f64) -> impl Fn(f64) -> bool {
    let rig = model.rig;
    let seating = Seating::on(system, &rig);
    let between = rig.lower.offset_mm() - rig.upper.offset_mm();
    move |mm| {
        let needed = seating.as_ref().map_or([0.0; 2], |seating| seating.friction_needed(mm, mm + between));
        // A bench holds its bars.
        let strap = |(loader, needed): &(Loader, f64)| match loader {
            Loader::Strap { .. } => *needed <= holds,
            Loader::Bar { .. } => true,
        };
        [rig.upper, rig.lower].into_iter().zip(needed).all(|end| strap(&end))
    }
}

/// What the tried rigs came to, where friction `holds` straps that need no more.
pub fn marking(
    model: &Model,
    (tried, outcomes): (&[Tried], &[Option<&Outcome>]),
    parts: &Parts,
    (system, holds): (&System, f64),
) -> Vec<MarkingReach> {
    let held = held_together(model, system, holds);
    markings(model)
        .into_iter()
        .map(|(gate, marked_kn)| {
            let load = |outcome: &Outcome| parts.ending(outcome).peak_kn;
            let of_gate = || {
                tried.iter().zip(outcomes).filter_map(|(t, o)| o.map(|o| (t, o))).filter(|t| t.0.gate == gate)
            };
            let mut scan = Scan::default();
            for (tried, outcome) in of_gate() {
                if let At::Together(mm) = tried.at {
                    scan.add(mm, outcome.clone());
                }
            }
            let mut reached_by = Vec::new();
            let mut highest_kn = 0.0_f64;
            // The model's own loads: ranges of offsets.
            let mut open: Option<([f64; 2], f64)> = None;
            let [low, high] = scan.range();
            for i in 0..=POINTS {
                let mm = low + (high - low) * f64::from(i) / f64::from(POINTS);
                let kn = scan.at(mm).filter(|_| held(mm)).map_or(0.0, |o| load(&o));
                highest_kn = highest_kn.max(kn);
                if kn >= marked_kn {
                    let (range, most) = open.get_or_insert(([mm, mm], kn));
                    range[1] = mm;
                    *most = most.max(kn);
                }
                if let (true, Some((range, up_to_kn))) = (kn < marked_kn || i == POINTS, open) {
                    reached_by.push(ReachedBy { rig: offsets_in_words(model, range), up_to_kn });
                    open = None;
                }
            }
            // Of each load the strongest place; of the model's own only one that is stronger than those ranges.
            let loads_of = |rig: &Rig| [rig.upper.placed(0.0), rig.lower.placed(0.0)];
            let own = loads_of(&model.rig);
            let mut places: Vec<([Loader; 2], &str, f64)> = Vec::new();
            for (tried, outcome) in of_gate().filter(|t| t.1.friction_lacks <= 0.0) {
                let At::Place(words) = &tried.at else { continue };
                let (kn, load) = (load(outcome), loads_of(&tried.setting.rig));
                match places.iter_mut().find(|p| p.0 == load) {
                    Some(place) if place.2 >= kn => {}
                    Some(place) => *place = (load, words, kn),
                    None => places.push((load, words, kn)),
                }
            }
            let ranges_kn = highest_kn;
            for (load, words, kn) in places {
                highest_kn = highest_kn.max(kn);
                if kn >= marked_kn && (load != own || kn > ranges_kn) {
                    reached_by.push(ReachedBy { rig: words.to_owned(), up_to_kn: kn });
                }
            }
            let gate = gate.word();
            let sentence = sentence(gate, marked_kn, &reached_by, highest_kn);
            MarkingReach { gate, marked_kn, reached_by, highest_kn, sentence }
        })
        .collect()
}

/// Both loads, without where they lie: "12 mm straps", "a 16 mm strap above and a 12 mm strap below".
fn loads_in_words(rig: &Rig) -> String {
    let one = |load: Loader| match load {
        Loader::Strap { width_mm, .. } => format!("{} mm strap", typed(width_mm)),
        Loader::Bar { diameter_mm, .. } => format!("{} mm bar", typed(diameter_mm)),
    };
    let [above, below] = [one(rig.upper), one(rig.lower)];
    if above == below { format!("{above}s") } else { format!("a {above} above and a {below} below") }
}

/// Both loads and where they lie.
fn at_in_words(rig: &Rig) -> String {
    format!(
        "{}, the upper at {:+.1} and the lower at {:+.1} mm",
        loads_in_words(rig),
        rig.upper.offset_mm(),
        rig.lower.offset_mm()
    )
}

fn offsets_in_words(model: &Model, range: [f64; 2]) -> String {
    let load = loads_in_words(&model.rig);
    let diagonal = model.rig.upper.offset_mm() != model.rig.lower.offset_mm();
    let which = if diagonal { "whose upper one lies" } else { "that both lie" };
    if range[1] - range[0] < 0.05 {
        return format!("{load} {which} at {:+.1} mm", range[0]);
    }
    format!("{load} {which} from {:+.1} to {:+.1} mm", range[0], range[1])
}

fn sentence(gate: &str, marked_kn: f64, reached_by: &[ReachedBy], highest_kn: f64) -> String {
    let marked = format!("The {} marked for the gate {gate}", kilonewtons(marked_kn));
    if reached_by.is_empty() {
        return format!(
            "{marked} is not reached by any rig that was tried and whose straps friction keeps; the highest gives \
             {}.",
            kilonewtons(highest_kn)
        );
    }
    let rigs: Vec<String> =
        reached_by.iter().map(|r| format!("{} (up to {})", r.rig, kilonewtons(r.up_to_kn))).collect();
    format!("{marked} would be reached by {}.", rigs.join(", and by "))
}
