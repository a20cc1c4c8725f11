//! Draws how the pin of the example connector, the aluminium broad bar, beds into its lip:
//! `cargo run --release -p pullmap --example bedding_picture -- docs/pictures/bedding-broadbar-alu.png`.

use geometry::connector::{Connector, GatePlace};
use geometry::outline::Outline;
use report::pictures::bedding as written;
use solver::collapse::{Patch, Press, lip_bedding, lip_under_pin};
use solver::material::library;
use std::error::Error;
use viz::{BeddingChart, BeddingPoint, ChartWords};

/// Travels from the touch to one radius, dense where the force rises.
const TRAVELS: u32 = 40;
/// Width and height of the picture, pixels.
const SIZE: [u32; 2] = [800, 1120];
/// The metal of its frame.
const METAL: &str = "7075-t6";

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args().nth(1).ok_or("the path of the picture is needed")?;
    let picture = chart()?.drawing(SIZE[0], SIZE[1])?.to_png()?;
    Ok(std::fs::write(file, picture)?)
}

fn chart() -> Result<BeddingChart, Box<dyn Error>> {
    let connector = Connector::example();
    let outline = Outline::try_new(&connector, GatePlace::Shut).map_err(|_| "the example has no outline")?;
    let ultimate = library::find(METAL).ok_or("the metal is not in the library")?.material().ultimate_mpa;
    let radius = outline.seats.nose_pin.radius;
    let point = |travel: f64, force_n: f64, patch: Patch| BeddingPoint {
        travel,
        force_kn: 1e-3 * ultimate * force_n,
        flank_mm: patch.flank_mm,
        arc_deg: patch.arc_deg,
    };
    let of = |travels: &[f64]| -> Result<Vec<BeddingPoint>, Box<dyn Error>> {
        let found = lip_bedding(&connector, &outline, travels)?;
        Ok(found.iter().map(|b| point(b.travel_mm / radius, b.force_n, b.patch)).collect())
    };
    let travels: Vec<f64> = (1..=TRAVELS).map(|k| (f64::from(k) / f64::from(TRAVELS)).powi(2)).collect();
    let [Some(bedded), Some(deep)] = [Press::Bedded, Press::Deep].map(Press::travel_in_radii) else {
        return Err("a pin that has bedded in has no travel".into());
    };
    let [nominal, deep] = of(&[bedded, deep])?[..] else { return Err("two travels give two answers".into()) };
    let pressed = lip_under_pin(&connector, &outline, 0.0, Press::Narrow)?;
    let patch = pressed.patch.ok_or("the narrow patch is not given")?;
    let narrow = point(0.0, pressed.force_n, patch);
    let percent = |p: BeddingPoint| 100.0 * (p.force_kn / nominal.force_kn - 1.0).abs();
    let mut chart = BeddingChart {
        headings: written::HEADINGS.map(str::to_owned),
        axis: written::AXIS.to_owned(),
        description: String::new(),
        words: ChartWords {
            title: "A pin beds into the lip of a notch".to_owned(),
            subtitle: format!(
                "Aluminium broad bar, pin of {} mm; plastic at {ultimate:.0} MPa",
                2.0 * radius
            ),
            sentence: format!(
                "Up to a whole radius of travel the lip holds {:.0} % more than nominal, on a narrow patch {:.0} % less.",
                percent(deep),
                percent(narrow)
            ),
            caution: report::caution::CAUTION.to_owned(),
            source_line: format!(
                "pullmap {} · broadbar-alu · patches as their nodes tell them",
                env!("CARGO_PKG_VERSION")
            ),
        },
        points: of(&travels)?,
        narrow: (
            format!("narrow patch, {:.2} radii and {:.0}°", patch.flank_mm / radius, patch.arc_deg),
            narrow,
        ),
        marks: vec![
            (format!("nominal, {} radii", nominal.travel), nominal),
            (format!("deep, {} radius", deep.travel), deep),
        ],
    };
    let mut description = chart.words.sentence.clone();
    for (name, mark) in &chart.marks {
        description.push_str(&written::mark(name, &mark.travel.to_string(), &BeddingChart::told(mark)));
    }
    description.push_str(&format!(" {}: {}.", chart.narrow.0, BeddingChart::told(&chart.narrow.1)));
    chart.description = description;
    Ok(chart)
}
