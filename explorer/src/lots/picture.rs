//! From the figures of a lot to its picture.

use lab::statistics::{Figures, Lot, NormalLot, Question, SHARES};
use report::caution::CAUTION_OF_LOTS;
use report::letters::typeset;
use report::lot::{FromLogbook, headline, names, title};
use report::pictures::{lot as words, source_line};
use viz::{Drawing, LotGroup, LotLimit, LotPicture, LotPull, LotRow, LotSection, SheetWords};

/// Groups that get a row each at most.
const MOST_GROUPS: usize = 12;

/// Size of the picture, pixels, and of the same for a phone.
const PICTURES: [[u32; 2]; 2] = [[1600, 1200], [1080, 2340]];

/// The same of pulls that lead to no load.
const OF_PULLS_ALONE: [[u32; 2]; 2] = [[1600, 800], [1080, 1400]];

/// The sizes of a lot's pictures: wide, and for a phone.
#[must_use]
pub fn sizes(found: &Figures) -> [[u32; 2]; 2] {
    if found.normal.is_ok() { PICTURES } else { OF_PULLS_ALONE }
}

/// Draws it. `taken`: how they were taken from the logbook, where they were; `hash`: of the inputs.
#[must_use]
pub fn picture(
    found: &Figures,
    question: &Question,
    taken: Option<&FromLogbook>,
    hash: &str,
    size: [u32; 2],
) -> Drawing {
    let group = |name: &str, lot: &Lot| LotGroup {
        name: name.to_owned(),
        pulls: lot.pulls().iter().map(|pull| LotPull { kn: pull.peak_kn, broke: pull.broke }).collect(),
    };
    // The first of them, where there is no room for a row each.
    let groups = taken.and_then(|taken| taken.groups.as_ref());
    let rows: Vec<LotGroup> = groups.map_or_else(
        || vec![group(words::PULLS, &found.lot)],
        |apart| {
            let all = names(apart);
            let rows = all.iter().zip(&apart.groups).take(MOST_GROUPS);
            rows.map(|(name, of)| group(name, &of.figures.lot)).collect()
        },
    );
    let not_drawn = groups.map_or(0, |groups| groups.groups.len().saturating_sub(MOST_GROUPS));
    let others = question.against.as_ref().map(|lot| group(words::OTHERS, lot));
    let marked =
        found.belief.as_ref().map(|belief| LotLimit { kn: belief.marking_kn, name: words::marked(belief) });
    let claimed =
        question.claim.map(|asked| LotLimit { kn: asked.kn, name: words::claim(asked.kn, asked.share) });
    LotPicture {
        words: SheetWords {
            name: words::name(found),
            title: title(found),
            subtitle: words::subtitle(found, taken.is_some_and(FromLogbook::differs), not_drawn),
            sentence: typeset(&headline(found)),
            note: words::note(found),
            caution: CAUTION_OF_LOTS.to_owned(),
            source_line: source_line("lot", hash),
        },
        groups: rows.into_iter().chain(others).collect(),
        sections: sections(found),
        limits: marked.into_iter().chain(claimed).collect(),
        key: words::KEY.map(str::to_owned),
        unit: words::AXIS.to_owned(),
    }
    .drawing(size[0], size[1])
}

/// The loads that the pulls lead to.
fn sections(found: &Figures) -> Vec<LotSection> {
    let Ok(normal) = &found.normal else {
        return Vec::new();
    };
    let row = |name: &str, kn: f64, value: String| LotRow {
        name: name.to_owned(),
        kn,
        value,
        interval_kn: None,
        first: false,
    };
    let section = |heading: &str, rows| LotSection { heading: heading.to_owned(), rows };
    let mean = normal.mean_kn();
    let [heading, name] = words::mean(&normal.figures);
    let of_mean =
        LotRow { interval_kn: Some(normal.mean_interval_kn()), ..row(name, mean, words::value(mean)) };
    let mut sections = vec![section(heading, vec![of_mean])];
    if let NormalLot::Broke { three_sigma, .. } = &normal.figures {
        let ratings = [(true, three_sigma.by_sd), (false, three_sigma.by_sd_of_these)];
        let rows = ratings
            .map(|(by_sd, rating)| row(words::rating(by_sd), rating.kn, words::claimed_value(rating.kn)));
        sections.push(section(words::RATINGS, rows.to_vec()));
    }
    let bounds = SHARES.into_iter().enumerate().flat_map(|(i, part)| {
        let [name, weibull] = words::bound(part);
        let of_normal = found.bounds.iter().find(|bound| bound.share == part);
        let of_normal = of_normal
            .map(|bound| LotRow { first: i == 0, ..row(&name, bound.kn, words::claimed_value(bound.kn)) });
        let of_weibull = found.weibull.as_ref().ok().map(|weibull| weibull.exceeded[i].bound);
        let of_weibull = of_weibull.map(|bound| row(&weibull, bound.kn, words::claimed_value(bound.kn)));
        of_normal.into_iter().chain(of_weibull)
    });
    sections.push(section(words::BOUNDS, bounds.collect()));
    sections
}
