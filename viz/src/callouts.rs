//! Words at the highest stresses, kept clear of each other and of the connector.
//!
//! Each label takes the free place with the shortest leader: in a column beside the connector, inside its window, or
//! around it. A leader crosses metal only where there is no other way, and never a ring, a leader or words of another.

use crate::callout::Callout;
use crate::drawing::{Item, Stroke};
use crate::label::Label;
use crate::label_places::{CROSSES, Candidate, Choices, RING, Room, Search, WORST};
use crate::layout::{Area, View};
use crate::look::{INK, NUMBER, PAPER, QUIET};
use crate::map_places::{LabelPlace, corners};
use crate::path::Path;
use crate::text::{Anchor, CAP_HEIGHT, LINE_HEIGHT, Text, Weight};

/// Of so many labels all orders and combinations are tried.
const ORDERED: usize = 5;

/// So many labels are told even where their leaders cross the connector.
const ALWAYS_TOLD: usize = 3;

/// Steps after which the search among combinations takes the best that it has.
const MOST_STEPS: usize = 100_000;

/// A label that has found its place.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    /// Box of number and words.
    pub area: Area,
    /// Leader from the label to the ring: start, elbow, end.
    leader: [[f64; 2]; 3],
    point: [f64; 2],
    value_mpa: f64,
    crosses: bool,
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
    let found = taken.into_iter().zip(&choices).zip(points).zip(callouts);
    found
        .filter_map(|(((taken, choices), point), Callout { value_mpa, .. })| {
            let Candidate { area, leader, crosses, label, .. } = taken?;
            let label = choices.labels[*label].clone();
            Some(Placed {
                area: *area,
                leader: *leader,
                point,
                value_mpa: *value_mpa,
                crosses: *crosses,
                label,
            })
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
        let found = choices[i].candidates.iter().take_while(|new| new.cost < left_out(i)).find(goes);
        taken[i] = found;
    }
    (cost_of(&taken, choices), taken)
}

/// What places cost together, labels left out included.
fn cost_of(taken: &[Option<&Candidate>], choices: &[Choices]) -> f64 {
    let each = taken.iter().zip(choices).enumerate();
    each.map(|(i, (taken, _))| taken.map_or_else(|| left_out(i), |t| t.cost)).sum()
}

/// What it costs to leave a label out: the first ones are told even where their leaders cross metal, the others are not.
fn left_out(i: usize) -> f64 {
    if i < ALWAYS_TOLD { WORST * (2.0 + 1.0 / (1.0 + i as f64)) } else { CROSSES }
}

/// The best of all combinations among a few places of each label that lie far apart.
fn among_far_apart(choices: &[Choices]) -> Option<Taken<'_>> {
    let mut few: Vec<(usize, Vec<&Candidate>)> =
        choices.iter().take(ORDERED).map(Choices::far_apart).enumerate().collect();
    // Those with the least choice choose first.
    few.sort_by_key(|(_, places)| places.iter().filter(|place| !place.crosses).count());
    let mut search = Combinations::new(&few);
    search.descend(0.0, &mut Vec::new(), &vec![u128::MAX; few.len()]);
    let (_, best) = search.best?;
    let mut found: Taken<'_> = vec![None; choices.len()];
    for (place, (label, places)) in best.iter().zip(&few) {
        found[*label] = place.map(|place| places[place]);
    }
    // Those behind the first few take what is left.
    let rest: Vec<usize> = (few.len()..choices.len()).collect();
    Some(in_order(&rest, found, choices).1)
}

/// The search among all combinations of a few places: which place each label takes, by index.
struct Combinations {
    /// Of each place of each label, the cheapest first.
    costs: Vec<Vec<f64>>,
    /// What it costs to leave each label out.
    out: Vec<f64>,
    /// For each place of each label, which places of each label behind it go with it, a bit each.
    goes: Vec<Vec<Vec<u128>>>,
    best: Option<(f64, Vec<Option<usize>>)>,
    steps: usize,
}

impl Combinations {
    fn new(few: &[(usize, Vec<&Candidate>)]) -> Self {
        let costs: Vec<Vec<f64>> =
            few.iter().map(|(_, places)| places.iter().map(|place| place.cost).collect()).collect();
        let out: Vec<f64> = few.iter().map(|(label, _)| left_out(*label)).collect();
        let with = |place: &Candidate, others: &[&Candidate]| {
            others.iter().enumerate().fold(0, |bits, (k, o)| bits | u128::from(place.goes_with(o)) << k)
        };
        let goes = few
            .iter()
            .enumerate()
            .map(|(i, (_, places))| {
                let bits = |place: &&Candidate| few[i + 1..].iter().map(|(_, o)| with(place, o)).collect();
                places.iter().map(bits).collect()
            })
            .collect();
        Self { costs, out, goes, best: None, steps: 0 }
    }

    /// Goes on with the next label where the cost so far may still become the least. `free`: the places of each label from
    /// this one on that go with all that are taken.
    fn descend(&mut self, cost: f64, taken: &mut Vec<Option<usize>>, free: &[u128]) {
        let i = taken.len();
        self.steps += 1;
        if self.steps > MOST_STEPS || cost + self.least(i, free) >= self.bound() {
            return;
        }
        let Some((places, behind)) = free.split_first() else {
            self.best = Some((cost, taken.clone()));
            return;
        };
        let places = *places;
        for place in (0..self.costs[i].len()).filter(|place| places >> place & 1 == 1) {
            let next = cost + self.costs[i][place];
            // The cheapest come first.
            if next + self.least(i + 1, behind) >= self.bound() {
                break;
            }
            let left: Vec<u128> =
                behind.iter().zip(&self.goes[i][place]).map(|(free, goes)| free & goes).collect();
            taken.push(Some(place));
            self.descend(next, taken, &left);
            taken.pop();
        }
        taken.push(None);
        self.descend(cost + self.out[i], taken, behind);
        taken.pop();
    }

    fn bound(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(least, _)| *least)
    }

    /// The least that the labels from one on cost, each by itself.
    fn least(&self, from: usize, free: &[u128]) -> f64 {
        let cheapest = |(i, free): (usize, &u128)| {
            let first = self.costs[i].get(free.trailing_zeros() as usize);
            first.copied().unwrap_or(f64::INFINITY).min(self.out[i])
        };
        (from..).zip(free).map(cheapest).sum()
    }
}

impl Placed {
    /// Where it stands, for those outside.
    pub fn place(&self) -> LabelPlace {
        let Self { value_mpa, leader, point, crosses, .. } = *self;
        LabelPlace { value_mpa, area: corners(&self.area), leader, point, crosses }
    }

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
    use crate::occupied::{Occupied, Taken};

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
        Room { occupied, columns: [LEFT, RIGHT], stage: STAGE }
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
