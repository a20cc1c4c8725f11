//! One scale for several connectors.

use crate::layout::bounds;
use crate::stress_map::StressMap;

/// Smallest box around frame and gate, mm.
pub(crate) fn extent(map: &StressMap<'_>) -> [[f64; 2]; 2] {
    bounds(map.frame.outline.iter().chain(&map.gate.outline).flatten())
}

/// The largest scale, page units per mm, at which every connector fits a box of this size.
pub(crate) fn common_scale(maps: &[&StressMap<'_>], size: [f64; 2]) -> f64 {
    maps.iter()
        .map(|map| {
            let [low, high] = extent(map);
            (size[0] / (high[0] - low[0])).min(size[1] / (high[1] - low[1]))
        })
        .fold(f64::INFINITY, f64::min)
}
