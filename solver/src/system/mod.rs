//! Everything about a connector that depends on geometry and elasticity alone, computed once and kept: two meshed and
//! factored bodies, the rows where they may touch, the seats of the loads, and compliances as they are asked for.

mod contact_rows;
mod disc;
mod elasticity;
mod ports;
mod seat;

pub use contact_rows::{ContactRow, Joint, Side, contact_rows, gap_mm};
pub use disc::Disc;
pub use elasticity::Elasticity;
pub use ports::{Compliance, Port};
pub use seat::{Seat, SeatEdge, SeatNode, edge_shape};

use crate::material::Materials;
use crate::plane::{Body, Factor, Locator, PlaneError, Recovery, three_supports};
use crate::sections::{Cut, frame_cuts};
use geometry::connector::{Connector, GatePlace, LipOn};
use geometry::curve::Point;
use geometry::graded::GradedSizes;
use geometry::mesh::{Mesh, MeshError, MeshSettings, triangulate, wanted_nodes};
use geometry::outline::{DEFAULT_FLOOR, FrameBreadth, Outline, OutlineError};
use geometry::region::Stretch;
use geometry::sizes::Sizes;
use serde::Serialize;
use std::sync::OnceLock;
use thiserror::Error;

/// Unknowns that the default mesh aims at.
pub const DEFAULT_UNKNOWNS: f64 = 13_300.0;
/// The default mesh keeps within this range.
pub const UNKNOWNS_RANGE: std::ops::RangeInclusive<f64> = 12_300.0..=14_900.0;

/// An edge whose chord is below this part of the section's breadth counts as vanishing: degree 8 quadrature there.
const VANISHING: f64 = 0.3;

/// What a system is built with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SystemSettings {
    /// Edge length that the bars are meshed with, mm; without it, as fine as [`SystemSettings::unknowns`] allows.
    pub mesh_size_mm: Option<f64>,
    /// Unknowns to aim at when no mesh size is given.
    pub unknowns: f64,
    /// Part of the breadth kept where the chord vanishes.
    pub floor: f64,
}

impl Default for SystemSettings {
    fn default() -> Self {
        Self { mesh_size_mm: None, unknowns: DEFAULT_UNKNOWNS, floor: DEFAULT_FLOOR }
    }
}

/// What a mesh is too coarse for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unresolved {
    /// The connector.
    Connector,
    /// The disc of the nose pin.
    NosePin,
    /// The disc of the hinge pin.
    HingePin,
}

/// Why a system could not be built. Displayed as it is held, for logs; people read `report::building`.
#[derive(Clone, Debug, Error)]
#[error("{self:?}")]
pub enum SystemError {
    /// The parameters give no outline.
    Outline(Vec<OutlineError>),
    /// The outline gives no mesh.
    Mesh {
        /// Which body.
        body: Side,
        /// Why.
        reason: MeshError,
    },
    /// The mesh gives no stiffness.
    Body {
        /// Which body.
        body: Side,
        /// Why.
        reason: PlaneError,
    },
    /// No triangle inside a pin's disc, or no place to hold a body.
    TooCoarse {
        /// What is not resolved.
        what: Unresolved,
    },
}

/// One elastic body, factored.
#[derive(Debug)]
pub struct Part {
    /// Mesh, breadth and elasticity.
    pub body: Body,
    /// Its factor, held at three unknowns.
    pub factor: Factor,
    /// Compliance between its ports.
    pub compliance: Compliance,
    recovery: OnceLock<Recovery>,
}

impl Part {
    /// Stress recovery, made when it is first asked for: loads and limits need none.
    pub fn recovery(&self) -> &Recovery {
        match self.recovery.get() {
            Some(recovery) => recovery,
            None => {
                // Made before the cell is entered: a thread that works for a pool meanwhile may come here for the same one.
                let made = Recovery::new(&self.body, &|_| 0);
                self.recovery.get_or_init(|| made)
            }
        }
    }
}

/// A connector ready to be loaded.
#[derive(Debug)]
pub struct System {
    /// The drawn connector.
    pub outline: Outline,
    /// The parameters it was drawn from.
    pub connector: Connector,
    /// Elastic constants of its metals.
    pub elasticity: Elasticity,
    /// Breadth of the frame.
    pub breadth: FrameBreadth,
    /// The frame.
    pub frame: Part,
    /// The gate.
    pub gate: Part,
    /// Where the two may touch.
    pub rows: Vec<ContactRow>,
    /// The port of each row on its surface's body. For a row on the lip's flank the next port is the one along the flank
    /// (the normal turned counter-clockwise by a right angle).
    pub row_ports: Vec<u32>,
    /// Nose pin (or head): the body that carries it, its disc, and its first port there.
    pub nose_disc: (Side, Disc, u32),
    /// Hinge pin: its disc in the gate, and its first port there.
    pub hinge_disc: (Side, Disc, u32),
    /// Seat of the upper load.
    pub upper: Seat,
    /// Seat of the lower load.
    pub lower: Seat,
    /// Edge length used for the bars, mm.
    pub mesh_size_mm: f64,
    cuts: OnceLock<Vec<Cut>>,
}

/// Where a mesh is to be finer than its size asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Finer {
    /// Edge lengths wanted in the frame.
    pub frame: GradedSizes,
    /// Edge lengths wanted in the gate.
    pub gate: GradedSizes,
}

/// Frame and gate meshes at one mesh size.
fn meshes(outline: &Outline, mesh_size_mm: f64, finer: Option<&Finer>) -> Result<(Mesh, Mesh), SystemError> {
    let sizes = Sizes::new(outline, mesh_size_mm);
    let settings = MeshSettings::default();
    let in_frame = |p| finer.map_or(f64::INFINITY, |f| f.frame.at(p)).min(sizes.frame(p));
    let in_gate = |p| finer.map_or(f64::INFINITY, |f| f.gate.at(p)).min(sizes.gate(p));
    let (frame, gate) = rayon::join(
        || triangulate(&outline.frame, &in_frame, &settings),
        || triangulate(&outline.gate, &in_gate, &settings),
    );
    let mesh =
        |body, result: Result<Mesh, MeshError>| result.map_err(|reason| SystemError::Mesh { body, reason });
    Ok((mesh(Side::Frame, frame)?, mesh(Side::Gate, gate)?))
}

/// Estimates of the count that a size is looked for with, at most.
const GUESSES: usize = 3;
/// How the count goes with the size: slower than the inverse square, as notch and corners ask for their own.
const SLOPE: f64 = -1.55;
/// An estimate that is off by less than this, as a logarithm, is mended by the slope.
const NEAR: f64 = 0.25;
/// Meshes at most until the count is met; the first nearly always does.
const MESHES: usize = 4;
/// Meshes have so many times the unknowns of an estimate that knows of no well shaped triangles where sizes grow.
const OF_ESTIMATE: f64 = 1.10;

/// Unknowns that the meshes of a connector will have at a mesh size, mm, within some 15 % (more where the size is as large as
/// the parts); none where it has no outline.
#[must_use]
pub fn unknowns_at(connector: &Connector, place: GatePlace, mesh_size_mm: f64) -> Option<f64> {
    let outline = Outline::try_new(connector, place).ok()?;
    Some(estimated_unknowns(&outline, mesh_size_mm)).filter(|unknowns| unknowns.is_finite())
}

/// Unknowns that the meshes of one size will have, as estimated.
fn estimated_unknowns(outline: &Outline, mesh_size_mm: f64) -> f64 {
    let sizes = Sizes::new(outline, mesh_size_mm);
    let (frame, gate) = rayon::join(
        || wanted_nodes(&outline.frame, &|p| sizes.frame(p)),
        || wanted_nodes(&outline.gate, &|p| sizes.gate(p)),
    );
    OF_ESTIMATE * 2.0 * (frame + gate)
}

/// The size whose meshes should have about the wanted unknowns.
fn size_for(outline: &Outline, wanted: f64) -> f64 {
    let mut size = 1.5 * (DEFAULT_UNKNOWNS / wanted).powf(0.8);
    for _ in 0..GUESSES {
        let miss = (estimated_unknowns(outline, size) / wanted).ln();
        if !miss.is_finite() {
            break;
        }
        size *= (-miss / SLOPE).clamp(-1.0, 1.0).exp();
        if miss.abs() < NEAR {
            break;
        }
    }
    size
}

/// Meshes with about the wanted number of unknowns.
fn meshes_of_count(outline: &Outline, wanted: f64) -> Result<(Mesh, Mesh, f64), SystemError> {
    let mut size = size_for(outline, wanted);
    let range = (UNKNOWNS_RANGE.start() / DEFAULT_UNKNOWNS * wanted)
        ..=(UNKNOWNS_RANGE.end() / DEFAULT_UNKNOWNS * wanted);
    let mut best: Option<(Mesh, Mesh, f64, f64)> = None;
    for _ in 0..MESHES {
        let (frame, gate) = meshes(outline, size, None)?;
        let unknowns = 2.0 * (frame.points.len() + gate.points.len()) as f64;
        let miss = (unknowns / wanted).ln().abs();
        let tried = size;
        size *= (unknowns / wanted).powf(-1.0 / SLOPE);
        if best.as_ref().is_none_or(|b| miss < b.3) {
            best = Some((frame, gate, tried, miss));
        }
        if range.contains(&unknowns) {
            break;
        }
    }
    best.map(|(frame, gate, size, _)| (frame, gate, size))
        .ok_or(SystemError::TooCoarse { what: Unresolved::Connector })
}

impl System {
    /// Draws, meshes, assembles and factors a connector. What it does not depend on, rig and strength, may change as often as
    /// is asked without another.
    ///
    /// ```
    /// use geometry::connector::{Connector, GatePlace};
    /// use solver::material::Materials;
    /// use solver::system::{System, SystemSettings};
    ///
    /// let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
    /// let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
    /// assert!((4500..7500).contains(&system.unknowns()), "{}", system.unknowns());
    /// ```
    ///
    /// # Errors
    /// What keeps the parameters from becoming an outline, a mesh or a factored body.
    pub fn try_new(
        connector: &Connector,
        place: GatePlace,
        elasticity: impl Into<Elasticity>,
        settings: &SystemSettings,
    ) -> Result<Self, SystemError> {
        let outline = Outline::try_new(connector, place).map_err(SystemError::Outline)?;
        let meshed = match settings.mesh_size_mm {
            Some(size) => {
                let (frame, gate) = meshes(&outline, size, None)?;
                (frame, gate, size)
            }
            None => meshes_of_count(&outline, settings.unknowns)?,
        };
        Self::of_meshes(connector, outline, elasticity.into(), settings.floor, meshed)
    }

    /// The same connector on a mesh of the same size that is finer where `finer` asks for it; nothing where that would have more
    /// than `most_unknowns`.
    ///
    /// # Errors
    /// As [`System::try_new`].
    pub fn refined(
        &self,
        settings: &SystemSettings,
        finer: &Finer,
        most_unknowns: usize,
    ) -> Result<Option<Self>, SystemError> {
        let (frame, gate) = meshes(&self.outline, self.mesh_size_mm, Some(finer))?;
        if 2 * (frame.points.len() + gate.points.len()) > most_unknowns {
            return Ok(None);
        }
        let meshed = (frame, gate, self.mesh_size_mm);
        Self::of_meshes(&self.connector, self.outline.clone(), self.elasticity, settings.floor, meshed)
            .map(Some)
    }

    /// Assembles and factors meshed bodies.
    fn of_meshes(
        connector: &Connector,
        outline: Outline,
        elasticity: Elasticity,
        floor: f64,
        (frame_mesh, gate_mesh, mesh_size_mm): (Mesh, Mesh, f64),
    ) -> Result<Self, SystemError> {
        let breadth = outline.frame_breadth(connector, floor);
        let nose_surface = match outline.lip_on {
            LipOn::Frame => Side::Frame,
            LipOn::Gate => Side::Gate,
        };
        let rows = contact_rows(&outline, nose_surface, &frame_mesh, &gate_mesh);

        let (frame_body, gate_body) = bodies(connector, &breadth, elasticity, frame_mesh, gate_mesh)?;

        let mut frame_ports = Vec::new();
        let mut gate_ports = Vec::new();
        let mut row_ports = Vec::with_capacity(rows.len());
        for row in &rows {
            let port = Port::new(vec![(2 * row.node, row.normal[0]), (2 * row.node + 1, row.normal[1])]);
            let ports = match row.surface {
                Side::Frame => &mut frame_ports,
                Side::Gate => &mut gate_ports,
            };
            row_ports.push(index_of(ports));
            ports.push(port);
            if row.flank {
                let [x, y] = row.normal;
                ports.push(Port::new(vec![(2 * row.node, -y), (2 * row.node + 1, x)]));
            }
        }
        let too_coarse = |what| SystemError::TooCoarse { what };
        let nose_carrier = if nose_surface == Side::Frame { Side::Gate } else { Side::Frame };
        let nose_disc = {
            let (body, ports) = match nose_carrier {
                Side::Frame => (&frame_body, &mut frame_ports),
                Side::Gate => (&gate_body, &mut gate_ports),
            };
            let disc = Disc::new(body, outline.seats.nose_pin).ok_or(too_coarse(Unresolved::NosePin))?;
            let first = index_of(ports);
            ports.extend(disc.ports());
            (nose_carrier, disc, first)
        };
        let hinge_disc = {
            let disc =
                Disc::new(&gate_body, outline.seats.hinge_pin).ok_or(too_coarse(Unresolved::HingePin))?;
            let first = index_of(&gate_ports);
            gate_ports.extend(disc.ports());
            (Side::Gate, disc, first)
        };
        let locator = Locator::new(frame_body.mesh());
        let seat = |stretch| Seat::new(&frame_body, &locator, &outline, &breadth, stretch);
        let ((upper, upper_ports), (lower, lower_ports)) =
            rayon::join(|| seat(Stretch::UpperInner), || seat(Stretch::LowerInner));
        let upper = upper.with_ports_from(index_of(&frame_ports));
        frame_ports.extend(upper_ports);
        let lower = lower.with_ports_from(index_of(&frame_ports));
        frame_ports.extend(lower_ports);

        let (frame, gate) = rayon::join(
            || part(frame_body, frame_ports).map_err(refused(Side::Frame)),
            || part(gate_body, gate_ports).map_err(refused(Side::Gate)),
        );
        Ok(Self {
            outline,
            connector: connector.clone(),
            elasticity,
            breadth,
            frame: frame?,
            gate: gate?,
            rows,
            row_ports,
            nose_disc,
            hinge_disc,
            upper,
            lower,
            mesh_size_mm,
            cuts: OnceLock::new(),
        })
    }

    /// Displacement components of both bodies.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.frame.body.unknowns() + self.gate.body.unknowns()
    }

    /// Cuts along the frame, hinge to nose, made when they are first asked for.
    pub fn cuts(&self) -> &[Cut] {
        self.cuts.get_or_init(|| frame_cuts(&self.outline, &self.breadth))
    }

    /// The body of a side.
    #[must_use]
    pub fn part(&self, side: Side) -> &Part {
        match side {
            Side::Frame => &self.frame,
            Side::Gate => &self.gate,
        }
    }

    /// Disc and first port of a joint's pin, and the body that carries it.
    #[must_use]
    pub fn disc(&self, joint: Joint) -> &(Side, Disc, u32) {
        match joint {
            Joint::Nose => &self.nose_disc,
            Joint::Hinge => &self.hinge_disc,
        }
    }

    /// Mass of frame, gate and pins (solid pins as long as the gate is broad) of metals with these densities, g.
    #[must_use]
    pub fn mass_g(&self, materials: &Materials) -> f64 {
        mass_g(&self.connector, &self.outline, [&self.frame.body, &self.gate.body], materials)
    }
}

/// Frame and gate with their breadths, not yet factored.
fn bodies(
    connector: &Connector,
    breadth: &FrameBreadth,
    elasticity: Elasticity,
    frame_mesh: Mesh,
    gate_mesh: Mesh,
) -> Result<(Body, Body), SystemError> {
    let vanishing: Vec<bool> = {
        let mut edge_nodes = vec![false; frame_mesh.points.len()];
        for edge in &frame_mesh.boundary {
            for node in edge.nodes {
                let (chord, widest) = breadth.chord(frame_mesh.points[node as usize]);
                edge_nodes[node as usize] |= chord < VANISHING * widest;
            }
        }
        frame_mesh.triangles.iter().map(|t| t.iter().any(|n| edge_nodes[*n as usize])).collect()
    };
    let gate_breadth = connector.gate.breadth_mm;
    let (frame, gate) = rayon::join(
        || Body::new(frame_mesh, &|p| breadth.at(p), &|t| vanishing[t], elasticity.frame),
        || Body::new(gate_mesh, &|_| gate_breadth, &|_| false, elasticity.gate),
    );
    Ok((frame.map_err(refused(Side::Frame))?, gate.map_err(refused(Side::Gate))?))
}

/// Why a body could not be made, with its name.
fn refused(body: Side) -> impl Fn(PlaneError) -> SystemError {
    move |reason| SystemError::Body { body, reason }
}

/// Mass of two bodies and the pins of their connector, g.
fn mass_g(connector: &Connector, outline: &Outline, [frame, gate]: [&Body; 2], materials: &Materials) -> f64 {
    let seats = &outline.seats;
    let pin = |radius: f64| std::f64::consts::PI * radius * radius * connector.gate.breadth_mm;
    let nose_pin = if outline.lip_on == LipOn::Frame { pin(seats.nose_pin.radius) } else { 0.0 };
    1e-3 * (frame.volume_mm3() * materials.frame.density_g_cm3
        + gate.volume_mm3() * materials.gate.density_g_cm3
        + (nose_pin + pin(seats.hinge_pin.radius)) * materials.pins.density_g_cm3)
}

/// Mesh size for a mass alone, mm: fine enough for a thousandth of what [`System::mass_g`] tells.
const MASS_MESH_MM: f64 = 1.5;

/// Mass of a drawn connector that is not solved, g: that of [`System::mass_g`] within a thousandth.
///
/// # Errors
/// What keeps the outline from becoming a mesh.
pub fn drawn_mass_g(
    connector: &Connector,
    outline: &Outline,
    materials: &Materials,
) -> Result<f64, SystemError> {
    let (frame, gate) = meshes(outline, MASS_MESH_MM, None)?;
    let breadth = outline.frame_breadth(connector, SystemSettings::default().floor);
    let (frame, gate) = bodies(connector, &breadth, materials.into(), frame, gate)?;
    Ok(mass_g(connector, outline, [&frame, &gate], materials))
}

#[expect(clippy::cast_possible_truncation, reason = "a body has far fewer than 2^32 ports")]
fn index_of(ports: &[Port]) -> u32 {
    ports.len() as u32
}

fn part(body: Body, ports: Vec<Port>) -> Result<Part, PlaneError> {
    let mut loaded = vec![false; body.mesh().points.len()];
    for edge in body.mesh().boundary.iter().chain(&body.mesh().lines) {
        for node in edge.nodes {
            loaded[node as usize] = true;
        }
    }
    // Held nodes carry no net force in the end; keeping them off edges keeps rounding off the contacts.
    let held = three_supports(body.mesh(), &|n| loaded[n as usize])
        .or_else(|| three_supports(body.mesh(), &|_| false))
        .unwrap_or([0, 1, 2]);
    let factor = Factor::new(&body, &held)?;
    Ok(Part { factor, compliance: Compliance::new(ports), body, recovery: OnceLock::new() })
}

/// True for points of the frame that lie beyond `station` in the order of travel, whichever way its plane runs on.
#[must_use]
pub fn is_beyond(outline: &Outline, station: &geometry::outline::Station, p: Point) -> bool {
    let length = |p: Point| {
        let place = outline.strip.place(p);
        outline.strip.centre_length(place.segment, place.t)
    };
    let size = (station.outer[0] - station.inner[0]).hypot(station.outer[1] - station.inner[1]);
    let ahead = length(p) - length(station.centroid);
    if ahead.abs() > size { ahead > 0.0 } else { station.is_beyond(p) }
}
