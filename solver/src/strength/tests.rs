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
    for depth in [2.5, 4.15, 6.0, 7.0, 9.0] {
        let mut c = Connector::example();
        c.nose.notch_depth_mm = depth;
        let system = system_of(&c);
        let t = std::time::Instant::now();
        let cuts = frame_cuts(&system);
        println!("depth {depth} cuts {} {:?}", cuts.len(), t.elapsed());
        println!("nose root {:?}", nose_root_capacity(&system).force_n);
        for (w, x) in [(40.0, 0.0), (12.0, 0.0), (12.0, 15.0), (12.0, -15.0)] {
            let rig = straps(w, x, GateState::Closed);
            let t = std::time::Instant::now();
            let statics = FrameStatics {
                sections: cuts.iter().map(|c| &c.limit).collect(),
                load: load_parts(&system, &rig, &cuts),
                gate: gate_parts(&system, &cuts),
            };
            let l = statics.limit(8991.0, 537.5);
            let y = statics.limit(8991.0, 503.0);
            let o = statics.limit(0.0, 537.5);
            println!(
                "w {w} x {x}: opens {l:?} {} bends {:.0} open {:.0} {} | {:?}",
                system.outline.frame_place(cuts[l.cut].inner),
                y.load_n,
                o.load_n,
                system.outline.frame_place(cuts[o.cut].inner),
                t.elapsed()
            );
            let t = std::time::Instant::now();
            let mut path = LoadPath::new(&system, &rig).unwrap();
            println!("   lip at {:?} {:?}", path.load_at(8991.0, &|s| s.nose_n).unwrap(), t.elapsed());
            for s in path.samples() {
                println!("   {s:?}");
            }
        }
    }
}
