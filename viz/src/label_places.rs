//! The free places of one label, and what each costs.

use crate::callout::Callout;
use crate::label::Label;
use crate::layout::Area;
use crate::lines::{cross, distance, touches};
use crate::look::NUMBER;
use crate::occupied::Occupied;
use crate::text::LINE_HEIGHT;

/// Between two labels.
const GAP: f64 = 16.0;

/// Between a label and what else there is on the page.
const AROUND: f64 = 11.0;

/// What stands beside a column begins so little away from it that its labels keep this clear of its edge.
const AT_COLUMN: f64 = 6.0;

/// Radius of the ring around a point.
pub(crate) const RING: f64 = 10.0;

/// A leader keeps this far from the rings of others.
const FROM_RINGS: f64 = 19.0;

/// So near to its point a leader may leave the body that the point lies on.
pub(crate) const NEAR: f64 = 70.0;

/// A unit of leader over metal is as bad as so many beside it.
const OVER_METAL: f64 = 4.0;

/// Crossing metal at all is as bad as so much length: any way around is better.
pub(crate) const CROSSES: f64 = 1500.0;

/// Leaders longer than this by their cost lead nowhere.
pub(crate) const WORST: f64 = 4000.0;

/// What a place outside the columns must save: labels that stand in line read better.
const OUT_OF_LINE: f64 = 60.0;

/// Between the places that are tried.
const STEP: f64 = 10.0;

/// So many places of a label are tried in all combinations: no more than a set of bits has.
const FEW: usize = 128;

/// So many of them may cross metal.
const FEW_CROSSING: usize = 8;

/// They lie at least so far from each other, along the page or down it.
const FAR: [f64; 2] = [58.0, 8.0];

/// Widths of words that are tried outside the columns.
const WIDTHS: [f64; 3] = [200.0, 250.0, 320.0];

/// Where labels may stand.
pub(crate) struct Room<'a> {
    /// What is taken.
    pub occupied: &'a Occupied,
    /// Columns left and right of the connector.
    pub columns: [Area; 2],
    /// The connector and the free room around it.
    pub stage: Area,
}

/// A free place for a label.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    pub cost: f64,
    pub area: Area,
    pub leader: [[f64; 2]; 3],
    /// Whether its leader runs over metal that it could have gone around.
    pub crosses: bool,
    /// Which of the label's shapes.
    pub label: usize,
}

impl Candidate {
    /// Whether neither stands on the other or on its leader, and no leader crosses the other.
    pub fn goes_with(&self, other: &Self) -> bool {
        let lines = |c: &Self| [[c.leader[0], c.leader[1]], [c.leader[1], c.leader[2]]];
        let clear =
            |area: Area, by: f64, of: &Self| !lines(of).iter().any(|line| touches(*line, area.grown(by)));
        !self.area.grown(GAP).overlaps(&other.area)
            && clear(self.area, 6.0, other)
            && clear(other.area, 6.0, self)
            && !lines(self).iter().any(|a| lines(other).iter().any(|b| cross(*a, *b)))
    }
}

/// All free places of a label, the best first, and the shapes that it may have.
pub(crate) struct Choices {
    pub labels: Vec<Label>,
    pub candidates: Vec<Candidate>,
}

impl Choices {
    /// The best places that lie far from better ones: many that cross nothing, a few that do.
    pub fn far_apart(&self) -> Vec<&Candidate> {
        let mut few: Vec<&Candidate> = Vec::new();
        let mut crossing = 0;
        for new in &self.candidates {
            let far = |old: &&Candidate| {
                (new.area.x - old.area.x).abs() > FAR[0] || (new.area.y - old.area.y).abs() > FAR[1]
            };
            if few.iter().all(far) {
                few.push(new);
                crossing += usize::from(new.crosses);
            }
            if few.len() == FEW || crossing == FEW_CROSSING {
                break;
            }
        }
        few
    }
}

/// The search for one label's places.
pub(crate) struct Search<'a> {
    pub room: &'a Room<'a>,
    /// Points of the other callouts.
    pub others: Vec<[f64; 2]>,
    pub point: [f64; 2],
}

impl Search<'_> {
    pub fn choices(&self, callout: &Callout) -> Choices {
        let [left, right] = self.room.columns;
        let indent = 20.0;
        let mut labels = Vec::new();
        let mut candidates = Vec::new();
        for (x, column) in [(left.x, left), (right.x + indent, right)] {
            let label = Label::new(callout, column.w - indent - AT_COLUMN);
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
    pub fn candidate(&self, (label, index): (&Label, usize), at: [f64; 2], extra: f64) -> Option<Candidate> {
        let area = Area { x: at[0], y: at[1], w: label.wide, h: label.tall };
        let rings = area.grown(RING + 8.0);
        let free = self.room.occupied.is_free(area.grown(AROUND))
            && !self.others.iter().chain([&self.point]).any(|p| rings.holds(*p));
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
            let over = if crossed > 0.0 { CROSSES + OVER_METAL * crossed } else { 0.0 };
            let cost = extra + far + over;
            if cost < best.as_ref().map_or(WORST, |b| b.cost) {
                best = Some(Candidate {
                    cost,
                    area,
                    leader: [start, elbow, end],
                    crosses: crossed > 0.0,
                    label: index,
                });
            }
        }
        best
    }
}
