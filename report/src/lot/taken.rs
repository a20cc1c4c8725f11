//! What was taken from the logbook, as JSON has it.

use super::against::{Against, finite};
use super::logbook::{FromLogbook, compared, key, names};
use lab::lots::unlike;
use schemars::JsonSchema;
use serde::Serialize;

/// How a lot was taken from the logbook.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(super) struct Taken {
    /// The marking that all pulls have and that was taken, kN; null where one was told, or they have none in common.
    marking_kn: Option<f64>,
    /// Numbers of pulls that ended as the connector opened; their peaks count as those of breaks.
    opened: Vec<i64>,
    /// Numbers of pulls left out, being planned only.
    planned: Vec<i64>,
    /// Numbers of pulls left out, since their outcome was not told.
    without_outcome: Vec<i64>,
    /// In what the pulls differ that their strength may depend on.
    unlike: Vec<UnlikeField>,
    /// Samples of which several pulls count.
    pulled_again: Vec<String>,
    /// The groups; null where none were asked for.
    groups: Option<GroupsInWords>,
    /// What must be known beside all this, in words.
    notes: Vec<String>,
}

/// A field in which pulls differ.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct UnlikeField {
    /// The word by which `--by` tells pulls apart by it.
    by: &'static str,
    /// Its values.
    values: Vec<OneValue>,
}

/// A value, and how many pulls have it.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct OneValue {
    /// As the logbook has it; null where it was not told.
    value: Option<String>,
    /// How many pulls have it.
    #[schemars(range(min = 1))]
    pulls: usize,
}

/// Pulls told apart by a value.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct GroupsInWords {
    /// The word by which they are.
    by: &'static str,
    /// The groups.
    #[schemars(extend("minItems" = 1))]
    groups: Vec<OneGroup>,
    /// The first group against the second; null unless there are two.
    between: Option<Against>,
}

/// A group.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct OneGroup {
    /// What it is called.
    name: String,
    /// Numbers of its pulls.
    #[schemars(extend("minItems" = 1))]
    pulls: Vec<i64>,
    /// How many broke.
    breaks: usize,
    /// How many ended without a break.
    ended: usize,
    /// Mean, kN; where pulls ended without a break the likeliest; null where they tell no spread.
    mean_kn: Option<f64>,
    /// Standard deviation with n - 1, kN; where pulls ended without a break the likeliest, as that with n; null where they tell none.
    sd_kn: Option<f64>,
    /// The least break, kN; null without one.
    least_kn: Option<f64>,
    /// The load that 95 % of such a lot break above with 95 % confidence, kN; null where none can be told, below zero where so few
    /// pulls allow no load to be claimed.
    bound_kn: Option<f64>,
}

impl Taken {
    pub(super) fn new(from: &FromLogbook) -> Self {
        let chosen = &from.chosen;
        Self {
            marking_kn: from.marking_kn,
            opened: chosen.opened(),
            planned: chosen.planned.clone(),
            without_outcome: chosen.untold.clone(),
            unlike: unlike(&chosen.counted)
                .into_iter()
                .map(|one| UnlikeField {
                    by: key(one.field),
                    values: one.values.into_iter().map(|(value, pulls)| OneValue { value, pulls }).collect(),
                })
                .collect(),
            pulled_again: chosen.pulled_again(),
            groups: from.groups.as_ref().map(|groups| GroupsInWords {
                by: key(groups.by),
                groups: names(groups)
                    .into_iter()
                    .zip(&groups.groups)
                    .map(|(name, group)| {
                        let found = &group.figures;
                        let breaks = found.lot.breaks_kn();
                        let normal = found.normal.as_ref().ok();
                        OneGroup {
                            name,
                            pulls: found.lot.pulls().iter().filter_map(|pull| pull.number).collect(),
                            breaks: breaks.len(),
                            ended: found.lot.count() - breaks.len(),
                            mean_kn: normal.map(|normal| normal.mean_kn()),
                            sd_kn: normal.map(|normal| normal.sd_kn()),
                            least_kn: breaks.iter().copied().reduce(f64::min),
                            bound_kn: found.bounds.first().and_then(|bound| finite(bound.kn)),
                        }
                    })
                    .collect(),
                between: groups
                    .between
                    .as_ref()
                    .zip(compared(groups))
                    .map(|(found, told)| Against::new(found, told)),
            }),
            notes: from.notes(),
        }
    }
}
