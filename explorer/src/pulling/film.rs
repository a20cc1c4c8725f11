//! The film of a pull.

use super::shown::Shown;
use report::caution::CAUTION;
use report::letters::typeset;
use report::pictures::pull as words;
use solver::pull_to_failure::Reached;
use study::model::Model;
use study::pull_to_failure::Pulled;
use viz::{PictureError, PullFilm};

/// Pictures of a film, about.
const PICTURES: usize = 30;

/// The film as an animated PNG.
///
/// # Errors
/// It cannot be packed.
pub fn film(pulled: &Pulled<'_>, model: &Model) -> Result<Vec<u8>, PictureError> {
    let course = &pulled.course;
    let (system, rig) = (&pulled.ready.system, &pulled.ready.rig);
    let hook = pulled.kept_hook();
    // Of a pull that goes on as a hook two thirds of the pictures show the pull itself.
    let of_gate = if hook.is_empty() { PICTURES } else { PICTURES * 2 / 3 };
    let (steps, ended) = (pulled.shown(), words::shown_end(pulled));
    let mut all: Vec<(Shown<'_>, &Reached, String)> = Vec::new();
    for step in even(steps, of_gate) {
        let what = if step + 1 == steps.len() { ended.clone() } else { words::phase(pulled, step) };
        all.push((Shown::new(system, rig, course.fields(step)), &steps[step], what));
    }
    // The last moment with the gate shows most: stress at its height, and what ended the pull.
    let poster = all.len().saturating_sub(1);
    for step in even(hook, PICTURES - of_gate) {
        let shown = Shown::new(system, rig, course.hook_fields(step)).without_gate();
        all.push((shown, &hook[step], words::OPEN_HOOK.to_owned()));
    }
    let along = |steps: &[Reached]| steps.iter().map(|s| [s.stretch_mm, s.load_kn]).collect::<Vec<_>>();
    PullFilm {
        title: model.title.clone(),
        axes: [words::CURVE.to_owned(), words::STRETCH.to_owned()],
        caution: CAUTION.to_owned(),
        yield_mpa: pulled.ready.strengths.materials.frame.yield_mpa,
        poster,
        most_mpa: all.iter().map(|m| m.0.nearly_most_mpa()).fold(0.0, f64::max),
        moments: all
            .iter()
            .map(|(shown, s, what)| {
                (shown.moment(what.clone(), typeset(&words::at(s))), [s.stretch_mm, s.load_kn])
            })
            .collect(),
        curves: [along(steps), along(hook)],
    }
    .to_png()
}

/// Steps that lie about evenly along the curve, first and last among them: along load and stretch alike, as parts of their greatest.
fn even(steps: &[Reached], count: usize) -> Vec<usize> {
    let most = |of: fn(&Reached) -> f64| steps.iter().map(of).fold(1e-9, f64::max);
    let (load, stretch) = (most(|s| s.load_kn), most(|s| s.stretch_mm));
    let mut way = vec![0.0];
    for pair in steps.windows(2) {
        let by = ((pair[1].load_kn - pair[0].load_kn) / load)
            .hypot((pair[1].stretch_mm - pair[0].stretch_mm) / stretch);
        way.push(way[way.len() - 1] + by);
    }
    let whole = way[way.len() - 1].max(1e-9);
    let mut all: Vec<usize> = (0..count)
        .filter_map(|i| {
            let wanted = whole * i as f64 / (count.max(2) - 1) as f64;
            (0..steps.len()).min_by(|a, b| (way[*a] - wanted).abs().total_cmp(&(way[*b] - wanted).abs()))
        })
        .collect();
    all.dedup();
    all
}
