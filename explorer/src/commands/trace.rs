//! `pullmap trace`: what load cells wrote of a pull.

use super::files::{Files, folder_of, json_of};
use crate::args::TraceArguments;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::tracing::{PICTURES, curve, one_file, read};
use lab::trace::Asked;
use lab::trace::agreement::aligned;
use report::caution::CAUTION_OF_RECORDS;
use report::trace::{Document, Found, Told, TwoCells, agreement, answer};
use std::path::Path;

/// Reads files of load cells.
///
/// # Errors
/// A file cannot be read or gives no reading, files that are said to be of one pull cannot be laid over each other, or a file cannot be
/// written.
pub fn run(arguments: &TraceArguments) -> Result<Outcome, Failure> {
    let asked = Asked {
        unit: arguments.unit,
        rate_hz: arguments.rate,
        column: arguments.column.clone(),
        decimal: arguments.decimal.map(Into::into),
        counts_per_unit: arguments.counts_per_unit,
        zero_counts: arguments.zero_counts,
        part: arguments.part,
    };
    // All that is wrong with any of them is told at once.
    let read: Vec<_> = arguments.files.iter().map(|file| read(file, &asked)).collect();
    let (told, wrong): (Vec<_>, Vec<_>) = read.into_iter().partition(Result::is_ok);
    let wrong: Vec<_> = wrong.into_iter().filter_map(Result::err).collect();
    if !wrong.is_empty() {
        return Err(Failure::Traces(wrong));
    }
    let told: Vec<Told> = told.into_iter().filter_map(Result::ok).collect();
    let cells = if arguments.same_pull { Some(same_pull(&told)?) } else { one_file(&told) };
    if arguments.json {
        print(&json_of(&Document::new(&told, cells.as_ref()))?)?;
        return Ok(Outcome::Done);
    }
    let several = told.len() > 1;
    let mut words = String::new();
    let mut taken: Vec<String> = Vec::new();
    for file in &told {
        let stem = Path::new(&file.file).file_stem().map_or_else(|| "trace".into(), |s| s.to_string_lossy());
        // Files of one name keep their answers apart.
        let same = taken.iter().filter(|t| **t == stem).count();
        taken.push(stem.to_string());
        let folder = if same == 0 { stem.to_string() } else { format!("{stem}-{}", same + 1) };
        let mut files = Files::new(folder_of(arguments.out.as_deref(), &folder, several))?;
        if let Found::Pull(recording, pulls) = &file.found {
            for (name, size) in ["trace", "trace-phone"].into_iter().zip(PICTURES) {
                files.drawing(name, &curve(file, recording, pulls, size)?)?;
            }
        }
        files.text("trace.json", &json_of(&Document::new(std::slice::from_ref(file), cells.as_ref()))?)?;
        words += &answer(file);
        words += &files.told();
    }
    if let Some(cells) = &cells {
        words += &format!("{}\n", agreement(cells));
    }
    print(&format!("{words}{CAUTION_OF_RECORDS}\n"))?;
    Ok(Outcome::Done)
}

/// Two files of one pull.
fn same_pull(told: &[Told]) -> Result<TwoCells, Failure> {
    let [
        Told { file: first, found: Found::Pull(a, pulls_a), .. },
        Told { file: second, found: Found::Pull(b, pulls_b), .. },
    ] = told
    else {
        return Err(Failure::NotTwoCells);
    };
    let ([channel_a], [pull_a], [channel_b], [pull_b]) =
        (&a.channels[..], &pulls_a[..], &b.channels[..], &pulls_b[..])
    else {
        return Err(Failure::NotTwoCells);
    };
    let names = [first.clone(), second.clone()];
    let agreement = aligned((channel_a, pull_a), (channel_b, pull_b))
        .ok_or_else(|| Failure::NoOverlap(first.clone(), second.clone()))?;
    Ok(TwoCells { names, agreement })
}
