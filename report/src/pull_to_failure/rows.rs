//! The rows of a pull's table: what showed at which load.

use super::ends::{ended, nothing_more};
use crate::failure_modes::run_on;
use crate::locations::frame;
use crate::numbers::{kilonewtons, percent};
use solver::pull_to_failure::{End, OFFSET_MM, Reached};
use study::pull_to_failure::{NoLongerShuts, Pulled, Shutting};

/// A row: what showed, and at which load or how much.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What.
    pub what: String,
    /// How much, in short.
    pub value: String,
    /// What more there is to say.
    pub more: String,
    /// The load, kN, where there is one.
    pub load_kn: Option<f64>,
}

impl Row {
    fn at(what: impl Into<String>, load_kn: f64, more: impl Into<String>) -> Self {
        Self { what: what.into(), value: kilonewtons(load_kn), more: more.into(), load_kn: Some(load_kn) }
    }

    fn of(what: impl Into<String>, value: impl Into<String>, more: impl Into<String>) -> Self {
        Self { what: what.into(), value: value.into(), more: more.into(), load_kn: None }
    }
}

/// The place of a point of the undeformed frame, in words.
#[must_use]
pub fn place(pulled: &Pulled<'_>, at: [f64; 2]) -> String {
    frame(pulled.place(at))
}

/// All rows, in the order of a pull.
#[must_use]
pub fn rows(pulled: &Pulled<'_>) -> Vec<Row> {
    let (course, marks, last) = (&pulled.course, &pulled.course.marks, pulled.last());
    let peak = &course.steps[pulled.highest()];
    let mut all = Vec::new();
    let mut mark = |what: String, load_kn: Option<f64>, more: String| {
        all.push(match load_kn {
            Some(kn) => Row::at(what, kn, more),
            None => Row::of(what, "-", nothing_more(pulled)),
        });
    };
    let gated = pulled.is_gated();
    if gated {
        mark("the gate begins to carry".to_owned(), marks.engages_kn, String::new());
    }
    let first = pulled.first_plastic().map(|first| place(pulled, course.steps[first].plastic_at));
    mark("the frame first yields".to_owned(), marks.yields_kn, first.unwrap_or_default());
    mark(format!("{OFFSET_MM} mm beyond the elastic line"), marks.offset_kn, String::new());
    let unknown = match pulled.stopped {
        true => "not sought: the pull was stopped",
        false => "not found: it could not be unloaded from some steps",
    };
    let shuts = "the gate no longer shuts".to_owned();
    match &pulled.shutting {
        Shutting::NoGate => {}
        Shutting::Always => all.push(Row::of(shuts, "-", "it shuts after every load of this pull")),
        Shutting::Unknown => all.push(Row::of(shuts, "-", unknown)),
        Shutting::Until(found) => all.push(Row::at(shuts, found.at_kn, no_longer_shuts(found))),
    }
    let mut mark = |what: String, load_kn: Option<f64>, more: String| {
        all.push(match load_kn {
            Some(kn) => Row::at(what, kn, more),
            None => Row::of(what, "-", nothing_more(pulled)),
        });
    };
    mark("the load rises half as steeply".to_owned(), marks.knee_kn, "the knee of the curve".to_owned());
    mark(
        "highest load".to_owned(),
        Some(marks.peak_kn),
        format!("stretch {:.2} mm, grips moved {:.1} mm", peak.stretch_mm, peak.stroke_mm),
    );
    let evidence = evidence(pulled);
    mark(format!("the end: {}", ended(&course.end)), Some(last.load_kn), evidence);
    if gated {
        all.push(Row::of(
            "opening between nose and gate there",
            format!("{:.2} mm", last.nose_opening_mm),
            if last.pin_out_mm.abs() >= 0.005 {
                format!(
                    "the pin has moved {:.2} mm {}",
                    last.pin_out_mm.abs(),
                    if last.pin_out_mm > 0.0 { "toward the mouth" } else { "into the notch" }
                )
            } else {
                String::new()
            },
        ));
        let shares = pulled.shares();
        let share = |s: &study::pull_to_failure::Share| percent(s.gate.max(0.0));
        all.push(Row::of(
            "the gate's share",
            share(&shares.end),
            match &shares.yields {
                Some(yields) => format!(
                    "at the end; {} at {}, {} at {} before first yield",
                    share(&shares.low),
                    kilonewtons(shares.low.load_kn),
                    share(yields),
                    kilonewtons(yields.load_kn)
                ),
                None => format!("at the end; {} at {}", share(&shares.low), kilonewtons(shares.low.load_kn)),
            },
        ));
    }
    all.push(Row::of(
        "largest plastic strain of the bars",
        strain(last.plastic_strain),
        if last.plastic_strain > 0.0 { place(pulled, last.plastic_at) } else { String::new() },
    ));
    all.push(match last.ductility_used {
        Some(used) => Row::of(
            "ductility used",
            percent(used),
            if used > 0.0 { place(pulled, last.ductility_at) } else { String::new() },
        ),
        None => Row::of("ductility used", "-", "no ductility is known of the metal"),
    });
    let limits = &pulled.ready.limits;
    all.push(Row::of("the forecast", kilonewtons(limits.fails_at_kn), run_on(limits.fails_first)));
    if let Some(hook) = &course.hook {
        let most: Option<&Reached> = hook.steps.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn));
        if let (Some(first), Some(most)) = (hook.steps.first(), most) {
            all.push(Row::at("the open hook right after", first.load_kn, String::new()));
            if pulled.hook_slides() {
                let kept = pulled
                    .hook_keeps()
                    .map_or(0.0, |last| hook.steps[..=last].iter().map(|s| s.load_kn).fold(0.0, f64::max));
                all.push(Row::at(
                    "until what pulls it slides on it",
                    kept,
                    format!(
                        "its bars turned by {:.0} degrees, friction of {:.2}",
                        pulled.keeps_to_deg(),
                        pulled.ready.rig.friction
                    ),
                ));
            }
            all.push(Row::at(
                "at most, if nothing slid",
                most.load_kn,
                format!(
                    "stretch {:.1} mm, turned by {:.0} degrees; {}",
                    most.stretch_mm,
                    most.opened_deg,
                    ended(&hook.end)
                ),
            ));
        }
    }
    all
}

/// What is told of a gate that no longer shuts.
fn no_longer_shuts(found: &NoLongerShuts) -> String {
    let way = if found.apart_mm < 0.0 { "nearer to" } else { "farther from" };
    format!(
        "unloaded without its gate, its notch stands {:.2} mm {way} the hinge and its load centres {:.2} mm farther apart",
        found.apart_mm.abs(),
        // What rounds to zero has no sign.
        found.set_mm.max(0.0)
    )
}

/// A plastic strain.
fn strain(strain: f64) -> String {
    let percent = 100.0 * strain;
    if percent > 0.0 && percent < 0.1 { "under 0.1 %".to_owned() } else { format!("{percent:.1} %") }
}

/// By what the end is known.
fn evidence(pulled: &Pulled<'_>) -> String {
    let last = pulled.last();
    match &pulled.course.end {
        End::Part(capacity) => {
            format!(
                "{:.1} kN along the gate, which it holds by the forecast's formula",
                1e-3 * capacity.force_n
            )
        }
        End::GateLost => "nothing presses at the nose any more".to_owned(),
        End::Maximum => format!(
            "{:.1} % below the highest load",
            100.0 * (1.0 - last.load_kn / pulled.course.marks.peak_kn)
        ),
        End::Torn => place(pulled, last.ductility_at),
        End::Opened => format!("bars turned against each other by {:.0} degrees", last.opened_deg.abs()),
        End::Strap(_) => "the strength that is told of it".to_owned(),
        End::Stroke => format!("grips {:.1} mm apart", last.stroke_mm),
        End::Asked | End::Stopped | End::Steps => String::new(),
        End::NoFurther(reason) => super::no_step::no_step(reason),
    }
}
