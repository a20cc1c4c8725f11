//! Integrals by adaptive Gauss-Kronrod quadrature, 7 and 15 points (nodes and weights: QUADPACK, Piessens and others 1983).

/// Nodes of the 15 points on the right half, from the outermost in, and the middle.
const NODES: [f64; 8] = [
    0.991_455_371_120_812_6,
    0.949_107_912_342_758_5,
    0.864_864_423_359_769_1,
    0.741_531_185_599_394_4,
    0.586_087_235_467_691_1,
    0.405_845_151_377_397_2,
    0.207_784_955_007_898_47,
    0.0,
];
/// Weights of all 15.
const OF_15: [f64; 8] = [
    0.022_935_322_010_529_224,
    0.063_092_092_629_978_55,
    0.104_790_010_322_250_18,
    0.140_653_259_715_525_92,
    0.169_004_726_639_267_9,
    0.190_350_578_064_785_4,
    0.204_432_940_075_298_89,
    0.209_482_141_084_727_82,
];
/// Weights of the 7, which are every second node.
const OF_7: [f64; 4] =
    [0.129_484_966_168_869_7, 0.279_705_391_489_276_64, 0.381_830_050_505_118_9, 0.417_959_183_673_469_4];

/// Pieces are divided until the error is below this part of the whole ...
const RELATIVE: f64 = 1e-13;
/// ... or there are so many.
const MOST_PIECES: usize = 400;

struct Piece {
    from: f64,
    to: f64,
    value: f64,
    error: f64,
}

impl Piece {
    fn new(f: &impl Fn(f64) -> f64, from: f64, to: f64) -> Self {
        let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
        let at_middle = f(middle);
        let (mut fine, mut coarse) = (OF_15[7] * at_middle, OF_7[3] * at_middle);
        for (i, node) in NODES[..7].iter().enumerate() {
            let both = f(middle - half * node) + f(middle + half * node);
            fine += OF_15[i] * both;
            if i % 2 == 1 {
                coarse += OF_7[i / 2] * both;
            }
        }
        Self { from, to, value: half * fine, error: (half * (fine - coarse)).abs() }
    }
}

/// The integral of a function over pieces that join at rising points, each divided further where it is needed.
pub(super) fn integral(f: impl Fn(f64) -> f64, points: &[f64]) -> f64 {
    let mut pieces: Vec<Piece> =
        points.windows(2).filter(|p| p[0] < p[1]).map(|p| Piece::new(&f, p[0], p[1])).collect();
    loop {
        let whole: f64 = pieces.iter().map(|piece| piece.value).sum();
        let error: f64 = pieces.iter().map(|piece| piece.error).sum();
        let worst = (0..pieces.len()).max_by(|a, b| pieces[*a].error.total_cmp(&pieces[*b].error));
        let Some(worst) = worst.filter(|_| error > RELATIVE * whole.abs() && pieces.len() < MOST_PIECES)
        else {
            return whole;
        };
        let Piece { from, to, .. } = pieces[worst];
        let middle = 0.5 * (from + to);
        pieces[worst] = Piece::new(&f, from, middle);
        pieces.insert(worst + 1, Piece::new(&f, middle, to));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn known_integrals_are_met() {
        assert!((integral(|x| x.powi(12), &[0.0, 2.0]) - 8192.0 / 13.0).abs() < 1e-11);
        assert!((integral(f64::sin, &[0.0, 1.0, PI]) - 2.0).abs() < 1e-14);
        // A narrow peak that the first points miss all but its foot of.
        let peak = |x: f64| (-0.5 * ((x - 0.3) / 1e-3).powi(2)).exp();
        let area = integral(peak, &[0.0, 0.3, 1.0]);
        assert!((area / (1e-3 * (2.0 * PI).sqrt()) - 1.0).abs() < 1e-12, "{area}");
        assert!((integral(|x| (x - 0.2).abs(), &[0.0, 1.0]) - 0.34).abs() < 1e-12);
        assert_eq!(integral(|_| 1.0, &[3.0]), 0.0);
    }
}
