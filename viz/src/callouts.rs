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
const MOST_LINES: f64 = 5.0;
/// Radius of the ring around a point.
const RING: f64 = 10.0;
/// A leader keeps this far from the rings of others.
const FROM_RINGS: f64 = 19.0;
/// Around its point a leader may lie over the connector.
const NEAR: f64 = 56.0;
/// A unit of leader over metal is as bad as so many beside it.
const OVER_METAL: f64 = 8.0;
/// Crossing another line of the picture is as bad as so much more length.
const OVER_LINE: f64 = 140.0;
/// Leaders longer than this by their cost lead nowhere.
const WORST: f64 = 2600.0;
/// What a place outside the columns must save: labels that stand in line read better.
const OUT_OF_LINE: f64 = 60.0;
/// A leader may start above or below words that its point lies no farther beside.
const ASIDE: f64 = 60.0;
/// Between the places that are tried.
const STEP: f64 = 10.0;
/// So many places of a label, at least so far from each other, are tried in all combinations.
const FEW: usize = 16;
const FAR: f64 = 44.0;
/// Of so many labels all orders and combinations are tried.
const ORDERED: usize = 5;
/// Widths of words that are tried outside the columns.
const WIDTHS: [f64; 3] = [200.0, 250.0, 320.0];

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
    /// Whether all of its words found room.
    is_whole: bool,
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
/// chooses first decides what is left for the others: orders are tried, and the best of all is taken.
pub(crate) fn place(callouts: &[Callout], view: &View, room: &Room<'_>) -> Vec<Placed> {
    let points: Vec<[f64; 2]> = callouts.iter().map(|c| view.place(c.at)).collect();
    let choices: Vec<Choices> = callouts
        .iter()
        .enumerate()
        .map(|(i, callout)| {
            let others = (0..points.len()).filter(|j| *j != i).map(|j| points[j]).collect();
            Search { room, others, point: points[i] }.choices(callout)
        })
        .collect();
    let mut best = (f64::INFINITY, Vec::new());
    for order in orders(callouts.len()) {
        let start = in_order(&order, vec![None; callouts.len()], &choices);
        if start.0 < best.0 {
            best = start;
        }
    }
    if let Some(apart) = among_far_apart(&choices).filter(|apart| cost_of(apart, &choices) < best.0) {
        best = (cost_of(&apart, &choices), apart);
    }
    // Each may move once more beside all others.
    let mut taken = best.1;
    for i in 0..callouts.len() {
        let mut others = taken.clone();
        others[i] = None;
        taken = in_order(&[i], others, &choices).1;
    }
    let found = taken.into_iter().zip(&choices).zip(points);
    found
        .filter_map(|((taken, choices), point)| {
            let Candidate { area, leader, label, .. } = taken?;
            Some(Placed { area: *area, leader: *leader, point, label: choices.labels[*label].clone() })
        })
        .collect()
}

/// Orders of so many labels: all orders of the first few, the others behind them.
fn orders(count: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for next in 0..count {
        let places =
            |order: &Vec<usize>| if next < ORDERED { 0..=order.len() } else { order.len()..=order.len() };
        all = all
            .iter()
            .flat_map(|order| {
                // The order that was given comes first.
                places(order).rev().map(|at| {
                    let mut longer = order.clone();
                    longer.insert(at, next);
                    longer
                })
            })
            .collect();
    }
    all
}

/// Which place each label takes; none where it is left out.
type Taken<'a> = Vec<Option<&'a Candidate>>;

/// Places labels in an order beside those that have their places: what all of it costs, and what each of them takes.
fn in_order<'a>(order: &[usize], mut taken: Taken<'a>, choices: &'a [Choices]) -> (f64, Taken<'a>) {
    for &i in order {
        let goes = |new: &&Candidate| taken.iter().flatten().all(|old| new.goes_with(old));
        let found = choices[i].candidates.iter().find(goes);
        taken[i] = found;
    }
    (cost_of(&taken, choices), taken)
}

/// What places cost together, labels left out included.
fn cost_of(taken: &[Option<&Candidate>], choices: &[Choices]) -> f64 {
    let each = taken.iter().zip(choices).enumerate();
    each.map(|(i, (taken, _))| taken.map_or_else(|| left_out(i), |t| t.cost)).sum()
}

/// What it costs to leave a label out: the first ones matter most.
fn left_out(i: usize) -> f64 {
    WORST * (2.0 + 1.0 / (1.0 + i as f64))
}

/// The best of all combinations among a few places of each label that lie far apart.
fn among_far_apart(choices: &[Choices]) -> Option<Taken<'_>> {
    let few: Vec<Vec<&Candidate>> = choices.iter().take(ORDERED).map(Choices::far_apart).collect();
    let mut best: Option<(f64, Taken<'_>)> = None;
    let mut taken = Vec::new();
    descend(&few, 0.0, &mut taken, &mut best);
    // Those behind the first few take what is left.
    let (_, mut found) = best?;
    found.resize(choices.len(), None);
    let rest: Vec<usize> = (few.len()..choices.len()).collect();
    Some(in_order(&rest, found, choices).1)
}

/// Goes on with the next label where the cost so far may still become the least.
fn descend<'a>(
    few: &[Vec<&'a Candidate>],
    cost: f64,
    taken: &mut Taken<'a>,
    best: &mut Option<(f64, Taken<'a>)>,
) {
    if best.as_ref().is_some_and(|(least, _)| cost >= *least) {
        return;
    }
    let i = taken.len();
    let Some(places) = few.get(i) else {
        *best = Some((cost, taken.clone()));
        return;
    };
    for place in places {
        if taken.iter().flatten().all(|old| place.goes_with(old)) {
            taken.push(Some(place));
            descend(few, cost + place.cost, taken, best);
            taken.pop();
        }
    }
    taken.push(None);
    descend(few, cost + left_out(i), taken, best);
    taken.pop();
}

/// A free place for a label.
#[derive(Clone, Debug)]
struct Candidate {
    cost: f64,
    area: Area,
    leader: [[f64; 2]; 3],
    /// Which of the label's shapes.
    label: usize,
}

impl Candidate {
    /// Whether neither stands on the other or on its leader, and no leader crosses the other.
    fn goes_with(&self, other: &Self) -> bool {
        let lines = |c: &Self| [[c.leader[0], c.leader[1]], [c.leader[1], c.leader[2]]];
        let clear =
            |area: Area, by: f64, of: &Self| !lines(of).iter().any(|line| touches(*line, grown(area, by)));
        !grown(self.area, GAP).overlaps(&other.area)
            && clear(self.area, 6.0, other)
            && clear(other.area, 6.0, self)
            && !lines(self).iter().any(|a| lines(other).iter().any(|b| cross(*a, *b)))
    }
}

/// All free places of a label, the best first, and the shapes that it may have.
struct Choices {
    labels: Vec<Label>,
    candidates: Vec<Candidate>,
}

impl Choices {
    /// The best places that lie far from better ones.
    fn far_apart(&self) -> Vec<&Candidate> {
        let mut few: Vec<&Candidate> = Vec::new();
        for new in &self.candidates {
            let far = |old: &&Candidate| {
                (new.area.x - old.area.x).abs() > FAR || (new.area.y - old.area.y).abs() > FAR
            };
            if few.iter().all(far) {
                few.push(new);
            }
            if few.len() == FEW {
                break;
            }
        }
        few
    }
}

/// The search for one label's places.
struct Search<'a> {
    room: &'a Room<'a>,
    /// Points of the other callouts.
    others: Vec<[f64; 2]>,
    point: [f64; 2],
}

impl Search<'_> {
    fn choices(&self, callout: &Callout) -> Choices {
        let [left, right] = self.room.columns;
        let indent = 20.0;
        let mut labels = Vec::new();
        let mut candidates = Vec::new();
        for (x, column) in [(left.x, left), (right.x + indent, right)] {
            let label = Label::new(callout, column.w - indent);
            let steps = ((column.h - label.tall) / STEP).max(0.0) as usize;
            // The place at the height of its point too, so that its leader may be level.
            let level = self.point[1] - 0.5 * LINE_HEIGHT * NUMBER;
            let level = level.clamp(column.y, (column.bottom() - label.tall).max(column.y));
            let heights = (0..=steps).map(|i| column.y + STEP * i as f64);
            for y in std::iter::once(level).chain(heights) {
                candidates.extend(self.candidate((&label, labels.len()), [x, y], 0.0));
            }
            labels.push(label);
        }
        let stage = self.room.stage;
        let columns = labels.len();
        for wide in WIDTHS {
            let label = Label::new(callout, wide);
            // In a column there is more room for long words.
            if !label.is_whole || labels[columns..].iter().any(|l| l.words == label.words) {
                continue;
            }
            let count = |room: f64, size: f64| ((room - size) / STEP).max(0.0) as usize;
            for i in 0..=count(stage.w, label.wide) {
                for j in 0..=count(stage.h, label.tall) {
                    let at = [stage.x + STEP * i as f64, stage.y + STEP * j as f64];
                    candidates.extend(self.candidate((&label, labels.len()), at, OUT_OF_LINE));
                }
            }
            labels.push(label);
        }
        candidates.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        Choices { labels, candidates }
    }

    /// A place, where it is free, with its best leader. `extra`: what it costs beside that.
    fn candidate(&self, (label, index): (&Label, usize), at: [f64; 2], extra: f64) -> Option<Candidate> {
        let area = Area { x: at[0], y: at[1], w: label.wide, h: label.tall };
        let rings = grown(area, RING + 8.0);
        let free = self.room.occupied.is_free(grown(area, AROUND))
            && !self.others.iter().chain([&self.point]).any(|p| rings.holds(*p))
            && !self.room.lines.iter().any(|line| touches(*line, grown(area, 8.0)));
        if !free {
            return None;
        }
        let mut best: Option<Candidate> = None;
        for [start, elbow] in label.starts(area, self.point) {
            let far = (self.point[0] - elbow[0]).hypot(self.point[1] - elbow[1]);
            let end = [0, 1].map(|k| self.point[k] - (self.point[k] - elbow[k]) / far * RING);
            let over_itself = elbow != start && touches([elbow, end], area);
            let near_another = self.others.iter().any(|p| distance(*p, [elbow, end]) < FROM_RINGS);
            if far < RING + 4.0 || over_itself || near_another {
                continue;
            }
            let Some(crossed) = self.room.occupied.crossed(elbow, end, NEAR) else { continue };
            let soft = self.room.lines.iter().filter(|line| cross(**line, [elbow, end])).count();
            let cost = extra + far + OVER_METAL * crossed + OVER_LINE * soft as f64;
            if cost < best.as_ref().map_or(WORST, |b| b.cost) {
                best = Some(Candidate { cost, area, leader: [start, elbow, end], label: index });
            }
        }
        best
    }
}

fn grown(area: Area, by: f64) -> Area {
    Area { x: area.x - by, y: area.y - by, w: area.w + 2.0 * by, h: area.h + 2.0 * by }
}

/// Distance of a point from a straight line between two others.
fn distance(p: [f64; 2], [a, b]: [[f64; 2]; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    (p[0] - a[0] - t * dx).hypot(p[1] - a[1] - t * dy)
}

/// Whether two straight lines cross. A line without length, where a leader has no elbow, crosses nothing.
fn cross([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> bool {
    // On one line, lines may lie apart: turns alone do not tell.
    let apart = |k: usize| a[k].max(b[k]) < c[k].min(d[k]) || c[k].max(d[k]) < a[k].min(b[k]);
    if a == b || c == d || apart(0) || apart(1) {
        return false;
    }
    let turn =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
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
        let told = words;
        let words = Block::fit(&told, Weight::Regular, LABEL, LABEL, room);
        let is_whole = !words.is_cut(&told);
        let number = format!("{:.0} MPa", callout.value_mpa).replace('-', "−");
        let long = width(&number, NUMBER, Weight::Bold);
        let size = NUMBER * ((wide - CLEAR) / long).clamp(0.5, 1.0);
        let most = width(&number, size, Weight::Bold).max(words.width());
        let tall = LINE_HEIGHT * NUMBER + words.height();
        Self { number, size, words, trusted: callout.trusted, is_whole, wide: most, tall }
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
        if area.x - ASIDE <= point[0] && point[0] <= area.right() + ASIDE {
            let number = width(&self.number, self.size, Weight::Bold);
            let from = |wide: f64| point[0].clamp(area.x + 4.0, (area.x + wide).max(area.x + 4.0));
            // Capitals begin below the top of their line.
            let above = [from(number), area.y + 4.0];
            let below = [from(self.words.width()), area.bottom() + 2.0];
            if point[1] < area.y {
                starts.push([above, above]);
            } else if point[1] > area.bottom() {
                starts.push([below, below]);
            }
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
            vec![
                [300.0 + by, 100.0 + by],
                [700.0 - by, 100.0 + by],
                [700.0 - by, 700.0 - by],
                [300.0 + by, 700.0 - by],
            ]
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
        Callout {
            at: [x, 800.0 - y],
            value_mpa,
            words: "lower bar, inner side at mid width".to_owned(),
            trusted: true,
        }
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
            callout(500.0, 140.0, 468.0),
            callout(340.0, 400.0, 410.0),
            callout(700.0, 300.0, 390.0),
        ];
        let placed = place(&callouts, &view(), &room(&page));
        assert_eq!(placed.len(), 4, "all find a place");
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
    fn labels_above_and_below_share_the_window() {
        let page = connector();
        let placed =
            place(&[callout(500.0, 140.0, 491.0), callout(500.0, 660.0, 725.0)], &view(), &room(&page));
        assert_eq!(placed.len(), 2);
        for label in &placed {
            assert!(label.area.x > 340.0 && label.area.right() < 660.0, "{:?}", label.area);
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
