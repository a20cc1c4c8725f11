//! A small picture of a solved problem: one stress on bodies, cut along their true outline, with what presses and holds.
//!
//! Made for a page with dozens of them: colours come in few steps, so that the pixels pack into a few kilobytes, and the
//! edges are the curves of the elements themselves. There are no letters in it; its page sets words and scale as text.

use crate::colour::{Rgba, Scale};
use crate::drawing::{Drawing, Image, Item, Stroke};
use crate::layout::{Area, View, bounds};
use crate::look::{ACCENT, INK, QUIET};
use crate::path::{Path, Segment};
use crate::raster::ValueRaster;

/// A body of a figure; y up, any unit of length.
#[derive(Clone, Copy, Debug)]
pub struct FigurePart<'a> {
    /// Node positions.
    pub points: &'a [[f64; 2]],
    /// Six-node triangles: corners, then middles of sides 01, 12, 20.
    pub triangles: &'a [[u32; 6]],
    /// Sides that bound the body: start, end, middle.
    pub edges: &'a [[u32; 3]],
    /// The shown stress of each node.
    pub values: &'a [f64],
    /// Loads along edges: where, force per length.
    pub edge_loads: &'a [([f64; 2], [f64; 2])],
    /// Forces at points.
    pub point_loads: &'a [([f64; 2], [f64; 2])],
    /// Sides that are held.
    pub held: &'a [[u32; 3]],
}

/// A picture of a solved problem.
#[derive(Clone, Debug)]
pub struct FieldFigure<'a> {
    /// Short name, for screen readers.
    pub title: &'a str,
    /// What the picture says, in words.
    pub description: String,
    /// The bodies, back to front.
    pub parts: Vec<FigurePart<'a>>,
    /// Whether the stress has a sign.
    pub signed: bool,
    /// Completed by the image with x turned, by the one with y turned.
    pub mirrored: [bool; 2],
    /// What is shown, when not all of it: lower corner, upper corner.
    pub window: Option<[[f64; 2]; 2]>,
    /// Rigid circles: centre, radius.
    pub pins: &'a [([f64; 2], f64)],
    /// Places to mark with a ring.
    pub marks: &'a [[f64; 2]],
}

/// Colours between the ends of the scale: few enough to pack, many enough to look smooth.
const STEPS: f64 = 40.0;
/// Width, and the greatest height, in picture units; one unit is one pixel of a page.
const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 320.0;
/// Room around bodies, for arrows and supports.
const ROOM: f64 = 34.0;
/// Pixels of the field per picture unit: sharp enough on a fine screen, since the outline is not made of pixels.
const FINE: f64 = 1.5;
/// Pixels that the field runs past the outline.
const OVER: i32 = 3;
/// Longest arrow, and least distance between two, picture units.
const ARROW: f64 = 26.0;
const APART: f64 = 10.0;
/// From an edge to the middle of an arrow along it.
const BESIDE: f64 = 7.0;
/// Bodies of fewer triangles are shown with them.
const FEW: usize = 100;
/// Of a thousand nodes, so many lie within the colours: a point load would otherwise take them all.
const NEARLY_ALL: usize = 995;
/// And only where the greatest stress is this many times theirs.
const SINGULAR: f64 = 2.5;

impl FieldFigure<'_> {
    /// Lowest and highest stress that the colours span.
    #[must_use]
    pub fn span(&self) -> [f64; 2] {
        let seen = |p: &[f64; 2]| {
            self.window.is_none_or(|[low, high]| {
                let within = |k: usize, v: f64| low[k] <= v && v <= high[k];
                let both = |k: usize| within(k, p[k]) || (self.mirrored[k] && within(k, -p[k]));
                both(0) && both(1)
            })
        };
        let mut sizes: Vec<f64> = self
            .parts
            .iter()
            .flat_map(|part| part.points.iter().zip(part.values))
            .filter(|(p, v)| v.is_finite() && seen(p))
            .map(|(_, v)| v.abs())
            .collect();
        sizes.sort_unstable_by(f64::total_cmp);
        let last = sizes.len().saturating_sub(1);
        let at = |place: usize| sizes.get(place.min(last)).copied().unwrap_or(1.0);
        let (nearly, most) = (at(sizes.len() * NEARLY_ALL / 1000), at(last));
        let high = two_figures(if most > SINGULAR * nearly { nearly } else { most });
        if self.signed { [-high, high] } else { [0.0, high] }
    }

    /// The scale of its colours.
    #[must_use]
    pub fn scale(&self) -> Scale {
        if self.signed { Scale::TwoSided } else { Scale::Glow }
    }

    /// Lays the picture out; as high as its bodies ask, on a transparent ground.
    #[must_use]
    pub fn drawing(&self) -> Drawing {
        let [low, high] = self.box_shown();
        let size = [high[0] - low[0], high[1] - low[1]];
        let wide = WIDTH - 2.0 * ROOM;
        let height = (wide * size[1] / size[0]).clamp(24.0, HEIGHT - 2.0 * ROOM) + 2.0 * ROOM;
        let stage = Area { x: ROOM, y: ROOM, w: wide, h: height - 2.0 * ROOM };
        let view = View::fitting(low, high, stage);
        let mut items = Vec::new();
        for part in &self.parts {
            items.extend(self.part(part, &view));
        }
        for (centre, radius) in self.pins {
            let circle = Path::circle(view.place(*centre), view.scale * radius);
            items.push(Item::outlined(circle, QUIET.faded(0.18), Stroke::new(INK, 1.2).dashed(5.0, 3.0)));
        }
        if self.window.is_some() {
            let (corner, far) = (view.place([low[0], high[1]]), view.place([high[0], low[1]]));
            let cut = Path::rectangle(corner, [far[0] - corner[0], far[1] - corner[1]]);
            items = vec![Item::Clipped { clip: cut.clone(), items }];
            items.push(Item::stroked(cut, Stroke::new(QUIET, 0.8).dashed(2.0, 3.0)));
        }
        items.extend(self.symmetry(&view, [low, high]));
        for part in &self.parts {
            items.extend(self.arrows(part, &view, [low, high]));
        }
        items.extend(self.marks.iter().flat_map(|p| {
            let ring = Path::circle(view.place(*p), 4.0);
            [
                Item::stroked(ring.clone(), Stroke::new(Rgba::hex(0xff_ffff), 3.4)),
                Item::stroked(ring, Stroke::new(ACCENT, 1.8)),
            ]
        }));
        Drawing {
            width: WIDTH,
            height: height.round(),
            pixels_per_unit: 1.0,
            title: self.title.to_owned(),
            description: self.description.clone(),
            background: None,
            items,
        }
    }

    /// The signs of x and y in each image of the bodies.
    fn images(&self) -> Vec<[f64; 2]> {
        let signs = |mirrored: bool| if mirrored { vec![1.0, -1.0] } else { vec![1.0] };
        let ys = signs(self.mirrored[1]);
        signs(self.mirrored[0]).into_iter().flat_map(|x| ys.iter().map(move |y| [x, *y])).collect()
    }

    fn box_shown(&self) -> [[f64; 2]; 2] {
        if let Some(window) = self.window {
            return window;
        }
        let all =
            self.parts.iter().flat_map(|part| part.edges.iter().flatten().map(|n| &part.points[*n as usize]));
        let [mut low, mut high] = bounds(all);
        for k in 0..2 {
            if self.mirrored[k] {
                let far = low[k].abs().max(high[k].abs());
                [low[k], high[k]] = [-far, far];
            }
        }
        [low, high]
    }

    /// All images of a body: field, outline, elements when few, and what is held. One clip and one raster for all images:
    /// no seam shows where they meet.
    fn part(&self, part: &FigurePart<'_>, view: &View) -> Vec<Item> {
        // Sides on a line of symmetry are no edges of the whole body.
        let inner = |edge: &[u32; 3]| {
            let on_line = |k: usize| edge.iter().all(|n| part.points[*n as usize][k].abs() < 1e-9);
            (0..2).any(|k| self.mirrored[k] && on_line(k))
        };
        let outer = |edges: &[[u32; 3]]| edges.iter().copied().filter(|e| !inner(e)).collect::<Vec<_>>();
        let (rim, held) = (outer(part.edges), outer(part.held));
        let [mut clip, mut outline, mut hold, mut sides] = std::array::from_fn(|_| Path::default());
        for flip in self.images() {
            let place = |n: u32| placed(part, n, flip, view);
            clip.segments.extend(loops(part.edges, &place).segments);
            outline.segments.extend(loops(&rim, &place).segments);
            hold.segments.extend(loops(&held, &place).segments);
            if part.triangles.len() <= FEW {
                for t in part.triangles {
                    sides.add_line(&[place(t[0]), place(t[1]), place(t[2]), place(t[0])]);
                }
            }
        }
        let mut items = Vec::new();
        if let Some(image) = self.image(part, view) {
            items.push(Item::Clipped { clip, items: vec![Item::Image(image)] });
        }
        if !sides.segments.is_empty() {
            items.push(Item::stroked(sides, Stroke::new(INK.faded(0.5), 0.8)));
        }
        items.push(Item::stroked(outline, Stroke::new(INK, 1.3)));
        if !hold.segments.is_empty() {
            items.push(Item::stroked(hold, Stroke::new(ACCENT, 4.0)));
        }
        items
    }

    fn image(&self, part: &FigurePart<'_>, view: &View) -> Option<Image> {
        // What lies far outside the picture costs pixels and is never seen.
        let near = |p: &[f64; 2]| p.iter().all(|c| (-WIDTH..=2.0 * WIDTH).contains(c));
        let (mut points, mut values, mut triangles) = (Vec::new(), Vec::new(), Vec::new());
        for flip in self.images() {
            let all: Vec<[f64; 2]> =
                (0..part.points.len() as u32).map(|n| placed(part, n, flip, view)).collect();
            let mut new: Vec<Option<u32>> = vec![None; all.len()];
            for t in part.triangles.iter().filter(|t| t.iter().any(|n| near(&all[*n as usize]))) {
                triangles.push(t.map(|n| {
                    *new[n as usize].get_or_insert_with(|| {
                        points.push(all[n as usize].map(|c| c * FINE));
                        values.push([part.values[n as usize]]);
                        points.len() as u32 - 1
                    })
                }));
            }
        }
        let mut raster = ValueRaster::draw(&points, &triangles, &values, OVER);
        raster.grow(OVER as usize);
        let raster = cropped(&raster, [WIDTH * FINE, HEIGHT * FINE])?;
        let [low, high] = self.span();
        let mut rgba = Vec::with_capacity(4 * raster.values.len());
        for [value] in &raster.values {
            let c = if value.is_nan() {
                Rgba::new(0, 0, 0, 0)
            } else {
                let t = ((f64::from(*value) - low) / (high - low)).clamp(0.0, 1.0);
                self.scale().colour((t * STEPS).round() / STEPS)
            };
            rgba.extend([c.r, c.g, c.b, c.a]);
        }
        let size = [raster.width, raster.height];
        Some(Image {
            at: [f64::from(raster.x0) / FINE, f64::from(raster.y0) / FINE],
            size: size.map(|s| s as f64 / FINE),
            pixels: size.map(|s| s as u32),
            rgba,
        })
    }

    /// The lines across which the picture is completed.
    fn symmetry(&self, view: &View, [low, high]: [[f64; 2]; 2]) -> Vec<Item> {
        let mut path = Path::default();
        if self.mirrored[0] {
            path.add_line(&[view.place([0.0, low[1]]), view.place([0.0, high[1]])]);
        }
        if self.mirrored[1] {
            path.add_line(&[view.place([low[0], 0.0]), view.place([high[0], 0.0])]);
        }
        if path.segments.is_empty() {
            return Vec::new();
        }
        vec![Item::stroked(path, Stroke::new(INK.faded(0.55), 0.8).dashed(9.0, 4.0))]
    }

    /// Loads as arrows that touch the place they act on: they end there when they push, start there when they pull.
    fn arrows(&self, part: &FigurePart<'_>, view: &View, [low, high]: [[f64; 2]; 2]) -> Vec<Item> {
        let mut items = Vec::new();
        for loads in [part.edge_loads, part.point_loads] {
            let greatest = loads.iter().map(|(_, f)| f[0].hypot(f[1])).fold(0.0, f64::max);
            let mut taken: Vec<[f64; 2]> = Vec::new();
            // The greatest first, so that a peak has its arrow and the others stand evenly about it.
            let mut order: Vec<&([f64; 2], [f64; 2])> = loads.iter().collect();
            let size_of = |f: [f64; 2]| (1e3 * f[0].hypot(f[1]) / greatest).round();
            order.sort_by(|a, b| size_of(b.1).total_cmp(&size_of(a.1)));
            for flip in self.images() {
                for (at, load) in order.iter().copied() {
                    let at = [flip[0] * at[0], flip[1] * at[1]];
                    let load = [flip[0] * load[0], flip[1] * load[1]];
                    let size = load[0].hypot(load[1]);
                    let inside = (0..2).all(|k| {
                        let hair = 1e-9 * (high[k] - low[k]);
                        low[k] - hair <= at[k] && at[k] <= high[k] + hair
                    });
                    let foot = view.place(at);
                    let free = taken.iter().all(|t| (t[0] - foot[0]).hypot(t[1] - foot[1]) >= APART);
                    if !inside || !free || size < 0.1 * greatest {
                        continue;
                    }
                    taken.push(foot);
                    let length = ARROW * size / greatest;
                    let way = [load[0] / size, -load[1] / size];
                    let outside = |along: f64, side: f64| {
                        let p = [
                            foot[0] + along * way[0] - side * way[1],
                            foot[1] + along * way[1] + side * way[0],
                        ];
                        self.is_outside(part, flip, view, p)
                    };
                    // A load along its edge stands beside it.
                    if outside(0.0, 4.0) != outside(0.0, -4.0) && outside(4.0, 0.5) == outside(-4.0, 0.5) {
                        let side = if outside(0.0, 4.0) { BESIDE } else { -BESIDE };
                        let at = |along: f64| {
                            [
                                foot[0] + along * way[0] - side * way[1],
                                foot[1] + along * way[1] + side * way[0],
                            ]
                        };
                        items.extend(arrow(at(-0.5 * length), at(0.5 * length)));
                        continue;
                    }
                    let pulls = outside(4.0, 0.0);
                    let end = |along: f64| [foot[0] + along * way[0], foot[1] + along * way[1]];
                    let (tail, tip) = if pulls { (foot, end(length)) } else { (end(-length), foot) };
                    items.extend(arrow(tail, tip));
                }
            }
        }
        items
    }

    /// Whether a place of the picture lies outside one image of a body.
    fn is_outside(&self, part: &FigurePart<'_>, flip: [f64; 2], view: &View, p: [f64; 2]) -> bool {
        let place = |n: u32| placed(part, n, flip, view);
        // Crossings of a ray to the right with the chords of the outline.
        let crossings = part.edges.iter().filter(|[a, b, _]| {
            let (a, b) = (place(*a), place(*b));
            (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        });
        crossings.count() % 2 == 0
    }
}

/// Where a node of one image of a body lies in the picture.
fn placed(part: &FigurePart<'_>, node: u32, flip: [f64; 2], view: &View) -> [f64; 2] {
    let [x, y] = part.points[node as usize];
    view.place([flip[0] * x, flip[1] * y])
}

/// A line with a filled head.
fn arrow(tail: [f64; 2], tip: [f64; 2]) -> Vec<Item> {
    let length = (tip[0] - tail[0]).hypot(tip[1] - tail[1]);
    if length < 1.0 {
        return Vec::new();
    }
    let way = [(tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length];
    let head = 6.5_f64.min(0.7 * length);
    let at = |along: f64, side: f64| {
        [tip[0] - along * way[0] - side * way[1], tip[1] - along * way[1] + side * way[0]]
    };
    let point = [tip, at(head, 0.42 * head), at(head, -0.42 * head)];
    vec![
        Item::stroked(Path::line(&[tail, at(0.8 * head, 0.0)]), Stroke::new(INK, 1.4)),
        Item::filled(Path::polygons([point.as_slice()]), INK),
    ]
}

/// Sides joined end to start into loops (or open lines), each side the parabola of its three nodes. Straight runs become
/// one line.
fn loops(edges: &[[u32; 3]], place: &dyn Fn(u32) -> [f64; 2]) -> Path {
    let mut by_start: Vec<usize> = (0..edges.len()).collect();
    by_start.sort_by_key(|i| edges[*i][0]);
    let from = |node: u32| {
        let first = by_start.partition_point(|i| edges[*i][0] < node);
        by_start[first..].iter().copied().take_while(move |i| edges[*i][0] == node)
    };
    let mut ends: Vec<u32> = edges.iter().map(|e| e[1]).collect();
    ends.sort_unstable();
    let mut used = vec![false; edges.len()];
    let mut path = Path::default();
    // Open lines first, from the start that no side ends at.
    let open = (0..edges.len()).filter(|i| ends.binary_search(&edges[*i][0]).is_err());
    let order: Vec<usize> = open.chain(0..edges.len()).collect();
    for start in order {
        if used[start] {
            continue;
        }
        let first = place(edges[start][0]);
        path.segments.push(Segment::Move(first));
        let mut here = first;
        // Start of the straight run under way, when there is one.
        let mut run: Option<[f64; 2]> = None;
        let mut next = Some(start);
        while let Some(i) = next {
            used[i] = true;
            let [_, b, m] = edges[i];
            let (to, middle) = (place(b), place(m));
            let bend = [0, 1].map(|k| 2.0 * middle[k] - 0.5 * (here[k] + to[k]));
            let straight = distance_to_line(middle, here, to) < 0.02;
            match run {
                Some(origin) if straight && distance_to_line(here, origin, to) < 0.02 => {
                    path.segments.pop();
                    path.segments.push(Segment::Line(to));
                }
                _ if straight => {
                    run = Some(here);
                    path.segments.push(Segment::Line(to));
                }
                _ => {
                    run = None;
                    path.segments.push(Segment::Quad(bend, to));
                }
            }
            here = to;
            next = from(b).find(|i| !used[*i]);
        }
        if (here[0] - first[0]).hypot(here[1] - first[1]) < 1e-9 {
            path.segments.push(Segment::Close);
        }
    }
    path
}

fn distance_to_line(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (x, y) = (b[0] - a[0], b[1] - a[1]);
    let length = x.hypot(y);
    if length == 0.0 {
        return (p[0] - a[0]).hypot(p[1] - a[1]);
    }
    ((p[0] - a[0]) * y - (p[1] - a[1]) * x).abs() / length
}

/// What of a raster lies on the picture; `None` when nothing does.
fn cropped(raster: &ValueRaster<1>, [wide, high]: [f64; 2]) -> Option<ValueRaster<1>> {
    let clip = |start: i32, size: usize, most: f64| {
        let first = (-start).clamp(0, size as i32) as usize;
        let last = (most.ceil() as i32 - start).clamp(0, size as i32) as usize;
        first..last.max(first)
    };
    let (columns, rows) = (clip(raster.x0, raster.width, wide), clip(raster.y0, raster.height, high));
    if columns.is_empty() || rows.is_empty() {
        return None;
    }
    let values = rows
        .clone()
        .flat_map(|row| raster.values[row * raster.width..][columns.clone()].iter().copied())
        .collect();
    Some(ValueRaster {
        x0: raster.x0 + columns.start as i32,
        y0: raster.y0 + rows.start as i32,
        width: columns.len(),
        height: rows.len(),
        values,
    })
}

/// A positive number rounded up to two figures; one when it is not positive.
fn two_figures(x: f64) -> f64 {
    if !(x > 0.0 && x.is_finite()) {
        return 1.0;
    }
    let step = 10.0_f64.powf(x.log10().floor() - 1.0);
    (x / step * (1.0 - 1e-9)).ceil() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of side 2 about (1, 1), two triangles, stress equal to x.
    const POINTS: [[f64; 2]; 9] = [
        [0.0, 0.0],
        [2.0, 0.0],
        [2.0, 2.0],
        [0.0, 2.0],
        [1.0, 0.0],
        [2.0, 1.0],
        [1.0, 2.0],
        [0.0, 1.0],
        [1.0, 1.0],
    ];
    const TRIANGLES: [[u32; 6]; 2] = [[0, 1, 2, 4, 5, 8], [0, 2, 3, 8, 6, 7]];
    const EDGES: [[u32; 3]; 4] = [[0, 1, 4], [1, 2, 5], [2, 3, 6], [3, 0, 7]];
    const VALUES: [f64; 9] = [0.0, 2.0, 2.0, 0.0, 1.0, 2.0, 1.0, 0.0, 1.0];
    const LOADS: [([f64; 2], [f64; 2]); 1] = [([2.0, 1.0], [5.0, 0.0])];

    fn figure() -> FieldFigure<'static> {
        let part = FigurePart {
            points: &POINTS,
            triangles: &TRIANGLES,
            edges: &EDGES,
            values: &VALUES,
            edge_loads: &LOADS,
            point_loads: &[],
            held: &[[3, 0, 7]],
        };
        FieldFigure {
            title: "square",
            description: "a square".to_owned(),
            parts: vec![part],
            signed: false,
            mirrored: [false; 2],
            window: None,
            pins: &[],
            marks: &[],
        }
    }

    #[test]
    fn the_outline_is_one_loop_with_its_straight_sides_joined() {
        let path = loops(&EDGES, &|n| POINTS[n as usize]);
        assert_eq!(path.segments.len(), 6, "{path:?}");
        assert_eq!((path.segments[0], path.segments[5]), (Segment::Move([0.0, 0.0]), Segment::Close));
        // Two sides of one line are one line; a bent one is a curve through its middle.
        let points = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [0.5, 0.0], [1.5, 0.0], [1.5, 1.0]];
        let straight = loops(&[[1, 2, 4], [0, 1, 3]], &|n| points[n as usize]);
        assert_eq!(straight.segments, [Segment::Move([0.0, 0.0]), Segment::Line([2.0, 0.0])]);
        let bent = loops(&[[1, 2, 5]], &|n| points[n as usize]);
        assert_eq!(bent.segments[1], Segment::Quad([1.5, 2.0], [2.0, 0.0]));
    }

    #[test]
    fn a_pull_starts_at_its_edge_and_a_push_ends_there() {
        let mut figure = figure();
        let view = View::fitting([0.0; 2], [2.0; 2], Area { x: 0.0, y: 0.0, w: 100.0, h: 100.0 });
        let shaft =
            |figure: &FieldFigure<'_>| match &figure.arrows(&figure.parts[0], &view, [[0.0; 2], [2.0; 2]])[0]
            {
                Item::Shape { path, .. } => path.segments[0],
                other => panic!("{other:?}"),
            };
        assert_eq!(shaft(&figure), Segment::Move([100.0, 50.0]));
        figure.parts[0].edge_loads = &[([2.0, 1.0], [-5.0, 0.0])];
        assert_eq!(shaft(&figure), Segment::Move([126.0, 50.0]));
    }

    #[test]
    fn colours_span_what_is_seen() {
        let mut figure = figure();
        assert_eq!(figure.span(), [0.0, 2.0]);
        figure.signed = true;
        figure.window = Some([[0.0, 0.0], [1.2, 2.0]]);
        assert_eq!(figure.span(), [-1.0, 1.0]);
        assert!((two_figures(313.2) - 320.0).abs() < 1e-9 && two_figures(0.0) == 1.0);
    }

    #[test]
    fn a_figure_is_small_and_completed_by_its_images() {
        let mut figure = figure();
        let one = figure.drawing().to_svg().unwrap();
        figure.mirrored = [true, true];
        let four = figure.drawing().to_svg().unwrap();
        assert_eq!(one.matches("<image").count(), 1);
        assert_eq!(four.matches("<image").count(), 1, "no seams");
        assert!(four.len() < 20_000, "{}", four.len());
    }
}
