//! Cuts through the frame, from the root of the hinge lug to the back flank of the notch (or to the root of the head). What
//! lies beyond, lip, nose root and lug, belongs to the gate line.

use super::limit::SectionLimit;
use geometry::connector::LipOn;
use geometry::curve::Point;
use geometry::outline::{FrameBreadth, Outline, Station, Strip};

/// Cuts lie no farther apart than this along the centre line, mm.
const APART_MM: f64 = 2.0;
/// The middle of a cut lies no farther than this along the centre line from where the cut was wanted, mm: half of the
/// distance between two cuts. The centroid of a lopsided section in a blend is the most that a true cut needs.
const ASTRAY_MM: f64 = 0.5 * APART_MM;

/// A straight cut through the frame.
#[derive(Clone, Debug)]
pub struct Cut {
    /// Inner end.
    pub inner: Point,
    /// Outer end.
    pub outer: Point,
    /// Centroid of the real section.
    pub centroid: Point,
    /// Unit vector square to the cut, from hinge toward nose.
    pub along: Point,
    /// Length along the centre line from the hinge, mm.
    pub length_mm: f64,
    /// What the section holds.
    pub limit: SectionLimit,
}

impl Cut {
    /// A cut between two points with the frame's breadth along it.
    #[must_use]
    pub fn new(strip: &Strip, breadth: &FrameBreadth, ends: [Point; 2], along: Point) -> Self {
        Self::with_breadth(strip, ends, along, &|_, p| breadth.at(p))
    }

    /// The same with a breadth by distance from the inner end, mm, and place.
    fn with_breadth(
        strip: &Strip,
        [inner, outer]: [Point; 2],
        along: Point,
        breadth: &dyn Fn(f64, Point) -> f64,
    ) -> Self {
        let [dx, dy] = [outer[0] - inner[0], outer[1] - inner[1]];
        let depth = dx.hypot(dy);
        let at = |s: f64| [inner[0] + s / depth * dx, inner[1] + s / depth * dy];
        let limit = SectionLimit::new(depth, &|s| breadth(s, at(s)));
        let centroid = at(limit.centroid_mm());
        let length_mm = centre_length(strip, centroid);
        Self { inner, outer, centroid, along, length_mm, limit }
    }

    /// A named station as a cut.
    #[must_use]
    pub fn at_station(strip: &Strip, breadth: &FrameBreadth, station: &Station) -> Self {
        Self::new(strip, breadth, [station.inner, station.outer], station.along)
    }

    /// Axial force and moment about the centroid, from a force on the part beyond the cut: per N, in N and N mm; tension
    /// and stretching of the inner side positive.
    #[must_use]
    pub fn resolve(&self, at: Point, force: Point) -> [f64; 2] {
        let arm = [at[0] - self.centroid[0], at[1] - self.centroid[1]];
        [force[0] * self.along[0] + force[1] * self.along[1], arm[0] * force[1] - arm[1] * force[0]]
    }

    /// True when a point of the frame, `length_mm` along the centre line, lies beyond the cut.
    #[must_use]
    pub fn has_beyond(&self, p: Point, length_mm: f64) -> bool {
        let ahead = length_mm - self.length_mm;
        if ahead.abs() > self.limit.depth_mm() {
            return ahead > 0.0;
        }
        (p[0] - self.centroid[0]) * self.along[0] + (p[1] - self.centroid[1]) * self.along[1] > 0.0
    }
}

/// Length along the centre line from the hinge of the place that a point of the frame belongs to, mm.
#[must_use]
pub fn centre_length(strip: &Strip, p: Point) -> f64 {
    let place = strip.place(p);
    strip.centre_length(place.segment, place.t)
}

/// Cuts along the frame, hinge to nose, at most 2 mm apart, with the named stations of spine and bars among them.
#[must_use]
pub fn frame_cuts(outline: &Outline, breadth: &FrameBreadth) -> Vec<Cut> {
    let strip = &outline.strip;
    let [spine_mid, upper_mid, lower_mid, nose_root, hinge_root] = &outline.frame_stations;
    let first = centre_length(strip, hinge_root.centroid);
    let nose_end = centre_length(strip, nose_root.centroid);
    let notch = &outline.seats.notch;
    // Cuts that would run into the notch end at its back flank.
    let clear_of_notch = |inner: Point, length: f64| {
        let [x, y] = [inner[0] - notch.end.centre[0], inner[1] - notch.end.centre[1]];
        outline.lip_on == LipOn::Gate
            || nose_end - length > 3.0 * notch.end.radius + outline.seats.nose_pin.radius
            || x * notch.from_lip[0] + y * notch.from_lip[1] > notch.end.radius
    };
    let mut cuts: Vec<Cut> = [hinge_root, lower_mid, spine_mid, upper_mid]
        .into_iter()
        .map(|station| Cut::at_station(strip, breadth, station))
        .collect();
    for segment in (0..strip.path.len()).filter(|s| strip.has_length(*s)) {
        let (start, end) = (strip.centre_length(segment, 0.0), strip.centre_length(segment, 1.0));
        let pieces = ((end - start) / APART_MM).ceil().max(1.0);
        let mut i = 0.0;
        // Both ends of every straight and corner are cut: that is where moments turn.
        while i <= pieces && end > start {
            let t = i / pieces;
            i += 1.0;
            let length = start + t * (end - start);
            if length <= first || length >= nose_end || !clear_of_notch(strip.inner(segment, t), length) {
                continue;
            }
            cuts.extend(cut_across(strip, breadth, segment, t));
        }
    }
    cuts.sort_by(|a, b| a.length_mm.total_cmp(&b.length_mm));
    cuts
}

/// The cut straight across the strip at a place along it; `None` for one whose middle lies elsewhere along the bar: it leaves
/// the bar, and is no section of it.
fn cut_across(strip: &Strip, breadth: &FrameBreadth, segment: usize, t: f64) -> Option<Cut> {
    let (inner, outer) = (strip.inner(segment, t), strip.outer(segment, t));
    let (_, normal) = strip.edge_frame(segment, t);
    let (from_edge, _) = strip.edges(segment, t);
    let across = breadth.across(segment, t);
    let cut = Cut::with_breadth(strip, [inner, outer], [normal[1], -normal[0]], &|s, p| {
        if from_edge + s >= 0.0 { across(from_edge + s) } else { breadth.at(p) }
    });
    ((cut.length_mm - strip.centre_length(segment, t)).abs() < ASTRAY_MM).then_some(cut)
}

/// The cuts a small way along the strip to either side of a point of the frame.
#[must_use]
pub fn cuts_beside(strip: &Strip, breadth: &FrameBreadth, p: Point, away_mm: f64) -> Vec<Cut> {
    let place = strip.place(p);
    let (start, end) = (strip.centre_length(place.segment, 0.0), strip.centre_length(place.segment, 1.0));
    let step = away_mm / (end - start);
    let beside = [place.t - step, place.t + step].into_iter().filter(|t| (0.0..=1.0).contains(t));
    beside.filter_map(|t| cut_across(strip, breadth, place.segment, t)).collect()
}
