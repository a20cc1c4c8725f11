//! What pulls have told of the constants, as a picture.

use report::calibration::{Told, headline, name, value};
use report::letters::typeset;
use report::pictures::{calibration as words, source_line};
use study::calibrate::Learned;
use viz::{CalibrationPicture, CalibrationRow, Drawing, SheetWords};

/// Draws it. `hash`: of the inputs.
#[must_use]
pub fn picture(told: &Told<'_>, hash: &str, size: [u32; 2]) -> Drawing {
    CalibrationPicture {
        words: SheetWords {
            name: words::name(told.name),
            title: told.name.to_owned(),
            subtitle: words::subtitle(told),
            sentence: typeset(&headline(told)),
            note: typeset(&words::note(told)),
            caution: report::caution::CAUTION.to_owned(),
            source_line: source_line("calibration", hash),
        },
        rows: told.found.learned.iter().map(row).collect(),
        key: words::KEY.map(str::to_owned),
    }
    .drawing(size[0], size[1])
}

fn row(of: &Learned) -> CalibrationRow {
    let text = |x: f64| value(of.constant, x).replace('-', "\u{2212}");
    let [low, middle, high] = of.after;
    let scaled = |x: f64| of.constant.scaled(x);
    CalibrationRow {
        name: name(of.constant).to_owned(),
        counts: typeset(words::counts(of.constant)),
        before: [of.before[0], of.before[2]].map(scaled),
        after: of.after.map(scaled),
        ends: [text(of.before[0]), text(of.before[2])],
        value: format!("{} ({} to {})", text(middle), text(low), text(high)),
    }
}
