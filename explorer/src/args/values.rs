//! Single values as they are typed: what each may be, and the words for what it may not.

use super::still_size::StillSize;
use report::numbers::plain;
use report::quantities::{mistake, range_in_words, with_unit};
use std::path::PathBuf;
use study::model::quantity::{Dimension, parse};

pub(super) fn key_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((key, value)) if !key.trim().is_empty() && !value.trim().is_empty() => {
            Ok((key.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err("allowed: KEY=VALUE, such as nose.tip_mm=14".to_owned()),
    }
}

/// Smallest and largest load that can be asked for, kN: as for the load of a rig.
pub const LOADS_KN: [f64; 2] = [0.01, 1000.0];

/// A value within a range, or the words for one that is not.
fn within(value: f64, range: [f64; 2], dimension: Dimension) -> Result<f64, String> {
    if (range[0]..=range[1]).contains(&value) {
        return Ok(value);
    }
    Err(format!("found {}; allowed: {}", with_unit(value, dimension), range_in_words(range, dimension)))
}

pub(super) fn load(text: &str) -> Result<f64, String> {
    let kn = match text.trim().parse::<f64>() {
        Ok(kn) => kn,
        Err(_) => parse(text, Dimension::Force).map_err(|error| mistake(&error))?,
    };
    within(kn, LOADS_KN, Dimension::Force)
}

/// Smallest and largest element size that can be asked for, mm: below, a connector has millions of unknowns; above,
/// no element fits into a notch.
const MESH_SIZE_MM: [f64; 2] = [0.1, 5.0];

pub(super) fn mesh_size(text: &str) -> Result<f64, String> {
    let size = match text.trim().parse::<f64>() {
        Ok(size) => size,
        Err(_) => parse(text, Dimension::Length).map_err(|error| mistake(&error))?,
    };
    within(size, MESH_SIZE_MM, Dimension::Length)
}

/// Smallest and largest accuracy that can be asked for, percent: below, no mesh within the budget would do; above, none
/// would be refined.
const ACCURACY_PERCENT: [f64; 2] = [0.1, 20.0];

/// A percentage, as a part of one.
pub(super) fn accuracy(text: &str) -> Result<f64, String> {
    let [low, high] = ACCURACY_PERCENT;
    let number = text.trim().strip_suffix('%').unwrap_or(text).trim();
    match number.parse::<f64>() {
        Ok(percent) if (low..=high).contains(&percent) => Ok(0.01 * percent),
        _ if number.contains(',') => {
            Err(format!("found {text} with a comma; allowed: a decimal point, such as 0.5%"))
        }
        _ => Err(format!("found {text}; allowed: {} to {} %, such as 2%", plain(low), plain(high))),
    }
}

/// Smallest and largest enlargement of displacements: below, nothing is seen; beyond, the drawing of any loaded connector
/// leaves the page.
const ENLARGED: [f64; 2] = [0.01, 10_000.0];

pub(super) fn enlargement(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(times) => within(times, ENLARGED, Dimension::Ratio),
        Err(_) => Err(format!("found {text}; allowed: {}", range_in_words(ENLARGED, Dimension::Ratio))),
    }
}

pub(super) fn vtu_file(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    match path.extension() {
        Some(extension) if extension == "vtu" => Ok(path),
        _ => Err("allowed: a file name that ends in .vtu".to_owned()),
    }
}

/// Sizes that a layout is made for.
const STILL_SIZES: [[u32; 2]; 6] =
    [[1920, 1080], [1080, 1920], [1080, 1080], [3840, 2160], [2160, 3840], [2160, 2160]];

pub(super) fn still_size(text: &str) -> Result<StillSize, String> {
    if text == "all" {
        return Ok(StillSize { pixels: [0, 0] });
    }
    let name = |[w, h]: [u32; 2]| format!("{w}x{h}");
    match STILL_SIZES.into_iter().find(|size| name(*size) == text) {
        Some(pixels) => Ok(StillSize { pixels }),
        None => Err(format!("allowed: {}, all", STILL_SIZES.map(name).join(", "))),
    }
}
