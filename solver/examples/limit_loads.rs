//! Prints the limit loads of the example connector's parts, how its pin beds in, and the table of lugs, with times.
#![expect(clippy::print_stdout, reason = "printing is what this example is for")]

use geometry::connector::{Connector, GatePlace};
use geometry::outline::Outline;
use solver::collapse::{FINE_IN_BEDDING, Flowing, NosePart, Patch, PlasticError, lug_factor, nose_collapse};
use std::time::Instant;

const STRENGTH_MPA: f64 = 572.0;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let connector = Connector::example();
    for place in [GatePlace::Shut, GatePlace::Half { engaged_mm: 3.0 }] {
        let Ok(outline) = Outline::try_new(&connector, place) else { continue };
        for (flank_mm, arc_deg) in [(0.7, 25.0), (1.2, 40.0), (2.0, 60.0)] {
            let start = Instant::now();
            let patch = Patch { flank_mm, arc_deg };
            let found = nose_collapse(&connector, &outline, STRENGTH_MPA, patch, Flowing::All)?;
            println!("{found:?} in {:?}", start.elapsed());
        }
        let start = Instant::now();
        let mut part = NosePart::new(&connector, &outline, &[], Flowing::All, FINE_IN_BEDDING)?;
        println!("meshed and ordered in {:?}", start.elapsed());
        println!("travel mm, force kN, flank mm, arc deg, mean strain, largest strain, iterations, time");
        for travel in [0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 1.0, 1.5, 2.0] {
            let start = Instant::now();
            let b = part.bedded(outline.seats.nose_pin, STRENGTH_MPA, travel)?;
            println!(
                "{travel:6.3} {:7.3} {:5.2} {:5.1} {:7.4} {:7.4} {:3} {:?}",
                1e-3 * b.force_n,
                b.patch.flank_mm,
                b.patch.arc_deg,
                b.mean_strain,
                b.largest_strain,
                b.iterations,
                start.elapsed()
            );
        }
    }
    println!("lugs: hole over width, then factors at half angles of 15, 30, ... 90 degrees");
    for hole in 1..=9_u32 {
        let hole = 0.1 * f64::from(hole);
        let start = Instant::now();
        let row: Result<Vec<String>, PlasticError> = (1..=6_u32)
            .map(|k| Ok(format!("{:.4}", lug_factor(hole, (15.0 * f64::from(k)).to_radians())?)))
            .collect();
        println!("{hole:.2} {} {:?}", row?.join(" "), start.elapsed() / 6);
    }
    Ok(())
}
