//! From a forecast to the picture of it.

use super::forecast::Forecast;
use super::study::Study;
use super::words::{Gate, percent};
use crate::args::Field;
use crate::mapping::Shown;
use report::changes::heading;
use report::failure_modes;
use report::locations::frame_in_sentence;
use report::numbers::kilonewtons;
use report::pictures::forecast as written;
use solver::strength::{Ends, FailureMode, LimitKind};
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
    study: &Study,
    forecast: &Forecast,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let (name, hash) = source;
    let (bars, more) = bars(forecast);
    let shown = Shown::new(&study.solved, &forecast.title, 0.0);
    let map = shown.map(name, hash, Field::VonMises);
    let range_kn = [forecast.range_kn.p5, forecast.range_kn.p95];
    let marked_kn = forecast.against_marking.map(|a| a.marked_kn);
    let mut picture = ForecastPicture {
        name: written::name(&forecast.title),
        description: String::new(),
        title: forecast.title.clone(),
        subtitle: heading(&forecast.rig, sets),
        sentence: whole(&headline(forecast)),
        then: whole(&then(forecast)),
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

/// A number and its unit stay on one line.
fn whole(words: &str) -> String {
    words.replace(" mm", "\u{a0}mm").replace(" kN", "\u{a0}kN").replace(" %", "\u{a0}%")
}

/// What fails first and where the pull ends, in a sentence.
fn headline(forecast: &Forecast) -> String {
    let (at, first) = (kilonewtons(forecast.peak_kn), failure_modes::name(forecast.fails_first));
    let first_at = kilonewtons(forecast.fails_at_kn);
    let (part, verb) = failure_modes::subject_and_verb(forecast.fails_first);
    match forecast.ends {
        Ends::Breaks => format!("At {at} {part} {verb}."),
        Ends::Strap if forecast.fails_at_kn < forecast.peak_kn => {
            format!("First to fail, at {first_at}: {first}; the strap breaks at {at}.")
        }
        Ends::Strap => format!("The {first} breaks at {at}, before the connector."),
        Ends::Opens if forecast.fails_at_kn < forecast.peak_kn => {
            format!("At {first_at} {part} {verb}; the hook opens at {at}.")
        }
        Ends::Opens => format!("The frame opens at {at}."),
    }
}

/// What follows, and what part is how likely.
fn then(forecast: &Forecast) -> String {
    let tears = forecast.tears_at.map(|place| match forecast.fails_first {
        FailureMode::FrameOpens => {
            let second = forecast.may_tear_at;
            let second = second.map_or_else(String::new, |p| format!(", or at the {}", frame_in_sentence(p)));
            format!("It tears at the {}{second}.", frame_in_sentence(place))
        }
        _ => format!("The open hook then tears at the {}.", frame_in_sentence(place)),
    });
    let likely: Vec<String> = forecast
        .chances
        .iter()
        .take(3)
        .map(|c| format!("{} in {}", failure_modes::name(c.what).replace(", ", " "), percent(c.chance)))
        .collect();
    let chances = (likely.len() > 1).then(|| format!("First to fail: {}.", likely.join(", ")));
    tears.into_iter().chain(chances).collect::<Vec<_>>().join(" ")
}

/// The bars, lowest first: the weakest parts that end a pull, then what ends none. And a word on those left out.
fn bars(forecast: &Forecast) -> (Vec<LimitBar>, Option<String>) {
    let far = FAR * forecast.peak_kn;
    let is_end = |kind: LimitKind| !matches!(kind, LimitKind::Yields | LimitKind::Bends);
    let ends: Vec<(FailureMode, f64)> = forecast
        .limits
        .iter()
        .filter(|l| is_end(l.kind))
        .filter_map(|l| l.at_kn.map(|kn| (l.what, kn)))
        .collect();
    let shown = ends.iter().take(MOST_PARTS).take_while(|e| e.1 <= far).count().max(1).min(ends.len());
    let mut bars: Vec<LimitBar> = ends[..shown]
        .iter()
        .map(|(what, at_kn)| LimitBar {
            what: failure_modes::name(*what).to_owned(),
            at_kn: *at_kn,
            first: *what == forecast.fails_first,
            ends: true,
        })
        .collect();
    let hollow =
        |what: &str, at_kn: f64| LimitBar { what: what.to_owned(), at_kn, first: false, ends: false };
    bars.extend(forecast.bent_pin().map(|(pin, kn)| hollow(&format!("{pin} bends, still holds"), kn)));
    bars.extend(forecast.first_yield_kn.filter(|kn| *kn <= far).map(|kn| {
        hollow(
            &format!(
                "frame yields in places, {}",
                forecast.supposes(kn, Gate::Whole).unwrap_or("still holds")
            ),
            kn,
        )
    }));
    if forecast.bends_at_kn <= far {
        let what = format!(
            "frame is permanently bent, {}",
            forecast.supposes(forecast.bends_at_kn, Gate::AtItsLimit).unwrap_or("still holds")
        );
        bars.push(hollow(&what, forecast.bends_at_kn));
    }
    // An open gate has gone already: the frame's own bar is that of the open hook.
    let gate_goes = forecast.limits.iter().any(|l| l.kind == LimitKind::Breaks);
    if forecast.open_hook_kn <= far && gate_goes && forecast.fails_first != FailureMode::FrameOpens {
        bars.push(hollow("open hook, once the gate has gone", forecast.open_hook_kn));
    }
    let more = ends.get(shown).map(|next| {
        let count = ends.len() - shown;
        format!("{count} more {}, from {}", if count == 1 { "part" } else { "parts" }, kilonewtons(next.1))
    });
    (bars, more)
}
