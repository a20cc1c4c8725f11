//! The rows of a pull's table: what showed at which load.

use super::ends::{ended, nothing_more};
use super::places::{at_or_beside, place, strain};
use super::stays::bent_pins;
use crate::failure_modes::run_on;
use crate::numbers::{decimals, kilonewtons, percent};
use solver::pull_to_failure::{End, OFFSET_MM, Reached};
use solver::rig::GateState;
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

/// The highest load of an open hook for as long as friction keeps on it what pulls it.
const WHILE_FRICTION_HOLDS: &str = "the open hook while friction holds";

/// All rows, in the order of a pull: what showed on the way by its load, then the end and what was read there, then the open hook.
#[must_use]
pub fn rows(pulled: &Pulled<'_>) -> Vec<Row> {
    let mut all = on_the_way(pulled);
    all.extend(at_the_end(pulled));
    all.extend(hook(pulled));
    all
}

/// What showed up to the highest load, and beyond it to the end; what did not show comes last.
fn on_the_way(pulled: &Pulled<'_>) -> Vec<Row> {
    let (course, marks, last) = (&pulled.course, &pulled.course.marks, pulled.last());
    let peak = &course.steps[pulled.highest()];
    let showed = |what: String, load_kn: Option<f64>, more: String| match load_kn {
        Some(kn) => Row::at(what, kn, more),
        None => Row::of(what, "-", nothing_more(pulled)),
    };
    let first = pulled.first_plastic().map(|first| at_or_beside(pulled, course.steps[first].plastic_at));
    let mut up = vec![
        showed("the frame first yields".to_owned(), marks.yields_kn, first.unwrap_or_default()),
        showed(
            "the load rises half as steeply".to_owned(),
            marks.knee_kn,
            "the knee of the curve".to_owned(),
        ),
    ];
    if pulled.is_gated() {
        up.push(showed("the gate begins to carry".to_owned(), marks.engages_kn, String::new()));
    }
    if let Some(kept_kn) = pulled.open_keeps_kn() {
        up.push(Row::at(WHILE_FRICTION_HOLDS, kept_kn, slides(pulled)));
    }
    let mut past = Vec::new();
    let offset = showed(format!("{OFFSET_MM} mm beyond the elastic line"), marks.offset_kn, String::new());
    if marks.offset_at_mm.is_some_and(|mm| mm > peak.stretch_mm) { &mut past } else { &mut up }.push(offset);
    let shuts = "the gate no longer shuts".to_owned();
    match &pulled.shutting {
        Shutting::NoGate if matches!(pulled.ready.rig.gate, GateState::Half { .. }) => {
            past.push(Row::of(shuts, "-", "not asked of a gate that stood half shut before"));
        }
        Shutting::NoGate => {}
        Shutting::Always => past.push(Row::of(
            shuts,
            "-",
            format!(
                "it shuts after every load of this pull, as far as the frame goes{}",
                bent_pins(pulled, marks.peak_kn)
            ),
        )),
        Shutting::Unknown if pulled.stopped => {
            past.push(Row::of(shuts, "-", "not sought: the pull was stopped"));
        }
        Shutting::Unknown => {
            past.push(Row::of(shuts, "-", "not found: it could not be unloaded from some steps"));
        }
        Shutting::Until(found) => {
            let row = Row::at(shuts, found.at_kn, no_longer_shuts(found));
            if found.stretch_mm > peak.stretch_mm { &mut past } else { &mut up }.push(row);
        }
    }
    up.sort_by(|a, b| a.load_kn.unwrap_or(f64::INFINITY).total_cmp(&b.load_kn.unwrap_or(f64::INFINITY)));
    let more = format!(
        "stretch {} mm, grips moved {} mm",
        decimals(peak.stretch_mm, 2),
        decimals(peak.stroke_mm, 1)
    );
    up.push(Row::at("highest load", marks.peak_kn, more));
    up.extend(past);
    up.push(Row::at(format!("the end: {}", ended(&course.end)), last.load_kn, evidence(pulled)));
    up
}

/// What is read at the end.
fn at_the_end(pulled: &Pulled<'_>) -> Vec<Row> {
    let last = pulled.last();
    let mut all = Vec::new();
    if pulled.is_gated() {
        all.push(Row::of(
            "opening between nose and gate there",
            format!("{} mm", decimals(last.nose_opening_mm, 2)),
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
        if last.plastic_strain > 0.0 { at_or_beside(pulled, last.plastic_at) } else { String::new() },
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
    all.push(Row::of(
        "the forecast",
        kilonewtons(limits.fails_at_kn),
        format!("{}; plan with the lower load", run_on(limits.fails_first)),
    ));
    all
}

/// The open hook after a lost gate.
fn hook(pulled: &Pulled<'_>) -> Vec<Row> {
    let Some(hook) = &pulled.course.hook else { return Vec::new() };
    let most: Option<&Reached> = hook.steps.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn));
    let (Some(first), Some(most), Some(last)) = (hook.steps.first(), most, hook.steps.last()) else {
        return Vec::new();
    };
    let mut all = vec![Row::at("the open hook right after", first.load_kn, "")];
    if pulled.hook_slides() {
        all.push(match pulled.hook_keeps_kn() {
            Some(kept_kn) => Row::at(WHILE_FRICTION_HOLDS, kept_kn, slides(pulled)),
            None => Row::of(WHILE_FRICTION_HOLDS, "-", format!("at no load: {}", slides(pulled))),
        });
        return all;
    }
    let stopped = hook.end == End::Stopped;
    let (what, at) = if stopped { ("where the pull was stopped", last) } else { ("at most", most) };
    let turned = format!(
        "stretch {} mm, turned by {} degrees",
        decimals(at.stretch_mm, 1),
        decimals(at.opened_deg, 0)
    );
    let more = if stopped { turned } else { format!("{turned}; {}", ended(&hook.end)) };
    all.push(Row::at(what, at.load_kn, more));
    all
}

/// From where on friction keeps nothing.
fn slides(pulled: &Pulled<'_>) -> String {
    format!(
        "until its bars have turned by {:.0} degrees: friction of {:.2}",
        pulled.keeps_to_deg(),
        pulled.ready.rig.friction
    )
}

/// What is told of a gate that no longer shuts.
fn no_longer_shuts(found: &NoLongerShuts) -> String {
    let way = if found.apart_mm < 0.0 { "nearer to" } else { "farther from" };
    let centres = match (100.0 * found.set_mm).round() {
        0.0 => "as far apart as before".to_owned(),
        nearer if nearer < 0.0 => format!("{:.2} mm nearer together", -found.set_mm),
        _ => format!("{:.2} mm farther apart", found.set_mm),
    };
    format!(
        "unloaded without its gate, its notch stands {:.2} mm {way} the hinge and its load centres {centres}",
        found.apart_mm.abs()
    )
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
        End::GateLost => format!(
            "{:.1} kN left along the gate, the pin {} mm toward the mouth",
            last.gate_line_kn.max(0.0),
            decimals(last.pin_out_mm, 2)
        ),
        End::Slides => slides(pulled),
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
