//! Draws from what is believed after observations: a population that is led from the prior to it in steps.
//!
//! Each step raises the power to which the likelihood counts as far as half of the population still counts, draws the population anew
//! by its weights, and moves each of its members by differences of two others (C. ter Braak, "A Markov chain Monte Carlo version of the
//! genetic algorithm differential evolution", 2006; P. Del Moral, A. Doucet, A. Jasra, "Sequential Monte Carlo samplers", 2006). All
//! of it happens in the chances of the prior, where that is even from 0 to 1. Random numbers come from a counter: the same on any number
//! of threads.

use rayon::prelude::*;
use solver::forecast::{Counter, Law};

/// Moves after each step, and after the last one.
const MOVES: u32 = 4;
const LAST_MOVES: u32 = 12;
/// Part of the population that is to count after a step.
const STILL: f64 = 0.5;
/// Steps at most: each halves what counts at worst.
const MOST_STEPS: u32 = 60;
/// Spread of the small change that goes with each move, in chances.
const JITTER: f64 = 1e-4;

/// One of the population: chances, values, and the logarithm of its likelihood.
#[derive(Clone, Debug)]
struct Member {
    chances: Vec<f64>,
    ln_likelihood: f64,
}

/// What is asked.
pub(super) struct Asked<'a> {
    /// What is believed before.
    pub laws: &'a [Law],
    /// The logarithm of the likelihood of values.
    pub ln_likelihood: &'a (dyn Fn(&[f64]) -> f64 + Sync),
    /// How many draws.
    pub count: u32,
    /// The seed.
    pub seed: u64,
}

/// Random numbers of one step of one member.
struct Numbers {
    counter: Counter,
    member: u32,
    next: u32,
}

impl Numbers {
    fn even(&mut self) -> f64 {
        self.next += 1;
        self.counter.even(self.member, self.next)
    }

    fn below(&mut self, count: usize) -> usize {
        ((self.even() * count as f64) as usize).min(count - 1)
    }
}

impl Asked<'_> {
    fn values(&self, chances: &[f64]) -> Vec<f64> {
        self.laws.iter().zip(chances).map(|(law, chance)| law.value(*chance)).collect()
    }

    fn member(&self, chances: Vec<f64>) -> Member {
        let ln_likelihood = (self.ln_likelihood)(&self.values(&chances));
        Member { chances, ln_likelihood }
    }

    /// The random numbers of a member in a step. Every step has a key of its own.
    fn numbers(&self, step: u32, member: u32) -> Numbers {
        Numbers { counter: Counter::new(self.seed ^ (u64::from(step) << 40)), member, next: 0 }
    }

    /// Draws values.
    pub fn draw(&self) -> Vec<Vec<f64>> {
        let mut all: Vec<Member> = (0..self.count)
            .into_par_iter()
            .map(|member| {
                let mut numbers = self.numbers(0, member);
                self.member(self.laws.iter().map(|_| numbers.even()).collect())
            })
            .collect();
        let (mut power, mut step) = (0.0, 1);
        while power < 1.0 && step < MOST_STEPS {
            // However many pulls there are, the last step is to all of their likelihood.
            let next = if step + 1 < MOST_STEPS { next_power(&all, power) } else { 1.0 };
            all = self.resampled(&all, next - power, step);
            power = next;
            let moves = if power < 1.0 { MOVES } else { LAST_MOVES };
            for of in 0..moves {
                all = self.moved(&all, power, 100 * step + of);
            }
            step += 1;
        }
        all.iter().map(|member| self.values(&member.chances)).collect()
    }

    /// Draws the population anew by what each counts more than before.
    fn resampled(&self, all: &[Member], by: f64, step: u32) -> Vec<Member> {
        let weights = weights(all, by);
        let sum: f64 = weights.iter().sum();
        let apart = sum / all.len() as f64;
        let mut at = apart * self.numbers(100 * step + 99, 0).even();
        let (mut index, mut reached) = (0, weights[0]);
        all.iter()
            .map(|_| {
                while reached < at && index + 1 < all.len() {
                    index += 1;
                    reached += weights[index];
                }
                at += apart;
                all[index].clone()
            })
            .collect()
    }

    /// Each moved once, by a difference of two others as they stood before.
    fn moved(&self, all: &[Member], power: f64, step: u32) -> Vec<Member> {
        let far = 2.38 / (2.0 * self.laws.len() as f64).sqrt();
        all.par_iter()
            .enumerate()
            .map(|(index, member)| {
                #[expect(clippy::cast_possible_truncation, reason = "a population is far smaller")]
                let mut numbers = self.numbers(step, index as u32);
                let [a, b] = [0, 1].map(|_| &all[numbers.below(all.len())]);
                // Now and then a whole difference, which goes from one peak to another.
                let far = if numbers.even() < 0.1 { 1.0 } else { far };
                let chances = (0..member.chances.len()).map(|i| {
                    let jitter = JITTER * (numbers.even() - 0.5);
                    folded(member.chances[i] + far * (a.chances[i] - b.chances[i]) + jitter)
                });
                let tried = self.member(chances.collect());
                let gain = power * (tried.ln_likelihood - member.ln_likelihood);
                if numbers.even().ln() < gain { tried } else { member.clone() }
            })
            .collect()
    }
}

/// A chance that went beyond 0 or 1, folded back: as likely from there to here as back.
fn folded(chance: f64) -> f64 {
    let twice = chance.rem_euclid(2.0);
    let inside = if twice > 1.0 { 2.0 - twice } else { twice };
    inside.clamp(1e-12, 1.0 - 1e-12)
}

/// What each counts where the power of the likelihood is raised by so much; the largest is 1.
fn weights(all: &[Member], by: f64) -> Vec<f64> {
    let most = all.iter().map(|member| member.ln_likelihood).fold(f64::NEG_INFINITY, f64::max);
    all.iter().map(|member| (by * (member.ln_likelihood - most)).exp()).collect()
}

/// How many count: the square of the sum of weights over the sum of their squares.
pub(super) fn counting(weights: &[f64]) -> f64 {
    let (sum, squares) = weights.iter().fold((0.0, 0.0), |(sum, squares), w| (sum + w, squares + w * w));
    if squares > 0.0 { sum * sum / squares } else { 0.0 }
}

/// The power up to which enough of the population counts.
fn next_power(all: &[Member], power: f64) -> f64 {
    let enough = |next: f64| counting(&weights(all, next - power)) >= STILL * all.len() as f64;
    if enough(1.0) {
        return 1.0;
    }
    let (mut low, mut high) = (power, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if enough(middle) { low = middle } else { high = middle }
    }
    // However narrow the likelihood is, it goes on.
    low.max(power + 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moments(draws: &[Vec<f64>], of: usize) -> (f64, f64) {
        let count = draws.len() as f64;
        let mean = draws.iter().map(|d| d[of]).sum::<f64>() / count;
        (mean, (draws.iter().map(|d| (d[of] - mean).powi(2)).sum::<f64>() / count).sqrt())
    }

    #[test]
    fn a_normal_prior_and_normal_observations_give_the_closed_form() {
        // Prior N(0, 0.15); five observations of x with scatter 0.05, mean 0.1: precision 1/0.0225 + 5/0.0025.
        let laws = [Law::Normal { middle: 0.0, sigma: 0.15, low: -1.2, high: 1.2 }];
        let ln_likelihood = |x: &[f64]| -0.5 * 5.0 * ((x[0] - 0.1) / 0.05).powi(2);
        let draws = Asked { laws: &laws, ln_likelihood: &ln_likelihood, count: 4000, seed: 5 }.draw();
        let precision: f64 = 1.0 / 0.0225 + 5.0 / 0.0025;
        let (mean, sd) = (0.1 * 5.0 / 0.0025 / precision, precision.powf(-0.5));
        let found = moments(&draws, 0);
        assert!((found.0 - mean).abs() < 0.04 * sd, "{found:?} {mean}");
        assert!((found.1 / sd - 1.0).abs() < 0.05, "{found:?} {sd}");
    }

    #[test]
    fn what_only_a_sum_is_told_of_stays_open_across_it() {
        // Two even ones, only the sum observed: 1 with scatter 0.02. Across it each keeps the standard deviation of 1/sqrt(12) on a
        // band that is cut evenly.
        let laws = [Law::Even { low: 0.0, high: 1.0 }; 2];
        let ln_likelihood = |x: &[f64]| -0.5 * ((x[0] + x[1] - 1.0) / 0.02).powi(2);
        let draws = Asked { laws: &laws, ln_likelihood: &ln_likelihood, count: 3000, seed: 9 }.draw();
        let (mean, sd) = moments(&draws, 0);
        assert!((mean - 0.5).abs() < 0.03 && (sd - 0.2887).abs() < 0.02, "{mean} {sd}");
        let off = draws.iter().map(|d| (d[0] + d[1] - 1.0).powi(2)).sum::<f64>() / draws.len() as f64;
        assert!((off.sqrt() / 0.02 - 1.0).abs() < 0.06, "{off}");
        assert_eq!(draws, Asked { laws: &laws, ln_likelihood: &ln_likelihood, count: 3000, seed: 9 }.draw());
    }
}
