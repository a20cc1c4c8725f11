//! The largest load that the frame can hold, whatever the gate carries: the static limit of a frame that is once
//! redundant.
//!
//! One hinge does not let a closed frame go: the gate then takes more of what follows. The frame holds a load as long as
//! some force of the gate, between nothing and what the gate line holds, keeps every cut inside its section limit. All such
//! pairs of load and gate force form a convex set about the origin; its farthest load is found along rays of fixed share.
//!
//! Left out: how far the frame must bend before the gate has taken over, and what large bending does to the arms.

use crate::sections::SectionLimit;

/// Largest share of the gate that is looked at: beyond it the gate would pull several times the load.
const LARGEST_SHARE: f64 = 3.0;
/// A share so little aside from the best one, as a part of it, that no third cut comes in.
const ASIDE: f64 = 0.005;
/// Steps of the golden-section search: shares to 1e-9.
const STEPS: usize = 45;

/// What a frame can hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameLimit {
    /// The load, N.
    pub load_n: f64,
    /// The gate's pull at that load, N.
    pub gate_n: f64,
    /// Index of the cut that is at its limit: where two are, either ([`FrameStatics::first_there`] tells which was first).
    pub cut: usize,
}

/// The frame under load and gate, cut by cut, in the order of the cuts.
#[derive(Clone, Debug)]
pub struct FrameStatics<'a> {
    /// Section limits.
    pub sections: Vec<&'a SectionLimit>,
    /// Axial force and moment per N of load.
    pub load: Vec<[f64; 2]>,
    /// Axial force and moment per N of the gate's pull.
    pub gate: Vec<[f64; 2]>,
}

impl FrameStatics<'_> {
    /// Largest load at a fixed share of the gate, N, and the cut that ends it.
    #[must_use]
    pub fn at_share(&self, share: f64, strength_mpa: f64) -> (f64, usize) {
        let mut least = (f64::INFINITY, 0);
        for (i, ((section, load), gate)) in self.sections.iter().zip(&self.load).zip(&self.gate).enumerate() {
            let factor = section.factor(load[0] + share * gate[0], load[1] + share * gate[1], strength_mpa);
            if factor < least.0 {
                least = (factor, i);
            }
        }
        least
    }

    /// The frame limit with a gate line that holds `gate_capacity_n`; zero for an open hook.
    #[must_use]
    pub fn limit(&self, gate_capacity_n: f64, strength_mpa: f64) -> FrameLimit {
        let (load_n, cut) = self.at_share(0.0, strength_mpa);
        let mut best = FrameLimit { load_n, gate_n: 0.0, cut };
        if gate_capacity_n <= 0.0 {
            return best;
        }
        let mut look = |share: f64| {
            let (by_frame, cut) = self.at_share(share, strength_mpa);
            let load_n = by_frame.min(gate_capacity_n / share);
            if load_n > best.load_n {
                best = FrameLimit { load_n, gate_n: share * load_n, cut };
            }
            load_n
        };
        // The load rises with the share up to its largest and then falls: keep the better two thirds.
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        let (mut low, mut high) = (0.0, LARGEST_SHARE);
        let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
        let (mut at_a, mut at_b) = (look(a), look(b));
        for _ in 0..STEPS {
            if at_a < at_b {
                (low, a, at_a) = (a, b, at_b);
                b = low + golden * (high - low);
                at_b = look(b);
            } else {
                (high, b, at_b) = (b, a, at_a);
                a = high - golden * (high - low);
                at_a = look(a);
            }
        }
        best
    }

    /// The same limit with the cut that is at its limit first, where two are and neither lets the frame go alone: the one that
    /// governs on the side of `elastic_share`, which the gate carries while nothing yields. It has turned most when the other
    /// follows. Which of the two the search meets is rounding.
    #[must_use]
    pub fn first_there(&self, limit: FrameLimit, elastic_share: f64, strength_mpa: f64) -> FrameLimit {
        let share = limit.gate_n / limit.load_n;
        if limit.gate_n <= 0.0 || !share.is_finite() {
            return limit;
        }
        let toward = if elastic_share < share { 1.0 - ASIDE } else { 1.0 + ASIDE };
        FrameLimit { cut: self.at_share(toward * share, strength_mpa).1, ..limit }
    }

    /// The other cut that is at its limit, where two are and neither lets the frame go alone.
    #[must_use]
    pub fn second_there(&self, limit: FrameLimit, strength_mpa: f64) -> Option<usize> {
        let share = limit.gate_n / limit.load_n;
        if limit.gate_n <= 0.0 || !share.is_finite() {
            return None;
        }
        let aside = [1.0 - ASIDE, 1.0 + ASIDE].map(|toward| self.at_share(toward * share, strength_mpa));
        // Where the gate line ends the load, one cut governs on both sides and the other is that cut again.
        aside.into_iter().map(|(_, cut)| cut).find(|cut| *cut != limit.cut)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_propped_cantilever_bears_more_than_its_first_hinge() {
        // Rectangle 10 x 10, strength 400: Mp = 100 000 N mm. A cantilever of 200 mm, loaded at 100 mm and propped at its
        // end, no axial force. Moments: at the wall 100 F - 200 R, under the load -100 R. Two hinges: R = Mp / 100,
        // F = 3 Mp / 100 = 3000 N. Elastic, R = 5/16 F and the wall yields through at F = 100 000 / 37.5 = 2667 N.
        let section = SectionLimit::rectangle(10.0, 10.0);
        let statics = FrameStatics {
            sections: vec![&section, &section],
            load: vec![[0.0, 100.0], [0.0, 0.0]],
            gate: vec![[0.0, -200.0], [0.0, -100.0]],
        };
        let limit = statics.limit(f64::INFINITY, 400.0);
        assert!((limit.load_n / 3000.0 - 1.0).abs() < 1e-3, "{limit:?}");
        assert!((limit.gate_n / 1000.0 - 1.0).abs() < 2e-3, "{limit:?}");
        // Elastic, the prop takes 5/16 of the load and the wall is at its limit first, 3/16 F l against 5/32; had the prop taken
        // more than the third that it holds in the end, the place under the load would be.
        assert_eq!(statics.first_there(limit, 5.0 / 16.0, 400.0).cut, 0);
        assert_eq!(statics.first_there(limit, 0.4, 400.0).cut, 1);
        for [first, second] in [[0, 1], [1, 0]] {
            assert_eq!(statics.second_there(FrameLimit { cut: first, ..limit }, 400.0), Some(second));
        }
        // A prop that holds 500 N only: the wall is at its limit at F = (100 000 + 200 * 500) / 100.
        let weak = statics.limit(500.0, 400.0);
        assert!((weak.load_n / 2000.0 - 1.0).abs() < 1e-3 && weak.cut == 0, "{weak:?}");
        assert_eq!(statics.second_there(weak, 400.0), None);
        // No prop at all.
        let open = statics.limit(0.0, 400.0);
        assert!((open.load_n / 1000.0 - 1.0).abs() < 1e-3 && open.gate_n == 0.0, "{open:?}");
    }
}
