//! `pullmap explore`: the live page.

use crate::args::ExploreArguments;
use crate::failure::{Failure, Outcome};
use crate::live::{Options, flat, serve};
use crate::source::{self, builtin};
use serde_json::json;

/// Serves the page until it is interrupted.
///
/// # Errors
/// The model has mistakes, or the address cannot be listened on.
pub fn run(arguments: &ExploreArguments) -> Result<Outcome, Failure> {
    let source = source::find(&arguments.model)?;
    // Mistakes are told here, with their lines, rather than on the page.
    let _ = source.model(&arguments.change.set)?;
    let built_in = builtin::find(&source.stem).is_some_and(|text| text == source.text);
    let model = if built_in {
        json!(source.stem)
    } else {
        let mut values = flat(&source.text);
        // A file without a title goes by its name, on the page as well.
        values.entry("title").or_insert_with(|| json!(source.stem));
        json!(values)
    };
    let set: serde_json::Map<_, _> =
        arguments.change.set.iter().map(|(key, value)| (key.clone(), json!(value))).collect();
    serve(&Options {
        address: arguments.address,
        port: arguments.port,
        open: arguments.open,
        logbook: arguments.logbook.clone(),
        opens_with: json!({ "model": model, "set": set }),
    })?;
    Ok(Outcome::Done)
}
