//! The picture of where a load is held.

use report::caution::CAUTION;
use report::changes::heading;
use report::letters::typeset;
use report::pictures::{reach as words, source_line};
use report::reach::headline;
use study::model::Model;
use study::reach::{Pair, Reach, ReachOfGate, Tried, Verdict};
use viz::{Drawing, ReachField, ReachMark, ReachPicture, ReachPoint, ReachRow, SheetWords};

/// Draws it. `source`: the model's short name and the inputs' hash; `sets`: what was changed.
#[must_use]
pub fn picture(
    found: &Reach,
    model: &Model,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let (name, hash) = source;
    let pairs = found.pairs();
    let [holds, fails, slides] = words::key(found);
    ReachPicture {
        words: SheetWords {
            name: words::name(&model.title),
            title: model.title.clone(),
            subtitle: heading(&words::subtitle(found), sets),
            sentence: typeset(&headline(found)),
            note: words::note(found),
            caution: CAUTION.to_owned(),
            source_line: source_line(name, hash),
        },
        names: pairs.iter().map(|pair| words::row(*pair)).collect(),
        fields: found.gates.iter().map(|gate| field(gate, &pairs)).collect(),
        key: [(ReachMark::Holds, holds), (ReachMark::Fails, fails), (ReachMark::Slides, slides)],
        axis: words::axis(),
        axis_line: words::AXIS.to_owned(),
    }
    .drawing(size[0], size[1])
}

fn field(gate: &ReachOfGate, pairs: &[Pair]) -> ReachField {
    let [name, line] = words::field(gate);
    let rows =
        if gate.tried.is_ok() { pairs.iter().map(|pair| row(gate, *pair)).collect() } else { Vec::new() };
    ReachField { name, line, rows }
}

fn row(gate: &ReachOfGate, pair: Pair) -> ReachRow {
    let mark = |tried: &Tried| match gate.verdict(tried) {
        Verdict::Holds => Some(ReachMark::Holds),
        Verdict::DoesNotHold => Some(ReachMark::Fails),
        Verdict::NotKept => Some(ReachMark::Slides),
        Verdict::NotSolved => None,
    };
    let point = |tried: &Tried| Some(ReachPoint { offsets_mm: tried.offsets_mm(), mark: mark(tried)? });
    let room_mm = gate.of_pair(pair).next().map(|tried| {
        let [upper, lower] = tried.room_mm;
        [0, 1].map(|end| 0.5 * (upper[end] + lower[end]))
    });
    ReachRow {
        marks: gate.of_pair(pair).filter_map(point).collect(),
        room_mm,
        numbers: words::numbers(gate, pair),
    }
}
