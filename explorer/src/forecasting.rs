//! From a forecast to the picture of it.

use crate::args::Field;
use crate::mapping::Shown;
use report::changes::heading;
use report::failure_modes::OPEN_HOOK;
use report::forecast::Forecast;
use report::letters::typeset;
use report::pictures::forecast as written;
use solver::strength::{Ends, FailureMode, LimitKind};
use study::forecast::Supposes;
use viz::{Drawing, ForecastPicture, LimitBar, Marked};

/// At most so many parts that end a pull are shown.
const MOST_PARTS: usize = 4;
/// Parts beyond this many times the forecast tell nothing.
const FAR: f64 = 2.2;

/// Draws a forecast. `source`: the model's short name and the inputs' hash; `size` in pixels.
///
/// `sets`: what was changed about the model.
#[must_use]
pub fn picture(
    told: &study::forecast::Forecast,
    forecast: &Forecast,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let (name, hash) = source;
    let (bars, more) = bars(told, forecast);
    let shown = Shown::new(&told.mapped, &forecast.title, 0.0);
    let map = shown.map(name, hash, Field::VonMises);
    let range_kn = [forecast.range_kn.p5, forecast.range_kn.p95];
    let marked_kn = forecast.against_marking.map(|a| a.marked_kn);
    let mut picture = ForecastPicture {
        name: written::name(&forecast.title),
        description: String::new(),
        title: forecast.title.clone(),
        subtitle: written::subtitle(heading(&forecast.rig, sets), forecast),
        sentence: typeset(&written::headline(forecast)),
        then: typeset(&written::then(forecast)),
        bars,
        more,
        range_kn,
        range: written::range(range_kn),
        marked: marked_kn.map(|kn| Marked { kn, told: written::marked(kn) }),
        map_caption: written::map_caption(map.load_kn),
        map: &map,
    };
    picture.description = written::description(&written::ForecastTold {
        lead: [&picture.sentence, &picture.then, &picture.subtitle],
        range_kn,
        marked_kn,
        bars: picture.bars.iter().map(|bar| (bar.what.as_str(), bar.at_kn)).collect(),
        more: picture.more.as_deref(),
        loads_kn: [map.load_kn, map.spine_kn, map.gate_kn],
        caution: map.caution,
    });
    picture.drawing(size[0], size[1])
}

/// The bars, lowest first: the weakest parts that end a pull, then what ends none. And a word on those left out.
fn bars(told: &study::forecast::Forecast, forecast: &Forecast) -> (Vec<LimitBar>, Option<String>) {
    let far = FAR * forecast.peak_kn;
    let is_end = |kind: LimitKind| !matches!(kind, LimitKind::Yields | LimitKind::Bends);
    let ends: Vec<(FailureMode, f64)> = forecast
        .limits
        .iter()
        .filter(|l| is_end(l.kind))
        .filter_map(|l| l.at_kn.map(|kn| (l.what, kn)))
        .collect();
    let shown = ends.iter().take(MOST_PARTS).take_while(|e| e.1 <= far).count().max(1).min(ends.len());
    // Where the pull goes on after the first part it ends on the open hook: what holds longer supposes that the first part does.
    let goes_on = told.limits.goes_on();
    let supposes = |part: FailureMode, kn: f64| Supposes::of(&told.limits, part, kn);
    let bar = |(what, at_kn): &(FailureMode, f64)| {
        let first = *what == forecast.fails_first;
        let supposed = supposes(*what, *at_kn).filter(|_| goes_on);
        LimitBar {
            what: written::part_as_if(*what, supposed),
            at_kn: *at_kn,
            first,
            ends: !goes_on || first || matches!(what, FailureMode::Strap(_)),
        }
    };
    let mut bars: Vec<LimitBar> = ends[..shown].iter().map(bar).collect();
    let hollow =
        |what: &str, at_kn: f64| LimitBar { what: what.to_owned(), at_kn, first: false, ends: false };
    if goes_on && forecast.ends == Ends::Opens {
        let hook = LimitBar { ends: true, ..hollow(OPEN_HOOK, forecast.peak_kn) };
        bars.insert(bars.iter().take_while(|bar| bar.first).count(), hook);
    }
    // Those that end the pull stand together.
    bars.sort_by_key(|bar| !bar.ends);
    bars.extend(told.bent_pin().map(|(bent, kn)| hollow(&written::bends(bent), kn)));
    bars.extend(
        forecast
            .first_yield_kn
            .filter(|kn| *kn <= far)
            .map(|kn| hollow(&written::yields_in_places(supposes(FailureMode::FrameYields, kn)), kn)),
    );
    let bends = forecast.bends_at_kn;
    if bends <= far {
        bars.push(hollow(&written::permanently_bent(supposes(FailureMode::FrameBends, bends)), bends));
    }
    // An open gate has gone already: the frame's own bar is that of the open hook.
    let gate_goes = forecast.limits.iter().any(|l| l.kind == LimitKind::Breaks);
    let shown_already = goes_on && forecast.ends == Ends::Opens;
    if forecast.open_hook_kn <= far
        && gate_goes
        && !shown_already
        && forecast.fails_first != FailureMode::FrameOpens
    {
        bars.push(hollow(OPEN_HOOK, forecast.open_hook_kn));
    }
    let more = ends.get(shown).map(|next| written::more(ends.len() - shown, next.1));
    (bars, more)
}
