//! The strip of maps of a pull, and the map of what stays after unloading.

use super::shown::Shown;
use report::caution::CAUTION;
use report::changes::heading;
use report::letters::typeset;
use report::pictures::{map as map_words, pull as words, source_line};
use report::pull_to_failure::{bent, headline};
use report::rigs;
use solver::pull_to_failure::{Fields, Reached};
use study::model::Model;
use study::pull_to_failure::{Bent, Pulled};
use viz::{Drawing, PullMaps, PullMoment, SheetWords};

/// A moment: what shows, its step, and its fields.
struct Moment<'a> {
    what: String,
    reached: &'a Reached,
    shown: Shown<'a>,
}

/// Draws the strip. `source`: the model's short name and the inputs' hash; `sets`: what was changed.
#[must_use]
pub fn maps(
    pulled: &Pulled<'_>,
    model: &Model,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let all = moments(pulled);
    let drawn = all
        .iter()
        .map(|m| m.shown.moment(m.what.clone(), typeset(&words::at(m.reached))))
        .collect::<Vec<_>>();
    let stress = all.iter().map(|m| [m.shown.nearly_most_mpa(), m.shown.most_mpa()]);
    let highest = stress.fold([0.0; 2], |most, of| [0, 1].map(|i| f64::max(most[i], of[i])));
    let told: Vec<String> = drawn.iter().map(|m| format!("{} ({})", m.what, m.load)).collect();
    strip(
        pulled,
        model,
        (source, sets),
        SheetWords {
            name: words::strip(&model.title),
            sentence: typeset(&headline(pulled)),
            ..SheetWords::default()
        },
        words::strip_description(&headline(pulled), &told),
        (drawn, highest),
    )
    .drawing(size[0], size[1])
}

/// Draws the residual stress that stays after unloading.
#[must_use]
pub fn unloaded(
    pulled: &Pulled<'_>,
    of: &Bent,
    model: &Model,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let (system, rig) = (&pulled.ready.system, &pulled.ready.rig);
    let shown = |fields: &Fields| Shown::new(system, rig, fields.clone());
    let after = shown(&of.unloaded.fields).alone();
    let sentence = bent(pulled, of);
    let drawn = vec![after.moment(words::AFTERWARDS.to_owned(), typeset(&words::stays(of.unloaded.set_mm)))];
    // The colours reach the highest stress that is told.
    let highest = [after.nearly_most_mpa().max(of.unloaded.residual_mpa), after.most_mpa()];
    strip(
        pulled,
        model,
        (source, sets),
        SheetWords {
            name: words::unloaded(&model.title),
            sentence: typeset(&sentence),
            note: words::FRAME_ALONE.to_owned(),
            ..SheetWords::default()
        },
        words::strip_description(&sentence, &[]),
        (drawn, highest),
    )
    .drawing(size[0], size[1])
}

type OnPicture<'a> = ((&'a str, &'a str), &'a [(String, String)]);

fn strip<'a>(
    pulled: &Pulled<'_>,
    model: &Model,
    ((name, hash), sets): OnPicture<'_>,
    sheet: SheetWords,
    description: String,
    (moments, [most_mpa, told_mpa]): (Vec<PullMoment<'a>>, [f64; 2]),
) -> PullMaps<'a> {
    PullMaps {
        words: SheetWords {
            title: model.title.clone(),
            subtitle: heading(&rigs::without_load(&model.rig), sets),
            caution: CAUTION.to_owned(),
            source_line: source_line(name, hash),
            ..sheet
        },
        description,
        ruler: [map_words::VON_MISES.across, map_words::YIELD, map_words::PAST].map(str::to_owned),
        yield_mpa: pulled.ready.strengths.materials.frame.yield_mpa,
        most_mpa,
        told_mpa,
        moments,
    }
}

/// At low load, at the first step past first yield, at the one nearest to the knee, half way from there, at the end, and the open hook as far as friction keeps on it what pulls it.
fn moments<'p>(pulled: &'p Pulled<'_>) -> Vec<Moment<'p>> {
    let course = &pulled.course;
    let marks = course.marks;
    let last = pulled.shown().len() - 1;
    let peak = pulled.highest().min(last);
    let low = pulled.step_at(0.5 * marks.yields_kn.unwrap_or(marks.peak_kn));
    let knee = marks.knee_kn.map(|kn| pulled.step_at(kn));
    let from = knee.or(pulled.first_plastic()).unwrap_or(low).min(last);
    let stretch = |step: usize| course.steps[step].stretch_mm;
    let half = 0.5 * (stretch(from) + stretch(peak));
    let between = (from..=peak)
        .min_by(|a, b| (stretch(*a) - half).abs().total_cmp(&(stretch(*b) - half).abs()))
        .unwrap_or(from);
    let ended = words::shown_end(pulled);
    let wanted = [
        (Some(low), words::LOW.to_owned()),
        (pulled.first_plastic(), words::PAST_YIELD.to_owned()),
        (knee, words::NEAR_KNEE.to_owned()),
        ((between != from).then_some(between), words::BETWEEN.to_owned()),
        ((peak != last).then_some(peak), words::PEAK.to_owned()),
        (Some(last), ended),
    ];
    let mut all: Vec<(usize, String)> = Vec::new();
    for (step, what) in
        wanted.into_iter().filter_map(|(step, what)| Some((step.filter(|s| *s <= last)?, what)))
    {
        match all.iter_mut().find(|m| m.0 == step) {
            Some(there) => there.1 = what,
            None => all.push((step, what)),
        }
    }
    all.sort_by_key(|m| m.0);
    let (system, rig) = (&pulled.ready.system, &pulled.ready.rig);
    let mut moments: Vec<Moment<'_>> = all
        .into_iter()
        .map(|(step, what)| Moment {
            what,
            reached: &course.steps[step],
            shown: Shown::new(system, rig, course.fields(step)),
        })
        .collect();
    let hook = pulled.kept_hook();
    if let Some(reached) = hook.last() {
        moments.push(Moment {
            what: words::OPEN_HOOK.to_owned(),
            reached,
            shown: Shown::new(system, rig, course.hook_fields(hook.len() - 1)).without_gate(),
        });
    }
    moments
}
