//! Forecasts that were made before their pulls, held against what the pulls gave.

use crate::logbook::{Beside, Pull};
use crate::statistics::{Moments, Share, mean_interval};

/// Peaks over the middles of their forecasts, of pulls that broke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bias {
    /// How many.
    pub count: usize,
    /// Geometric mean of peak over forecast.
    pub mean: f64,
    /// From where to where it lies with 95 % confidence, by Student's t of the logarithms; none of fewer than two, or of equal ones.
    pub interval: Option<[f64; 2]>,
    /// Standard deviation, n - 1, of the logarithms: near it, of peaks over forecasts. None of fewer than two.
    pub spread: Option<f64>,
}

/// What forecasts are worth by the pulls that followed them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scores {
    /// Numbers of the pulls that count, with a forecast and a result whose outcome was told.
    pub counted: Vec<i64>,
    /// How many different inputs were forecast: pulls of one model share theirs.
    pub inputs: usize,
    /// Numbers of those whose forecast was made with a calibration.
    pub calibrated: Vec<i64>,
    /// Numbers of those whose forecast came with a package: blind by its word alone.
    pub taken_in: Vec<i64>,
    /// Numbers of those that have a forecast and a result whose outcome was not told.
    pub untold: Vec<i64>,
    /// Numbers of those that are told to be older than their forecast: so told, it was not blind, and does not count.
    pub not_blind: Vec<i64>,
    /// Numbers of those that ended without a break, not above their range: nothing follows of them.
    pub ended: Vec<i64>,
    /// Numbers of those that ended without a break above their range: they hold more than was forecast, how much more is not known.
    pub ended_above: Vec<i64>,
    /// Peaks over forecasts; none where no pull broke.
    pub bias: Option<Bias>,
    /// Peaks within the range of 90 %, of all that broke: of others only those above it would be known to be outside.
    pub within: Option<Share>,
    /// How many lie below the range, and above it.
    pub outside: [usize; 2],
    /// How often the part that was to fail first is that which was found broken, where a place was told.
    pub place: Option<Share>,
}

impl Scores {
    /// Holds them against each other. `is_at`: whether what was forecast to fail first is at the place that was found.
    #[must_use]
    pub fn of(pulls: &[Pull], is_at: &dyn Fn(&str, &str) -> bool) -> Self {
        let mut scores = Self::default();
        let (mut ratios, mut inputs) = (Vec::new(), std::collections::BTreeSet::new());
        let (mut within, mut places) = ([0, 0], [0, 0]);
        for pull in pulls {
            let (Some((forecast, at)), Some(kn)) = (&pull.forecast, pull.peak_kn()) else { continue };
            let Some(broke) = pull.broke() else {
                scores.untold.push(pull.number);
                continue;
            };
            if pull.is_dated_before_forecast() {
                scores.not_blind.push(pull.number);
                continue;
            }
            if forecast.p50_kn <= 0.0 {
                continue;
            }
            scores.counted.push(pull.number);
            inputs.insert(forecast.inputs.as_str());
            if forecast.calibration.is_some() {
                scores.calibrated.push(pull.number);
            }
            if at.taken_in.is_some() {
                scores.taken_in.push(pull.number);
            }
            let beside = pull.beside_forecast();
            if !broke {
                let ended =
                    if beside == Some(Beside::Above) { &mut scores.ended_above } else { &mut scores.ended };
                ended.push(pull.number);
                continue;
            }
            match beside {
                Some(Beside::Below) => scores.outside[0] += 1,
                Some(Beside::Above) => scores.outside[1] += 1,
                _ => within[0] += 1,
            }
            within[1] += 1;
            ratios.push((kn / forecast.p50_kn).ln());
            if let Some(place) = pull.now.pulled.as_ref().and_then(|pulled| pulled.place.as_deref()) {
                places[0] += usize::from(is_at(&forecast.first, place));
                places[1] += 1;
            }
        }
        scores.inputs = inputs.len();
        scores.within = Share::new(within[0], within[1]);
        scores.place = Share::new(places[0], places[1]);
        scores.bias = Moments::of(&ratios).map(|moments| Bias {
            count: moments.count,
            mean: moments.mean.exp(),
            interval: mean_interval(&moments).map(|ends| ends.map(f64::exp)),
            spread: moments.sd,
        });
        scores
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::logbook::record::{fill, untold};
    use crate::logbook::{Field, Forecast, Record, Recorded};

    fn pull(number: i64, kn: f64, outcome: Option<&str>, place: Option<&str>) -> Pull {
        let mut now = Record { pulled: Some(untold()), ..Record::default() };
        let text = |value: &str| Some(value.to_owned());
        let values = [
            (Field::Sample, text("bar")),
            (Field::PulledOn, text("2026-03-02")),
            (Field::Peak, Some(format!("{kn}"))),
            (Field::Outcome, outcome.map(str::to_owned)),
            (Field::Place, place.map(str::to_owned)),
        ];
        fill(&mut now, values).unwrap();
        let at = |seq| Recorded { seq, at: "2026-03-02T10:00:00Z".to_owned(), taken_in: None };
        let forecast = Forecast {
            p5_kn: 18.0,
            p50_kn: 20.0,
            p95_kn: 22.0,
            first: "frame".to_owned(),
            program: "1".to_owned(),
            calibration: None,
            inputs: "a".to_owned(),
        };
        Pull {
            number,
            uid: String::new(),
            planned: at(1),
            done: Some(at(3)),
            forecast: Some((forecast, at(2))),
            first: now.clone(),
            now,
            amendments: Vec::new(),
            withdrawn: None,
        }
    }

    #[test]
    fn pulls_are_scored_by_what_they_say() {
        let mut unplanned = pull(9, 20.0, Some("broke"), None);
        unplanned.forecast = None;
        let pulls = [
            pull(1, 19.0, Some("broke"), Some("frame")),
            pull(2, 21.0, Some("opened"), Some("lip")),
            pull(3, 17.0, Some("broke"), None),
            pull(4, 23.0, Some("strap broke"), None),
            pull(5, 19.0, Some("strap broke"), Some("strap")),
            pull(6, 19.0, None, None),
            unplanned,
            {
                let mut old = pull(10, 19.0, Some("broke"), None);
                old.now.set(Field::PulledOn, Some("2026-02-01")).unwrap();
                old
            },
        ];
        let found = Scores::of(&pulls, &|first, place| first == place);
        assert_eq!(
            (&found.counted[..], &found.untold[..], &found.ended[..]),
            (&[1, 2, 3, 4, 5][..], &[6][..], &[5][..])
        );
        assert_eq!((&found.ended_above[..], &found.not_blind[..]), (&[4][..], &[10][..]));
        assert_eq!((found.inputs, found.outside), (1, [1, 0]));
        assert_eq!(found.within, Share::new(2, 3));
        assert_eq!(found.place, Share::new(1, 2));
        let bias = found.bias.unwrap();
        let logs = [19.0_f64, 21.0, 17.0].map(|kn| (kn / 20.0).ln());
        let mean = logs.iter().sum::<f64>() / 3.0;
        let sd = (logs.iter().map(|l| (l - mean).powi(2)).sum::<f64>() / 2.0).sqrt();
        assert!((bias.mean - mean.exp()).abs() < 1e-12 && (bias.spread.unwrap() - sd).abs() < 1e-12);
        // Student's t for 97.5 % with two degrees of freedom: 4.302653 (its closed form, 0.95 sqrt(2 / (1 - 0.95^2))).
        let t = 0.95 * (2.0 / (1.0 - 0.95_f64 * 0.95)).sqrt();
        let [low, high] = bias.interval.unwrap();
        let half = t * sd / 3.0_f64.sqrt();
        assert!((low.ln() - (mean - half)).abs() < 1e-9 && (high.ln() - (mean + half)).abs() < 1e-9);
        assert_eq!(Scores::of(&pulls[5..], &|_, _| true).bias, None);
    }
}
