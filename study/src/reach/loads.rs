//! What pulls: the sizes of straps and bars that are tried, at both ends alike, and the pair that the model has.

use solver::rig::{DEFAULT_STRAP_STIFFNESS, Loader, Rig};

/// Widths of straps, mm: webbing as it is sold (common practice, no source).
pub const STRAP_WIDTHS_MM: [f64; 7] = [8.0, 12.0, 16.0, 20.0, 25.0, 30.0, 40.0];
/// Diameters of bars, mm: as thick as those of many a bench (common practice, no source).
pub const BAR_DIAMETERS_MM: [f64; 2] = [10.0, 12.0];

/// What pulls up and what pulls down; where each lies plays no part.
pub type Pair = [Loader; 2];

/// A strap of a width in the place of what pulls at an end: as stiff and strong per width as the strap there, or as usual beside a
/// bar. The very one that the keys `kind` and `width_mm` of that end would make.
fn strap(instead_of: Loader, width_mm: f64) -> Loader {
    match instead_of {
        Loader::Strap { offset_mm, stiffness_n_per_mm2, strength_kn, .. } => {
            Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2, strength_kn }
        }
        Loader::Bar { offset_mm, .. } => Loader::Strap {
            width_mm,
            offset_mm,
            stiffness_n_per_mm2: DEFAULT_STRAP_STIFFNESS,
            strength_kn: None,
        },
    }
}

/// Every pair that is tried, straps from narrow to wide, then bars, then the model's own where it is another.
pub(super) fn pairs(rig: &Rig) -> Vec<Pair> {
    let own = [rig.upper, rig.lower];
    let straps = STRAP_WIDTHS_MM.map(|width_mm| own.map(|end| strap(end, width_mm)));
    let bars = BAR_DIAMETERS_MM
        .map(|diameter_mm| own.map(|end| Loader::Bar { diameter_mm, offset_mm: end.offset_mm() }));
    let mut all: Vec<Pair> = straps.into_iter().chain(bars).collect();
    if !all.contains(&own) {
        all.push(own);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_models_own_pair_is_there_once() {
        let rig = Rig::example();
        assert_eq!(pairs(&rig).len(), 9);
        let bar = Loader::Bar { diameter_mm: 12.0, offset_mm: 1.0 };
        let mixed = Rig { lower: bar, ..rig };
        let all = pairs(&mixed);
        assert_eq!(all.last(), Some(&[rig.upper, bar]));
        // A strap beside a bar is as stiff as usual; a bar stays where the strap lay.
        assert!(all.contains(&[
            Loader::Bar { diameter_mm: 10.0, offset_mm: 0.0 },
            Loader::Bar { diameter_mm: 10.0, offset_mm: 1.0 }
        ]));
    }
}
