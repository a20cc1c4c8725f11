//! Single values as they are typed, and what each may be.

use super::still_size::StillSize;
use report::program::options::{Refusal, size};
use std::path::PathBuf;
use study::model::keys;
use study::model::quantity::{Dimension, parse};

pub(super) fn key_and_value(text: &str) -> Result<(String, String), Refusal> {
    match text.split_once('=') {
        Some((key, value)) if !key.trim().is_empty() && !value.trim().is_empty() => {
            Ok((key.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err(Refusal::NoPair),
    }
}

/// Smallest and largest load that can be asked for, kN: as for the load of a rig.
pub fn loads_kn() -> [f64; 2] {
    keys::find("rig.load_kn").and_then(|key| key.kind.range()).unwrap_or([0.0, f64::INFINITY])
}

/// A value within a range.
fn within(found: f64, allowed: [f64; 2], dimension: Dimension) -> Result<f64, Refusal> {
    if (allowed[0]..=allowed[1]).contains(&found) {
        return Ok(found);
    }
    Err(Refusal::Outside { found, allowed, dimension })
}

/// A load, kN or with its unit, within those that can be asked for.
///
/// # Errors
/// It is none.
pub fn load(text: &str) -> Result<f64, Refusal> {
    let kn = match text.trim().parse::<f64>() {
        Ok(kn) => kn,
        Err(_) => parse(text, Dimension::Force).map_err(Refusal::NoQuantity)?,
    };
    within(kn, loads_kn(), Dimension::Force)
}

/// Smallest and largest element size that can be asked for, mm: below, a connector has millions of unknowns; above,
/// no element fits into a notch.
const MESH_SIZE_MM: [f64; 2] = [0.1, 5.0];

/// The same where no option asks for it.
pub fn mesh_sizes_mm() -> [f64; 2] {
    MESH_SIZE_MM
}

pub(super) fn mesh_size(text: &str) -> Result<f64, Refusal> {
    let size = match text.trim().parse::<f64>() {
        Ok(size) => size,
        Err(_) => parse(text, Dimension::Length).map_err(Refusal::NoQuantity)?,
    };
    within(size, MESH_SIZE_MM, Dimension::Length)
}

/// Fewest and most steps of a pull that can be asked for: with fewer its marks lie too far apart; each is kept whole, about a
/// megabyte, and a pull may take several times as many.
const STEPS: [f64; 2] = [20.0, 240.0];

/// The same where no option asks for it.
pub fn pull_steps() -> [f64; 2] {
    STEPS
}

pub(super) fn steps(text: &str) -> Result<u32, Refusal> {
    match text.trim().parse::<u32>() {
        Ok(steps) => within(f64::from(steps), STEPS, Dimension::Ratio).map(|_| steps),
        Err(_) => Err(Refusal::NoNumber { found: text.to_owned(), allowed: STEPS }),
    }
}

/// Smallest and largest permanent stretch that can be asked for, mm: below, nobody can measure it; above, it is no connector any more.
const SET_FOUND_MM: [f64; 2] = [0.001, 100.0];

pub(super) fn set_found(text: &str) -> Result<f64, Refusal> {
    let mm = match text.trim().parse::<f64>() {
        Ok(mm) => mm,
        Err(_) => parse(text, Dimension::Length).map_err(Refusal::NoQuantity)?,
    };
    within(mm, SET_FOUND_MM, Dimension::Length)
}

/// Smallest and largest accuracy that can be asked for, percent: below, no mesh within the budget would do; above, none
/// would be refined.
const ACCURACY_PERCENT: [f64; 2] = [0.1, 20.0];

/// A percentage, as a part of one.
pub(super) fn accuracy(text: &str) -> Result<f64, Refusal> {
    let [low, high] = ACCURACY_PERCENT;
    let number = text.trim().strip_suffix('%').unwrap_or(text).trim();
    match number.parse::<f64>() {
        Ok(percent) if (low..=high).contains(&percent) => Ok(0.01 * percent),
        _ if number.contains(',') => Err(Refusal::Comma { found: text.to_owned() }),
        _ => Err(Refusal::NoPercentage { found: text.to_owned(), allowed: ACCURACY_PERCENT }),
    }
}

/// A part of one: as such, or in percent with its sign.
pub(super) fn part(text: &str, allowed: [f64; 2]) -> Result<f64, Refusal> {
    let trimmed = text.trim();
    let refuse = || Refusal::NoShare { found: text.to_owned(), allowed };
    let part = match trimmed.strip_suffix('%') {
        Some(percent) => 0.01 * percent.trim().parse::<f64>().map_err(|_| refuse())?,
        None => trimmed.parse::<f64>().map_err(|_| refuse())?,
    };
    let [low, high] = allowed;
    // A percentage that is a limit is one, whatever its hundredth part was rounded to.
    if (low - 1e-12..=high + 1e-12).contains(&part) { Ok(part) } else { Err(refuse()) }
}

/// Smallest and largest enlargement of displacements: below, nothing is seen; beyond, the drawing of any loaded connector
/// leaves the page.
const ENLARGED: [f64; 2] = [0.01, 10_000.0];

pub(super) fn enlargement(text: &str) -> Result<f64, Refusal> {
    match text.trim().parse::<f64>() {
        Ok(times) => within(times, ENLARGED, Dimension::Ratio),
        Err(_) => Err(Refusal::NoNumber { found: text.to_owned(), allowed: ENLARGED }),
    }
}

pub(super) fn vtu_file(text: &str) -> Result<PathBuf, Refusal> {
    let path = PathBuf::from(text);
    match path.extension() {
        Some(extension) if extension == "vtu" => Ok(path),
        _ => Err(Refusal::NoFieldsFile),
    }
}

/// Sizes that a layout is made for.
static STILL_SIZES: [[u32; 2]; 6] =
    [[1920, 1080], [1080, 1920], [1080, 1080], [3840, 2160], [2160, 3840], [2160, 2160]];

pub(super) fn still_size(text: &str) -> Result<StillSize, Refusal> {
    if text == "all" {
        return Ok(StillSize { pixels: [0, 0] });
    }
    match STILL_SIZES.into_iter().find(|pixels| size(*pixels) == text) {
        Some(pixels) => Ok(StillSize { pixels }),
        None => Err(Refusal::NoSize { allowed: &STILL_SIZES }),
    }
}
