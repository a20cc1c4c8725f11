//! The way back: from what a caliper read to the connector whose outline reads so.
//!
//! Nose tip and hinge height follow in closed form once the window is known. Length and widths of the window are sought together
//! by Newton's method with derivatives by differences: each reading is nearly the sum of its own value and what others leave
//! alone, so that a few steps are enough.

use super::Measure;
use super::edges::Edges;
use crate::connector::{Connector, GatePlace};
use crate::outline::{LEAST_OPENING_MM, Seats, between, dot, opening_mm};

/// Steps of Newton's method at most; three to six are taken.
const STEPS: usize = 40;
/// Halvings of one step at most.
const HALVINGS: usize = 24;
/// Distance for differences, mm.
const DIFFERENCE_MM: f64 = 1e-4;
/// What a reading may be off at the end, mm.
const CLOSE_MM: f64 = 1e-10;
/// Where no further step is taken, mm.
const ENOUGH_MM: f64 = 1e-13;
/// Places of a range at which it is asked what could be read, and halvings toward its ends.
const PLACES: u32 = 256;
const END_HALVINGS: u32 = 50;

/// A reading that takes the place of one of the connector's own values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// What was measured. [`Measure::GateOpening`] stands for no value: it is left aside.
    pub measure: Measure,
    /// What was read, mm.
    pub mm: f64,
    /// Where the connector's own value is sought, smallest and largest, mm.
    pub range_mm: [f64; 2],
}

/// That no connector reads so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unread {
    /// What was asked.
    pub measure: Measure,
    /// What was to be read, mm.
    pub asked_mm: f64,
    /// What the nearest connector that can be drawn reads, mm; `None` where none can, whatever the value.
    pub nearest_mm: Option<f64>,
    /// From where to where readings are possible, everything else as it is, mm.
    pub possible_mm: Option<[f64; 2]>,
}

/// The value of a connector that a reading takes the place of.
fn own(connector: &mut Connector, measure: Measure) -> Option<&mut f64> {
    match measure {
        Measure::OverallLength | Measure::ClearLength => Some(&mut connector.window.inside_length_mm),
        Measure::UpperOverAll => Some(&mut connector.window.upper_width_mm),
        Measure::LowerOverAll => Some(&mut connector.window.lower_width_mm),
        Measure::TipOverBar => Some(&mut connector.nose.tip_mm),
        Measure::PinToPin => Some(&mut connector.hinge.height_mm),
        Measure::GateOpening => None,
    }
}

/// A connector that is sought.
struct Sought<'a> {
    asked: &'a [Asked],
    /// Whether the lower end is as wide as the upper one, whatever that is.
    lower_as_upper: bool,
}

/// The connector whose outline reads what was asked, to 1e-10 mm: each reading takes the place of one of its own values, which is
/// ignored; all others are those of `connector`, but for the lower width where that is to follow the upper one
/// (`lower_as_upper`).
///
/// ```
/// use geometry::caliper::{Asked, Measure, connector_reading};
/// use geometry::connector::Connector;
///
/// let mut connector = Connector::example();
/// connector.window.inside_length_mm = f64::NAN;
/// let asked = Asked { measure: Measure::OverallLength, mm: 90.0, range_mm: [10.0, 500.0] };
/// let found = connector_reading(&connector, &[asked], false).unwrap();
/// assert!((found.window.inside_length_mm - 62.0).abs() < 1e-10);
/// ```
///
/// # Errors
/// What was asked that no connector reads, and what is possible. Two readings in the place of the same value are no more than one.
pub fn connector_reading(
    connector: &Connector,
    asked: &[Asked],
    lower_as_upper: bool,
) -> Result<Connector, Unread> {
    let sought = Sought { asked, lower_as_upper };
    let mut found = connector.clone();
    for ask in asked {
        let first = first_guess(connector, ask).clamp(ask.range_mm[0], ask.range_mm[1]);
        sought.put(&mut found, ask.measure, first);
    }
    let found = sought.windowed(found);
    let off = |ask: &&Asked| {
        let [low, high] = ask.range_mm;
        if !own(&mut found.clone(), ask.measure).is_some_and(|own| (low..=high).contains(own)) {
            return true;
        }
        let reads = Edges::loose(&found).and_then(|edges| edges.read(ask.measure));
        !reads.is_some_and(|reads| (reads - ask.mm).abs() <= CLOSE_MM)
    };
    let of_the_frame = || asked.iter().filter(|ask| ask.measure != Measure::GateOpening);
    if let Some(ask) = of_the_frame().find(off) {
        return Err(sought.unread(&found, ask));
    }
    if drawn(&found).is_none() {
        // Of several the first is told with which some connector can be drawn.
        let refused = of_the_frame().map(|ask| sought.unread(&found, ask));
        if let Some(unread) = refused.into_iter().find(|unread| unread.possible_mm.is_some()) {
            return Err(unread);
        }
    }
    Ok(found)
}

/// The edges of a connector that can be drawn, as far as its window and the ends of its legs decide that.
fn drawn(connector: &Connector) -> Option<Edges> {
    Edges::drawn(connector).ok().filter(|_| opening_mm(connector) >= LEAST_OPENING_MM)
}

/// What a value is on a connector with level ends and upright sides, mm.
fn first_guess(connector: &Connector, ask: &Asked) -> f64 {
    let Connector { spine, upper, lower, .. } = connector;
    match ask.measure {
        Measure::OverallLength => ask.mm - upper.depth_mm - lower.depth_mm,
        Measure::UpperOverAll => ask.mm - spine.depth_mm - upper.depth_mm,
        Measure::LowerOverAll => ask.mm - spine.depth_mm - lower.depth_mm,
        Measure::TipOverBar => ask.mm - upper.depth_mm,
        // Any that can be: it follows from the others.
        Measure::PinToPin => ask.range_mm[0],
        Measure::ClearLength | Measure::GateOpening => ask.mm,
    }
}

impl Sought<'_> {
    fn put(&self, connector: &mut Connector, measure: Measure, value: f64) {
        if let Some(own) = own(connector, measure) {
            *own = value;
        }
        if self.lower_as_upper {
            connector.window.lower_width_mm = connector.window.upper_width_mm;
        }
    }

    /// The readings that follow from the window: tip and hinge height, in closed form.
    fn place_legs(&self, connector: &mut Connector) -> Option<()> {
        for ask in self.asked {
            match ask.measure {
                Measure::TipOverBar => {
                    connector.nose.tip_mm = ask.mm - Edges::loose(connector)?.bar_above_corner()?;
                }
                Measure::PinToPin => {
                    let seats = Seats::new(connector, GatePlace::Shut);
                    let leg = &seats.leg;
                    let nose = between(leg.upper_corner, seats.nose_pin.centre);
                    let side = dot(between(leg.upper_corner, leg.lower_corner), leg.down);
                    let aside = dot(between(seats.nose_pin.centre, seats.hinge_pin.centre), leg.outward);
                    // Pins further apart across than they are in all: the nearest are level.
                    let along = (ask.mm * ask.mm - aside * aside).max(0.0).sqrt();
                    connector.hinge.height_mm = side - dot(nose, leg.down) - along;
                }
                _ => {}
            }
        }
        Some(())
    }

    /// How far the readings of the window are off, one for each of `window`, mm.
    fn off(&self, connector: &Connector, window: &[Asked], values: &[f64]) -> Option<(Connector, Vec<f64>)> {
        let mut at = connector.clone();
        for (ask, value) in window.iter().zip(values) {
            self.put(&mut at, ask.measure, *value);
        }
        // The nose tip does not depend on the hinge, which depends on it.
        let asks = |measure| self.asked.iter().any(|ask| ask.measure == measure);
        self.place_legs(&mut at)?;
        if asks(Measure::TipOverBar) && asks(Measure::PinToPin) {
            self.place_legs(&mut at)?;
        }
        let edges = Edges::loose(&at)?;
        let off: Option<Vec<f64>> =
            window.iter().map(|ask| Some(edges.read(ask.measure)? - ask.mm)).collect();
        Some((at, off?))
    }

    /// Newton's method on length and widths, halving steps that lead further away.
    fn windowed(&self, connector: Connector) -> Connector {
        let window: Vec<Asked> = self
            .asked
            .iter()
            .copied()
            .filter(|ask| {
                use Measure::{ClearLength, LowerOverAll, OverallLength, UpperOverAll};
                [OverallLength, ClearLength, UpperOverAll, LowerOverAll].contains(&ask.measure)
            })
            .collect();
        let largest = |off: &[f64]| off.iter().fold(0.0_f64, |most, off| most.max(off.abs()));
        let mut first = connector.clone();
        let mut values: Vec<f64> =
            window.iter().map(|ask| own(&mut first, ask.measure).map_or(f64::NAN, |own| *own)).collect();
        let Some((mut best, mut off)) = self.off(&connector, &window, &values) else { return connector };
        for _ in 0..STEPS {
            if largest(&off) <= ENOUGH_MM {
                break;
            }
            let mut columns: Vec<Vec<f64>> = Vec::new();
            for k in 0..window.len() {
                let mut beside = values.clone();
                beside[k] += DIFFERENCE_MM;
                let Some((_, there)) = self.off(&connector, &window, &beside) else { return best };
                columns.push(there.iter().zip(&off).map(|(b, a)| (b - a) / DIFFERENCE_MM).collect());
            }
            let Some(step) = solved(columns, off.clone()) else { return best };
            let mut part = 1.0;
            let nearer = (0..HALVINGS).find_map(|_| {
                let next: Vec<f64> = (values.iter().zip(&step).zip(&window))
                    .map(|((value, step), ask)| (value - part * step).clamp(ask.range_mm[0], ask.range_mm[1]))
                    .collect();
                part *= 0.5;
                let (at, there) = self.off(&connector, &window, &next)?;
                (largest(&there) < largest(&off)).then_some((next, at, there))
            });
            let Some((next, at, there)) = nearer else { break };
            (values, best, off) = (next, at, there);
        }
        best
    }

    /// What is told of a reading that no connector has: what is possible with everything else as it was found.
    fn unread(&self, found: &Connector, ask: &Asked) -> Unread {
        let [low, high] = ask.range_mm;
        let at = |value: f64| {
            let mut connector = found.clone();
            self.put(&mut connector, ask.measure, value);
            drawn(&connector).and_then(|edges| edges.read(ask.measure))
        };
        let place = |i: u32| low + (high - low) * f64::from(i) / f64::from(PLACES);
        let read: Vec<(u32, f64)> = (0..=PLACES).filter_map(|i| Some((i, at(place(i))?))).collect();
        let (Some(first), Some(last)) = (read.first(), read.last()) else {
            return Unread { measure: ask.measure, asked_mm: ask.mm, nearest_mm: None, possible_mm: None };
        };
        // On to where the outline ends, between the last place that has one and the next.
        let end = |(i, reading): (u32, f64), beyond: Option<u32>| {
            let Some(beyond) = beyond.filter(|i| *i <= PLACES) else { return reading };
            let (mut within, mut without, mut reading) = (place(i), place(beyond), reading);
            for _ in 0..END_HALVINGS {
                let middle = 0.5 * (within + without);
                match at(middle) {
                    Some(read) => (within, reading) = (middle, read),
                    None => without = middle,
                }
            }
            reading
        };
        let ends = [end(*first, first.0.checked_sub(1)), end(*last, Some(last.0 + 1))];
        let all = || read.iter().map(|(_, reading)| *reading).chain(ends);
        let far = |reading: &f64| (reading - ask.mm).abs();
        Unread {
            measure: ask.measure,
            asked_mm: ask.mm,
            nearest_mm: all().min_by(|a, b| far(a).total_cmp(&far(b))),
            possible_mm: Some([all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max)]),
        }
    }
}

/// The solution of a few linear equations, given by columns; `None` where they have none, or many.
fn solved(columns: Vec<Vec<f64>>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let n = right.len();
    let mut rows: Vec<Vec<f64>> =
        (0..n).map(|row| columns.iter().map(|column| column[row]).collect()).collect();
    for k in 0..n {
        let pivot = (k..n).max_by(|a, b| rows[*a][k].abs().total_cmp(&rows[*b][k].abs()))?;
        rows.swap(k, pivot);
        right.swap(k, pivot);
        if rows[k][k].is_nan() || rows[k][k].abs() < 1e-6 {
            return None;
        }
        let pivot = rows[k].clone();
        for row in k + 1..n {
            let times = rows[row][k] / pivot[k];
            for (of_row, of_pivot) in rows[row].iter_mut().zip(&pivot) {
                *of_row -= times * of_pivot;
            }
            right[row] -= times * right[k];
        }
    }
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|column| rows[k][column] * right[column]).sum();
        right[k] = (right[k] - known) / rows[k][k];
    }
    Some(right)
}
