//! What a map found: the short plain answer, and its headline.

use crate::beyond::{has_more, in_full, in_short};
use crate::findings::Findings as Written;
use crate::in_use;
use crate::letters::typeset;
use crate::numbers::{kilonewtons, typed};
use crate::{locations, rigs};
use geometry::outline::Location;
use solver::findings::{Findings, Peak, Tells};
use solver::material::Materials;
use solver::rig::{GateState, Rig};
use std::fmt::Write;

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
            typeset(&words)
        }
        None => who_carries(findings),
    }
}

/// The sentence as far as it is known: the headline, or, where it is not known yet whether the connector holds the load, that.
#[must_use]
pub fn sentence(findings: &Findings, judged: bool) -> String {
    if judged {
        return headline(findings);
    }
    let at = typed(findings.load_kn);
    format!("Whether it holds {at}\u{a0}kN is not known yet; shown is metal that never yields.")
}

/// What stands at the hottest place where it yields: from which load, where that is known. The load is that of the frame.
#[must_use]
pub fn yields(findings: &Findings, metals: &Materials) -> Option<String> {
    let hottest = findings.hottest()?;
    let (metal, from_kn) = match hottest.place {
        Location::Frame(_) => (&metals.frame, findings.first_yield_kn),
        Location::Gate(_) => (&metals.gate, None),
    };
    (hottest.von_mises_mpa > metal.yield_mpa).then(|| match from_kn {
        Some(kn) => format!("yields from {}", kilonewtons(kn)).replace(' ', "\u{a0}"),
        None => "yields here".to_owned(),
    })
}

/// What would have given way before the load, as sentences, but for what the headline says in full.
pub fn not_in_headline(findings: &Findings) -> impl Iterator<Item = String> {
    let told = usize::from(findings.beyond.first().is_some_and(|first| !has_more(first)));
    findings.beyond.iter().skip(told).map(in_full)
}

/// The highest stresses in the notch, and whether they are results: a sentence.
#[must_use]
pub fn in_the_notch(findings: &Findings) -> Option<String> {
    let told = |peak: &Peak| format!("{:.0} MPa ({})", peak.von_mises_mpa, locations::location(peak.place));
    Some(match findings.in_notch() {
        [None, None] => return None,
        [Some(result), None] => format!("In the notch: {}.", told(result)),
        [None, Some(contact)] => {
            format!("In the notch, beside contact or corner and not to be relied on: {}.", told(contact))
        }
        [Some(result), Some(contact)] => format!(
            "In the notch: {}; beside contact or corner, not to be relied on, {}.",
            told(result),
            told(contact)
        ),
    })
}

/// One sentence: who carries the load if nothing yields.
fn who_carries(findings: &Findings) -> String {
    let share = &findings.share;
    let at = typed(findings.load_kn);
    if findings.gate == GateState::Open {
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

/// What a connector weighs, g.
#[must_use]
pub fn mass(mass_g: f64) -> String {
    format!("Frame, gate and pins weigh {mass_g:.0} g.")
}

/// The answer that `map` prints. `written` is what was found as it is written, whose title and warnings are told; `yield_mpa`
/// that of the frame.
#[must_use]
pub fn answer(f: &Findings, written: &Written, rig: &Rig, yield_mpa: f64) -> String {
    let mut text = format!("{}\n{}\n", written.connector, rigs::rig(rig));
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
    let _ = writeln!(text, "{}", mass(f.mass_g));
    let hot: Vec<String> = f
        .peaks
        .iter()
        .filter(|p| p.is_away())
        .take(3)
        .map(|p| format!("{:.0} MPa ({})", p.von_mises_mpa, locations::location(p.place)))
        .collect();
    if !hot.is_empty() {
        let away_from = format!(" {}", locations::AWAY);
        let _ = writeln!(
            text,
            "Highest stresses{}: {}; yield is {yield_mpa:.0} MPa.",
            // Far beyond all there is nothing to trust.
            if matches!(Tells::of(&f.beyond, f.load_kn), Tells::Nothing(_)) { "" } else { &away_from },
            hot.join(", ")
        );
    }
    if let Some(notch) = in_the_notch(f) {
        let _ = writeln!(text, "{notch}");
    }
    if let Some(kn) = f.first_yield_kn {
        let _ = writeln!(
            text,
            "The frame first yields at {}, away from notch and hinge hole. First yield is not the break{}.",
            kilonewtons(kn),
            if f.load_kn > kn && f.beyond.is_empty() {
                "; beyond it stresses are those of metal that never yields: they tell where, not how much"
            } else {
                ""
            }
        );
    }
    for beyond in not_in_headline(f) {
        let _ = writeln!(text, "Note: {beyond}");
    }
    for warning in &written.warnings {
        let _ = writeln!(text, "Note: {warning}");
    }
    if let Some(in_use) = &written.in_use {
        text.push_str(&in_use::table(in_use));
    }
    text
}
