//! All limits of a connector under a rig, lowest first, and what they come to.
//!
//! Three things are kept apart: where the frame first yields (elastic, on the finite elements), where its sections have
//! yielded through (permanently bent, then open), and which part breaks first. Parts of the gate line are brittle beside the
//! frame, so their loads follow from the elastic split; the frame itself may shift load to the gate before it opens.

use super::capacity::{ByHand, Capacity, LimitKind};
use super::course::Course;
use super::cut_forces::{cuts_under, gate_parts, load_parts, open_load_parts_of};
use super::ending::ending;
use super::ends::Ends;
use super::failure_mode::FailureMode;
use super::formula::{Formula, Input, Quantity, input};
use super::frame_limit::{FrameLimit, FrameStatics};
use super::gate_line::{gate_line, gate_line_force_n};
use super::load_path::LoadPath;
use super::riding_out::riding_out;
use super::strap::strap_limits;
use super::strengths::Strengths;
use crate::findings::{first_yield_kn, frame_peak_mpa};
use crate::response::{Hold, Pull, Response, RigError};
use crate::rig::{GateState, Rig};
use crate::seats::strap_friction_needed;
use crate::sections::Cut;
use crate::system::System;
use geometry::curve::Point;
use geometry::outline::{Across, Along, Bar, FrameLocation};

/// Cuts within this part of the weakest one give way together.
const TOGETHER: f64 = 5e-3;

/// The load at which one part reaches its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The part.
    pub what: FailureMode,
    /// Load on the connector, kN; absent when no load of this rig brings it there (riding out: none up to the opening of the
    /// frame).
    pub at_kn: Option<f64>,
    /// How the limit shows.
    pub kind: LimitKind,
    /// By what it is computed.
    pub formula: Formula,
    /// What went in.
    pub inputs: Vec<Input>,
    /// The check by hand, where the limit is computed by finite elements on the part.
    pub by_hand: Option<ByHand>,
}

/// What fails first, and all limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// The part that fails first.
    pub fails_first: FailureMode,
    /// The load at which it does, kN.
    pub fails_at_kn: f64,
    /// How the pull ends.
    pub ends: Ends,
    /// Where the frame first yields, kN: elastic, the gate line taken as whole even beyond where it gives.
    pub first_yield_kn: Option<f64>,
    /// Where the frame is permanently bent, kN, the gate line bearing up to what it can.
    pub bends_at_kn: f64,
    /// What the hook holds once the gate no longer carries, kN.
    pub open_hook_kn: f64,
    /// Where the frame tears in the end; absent when the strap goes first.
    pub tears_at: Option<FrameLocation>,
    /// The point of the outline there, mm.
    pub tears_point_mm: Option<Point>,
    /// Where it may tear instead: the second of two cuts that have both yielded through when it opens.
    pub may_tear_at: Option<FrameLocation>,
    /// Every limit, lowest first; those that are never reached last.
    pub limits: Vec<Limit>,
    /// What the pull's story is told from.
    pub course: Course,
}

impl Limits {
    /// The load up to which nothing breaks, kN: less than the highest load where a part of the gate line breaks and the open hook
    /// still holds. A pin that only slips out of its notch leaves all parts whole.
    #[must_use]
    pub fn holds_kn(&self) -> f64 {
        match self.course.kind {
            LimitKind::Breaks => self.fails_at_kn,
            _ => self.peak_kn,
        }
    }

    /// Whether the pull goes on past the load at which a part of the gate line fails, on the open hook alone: every limit of
    /// another part above that load supposes that the first still holds.
    #[must_use]
    pub fn goes_on(&self) -> bool {
        matches!(self.course.kind, LimitKind::Breaks | LimitKind::Slips)
            && self.fails_at_kn > 0.0
            && self.peak_kn > self.fails_at_kn
    }

    /// The first yield, kN, of a frame that the limits say opens long before it: by the static theorem of limit analysis an elastic
    /// stress that yields nowhere can be carried, so one of the two numbers is wrong. Told below half only (engineering
    /// judgement): a trusted peak and a strap's even pull may each be some percent off, a broken cut is off by far more.
    #[must_use]
    pub fn contradicting_yield_kn(&self) -> Option<f64> {
        let opens = self.course.kind == LimitKind::Opens;
        self.first_yield_kn.filter(|yields_kn| opens && self.fails_at_kn < 0.5 * yields_kn)
    }
}

/// All limits of a system under a rig. A half-shut gate must be half shut in the system's outline too. The rig's load is
/// only where the search for first yield begins.
///
/// ```
/// # use geometry::connector::{Connector, GatePlace};
/// # use solver::material::Materials;
/// # use solver::system::{System, SystemSettings};
/// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
/// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
/// use solver::rig::{GateState, Rig};
/// use solver::strength::{Strengths, limits};
///
/// let strengths = Strengths::new(&system.connector, &Materials::example());
/// let closed = limits(&system, &strengths, &Rig::example()).unwrap();
/// let open = limits(&system, &strengths, &Rig { gate: GateState::Open, ..Rig::example() }).unwrap();
/// // A connector pulled with its gate open is a hook.
/// assert!(open.peak_kn < 0.5 * closed.peak_kn);
/// assert_eq!(open.peak_kn, closed.open_hook_kn);
/// ```
///
/// # Errors
/// [`RigError`]: a rig that does not fit, or that no forces balance.
pub fn limits(system: &System, strengths: &Strengths, rig: &Rig) -> Result<Limits, RigError> {
    let mut pull = Pull::new(system, rig)?;
    let response = pull.respond(rig.load_kn)?;
    limits_of(&mut pull, strengths, &response)
}

/// As [`limits`], for a pull of which one response is known already.
///
/// # Errors
/// As [`limits`].
pub fn limits_of(
    pull: &mut Pull<'_>,
    strengths: &Strengths,
    response: &Response,
) -> Result<Limits, RigError> {
    let first_yield = first_yield_of(pull, strengths.materials.frame.yield_mpa, response)?;
    let yields = Limit {
        what: FailureMode::FrameYields,
        at_kn: first_yield,
        kind: LimitKind::Yields,
        formula: Formula::FirstYield,
        inputs: vec![input(Quantity::YieldStrength, strengths.materials.frame.yield_mpa, "MPa")],
        by_hand: None,
    };
    with_first_yield(pull, strengths, &response.rig, Some(yields))
}

/// The same without the frame's first yield, which takes longer than all the rest and on which nothing turns that ends a pull:
/// [`Limits::first_yield_kn`] is `None`, and none of the limits is of [`LimitKind::Yields`].
///
/// # Errors
/// As [`limits`].
pub fn limits_without_yield(
    pull: &mut Pull<'_>,
    strengths: &Strengths,
    rig: &Rig,
) -> Result<Limits, RigError> {
    with_first_yield(pull, strengths, rig, None)
}

/// All limits, the frame's first yield solved before or left out.
fn with_first_yield(
    pull: &mut Pull<'_>,
    strengths: &Strengths,
    rig: &Rig,
    first_yield: Option<Limit>,
) -> Result<Limits, RigError> {
    let (system, held) = (pull.system(), pull.hold());
    let parts = if held.holds() { gate_line(system, strengths, rig.friction) } else { Vec::new() };
    let cuts = &*cuts_under(system, rig);
    let open = Frame::open(pull, rig, cuts)?;
    let frame = if held.holds() { Frame::closed(system, rig, cuts) } else { open.clone() };
    let capacity_n = if parts.is_empty() { 0.0 } else { gate_line_force_n(&parts) };
    let (yields, flow) = (strengths.materials.frame.yield_mpa, strengths.frame_flow_mpa());
    let bends = frame.statics().limit(capacity_n, yields);
    let mut opens = frame.statics().limit(capacity_n, flow);
    let hook = open.statics().limit(0.0, flow);
    let hook_bends = open.statics().limit(0.0, yields);
    let first_yield_kn = first_yield.as_ref().and_then(|limit| limit.at_kn);

    let mut all: Vec<Limit> = first_yield.into_iter().collect();
    let mut path = match held.holds() {
        true => Some(LoadPath::new(pull, 1e-3 * opens.load_n)?),
        false => None,
    };
    if let Some(path) = &mut path {
        let share = path.solve(1e-3 * opens.load_n)?.gate_fraction;
        opens = frame.statics().first_there(opens, share, flow);
        for part in &parts {
            all.push(part_limit(part, path)?);
        }
    }
    if rig.gate != GateState::Open {
        all.push(slip_limit(system, rig, held, path.as_mut(), 1e-3 * opens.load_n)?);
    }
    all.push(frame.limit(FailureMode::FrameBends, LimitKind::Bends, bends, yields, Quantity::YieldStrength));
    all.push(frame.limit(
        FailureMode::FrameOpens,
        LimitKind::Opens,
        opens,
        flow,
        strengths.flow_is(Quantity::JudgedFlowStress),
    ));
    all.extend(strap_limits(rig).into_iter().map(|(end, strength, inputs)| Limit {
        what: FailureMode::Strap(end),
        at_kn: Some(strength),
        kind: LimitKind::Strap,
        formula: Formula::StrapAsGiven,
        inputs,
        by_hand: None,
    }));
    all.sort_by(|a, b| a.at_kn.unwrap_or(f64::INFINITY).total_cmp(&b.at_kn.unwrap_or(f64::INFINITY)));

    let open_hook_kn = 1e-3 * hook.load_n;
    let ends_pull = |l: &&Limit| !matches!(l.kind, LimitKind::Yields | LimitKind::Bends);
    // The frame always opens at some load: there is always a first.
    let first = all.iter().filter(|l| l.at_kn.is_some()).find(ends_pull);
    let (what, kind, fails_at_kn) = first.map_or_else(
        || (FailureMode::FrameOpens, LimitKind::Opens, 1e-3 * opens.load_n),
        |l| (l.what, l.kind, l.at_kn.unwrap_or_default()),
    );
    let strap = strap_limits(rig).into_iter().map(|s| s.1).fold(f64::INFINITY, f64::min);
    let gate_goes = matches!(kind, LimitKind::Breaks | LimitKind::Slips);
    let (peak_kn, ends) = ending(kind, fails_at_kn, open_hook_kn, strap);
    let tears_at = match ends {
        Ends::Strap => None,
        _ if gate_goes => Some(open.place(system, hook, flow)),
        _ => Some(frame.place(system, opens, flow)),
    };
    let tears_point_mm = tears_at.is_some().then(|| match gate_goes {
        true => open.stretched_side(hook, hook.cut),
        false => frame.stretched_side(opens, opens.cut),
    });
    let second = frame.statics().second_there(opens, flow);
    let may_tear_at = second
        .filter(|_| tears_at.is_some() && !gate_goes)
        .map(|cut| frame.place(system, FrameLimit { cut, ..opens }, flow))
        .filter(|place| tears_at != Some(*place));
    let gate_fraction = match &mut path {
        Some(path) if fails_at_kn > 0.0 => path.solve(fails_at_kn)?.gate_fraction,
        _ => 0.0,
    };
    let course = Course {
        kind,
        gate_fraction,
        gate: rig.gate,
        friction: rig.friction,
        held,
        hook_bends_kn: 1e-3 * hook_bends.load_n,
        slides: slides(system, rig),
        // Beyond the end of the pull nothing is told but where parts would go.
        unsettled_from_kn: path.as_ref().and_then(LoadPath::unsettled_from_kn).filter(|kn| *kn <= peak_kn),
    };
    Ok(Limits {
        peak_kn,
        fails_first: what,
        fails_at_kn,
        ends,
        first_yield_kn,
        bends_at_kn: 1e-3 * bends.load_n,
        open_hook_kn,
        tears_at,
        tears_point_mm,
        may_tear_at,
        limits: all,
        course,
    })
}

/// Friction that each strap needs to stay where the rig puts it, where that is more than may be relied on.
fn slides(system: &System, rig: &Rig) -> [Option<f64>; 2] {
    strap_friction_needed(system, rig).map(|needed| needed.filter(|n| *n > rig.friction_holds()))
}

fn first_yield_of(pull: &mut Pull<'_>, yield_mpa: f64, response: &Response) -> Result<Option<f64>, RigError> {
    match frame_peak_mpa(pull.system(), response) {
        Some(peak) => first_yield_kn(pull, yield_mpa, (response.rig.load_kn, peak)),
        None => Ok(None),
    }
}

/// The load at which the gate line carries what one of its parts holds.
fn part_limit(part: &Capacity, path: &mut LoadPath<'_, '_>) -> Result<Limit, RigError> {
    let mut inputs = vec![input(Quantity::ForceAlongPins, 1e-3 * part.force_n, "kN")];
    inputs.extend(part.inputs.iter().cloned());
    Ok(Limit {
        what: part.what,
        at_kn: path.load_at(part.force_n, &|s| s.nose_n)?,
        kind: part.kind,
        formula: part.formula,
        inputs,
        by_hand: part.by_hand(),
    })
}

fn slip_limit(
    system: &System,
    rig: &Rig,
    held: Hold,
    path: Option<&mut LoadPath<'_, '_>>,
    opens_kn: f64,
) -> Result<Limit, RigError> {
    let (at_kn, inputs) = match (held, path) {
        (_, Some(path)) => {
            let found = riding_out(system, rig.friction, path, opens_kn)?;
            (found.leaves_at_kn, found.inputs)
        }
        // Leaning out past the friction angle it is never held.
        (Hold::NotHeld(lean), None) => {
            (Some(0.0), vec![input(Quantity::LeanTowardMouth, lean.to_degrees(), "deg")])
        }
        (_, None) => (None, Vec::new()),
    };
    Ok(Limit {
        what: FailureMode::RidesOut,
        at_kn,
        kind: LimitKind::Slips,
        formula: Formula::RidingOut,
        inputs,
        by_hand: None,
    })
}

/// The frame's cuts under a rig.
#[derive(Clone)]
struct Frame<'a> {
    cuts: &'a [Cut],
    load: Vec<[f64; 2]>,
    gate: Vec<[f64; 2]>,
}

impl<'a> Frame<'a> {
    /// With a gate that carries.
    fn closed(system: &System, rig: &Rig, cuts: &'a [Cut]) -> Self {
        Self { cuts, load: load_parts(system, rig, cuts), gate: gate_parts(system, cuts) }
    }

    /// With a gate that does not.
    fn open(pull: &mut Pull<'_>, rig: &Rig, cuts: &'a [Cut]) -> Result<Self, RigError> {
        Ok(Self { cuts, load: open_load_parts_of(pull, rig, cuts)?, gate: gate_parts(pull.system(), cuts) })
    }

    fn statics(&self) -> FrameStatics<'_> {
        FrameStatics {
            sections: self.cuts.iter().map(|c| &c.limit).collect(),
            load: self.load.clone(),
            gate: self.gate.clone(),
        }
    }

    /// Axial force in N and moment in N mm in one cut.
    fn forces(&self, at: FrameLimit, cut: usize) -> [f64; 2] {
        [0, 1].map(|i| at.load_n * self.load[cut][i] + at.gate_n * self.gate[cut][i])
    }

    fn limit(
        &self,
        what: FailureMode,
        kind: LimitKind,
        at: FrameLimit,
        strength: f64,
        strength_is: Quantity,
    ) -> Limit {
        let [axial, moment] = self.forces(at, at.cut);
        let section = &self.cuts[at.cut].limit;
        Limit {
            what,
            at_kn: Some(1e-3 * at.load_n),
            kind,
            formula: Formula::FrameStatics,
            inputs: vec![
                input(strength_is, strength, "MPa"),
                input(Quantity::GateForce, 1e-3 * at.gate_n, "kN"),
                input(Quantity::AxialForce, 1e-3 * axial, "kN"),
                input(Quantity::Moment, 1e-3 * moment, "N m"),
                input(Quantity::WeakestCutArea, section.area_mm2(), "mm^2"),
                input(Quantity::PlasticModulus, section.plastic_modulus_mm3(), "mm^3"),
            ],
            by_hand: None,
        }
    }

    /// The end of a cut on its stretched side.
    fn stretched_side(&self, at: FrameLimit, cut: usize) -> Point {
        let [_, moment] = self.forces(at, cut);
        let cut = &self.cuts[cut];
        if moment >= 0.0 { cut.inner } else { cut.outer }
    }

    /// Where the frame tears: the stretched side of the weakest cut.
    fn place(&self, system: &System, at: FrameLimit, strength: f64) -> FrameLocation {
        let location = |cut: usize| system.outline.frame_location(self.stretched_side(at, cut));
        let weakest = location(at.cut);
        let together: Vec<FrameLocation> = (0..self.cuts.len())
            .filter(|i| {
                let [n, m] = self.forces(at, *i);
                self.cuts[*i].limit.factor(n, m, strength) < 1.0 + TOGETHER
            })
            .map(location)
            .collect();
        // The moment is the same all along the spine of an even pull: then either of its corners may go.
        let spine = |along| FrameLocation::Bar(Bar::Spine, along, Across::Inner);
        let both = [Along::Start, Along::End].map(spine);
        if both.contains(&weakest) && both.iter().all(|b| together.contains(b)) {
            spine(Along::EitherEnd)
        } else {
            weakest
        }
    }
}
