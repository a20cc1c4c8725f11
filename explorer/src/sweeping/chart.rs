//! From the rows of a sweep to its charts.

use report::caution::CAUTION;
use report::failure_modes::name;
use report::keys::naming::value_in_words;
use report::letters::typeset;
use report::pictures::{source_line, sweep as written};
use report::sweep::{ToldRow, heading, sentence, title_and_taken};
use solver::strength::FailureMode;
use study::sweep::{Change, Found, Plan, Values, Varied, changes};
use viz::{ChartAxis, ChartError, ChartWords, Drawing, PartCurve, SweepChart, SweepMap, SweepWords};

/// Size of a chart, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

fn words(plan: &Plan, rows: &[ToldRow]) -> ChartWords {
    ChartWords {
        title: plan.title.clone(),
        subtitle: typeset(&title_and_taken(plan)),
        sentence: typeset(&sentence(plan, rows)),
        caution: CAUTION.to_owned(),
        source_line: source_line(&plan.source.stem, &plan.hash()),
    }
}

fn axis(varied: &Varied) -> ChartAxis {
    match &varied.values {
        Values::Numbers { values, .. } => ChartAxis::Numbers(values.clone()),
        Values::Words(words) => {
            ChartAxis::Words(words.iter().map(|word| value_in_words(&varied.key.path(), word)).collect())
        }
    }
}

/// The parts that may fail first in some row; the frame among them.
fn parts(rows: &[ToldRow]) -> Vec<FailureMode> {
    let found = || rows.iter().filter_map(ToldRow::found);
    let may = |f: &Found| f.parts.iter().filter(|p| p.fails).map(|p| p.what).collect::<Vec<_>>();
    let mut modes: Vec<FailureMode> =
        found().flat_map(|f| may(f).into_iter().chain([f.fails_first])).collect();
    modes.sort_unstable();
    modes.dedup();
    modes.retain(|mode| *mode != FailureMode::FrameOpens);
    modes.push(FailureMode::FrameOpens);
    modes
}

/// Something of each row that was computed.
fn along(rows: &[ToldRow], of: impl Fn(&Found) -> Option<f64>) -> Vec<Option<f64>> {
    rows.iter().map(|r| r.found().and_then(&of)).collect()
}

/// The limit of a part along the rows of a sweep over so many keys.
fn curve(rows: &[ToldRow], part: FailureMode, keys: usize) -> PartCurve {
    let at_kn = along(rows, |f| match part {
        FailureMode::FrameOpens => f.opens_at_kn,
        FailureMode::FrameYields => f.first_yield_kn,
        FailureMode::FrameBends => Some(f.bends_at_kn),
        _ => f.limit_kn(part),
    });
    PartCurve { name: name(part).to_owned(), on_ground: written::on_ground(part, keys), at_kn }
}

/// What fails first in each row, by its place among parts.
fn first_of(parts: &[FailureMode], rows: &[ToldRow]) -> Vec<Option<usize>> {
    let place = |f: &Found| parts.iter().position(|part| *part == f.fails_first);
    rows.iter().map(|r| r.found().and_then(place)).collect()
}

fn one_key(plan: &Plan, varied: &Varied, rows: &[ToldRow]) -> SweepChart {
    let words = words(plan, rows);
    // Along the axis, whatever the order of the sweep.
    let mut rows = rows.to_vec();
    let mut axis = axis(varied);
    if let (Some(values), ChartAxis::Numbers(at)) = (varied.values.numbers(), &mut axis) {
        rows.sort_by(|a, b| values[a.point].total_cmp(&values[b.point]));
        at.sort_by(f64::total_cmp);
    }
    let rows = rows.as_slice();
    let changes = varied.values.numbers().map_or_else(Vec::new, |values| changes(values, rows));
    let parts = parts(rows);
    let mut chart = SweepChart {
        words,
        told: SweepWords {
            headings: written::HEADINGS.map(str::to_owned),
            forecast: written::FORECAST.to_owned(),
            not_computed: written::NOT_COMPUTED.to_owned(),
            more: None,
            description: String::new(),
        },
        key: heading(varied),
        axis,
        gate_percent: along(rows, |f| Some(100.0 * f.gate_fraction)),
        spine_moment_nm: along(rows, |f| Some(f.spine_moment_nm)),
        forecast_kn: along(rows, |f| Some(f.peak_kn)),
        parts: parts.iter().map(|part| curve(rows, *part, 1)).collect(),
        quiet: [FailureMode::FrameYields, FailureMode::FrameBends].map(|part| curve(rows, part, 1)).to_vec(),
        fails_first: first_of(&parts, rows),
        changes: changes.iter().map(|change| change.at).collect(),
    };
    chart.told.more = written::more(chart.parts.len() - chart.drawn().len());
    chart.told.description = description(&chart, &changes);
    chart
}

/// The alternative text of a chart.
fn description(chart: &SweepChart, changes: &[Change]) -> String {
    let ends = |part: &PartCurve| {
        let mut all = part.at_kn.iter().flatten().copied();
        let first = all.next()?;
        Some([first, all.next_back().unwrap_or(first)])
    };
    let drawn = chart.drawn();
    let parts: Vec<(&str, [f64; 2])> =
        drawn.iter().filter_map(|part| Some((part.name.as_str(), ends(part)?))).collect();
    let changes: Vec<(f64, &str)> = changes.iter().map(|c| (c.at, name(c.to))).collect();
    written::description(&chart.words.sentence, &chart.key, &parts, &changes, &chart.words.caution)
}

fn two_keys(plan: &Plan, [x, y]: [&Varied; 2], rows: &[ToldRow]) -> SweepMap {
    let mut parts = parts(rows);
    parts.retain(|part| rows.iter().filter_map(ToldRow::found).any(|f| f.fails_first == *part));
    SweepMap {
        words: words(plan, rows),
        headings: written::MAP_HEADINGS.map(str::to_owned),
        dashed: written::DASHED.to_owned(),
        keys: [heading(x), heading(y)],
        axes: [axis(x), axis(y)],
        forecast_kn: along(rows, |f| Some(f.peak_kn)),
        gate_percent: along(rows, |f| Some(100.0 * f.gate_fraction)),
        fails_first: first_of(&parts, rows),
        parts: parts.iter().map(|part| curve(rows, *part, 2)).collect(),
    }
}

/// The chart of a sweep of one or two keys in which at least one point was computed.
///
/// # Errors
/// The chart library fails.
pub fn chart(plan: &Plan, rows: &[ToldRow]) -> Result<Option<Drawing>, ChartError> {
    let [width, height] = PICTURE;
    match plan.varied.as_slice() {
        [one] => one_key(plan, one, rows).drawing(width, height).map(Some),
        [x, y] => two_keys(plan, [x, y], rows).drawing(width, height).map(Some),
        _ => Ok(None),
    }
}
