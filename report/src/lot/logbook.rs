//! A lot that was taken from the logbook, in words: what counts and what does not, in what its pulls differ, and their groups.

use super::line::Line;
use super::numbers::bound;
use super::sentences::{between, count};
use crate::logbook::{field, option, pulls, with_unit};
use crate::numbers::{decimals, kilonewtons_alone, typed};
use lab::logbook::Field;
use lab::lots::{Chosen, Group, Groups, Unlike, unlike};
use std::fmt::{Display, Write};

/// Widest name of a group in the table, letters.
const WIDEST: usize = 40;

/// A lot that was taken from the logbook.
#[derive(Clone, Debug)]
pub struct FromLogbook {
    /// Its pulls, and those that do not count.
    pub chosen: Chosen,
    /// The marking that was taken from them, kN, where none was told.
    pub marking_kn: Option<f64>,
    /// How they ended, where only pulls that ended so were asked for.
    pub outcome: Option<String>,
    /// Its groups, where they are asked for.
    pub groups: Option<Groups>,
}

/// There is no logbook to take pulls from.
#[must_use]
pub fn no_logbook(logbook: impl Display) -> String {
    format!(
        "{logbook}: there is no logbook to take pulls from\n  hint: --values KN,KN,... tells peaks here; `pullmap log add` records pulls; --logbook FILE \
         names another logbook"
    )
}

/// Peaks are told and asked for at once: the options that ask.
#[must_use]
pub fn two_sources(options: &[&str]) -> String {
    let (first, those) = (options.join(", "), if options.len() == 1 { "that" } else { "those" });
    format!(
        "--values tells the peaks here, and {first} would take them from the logbook\n  hint: leave out --values, or {those}"
    )
}

/// A spread is told for a marking that is not.
#[must_use]
pub fn spread_of_nothing() -> String {
    "--spread: there is no marking that it would be taken for\n  hint: add --marking KN, or leave it out"
        .to_owned()
}

/// No pull of the logbook counts.
#[must_use]
pub fn nothing_counts(logbook: impl Display, chosen: &Chosen) -> String {
    let left = left_out(chosen).join(" ");
    match (left.is_empty(), chosen.untold.is_empty()) {
        (true, _) => format!(
            "{logbook}: no pull meets what was asked for\n  hint: leave one of the options out; pullmap log list shows what is there"
        ),
        (false, true) => format!(
            "{logbook}: no pull counts. {left}\n  hint: pullmap log add NUMBER --peak KN --outcome broke records a result"
        ),
        (false, false) => format!("{logbook}: no pull counts. {left}"),
    }
}

/// Pulls that do not count.
fn left_out(chosen: &Chosen) -> Vec<String> {
    let mut told = Vec::new();
    if !chosen.untold.is_empty() {
        told.push(format!(
            "Left out: {}, whose outcome was not told; pullmap log amend NUMBER --outcome broke --why REASON tells it.",
            pulls(&chosen.untold)
        ));
    }
    if !chosen.planned.is_empty() {
        told.push(format!("Left out: {}, planned only.", pulls(&chosen.planned)));
    }
    told
}

/// A value in words: `12 mm`, `20 kN`, `not told`.
fn value(of: Field, value: Option<&str>) -> String {
    value.map_or_else(|| "not told".to_owned(), |value| with_unit(of, value))
}

/// In what the pulls differ, and what follows.
fn differ(found: &[Unlike], by: Option<Field>) -> Option<String> {
    let told = |one: &Unlike| {
        let values: Vec<String> = one
            .values
            .iter()
            .map(|(of, many)| format!("{} ({many})", value(one.field, of.as_deref())))
            .collect();
        format!("{}: {}", field(one.field), values.join(", "))
    };
    let first = found.iter().find(|one| Some(one.field) != by)?;
    let all: Vec<String> = found.iter().map(told).collect();
    let hint = match by {
        Some(_) => String::new(),
        None => format!("; --by {} compares them", key(first.field)),
    };
    Some(format!(
        "The pulls differ: {}. A strength belongs to a connector in its rig, and what was pulled otherwise is no one lot: what is told of \
         all together may hold for none of them{hint}.",
        all.join("; ")
    ))
}

/// The word by which pulls are told apart by a field.
#[must_use]
pub fn key(field: Field) -> &'static str {
    match field {
        Field::MarkedClosedKn => "marked",
        Field::MarkedOpenKn => "marked-open",
        Field::PulledOn => "day",
        other => option(other).trim_start_matches('-'),
    }
}

/// The names of groups, each its own: of models with one name the beginning of their hash stands behind it.
#[must_use]
pub fn names(groups: &Groups) -> Vec<String> {
    let name = |group: &Group| match (groups.by, group.value.as_deref().and_then(|v| v.split_once(' '))) {
        (Field::Model, Some((_, name))) => name.to_owned(),
        _ => value(groups.by, group.value.as_deref()),
    };
    let all: Vec<String> = groups.groups.iter().map(name).collect();
    let own = |(name, group): (&String, &Group)| {
        let others = || all.iter().zip(&groups.groups).filter(|(other, _)| *other == name);
        let hash =
            group.value.as_deref().and_then(|value| value.get(..6)).filter(|_| groups.by == Field::Model);
        let named = match hash {
            Some(hash) if others().any(|(_, other)| other.value != group.value) => {
                format!("{name} ({hash}...)")
            }
            _ => name.clone(),
        };
        match group.sets.join(", ") {
            sets if !sets.is_empty() => format!("{named}, {sets}"),
            _ if others().any(|(_, other)| !other.sets.is_empty()) => format!("{named}, nothing set"),
            _ => named,
        }
    };
    all.iter().zip(&groups.groups).map(own).collect()
}

/// What two groups are beside each other; none unless there are two.
#[must_use]
pub fn compared(groups: &Groups) -> Option<String> {
    let names = names(groups);
    let ([first, second], Some(found)) = (&names[..], &groups.between) else { return None };
    Some(between([first, second], found))
}

/// Heads of the table of groups, behind the column of their names.
const HEADS: [&str; 6] =
    ["breaks", "ended", "mean, kN", "sd, kN", "least, kN", "95 % break above, 95 % confident"];

/// Below a table with a value that is the likeliest only.
const LIKELIEST: &str = "~ likeliest, since pulls ended without a break; the least is that of the breaks";

/// The cells of a group, and whether any of them is the likeliest only.
fn cells(group: &Group) -> ([String; 6], bool) {
    let found = &group.figures;
    let (breaks, held) = (found.lot.breaks_kn(), found.lot.held_kn());
    let normal = found.normal.as_ref().ok();
    let mark = if normal.is_some() && !held.is_empty() { "~" } else { "" };
    let alone = (breaks.len() == 1 && held.is_empty()).then(|| breaks[0]);
    let mean = normal.map(|normal| normal.mean_kn()).or(alone);
    let least = breaks.iter().copied().reduce(f64::min);
    let dash = || "-".to_owned();
    let cells = [
        breaks.len().to_string(),
        held.len().to_string(),
        mean.map_or_else(dash, |kn| format!("{mark}{}", kilonewtons_alone(kn))),
        normal.map_or_else(dash, |normal| format!("{mark}{}", decimals(normal.sd_kn(), 2))),
        least.map_or_else(dash, kilonewtons_alone),
        found.bounds.first().map_or_else(dash, |first| bound(first.kn)),
    ];
    (cells, !mark.is_empty())
}

/// What the groups are told apart by.
fn by_what(groups: &Groups) -> String {
    let by = if groups.by == Field::Model { "model and what was set over it" } else { field(groups.by) };
    format!("By {by}")
}

/// The groups as a table.
fn table(groups: &Groups) -> String {
    let names = names(groups);
    let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0).clamp(12, WIDEST);
    let mut text = format!("{}:\n", by_what(groups));
    let mut row = |name: &str, [broke, ended, mean, sd, lowest, bound]: [&str; 6]| {
        let name: String = name.chars().take(width).collect();
        let line =
            format!("  {name:<width$}  {broke:>6}  {ended:>5}  {mean:>8}  {sd:>6}  {lowest:>9}  {bound}");
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}", line.trim_end());
    };
    row("", HEADS);
    let mut likeliest = false;
    for (name, group) in names.iter().zip(&groups.groups) {
        let (cells, is_likeliest) = cells(group);
        likeliest |= is_likeliest;
        row(name, cells.each_ref().map(String::as_str));
    }
    if likeliest {
        let _ = writeln!(text, "  {LIKELIEST}");
    }
    text
}

/// The groups as rows, those beside each other, and what must be known of them.
fn rows(groups: &Groups) -> Vec<Line> {
    let heads = HEADS.map(str::to_owned).to_vec();
    let mut lines = vec![Line::Head { name: by_what(groups), cells: heads }];
    let mut likeliest = false;
    for (name, group) in names(groups).into_iter().zip(&groups.groups) {
        let (cells, is_likeliest) = cells(group);
        likeliest |= is_likeliest;
        lines.push(Line::Row { name, cells: cells.to_vec() });
    }
    lines.extend(likeliest.then(|| Line::Says(LIKELIEST.to_owned())));
    lines.extend(compared(groups).map(Line::Says));
    lines
}

impl FromLogbook {
    /// Whether its pulls differ in their rigs, or are of other kinds or markings.
    #[must_use]
    pub fn differs(&self) -> bool {
        !unlike(&self.chosen.counted).is_empty()
    }

    /// What must be known of how the lot was taken from the logbook, in sentences.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let chosen = &self.chosen;
        let mut notes = Vec::new();
        if let Some(kn) = self.marking_kn {
            notes.push(format!("The marking of {} kN is that of all these pulls in the logbook.", typed(kn)));
        }
        let opened = chosen.opened();
        if !opened.is_empty() {
            notes.push(format!(
                "Opened: {}. A connector that has opened holds no more, so its peak counts as that of a break.",
                pulls(&opened)
            ));
        }
        notes.extend(left_out(chosen));
        if let Some(outcome) = &self.outcome {
            notes.push(format!(
                "Only pulls that ended so were asked for: {outcome}. What ended otherwise is left out by its load too, and figures of the rest are \
                 not those of the lot: without --outcome each pull counts as what it is."
            ));
        }
        notes.extend(differ(&unlike(&chosen.counted), self.groups.as_ref().map(|groups| groups.by)));
        let again = chosen.pulled_again();
        if !again.is_empty() {
            notes.push(format!(
                "{} pulled more than once: {}. Pulls of one sample are no draws of their own, and figures of the lot take them for such.",
                count(again.len(), "sample was", "samples were"),
                again.join(", ")
            ));
        }
        notes
    }

    /// The groups, as rows and sentences; nothing where none were asked for.
    #[must_use]
    pub fn groups(&self) -> Vec<Line> {
        self.groups.as_ref().map(rows).unwrap_or_default()
    }

    /// What `lot` prints of it below the figures.
    #[must_use]
    pub fn answer(&self) -> String {
        let mut text = String::new();
        if let Some(groups) = &self.groups {
            text.push_str(&table(groups));
            text.extend(compared(groups).map(|told| told + "\n"));
        }
        text.extend(self.notes().into_iter().map(|note| format!("Note: {note}\n")));
        text
    }
}
