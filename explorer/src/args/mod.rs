//! What was typed. Everything that can be judged without reading a file is judged here.
//!
//! The commands and what they share stand here; their arguments in `models`, `answers`, `variants`, `records`, `logbook`, `filter` and `pages`, the parsers
//! of single values in `values`.

mod answers;
mod change;
mod filter;
mod logbook;
mod lot;
mod models;
mod pages;
mod records;
mod still_size;
mod values;
mod variants;

pub use answers::{
    ExplainArguments, Field, ForecastArguments, MapArguments, PullArguments, QuestionArguments,
    ReachArguments,
};
pub use change::Change;
pub use filter::{FilterFields, TypedFilter};
pub use logbook::{
    LogAddArguments, LogAmendArguments, LogArguments, LogCalibrateArguments, LogCalibrationsArguments,
    LogCommand, LogExportArguments, LogImportArguments, LogListArguments, LogPlanArguments,
    LogScoreArguments, LogShowArguments, LogWithdrawArguments, ResultFields, RigFields, SampleFields,
};
pub use lot::{LotArguments, Peaks, all_pulls, lot_key, lot_keys, peaks};
pub use models::{CompletionsArguments, ManualArguments, MaterialsArguments, NewArguments, SketchArguments};
pub use pages::{ExploreArguments, VerifyArguments};
pub use records::{DecimalMark, TraceArguments, TypedAsked};
pub use still_size::StillSize;
pub use values::{load, loads_kn, mesh_sizes_mm, pull_steps};
pub use variants::{CompareArguments, StillArguments, StillKind, SweepArguments};

use clap::{Parser, Subcommand};
use report::caution::CAUTION;

/// Where the force goes inside a connector, what fails first, and what changes that.
#[derive(Clone, Debug, PartialEq, Parser)]
#[command(name = "pullmap", version, after_help = CAUTION, max_term_width = 100)]
pub struct Arguments {
    /// What to do; a short introduction when nothing is given.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// The commands.
#[derive(Clone, Debug, PartialEq, Subcommand)]
pub enum Command {
    /// Write a model file to fill in, every key explained, in the order of measuring
    New(NewArguments),
    /// Draw a connector with its dimensions and what a caliper reads of it, without solving anything
    Sketch(SketchArguments),
    /// List the metals that a model may name, with their values and sources
    Materials(MaterialsArguments),
    /// Compute where the force goes and draw it
    Map(MapArguments),
    /// Pull it until it fails, metal that yields and all: the curve of load over stretch, and what ends it
    Pull(PullArguments),
    /// Weigh what may differ from what was entered against a peak load and a broken place
    Explain(ExplainArguments),
    /// Find where straps and bars come to rest, and what the connector holds there
    Seats(QuestionArguments),
    /// Tell where a connector holds a load and where it does not: usual straps and bars, places from spine to gate, gate closed to open
    Reach(ReachArguments),
    /// Move every key by one step, both ways, and tell what each does to the forecast, strongest first
    Levers(QuestionArguments),
    /// Tell what a few pulls allow to be claimed of their lot; exit code 1 when --at-least is not reached
    Lot(LotArguments),
    /// Show two to six variants side by side on one scale, and tell what differs
    Compare(CompareArguments),
    /// Draw a picture for a post or a film, with its caption and alternative text
    Still(StillArguments),
    /// Tell what fails first, at which load, and how sure that is; exit code 1 when --at-least is not reached
    Forecast(ForecastArguments),
    /// Open the live page: drag the strap, watch the load move
    Explore(ExploreArguments),
    /// Vary one or two keys of a model and tell what fails first at each value
    Sweep(SweepArguments),
    /// Read what load cells wrote of a pull: peak and how much of it may have been missed, kinks, slips, holds, the break
    Trace(TraceArguments),
    /// Keep pulls in a logbook to which only is added: plan with a blind forecast, record, list, correct, share
    Log(LogArguments),
    /// Solve published problems and compare with their numbers; exit code 1 when one is not met
    Verify(VerifyArguments),
    /// Print what a shell needs to complete commands and options
    Completions(CompletionsArguments),
    /// Write manual pages, one for each command
    Manual(ManualArguments),
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;
    use std::path::PathBuf;

    fn typed(line: &str) -> Result<Arguments, clap::Error> {
        Arguments::try_parse_from(line.split(' '))
    }

    fn map(line: &str) -> MapArguments {
        match typed(line).unwrap().command {
            Some(Command::Map(map)) => map,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_definition_is_sound() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn map_takes_everything() {
        let line = "pullmap map oval a.toml --set rig.load_kn=12 --set rig.both.offset_mm=-3 --json --out d \
                    --field trajectories --fields f.vtu --mesh-size 0.6 --timing --show-shape 40 --accuracy 2%";
        let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
        let map = map(&line);
        assert_eq!(map.models, ["oval", "a.toml"]);
        assert_eq!(map.change.set[1], ("rig.both.offset_mm".to_owned(), "-3".to_owned()));
        assert_eq!((map.json, map.timing, map.field), (true, true, Field::Trajectories));
        assert_eq!((map.mesh_size, map.show_shape), (Some(0.6), Some(40.0)));
        assert_eq!(map.accuracy, Some(0.02));
        assert_eq!(map.fields, Some(PathBuf::from("f.vtu")));
    }

    #[test]
    fn defaults() {
        let map = map("pullmap map oval");
        assert_eq!((map.field, map.json, map.mesh_size, map.out), (Field::VonMises, false, None, None));
        assert_eq!(typed("pullmap").unwrap().command, None);
    }

    #[test]
    fn stills_take_several_sizes() {
        let Some(Command::Still(still)) =
            typed("pullmap still oval --size 1920x1080,1080x1080 --size all").unwrap().command
        else {
            panic!()
        };
        assert_eq!(
            still.size.iter().map(|s| s.pixels).collect::<Vec<_>>(),
            [[1920, 1080], [1080, 1080], [0, 0]]
        );
        assert!(still.size[2].is_all() && still.kind.is_none());
    }

    #[test]
    fn sweep_takes_one_key_or_two() {
        let line = "pullmap sweep oval --vary rig.gate=closed,open --vary rig.both.offset_mm=-3..3:7 --set rig.load_kn=5";
        let Some(Command::Sweep(sweep)) = typed(line).unwrap().command else { panic!() };
        assert_eq!(sweep.vary[1], ("rig.both.offset_mm".to_owned(), "-3..3:7".to_owned()));
        assert_eq!((sweep.restart, sweep.yes, sweep.out), (false, false, None));
        assert_eq!(typed("pullmap sweep oval").unwrap_err().exit_code(), 2);
    }

    #[test]
    fn slips_are_refused_with_exit_code_2() {
        for line in [
            "pullmap map",
            "pullmap map oval --set",
            "pullmap map oval --set load",
            "pullmap map oval --set =3",
            "pullmap map oval --mesh-size 0",
            "pullmap map oval --mesh-size nan",
            "pullmap map oval --mesh-size -1",
            "pullmap map oval --accuracy -2%",
            "pullmap map oval --show-shape -5",
            "pullmap forecast oval --at-least -3",
            "pullmap map oval --show-shape inf",
            "pullmap map oval --accuracy 0",
            "pullmap map oval --accuracy nan",
            "pullmap map oval --accuracy 2kN",
            "pullmap map oval --fields f.txt",
            "pullmap map oval --field rainbow",
            "pullmap compare oval --vary nose.tip_mm",
            "pullmap still oval --size 100x100",
            "pullmap still oval --kind film",
            "pullmap forecast",
            "pullmap forecast oval --at-least 0",
            "pullmap forecast oval --at-least nan",
            "pullmap forecast oval --at-least 12mm",
            "pullmap mop oval",
        ] {
            assert_eq!(typed(line).unwrap_err().exit_code(), 2, "{line}");
        }
        for line in ["pullmap --help", "pullmap --version", "pullmap map --help"] {
            assert_eq!(typed(line).unwrap_err().exit_code(), 0, "{line}");
        }
    }
}
