//! Which rigs would have reached what is marked on the connector, or that none would. A rig whose straps would not stay where
//! they lie reaches nothing.

use super::causes::Cause;
use crate::Case;
use crate::model::Model;
use solver::causes::{Outcome, Parts, Scan};
use solver::rig::{GateState, Loader, Rig};
use solver::seats::Seating;
use solver::system::System;

/// Straps that are tried in the middle, mm.
const WIDTHS_MM: [f64; 3] = [12.0, 25.0, 40.0];
/// Rests of one kind of load that are tried.
const MOST_RESTS: usize = 4;
/// Places nearer to each other than this are one place, mm.
const SAME_MM: f64 = 0.6;
/// Points that a scan of offsets is read at.
const POINTS: u32 = 240;

/// Rigs of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rigs {
    /// The rig as entered with its loads moved together, the upper one from the first to the second offset, mm.
    Together(Rig, [f64; 2]),
    /// One rig whose loads lie where they were placed.
    Placed(Rig),
    /// One rig whose loads lie where they come to rest without friction.
    AtRest(Rig),
    /// Straps of this width, mm, in the middle.
    InTheMiddle(f64),
}

/// A kind of rig that reaches a marking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReachedBy {
    /// The rigs.
    pub rigs: Rigs,
    /// Highest load of these rigs, kN.
    pub up_to_kn: f64,
}

/// What reaches a marking.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkingReach {
    /// The state of the gate that it is marked for.
    pub gate: GateState,
    /// The marking, kN.
    pub marked_kn: f64,
    /// Rigs that reach it; empty when none that was tried does.
    pub reached_by: Vec<ReachedBy>,
    /// Highest load of all rigs that were tried and stay where they lie, kN.
    pub highest_kn: f64,
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
    /// A single place.
    Place(Rigs),
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
        if let Some(both) = causes.first().filter(|c| c.is_offset()) {
            offsets.extend(&both.values);
        }
        for mm in offsets {
            let mut setting = at_gate(nominal.clone());
            setting.rig.upper = setting.rig.upper.placed(mm);
            setting.rig.lower = setting.rig.lower.placed(mm + between);
            all.push(Tried { gate, at: At::Together(mm), setting });
        }
        let start = at_gate(nominal.clone());
        for cause in causes.iter().skip(1).filter(|c| c.is_offset()) {
            for setting in cause.values.iter().filter_map(|mm| (cause.apply)(&start, *mm)) {
                all.push(Tried { gate, at: At::Place(Rigs::Placed(setting.rig)), setting });
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
                all.push(Tried { gate, at: At::Place(Rigs::InTheMiddle(width)), setting });
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
            Tried { gate, at: At::Place(Rigs::AtRest(setting.rig)), setting }
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
                    reached_by.push(ReachedBy { rigs: Rigs::Together(model.rig, range), up_to_kn });
                    open = None;
                }
            }
            // Of each load the strongest place; of the model's own only one that is stronger than those ranges.
            let loads_of = |rig: &Rig| [rig.upper.placed(0.0), rig.lower.placed(0.0)];
            let own = loads_of(&model.rig);
            let mut places: Vec<([Loader; 2], Rigs, f64)> = Vec::new();
            for (tried, outcome) in of_gate().filter(|t| t.1.friction_lacks <= 0.0) {
                let At::Place(rigs) = tried.at else { continue };
                let (kn, load) = (load(outcome), loads_of(&tried.setting.rig));
                match places.iter_mut().find(|p| p.0 == load) {
                    Some(place) if place.2 >= kn => {}
                    Some(place) => *place = (load, rigs, kn),
                    None => places.push((load, rigs, kn)),
                }
            }
            let ranges_kn = highest_kn;
            for (load, rigs, kn) in places {
                highest_kn = highest_kn.max(kn);
                if kn >= marked_kn && (load != own || kn > ranges_kn) {
                    reached_by.push(ReachedBy { rigs, up_to_kn: kn });
                }
            }
            MarkingReach { gate, marked_kn, reached_by, highest_kn }
        })
        .collect()
}
