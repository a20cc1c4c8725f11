//! The lip under a pin that stands anywhere between the closed end of its notch and the mouth.
//!
//! Solved where the contact is plain: under a pin that lies against the round end, and under one that stands on the flank
//! clear of it. Between the two the force runs straight, and from the mouth outward, where the pin touches the lip's corner,
//! it falls with the width of the pin that is still inside.

use super::bedding::Bedding;
use super::nose_part::{
    FINE_IN_BEDDING, FINE_ON_A_PATCH, Flowing, NosePart, Patch, PlasticError, SEATED_MM, nose_shape,
    patch_ends,
};
use crate::response::lean;
use geometry::connector::Connector;
use geometry::outline::{Circle, Outline};
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// How wide the pin presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Press {
    /// On a patch of 0.35 pin radii of flank and 25 degrees of the round end: a pin that has not bedded in. The round end's
    /// part reaches 25 degrees beyond the direction in which the pin presses.
    Narrow,
    /// Where it has bedded in after a travel of a quarter of its radius: from there the force rises by no more than some 3 %
    /// up to a whole radius (computed; the travel itself is engineering judgement).
    Bedded,
    /// Where it has bedded in after a travel of its radius.
    Deep,
}

impl Press {
    /// Travel after which the pin has bedded in so far, in its radii; `None` for a narrow patch, which is given.
    #[must_use]
    pub const fn travel_in_radii(self) -> Option<f64> {
        match self {
            Self::Narrow => None,
            Self::Bedded => Some(BEDDED),
            Self::Deep => Some(DEEP),
        }
    }
}

/// A lip at its limit, of metal of strength 1 MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pressed {
    /// Force along the line of the pins, N.
    pub force_n: f64,
    /// Where the pin presses; `None` where two places were combined or the flank ends under the pin.
    pub patch: Option<Patch>,
}

/// Narrow patch: flank in pin radii, and degrees of the round end.
const NARROW: (f64, f64) = (0.35, 25.0);
/// Travel of a pin that has bedded in, in its radii.
const BEDDED: f64 = 0.25;
/// Travel of one that has bedded in deeply.
const DEEP: f64 = 1.0;
/// A pin whose foot is at least this far from the round end, in pin radii, is clear of it.
const CLEAR: f64 = 0.5;
/// Nodes that are wanted to either side of the pin's foot.
const MARKS: i32 = 9;
/// Shapes whose lips are kept.
const SHAPES: usize = 256;

/// A seated pin presses into the notch at least so far off the square to the flank, rad, where friction allows: it takes a
/// friction of 0.05 under a pull that is square to the flank, more under one that leans toward the mouth (engineering
/// judgement: metals on metals, greased, slip at 0.1 and more). Without any friction such a pull would let the pin slide out
/// along the lip as that bends, and the lip would lose a fifth over two degrees of lean.
const LEAST_LEAN: f64 = 0.05;

/// By how much a seated pin presses into its notch at least, rad; zero where its pull leans by more, or where the friction
/// that there is holds the pin and no more.
fn least_lean(outline: &Outline, friction: f64) -> f64 {
    let toward_mouth = lean(&outline.seats, outline.lip_on);
    let allowed = (friction.atan() - toward_mouth).clamp(0.0, LEAST_LEAN);
    if -toward_mouth >= allowed { 0.0 } else { allowed }
}

type Solved = OnceLock<Result<Pressed, PlasticError>>;
type Shelf = VecDeque<(Vec<u64>, Arc<[Solved; 3]>)>;

/// Lips that were solved, by everything that they depend on.
static KEPT: Mutex<Shelf> = Mutex::new(VecDeque::new());

/// The limit of the part that carries the lips, for metal of strength 1 MPa; solved once for each shape. `friction` is that
/// at the pin, which counts only where the pull is nearly square to the flank or leans toward the mouth.
///
/// # Errors
/// [`PlasticError`]: no mesh, no contact, or a programme that did not settle.
pub fn lip_under_pin(
    connector: &Connector,
    outline: &Outline,
    friction: f64,
    press: Press,
) -> Result<Pressed, PlasticError> {
    let least_lean = least_lean(outline, friction);
    let mut shape = nose_shape(connector, outline)?;
    shape.push(least_lean.to_bits());
    let solved = {
        let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
        match kept.iter().find(|(key, _)| *key == shape) {
            Some((_, solved)) => Arc::clone(solved),
            None => {
                let solved = Arc::new([const { OnceLock::new() }; 3]);
                kept.truncate(SHAPES - 1);
                kept.push_front((shape, Arc::clone(&solved)));
                solved
            }
        }
    };
    solved[press as usize].get_or_init(|| solve(connector, outline, least_lean, press)).clone()
}

fn solve(
    connector: &Connector,
    outline: &Outline,
    least_lean: f64,
    press: Press,
) -> Result<Pressed, PlasticError> {
    let seats = &outline.seats;
    let radius = seats.nose_pin.radius;
    let inside = seats.pin_inside_mouth_mm();
    let flank = seats.notch.inside_mouth_mm.max(0.0);
    let foot = foot_mm(outline);
    let at = |foot_mm: f64| at_foot(connector, outline, least_lean, (press, foot_mm));
    let clear = (CLEAR * radius).min(flank);
    let pressed = if foot < SEATED_MM {
        at(0.0)?
    } else if foot >= clear {
        at(foot)?
    } else {
        let (seated, beyond) = (at(0.0)?, at(clear)?);
        let force_n = seated.force_n + foot / clear * (beyond.force_n - seated.force_n);
        Pressed { force_n, patch: None }
    };
    if inside >= 0.0 {
        return Ok(pressed);
    }
    Ok(Pressed { force_n: pressed.force_n * (1.0 + inside / radius).max(0.0), patch: None })
}

/// Where the foot of the pin stands: mm of flank from the round end, as far as the mouth.
fn foot_mm(outline: &Outline) -> f64 {
    let flank = outline.seats.notch.inside_mouth_mm.max(0.0);
    (flank - outline.seats.pin_inside_mouth_mm()).clamp(0.0, flank)
}

/// Under a pin whose foot stands `foot_mm` of flank from the round end.
fn at_foot(
    connector: &Connector,
    outline: &Outline,
    least_lean: f64,
    (press, foot_mm): (Press, f64),
) -> Result<Pressed, PlasticError> {
    let notch = &outline.seats.notch;
    let radius = outline.seats.nose_pin.radius;
    let into_notch = (-lean(&outline.seats, outline.lip_on)).max(least_lean).to_degrees();
    let narrow = Patch { flank_mm: NARROW.0 * radius, arc_deg: NARROW.1 + into_notch };
    // A narrow patch does not hang over the mouth.
    let farthest = (notch.inside_mouth_mm - 0.5 * narrow.flank_mm).max(0.0);
    let foot_mm = if press == Press::Narrow { foot_mm.min(farthest) } else { foot_mm };
    let centre = [0, 1].map(|i| notch.end.centre[i] + foot_mm * notch.to_mouth[i]);
    let pin = Circle { centre, radius };
    let Some(travel) = press.travel_in_radii() else {
        let marks = patch_ends(narrow, foot_mm, notch.end.radius);
        let mut part = NosePart::new(connector, outline, &marks, Flowing::All, FINE_ON_A_PATCH)?;
        part.least_lean = least_lean;
        let force_n = part.flow(pin, narrow)?.dissipation / part.pressed_per_pull(foot_mm);
        return Ok(Pressed { force_n, patch: Some(narrow) });
    };
    let mut part = bedding_part(connector, outline, foot_mm)?;
    part.least_lean = least_lean;
    let bedding = part.bedded(pin, 1.0, travel * radius)?;
    // At the mouth a patch cannot be told: the flank ends under the pin.
    let patch = Some(bedding.patch).filter(|p| p.flank_mm > 0.0 || p.arc_deg > 0.0);
    Ok(Pressed { force_n: bedding.force_n, patch })
}

/// The part meshed for a pin that beds in where its foot stands.
fn bedding_part(connector: &Connector, outline: &Outline, foot_mm: f64) -> Result<NosePart, PlasticError> {
    let radius = outline.seats.notch.end.radius;
    // Nodes at the same places from the pin's foot on whatever the shape: a pin that presses on a few of them would feel a
    // node that comes or goes.
    let marks: Vec<f64> = (-MARKS..=MARKS)
        .map(|k| foot_mm + f64::from(k) * FINE_IN_BEDDING.at_notch * radius)
        .map(|place| if place < 0.0 { place / radius } else { place })
        .collect();
    NosePart::new(connector, outline, &marks, Flowing::All, FINE_IN_BEDDING)
}

/// How a seated pin without friction beds into the lip, metal of strength 1 MPa: one answer for each travel after it touched, in pin radii, on the
/// mesh that gives [`lip_under_pin`] its limits. Forces along the line of the pins, N.
///
/// # Errors
/// As [`lip_under_pin`]; [`PlasticError::NoContact`] also for a travel that is not positive, and for a pin that is not seated
/// in its notch.
pub fn lip_bedding(
    connector: &Connector,
    outline: &Outline,
    travels: &[f64],
) -> Result<Vec<Bedding>, PlasticError> {
    if foot_mm(outline) >= SEATED_MM || !travels.iter().all(|travel| *travel > 0.0 && travel.is_finite()) {
        return Err(PlasticError::NoContact);
    }
    let mut part = bedding_part(connector, outline, 0.0)?;
    let pin = Circle { centre: outline.seats.notch.end.centre, radius: outline.seats.nose_pin.radius };
    travels.iter().map(|travel| part.bedded(pin, 1.0, travel * pin.radius)).collect()
}
