//! Mistakes after their keys.

use super::*;
use geometry::mesh::MeshError;
use geometry::region::Stretch;
use solver::rig::{Loader, RigEnd};
use solver::system::Side;

#[test]
fn mistakes_are_told_after_their_key() {
    let errors = vec![OutlineError::Engagement { engaged_mm: 9.0, least_mm: 1.0, most_mm: 4.0 }];
    assert_eq!(
        system(&SystemError::Outline(errors)),
        "rig.engaged_mm: found 9.00 mm; allowed: 1.00 to 4.00 mm in this notch"
    );
    let crossing =
        MeshError::Crossing { first: Stretch::UpperMid, second: Stretch::NoseRoot, near: [0.0, 44.5] };
    assert_eq!(
        system(&SystemError::Mesh { body: Side::Frame, reason: crossing }),
        "the frame: found cut across the upper bar and root of the nose running into each other near (0.0, 44.5) mm; \
         allowed: edges and cuts that keep apart\n  hint: they are moved by nose.flank_angle_deg, nose.notch_depth_mm, \
         nose.lip_height_mm, nose.tip_mm, window.upper_width_mm, window.upper_slope_deg"
    );
    let told = system(&SystemError::Outline(vec![OutlineError::NotchMissesTheEdge]));
    assert!(told.starts_with("nose.tip_mm: found ") && told.contains("hint: nose.flank_angle_deg"), "{told}");
    assert!(rig(&RigError::Load { load_kn: 0.0 }).starts_with("rig.load_kn: found 0 kN; allowed: "));
}

#[test]
fn a_load_off_its_seat_is_told_with_the_room_that_there_is() {
    let bar = |high_mm| RigError::OffSeat {
        end: RigEnd::Lower,
        loader: Loader::Bar { diameter_mm: 12.0, offset_mm: 20.0 },
        from_mm: 14.0,
        to_mm: 26.0,
        low_mm: -10.0,
        high_mm,
    };
    let told = mistake(&bar(15.0));
    assert_eq!(told.key, Some("rig.lower.offset_mm"));
    let (found, allowed) = told.reason.parts().unwrap();
    assert_eq!(found, "the lower bench bar from 14.00 to 26.00 mm across the window");
    assert!(
        allowed.starts_with("-10.00 to 15.00 mm on this bar, which leaves offsets of -4.00 to 9.00 mm ("),
        "{allowed}"
    );
    let told = rig(&bar(0.0));
    assert!(told.contains("which has room for 10.00 mm of width ("), "{told}");
}
