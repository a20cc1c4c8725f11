//! The part that carries the notch, cut out around it: its mesh, and where the pin presses.
//!
//! Forces are those of the mesh used here, which falls toward the patch's ends: a patch of 0.7 mm and 25 degrees on even edges
//! of 0.22 radii holds 12 % too much.

use super::linear::Linear;
use super::metal::Metal;
use super::programme::{Flow, Row, least_dissipation};
use crate::plane::PlaneError;
use geometry::connector::{Connector, LipOn, SectionShape};
use geometry::curve::{Curve, Point};
use geometry::mesh::{Mesh, MeshError, MeshSettings, triangulate};
use geometry::outline::{Circle, DEFAULT_FLOOR, Notch, Outline};
use geometry::region::{Piece, Region, Stretch};
use thiserror::Error;

/// Where the pin presses. Under a pin that is seated it is measured from the place where flank and round end meet. Under one
/// that stands further out the round end's share goes and the flank's comes to lie even about the pin's foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Flank toward the mouth, mm.
    pub flank_mm: f64,
    /// Round end beyond it, degrees.
    pub arc_deg: f64,
}

/// Why a part could not be solved. Displayed as it is held, for logs.
#[derive(Clone, Debug, Error)]
#[error("{self:?}")]
pub enum PlasticError {
    /// The part could not be meshed.
    Mesh(#[from] MeshError),
    /// The flow could not be found.
    Plane(#[from] PlaneError),
    /// The notch is not near the end of a bar.
    NotLocal,
    /// No node lies under the pin.
    NoContact,
    /// The forces from above and from weak equilibrium did not meet.
    Unsettled {
        /// Their difference over the upper one, percent.
        percent: f64,
    },
}

/// Which metal may flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flowing {
    /// All of the part: the least force, whichever mechanism it takes.
    All,
    /// Not the lip, which is made ten times as strong: what the rest of the nose holds.
    Root,
}

/// Collapse of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collapse {
    /// Force along the line of the pins, N, from the velocities.
    pub force_n: f64,
    /// The same from the stress in weak equilibrium, N.
    pub dual_n: f64,
    /// Where the pin pressed.
    pub patch: Patch,
    /// Factorizations.
    pub iterations: usize,
    /// Triangles.
    pub triangles: usize,
}

/// Edge lengths in radii of the notch's round end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Along flank and round end.
    pub at_notch: f64,
    /// Where a patch ends that is given: the flow turns sharply there, and coarser edges hold up to 4 % more, by up to 3 % more
    /// or less from one mesh to the next.
    pub at_ends: f64,
}

/// Under a patch that is given.
pub(super) const FINE_ON_A_PATCH: Fineness = Fineness { at_notch: 0.16, at_ends: 0.02 };
/// As the pin beds in, where nodes that come and go under it would be felt.
pub const FINE_IN_BEDDING: Fineness = Fineness { at_notch: 0.16, at_ends: 0.16 };
/// For the root, which gives as a bar does.
const FINE_AT_ROOT: Fineness = Fineness { at_notch: 0.35, at_ends: 0.35 };
/// Growth of edges away from it, mm per mm, in the metal that the pin presses: how finely the mechanism is followed through
/// the lip decides by how much the limit moves from one mesh to the next (0.34 moves it by up to 1.7 %, this by half).
const GROWTH: f64 = 0.22;
/// The same above the notch of a frame, where hardly anything flows with a lip.
const GROWTH_ABOVE: f64 = 0.55;
/// The same above the notch of a gate, which is slender enough to give there.
const GROWTH_ABOVE_IN_GATE: f64 = 0.15;
/// The same away from where a patch ends.
const GROWTH_AT_ENDS: f64 = 0.3;
/// Longest edge, in radii of the round end.
const COARSE: f64 = 3.0;
/// Reach of the part about the notch, in depths of the leg.
const REACH: f64 = 1.25;
/// Largest difference of the two sides of a settled limit load, as a part of it: ten times what the programme ends at.
const SETTLED: f64 = 2e-3;
/// Name of the straight cut that the part is held at.
const CUT: Stretch = Stretch::NoseRoot;
/// Steps in which a piece of outline is walked.
const WALK: u32 = 48;
/// Steps in which a piece of outline is looked at to tell one shape from another.
const KEY_STEPS: u32 = 6;
/// A pin whose foot is nearer to the round end than this lies against it: rounding is no distance, mm.
pub(super) const SEATED_MM: f64 = 1e-6;
/// How many times as strong a lip is that must not flow.
const STRONG: f64 = 10.0;

/// A notch with the metal around it, meshed.
#[derive(Debug)]
pub struct NosePart {
    /// Metal of strength 1 MPa.
    pub(super) metal: Metal,
    pub(super) linear: Linear,
    pub(super) notch: Notch,
    /// Direction of the pin's pull.
    pub(super) pull: Point,
    /// Friction lets a seated pin press into the notch at least so far off the square to the flank, rad.
    pub(super) least_lean: f64,
    /// Nodes of lip flank and round end.
    pub(super) surface: Vec<Surface>,
}

/// A node of lip flank or round end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Surface {
    pub node: u32,
    /// Unit normal into the metal.
    pub normal: Point,
    /// Mm of flank toward the mouth, or minus the angle along the round end, radians.
    pub place: f64,
    /// Its share of the surface, mm^2.
    pub share_mm2: f64,
}

pub(super) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn between(a: Point, b: Point) -> Point {
    [b[0] - a[0], b[1] - a[1]]
}

/// Cuts flank and round end where a patch ends, so that nodes stand there.
fn marked(region: &Region, notch: &Notch, marks: &[f64]) -> Region {
    let root = notch.lip_root();
    let from = root_angle(notch);
    let mut outside: Vec<Piece> = Vec::new();
    for piece in region.loops.first().into_iter().flatten() {
        let mut cuts: Vec<f64> = match (&piece.curve, piece.stretch) {
            (Curve::Line { to, .. }, Stretch::LipFlank) => {
                let length = dot(between(root, *to), notch.to_mouth);
                marks.iter().map(|m| m / length).collect()
            }
            (Curve::Arc { from: a, to: b, .. }, Stretch::NotchEnd) => {
                // The round end runs clockwise toward the flank.
                let turn = |angle: f64| (angle - from).rem_euclid(2.0 * std::f64::consts::PI);
                let start = turn(*a);
                marks.iter().filter(|m| **m < 0.0).map(|m| (start + m) / (a - b)).collect()
            }
            _ => Vec::new(),
        };
        cuts.retain(|t| (0.02..=0.98).contains(t));
        cuts.sort_by(f64::total_cmp);
        let mut last = 0.0;
        for t in cuts.into_iter().chain([1.0]) {
            outside.push(Piece { curve: piece.curve.part(last, t), stretch: piece.stretch });
            last = t;
        }
    }
    let mut loops = vec![outside];
    loops.extend(region.loops.iter().skip(1).cloned());
    Region { loops, lines: Vec::new() }
}

/// The point of flank or round end at a place, measured as [`Surface::place`].
fn at_place(notch: &Notch, place: f64) -> Point {
    if place >= 0.0 {
        let root = notch.lip_root();
        return [0, 1].map(|i| root[i] + place * notch.to_mouth[i]);
    }
    let (sin, cos) = (root_angle(notch) - place).sin_cos();
    let Circle { centre, radius } = notch.end;
    [centre[0] + radius * cos, centre[1] + radius * sin]
}

/// Angle of the place where lip flank and round end meet, seen from the end's centre.
fn root_angle(notch: &Notch) -> f64 {
    (-notch.from_lip[1]).atan2(-notch.from_lip[0])
}

/// The region within `reach` of the notch's closed end, closed by a straight cut that is named [`CUT`]; `None` where the
/// outline never goes that far.
fn within(region: &Region, notch: &Notch, reach: f64) -> Option<Region> {
    let outside = region.loops.first()?;
    let at = notch.closed_end();
    let beyond = |curve: &Curve, t: f64| {
        let [x, y] = between(at, curve.point(t));
        x.hypot(y) > reach
    };
    // Parameter at which a piece, run from `from` to `to`, leaves the reach.
    let leaves = |curve: &Curve, from: f64, to: f64| {
        let place = |k: u32| from + (to - from) * f64::from(k) / f64::from(WALK);
        let first = (0..=WALK).find(|k| beyond(curve, place(*k)))?;
        let (mut inside, mut outside) = (place(first.saturating_sub(1)), place(first));
        for _ in 0..50 {
            let middle = 0.5 * (inside + outside);
            if beyond(curve, middle) { outside = middle } else { inside = middle }
        }
        Some(inside)
    };
    let count = outside.len();
    let start = outside.iter().position(|p| p.stretch == Stretch::NotchEnd)?;
    let mut pieces = std::collections::VecDeque::new();
    let mut ahead = None;
    for k in 0..count {
        let piece = &outside[(start + k) % count];
        if let Some(t) = leaves(&piece.curve, 0.0, 1.0) {
            ahead = Some((k, t));
            pieces.push_back(Piece { curve: piece.curve.part(0.0, t), stretch: piece.stretch });
            break;
        }
        pieces.push_back(piece.clone());
    }
    let (last, t_ahead) = ahead?;
    for k in 1..=count {
        let behind = (start + count - k) % count;
        let piece = &outside[behind];
        let met = count - k <= last;
        let Some(t) = leaves(&piece.curve, 1.0, 0.0) else {
            if met {
                return None;
            }
            pieces.push_front(piece.clone());
            continue;
        };
        // A piece that leaves the reach and comes back is cut at both places.
        if met && t <= t_ahead {
            return None;
        }
        pieces.push_front(Piece { curve: piece.curve.part(t, 1.0), stretch: piece.stretch });
        break;
    }
    pieces.retain(|p| p.curve.length() > 1e-9);
    let (from, to) = (pieces.back()?.curve.point(1.0), pieces.front()?.curve.point(0.0));
    pieces.push_back(Piece { curve: Curve::Line { from, to }, stretch: CUT });
    let mut loops = vec![Vec::from(pieces)];
    let near = |hole: &&Vec<Piece>| hole.iter().all(|p| !beyond(&p.curve, 0.0));
    loops.extend(region.loops.iter().skip(1).filter(near).cloned());
    Some(Region { loops, lines: Vec::new() })
}

/// The part around the notch, cut from the body that carries it.
fn local(connector: &Connector, outline: &Outline) -> Result<Region, PlasticError> {
    let (region, depth) = match outline.lip_on {
        LipOn::Frame => (&outline.frame, connector.upper.depth_mm),
        LipOn::Gate => (&outline.gate, connector.gate.width_mm),
    };
    within(region, &outline.seats.notch, REACH * depth).ok_or(PlasticError::NotLocal)
}

/// Direction in which the pin pulls.
fn pull(outline: &Outline) -> Point {
    let line = between(outline.seats.nose_pin.centre, outline.seats.hinge_pin.centre);
    let sign = match outline.lip_on {
        LipOn::Frame => 1.0,
        LipOn::Gate => -1.0,
    };
    line.map(|x| sign * x / line[0].hypot(line[1]))
}

/// Breadth of the part where it is not lip.
fn block_breadth(connector: &Connector, outline: &Outline) -> impl Fn(Point) -> f64 {
    let field = match outline.lip_on {
        LipOn::Frame => Ok(outline.frame_breadth(connector, DEFAULT_FLOOR)),
        LipOn::Gate => Err(connector.gate.wall_thickness_mm()),
    };
    move |p| match &field {
        Ok(field) => field.at(p),
        Err(breadth) => *breadth,
    }
}

/// Everything that the limit of a lip depends on, as bits: outline, breadth and sections of the part, notch, pin and pull.
///
/// # Errors
/// [`PlasticError::NotLocal`].
pub(super) fn nose_shape(connector: &Connector, outline: &Outline) -> Result<Vec<u64>, PlasticError> {
    let region = local(connector, outline)?;
    let breadth = block_breadth(connector, outline);
    let (seats, nose) = (&outline.seats, &connector.nose);
    let Circle { centre, radius } = seats.nose_pin;
    let mut numbers = vec![radius, nose.lip_breadth_mm, nose.breadth_mm, seats.notch.inside_mouth_mm];
    numbers.extend([centre, pull(outline), seats.notch.to_mouth, seats.notch.end.centre].concat());
    for section in [connector.upper, connector.lower] {
        numbers.extend([section.depth_mm, section.breadth_mm]);
        match section.shape {
            SectionShape::Rectangle => numbers.push(0.0),
            SectionShape::Round => numbers.push(1.0),
            SectionShape::Oval => numbers.push(2.0),
            SectionShape::I { flange_mm, web_mm } => numbers.extend([3.0, flange_mm, web_mm]),
        }
    }
    for piece in region.loops.iter().flatten() {
        for k in 0..=KEY_STEPS {
            let p = piece.curve.point(f64::from(k) / f64::from(KEY_STEPS));
            numbers.extend([p[0], p[1], breadth(p)]);
        }
    }
    Ok(numbers.into_iter().map(f64::to_bits).collect())
}

impl NosePart {
    /// Meshes the part. `marks`: places on flank (mm toward the mouth) and round end (radians, negative) where nodes are
    /// wanted. The pin is smooth.
    ///
    /// # Errors
    /// [`PlasticError`] when the part gives no mesh or no matrix.
    pub fn new(
        connector: &Connector,
        outline: &Outline,
        marks: &[f64],
        flowing: Flowing,
        fine: Fineness,
    ) -> Result<Self, PlasticError> {
        let seats = &outline.seats;
        let notch = seats.notch;
        let local = local(connector, outline)?;
        let pull = pull(outline);
        let radius = notch.end.radius;
        let ends: Vec<Point> = marks.iter().map(|place| at_place(&notch, *place)).collect();
        let growth_above = match (outline.lip_on, flowing) {
            (LipOn::Gate, _) => GROWTH_ABOVE_IN_GATE,
            (LipOn::Frame, Flowing::All) => GROWTH_ABOVE,
            // Of the root it is that metal that flows.
            (LipOn::Frame, Flowing::Root) => GROWTH,
        };
        let size = |p: Point| {
            let along =
                dot(between(notch.end.centre, p), notch.to_mouth).clamp(0.0, notch.inside_mouth_mm.max(0.0));
            let nearest = [
                notch.end.centre[0] + along * notch.to_mouth[0],
                notch.end.centre[1] + along * notch.to_mouth[1],
            ];
            let away = ((p[0] - nearest[0]).hypot(p[1] - nearest[1]) - radius).max(0.0);
            let above = (dot(between(notch.end.centre, p), notch.from_lip) / radius).clamp(0.0, 1.0);
            let growth = GROWTH + above * (growth_above - GROWTH);
            let at_ends = ends.iter().map(|end| {
                let [x, y] = between(*end, p);
                fine.at_ends * radius + GROWTH_AT_ENDS * x.hypot(y)
            });
            let at_notch = (fine.at_notch * radius + growth * away).min(COARSE * radius);
            at_ends.fold(at_notch, f64::min)
        };
        let mesh = triangulate(&marked(&local, &notch, marks), &size, &MeshSettings::default())?;
        let held: Vec<u32> =
            mesh.boundary.iter().filter(|e| e.stretch == CUT).flat_map(|e| e.nodes).collect();
        let block = block_breadth(connector, outline);
        let (root, nose) = (notch.lip_root(), &connector.nose);
        let closed_end = notch.closed_end();
        let breadth = |p: Point| {
            let below = dot(between(root, p), notch.from_lip) < 0.0;
            let lip = below && dot(between(closed_end, p), notch.to_mouth) > 0.0;
            match (outline.lip_on, flowing) {
                (_, Flowing::Root) if below => STRONG * block(p),
                (LipOn::Frame, Flowing::All) if lip => block(p) * nose.lip_breadth_mm / nose.breadth_mm,
                (LipOn::Gate, Flowing::All) if lip => nose.lip_breadth_mm,
                _ => block(p),
            }
        };
        let mut metal = Metal::new(mesh, &breadth, 1.0);
        for node in held {
            metal.held[2 * node as usize] = true;
            metal.held[2 * node as usize + 1] = true;
        }
        let surface = surface(&metal.mesh, &notch, &breadth);
        let linear = Linear::new(&metal.mesh, &metal.held)?;
        Ok(Self { metal, linear, notch, pull, least_lean: 0.0, surface })
    }

    /// Where a pin stands: mm of flank from the place where it meets the round end; zero for a pin that is seated.
    #[must_use]
    pub fn foot_mm(&self, pin: Circle) -> f64 {
        dot(between(self.notch.end.centre, pin.centre), self.notch.to_mouth).max(0.0)
    }

    /// Direction in which a pin presses whose foot stands `foot_mm` of flank from the round end, and what it presses with per N
    /// of the pull. A pin that stands on the flank is kept from sliding by nothing but friction: what presses is the part of
    /// the pull that is square to the flank. One that is seated lies against the round end as well, by `least_lean` at least;
    /// where its pull leans less, friction takes the rest.
    pub(super) fn pressing(&self, foot_mm: f64) -> (Point, f64) {
        let into_lip = self.notch.from_lip.map(|x| -x);
        if foot_mm > SEATED_MM {
            return (into_lip, dot(into_lip, self.pull));
        }
        let (across, along) = (-dot(self.pull, self.notch.to_mouth), dot(self.pull, into_lip));
        if across.atan2(along) >= self.least_lean {
            return (self.pull, 1.0);
        }
        let (sin, cos) = self.least_lean.sin_cos();
        let direction = [0, 1].map(|i| cos * into_lip[i] - sin * self.notch.to_mouth[i]);
        (direction, along / cos)
    }

    /// What [`NosePart::flow`] finds per N of the pull: the pull itself where the pin stands on the flank.
    pub(super) fn pressed_per_pull(&self, foot_mm: f64) -> f64 {
        if foot_mm > SEATED_MM { 1.0 } else { self.pressing(foot_mm).1 }
    }

    /// The flow under a rigid pin that presses on a patch. On a flat alone a smooth pin would slide off; there it is kept
    /// from moving across its pull.
    ///
    /// # Errors
    /// [`PlasticError`] when no node lies on the patch, or the matrix cannot be factored.
    pub fn flow(&mut self, pin: Circle, patch: Patch) -> Result<Flow, PlasticError> {
        let foot_mm = self.foot_mm(pin);
        let [low, high] = patch_ends(patch, foot_mm, self.notch.end.radius);
        let kept = if low >= 0.0 { 0.0 } else { 1.0 };
        let pull = if foot_mm > SEATED_MM { self.pull } else { self.pressing(foot_mm).0 };
        let rows: Vec<Row> = self
            .surface
            .iter()
            .filter(|s| (low - 1e-6..=high + 1e-6).contains(&s.place) && dot(s.normal, pull) > 1e-9)
            .map(|s| {
                let row = Row::new(s.node, s.normal, pull, 1.0, 0.0);
                Row { across: kept * row.across, ..row }
            })
            .collect();
        if rows.is_empty() {
            return Err(PlasticError::NoContact);
        }
        settled(least_dissipation(&self.metal, &rows, &mut self.linear)?)
    }
}

/// A flow whose two sides have met; one that has not is no limit load.
pub(super) fn settled(flow: Flow) -> Result<Flow, PlasticError> {
    let gap = flow.relative_gap().abs();
    if gap <= SETTLED { Ok(flow) } else { Err(PlasticError::Unsettled { percent: 100.0 * gap }) }
}

/// Places where a patch begins and ends.
pub(super) fn patch_ends(patch: Patch, foot_mm: f64, radius: f64) -> [f64; 2] {
    let out = (foot_mm / patch.flank_mm.max(1e-9)).clamp(0.0, 1.0);
    let low = out * (foot_mm - 0.5 * patch.flank_mm) - (1.0 - out) * radius * patch.arc_deg.to_radians();
    [if low < 0.0 { low / radius } else { low }, foot_mm + (1.0 - 0.5 * out) * patch.flank_mm]
}

/// Nodes of flank and round end.
fn surface(mesh: &Mesh, notch: &Notch, breadth: &dyn Fn(Point) -> f64) -> Vec<Surface> {
    let from = root_angle(notch);
    let into_lip = [-notch.from_lip[0], -notch.from_lip[1]];
    let mut known = vec![None; mesh.points.len()];
    let mut all: Vec<Surface> = Vec::new();
    for stretch in [Stretch::LipFlank, Stretch::NotchEnd] {
        for edge in mesh.boundary.iter().filter(|e| e.stretch == stretch) {
            let [a, b] = [0, 1].map(|k| mesh.points[edge.nodes[k] as usize]);
            let length = (b[0] - a[0]).hypot(b[1] - a[1]);
            // An even pressure on a quadratic side goes to its ends and its middle as 1 to 4 to 1.
            for (node, part) in [(edge.nodes[0], 1.0), (edge.nodes[2], 4.0), (edge.nodes[1], 1.0)] {
                let p = mesh.points[node as usize];
                let (normal, place) = if stretch == Stretch::LipFlank {
                    (into_lip, dot(between(notch.lip_root(), p), notch.to_mouth))
                } else {
                    let [x, y] = between(notch.end.centre, p);
                    let turn = (y.atan2(x) - from).rem_euclid(2.0 * std::f64::consts::PI);
                    ([x / x.hypot(y), y / x.hypot(y)], -turn)
                };
                // The flank is where the breadth of block and lip meet: the metal under it counts.
                let under = [0, 1].map(|i| p[i] + 1e-6 * normal[i]);
                let share_mm2 = part / 6.0 * length * breadth(under);
                if let Some(at) = known[node as usize] {
                    let met: &mut Surface = &mut all[at];
                    met.share_mm2 += share_mm2;
                    continue;
                }
                known[node as usize] = Some(all.len());
                all.push(Surface { node, normal, place, share_mm2 });
            }
        }
    }
    all
}

/// Collapse of the part that carries the notch, of `strength_mpa`, under the pin on a patch that is given.
///
/// # Errors
/// [`PlasticError`].
pub fn nose_collapse(
    connector: &Connector,
    outline: &Outline,
    strength_mpa: f64,
    patch: Patch,
    flowing: Flowing,
) -> Result<Collapse, PlasticError> {
    let seats = &outline.seats;
    let foot = dot(between(seats.notch.end.centre, seats.nose_pin.centre), seats.notch.to_mouth).max(0.0);
    let marks = patch_ends(patch, foot, seats.notch.end.radius);
    let fine = match flowing {
        Flowing::All => FINE_ON_A_PATCH,
        Flowing::Root => FINE_AT_ROOT,
    };
    let mut part = NosePart::new(connector, outline, &marks, flowing, fine)?;
    let flow = part.flow(seats.nose_pin, patch)?;
    let per_pull = part.pressed_per_pull(foot);
    Ok(Collapse {
        force_n: strength_mpa * flow.dissipation / per_pull,
        dual_n: strength_mpa * flow.dual / per_pull,
        patch,
        iterations: flow.iterations,
        triangles: part.metal.mesh.triangles.len(),
    })
}
