//! Names of places.

use study::seats::{PlaceName, RestName, Third};

/// A rest after where it lies: `both at the spine`.
#[must_use]
pub fn rest(RestName { upper, lower }: RestName) -> String {
    let word = |third| match third {
        Third::Spine => "at the spine",
        Third::Middle => "in the middle",
        Third::Gate => "at the gate",
    };
    if upper == lower {
        format!("both {}", word(upper))
    } else {
        format!("upper {}, lower {}", word(upper), word(lower))
    }
}

/// A place.
#[must_use]
pub fn name(place: PlaceName) -> String {
    match place {
        PlaceName::Rest(of) => rest(of),
        PlaceName::AsInTheModel => "as in the model".to_owned(),
        PlaceName::InTheMiddle { exactly: false } => "both in the middle".to_owned(),
        PlaceName::InTheMiddle { exactly: true } => "both in the middle, exactly".to_owned(),
        PlaceName::NearestToTheGate => "both as near to the gate as fits".to_owned(),
        PlaceName::NearestToTheSpine => "both as near to the spine as fits".to_owned(),
    }
}
