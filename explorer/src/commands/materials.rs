//! `pullmap materials`: the metals that a model may name.

use super::files::json_of;
use crate::args::MaterialsArguments;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use report::materials::{listing, table};

/// Prints the list.
///
/// # Errors
/// The standard output fails.
pub fn run(arguments: &MaterialsArguments) -> Result<Outcome, Failure> {
    print(&if arguments.json { json_of(&listing())? } else { table() })?;
    Ok(Outcome::Done)
}

#[cfg(test)]
mod tests {
    use super::*;
    use report::caution::CAUTION;
    use report::materials::FORMAT;

    #[test]
    fn json_has_stable_keys() {
        let value: serde_json::Value = serde_json::from_str(&json_of(&listing()).unwrap()).unwrap();
        assert_eq!(value["format"], FORMAT);
        assert_eq!(value["caution"], CAUTION);
        assert_eq!(value["materials"][0]["key"], "7075-t6");
        assert_eq!(value["materials"][0]["shear_ultimate_mpa"]["value"], 331.0);
        assert!(value["materials"][0]["yield_mpa"]["source"].is_string());
    }
}
