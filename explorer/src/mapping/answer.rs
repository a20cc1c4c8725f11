//! The short plain answer.

use super::Solved;
use report::beyond::{has_more, in_full, in_short};
use report::findings::Findings;
use report::numbers::{kilonewtons, typed};
use solver::findings::Tells;
use solver::rig::{GateState, Loader, Rig};
use std::fmt::Write;

fn loader(loader: Loader) -> String {
    let place = |offset: f64| {
        if offset == 0.0 {
            "centred".to_owned()
        } else if offset > 0.0 {
            format!("{} mm toward the gate", typed(offset))
        } else {
            format!("{} mm toward the spine", typed(-offset))
        }
    };
    match loader {
        Loader::Strap { width_mm, offset_mm, .. } => {
            format!("{} mm strap {}", typed(width_mm), place(offset_mm))
        }
        Loader::Bar { diameter_mm, offset_mm } => {
            format!("{} mm bench bar {}", typed(diameter_mm), place(offset_mm))
        }
    }
}

/// The rig in a line: "10 kN, gate closed, both ends 12 mm strap centred".
#[must_use]
pub fn rig_in_words(rig: &Rig) -> String {
    let gate = match rig.gate {
        GateState::Closed => "gate closed".to_owned(),
        GateState::Open => "gate open".to_owned(),
        GateState::Half { engaged_mm } => format!("gate half shut, engaged {} mm", typed(engaged_mm)),
    };
    let (upper, lower) = (loader(rig.upper), loader(rig.lower));
    let ends =
        if upper == lower { format!("both ends {upper}") } else { format!("upper {upper}, lower {lower}") };
    format!("{} kN, {gate}, {ends}", typed(rig.load_kn))
}

/// One sentence: who carries the load; or what would have given way before it.
#[must_use]
pub fn headline(findings: &Findings) -> String {
    match findings.beyond.first() {
        // The forces are for the notes below: a headline has room for what, not for how much.
        Some(beyond) => {
            let mut words = in_short(beyond);
            if let Tells::Nothing(times) = Tells::of(&findings.beyond, findings.load_kn) {
                words
                    .push_str(&format!(" A map of {times:.0} times what the connector holds means nothing."));
            }
            words.replace(" kN", "\u{a0}kN")
        }
        None => who_carries(findings),
    }
}

/// One sentence: who carries the load if nothing yields.
fn who_carries(findings: &Findings) -> String {
    let share = &findings.share;
    let at = typed(findings.load_kn);
    if findings.gate == "open" {
        return format!("At {at}\u{a0}kN the spine carries it all: the gate is open.");
    }
    if share.gate_kn.abs() < 1e-6 * findings.load_kn {
        return match share.gate_engages_at_kn {
            Some(kn) => {
                format!("At {at}\u{a0}kN the gate carries nothing yet; it engages at {kn:.2}\u{a0}kN.")
            }
            None => format!("At {at}\u{a0}kN the spine carries it all: the gate is not held."),
        };
    }
    format!(
        "At {at}\u{a0}kN the gate carries {}, {:.0}\u{a0}%{}.",
        kilonewtons(share.gate_kn).replace(' ', "\u{a0}"),
        100.0 * share.gate_fraction,
        share.gate_engages_at_kn.map_or_else(String::new, |kn| format!("; it engages at {kn:.2}\u{a0}kN"))
    )
}

/// The answer that `map` prints.
#[must_use]
pub fn answer(solved: &Solved, rig: &Rig) -> String {
    let f = &solved.findings;
    let mut text = format!("{}\n{}\n", f.connector, rig_in_words(rig));
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}", headline(f).replace('\u{a0}', " "));
    if !f.beyond.is_empty() {
        let follows = match Tells::of(&f.beyond, f.load_kn) {
            Tells::All => "What follows is what the connector would see of a stronger strap.",
            Tells::Where => "What follows is that of metal that never yields: it tells where, not how much.",
            Tells::Nothing(_) => {
                "What follows is that of metal that never yields: it tells neither where nor how much; ask for a load that it \
                 holds."
            }
        };
        let _ = writeln!(text, "{follows} {}", who_carries(f).replace('\u{a0}', " "));
    }
    let _ = writeln!(
        text,
        "The spine carries {} with a bending moment of {:.0} N m at mid height.",
        kilonewtons(f.share.spine_kn),
        f.sections.spine_mid.moment_nm
    );
    let yield_mpa = solved.strengths.materials.frame.yield_mpa;
    let hot: Vec<String> = f
        .peaks
        .iter()
        .filter(|p| p.trusted)
        .take(3)
        .map(|p| format!("{:.0} MPa ({})", p.von_mises_mpa, p.place))
        .collect();
    if !hot.is_empty() {
        let _ = writeln!(
            text,
            "Highest stresses{}: {}; yield is {yield_mpa:.0} MPa.",
            // Far beyond all there is nothing to trust.
            if matches!(Tells::of(&f.beyond, f.load_kn), Tells::Nothing(_)) {
                ""
            } else {
                " away from contacts and corners"
            },
            hot.join(", ")
        );
    }
    if let Some(kn) = f.first_yield_kn {
        let _ = writeln!(
            text,
            "The frame first yields at {}, away from notch and hole. First yield is not the break{}.",
            kilonewtons(kn),
            if f.load_kn > kn && f.beyond.is_empty() {
                "; beyond it stresses are those of metal that never yields: they tell where, not how much"
            } else {
                ""
            }
        );
    }
    // What the headline says in full is not said again.
    let told = usize::from(f.beyond.first().is_some_and(|first| !has_more(first)));
    for beyond in f.beyond.iter().skip(told) {
        let _ = writeln!(text, "Note: {}", in_full(beyond));
    }
    for warning in &f.warnings {
        let _ = writeln!(text, "Note: {warning}");
    }
    text
}
