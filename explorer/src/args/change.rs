//! Values that take the place of the model's.

use super::values::key_and_value;
use clap::Args;

/// Values that take the place of the model's; every command that reads a model takes them.
#[derive(Clone, Debug, Default, PartialEq, Args)]
pub struct Change {
    /// Use this value instead of the model's; may be repeated. rig.both.KEY sets upper and lower.
    /// Examples: --set rig.load_kn=12, --set rig.both.width_mm=25, --set "nose.tip_mm=1/2 in"
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value)]
    pub set: Vec<(String, String)>,
}

impl Change {
    /// The same with a load in use, where one is asked for.
    #[must_use]
    pub fn with_working_load(&self, kn: Option<f64>) -> Vec<(String, String)> {
        let asked = kn.map(|kn| ("rig.working_load_kn".to_owned(), kn.to_string()));
        self.set.iter().cloned().chain(asked).collect()
    }
}
