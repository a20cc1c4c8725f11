//! Quantiles of draws.

/// The value below which lies the part `p` of rising values, 0 to 1, straight between two of them; not a number where there is none.
pub(super) fn quantile(rising: &[f64], p: f64) -> f64 {
    let Some(last) = rising.len().checked_sub(1) else { return f64::NAN };
    let place = p.clamp(0.0, 1.0) * last as f64;
    let (below, above) = (place.floor() as usize, place.ceil() as usize);
    let part = place - place.floor();
    (1.0 - part) * rising[below] + part * rising[above]
}
