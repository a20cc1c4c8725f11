//! Strength of whole connectors, on the broad bar of the examples.

use super::*;
use crate::material::{Materials, library};
use crate::rig::{GateState, Loader, Rig};
use crate::system::{System, SystemSettings};
use geometry::connector::{Connector, GatePlace};

fn system_of(connector: &Connector) -> System {
    let material = |key: &str| library::find(key).unwrap().material();
    let materials =
        Materials { frame: material("7075-t6"), gate: material("7075-t6"), pins: material("4340-180") };
    System::try_new(connector, GatePlace::Shut, &materials, &SystemSettings::default()).unwrap()
}

fn straps(width_mm: f64, offset_mm: f64, gate: GateState) -> Rig {
    let end = Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Rig { load_kn: 10.0, gate, friction: 0.2, upper: end, lower: end }
}

#[test]
fn look() {
    let system = system_of(&Connector::example());
    for (w, x, g) in [
        (40.0, 0.0, GateState::Closed),
        (12.0, 0.0, GateState::Closed),
        (12.0, 15.0, GateState::Closed),
        (12.0, -15.0, GateState::Closed),
        (40.0, 0.0, GateState::Open),
    ] {
        let t = std::time::Instant::now();
        let l = limits(&system, &straps(w, x, g)).unwrap();
        println!("w {w} x {x} {g:?}: {} {} {:?} {:?}", l.breaks_at_kn, l.gives_first, l.ends, t.elapsed());
        println!("   yield {:?} bends {} hook {}", l.first_yield_kn, l.bends_at_kn, l.open_hook_kn);
        println!("   {}", l.story.join(" "));
        for l in &l.limits {
            println!("   {:>8.2} {:?} {}", l.at_kn.unwrap_or(f64::NAN), l.kind, l.what);
        }
    }
    for depth in [2.5, 3.0, 4.0, 4.15, 4.5, 5.0, 6.0, 6.5, 7.0, 7.5, 8.0, 9.0] {
        let mut c = Connector::example();
        c.nose.notch_depth_mm = depth;
        let l = limits(&system_of(&c), &straps(40.0, 0.0, GateState::Closed)).unwrap();
        let at = |w: &str| l.limits.iter().find(|l| l.what == w).unwrap().at_kn.unwrap_or(f64::NAN);
        println!(
            "depth {depth}: {:.2} {} flank {:.2} ride {:.1} root {:.2} lip {:.2}",
            l.breaks_at_kn,
            l.gives_first,
            at("flank of the notch"),
            at("pin riding out of the notch"),
            at("root of the nose"),
            at("lip of the notch")
        );
    }
}
