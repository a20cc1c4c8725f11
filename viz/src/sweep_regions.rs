//! The regions of a sweep's map in which one part and the same fails first: their borders, and where their names go.
//!
//! Between computed points every part's limit is read from its own grid, and the lowest owns the place. A border of two
//! parts is drawn where their limits are equal and no other is lower, so that three borders meet in a point. A name stands
//! wholly on the ground of its part; where that is too narrow it stands beside it, with a line that leads there.

use crate::chart_page::TYPE;
use crate::chart_panel::Panel;
use crate::contour::Grid;
use crate::layout::Area;

/// Places across and up at which ground is told apart.
const ACROSS: usize = 120;
const UP: usize = 90;
/// Pieces of a contour's segment that are judged by themselves.
const PIECES: u32 = 12;
/// Regions of fewer places carry no name: a person does not see them.
const FEWEST: usize = 10;

/// The limits of parts over a map.
pub(crate) struct Regions {
    /// Of each part, in their order: as high as the map is meant to see where a part is never brought to its limit.
    pub limits: Vec<Grid>,
}

/// Where the name of a region stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Named {
    /// Which part.
    pub part: usize,
    /// Room of the name on the page.
    pub area: Area,
    /// The place in the region that a line leads to, where the name does not stand on it.
    pub leads_to: Option<[f64; 2]>,
}

impl Regions {
    /// The part with the lowest limit, and that limit.
    fn lowest(&self, [x, y]: [f64; 2]) -> Option<(usize, f64)> {
        let all = self.limits.iter().enumerate().filter_map(|(k, grid)| Some((k, grid.between(x, y)?)));
        all.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Lines between two regions, in the units of the axes.
    pub fn borders(&self) -> Vec<Vec<[f64; 2]>> {
        let mut all = Vec::new();
        for (a, one) in self.limits.iter().enumerate() {
            for other in &self.limits[a + 1..] {
                let values = one.values.iter().zip(&other.values).map(|(u, v)| Some((*u)? - (*v)?)).collect();
                let gap = Grid { xs: one.xs.clone(), ys: one.ys.clone(), values };
                for line in gap.contour(0.0) {
                    all.extend(self.visible(&line, [one, other]));
                }
            }
        }
        all
    }

    /// The stretches of a line along which no third part is lower than these two.
    fn visible(&self, line: &[[f64; 2]], pair: [&Grid; 2]) -> Vec<Vec<[f64; 2]>> {
        let mut stretches: Vec<Vec<[f64; 2]>> = Vec::new();
        let mut open = false;
        for ends in line.windows(2) {
            for i in 0..PIECES {
                let at = |i: u32| {
                    let t = f64::from(i) / f64::from(PIECES);
                    [0, 1].map(|k| (1.0 - t) * ends[0][k] + t * ends[1][k])
                };
                let middle = [0, 1].map(|k| 0.5 * (at(i)[k] + at(i + 1)[k]));
                let own = pair.iter().filter_map(|g| g.between(middle[0], middle[1])).fold(0.0, f64::max);
                let seen = self.lowest(middle).is_some_and(|(_, lowest)| own <= lowest * (1.0 + 5e-3));
                match (seen, open) {
                    (true, true) => {}
                    (true, false) => stretches.push(vec![at(i)]),
                    (false, _) => {}
                }
                if seen && let Some(last) = stretches.last_mut() {
                    last.push(at(i + 1));
                }
                open = seen;
            }
        }
        stretches
    }

    /// Room for a name of a width on the page for every region, clear of what is taken and of each other.
    pub fn names(&self, panel: &Panel, widths: &[f64], taken: &mut Vec<Area>) -> Vec<Named> {
        let ground = Ground::new(self, panel);
        let mut regions = ground.regions();
        // Large regions choose first: small ones find room beside themselves.
        regions.sort_by_key(|(_, places)| std::cmp::Reverse(places.len()));
        let mut all = Vec::new();
        for (part, places) in regions {
            let size = [widths[part], 1.25 * TYPE];
            if let Some(named) = ground.name(part, &places, size, taken) {
                taken.push(named.area);
                all.push(named);
            }
        }
        all
    }
}

/// The owner of every place of a lattice over the plot.
struct Ground {
    plot: Area,
    owners: Vec<Option<usize>>,
}

impl Ground {
    fn new(regions: &Regions, panel: &Panel) -> Self {
        let owners = (0..ACROSS * UP)
            .map(|p| {
                let s = ((p / UP) as f64 + 0.5) / ACROSS as f64;
                let t = 1.0 - ((p % UP) as f64 + 0.5) / UP as f64;
                let at = |t: f64, [a, b]: [f64; 2]| a + t * (b - a);
                regions.lowest([at(s, panel.x), at(t, panel.y)]).map(|(part, _)| part)
            })
            .collect();
        Self { plot: panel.plot, owners }
    }

    /// A place on the page.
    fn on_page(&self, p: usize) -> [f64; 2] {
        [
            self.plot.x + ((p / UP) as f64 + 0.5) / ACROSS as f64 * self.plot.w,
            self.plot.y + ((p % UP) as f64 + 0.5) / UP as f64 * self.plot.h,
        ]
    }

    fn neighbours(p: usize) -> impl Iterator<Item = usize> {
        let (i, j) = (p / UP, p % UP);
        let left = (i > 0).then(|| p - UP);
        let right = (i + 1 < ACROSS).then(|| p + UP);
        let over = (j > 0).then(|| p - 1);
        let under = (j + 1 < UP).then(|| p + 1);
        [left, right, over, under].into_iter().flatten()
    }

    /// Connected places of one owner, where they are many enough to be seen.
    fn regions(&self) -> Vec<(usize, Vec<usize>)> {
        let mut seen = vec![false; self.owners.len()];
        let mut all = Vec::new();
        for (start, owner) in self.owners.iter().enumerate() {
            let Some(part) = *owner else { continue };
            if seen[start] {
                continue;
            }
            seen[start] = true;
            let mut places = vec![start];
            let mut next = 0;
            while next < places.len() {
                for q in Self::neighbours(places[next]) {
                    if !seen[q] && self.owners[q] == Some(part) {
                        seen[q] = true;
                        places.push(q);
                    }
                }
                next += 1;
            }
            if places.len() >= FEWEST {
                all.push((part, places));
            }
        }
        all
    }

    /// Places under a box on the page.
    fn under(&self, area: &Area) -> impl Iterator<Item = usize> {
        let cell = |v: f64, from: f64, size: f64, count: usize| {
            ((v - from) / size * count as f64).clamp(0.0, count as f64 - 1.0) as usize
        };
        let column = |x: f64| cell(x, self.plot.x, self.plot.w, ACROSS);
        let row = |y: f64| cell(y, self.plot.y, self.plot.h, UP);
        let rows = row(area.y)..=row(area.bottom());
        (column(area.x)..=column(area.right())).flat_map(move |i| rows.clone().map(move |j| i * UP + j))
    }

    fn name(&self, part: usize, places: &[usize], [w, h]: [f64; 2], taken: &[Area]) -> Option<Named> {
        const EDGE: f64 = 4.0;
        let boxed = |p: usize| {
            let [x, y] = self.on_page(p);
            let area = Area { x: x - 0.5 * w, y: y - 0.5 * h, w, h };
            let inside = area.x >= self.plot.x + EDGE
                && area.right() <= self.plot.right() - EDGE
                && area.y >= self.plot.y + EDGE
                && area.bottom() <= self.plot.bottom() - EDGE;
            (inside && !taken.iter().any(|t| t.overlaps(&area))).then_some(area)
        };
        let away = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
        let count = places.len() as f64;
        let middle = [0, 1].map(|k| places.iter().map(|p| self.on_page(*p)[k]).sum::<f64>() / count);
        let own = |area: &Area| self.under(area).all(|q| self.owners[q] == Some(part));
        let on_it = places
            .iter()
            .filter_map(|p| boxed(*p).filter(own).map(|area| (away(self.on_page(*p), middle), area)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, area)) = on_it {
            return Some(Named { part, area, leads_to: None });
        }
        // The place of the region that is farthest from its edge.
        let edge: Vec<[f64; 2]> = places
            .iter()
            .filter(|p| {
                let own = |q: &usize| self.owners[*q] == Some(part);
                // The rim of the plot ends a region too.
                Self::neighbours(**p).filter(own).count() < 4
            })
            .map(|p| self.on_page(*p))
            .collect();
        let depth = |p: usize| edge.iter().map(|e| away(*e, self.on_page(p))).fold(f64::INFINITY, f64::min);
        let deepest = places.iter().copied().map(|p| (depth(p), p)).max_by(|a, b| a.0.total_cmp(&b.0))?.1;
        let to = self.on_page(deepest);
        // Beside it, on the ground of one other part, as near as can be.
        let beside = |area: &Area| {
            let mut owners = self.under(area).map(|q| self.owners[q]);
            let first = owners.next().flatten();
            first != Some(part) && owners.all(|owner| owner == first)
        };
        let near = (0..self.owners.len())
            .filter_map(|p| boxed(p).filter(beside).map(|area| (away(self.on_page(p), to), area)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        near.map(|(_, area)| Named { part, area, leads_to: Some(to) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three parts over the square from 0 to 4, with limits x, 4 - x and y, each half a kN higher.
    fn three() -> Regions {
        let ticks: Vec<f64> = (0..=4).map(f64::from).collect();
        let grid = |limit: &dyn Fn(f64, f64) -> f64| Grid {
            xs: ticks.clone(),
            ys: ticks.clone(),
            values: ticks.iter().flat_map(|x| ticks.iter().map(move |y| Some(limit(*x, *y)))).collect(),
        };
        Regions { limits: vec![grid(&|x, _| x + 0.5), grid(&|x, _| 4.5 - x), grid(&|_, y| 0.5 + y)] }
    }

    #[test]
    fn three_borders_meet_in_a_point() {
        let borders = three().borders();
        assert_eq!(borders.len(), 3, "{borders:?}");
        // x = 2 above, y = x and y = 4 - x below: all end at (2, 2), to the width of a piece.
        for line in &borders {
            let ends = [line[0], line[line.len() - 1]];
            let nearest = ends.iter().map(|p| (p[0] - 2.0).hypot(p[1] - 2.0)).fold(f64::INFINITY, f64::min);
            assert!(nearest < 0.1, "{line:?}");
        }
    }

    #[test]
    fn a_name_stands_on_its_own_ground_or_leads_there() {
        let regions = three();
        let plot = Area { x: 0.0, y: 0.0, w: 400.0, h: 400.0 };
        let panel = Panel { plot, x: [0.0, 4.0], y: [0.0, 4.0] };
        let ground = Ground::new(&regions, &panel);
        let named = regions.names(&panel, &[60.0, 180.0, 60.0], &mut Vec::new());
        assert_eq!(named.len(), 3);
        for name in &named {
            let own = ground.under(&name.area).filter(|q| ground.owners[*q] == Some(name.part)).count();
            match name.leads_to {
                None => assert_eq!(own, ground.under(&name.area).count()),
                Some(to) => {
                    assert_eq!(own, 0, "beside it");
                    let [x, y] = [to[0] / 100.0, 4.0 - to[1] / 100.0];
                    assert_eq!(regions.lowest([x, y]).unwrap().0, name.part);
                }
            }
        }
        // Ground of 40 units of width holds no name of 60.
        let narrow = Panel { plot: Area { w: 80.0, ..plot }, ..panel };
        let beside = regions.names(&narrow, &[60.0, 60.0, 60.0], &mut Vec::new());
        assert!(beside.iter().all(|name| name.part == 2 || name.leads_to.is_some()), "{beside:?}");
    }
}
