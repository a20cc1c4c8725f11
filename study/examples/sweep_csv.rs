//! The forecast over the depth of the notch as CSV: `cargo run --release -p pullmap-study --example sweep_csv > depths.csv`.

mod broad_bar;

use study::{Case, Engine, Watch};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let entered = broad_bar::case()?;
    let depths: Vec<f64> = (0..14).map(|i| 2.5 + 0.5 * f64::from(i)).collect();
    let with_depth = |depth_mm: &f64| {
        let mut case: Case = entered.clone();
        case.connector.nose.notch_depth_mm = *depth_mm;
        case
    };
    let cases: Vec<Case> = depths.iter().map(with_depth).collect();
    let mut table = csv::Writer::from_writer(std::io::stdout());
    table.write_record(["notch_depth_mm", "peak_kn", "fails_first"])?;
    for (depth_mm, outcome) in depths.iter().zip(Engine::default().evaluate(&cases, &Watch::quiet())) {
        let (peak_kn, fails_first) = match outcome {
            Ok(pulled) => {
                (format!("{:.2}", pulled.limits.peak_kn), format!("{:?}", pulled.limits.fails_first))
            }
            Err(reason) => (String::new(), reason.to_string()),
        };
        table.write_record([depth_mm.to_string(), peak_kn, fails_first])?;
    }
    Ok(table.flush()?)
}
