//! Constants that are known, pulls drawn with them, and whether a calibration finds them again.

use super::*;
use crate::model::Source;
use crate::unknowns::BEYOND;
use crate::{Engine, Watch};
use rayon::prelude::*;
use solver::forecast::{Counter, normal_quantile};
use solver::system::SystemSettings;

/// A model of the demonstration in a rig.
fn setup(name: &str, sets: &[(&str, &str)]) -> Setup {
    let path = format!("{}/../models/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let sets: Vec<(String, String)> =
        sets.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
    let model = Source::of(name, &std::fs::read_to_string(path).unwrap()).model(&sets).unwrap();
    let mesh = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
    Setup::solve(&Engine::default(), &model, Vec::new(), &mesh, &Watch::quiet()).unwrap()
}

/// Even random numbers, one after the other.
struct Numbers(Counter, u32, u32);

impl Numbers {
    fn even(&mut self) -> f64 {
        self.2 += 1;
        self.0.even(self.1, self.2)
    }
}

/// Pulls of a setup under constants: as a bench would see them, slips, breaks found elsewhere and straps that break first among them.
fn pulls(setup: &Setup, constants: &[f64], count: usize, numbers: &mut Numbers) -> Vec<Observed> {
    let ends = setup.ends(constants);
    let usual = setup
        .ends(&Constant::ALL.iter().map(|of| of.scaled(Constants::default().get(*of))).collect::<Vec<_>>())
        [0]
    .1;
    (0..count)
        .map(|number| {
            let (part, ln) = ends[(numbers.even() * ends.len() as f64) as usize];
            let slips = numbers.even() < SLIPS;
            let ln = if slips {
                ln + (2.0 * numbers.even() - 1.0) * 5.0_f64.ln()
            } else {
                ln + BEYOND * normal_quantile(numbers.even())
            };
            let elsewhere = numbers.even() < ELSEWHERE;
            let place = solver::causes::Place::ALL
                .iter()
                .copied()
                .find(|place| place.may_show(setup.parts()[part]) != elsewhere);
            // Every fourth hangs in a strap that breaks at about what is forecast.
            let strap = if number % 4 == 3 { usual + 0.3 * (numbers.even() - 0.5) } else { f64::INFINITY };
            let stopped = strap < ln;
            Observed {
                number: i64::try_from(number).unwrap(),
                peak_kn: ln.min(strap).exp(),
                is_limit: !stopped,
                place: place.filter(|_| !stopped && number % 2 == 0 && !slips),
            }
        })
        .collect()
}

/// The mean logarithm of how likely constants make pulls.
fn score(setup: &Setup, constants: &[Vec<f64>], pulls: &[Observed]) -> f64 {
    let at: Vec<Vec<f64>> = constants
        .par_iter()
        .map(|constants| {
            let ends = setup.ends(constants);
            pulls.iter().map(|pull| setup.expected(pull, &ends).likelihood).collect()
        })
        .collect();
    let each = (0..pulls.len()).map(|pull| {
        let mean = at.iter().map(|at| at[pull]).sum::<f64>() / at.len() as f64;
        mean.ln()
    });
    each.sum::<f64>() / pulls.len() as f64
}

#[test]
fn two_hundred_drawn_logbooks_give_their_constants_back_and_forecast_better() {
    let mut setups =
        [setup("broadbar-alu", &[]), setup("broadbar-alu", &[("rig.gate", "open")]), setup("pear", &[])];
    let laws = prior();
    let (mut within, mut better, mut gains) = ([0; 6], 0, 0.0);
    let logbooks = 200;
    for logbook in 0..logbooks {
        let mut numbers = Numbers(Counter::new(77), logbook, 0);
        // Evenly over what is believed before, each constant in an order of its own.
        let even = |apart: u32, numbers: &mut Numbers| {
            (f64::from(logbook * apart % logbooks) + numbers.even()) / f64::from(logbooks)
        };
        let truth: Vec<f64> = laws
            .iter()
            .zip([71, 113, 29, 157, 43, 181])
            .map(|(law, apart)| law.value(even(apart, &mut numbers)))
            .collect();
        let mut unseen = Vec::new();
        for setup in &mut setups {
            setup.pulls = pulls(setup, &truth, 4, &mut numbers);
            unseen.push(pulls(setup, &truth, 3, &mut numbers));
        }
        let found = solve(&setups, 400);
        for (index, of) in Constant::ALL.iter().enumerate() {
            let [low, high] = [0.05, 0.95].map(|p| found.calibration.quantile(*of, p));
            within[index] += u32::from((low..=high).contains(&of.value(truth[index])));
        }
        let scaled = |draw: &Constants| Constant::ALL.iter().map(|of| of.scaled(draw.get(*of))).collect();
        let after: Vec<Vec<f64>> = found.calibration.draws.iter().map(scaled).collect();
        let before = held_out::as_assumed();
        let gain: f64 =
            setups.iter().zip(&unseen).map(|(s, u)| score(s, &after, u) - score(s, &before, u)).sum();
        gains += gain / 3.0;
        better += u32::from(gain > 0.0);
    }
    println!("of {logbooks}: within {within:?}, better {better}, mean gain {}", gains / f64::from(logbooks));
    for (of, within) in Constant::ALL.iter().zip(within) {
        let part = f64::from(within) / f64::from(logbooks);
        assert!((0.85..=0.95).contains(&part), "{of:?}: {part}");
    }
    assert!(gains / f64::from(logbooks) > 0.3 && better > logbooks * 4 / 5, "{gains} {better}");
}
