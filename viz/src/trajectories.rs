//! Stress trajectories: evenly spaced lines along the first principal stress, each as thick as the force that flows in it.
//!
//! Lines are grown one after another and stop where they would come too near an older one (B. Jobard, W. Lefer 1997). A
//! trajectory stands for the strip of material of one spacing around it; its force is stress times breadth times spacing. The
//! seeds are a fixed grid, strongest first: no chance is involved.

use crate::bodies::{outline, principal};
use crate::body_field::BodyField;
use crate::colour::Rgba;
use crate::drawing::{Item, Stroke};
use crate::layout::{Area, View};
use crate::look::{INK, LABEL, PAPER_SHADE, QUIET, SMALL, round_up};
use crate::path::{Path, Rule, Segment};
use crate::raster::ValueRaster;
use crate::text::{Anchor, Block, CAP_HEIGHT, Text, Weight};

/// Distance of neighbouring trajectories, page units.
const SPACING: f64 = 20.0;
/// A line stops when it comes nearer than this part of the spacing to another.
const NEAREST: f64 = 0.55;
/// Step along a line, page units.
const STEP: f64 = 2.0;
/// Thickness of the strongest trajectory, page units.
const THICKEST: f64 = 15.0;
/// Trajectories weaker than this part of the strongest are left out.
const WEAKEST: f64 = 0.03;
/// Stress samples per page unit.
const SAMPLES: f64 = 0.6;

/// What all bodies of one picture share: how thick a trajectory is for its force.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plan {
    /// Force per length across the line that is drawn thickest, N/mm.
    strongest: f64,
}

/// From the top of an upright key to the note below its samples, where there is room.
const SAMPLES_HIGH: f64 = 330.0;

impl Plan {
    pub fn new<'a>(bodies: impl IntoIterator<Item = &'a BodyField<'a>>) -> Self {
        let mut flows: Vec<f64> = bodies
            .into_iter()
            .flat_map(|body| body.nodal_stress.iter().zip(body.breadth))
            .map(|(s, b)| principal(*s)[0] * b)
            .filter(|f| f.is_finite() && *f > 0.0)
            .collect();
        flows.sort_unstable_by(f64::total_cmp);
        // The last hundredth is contact points: they would make every other trajectory thin.
        let place = (flows.len() * 99 / 100).min(flows.len().saturating_sub(1));
        Self { strongest: flows.get(place).copied().unwrap_or(1.0) }
    }

    fn thickness(&self, flow: f64) -> f64 {
        (THICKEST * flow / self.strongest).clamp(0.0, 1.15 * THICKEST)
    }

    /// A body on pale ground with its trajectories.
    pub fn body(&self, body: &BodyField<'_>, view: &View, colour: Rgba) -> Vec<Item> {
        let path = outline(body, view);
        let mut trajectories = Path { segments: Vec::new(), rule: Rule::NonZero };
        if let Some(flow) = Flow::new(body, view, self.strongest) {
            for line in flow.lines() {
                self.add_ribbon(&mut trajectories, &flow, &line);
            }
        }
        vec![
            Item::filled(path.clone(), PAPER_SHADE),
            Item::Clipped { clip: path.clone(), items: vec![Item::filled(trajectories, colour)] },
            Item::stroked(path, Stroke::new(INK, 2.4)),
        ]
    }

    fn add_ribbon(&self, trajectories: &mut Path, flow: &Flow, line: &[[f64; 2]]) {
        let n = line.len();
        let side = |i: usize, sign: f64| {
            let (a, b) = (line[i.saturating_sub(1)], line[(i + 1).min(n - 1)]);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let length = dx.hypot(dy).max(1e-9);
            // Ends taper over a few steps.
            let taper = (i.min(n - 1 - i) as f64 / 6.0).min(1.0);
            let half = 0.5 * sign * taper * self.thickness(flow.at(line[i]).map_or(0.0, |f| f.0)).max(1.0);
            [line[i][0] - half * dy / length, line[i][1] + half * dx / length]
        };
        for i in 0..n {
            let p = side(i, 1.0);
            trajectories.segments.push(if i == 0 { Segment::Move(p) } else { Segment::Line(p) });
        }
        for i in (0..n).rev() {
            trajectories.segments.push(Segment::Line(side(i, -1.0)));
        }
        trajectories.segments.push(Segment::Close);
    }

    /// Sample trajectories across an area with the force of each, kN. `scale`: page units per mm; `size`: of the type.
    pub fn key_across(&self, scale: f64, area: Area, size: f64) -> Vec<Item> {
        let whole = self.strongest * SPACING / scale / 1000.0;
        let largest = round_up(0.6 * whole);
        let y = area.y + 0.5 * area.h;
        // On a narrow area samples are shorter, so that none runs into the number before it.
        let long = (3.0 * size).min(0.25 * area.w - 2.6 * size).max(0.8 * size);
        let mut items = Vec::new();
        for (i, part) in [1.0, 0.5, 0.25, 0.1].into_iter().enumerate() {
            let kn = part * largest;
            let thick = self.thickness(self.strongest * kn / whole).max(1.0);
            let x = area.x + 0.25 * area.w * i as f64;
            let line = Path::line(&[[x, y], [x + long, y]]);
            items.push(Item::stroked(line, Stroke::new(INK, thick)));
            let at = [x + long + 0.6 * size, y + 0.5 * CAP_HEIGHT * size];
            let digits = match kn {
                kn if kn >= 1.0 => 0,
                kn if kn < 0.1 => 3,
                _ => 2,
            };
            items.push(Item::Text(Text::new(at, size, Weight::Regular, INK, format!("{kn:.digits$}"))));
        }
        items
    }

    /// Sample trajectories with the force of each, kN, and a note under them.
    pub fn key(&self, scale: f64, area: Area, note: &str) -> Vec<Item> {
        let whole = self.strongest * SPACING / scale / 1000.0;
        let largest = round_up(0.6 * whole);
        let mut items = Vec::new();
        // Trajectories have one sign only.
        let note = Block::fit(note, Weight::Regular, SMALL, SMALL, [area.w, 8.0 * LABEL]);
        // Samples move together where the area is low.
        let close = ((area.h - note.height()) / SAMPLES_HIGH).min(1.0);
        for (i, part) in [1.0, 0.5, 0.25, 0.1].into_iter().enumerate() {
            let kn = part * largest;
            let y = area.y + close * (40.0 + 74.0 * i as f64);
            let thick = self.thickness(self.strongest * kn / whole).max(1.0);
            let x = area.right() - 0.5 * area.w;
            items.push(Item::stroked(Path::line(&[[x - 84.0, y], [x - 22.0, y]]), Stroke::new(INK, thick)));
            let at = [area.right(), y + 0.5 * CAP_HEIGHT * LABEL];
            let digits = if kn >= 1.0 {
                0
            } else if kn < 0.1 {
                3
            } else {
                2
            };
            let words = format!("{kn:.digits$}");
            items.push(Item::Text(Text::new(at, LABEL, Weight::Regular, INK, words).anchored(Anchor::End)));
        }
        let below = area.y + close * SAMPLES_HIGH;
        items.extend(note.place(area.right(), below, Anchor::End, QUIET).into_iter().map(Item::Text));
        items
    }
}

/// First principal stress of a body, sampled on the page.
struct Flow {
    samples: ValueRaster<4>,
    weakest: f64,
}

impl Flow {
    fn new(body: &BodyField<'_>, view: &View, strongest: f64) -> Option<Self> {
        let points: Vec<[f64; 2]> = body.points.iter().map(|p| view.place(*p).map(|c| c * SAMPLES)).collect();
        let values: Vec<[f64; 4]> =
            body.nodal_stress.iter().zip(body.breadth).map(|(s, b)| [s[0], s[1], s[2], *b]).collect();
        let samples = ValueRaster::draw(&points, body.triangles, &values, 1);
        (!samples.values.is_empty()).then_some(Self { samples, weakest: WEAKEST * strongest })
    }

    /// Force per length across the line (N/mm) and unit vector of the line, where there is enough to show.
    fn at(&self, p: [f64; 2]) -> Option<(f64, [f64; 2])> {
        let [xx, yy, xy, breadth] = self.samples.at(p.map(|c| c * SAMPLES))?.map(f64::from);
        let flow = principal([xx, yy, xy])[0] * breadth;
        let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
        (flow > self.weakest).then(|| (flow, [angle.cos(), -angle.sin()]))
    }

    fn lines(&self) -> Vec<Vec<[f64; 2]>> {
        let mut taken = Taken::new(&self.samples);
        let mut lines: Vec<Vec<[f64; 2]>> = Vec::new();
        let mut next = 0;
        for seed in self.seeds() {
            self.try_line(seed, &mut taken, &mut lines);
            // Neighbours of each new line first: that is what keeps the spacing even.
            while next < lines.len() {
                let line = lines[next].clone();
                next += 1;
                for p in line.iter().step_by(4) {
                    let Some((_, d)) = self.at(*p) else { continue };
                    for side in [-1.0, 1.0] {
                        let seed = [p[0] - side * SPACING * d[1], p[1] + side * SPACING * d[0]];
                        self.try_line(seed, &mut taken, &mut lines);
                    }
                }
            }
        }
        lines
    }

    /// A fixed grid, strongest first; equal ones in order of the grid.
    fn seeds(&self) -> Vec<[f64; 2]> {
        let (columns, rows) = (self.samples.width as f64 / SAMPLES, self.samples.height as f64 / SAMPLES);
        let corner = [f64::from(self.samples.x0) / SAMPLES, f64::from(self.samples.y0) / SAMPLES];
        let mut seeds: Vec<(f64, [f64; 2])> = Vec::new();
        for j in 0..(2.0 * rows / SPACING) as i32 {
            for i in 0..(2.0 * columns / SPACING) as i32 {
                let p = [corner[0] + 0.5 * SPACING * f64::from(i), corner[1] + 0.5 * SPACING * f64::from(j)];
                if let Some((flow, _)) = self.at(p) {
                    seeds.push((flow, p));
                }
            }
        }
        seeds.sort_by(|a, b| b.0.total_cmp(&a.0));
        seeds.into_iter().map(|s| s.1).collect()
    }

    fn try_line(&self, seed: [f64; 2], taken: &mut Taken, lines: &mut Vec<Vec<[f64; 2]>>) {
        if taken.near(seed, 0.98 * SPACING) {
            return;
        }
        let Some((_, d)) = self.at(seed) else { return };
        let mut line = self.grow(seed, [-d[0], -d[1]], taken);
        line.reverse();
        line.push(seed);
        line.extend(self.grow(seed, d, taken));
        if line.len() as f64 * STEP > 2.0 * SPACING {
            taken.add(&line);
            lines.push(line);
        }
    }

    /// Midpoint steps from `from` until the line leaves the body, weakens, or meets another one.
    fn grow(&self, from: [f64; 2], heading: [f64; 2], taken: &Taken) -> Vec<[f64; 2]> {
        let mut line = Vec::new();
        let (mut p, mut heading) = (from, heading);
        let toward = |d: [f64; 2], h: [f64; 2]| {
            if d[0] * h[0] + d[1] * h[1] < 0.0 { [-d[0], -d[1]] } else { d }
        };
        for _ in 0..2000 {
            let Some((_, d)) = self.at(p) else { break };
            let d = toward(d, heading);
            let half = [p[0] + 0.5 * STEP * d[0], p[1] + 0.5 * STEP * d[1]];
            let Some((_, m)) = self.at(half) else { break };
            let m = toward(m, d);
            // Where the two principal stresses meet the direction jumps; a trajectory has no corner.
            if m[0] * heading[0] + m[1] * heading[1] < 0.95 {
                break;
            }
            let new = [p[0] + STEP * m[0], p[1] + STEP * m[1]];
            let back_at_start =
                line.len() as f64 * STEP > 3.0 * SPACING && (new[0] - from[0]).hypot(new[1] - from[1]) < STEP;
            if back_at_start || taken.near(new, NEAREST * SPACING) || self.at(new).is_none() {
                break;
            }
            line.push(new);
            p = new;
            heading = m;
        }
        line
    }
}

/// Points of finished lines, in cells one spacing wide.
struct Taken {
    corner: [f64; 2],
    columns: usize,
    rows: usize,
    cells: Vec<Vec<[f64; 2]>>,
}

impl Taken {
    fn new(samples: &ValueRaster<4>) -> Self {
        let count = |n: usize| (n as f64 / SAMPLES / SPACING).ceil() as usize + 3;
        let (columns, rows) = (count(samples.width), count(samples.height));
        let corner = [samples.x0, samples.y0].map(|c| f64::from(c) / SAMPLES - SPACING);
        Self { corner, columns, rows, cells: vec![Vec::new(); columns * rows] }
    }

    fn cell(&self, p: [f64; 2]) -> (usize, usize) {
        let place =
            |k: usize, count: usize| (((p[k] - self.corner[k]) / SPACING).max(0.0) as usize).min(count - 1);
        (place(0, self.columns), place(1, self.rows))
    }

    fn add(&mut self, line: &[[f64; 2]]) {
        for p in line {
            let (i, j) = self.cell(*p);
            self.cells[j * self.columns + i].push(*p);
        }
    }

    fn near(&self, p: [f64; 2], distance: f64) -> bool {
        let (i, j) = self.cell(p);
        let rows = j.saturating_sub(1)..=(j + 1).min(self.rows - 1);
        rows.flat_map(|j| (i.saturating_sub(1)..=(i + 1).min(self.columns - 1)).map(move |i| (i, j)))
            .flat_map(|(i, j)| &self.cells[j * self.columns + i])
            .any(|q| (q[0] - p[0]).hypot(q[1] - p[1]) < distance)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A strip 40 mm wide and 80 mm tall, 10 mm broad, under a pull of 50 MPa along y.
    fn strip() -> (Vec<[f64; 2]>, Vec<[u32; 6]>) {
        let points: Vec<[f64; 2]> =
            (0..9).map(|i| [f64::from(i % 3) * 20.0 - 20.0, f64::from(i / 3) * 40.0 - 40.0]).collect();
        (points, vec![[0, 2, 8, 1, 5, 4], [0, 8, 6, 4, 7, 3]])
    }

    #[test]
    fn a_bar_under_pull_has_straight_trajectories_that_carry_its_force() {
        let (points, triangles) = strip();
        let body = BodyField {
            points: &points,
            triangles: &triangles,
            values: &[50.0; 9],
            outline: vec![vec![[-20.0, -40.0], [20.0, -40.0], [20.0, 40.0], [-20.0, 40.0]]],
            nodal_stress: &[[0.0, 50.0, 0.0]; 9],
            breadth: &[10.0; 9],
        };
        let plan = Plan::new([&body]);
        assert_eq!(plan.strongest, 500.0);
        let area = Area { x: 0.0, y: 0.0, w: 400.0, h: 800.0 };
        let view = View::fitting([-20.0, -40.0], [20.0, 40.0], area);
        let flow = Flow::new(&body, &view, plan.strongest).unwrap();
        let lines = flow.lines();
        // 400 units across at 20 a trajectory: 19 or 20 trajectories, 20 kN in all.
        let long: Vec<_> = lines.iter().filter(|l| l.len() as f64 * STEP > 700.0).collect();
        assert!((18..=21).contains(&long.len()), "{}", long.len());
        for line in &long {
            assert!(line.iter().all(|p| (p[0] - line[0][0]).abs() < 1e-6), "straight up");
        }
        let carried = long.len() as f64 * plan.strongest * SPACING / view.scale / 1000.0;
        assert!((carried - 20.0).abs() < 2.0, "{carried} kN");
    }
}
