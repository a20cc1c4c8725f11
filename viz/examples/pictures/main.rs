//! Draws an invented connector in every kind of picture: `cargo run -p pullmap-viz --example pictures -- FOLDER`.
#![expect(clippy::print_stdout, reason = "an example that says what it wrote")]

mod invented;

use invented::{connector, forecast, map, sketch};
use std::{error::Error, fs, path::PathBuf, time::Instant};
use viz::{Drawing, Field, LoadShape};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "pictures-out".to_owned()));
    fs::create_dir_all(&folder)?;
    let save = |name: &str, draw: &dyn Fn() -> Drawing| -> Result<(), Box<dyn Error>> {
        let start = Instant::now();
        let drawing = draw();
        let laid_out = start.elapsed();
        let png = drawing.to_png()?;
        let all = start.elapsed();
        let svg = drawing.to_svg()?;
        println!(
            "{name}: laid out {laid_out:.1?}, with PNG {all:.1?}; {} and {} bytes",
            png.len(),
            svg.len()
        );
        fs::write(folder.join(format!("{name}.png")), png)?;
        fs::write(folder.join(format!("{name}.svg")), svg)?;
        Ok(())
    };
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    let straps = [12.0, 0.0, 0.0];
    for (name, field) in [
        ("von-mises", Field::VonMises),
        ("pull-direction", Field::PullDirection),
        ("principal", Field::Principal),
        ("trajectories", Field::Trajectories),
    ] {
        let map = map(&frame, &gate, 60.0, field, straps);
        save(name, &|| map.drawing(1600, 1200))?;
    }
    let plain = map(&frame, &gate, 60.0, Field::VonMises, straps);
    save("phone", &|| plain.drawing(400, 300))?;
    save("forecast", &|| forecast(&plain).drawing(1600, 1200))?;
    save("forecast-upright", &|| forecast(&plain).drawing(1080, 1920))?;
    save("forecast-square", &|| forecast(&plain).drawing(1080, 1080))?;
    let mut light = map(&frame, &gate, 60.0, Field::VonMises, [40.0, 0.0, 0.0]);
    light.yield_mpa = 1100.0;
    light.gate_open = true;
    light.gate_kn = 0.0;
    light.spine_kn = 10.0;
    light.words.shares =
        [["10.0 kN", "spine 100 %"], ["0.0 kN", "gate open"]].map(|share| share.map(str::to_owned));
    light.shape_note = Some("shape drawn 20 times enlarged".to_owned());
    light.sentence =
        "Even the longest plain sentence that anybody may want to put over a picture has to find its place \
                      beside the connector without running into anything at all."
            .to_owned();
    save("open", &|| light.drawing(1600, 1200))?;
    let (tall_frame, tall_gate) = connector(84.0, 20.0, 0.3);
    let mut tall = map(&tall_frame, &tall_gate, 84.0, Field::VonMises, [12.0, 9.0, -9.0]);
    tall.lower = LoadShape::Bar { centre: [-9.0, -36.0], radius: 6.0, direction: [-0.21, -0.977] };
    save("tall", &|| tall.drawing(1600, 1200))?;
    save("upright", &|| tall.drawing(1080, 1920))?;
    save("wide", &|| tall.drawing(1920, 1080))?;
    save("sketch", &|| sketch(&frame, &gate).drawing(1600, 1200))
}
