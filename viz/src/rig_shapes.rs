//! Straps, bench bars and pins as the things they are: no arrows, no symbols.
//!
//! A strap's loop goes around its bar. The leg behind the bar is painted under the frame, the turn at the inner edge over
//! it, and of the leg in front only the stitching, so that the stress under the strap stays visible.

use crate::bodies::outline;
use crate::body_field::BodyField;
use crate::colour::Rgba;
use crate::drawing::{Item, Paint, Stroke};
use crate::layout::View;
use crate::load_shape::LoadShape;
use crate::look::{INK, PAPER};
use crate::path::Path;

const WEBBING: Rgba = Rgba::hex(0x9f_ab9e);
const WEBBING_EDGE: Rgba = Rgba::hex(0x7b_897f);
const WEBBING_DARK: Rgba = Rgba::hex(0x55_635c);
const STITCH: Rgba = Rgba::hex(0xf3_ecd9);
/// One thread of the weave: a hairline, which is many times faster to paint than anything broader.
const THREAD: Stroke = Stroke { colour: Rgba::new(0x55, 0x63, 0x5c, 110), width: 1.0, dash: None };
/// Thickness of a strap where it turns under the bar, mm.
const TURN_MM: f64 = 2.4;

/// The band of a strap on the page.
struct Band {
    /// Seat under the strap, left to right as it lies on the page.
    edge: Vec<[f64; 2]>,
    /// Unit vector of the pull on the page.
    pull: [f64; 2],
    /// How far the band runs.
    reach: f64,
}

impl Band {
    fn new(edge: &[[f64; 2]], direction: [f64; 2], view: &View, reach: f64) -> Option<Self> {
        (edge.len() >= 2).then(|| Self {
            edge: view.places(edge),
            pull: [direction[0], -direction[1]],
            reach,
        })
    }

    fn ends(&self) -> [[f64; 2]; 2] {
        [self.edge[0], self.edge[self.edge.len() - 1]]
    }

    fn moved(&self, p: [f64; 2], by: f64) -> [f64; 2] {
        [p[0] + by * self.pull[0], p[1] + by * self.pull[1]]
    }

    /// Point at `across` (0 left edge, 1 right edge) and `along` the pull.
    fn at(&self, across: f64, along: f64) -> [f64; 2] {
        let [a, b] = self.ends();
        self.moved([a[0] + across * (b[0] - a[0]), a[1] + across * (b[1] - a[1])], along)
    }

    /// How far the seat bends away from the line between its ends.
    fn depth(&self) -> f64 {
        let [a, b] = self.ends();
        let off =
            |p: &[f64; 2]| (0..2).map(|k| (p[k] - 0.5 * (a[k] + b[k])) * self.pull[k]).sum::<f64>().abs();
        self.edge.iter().map(off).fold(0.0, f64::max)
    }

    fn width(&self) -> f64 {
        let [a, b] = self.ends();
        (a[0] - b[0]).hypot(a[1] - b[1])
    }

    fn path(&self) -> Path {
        let [a, b] = self.ends();
        let mut points = self.edge.clone();
        points.extend([self.moved(b, self.reach), self.moved(a, self.reach)]);
        Path::polygons([points.as_slice()])
    }

    /// Darker toward both edges, as a soft band looks. A gradient is even square to its line, so that line runs square to
    /// the pull from one edge to the other, whatever the slope of the seat.
    fn cloth(&self) -> Paint {
        let [a, b] = self.ends();
        let along = (b[0] - a[0]) * self.pull[0] + (b[1] - a[1]) * self.pull[1];
        Paint::Linear {
            from: a,
            to: self.moved(b, -along),
            stops: vec![
                (0.0, WEBBING_EDGE),
                (0.12, WEBBING),
                (0.5, Rgba::hex(0xae_b9aa)),
                (0.88, WEBBING),
                (1.0, WEBBING_EDGE),
            ],
        }
    }

    /// Herringbone: rows of slanted threads that turn at each rib, over a stretch along the pull. The seat's own depth is
    /// covered too, for a seat in a rounded corner.
    fn weave(&self, from: f64, to: f64) -> Path {
        let ribs = (self.width() / 13.0).round().max(2.0) as i32;
        let rise = 7.0;
        let mut path = Path::default();
        for row in (from / rise).floor() as i32..=(to / rise).ceil() as i32 {
            let along = f64::from(row) * rise;
            let zigzag: Vec<[f64; 2]> = (0..=ribs)
                .map(|i| self.at(f64::from(i) / f64::from(ribs), along + if i % 2 == 0 { 0.0 } else { 6.0 }))
                .collect();
            path.add_line(&zigzag);
        }
        path
    }

    fn stitches(&self) -> Path {
        let inset = (7.0 / self.width()).min(0.25);
        let mut path = Path::default();
        for across in [inset, 1.0 - inset] {
            path.add_line(&[self.at(across, -40.0), self.at(across, self.reach)]);
        }
        path
    }
}

/// What lies under the frame.
pub(crate) fn behind(load: &LoadShape, view: &View, reach: f64) -> Vec<Item> {
    match load {
        LoadShape::Strap { edge, direction, .. } => {
            let Some(band) = Band::new(edge, *direction, view, reach) else { return Vec::new() };
            let path = band.path();
            let woven = vec![
                Item::stroked(band.weave(-band.depth(), reach), THREAD),
                Item::stroked(band.stitches(), Stroke::new(STITCH, 2.6).dashed(11.0, 6.0)),
            ];
            vec![
                Item::filled(path.clone(), band.cloth()),
                Item::Clipped { clip: path.clone(), items: woven },
                Item::stroked(path, Stroke::new(WEBBING_DARK, 2.0)),
            ]
        }
        LoadShape::Bar { centre, radius, direction } => {
            // The bench's fork, pale, behind everything: it says which way the bar is pulled.
            let (c, r) = (view.place(*centre), view.scale * radius);
            let pull = [direction[0], -direction[1]];
            let side = [-pull[1], pull[0]];
            let corner =
                |s: f64, l: f64| [c[0] + s * side[0] + l * pull[0], c[1] + s * side[1] + l * pull[1]];
            let half = 1.35 * r;
            let mut points: Vec<[f64; 2]> = (0..=24)
                .map(|i| {
                    let angle = std::f64::consts::PI * f64::from(i) / 24.0;
                    corner(-half * angle.cos(), -half * angle.sin())
                })
                .collect();
            points.extend([corner(half, reach), corner(-half, reach)]);
            let fork = Path::polygons([points.as_slice()]);
            vec![Item::outlined(fork, Rgba::hex(0xd9_d6cd), Stroke::new(Rgba::hex(0x9a_9a94), 2.0))]
        }
    }
}

/// What lies over the frame.
pub(crate) fn in_front(load: &LoadShape, view: &View, frame: &BodyField<'_>, reach: f64) -> Vec<Item> {
    match load {
        LoadShape::Strap { edge, direction, .. } => {
            let Some(band) = Band::new(edge, *direction, view, reach) else { return Vec::new() };
            let [a, b] = band.ends();
            let mut front = Path::line(&[a, band.moved(a, reach)]);
            front.add_line(&[b, band.moved(b, reach)]);
            let thread = Item::stroked(front, Stroke::new(PAPER.faded(0.55), 2.2).dashed(11.0, 6.0));
            let turn = turn(&band, TURN_MM * view.scale);
            let lit = Paint::Linear {
                from: band.at(0.5, 0.0),
                to: band.at(0.5, -TURN_MM * view.scale),
                stops: vec![(0.0, WEBBING_DARK), (0.45, WEBBING), (1.0, WEBBING_EDGE)],
            };
            let woven = vec![
                Item::stroked(band.weave(-TURN_MM * view.scale - band.depth(), band.depth()), THREAD),
                Item::stroked(band.stitches(), Stroke::new(STITCH, 2.6).dashed(11.0, 6.0)),
            ];
            vec![
                Item::Clipped { clip: outline(frame, view), items: vec![thread] },
                Item::filled(turn.clone(), lit),
                Item::Clipped { clip: turn.clone(), items: woven },
                Item::stroked(turn, Stroke::new(WEBBING_DARK, 2.0)),
            ]
        }
        LoadShape::Bar { centre, radius, .. } => steel(view.place(*centre), view.scale * radius, 2.6),
    }
}

/// The strap's thickness under the bar, with rounded lower corners.
fn turn(band: &Band, thick: f64) -> Path {
    let mut points = band.edge.clone();
    let n = band.edge.len();
    let round = (0.8 * thick).min(0.2 * band.width());
    let [a, b] = band.ends();
    for i in (0..n).rev() {
        let p = band.edge[i];
        let near = |q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
        if near(a) >= round && near(b) >= round {
            points.push(band.moved(p, -thick));
        } else if i == n - 1 || i == 0 {
            // A quarter turn from the side to the underside (or back).
            let across = |d: f64| if i == 0 { d / band.width() } else { 1.0 - d / band.width() };
            let quarter = (0..=6).map(|k| {
                let angle = std::f64::consts::FRAC_PI_2 * f64::from(k) / 6.0;
                let (s, c) = angle.sin_cos();
                if i == 0 { (round * (1.0 - s), c) } else { (round * (1.0 - c), s) }
            });
            points.extend(quarter.map(|(d, depth)| band.at(across(d), -(thick - round) - round * depth)));
        }
    }
    Path::polygons([points.as_slice()])
}

/// A steel disc, lit from the upper left.
fn steel(centre: [f64; 2], radius: f64, line: f64) -> Vec<Item> {
    let fill = Paint::Radial {
        focus: [centre[0] - 0.35 * radius, centre[1] - 0.4 * radius],
        centre,
        radius: 1.05 * radius,
        stops: vec![
            (0.0, Rgba::hex(0xfb_fbfa)),
            (0.45, Rgba::hex(0xc3_c8ca)),
            (0.85, Rgba::hex(0x80_898e)),
            (1.0, Rgba::hex(0x5c_666c)),
        ],
    };
    vec![Item::outlined(Path::circle(centre, radius), fill, Stroke::new(INK, line))]
}

/// A pin; pale when it holds nothing.
pub(crate) fn pin(centre: [f64; 2], radius: f64, idle: bool) -> Vec<Item> {
    if idle {
        let line = Stroke::new(INK.faded(0.55), 2.0);
        return vec![Item::outlined(Path::circle(centre, radius), Rgba::hex(0xe2_dfd6), line)];
    }
    steel(centre, radius, 2.4)
}

/// What a strap, or a bar with its fork, covers: a closed polygon on the page.
pub(crate) fn covered(load: &LoadShape, view: &View, reach: f64) -> Vec<[f64; 2]> {
    let d = load.direction();
    let pull = [d[0], -d[1]];
    let (a, b, back) = match load {
        LoadShape::Strap { edge, .. } => match (edge.first(), edge.last()) {
            (Some(a), Some(b)) => (view.place(*a), view.place(*b), TURN_MM * view.scale),
            _ => return Vec::new(),
        },
        LoadShape::Bar { centre, radius, .. } => {
            let (c, half) = (view.place(*centre), 1.35 * view.scale * radius);
            ([c[0] - half, c[1]], [c[0] + half, c[1]], half)
        }
    };
    let moved = |p: [f64; 2], by: f64| [p[0] + by * pull[0], p[1] + by * pull[1]];
    vec![moved(a, -back), moved(b, -back), moved(b, reach), moved(a, reach)]
}

/// Where the right edge of what pulls crosses a height on the page: text beside it starts there.
pub(crate) fn right_edge_at(load: &LoadShape, view: &View, y: f64) -> f64 {
    let (from, half) = match load {
        LoadShape::Strap { edge, .. } => match (edge.first(), edge.last()) {
            (Some(a), Some(b)) => (
                view.place([0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])]),
                0.5 * view.scale * (b[0] - a[0]).abs(),
            ),
            _ => return 0.0,
        },
        LoadShape::Bar { centre, radius, .. } => (view.place(*centre), 1.35 * view.scale * radius),
    };
    let d = load.direction();
    let slope = if d[1].abs() > 1e-9 { -d[0] / d[1] } else { 0.0 };
    from[0] + slope * (y - from[1]) + half
}
