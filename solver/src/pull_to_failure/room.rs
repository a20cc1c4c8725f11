//! What a pull leaves of the gate's place: how far notch and hinge stand apart, and whether the pin still fits.

use super::face::Facing;
use super::joints::{At, Head, Joints};
use geometry::curve::Point;

/// A gate is shut with its pin no farther from its seat along the notch than this part of the pin's radius (engineering judgement): farther out
/// a sloping flank leaves it room though it is not home.
const HOME: f64 = 0.2;
/// Places of a shut gate, and of its hinge pin in the hole, that are looked at, each way.
const STANDS: u32 = 16;
/// How often they are looked at again, closer.
const LOOKS: u32 = 4;

impl Joints<'_> {
    /// How much farther the notch (or head) of a frame under these displacements stands from the hinge than before the pull, mm.
    pub fn apart_mm(&self, u: &[f64]) -> f64 {
        let before = [self.link.hinge, self.nose_before.centre];
        let [now, then] =
            [self.marks(u), before].map(|[hinge, nose]| (nose[0] - hinge[0]).hypot(nose[1] - hinge[1]));
        now - then
    }

    /// How much of that is open between nose and gate, which has stretched, mm.
    pub fn opening_mm(&self, u: &[f64], at: &At) -> f64 {
        self.apart_mm(u) - at.gate[3]
    }

    fn head_at(&self, u: &[f64]) -> Head {
        let moved = self.head.map_or([0.0; 2], |ports| ports.map(|port| port.displacement(u)));
        Head { moved, ..Head::default() }
    }

    /// The middles of what holds the gate: hinge hole, and notch or head.
    fn marks(&self, u: &[f64]) -> [Point; 2] {
        // How far a surface has moved, the mean over its length.
        let moved = |points: &[Facing]| {
            let whole: f64 = points.iter().map(|f| f.length_mm).sum();
            [0, 1].map(|i| {
                let moved =
                    points.iter().map(|f| f.length_mm * (Self::on_frame(u, f)[i] - f.at[i])).sum::<f64>();
                if whole > 0.0 { moved / whole } else { 0.0 }
            })
        };
        let (hole, before) = (moved(&self.hinge.points), self.nose_before.centre);
        let seat = if self.head.is_some() { self.head_at(u).moved } else { moved(&self.notch) };
        [[0, 1].map(|i| self.link.hinge[i] + hole[i]), [0, 1].map(|i| before[i] + seat[i])]
    }

    /// Room around the pin in its notch, on a frame under these displacements that nothing loads, where gate and hinge pin stand as well as
    /// they can, mm; below zero the pin does not fit.
    pub fn room_mm(&self, u: &[f64]) -> f64 {
        let (link, head) = (&self.link, self.head_at(u));
        let [hinge, nose] = self.marks(u);
        let hole = [0, 1].map(|i| hinge[i] - link.hinge[i]);
        let room = |turn: f64, by: f64| {
            let along = [(link.angle + turn).cos(), (link.angle + turn).sin()];
            let place = [hole[0] + by * along[0], hole[1] + by * along[1], turn, 0.0];
            let circle = self.nose_circle(place, &head);
            let (sine, cosine) = if self.head.is_some() { turn.sin_cos() } else { (0.0, 1.0) };
            let (mut nearest, mut inside, mut room) = (f64::INFINITY, false, f64::INFINITY);
            for f in &self.nose.points {
                let [x, y] = self.surface(u, place, f);
                let [x, y] = [circle.centre[0] - x, circle.centre[1] - y];
                let from = x.hypot(y);
                room = room.min(from - circle.radius + f.inset_mm);
                if from < nearest {
                    let outward = [
                        cosine * f.outward[0] - sine * f.outward[1],
                        sine * f.outward[0] + cosine * f.outward[1],
                    ];
                    (nearest, inside) = (from, x * outward[0] + y * outward[1] < 0.0);
                }
            }
            // A pin whose middle lies in the metal lacks the more the deeper it lies.
            if inside { -nearest - circle.radius } else { room }
        };
        let between = |low: f64, high: f64| {
            (0..=STANDS).map(move |k| low + (high - low) * f64::from(k) / f64::from(STANDS))
        };
        let play = self.hinge_play_mm;
        let mut reach = [HOME * self.nose_before.radius / link.length_mm, play];
        // The angle at which the gate stands before what holds it, its pin in the middle of its hole.
        let shut = (nose[1] - hinge[1]).atan2(nose[0] - hinge[0]) - link.angle;
        let (mut about, mut most) = ([shut, 0.0], f64::NEG_INFINITY);
        // Closer and closer about where there was most room.
        for _ in 0..LOOKS {
            let turns = between(about[0] - reach[0], about[0] + reach[0]);
            let (low, high) = ((about[1] - reach[1]).max(-play), (about[1] + reach[1]).min(play));
            for [turn, by] in turns.flat_map(|turn| between(low, high).map(move |by| [turn, by])) {
                let here = room(turn, by);
                if here > most {
                    (about, most) = ([turn, by], here);
                }
            }
            reach = reach.map(|r| 4.0 * r / f64::from(STANDS));
        }
        most
    }
}
