//! Loads of a pull at which something shows, read from its steps.

use super::reached::Reached;

/// Permanent stretch that is marked, mm.
pub const OFFSET_MM: f64 = 0.2;

/// Loads at which something shows, kN; nothing where it did not.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Marks {
    /// The gate begins to carry.
    pub engages_kn: Option<f64>,
    /// The frame yields away from nose and lug.
    pub yields_kn: Option<f64>,
    /// The load centres lie [`OFFSET_MM`] beyond the line through first yield along the slope there.
    pub offset_kn: Option<f64>,
    /// The stretch there, mm.
    pub offset_at_mm: Option<f64>,
    /// The load rises half as steeply over the stretch as at first yield.
    pub knee_kn: Option<f64>,
    /// The highest load.
    pub peak_kn: f64,
}

impl Marks {
    /// Those of a pull from rest.
    #[must_use]
    pub fn of(steps: &[Reached]) -> Self {
        let mut marks = Self {
            engages_kn: begins_kn(steps, |s| s.gate_line_kn),
            yields_kn: begins_kn(steps, |s| s.plastic_strain),
            peak_kn: steps.iter().map(|s| s.load_kn).fold(0.0, f64::max),
            ..Self::default()
        };
        // The elastic slope is that of the step before the first that yields.
        let yields = steps.iter().position(|s| s.plastic_strain > 0.0).filter(|first| *first > 1);
        let Some(first) = yields else { return marks };
        let (slope, from) = (slope(&steps[first - 2], &steps[first - 1]), &steps[first - 1]);
        let beyond = |s: &Reached| s.stretch_mm - from.stretch_mm - (s.load_kn - from.load_kn) / slope;
        let mut pairs = steps.windows(2).skip(first).map(|pair| (&pair[0], &pair[1]));
        let offset = pairs.clone().find(|(_, is)| beyond(is) >= OFFSET_MM).map(|(was, is)| {
            let part = ((OFFSET_MM - beyond(was)) / (beyond(is) - beyond(was))).clamp(0.0, 1.0);
            [(was.load_kn, is.load_kn), (was.stretch_mm, is.stretch_mm)]
                .map(|(from, to)| from + part * (to - from))
        });
        (marks.offset_kn, marks.offset_at_mm) =
            offset.map(|[load_kn, stretch_mm]| (load_kn, stretch_mm)).unzip();
        // The tangent falls: half of it is reached at the middle of the step in which it is less.
        marks.knee_kn = pairs
            .find(|(was, is)| self::slope(was, is) < 0.5 * slope)
            .map(|(was, is)| 0.5 * (was.load_kn + is.load_kn));
        marks
    }
}

/// How steeply the load rises over the stretch between two steps, kN/mm.
fn slope(was: &Reached, is: &Reached) -> f64 {
    (is.load_kn - was.load_kn) / (is.stretch_mm - was.stretch_mm)
}

/// Load at which a value that was zero begins to grow, kN: along a line through the first two steps at which it has.
fn begins_kn(steps: &[Reached], value: impl Fn(&Reached) -> f64) -> Option<f64> {
    let first = steps.iter().position(|s| value(s) > 0.0)?;
    let here = &steps[first];
    let Some(next) = steps.get(first + 1) else { return Some(here.load_kn) };
    let slope = (value(next) - value(here)) / (next.load_kn - here.load_kn);
    let back = if slope > 0.0 { here.load_kn - value(here) / slope } else { here.load_kn };
    Some(back.clamp(if first > 0 { steps[first - 1].load_kn } else { 0.0 }.min(here.load_kn), here.load_kn))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 10 kN/mm up to 10 kN, then 2 kN/mm; the gate takes a half of what is above 0.5 kN.
    fn step(stretch_mm: f64) -> Reached {
        let load_kn = if stretch_mm < 1.0 { 10.0 * stretch_mm } else { 8.0 + 2.0 * stretch_mm };
        Reached {
            load_kn,
            stretch_mm,
            gate_line_kn: (0.5 * (load_kn - 0.5)).max(0.0),
            plastic_strain: (0.01 * (load_kn - 10.0)).max(0.0),
            ..Reached::default()
        }
    }

    #[test]
    fn marks_stand_where_two_straight_lines_put_them() {
        let steps: Vec<Reached> = (0..=30).map(|i| step(0.1 * f64::from(i))).collect();
        let marks = Marks::of(&steps);
        let near = |found: Option<f64>, wanted: f64| (found.unwrap() - wanted).abs() < 1e-9;
        assert!(near(marks.engages_kn, 0.5) && near(marks.yields_kn, 10.0), "{marks:?}");
        // 0.2 mm beyond 10 kN/mm is left after 0.25 mm of 2 kN/mm; the tangent is less in the first step of these.
        assert!(near(marks.offset_at_mm, 1.25), "{marks:?}");
        assert!(near(marks.offset_kn, 10.5) && near(marks.knee_kn, 10.3), "{marks:?}");
        assert!((marks.peak_kn - 14.0).abs() < 1e-9);
    }

    #[test]
    fn what_first_shows_at_the_last_step_is_told_there() {
        let steps: Vec<Reached> = (0..=11).map(|i| step(0.1 * f64::from(i))).collect();
        assert_eq!(Marks::of(&steps).yields_kn, Some(steps[11].load_kn));
        let elastic = Marks::of(&steps[..8]);
        assert!(elastic.engages_kn.is_some() && elastic.yields_kn.is_none() && elastic.offset_kn.is_none());
        assert_eq!(Marks::of(&[]), Marks::default());
    }
}
