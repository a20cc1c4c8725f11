//! The curve of a pull: load over stretch, with the forecast's limits, and the gate's share over the load.

use report::caution::CAUTION;
use report::changes::heading;
use report::failure_modes;
use report::letters::typeset;
use report::pictures::{pull as words, source_line};
use report::pull_to_failure::headline;
use report::rigs;
use solver::pull_to_failure::{End, Reached};
use solver::strength::LimitKind;
use study::model::Model;
use study::pull_to_failure::Pulled;
use viz::{ChartError, ChartWords, CurveMark, CurveTick, Drawing, PullCurve, PullCurveWords};

/// Limits beyond this many times the highest load are not on the chart.
const FAR: f64 = 1.25;
/// At most so many limits are named.
const MOST_TICKS: usize = 7;

/// Draws it. `source`: the model's short name and the inputs' hash; `sets`: what was changed.
///
/// # Errors
/// The chart library fails.
pub fn curve(
    pulled: &Pulled<'_>,
    model: &Model,
    (name, hash): (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Result<Drawing, ChartError> {
    let along = |steps: &[Reached]| steps.iter().map(|s| [s.stretch_mm, s.load_kn]).collect::<Vec<_>>();
    let gated = pulled.is_gated();
    let shares = match gated {
        true => pulled.course.steps.iter().skip(1).map(|s| [s.load_kn, 100.0 * s.gate_fraction]).collect(),
        false => Vec::new(),
    };
    PullCurve {
        words: ChartWords {
            title: model.title.clone(),
            subtitle: heading(&rigs::without_load(&model.rig), sets),
            sentence: typeset(&headline(pulled)),
            caution: CAUTION.to_owned(),
            source_line: source_line(name, hash),
        },
        told: told(pulled),
        description: words::description(pulled),
        gate: along(pulled.shown()),
        hook: along(pulled.kept_hook()),
        beside: Vec::new(),
        shares,
        marks: marks(pulled),
        ticks: ticks(pulled),
    }
    .drawing(size[0], size[1])
}

fn told(pulled: &Pulled<'_>) -> PullCurveWords {
    PullCurveWords {
        curve: words::CURVE.to_owned(),
        stretch: words::STRETCH.to_owned(),
        share: words::SHARE.to_owned(),
        load: words::LOAD.to_owned(),
        forecast: words::FORECAST.to_owned(),
        marks: words::MARKS.to_owned(),
        hook: words::hook(pulled).to_owned(),
    }
}

/// The stretch at which a load is first reached, mm; nothing where it is not.
fn stretch_at(steps: &[Reached], load_kn: f64) -> Option<f64> {
    let pair = steps.windows(2).find(|pair| pair[0].load_kn <= load_kn && load_kn <= pair[1].load_kn)?;
    let part = (load_kn - pair[0].load_kn) / (pair[1].load_kn - pair[0].load_kn).max(1e-12);
    Some(pair[0].stretch_mm + part.clamp(0.0, 1.0) * (pair[1].stretch_mm - pair[0].stretch_mm))
}

/// What is marked on the curve, along it.
#[must_use]
pub fn marks(pulled: &Pulled<'_>) -> Vec<CurveMark> {
    let (course, shown) = (&pulled.course, pulled.shown());
    let at = |what: &str, [stretch_mm, load_kn]: [f64; 2]| CurveMark {
        at: [stretch_mm, load_kn],
        words: words::mark(what, load_kn),
    };
    let at_step = |what: &str, s: &Reached| at(what, [s.stretch_mm, s.load_kn]);
    let on_curve =
        |what: &str, load_kn: Option<f64>| Some(at(what, [stretch_at(shown, load_kn?)?, load_kn?]));
    let peak = &course.steps[pulled.highest()];
    let last = &shown[shown.len() - 1];
    let marks = course.marks;
    let mut all: Vec<CurveMark> = [
        on_curve(words::ENGAGES, marks.engages_kn),
        on_curve(words::yields(pulled), marks.yields_kn),
        marks.offset_kn.zip(marks.offset_at_mm).map(|(kn, mm)| at(words::OFFSET, [mm, kn])),
        pulled.no_longer_shuts().map(|found| at(words::NO_LONGER_SHUTS, [found.stretch_mm, found.at_kn])),
        on_curve(words::KNEE, marks.knee_kn),
    ]
    .into_iter()
    .flatten()
    .collect();
    if peak.stretch_mm < last.stretch_mm {
        all.push(at_step(words::PEAK, peak));
    }
    all.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]));
    all.push(at_step(&words::shown_end(pulled), last));
    all.extend(course.hook.as_ref().and_then(|hook| {
        let most = || hook.steps.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn));
        match (pulled.hook_slides(), &hook.end) {
            (true, _) => Some(at_step(words::HOOK_SLIDES, &hook.steps[pulled.hook_keeps()?])),
            // Where nothing slides the hook is shown to its end.
            (false, End::Stopped) => Some(at_step(words::HOOK_STOPPED, hook.steps.last()?)),
            (false, _) => Some(at_step(words::HOOK_AT_MOST, most()?)),
        }
    }));
    all
}

fn ticks(pulled: &Pulled<'_>) -> Vec<CurveTick> {
    let limits = &pulled.ready.limits;
    let far = FAR * pulled.course.marks.peak_kn;
    let of_part = |l: &solver::strength::Limit| {
        let kn = l.at_kn.filter(|kn| *kn <= far)?;
        Some((failure_modes::name(l.what).to_owned(), kn, l.kind))
    };
    let mut all: Vec<(String, f64, LimitKind)> = limits.limits.iter().filter_map(of_part).collect();
    if limits.goes_on() {
        all.push((failure_modes::OPEN_HOOK.to_owned(), limits.open_hook_kn, LimitKind::Opens));
    }
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    // What ends nothing gives way first where there are too many.
    while all.len() > MOST_TICKS {
        let last = all.iter().rposition(|t| !matches!(t.2, LimitKind::Yields | LimitKind::Bends));
        all.remove(last.unwrap_or(all.len() - 1));
    }
    all.into_iter().map(|(what, at_kn, _)| CurveTick { words: words::mark(&what, at_kn), at_kn }).collect()
}
