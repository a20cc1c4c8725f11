//! The curve of a trace: load over time, with what was found marked on it.

use lab::trace::pull::Pull;
use lab::trace::recording::{Channel, Recording};
use report::caution::CAUTION_OF_RECORDS;
use report::letters::typeset;
use report::pictures::source_line;
use report::trace::{LOAD, MARKS, SAMPLES, TIME, Told, headline, marks};
use viz::{ChartError, ChartWords, CurveMark, Drawing, PullCurve, PullCurveWords};

/// Size of the picture, pixels, and of the same for a phone.
pub const PICTURES: [[u32; 2]; 2] = [[1600, 1200], [1080, 2340]];

/// Columns that a curve of many samples is drawn in, each by its least and its most.
const COLUMNS: usize = 1600;
/// Digits of a hash on a picture.
const DIGITS: usize = 12;

/// Places and loads, kN less the zero, few enough to draw.
fn drawn(channel: &Channel, pull: &Pull) -> Vec<[f64; 2]> {
    let zero = pull.zero_kn();
    let at = |i: usize| [place(channel, i), channel.kn[i] - zero];
    let many = channel.kn.len();
    if many <= 2 * COLUMNS {
        return (0..many).map(at).collect();
    }
    let mut points = Vec::with_capacity(2 * COLUMNS);
    for column in 0..COLUMNS {
        let (from, to) = (column * many / COLUMNS, (column + 1) * many / COLUMNS);
        let by = |a: &usize, b: &usize| channel.kn[*a].total_cmp(&channel.kn[*b]);
        if let (Some(low), Some(high)) = ((from..to).min_by(by), (from..to).max_by(by)) {
            points.push(at(low.min(high)));
            if low != high {
                points.push(at(low.max(high)));
            }
        }
    }
    points
}

fn place(channel: &Channel, sample: usize) -> f64 {
    channel.times_s.as_ref().map_or(sample as f64, |t| t[sample])
}

/// Draws the first cell of a file, further ones thin beside it.
///
/// # Errors
/// The chart library fails.
pub fn curve(
    told: &Told,
    recording: &Recording,
    pulls: &[Pull],
    size: [u32; 2],
) -> Result<Drawing, ChartError> {
    let (Some(first), Some(channel)) = (pulls.first(), recording.channels.first()) else {
        return Err(ChartError::Values);
    };
    let clock = channel.times_s.is_some();
    let named: Vec<String> = recording.channels.iter().map(|c| c.name.clone()).collect();
    let subtitle = if named.len() > 1 {
        report::trace::cells_drawn(&named)
    } else {
        report::trace::cell_drawn(&named[0], channel.kn.len())
    };
    let marks: Vec<CurveMark> = marks(first)
        .into_iter()
        .map(|(sample, words)| CurveMark {
            at: [place(channel, sample), channel.kn[sample] - first.zero_kn()],
            words,
        })
        .collect();
    let name = std::path::Path::new(&told.file)
        .file_name()
        .map_or_else(|| told.file.clone(), |n| n.to_string_lossy().into_owned());
    PullCurve {
        words: ChartWords {
            title: name.clone(),
            subtitle,
            sentence: typeset(&if named.len() > 1 {
                format!("{}: {}", named[0], headline(first))
            } else {
                headline(first)
            }),
            caution: CAUTION_OF_RECORDS.to_owned(),
            source_line: source_line(&name, &told.hash[..DIGITS.min(told.hash.len())]),
        },
        told: PullCurveWords {
            curve: LOAD.to_owned(),
            stretch: if clock { TIME } else { SAMPLES }.to_owned(),
            marks: MARKS.to_owned(),
            ..PullCurveWords::default()
        },
        description: format!(
            "{} {}. {CAUTION_OF_RECORDS}",
            headline(first),
            marks.iter().map(|m| m.words.as_str()).collect::<Vec<_>>().join("; ")
        ),
        gate: drawn(channel, first),
        beside: pulls.iter().zip(&recording.channels).skip(1).map(|(p, c)| drawn(c, p)).collect(),
        marks,
        ..PullCurve::default()
    }
    .drawing(size[0], size[1])
}
