//! The picture of what one step of each key does.

use report::caution::CAUTION;
use report::changes::heading;
use report::letters::typeset;
use report::levers::sentence;
use report::pictures::{levers as words, source_line};
use report::rigs;
use study::levers::{Lever, Levers, Moved};
use study::model::Model;
use viz::{Drawing, LeverBar, LeverRow, LeversPicture, MOST_LEVERS, SheetWords};

/// Draws it. `source`: the model's short name and the inputs' hash; `sets`: what was changed.
#[must_use]
pub fn picture(
    found: &Levers,
    model: &Model,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let (name, hash) = source;
    LeversPicture {
        words: SheetWords {
            name: words::title(&model.title),
            title: model.title.clone(),
            subtitle: heading(&rigs::without_load(&model.rig), sets),
            sentence: typeset(&sentence(found)),
            note: words::more(found.levers.len().saturating_sub(MOST_LEVERS)),
            caution: CAUTION.to_owned(),
            source_line: source_line(name, hash),
        },
        middle: words::middle(found),
        rows: found.levers.iter().take(MOST_LEVERS).map(|lever| row(found, lever)).collect(),
        key: words::KEY.map(str::to_owned),
    }
    .drawing(size[0], size[1])
}

fn row(found: &Levers, lever: &Lever) -> LeverRow {
    let bar = |way: &Option<Moved>| {
        let way = way.as_ref()?;
        let (number, turn) = words::bar(found, lever, way);
        let change_kn = way.effect.as_ref().map_or(0.0, |effect| effect.peak_kn - found.base.peak_kn);
        Some(LeverBar { change_kn, number, turn })
    };
    let [name, line] = words::labels(lever);
    LeverRow { name, line, bars: [bar(&lever.ways[0]), bar(&lever.ways[1])] }
}
