//! Rests of a pair of load points: local maxima of their distance, with the sides of the window as stops.

use super::track::Track;
use crate::rig::{Loader, Rig};
use crate::system::System;
use geometry::curve::Point;
use schemars::JsonSchema;
use serde::Serialize;

/// Positions along each track that the search looks at.
const POSITIONS: usize = 81;
/// Two maxima closer than this in both offsets are one, mm.
const ONE_MM: f64 = 1.0;
/// A rest is found to this, mm.
const FOUND_MM: f64 = 1e-3;
/// Distances that differ by less than this are equal, mm.
const EQUAL_MM: f64 = 1e-6;
/// A move aside that costs less distance than this meets level ground: edges are polygons, good to some 1e-5 mm.
const LEVEL_MM: f64 = 1e-4;
/// Friction needed below this counts as none.
const NO_FRICTION: f64 = 2e-3;
/// Step about a balanced position that tells whether it is stable, mm.
const ASIDE_MM: f64 = 0.5;

/// How a pair of loaders stands at a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Footing {
    /// It comes back when moved: a local maximum of the distance.
    Stable,
    /// In balance, and nothing brings it back.
    Neutral,
    /// In balance, and the least move makes it run away.
    Unstable,
    /// It slides unless friction holds it.
    Slides,
}

/// A stable rest.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Rest {
    /// Offset of the upper load, mm, positive toward the gate.
    pub upper_mm: f64,
    /// Offset of the lower load, mm.
    pub lower_mm: f64,
    /// Distance of the two load points, mm.
    pub distance_mm: f64,
    /// Part of all pairs of positions from which frictionless loaders run here.
    pub share_of_starting_places: f64,
}

/// Friction that the straps of a rig need to stay where they are, upper and lower: a strap is one ribbon, so the slope under it
/// is the mean over its width, against the pull axis. `None` for a bench bar, whose friction the response tells, and for a
/// strap that fits nowhere.
///
/// Every answer about a strap that stays or slides is made from this.
#[must_use]
pub fn strap_friction_needed(system: &System, rig: &Rig) -> [Option<f64>; 2] {
    let Some(seating) = Seating::on(system, rig) else { return [None; 2] };
    let [upper, lower] = seating.friction_needed(rig.upper.offset_mm(), rig.lower.offset_mm());
    let strap = |loader: Loader, needed: f64| matches!(loader, Loader::Strap { .. }).then_some(needed);
    [strap(rig.upper, upper), strap(rig.lower, lower)]
}

/// Two load points that a pull draws apart.
#[derive(Clone, Debug)]
pub struct Seating {
    /// Path of the upper load point.
    pub upper: Track,
    /// Path of the lower load point.
    pub lower: Track,
}

impl Seating {
    /// The two load points of a rig; `None` where one of its loaders fits nowhere.
    ///
    /// ```
    /// # use geometry::connector::{Connector, GatePlace};
    /// # use solver::material::Materials;
    /// # use solver::system::{System, SystemSettings};
    /// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
    /// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
    /// use solver::rig::Rig;
    /// use solver::seats::{Seating, regime};
    ///
    /// let seating = Seating::on(&system, &Rig::example()).unwrap();
    /// let (rests, even) = seating.rests();
    /// let shares: f64 = rests.iter().map(|rest| rest.share_of_starting_places).sum();
    /// // From every starting place the loads run to one of the resting places, or stay.
    /// assert!((shares + even - 1.0).abs() < 1e-9, "{shares} {even}: {:?}", regime(&seating, &rests));
    /// ```
    #[must_use]
    pub fn on(system: &System, rig: &Rig) -> Option<Self> {
        let [upper, lower] = [(true, rig.upper), (false, rig.lower)];
        Some(Self {
            upper: Track::on(system, upper.0, upper.1)?,
            lower: Track::on(system, lower.0, lower.1)?,
        })
    }

    /// Distance of the load points, mm.
    #[must_use]
    pub fn distance_mm(&self, upper_mm: f64, lower_mm: f64) -> f64 {
        distance(self.upper.point(upper_mm), self.lower.point(lower_mm))
    }

    /// Friction needed at the upper and at the lower end to stay: the tangent of the angle between pull axis and edge
    /// normal. None is needed where the axis only presses a loader against the end of its range.
    #[must_use]
    pub fn friction_needed(&self, upper_mm: f64, lower_mm: f64) -> [f64; 2] {
        let (u, l) = (self.upper.point(upper_mm), self.lower.point(lower_mm));
        let axis = [u[0] - l[0], u[1] - l[1]];
        let end = |track: &Track, at: f64, pull: Point| {
            let slope = track.slope(at);
            let along = pull[0] + slope * pull[1];
            let square = (pull[1] - slope * pull[0]).abs();
            let (low, high) = track.range();
            let stopped = (along > 0.0 && at >= high - FOUND_MM) || (along < 0.0 && at <= low + FOUND_MM);
            if stopped { 0.0 } else { along.abs() / square.max(f64::MIN_POSITIVE) }
        };
        [end(&self.upper, upper_mm, axis), end(&self.lower, lower_mm, [-axis[0], -axis[1]])]
    }

    /// How the pair stands at a position, without friction.
    #[must_use]
    pub fn footing(&self, upper_mm: f64, lower_mm: f64) -> Footing {
        let [upper, lower] = self.friction_needed(upper_mm, lower_mm);
        if upper.max(lower) > NO_FRICTION {
            return Footing::Slides;
        }
        let here = self.distance_mm(upper_mm, lower_mm);
        let mut footing = Footing::Stable;
        for (du, dl) in AROUND {
            let (u, l) = (upper_mm + ASIDE_MM * du, lower_mm + ASIDE_MM * dl);
            let (fits_u, fits_l) = (inside(&self.upper, u), inside(&self.lower, l));
            if !(fits_u && fits_l) {
                continue;
            }
            // A balanced position may be off by what the friction threshold lets through.
            let gained = self.distance_mm(u, l) - here;
            if gained > NO_FRICTION * ASIDE_MM * 2.0 {
                return Footing::Unstable;
            }
            if gained > -LEVEL_MM {
                footing = Footing::Neutral;
            }
        }
        footing
    }

    /// All stable rests, the one that draws from farthest first, and the part of all pairs of positions from which
    /// nothing draws (flat ground).
    #[must_use]
    pub fn rests(&self) -> (Vec<Rest>, f64) {
        let (us, ls) = (positions(&self.upper), positions(&self.lower));
        let (upper, lower): (Vec<Point>, Vec<Point>) = (
            us.iter().map(|u| self.upper.point(*u)).collect(),
            ls.iter().map(|l| self.lower.point(*l)).collect(),
        );
        let apart: Vec<f64> = upper.iter().flat_map(|u| lower.iter().map(|l| distance(*u, *l))).collect();
        let place = |i: usize, j: usize| i * ls.len() + j;
        // Where the loads move to from each pair of positions; to where they are at a maximum.
        let next = |here: usize| {
            let (i, j) = (here / ls.len(), here % ls.len());
            let mut best = (here, apart[here] + EQUAL_MM);
            for (du, dl) in AROUND {
                let (Some(a), Some(b)) = (step(i, du, us.len()), step(j, dl, ls.len())) else { continue };
                if apart[place(a, b)] > best.1 {
                    best = (place(a, b), apart[place(a, b)]);
                }
            }
            best.0
        };
        let mut tops: Vec<((usize, usize), usize)> = Vec::new();
        // The maximum that each pair runs to, once it is known.
        let mut top_of: Vec<Option<usize>> = vec![None; apart.len()];
        let mut walked = Vec::new();
        for start in 0..apart.len() {
            let mut here = start;
            let top = loop {
                if let Some(known) = top_of[here] {
                    break known;
                }
                walked.push(here);
                let there = next(here);
                if there == here {
                    break here;
                }
                here = there;
            };
            for passed in walked.drain(..) {
                top_of[passed] = Some(top);
            }
            let pair = (top / ls.len(), top % ls.len());
            match tops.iter_mut().find(|t| t.0 == pair) {
                Some(known) => known.1 += 1,
                None => tops.push((pair, 1)),
            }
        }
        let pairs = (us.len() * ls.len()) as f64;
        let mut rests: Vec<Rest> = Vec::new();
        let mut flat = 0.0;
        for ((i, j), count) in tops {
            let (u, l) = self.climb(us[i], ls[j], us[1.min(us.len() - 1)] - us[0]);
            let part = count as f64 / pairs;
            match rests
                .iter_mut()
                .find(|r| (r.upper_mm - u).abs() < ONE_MM && (r.lower_mm - l).abs() < ONE_MM)
            {
                Some(known) => known.share_of_starting_places += part,
                None if self.footing(u, l) == Footing::Neutral => flat += part,
                None => rests.push(Rest {
                    upper_mm: u,
                    lower_mm: l,
                    distance_mm: self.distance_mm(u, l),
                    share_of_starting_places: part,
                }),
            }
        }
        // Mirrored shapes have equal rests: the one with the upper load nearer to the gate comes first.
        rests.sort_by(|a, b| {
            let near = |r: &Rest| (1e3 * r.share_of_starting_places).round();
            near(b).total_cmp(&near(a)).then(b.upper_mm.total_cmp(&a.upper_mm))
        });
        (rests, flat)
    }

    /// Offsets, both the same, at which friction `mu` holds the pair, as ranges in mm.
    #[must_use]
    pub fn held_together(&self, mu: f64) -> Vec<[f64; 2]> {
        let low = self.upper.range().0.max(self.lower.range().0);
        let high = self.upper.range().1.min(self.lower.range().1);
        let mut ranges: Vec<[f64; 2]> = Vec::new();
        if low > high {
            return ranges;
        }
        const STEPS: u32 = 400;
        let mut open = false;
        for i in 0..=STEPS {
            let x = low + (high - low) * f64::from(i) / f64::from(STEPS);
            let [upper, lower] = self.friction_needed(x, x);
            let held = upper.max(lower) <= mu;
            match ranges.last_mut() {
                Some(last) if held && open => last[1] = x,
                _ if held => ranges.push([x, x]),
                _ => {}
            }
            open = held;
        }
        ranges
    }

    fn climb(&self, u: f64, l: f64, first_step: f64) -> (f64, f64) {
        let (mut u, mut l) = (u, l);
        let mut step = first_step.max(FOUND_MM);
        let mut here = self.distance_mm(u, l);
        while step > 0.25 * FOUND_MM {
            let mut best = (here + 1e-12, u, l);
            for (du, dl) in AROUND {
                let a = clamp(&self.upper, u + step * du);
                let b = clamp(&self.lower, l + step * dl);
                let there = self.distance_mm(a, b);
                if there > best.0 {
                    best = (there, a, b);
                }
            }
            if best.1 == u && best.2 == l {
                step *= 0.5;
            } else {
                (here, u, l) = best;
            }
        }
        (u, l)
    }
}

/// The eight moves to neighbouring positions.
const AROUND: [(f64, f64); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0), (-1.0, -1.0)];

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn clamp(track: &Track, x: f64) -> f64 {
    let (low, high) = track.range();
    x.clamp(low, high)
}

fn inside(track: &Track, x: f64) -> bool {
    let (low, high) = track.range();
    x >= low && x <= high
}

fn step(i: usize, by: f64, count: usize) -> Option<usize> {
    let to = if by > 0.0 {
        i + 1
    } else if by < 0.0 {
        i.checked_sub(1)?
    } else {
        i
    };
    (to < count).then_some(to)
}

fn positions(track: &Track) -> Vec<f64> {
    let (low, high) = track.range();
    if high - low < FOUND_MM {
        return vec![0.5 * (low + high)];
    }
    (0..POSITIONS).map(|i| low + (high - low) * i as f64 / (POSITIONS - 1) as f64).collect()
}
