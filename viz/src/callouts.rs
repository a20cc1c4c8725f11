//! Words at the hottest points, kept clear of each other and of the connector.
//!
//! Each label takes the free place with the shortest leader: in a column beside the connector, inside its window, or
//! around it. A leader crosses metal only where there is no other way, and never a ring, a leader or words of another.

use crate::drawing::{Item, Path, Stroke};
use crate::layout::{Area, View};
use crate::look::{INK, LABEL, NUMBER, PAPER, QUIET};
use crate::occupied::Occupied;
use crate::stress_map::Callout;
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight, width};

/// Between two labels.
const GAP: f64 = 22.0;
/// Between a label and what else there is on the page.
const AROUND: f64 = 13.0;
/// Room between a number and what stands beyond its column.
const CLEAR: f64 = 20.0;
/// Lines of words below a number, at most.
const MOST_LINES: f64 = 4.0;
/// Radius of the ring around a point.
const RING: f64 = 10.0;
/// A leader keeps this far from the rings of others.
const FROM_RINGS: f64 = 19.0;
/// Around its point a leader may lie over the connector.
const NEAR: f64 = 56.0;
/// A unit of leader over metal is as bad as so many beside it.
const OVER_METAL: f64 = 5.0;
/// Crossing another line of the picture is as bad as so much more length.
const OVER_LINE: f64 = 260.0;
/// Leaders longer than this by their cost lead nowhere.
const WORST: f64 = 2600.0;
/// What a place outside the columns must save: labels that stand in line read better.
const OUT_OF_LINE: f64 = 60.0;
/// Between the places that are tried.
const STEP: f64 = 12.0;
/// Widths of words that are tried outside the columns.
const WIDTHS: [f64; 2] = [200.0, 250.0];

/// A label that has found its place.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    /// Box of number and words.
    pub area: Area,
    /// Leader from the label to the ring: start, elbow, end.
    leader: [[f64; 2]; 3],
    point: [f64; 2],
    label: Label,
}

/// Number and words, before they have a place.
#[derive(Clone, Debug)]
struct Label {
    number: String,
    /// Font size of the number: that of all numbers unless it is too long for its column.
    size: f64,
    words: Block,
    trusted: bool,
    wide: f64,
    tall: f64,
}

/// Where labels may stand.
pub(crate) struct Room<'a> {
    /// What is taken.
    pub occupied: &'a Occupied,
    /// Columns left and right of the connector.
    pub columns: [Area; 2],
    /// The connector and the free room around it.
    pub stage: Area,
    /// Lines that no label covers, and that a leader crosses only where the way around is long.
    pub lines: Vec<[[f64; 2]; 2]>,
}

/// Finds places for as many callouts as there is room for; where not all have room, the first ones are kept. Which label
/// chooses first decides what is left for the others: several orders are tried, and the best of all is taken.
pub(crate) fn place(callouts: &[Callout], view: &View, room: &Room<'_>) -> Vec<Placed> {
    let points: Vec<[f64; 2]> = callouts.iter().map(|c| view.place(c.at)).collect();
    let given: Vec<usize> = (0..callouts.len()).collect();
    let by = |key: &dyn Fn(usize) -> f64| {
        let mut order = given.clone();
        order.sort_by(|a, b| key(*a).total_cmp(&key(*b)));
        order
    };
    let orders = [
        by(&|i| points[i][1]),
        by(&|i| -points[i][1]),
        by(&|i| points[i][0]),
        by(&|i| -points[i][0]),
        given.iter().rev().copied().collect(),
    ];
    let mut best = in_order(&given, callouts, &points, room);
    for order in orders {
        let other = in_order(&order, callouts, &points, room);
        if other.0 < best.0 {
            best = other;
        }
    }
    best.1
}

/// Places labels in an order; with what all of it costs, labels left out included.
fn in_order(
    order: &[usize],
    callouts: &[Callout],
    points: &[[f64; 2]],
    room: &Room<'_>,
) -> (f64, Vec<Placed>) {
    let mut placed: Vec<Placed> = Vec::new();
    let mut whole = 0.0;
    for &i in order {
        let others: Vec<[f64; 2]> = (0..points.len()).filter(|j| *j != i).map(|j| points[j]).collect();
        let search = Search { room, placed: &placed, others: &others, point: points[i] };
        match search.best(&callouts[i]) {
            Some((cost, found)) => {
                whole += cost;
                placed.push(found);
            }
            // The first ones matter most.
            None => whole += WORST * (1.0 + 1.0 / (1.0 + i as f64)),
        }
    }
    (whole, placed)
}

/// The search for one label's place.
struct Search<'a> {
    room: &'a Room<'a>,
    placed: &'a [Placed],
    others: &'a [[f64; 2]],
    point: [f64; 2],
}

impl Search<'_> {
    fn best(&self, callout: &Callout) -> Option<(f64, Placed)> {
        let mut best: Option<(f64, Placed)> = None;
        let [left, right] = self.room.columns;
        let indent = 20.0;
        for (x, column) in [(left.x, left), (right.x + indent, right)] {
            let label = Label::new(callout, column.w - indent);
            let steps = ((column.h - label.tall) / STEP).max(0.0) as usize;
            // The place at the height of its point first, so that its leader is level.
            let level = self.point[1] - 0.5 * LINE_HEIGHT * NUMBER;
            let level = level.clamp(column.y, (column.bottom() - label.tall).max(column.y));
            let heights = (0..=steps).map(|i| column.y + STEP * i as f64);
            for y in std::iter::once(level).chain(heights) {
                self.consider(&mut best, &label, [x, y], 0.0);
            }
        }
        let stage = self.room.stage;
        for wide in WIDTHS {
            let label = Label::new(callout, wide);
            let count = |room: f64, size: f64| ((room - size) / STEP).max(0.0) as usize;
            for i in 0..=count(stage.w, label.wide) {
                for j in 0..=count(stage.h, label.tall) {
                    let at = [stage.x + STEP * i as f64, stage.y + STEP * j as f64];
                    self.consider(&mut best, &label, at, OUT_OF_LINE);
                }
            }
        }
        best
    }

    /// Takes a place where it is free and better than the best so far.
    fn consider(&self, best: &mut Option<(f64, Placed)>, label: &Label, at: [f64; 2], extra: f64) {
        let area = Area { x: at[0], y: at[1], w: label.wide, h: label.tall };
        let around = |by: f64| Area { x: area.x - by, y: area.y - by, w: area.w + 2.0 * by, h: area.h + 2.0 * by };
        let rings = around(RING + 8.0);
        let free = self.room.occupied.is_free(around(AROUND))
            && !self.placed.iter().any(|p| p.area.overlaps(&around(GAP)))
            && !self.others.iter().chain([&self.point]).any(|p| rings.holds(*p))
            && !self.leaders().chain(self.room.lines.iter().copied()).any(|line| touches(line, around(8.0)));
        if !free {
            return;
        }
        for [start, elbow] in label.starts(area, self.point) {
            let far = (self.point[0] - elbow[0]).hypot(self.point[1] - elbow[1]);
            let least = extra + far;
            let end = [0, 1].map(|k| self.point[k] - (self.point[k] - elbow[k]) / far * RING);
            let over_itself = elbow != start && touches([elbow, end], area);
            if far < RING + 4.0 || over_itself || least > WORST || best.as_ref().is_some_and(|(cost, _)| least >= *cost) {
                continue;
            }
            let Some(crossed) = self.room.occupied.crossed(elbow, end, NEAR) else { continue };
            let soft = self.room.lines.iter().filter(|line| cross(**line, [elbow, end])).count();
            let cost = least + OVER_METAL * crossed + OVER_LINE * soft as f64;
            if cost > WORST || best.as_ref().is_some_and(|(b, _)| cost >= *b) || self.meets(elbow, end) {
                continue;
            }
            let leader = [start, elbow, end];
            *best = Some((cost, Placed { area, leader, point: self.point, label: label.clone() }));
        }
    }

    /// Leaders that have their places.
    fn leaders(&self) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
        self.placed.iter().flat_map(|p| p.leader.windows(2).map(|w| [w[0], w[1]]))
    }

    /// Whether a leader meets another's ring, leader or words.
    fn meets(&self, from: [f64; 2], to: [f64; 2]) -> bool {
        self.others.iter().any(|p| distance(*p, [from, to]) < FROM_RINGS)
            || self.leaders().any(|line| cross(line, [from, to]))
            || self.placed.iter().any(|p| touches([from, to], p.area))
    }
}

/// Distance of a point from a straight line between two others.
fn distance(p: [f64; 2], [a, b]: [[f64; 2]; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    (p[0] - a[0] - t * dx).hypot(p[1] - a[1] - t * dy)
}

/// Whether two straight lines cross.
fn cross([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> bool {
    let turn = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    turn(a, b, c) * turn(a, b, d) <= 0.0 && turn(c, d, a) * turn(c, d, b) <= 0.0
}

/// Whether a straight line touches a box.
fn touches(line: [[f64; 2]; 2], area: Area) -> bool {
    let [a, c] = [[area.x, area.y], [area.right(), area.bottom()]];
    let [b, d] = [[c[0], a[1]], [a[0], c[1]]];
    area.holds(line[0]) || area.holds(line[1]) || cross(line, [a, c]) || cross(line, [b, d])
}

impl Label {
    fn new(callout: &Callout, wide: f64) -> Self {
        let words = if callout.trusted {
            callout.words.clone()
        } else {
            format!("{} (not trusted: depends on the mesh)", callout.words)
        };
        let room = [wide, MOST_LINES * LINE_HEIGHT * LABEL + 1e-6];
        let words = Block::fit(&words, Weight::Regular, LABEL, LABEL, room);
        let number = format!("{:.0} MPa", callout.value_mpa).replace('-', "−");
        let long = width(&number, NUMBER, Weight::Bold);
        let size = NUMBER * ((wide - CLEAR) / long).clamp(0.5, 1.0);
        let most = width(&number, size, Weight::Bold).max(words.width());
        let tall = LINE_HEIGHT * NUMBER + words.height();
        Self { number, size, words, trusted: callout.trusted, wide: most, tall }
    }

    /// Where a leader to a point may start on a label in this box, and where it turns: beside the number; above or below the
    /// words too where the point lies over or under them.
    fn starts(&self, area: Area, point: [f64; 2]) -> Vec<[[f64; 2]; 2]> {
        let y = area.y + 0.5 * LINE_HEIGHT * NUMBER;
        let beside = if point[0] > area.x + 0.5 * area.w {
            let start = area.x + width(&self.number, self.size, Weight::Bold) + 12.0;
            [[start, y], [(start + 22.0).max(area.right() + 6.0), y]]
        } else {
            [[area.x - 12.0, y], [area.x - 22.0, y]]
        };
        let mut starts = vec![beside];
        if area.x <= point[0] && point[0] <= area.right() {
            // Capitals begin below the top of their line.
            let above = [point[0].min(area.x + width(&self.number, self.size, Weight::Bold)), area.y + 4.0];
            let below = [point[0].min(area.x + self.words.width()), area.bottom() + 2.0];
            starts.push(if point[1] < area.y { [above, above] } else { [below, below] });
        }
        starts
    }
}

impl Placed {
    /// Leader line and ring, to be painted over the connector, then the words.
    pub fn items(&self) -> Vec<Item> {
        let label = &self.label;
        let colour = if label.trusted { INK } else { QUIET };
        let line = Path::line(&self.leader);
        let circle = Path::circle(self.point, RING);
        let mut thin = Stroke::new(colour, 2.2);
        if !label.trusted {
            thin = thin.dashed(7.0, 5.0);
        }
        let mut items = vec![
            Item::stroked(line.clone(), Stroke::new(PAPER.faded(0.85), 6.0)),
            Item::stroked(circle.clone(), Stroke::new(PAPER, 7.0)),
            Item::stroked(line, thin),
            Item::stroked(circle, Stroke::new(colour, 3.0)),
        ];
        let y = self.area.y + 0.5 * LINE_HEIGHT * NUMBER;
        let base = y + 0.5 * CAP_HEIGHT * label.size;
        let at = [self.area.x, base];
        items.push(Item::Text(Text::new(at, label.size, Weight::Bold, colour, label.number.as_str())));
        let words = label.words.place(self.area.x, self.area.y + LINE_HEIGHT * NUMBER, Anchor::Start, colour);
        items.extend(words.into_iter().map(Item::Text));
        items
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::occupied::Taken;

    const STAGE: Area = Area { x: 250.0, y: 0.0, w: 500.0, h: 800.0 };
    const LEFT: Area = Area { x: 0.0, y: 0.0, w: 220.0, h: 800.0 };
    const RIGHT: Area = Area { x: 770.0, ..LEFT };

    /// A hook of metal 400 wide and 600 tall around a window of 320 by 520; a millimetre is a unit.
    fn connector() -> Occupied {
        let square = |by: f64| {
            vec![[300.0 + by, 100.0 + by], [700.0 - by, 100.0 + by], [700.0 - by, 700.0 - by], [300.0 + by, 700.0 - by]]
        };
        let mut page = Occupied::new(1000.0, 800.0);
        page.fill(&[square(0.0), square(40.0)], Taken::Body);
        page.count();
        page
    }

    fn view() -> View {
        View::fitting([0.0, 0.0], [1000.0, 800.0], Area { x: 0.0, y: 0.0, w: 1000.0, h: 800.0 })
    }

    fn callout(x: f64, y: f64, value_mpa: f64) -> Callout {
        Callout { at: [x, 800.0 - y], value_mpa, words: "lower bar, inner side at mid width".to_owned(), trusted: true }
    }

    fn room(occupied: &Occupied) -> Room<'_> {
        Room { occupied, columns: [LEFT, RIGHT], stage: STAGE, lines: Vec::new() }
    }

    #[test]
    fn a_long_number_keeps_clear_of_the_scale_beside_its_column() {
        for (value, shrinks) in [(512.0, false), (37_125.0, true)] {
            let label = Label::new(&callout(0.0, 0.0, value), RIGHT.w - 20.0);
            assert!(label.wide <= RIGHT.w - 20.0, "{label:?}");
            assert_eq!(label.size < NUMBER, shrinks);
        }
        assert_eq!(Label::new(&callout(0.0, 0.0, -92.4), 200.0).number, "−92 MPa");
    }

    #[test]
    fn leaders_of_the_inner_side_stay_in_the_window_and_no_two_meet() {
        let page = connector();
        let callouts = [
            callout(500.0, 660.0, 725.0),
            callout(540.0, 660.0, 468.0),
            callout(500.0, 700.0, 475.0),
            callout(340.0, 300.0, 410.0),
            callout(700.0, 300.0, 390.0),
        ];
        let placed = place(&callouts, &view(), &room(&page));
        assert_eq!(placed.len(), 5, "all find a place");
        for (i, label) in placed.iter().enumerate() {
            let [_, elbow, end] = label.leader;
            assert_eq!(page.crossed(elbow, end, NEAR), Some(0.0), "{i} crosses metal");
            assert!(page.is_free(label.area), "{i} stands on metal");
            for other in &placed[i + 1..] {
                assert!(!label.area.overlaps(&other.area));
                assert!(!cross([elbow, end], [other.leader[1], other.leader[2]]));
                assert!(distance(other.point, [elbow, end]) > RING);
            }
        }
    }

    #[test]
    fn what_has_no_place_is_left_out() {
        let mut page = Occupied::new(1000.0, 800.0);
        page.take(Area { x: 0.0, y: 0.0, w: 1000.0, h: 800.0 }, Taken::Words);
        page.count();
        assert!(place(&[callout(500.0, 400.0, 100.0)], &view(), &room(&page)).is_empty());
    }
}
