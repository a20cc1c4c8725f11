//! How much of a ranking hangs on what was judged: made pulls, each with a hidden variant of another kind, ranked by judgements
//! with one constant halved or doubled.

use crate::explained::{SOFT, WEAK_LOT, WIDE, engine, solved};
use crate::model;
use rayon::prelude::*;
use report::explain::family;
use report::{failure_modes, locations, places};
use solver::causes::judgement::Judged;
use solver::causes::{Judgement, Observed};
use solver::strength::{LimitKind, limits};
use solver::system::SystemSettings;
use study::explain::rank;

/// A cause among so many first lines is found.
pub const FIRST: usize = 3;
/// A chance, or a part of something, is doubled up to this at most: at 1 nothing would be left open.
pub const MOST: f64 = 0.95;

/// Where a made pull is said to have broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen {
    /// At the part that fails first; where the frame opens, at its tear.
    First,
    /// At the tear of the frame, though a part of the gate line went first.
    Tear,
    /// At the second of the two cuts of a frame that opens.
    SecondCut,
}

/// A pull made from a hidden variant of a model.
#[derive(Clone, Copy, Debug)]
pub struct MadePull {
    /// What it is called.
    pub name: &'static str,
    /// The model that is told.
    pub model: &'static str,
    /// What is set of it as it is told.
    pub entered: &'static [(&'static str, &'static str)],
    /// What differs from that in truth.
    pub hidden: &'static [(&'static str, &'static str)],
    /// Where it is said to have broken.
    pub seen: Seen,
    /// The family of the true cause.
    pub family: &'static str,
    /// Whether its true cause is to be among the first lines.
    pub is_told_apart: bool,
}

const fn made(
    name: &'static str,
    model: &'static str,
    hidden: &'static [(&'static str, &'static str)],
    family: &'static str,
) -> MadePull {
    MadePull { name, model, entered: &[], hidden, seen: Seen::First, family, is_told_apart: true }
}

/// The same of a pull that gives what other causes give as well, likelier ones.
const fn not_told_apart(pull: MadePull) -> MadePull {
    MadePull { is_told_apart: false, ..pull }
}

/// The made pulls, those of one model as entered one after the other.
pub const PULLS: &[MadePull] = &[
    made("both straps toward the gate", "broadbar-alu", &[("rig.both.offset_mm", "12")], "offset"),
    made("narrow lip", "broadbar-alu", &[("nose.lip_breadth_mm", "5")], "nose.lip_breadth_mm"),
    made("gate of a weaker alloy", "broadbar-alu", &[("material.gate", "6082-t6")], "alloy of the gate"),
    MadePull {
        seen: Seen::Tear,
        ..made(
            "gate of a weaker alloy, the tear named",
            "broadbar-alu",
            &[("material.gate", "6082-t6")],
            "alloy of the gate",
        )
    },
    not_told_apart(made(
        "far lower lip",
        "broadbar-alu",
        &[("nose.lip_height_mm", "2.6")],
        "nose.lip_height_mm",
    )),
    MadePull {
        entered: &[WIDE],
        ..made(
            "lip lower by a tenth",
            "broadbar-alu",
            &[("nose.lip_height_mm", "4.05")],
            "nose.lip_height_mm",
        )
    },
    MadePull {
        entered: &[WIDE],
        ..not_told_apart(made(
            "play in the hinge",
            "broadbar-alu",
            &[("hinge.pin_clearance_mm", "0.5")],
            "hinge.pin_clearance_mm",
        ))
    },
    made("one load off its place", "broadbar-steel", &[("rig.upper.offset_mm", "8")], "offset"),
    made("far lower lip", "broadbar-steel", &[("nose.lip_height_mm", "1.7")], "nose.lip_height_mm"),
    made("pins of a weaker steel", "broadbar-steel", &[("material.pins", "304")], "alloy of the pins"),
    made(
        "frame of a weak lot, at 88 % of its strength",
        "broadbar-steel",
        &[("material.frame", WEAK_LOT)],
        "strength of the frame",
    ),
    made(
        "straps placed diagonally",
        "offset-d",
        &[("rig.upper.offset_mm", "-3"), ("rig.lower.offset_mm", "-9")],
        "offset",
    ),
    made("gate half shut", "offset-d", &[("rig.gate", "half"), ("rig.engaged_mm", "1")], "gate half shut"),
    made("thin hinge pin", "offset-d", &[("hinge.pin_diameter_mm", "2.5")], "hinge.pin_diameter_mm"),
    made("nothing different", "offset-d", &[], "as entered"),
    made("one strap toward the gate", "oval", &[("rig.upper.offset_mm", "7")], "offset"),
    not_told_apart(made("both straps toward the gate", "oval", &[("rig.both.offset_mm", "6")], "offset")),
    made("shallow notch", "oval", &[("nose.notch_depth_mm", "2.25")], "nose.notch_depth_mm"),
    made("soft pins, at 65 % of their strength", "oval", &[("material.pins", SOFT)], "soft pins"),
    made("frame of a weaker alloy", "oval", &[("material.frame", "6082-t6")], "alloy of the frame"),
    MadePull {
        seen: Seen::SecondCut,
        ..made(
            "frame of a weaker alloy, at its second cut",
            "oval",
            &[("material.frame", "6082-t6")],
            "alloy of the frame",
        )
    },
    MadePull {
        entered: &[("rig.gate", "open")],
        ..made("gate shut after all", "oval", &[("rig.gate", "closed")], "gate shut")
    },
    made("gate open", "pear", &[("rig.gate", "open")], "gate open"),
    made("thin nose pin", "pear", &[("nose.pin_diameter_mm", "2.4")], "nose.pin_diameter_mm"),
    made("strong frame in a stated range", "pear", &[("material.frame", "7075-t6")], "material.frame"),
    not_told_apart(made(
        "gate of a weaker alloy",
        "pear",
        &[("material.gate", "6082-t6")],
        "alloy of the gate",
    )),
];

impl MadePull {
    /// What was seen of it: the forecast of the hidden variant.
    #[must_use]
    pub fn observed(&self) -> Observed {
        let model = model(self.model, &[self.entered, self.hidden].concat());
        let system = engine().system(&model.case(SystemSettings::default())).unwrap();
        let limits = limits(&system, &model.strengths(), &model.rig).unwrap();
        let first = limits.limits.iter().find(|l| l.what == limits.fails_first).unwrap();
        let opens = first.kind == LimitKind::Opens;
        let at = match self.seen {
            Seen::First if !opens => Some(failure_modes::name(limits.fails_first).to_owned()),
            Seen::First | Seen::Tear => limits.tears_at.map(locations::frame),
            Seen::SecondCut => limits.may_tear_at.map(locations::frame),
        };
        let at = at.unwrap_or_else(|| panic!("{}: it tears nowhere else", self.name));
        let place = places::find(&at).unwrap_or_else(|| panic!("{at} is no place"));
        Observed::new(limits.peak_kn, Some(place))
    }
}

/// A constant halved or doubled; the judgement is absent where that means nothing, for the reason in words.
pub type Changed = Result<Judgement, &'static str>;

/// The judgement with a constant halved and doubled.
pub fn halved_and_doubled(judged: &Judged) -> [Changed; 2] {
    [0.5, 2.0].map(|factor| {
        let mut judgement = Judgement::default();
        let value = judgement.named_mut(&judged.name).unwrap();
        match judged.name.as_str() {
            "ONLY" if factor > 1.0 => return Err("no likelihood passes 1"),
            // What counts is by how much it is more than 1.
            "HARDLY_BETTER" => *value = 1.0 + factor * (*value - 1.0),
            // Standard deviations, and no part of anything.
            "FAR" => *value *= factor,
            _ => *value = (factor * *value).min(MOST),
        }
        Ok(judgement)
    })
}

/// What a made pull came to.
#[derive(Clone, Debug)]
pub struct Weighed {
    /// Its place among all made pulls, from 1.
    pub number: usize,
    /// The pull.
    pub pull: MadePull,
    /// What was seen of it.
    pub observed: Observed,
    /// On which line its true cause stands, from 1, by each of the judgements; `None` where it has none. Of a pull that is not
    /// told apart by the first judgement only.
    pub lines: Vec<Option<usize>>,
}

impl Weighed {
    /// Whether the true cause is among the first lines by a judgement, told by its place in the list.
    #[must_use]
    pub fn is_found(&self, judgement: usize) -> bool {
        self.lines[judgement].is_some_and(|line| line <= FIRST)
    }
}

/// Ranks the made pulls of some models by each of the judgements. What a model as entered comes to is solved once for all of its pulls, and what
/// one ranking solves besides is remembered for the next; so each is what `explain` would say by that judgement, and nothing is
/// taken over from another.
#[must_use]
pub fn weighed(judgements: &[Judgement], models: &[&str]) -> Vec<Weighed> {
    let numbered: Vec<(usize, MadePull)> =
        (1..).zip(PULLS.iter().copied()).filter(|(_, pull)| models.contains(&pull.model)).collect();
    numbered
        .chunk_by(|(_, a), (_, b)| (a.model, a.entered) == (b.model, b.entered))
        .flat_map(|pulls| of_a_model(pulls, judgements))
        .collect()
}

fn of_a_model(pulls: &[(usize, MadePull)], judgements: &[Judgement]) -> Vec<Weighed> {
    let model = model(pulls[0].1.model, pulls[0].1.entered);
    let solved = solved(&model);
    let weighed = pulls.iter().map(|(number, pull)| {
        let observed = pull.observed();
        let judgements = if pull.is_told_apart { judgements } else { &judgements[..1] };
        let lines = judgements.par_iter().map(|judgement| {
            let found = rank(solved, Observed { judgement: *judgement, ..observed }, &|_| ()).unwrap();
            found.causes.iter().position(|c| family(&c.family) == pull.family).map(|i| i + 1)
        });
        Weighed { number: *number, pull: *pull, observed, lines: lines.collect() }
    });
    weighed.collect()
}
