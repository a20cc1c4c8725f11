//! What a trace says of a peak: the load to record where none is told, and the one to hold a told peak against.

use super::field::OUTCOMES;
use crate::trace::pull::{Ending, Missed, Pull};
use crate::trace::recording::{self, Found};
use crate::trace::{Asked, TraceError};

/// A told peak that lies no farther from that of its trace is taken for the same, as a part of itself and in kN, whichever is more:
/// displays round and hold their own highest value. Common practice, no source.
const SAME: f64 = 0.02;
const SAME_KN: f64 = 0.1;
/// A fall from more than this part of the peak is one from the peak.
const AT_PEAK: f64 = 0.95;

/// What one cell says.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Its column.
    pub name: String,
    /// Its highest load less its zero, kN.
    pub kn: f64,
    /// Whether the load may have been higher than the cell tells: then it is a lower bound.
    pub is_least: bool,
    /// What else makes its peak doubtful.
    pub doubt: Option<Doubt>,
    /// How its load ended.
    pub end: End,
}

/// How the load of a trace ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// It fell suddenly, from its highest.
    FellFromPeak,
    /// It fell suddenly, from less.
    Fell,
    /// It was let off, or gave way slowly.
    CameDown,
    /// The file ends under load.
    NotTold,
}

/// What makes a peak doubtful.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// It is one to three samples far above those beside them.
    Disturbance,
    /// What the cell shows without load is not known, so nothing was subtracted.
    NoZero,
    /// What it shows without load is so much that it may be a load that stood before and after the pull.
    LargeZero,
    /// What it shows without load is another afterwards, by more than told peaks may be off.
    ZeroMoved,
    /// How much lies between its samples is not known.
    NoBound,
}

/// What stands in a trace.
#[derive(Clone, Debug, PartialEq)]
pub enum Traced {
    /// A pull, and what its cells say: at least one.
    Cells(Vec<Cell>),
    /// So many peaks of several pulls, no curve.
    Peaks(usize),
}

/// Why a trace gives no peak.
#[derive(Clone, Debug, PartialEq)]
pub enum NoTracedPeak {
    /// It gives no reading.
    NoReading(TraceError),
    /// It has several cells, and which of them counts is not known.
    Cells(Vec<Cell>),
    /// It is a list of so many peaks.
    Peaks(usize),
    /// Its peak is a lower bound, kN.
    Least(f64),
    /// Its peak, kN, is doubtful.
    Doubtful(f64, Doubt),
}

/// What makes the peak of a pull doubtful, if anything does.
fn doubt(pull: &Pull) -> Option<Doubt> {
    let kn = pull.peak.kn;
    if pull.disturbance.is_some() {
        return Some(Doubt::Disturbance);
    }
    let Ok(quiet) = &pull.quiet else { return Some(Doubt::NoZero) };
    if quiet.is_large {
        return Some(Doubt::LargeZero);
    }
    if quiet.drift_kn.is_some_and(|drift| drift.abs() > (SAME * kn).max(SAME_KN)) {
        return Some(Doubt::ZeroMoved);
    }
    (pull.missed == Missed::TooFew).then_some(Doubt::NoBound)
}

impl Traced {
    /// Reads a trace, nothing of it overruled.
    ///
    /// # Errors
    /// It gives no reading.
    pub fn read(bytes: &[u8]) -> Result<Self, TraceError> {
        Ok(match recording::read(bytes, &Asked::default())? {
            Found::Peaks(peaks) => Self::Peaks(peaks.len()),
            Found::Recording(recording) => {
                let cell = |channel| {
                    let pull = Pull::of(&recording, channel);
                    Cell {
                        name: channel.name.clone(),
                        kn: pull.peak.kn,
                        is_least: !pull.at_least.is_empty(),
                        doubt: doubt(&pull),
                        end: match pull.ending {
                            Ending::Broke { from_kn, .. } if from_kn > AT_PEAK * pull.peak.kn => {
                                End::FellFromPeak
                            }
                            Ending::Broke { .. } => End::Fell,
                            Ending::LetOff => End::CameDown,
                            Ending::UnderLoad { .. } => End::NotTold,
                        },
                    }
                };
                Self::Cells(recording.channels.iter().map(cell).collect())
            }
        })
    }

    /// The peak as it is entered where none was told: in kN, to hundredths.
    ///
    /// # Errors
    /// The trace gives none.
    pub fn peak(bytes: &[u8]) -> Result<String, NoTracedPeak> {
        match Self::read(bytes).map_err(NoTracedPeak::NoReading)? {
            Self::Peaks(count) => Err(NoTracedPeak::Peaks(count)),
            Self::Cells(cells) => match &cells[..] {
                [cell] if cell.is_least => Err(NoTracedPeak::Least(cell.kn)),
                [cell] => match cell.doubt {
                    Some(doubt) => Err(NoTracedPeak::Doubtful(cell.kn, doubt)),
                    None => Ok(format!("{:.2} kN", cell.kn)),
                },
                _ => Err(NoTracedPeak::Cells(cells)),
            },
        }
    }

    /// How the load ended where a told outcome is another: of one that was stopped a sudden fall from the highest load, of a break one that
    /// comes down slowly. All its cells must say so.
    #[must_use]
    pub fn ended_otherwise(&self, outcome: &str) -> Option<End> {
        let Self::Cells(cells) = self else { return None };
        let end = cells.first()?.end;
        let other = match end {
            End::FellFromPeak => outcome == OUTCOMES[3],
            End::CameDown => outcome == OUTCOMES[0] || outcome == OUTCOMES[2],
            End::Fell | End::NotTold => false,
        };
        (other && cells.iter().all(|cell| cell.end == end)).then_some(end)
    }

    /// What the trace says where a told peak is another, kN: the nearest cell; a lower bound is contradicted by less alone.
    #[must_use]
    pub fn contradicts(&self, told_kn: f64) -> Option<f64> {
        let Self::Cells(cells) = self else { return None };
        let off = |cell: &Cell| match told_kn - cell.kn {
            above if cell.is_least && above > 0.0 => 0.0,
            either => either.abs(),
        };
        let nearest = cells.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        (off(nearest) > (SAME * told_kn).max(SAME_KN)).then_some(nearest.kn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A pull to a load in kN at ten samples a second, with so many cells, the second 1 kN below the first.
    fn trace(to: f64, cells: usize, ends_high: bool) -> String {
        let mut text = if cells == 1 { "time_s,force_kN\n" } else { "time_s,a_kN,b_kN\n" }.to_owned();
        let rest = if ends_high { 0 } else { 10 };
        for i in 0..120 + rest {
            let up = to * f64::from(i.clamp(20, 119) - 20) / 99.0;
            let kn = 0.02 + if i < 120 { up } else { 0.0 };
            let second = if cells == 1 { String::new() } else { format!(",{:.3}", kn * (to - 1.0) / to) };
            text += &format!("{:.1},{kn:.3}{second}\n", f64::from(i) / 10.0);
        }
        text
    }

    #[test]
    fn one_cell_gives_its_peak_less_the_zero_and_nothing_else_gives_one() {
        let peak = |text: &str| Traced::peak(text.as_bytes());
        assert_eq!(peak(&trace(22.38, 1, false)), Ok("22.38 kN".to_owned()));
        assert!(matches!(peak(&trace(22.38, 2, false)), Err(NoTracedPeak::Cells(cells)) if cells.len() == 2));
        assert!(
            matches!(peak(&trace(22.38, 1, true)), Err(NoTracedPeak::Least(kn)) if (kn - 22.38).abs() < 0.1)
        );
        assert!(matches!(peak("nothing to be read"), Err(NoTracedPeak::NoReading(_))));
    }

    #[test]
    fn a_told_outcome_is_held_against_how_the_load_ended() {
        let fell = Traced::read(trace(20.0, 1, false).as_bytes()).unwrap();
        let slowly: String = (0..220)
            .map(|i| {
                format!(
                    "{:.1},{:.3}\n",
                    f64::from(i) / 10.0,
                    0.2 * f64::from((i.clamp(20, 200) - 20).min(200 - i.clamp(20, 200)))
                )
            })
            .collect();
        let slowly = Traced::read(format!("time_s,force_kN\n{slowly}").as_bytes()).unwrap();
        let cut = Traced::read(trace(20.0, 1, true).as_bytes()).unwrap();
        for (outcome, of_fall, of_slow) in [
            ("broke", None, Some(End::CameDown)),
            ("strap broke", None, Some(End::CameDown)),
            // What opens may give way at once or slowly.
            ("opened", None, None),
            ("stopped", Some(End::FellFromPeak), None),
        ] {
            assert_eq!(fell.ended_otherwise(outcome), of_fall, "{outcome}");
            assert_eq!(slowly.ended_otherwise(outcome), of_slow, "{outcome}");
            assert_eq!(cut.ended_otherwise(outcome), None, "{outcome}");
        }
    }

    #[test]
    fn a_told_peak_is_held_against_the_nearest_cell() {
        let read = |text: &str| Traced::read(text.as_bytes()).unwrap();
        let one = read(&trace(20.0, 1, false));
        assert_eq!((one.contradicts(20.3), one.contradicts(19.7)), (None, None));
        for told in [20.6, 19.4] {
            assert!((one.contradicts(told).unwrap() - 20.0).abs() < 0.02);
        }
        // Of small loads a tenth of a kilonewton is the same.
        assert_eq!(read(&trace(1.5, 1, false)).contradicts(1.58), None);
        let two = read(&trace(20.0, 2, false));
        assert_eq!((two.contradicts(20.0), two.contradicts(19.0)), (None, None));
        // A cell that was at its end is contradicted by less alone.
        let least = read(&trace(20.0, 1, true));
        assert_eq!(least.contradicts(25.0), None);
        assert!(least.contradicts(18.0).is_some());
    }
}
