//! Words at the hottest points, kept clear of each other and of the connector.
//!
//! Each label takes the free place with the shortest leader: in a column beside the connector, inside its window, or
//! around it. A leader crosses metal only where there is no other way, and never a ring, a leader or words of another.

use crate::drawing::{Item, Path, Stroke};
use crate::label::Label;
use crate::label_places::{Candidate, Choices, RING, Room, Search, WORST};
use crate::layout::{Area, View};
use crate::look::{INK, NUMBER, PAPER, QUIET};
use crate::stress_map::Callout;
use crate::text::{Anchor, CAP_HEIGHT, LINE_HEIGHT, Text, Weight};

/// Of so many labels all orders and combinations are tried.
const ORDERED: usize = 5;

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
    use crate::label_places::NEAR;
    use crate::lines::{cross, distance};
    use crate::occupied::Occupied;
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
