//! What the picture of a comparison shows.

use super::request::Compared;
use super::weakest::weakest;
use crate::args::Field;
use crate::mapping::{Shown, field_words};
use report::caution::CAUTION;
use report::compare::{beyond, headline, label, title};
use report::pictures::FAILS_FIRST;
use report::pictures::comparison as words;
use viz::{Comparison, Number, Variant};

/// The picture's data; `shown` belongs to the variants, in their order.
#[must_use]
pub fn comparison<'a>(compared: &'a Compared, shown: &'a [Shown<'a>], field: Field) -> Comparison<'a> {
    let variants: Vec<Variant<'a>> = compared
        .variants
        .iter()
        .zip(shown)
        .map(|(variant, shown)| Variant {
            label: label(&variant.name),
            map: shown.map(&variant.stem, &variant.hash, field),
            numbers: words::cells(variant)
                .map(|words::Cell { value, beside }| Number { value, beside })
                .to_vec(),
            mark: weakest(variant).at,
        })
        .collect();
    let field = field_words(variants.first().map_or(viz::Field::VonMises, |variant| variant.map.field));
    Comparison {
        title: title(compared),
        subtitle: words::subtitle_of_table(compared),
        sentence: headline(compared),
        beyond: beyond(compared),
        rows: words::ROWS.map(str::to_owned).to_vec(),
        variants,
        ring: FAILS_FIRST.to_owned(),
        name: words::name(compared, field),
        description: words::description(compared, field),
        caution: CAUTION,
        source_line: words::source_line(compared),
    }
}
