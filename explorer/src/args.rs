//! What was typed. Everything that can be judged without reading a file is judged here.

use crate::care::CAUTION;
use crate::explaining::place;
use crate::model_file::quantity::{Dimension, parse, plain};
use clap::{Args, Parser, Subcommand, ValueEnum};
use solver::causes::Place;
use std::net::IpAddr;
use std::path::PathBuf;

/// Where the force goes inside a connector, what gives first, and what changes that.
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
    /// Draw a connector with its dimensions, without computing anything
    Sketch(SketchArguments),
    /// List the metals that a model may name, with their values and sources
    Materials(MaterialsArguments),
    /// Compute where the force goes and draw it
    Map(MapArguments),
    /// Weigh what may have been other than told against a peak load and a broken place
    Explain(ExplainArguments),
    /// Find where straps and bars come to rest, and what the connector bears there
    Seats(SeatsArguments),
    /// Show two to six variants side by side on one scale, and tell what differs
    Compare(CompareArguments),
    /// Draw a picture for a post or a film, with its caption and alternative text
    Still(StillArguments),
    /// Tell what gives first, at which load, and how sure that is; exit code 1 when --at-least is not reached
    Forecast(ForecastArguments),
    /// Open the live page: drag the strap, watch the load move
    Explore(ExploreArguments),
    /// Vary one or two keys of a model and tell what gives first at each value
    Sweep(SweepArguments),
    /// Solve published problems and compare with their numbers; exit code 1 when one is not met
    Verify(VerifyArguments),
}

/// Arguments of `new`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct NewArguments {
    /// The file to write
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Take the numbers of this model: a file, or a built-in name
    #[arg(long, value_name = "MODEL", default_value = "broadbar-alu")]
    pub like: String,
    /// Write over a file that is there already
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `sketch`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct SketchArguments {
    /// The model: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Folder for the drawing [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `materials`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct MaterialsArguments {
    /// Print JSON instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Values that take the place of the model's; every command that reads a model takes them.
#[derive(Clone, Debug, Default, PartialEq, Args)]
pub struct Change {
    /// Use this value instead of the model's; may be repeated. rig.both.KEY sets upper and lower.
    /// Examples: --set rig.load_kn=12, --set rig.both.width_mm=25, --set "nose.tip_mm=1/2 in"
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value)]
    pub set: Vec<(String, String)>,
}

/// Arguments of `map`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct MapArguments {
    /// Models: files, or built-in names (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Print the findings as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for map.png, map.svg and findings.json [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What the colours show
    #[arg(long, value_name = "NAME", default_value = "von-mises")]
    pub field: Field,
    /// Write displacements, stresses and forces to this .vtu file, and an .npz file of the same name
    #[arg(long, value_name = "FILE.vtu", value_parser = vtu_file)]
    pub fields: Option<PathBuf>,
    /// Size of the elements where they are small, mm, 0.1 to 5 [default: chosen for 12,500 to 15,000 unknowns]
    #[arg(long, value_name = "MM", value_parser = mesh_size)]
    pub mesh_size: Option<f64>,
    /// Refine the mesh where its error is largest until trusted peaks move by less than this from one mesh to the next:
    /// 2%, between 0.1% and 20%. Exit code 1 when that is not reached within 200,000 unknowns
    #[arg(long, value_name = "PERCENT", value_parser = accuracy)]
    pub accuracy: Option<f64>,
    /// Vary mesh, straps, play, every measure given as a range and every unknown metal, one at a time, and tell what that
    /// does to the numbers
    #[arg(long)]
    pub how_sure: bool,
    /// Tell how long each step took
    #[arg(long)]
    pub timing: bool,
    /// Draw the deformed outline as well, its displacements this many times enlarged
    #[arg(long, value_name = "N", value_parser = enlargement)]
    pub show_shape: Option<f64>,
}

/// Arguments of `compare`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct CompareArguments {
    /// Models: files, or built-in names; one together with --vary, else two to six
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// Compare these values of one key, two to six. Example: --vary nose.notch_depth_mm=2,4,6
    #[arg(long, value_name = "KEY=VALUE,VALUE", value_parser = key_and_value)]
    pub vary: Option<(String, String)>,
    /// Values that take the place of each model's
    #[command(flatten)]
    pub change: Change,
    /// What the colours show
    #[arg(long, value_name = "NAME", default_value = "von-mises")]
    pub field: Field,
    /// Print the numbers as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for compare.png, compare.svg and compare.json [default: pullmap-out/MODEL, or pullmap-out/compare]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `still`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct StillArguments {
    /// The model: a file, or a built-in name; two for --kind compare without --vary
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// What it shows [default: compare with --vary or two models, else map]
    #[arg(long, value_name = "KIND")]
    pub kind: Option<StillKind>,
    /// Compare two values of one key. Example: --vary rig.both.offset_mm=0,15
    #[arg(long, value_name = "KEY=VALUE,VALUE", value_parser = key_and_value)]
    pub vary: Option<(String, String)>,
    /// Values that take the place of each model's
    #[command(flatten)]
    pub change: Change,
    /// What the colours show
    #[arg(long, value_name = "NAME", default_value = "von-mises")]
    pub field: Field,
    /// Size in pixels; may be repeated: 1920x1080, 1080x1920, 1080x1080, 3840x2160, 2160x3840, 2160x2160, or all for
    /// the first three [default: all]
    #[arg(long, value_name = "SIZE", value_parser = still_size, value_delimiter = ',')]
    pub size: Vec<StillSize>,
    /// Leave the ground transparent, to be laid over a film
    #[arg(long)]
    pub transparent: bool,
    /// Folder for the stills and still.txt [default: pullmap-out/MODEL, or pullmap-out/compare]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// What a still shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum StillKind {
    /// The stress, who carries the load, and what gives first
    Map,
    /// The load at which each part reaches its limit
    Forecast,
    /// Two variants on one scale
    Compare,
}

/// A size of still.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StillSize {
    /// Pixels across and down; zero for all usual sizes.
    pub pixels: [u32; 2],
}

impl StillSize {
    /// Whether all usual sizes are meant.
    #[must_use]
    pub fn is_all(self) -> bool {
        self.pixels == [0, 0]
    }
}

/// Sizes that a layout is made for.
const STILL_SIZES: [[u32; 2]; 6] =
    [[1920, 1080], [1080, 1920], [1080, 1080], [3840, 2160], [2160, 3840], [2160, 2160]];

fn still_size(text: &str) -> Result<StillSize, String> {
    if text == "all" {
        return Ok(StillSize { pixels: [0, 0] });
    }
    let name = |[w, h]: [u32; 2]| format!("{w}x{h}");
    match STILL_SIZES.into_iter().find(|size| name(*size) == text) {
        Some(pixels) => Ok(StillSize { pixels }),
        None => Err(format!("allowed: {}, all", STILL_SIZES.map(name).join(", "))),
    }
}

/// Arguments of `forecast`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ForecastArguments {
    /// Models: files, or built-in names (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Print the forecast as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for forecast.png, forecast.svg and forecast.json [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// End with exit code 1 when the forecast of any model, with everything at its middle, is below this load in kN
    #[arg(long, value_name = "KN", value_parser = load)]
    pub at_least: Option<f64>,
}

/// Arguments of `explore`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ExploreArguments {
    /// The model to open with: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL", default_value = "broadbar-alu")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Port to listen on; 0 takes a free one
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub port: u16,
    /// Address to listen on. Any other than the default lets other machines use the page
    #[arg(long, value_name = "A", default_value = "127.0.0.1")]
    pub address: IpAddr,
    /// Show the page in a browser
    #[arg(long)]
    pub open: bool,
}

/// Arguments of `sweep`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct SweepArguments {
    /// The model: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// A key and its values; once or twice. A range with its number of points (nose.notch_depth_mm=2.5..9:40), a list
    /// (nose.notch_depth_mm=2,4,6) or words (rig.gate=closed,open); units as for --set. rig.both.KEY varies both ends
    #[arg(long, value_name = "KEY=VALUES", required = true, value_parser = key_and_value)]
    pub vary: Vec<(String, String)>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Folder for sweep.csv, sweep.json and the charts [default: pullmap-out/MODEL/sweep-KEY]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Size of the elements where they are small, mm, 0.1 to 5 [default: chosen for about 8,000 unknowns]
    #[arg(long, value_name = "MM", value_parser = mesh_size)]
    pub mesh_size: Option<f64>,
    /// Throw away whatever sweep the folder holds, and begin anew
    #[arg(long)]
    pub afresh: bool,
    /// Run more than 100,000 points
    #[arg(long)]
    pub yes: bool,
}

/// Arguments of `explain`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ExplainArguments {
    /// The model as told: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// Highest load of the pull: kN, or with a unit
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub broke_at: f64,
    /// Where it was found broken, such as lip, "nose pin", "hinge pin", gate, "nose root", spine, "upper corner"
    #[arg(long = "where", value_name = "PART", value_parser = place)]
    pub place: Option<Place>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Print the explanation as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for explain.png, explain.svg and explain.json [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `seats`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct SeatsArguments {
    /// The model: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Print what was found as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for seats.png, seats.svg and seats.json [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `verify`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct VerifyArguments {
    /// Print the results as JSON, and write no file
    #[arg(long)]
    pub json: bool,
    /// Folder for verification.html
    #[arg(long, value_name = "DIR", default_value = "pullmap-out")]
    pub out: PathBuf,
}

/// What the colours of a map show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Field {
    /// Equivalent stress: what yield strength is compared with
    VonMises,
    /// Stress along the pull, tension and compression apart
    PullDirection,
    /// The larger principal stress by size, with its sign
    Principal,
    /// Lines along the principal directions, as thick as the force they carry
    Threads,
}

fn key_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((key, value)) if !key.trim().is_empty() && !value.trim().is_empty() => {
            Ok((key.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err("allowed: KEY=VALUE, such as nose.tip_mm=14".to_owned()),
    }
}

/// Largest load that can be asked for, kN: as for the keys of a model.
const MOST_KN: f64 = 1000.0;

fn load(text: &str) -> Result<f64, String> {
    let kn = match text.trim().parse::<f64>() {
        Ok(kn) => kn,
        Err(_) => parse(text, Dimension::Force).map_err(|error| error.to_string())?,
    };
    if kn > 0.0 && kn <= MOST_KN {
        return Ok(kn);
    }
    Err(format!("found {} kN; allowed: above 0, up to {} kN", plain(kn), plain(MOST_KN)))
}

/// Smallest and largest element size that can be asked for, mm: below, a connector has millions of unknowns; above,
/// no element fits into a notch.
const MESH_SIZE_MM: [f64; 2] = [0.1, 5.0];

fn mesh_size(text: &str) -> Result<f64, String> {
    let size = match text.trim().parse::<f64>() {
        Ok(size) => size,
        Err(_) => parse(text, Dimension::Length).map_err(|error| error.to_string())?,
    };
    let [low, high] = MESH_SIZE_MM;
    if (low..=high).contains(&size) {
        return Ok(size);
    }
    Err(format!("found {} mm; allowed: {} to {} mm", plain(size), plain(low), plain(high)))
}

/// Smallest and largest accuracy that can be asked for, percent: below, no mesh within the budget would do; above, none
/// would be refined.
const ACCURACY_PERCENT: [f64; 2] = [0.1, 20.0];

/// A percentage, as a part of one.
fn accuracy(text: &str) -> Result<f64, String> {
    let [low, high] = ACCURACY_PERCENT;
    let number = text.trim().strip_suffix('%').unwrap_or(text).trim();
    match number.parse::<f64>() {
        Ok(percent) if (low..=high).contains(&percent) => Ok(0.01 * percent),
        _ => Err(format!("allowed: {} % to {} %, such as 2%", plain(low), plain(high))),
    }
}

/// Largest enlargement of displacements: beyond, the drawing of any loaded connector leaves the page.
const MOST_ENLARGED: f64 = 10_000.0;

fn enlargement(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(times) if times > 0.0 && times <= MOST_ENLARGED => Ok(times),
        _ => Err(format!("allowed: a number above 0, up to {}", plain(MOST_ENLARGED))),
    }
}

fn vtu_file(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    match path.extension() {
        Some(extension) if extension == "vtu" => Ok(path),
        _ => Err("allowed: a file name that ends in .vtu".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

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
                    --field threads --fields f.vtu --mesh-size 0.6 --timing --show-shape 40 --accuracy 2%";
        let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
        let map = map(&line);
        assert_eq!(map.models, ["oval", "a.toml"]);
        assert_eq!(map.change.set[1], ("rig.both.offset_mm".to_owned(), "-3".to_owned()));
        assert_eq!((map.json, map.timing, map.field), (true, true, Field::Threads));
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
        assert_eq!((sweep.afresh, sweep.yes, sweep.out), (false, false, None));
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
