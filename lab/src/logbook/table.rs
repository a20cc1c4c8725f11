//! Pulls as a table for a spreadsheet: one row each, units in the names of columns, values as they are now.

use super::field::{Field, Shape};
use super::pull::Pull;
use super::read::columns;

/// Names of the columns, and what stands in them. `caution`: what the numbers are not, once, in the last column of the first row.
///
/// A text that a spreadsheet would take for a formula has an apostrophe before it. Numbers are left as they are.
///
/// # Errors
/// None that a table in memory can have.
pub fn table(pulls: &[Pull], caution: &str) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut head: Vec<String> = vec!["number".to_owned(), "uid".to_owned()];
    head.extend(Field::ALL.into_iter().flat_map(|field| match field {
        Field::Peak => vec!["peak_entered".to_owned(), "peak_kn".to_owned()],
        other => columns(other),
    }));
    head.extend(
        [
            "forecast_p5_kn",
            "forecast_p50_kn",
            "forecast_p95_kn",
            "forecast_first",
            "forecast_calibration",
            "forecast_at",
            "recorded_at",
            "result_at",
            "amended",
            "withdrawn",
            "caution",
        ]
        .map(str::to_owned),
    );
    writer.write_record(&head)?;
    for (place, pull) in pulls.iter().enumerate() {
        let mut row = vec![pull.number.to_string(), pull.uid.clone()];
        row.extend(Field::ALL.into_iter().flat_map(|field| cells(pull, field)));
        let forecast = pull.forecast.as_ref();
        let kn = |of: fn(&super::Forecast) -> f64| {
            forecast.map_or_else(String::new, |(told, _)| of(told).to_string())
        };
        row.extend([kn(|f| f.p5_kn), kn(|f| f.p50_kn), kn(|f| f.p95_kn)]);
        row.push(forecast.map_or_else(String::new, |(told, _)| harmless(&told.first)));
        row.push(
            forecast.and_then(|(told, _)| told.calibration.as_deref()).map_or_else(String::new, harmless),
        );
        row.push(forecast.map_or_else(String::new, |(_, at)| at.at.clone()));
        row.push(pull.planned.at.clone());
        row.push(pull.done.as_ref().map_or_else(String::new, |at| at.at.clone()));
        let amended: Vec<&str> =
            Field::ALL.into_iter().filter(|field| pull.is_amended(*field)).map(Field::word).collect();
        row.push(amended.join(" "));
        row.push(pull.withdrawn.as_ref().map_or_else(String::new, |(why, _)| harmless(why)));
        row.push(if place == 0 { caution.to_owned() } else { String::new() });
        writer.write_record(&row)?;
    }
    writer.into_inner().map_err(|error| csv::Error::from(std::io::Error::other(error.to_string())))
}

fn cells(pull: &Pull, field: Field) -> Vec<String> {
    let value = pull.now.get(field);
    match field.shape() {
        Shape::Peak => {
            let kn = pull.peak_kn().map_or_else(String::new, |kn| kn.to_string());
            vec![harmless(&value.unwrap_or_default()), kn]
        }
        Shape::File => match value.as_deref().and_then(|text| text.split_once(' ')) {
            Some((hash, name)) => {
                vec![harmless(name), if hash == "-" { String::new() } else { hash.to_owned() }]
            }
            None => vec![String::new(), String::new()],
        },
        Shape::Number(_) | Shape::Count(_) => vec![value.unwrap_or_default()],
        _ => vec![harmless(&value.unwrap_or_default())],
    }
}

/// A text that no spreadsheet takes for a formula.
fn harmless(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}
