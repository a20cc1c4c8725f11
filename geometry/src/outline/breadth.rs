//! The breadth field: how thick the uncut frame is across the plane at each point.

use super::strip::Strip;
use crate::connector::{Section, SectionShape};
use crate::curve::Point;

/// Where the chord of a section goes to zero (the edge of a round bar), this part of its breadth is kept.
/// At most 2 %; the verification shows that it does not matter.
pub const DEFAULT_FLOOR: f64 = 0.01;

/// Part of the flange thickness over which the breadth of an I-section runs from flange to web. A forged section has a
/// fillet there; the smooth run keeps area, and changes the second moment by less than 1 %.
const FLANGE_RUN: f64 = 0.6;

impl Section {
    /// Breadth of the section at `relative`, the distance from its centre over half its depth (-1 to 1), mm.
    #[must_use]
    pub fn chord_mm(&self, relative: f64) -> f64 {
        let (d, b) = (self.depth_mm, self.breadth_mm);
        let s = 0.5 * d * relative.abs().min(1.0);
        match self.shape {
            SectionShape::Rectangle => b,
            SectionShape::Round => 2.0 * (0.25 * d * d - s * s).max(0.0).sqrt(),
            SectionShape::Oval if d >= b => {
                let beyond = (s - 0.5 * (d - b)).max(0.0);
                2.0 * (0.25 * b * b - beyond * beyond).max(0.0).sqrt()
            }
            SectionShape::Oval => (b - d) + 2.0 * (0.25 * d * d - s * s).max(0.0).sqrt(),
            SectionShape::I { flange_mm, web_mm } => {
                let run = FLANGE_RUN * flange_mm;
                let into_flange = (s - (0.5 * d - flange_mm) + 0.5 * run) / run;
                web_mm + (b - web_mm) * super::strip::smooth_step(into_flange)
            }
        }
    }

    /// Area of the section, mm^2, by quadrature (relative error below 1e-5).
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        self.moment_of_chord(0)
    }

    /// Second moment of area about the axis across the plane, mm^4, by quadrature (relative error below 1e-5).
    #[must_use]
    pub fn second_moment_mm4(&self) -> f64 {
        self.moment_of_chord(2)
    }

    fn moment_of_chord(&self, power: i32) -> f64 {
        // s = (d/2) sin(angle) takes the square root out of the integrand of round ends.
        let n = 4000;
        let step = std::f64::consts::PI / f64::from(n);
        (0..n)
            .map(|i| {
                let angle = -0.5 * std::f64::consts::PI + (f64::from(i) + 0.5) * step;
                let relative = angle.sin();
                let s = 0.5 * self.depth_mm * relative;
                self.chord_mm(relative) * s.powi(power) * 0.5 * self.depth_mm * angle.cos() * step
            })
            .sum()
    }
}

/// The breadth of the frame.
#[derive(Clone, Debug)]
pub struct FrameBreadth {
    strip: Strip,
    lug_breadth: f64,
    nose_breadth: f64,
    floor: f64,
}

impl FrameBreadth {
    /// Breadth along `strip`, with the breadths of the machined blocks and the kept part of the breadth.
    #[must_use]
    pub fn new(strip: Strip, lug_breadth: f64, nose_breadth: f64, floor: f64) -> Self {
        Self { strip, lug_breadth, nose_breadth, floor }
    }

    /// Breadth at a point, mm, the floor kept.
    #[must_use]
    pub fn at(&self, p: Point) -> f64 {
        let (chord, widest) = self.chord(p);
        chord.max(self.floor * widest)
    }

    /// Chord at a point without the floor, and the breadth of the section at its middle, mm.
    #[must_use]
    pub fn chord(&self, p: Point) -> (f64, f64) {
        let place = self.strip.place(p);
        self.chords(place.segment, place.t)(place.outward_mm)
    }

    /// Breadth at a place along the strip and a distance outward from the window's edge, mm, the floor kept. For places on
    /// that edge and beyond: inside the window another side may be nearer.
    pub fn across(&self, segment: usize, t: f64) -> impl Fn(f64) -> f64 {
        let (chords, floor) = (self.chords(segment, t), self.floor);
        move |outward_mm| {
            let (chord, widest) = chords(outward_mm);
            chord.max(floor * widest)
        }
    }

    /// Chord by distance outward at a place along the strip, and the breadth of the section at its middle, mm.
    fn chords(&self, segment: usize, t: f64) -> impl Fn(f64) -> (f64, f64) {
        let mix = self.strip.mix(segment, t);
        let (inner, outer) = self.strip.edges(segment, t);
        let [lug_breadth, nose_breadth] = [self.lug_breadth, self.nose_breadth];
        let bar = move |r: f64| {
            let from = mix.from.chord_mm(r);
            if mix.weight > 0.0 { from + mix.weight * (mix.to.chord_mm(r) - from) } else { from }
        };
        let blocks = move |t: f64| {
            let with_lug = t + mix.lug * (lug_breadth - t);
            with_lug + mix.nose * (nose_breadth - with_lug)
        };
        let widest = blocks(mix.from.breadth_mm + mix.weight * (mix.to.breadth_mm - mix.from.breadth_mm));
        move |outward_mm| (blocks(bar((2.0 * outward_mm - inner - outer) / (outer - inner))), widest)
    }
}
