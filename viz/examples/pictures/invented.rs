//! An invented connector with an invented, smooth stress field: enough to judge pictures by.

use viz::{
    BodyField, Callout, Dimension, Field, ForecastPicture, LimitBar, LoadShape, MapWords, Marked,
    SectionInset, SectionOutline, Sketch, StressMap,
};

/// The line every picture of a strength carries.
pub const CAUTION: &str = "A plane model with handbook data, for understanding and planning only; markings, standards, \
                           the maker's instructions and an accredited laboratory decide about life-safety equipment.";

/// A strip of six-node triangles along a path.
#[derive(Default)]
pub struct Body {
    points: Vec<[f64; 2]>,
    triangles: Vec<[u32; 6]>,
    stress: Vec<[f64; 3]>,
    values: Vec<f64>,
    breadth: Vec<f64>,
    outline: Vec<Vec<[f64; 2]>>,
}

impl Body {
    /// `rows`: cross lines from one edge to the other (their number odd); `across`: an even count of parts;
    /// `stress_at`: point, part across (-1 to 1), unit tangent -> stress.
    fn strip(
        rows: &[[[f64; 2]; 2]],
        across: usize,
        breadth: f64,
        stress_at: impl Fn([f64; 2], f64, [f64; 2]) -> [f64; 3],
    ) -> Self {
        let mut body = Self::default();
        let n = rows.len();
        for (i, [a, b]) in rows.iter().enumerate() {
            let middle = |i: usize| [0, 1].map(|k| 0.5 * (rows[i][0][k] + rows[i][1][k]));
            let (p, q) = (middle(i.saturating_sub(1)), middle((i + 1).min(n - 1)));
            let long = (q[0] - p[0]).hypot(q[1] - p[1]);
            let tangent = [(q[0] - p[0]) / long, (q[1] - p[1]) / long];
            for j in 0..=across {
                let t = j as f64 / across as f64;
                let point = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
                let s = stress_at(point, 2.0 * t - 1.0, tangent);
                body.points.push(point);
                body.values.push((s[0] * s[0] - s[0] * s[1] + s[1] * s[1] + 3.0 * s[2] * s[2]).sqrt());
                body.stress.push(s);
                body.breadth.push(breadth);
            }
        }
        let id = |i: usize, j: usize| (i * (across + 1) + j) as u32;
        for i in (0..n - 2).step_by(2) {
            for j in (0..across).step_by(2) {
                let [a, b, c, d] = [id(i, j), id(i + 2, j), id(i + 2, j + 2), id(i, j + 2)];
                let m = id(i + 1, j + 1);
                body.triangles.push([a, b, c, id(i + 1, j), id(i + 2, j + 1), m]);
                body.triangles.push([a, c, d, m, id(i + 1, j + 2), id(i, j + 1)]);
            }
        }
        body
    }

    /// Borrowed, as pictures take it.
    pub fn field(&self) -> BodyField<'_> {
        BodyField {
            points: &self.points,
            triangles: &self.triangles,
            values: &self.values,
            outline: self.outline.clone(),
            nodal_stress: &self.stress,
            breadth: &self.breadth,
        }
    }
}

/// Points of an arc, degrees.
fn arc(c: [f64; 2], r: f64, from: f64, to: f64, n: usize) -> Vec<[f64; 2]> {
    (0..=n)
        .map(|i| {
            let a = (from + (to - from) * i as f64 / n as f64).to_radians();
            [c[0] + r * a.cos(), c[1] + r * a.sin()]
        })
        .collect()
}

/// Centre line of the frame and its direction, sampled from hinge to nose; `h`: half the window's inside length.
fn centre_line(h: f64) -> Vec<([f64; 2], [f64; 2])> {
    let y = h + 7.0;
    let mut line: Vec<[f64; 2]> = (0..8).map(|i| [29.0, 17.0 - h - 32.0 * f64::from(i) / 24.0]).collect();
    line.extend(arc([14.0, 15.0 - y], 15.0, 0.0, -90.0, 20));
    line.extend((1..20).map(|i| [14.0 - 28.0 * f64::from(i) / 20.0, -y]));
    line.extend(arc([-14.0, 15.0 - y], 15.0, -90.0, -180.0, 20));
    line.extend((1..40).map(|i| [-29.0, 15.0 - y + (2.0 * y - 30.0) * f64::from(i) / 40.0]));
    line.extend(arc([-14.0, y - 15.0], 15.0, 180.0, 90.0, 20));
    line.extend((1..20).map(|i| [-14.0 + 28.0 * f64::from(i) / 20.0, y]));
    line.extend(arc([14.0, y - 15.0], 15.0, 90.0, 0.0, 20));
    line.extend((1..6).map(|i| [29.0, y - 15.0 - f64::from(i)]));
    line.push([29.0, h - 14.0]);
    let n = line.len();
    (0..n)
        .map(|i| {
            let (a, b) = (line[i.saturating_sub(1)], line[(i + 1).min(n - 1)]);
            let long = (b[0] - a[0]).hypot(b[1] - a[1]);
            (line[i], [(b[0] - a[0]) / long, (b[1] - a[1]) / long])
        })
        .collect()
}

/// Frame and gate of a broad bar whose window is `inside` long, under `kn` with `share` of it in the gate.
pub fn connector(inside: f64, kn: f64, share: f64) -> (Body, Body) {
    let h = 0.5 * inside;
    let line = centre_line(h);
    // The window lies to the right of the way from hinge round the lower bar, up the spine, to the nose.
    let edge = |side: f64| -> Vec<[f64; 2]> {
        line.iter().map(|(p, d)| [p[0] + side * 7.0 * d[1], p[1] - side * 7.0 * d[0]]).collect()
    };
    let (outer, inner) = (edge(-1.0), edge(1.0));
    let mut rows: Vec<[[f64; 2]; 2]> = Vec::new();
    for i in 0..outer.len() {
        if i > 0 {
            let mid = |e: &[[f64; 2]]| [0, 1].map(|k| 0.5 * (e[i - 1][k] + e[i][k]));
            rows.push([mid(&outer), mid(&inner)]);
        }
        rows.push([outer[i], inner[i]]);
    }
    let force = 1000.0 * kn;
    let mut frame = Body::strip(&rows, 8, 11.0, |p, t, d| {
        let arm = if p[0] < 0.0 { (1.0 - share) * -p[0] * 0.30 + 1.2 } else { share * p[0] * 0.16 + 1.2 };
        let part = if p[0] < 0.0 { 1.0 - share } else { share };
        let corner =
            1.0 + 0.5 * (-((p[0].abs() - 24.0).powi(2) + (p[1].abs() - h - 2.0).powi(2)) / 60.0).exp();
        let axial = part * force * d[1].abs() / 140.0;
        let bending =
            force * arm * 7.0 * t * corner * if p[0] > 26.0 && p[1].abs() < h { 0.3 } else { 1.0 } / 2100.0;
        let s = axial + bending + 4.0;
        let tau = 0.10 * force / 140.0 * (1.0 - t * t) * d[0].abs();
        [
            s * d[0] * d[0] + 2.0 * tau * d[0] * d[1],
            s * d[1] * d[1] - 2.0 * tau * d[0] * d[1],
            s * d[0] * d[1] + tau,
        ]
    });
    // Outer edge, nose tip, notch, inner edge, lug.
    let (pin, tip) = ([25.85, h - 7.35], h - 14.0);
    let mut outline: Vec<[f64; 2]> = Vec::new();
    outline.extend(outer.iter().skip(4).copied());
    outline.extend(arc([34.5, tip + 1.5], 1.5, 0.0, -90.0, 6));
    outline.extend(arc([23.5, tip + 1.5], 1.5, 270.0, 180.0, 6));
    outline.extend([[22.0, pin[1] - 2.15]]);
    outline.extend(arc(pin, 2.15, -90.0, 90.0, 16));
    outline.push([22.0, pin[1] + 2.15]);
    outline.extend(inner.iter().rev().copied().filter(|p| p[0] < 21.99 || p[1] < 0.0 || p[1] > pin[1] + 3.0));
    outline.truncate(outline.len() - 4);
    let hinge = [29.0, 10.0 - h];
    outline.extend(arc(hinge, 7.0, 180.0, 0.0, 24));
    frame.outline = vec![outline, arc(hinge, 2.55, 360.0, 0.0, 32)];

    let d = [hinge[0] - pin[0], hinge[1] - pin[1]];
    let long = d[0].hypot(d[1]);
    let d = [d[0] / long, d[1] / long];
    let gate_rows: Vec<[[f64; 2]; 2]> = (0..41)
        .map(|i| {
            let s = -4.5 + (long + 9.0) * f64::from(i) / 40.0;
            let p = [pin[0] + s * d[0], pin[1] + s * d[1]];
            [[p[0] - 4.5 * d[1], p[1] + 4.5 * d[0]], [p[0] + 4.5 * d[1], p[1] - 4.5 * d[0]]]
        })
        .collect();
    let mut gate = Body::strip(&gate_rows, 4, 10.0, |p, t, d| {
        let near = |c: [f64; 2]| (-((p[0] - c[0]).powi(2) + (p[1] - c[1]).powi(2)) / 12.0).exp();
        let s = share * force / 90.0 * (1.0 + 0.2 * t + 3.0 * (near(pin) + near(hinge)));
        [s * d[0] * d[0], s * d[1] * d[1], s * d[0] * d[1]]
    });
    let turn = d[1].atan2(d[0]).to_degrees();
    let mut outline = arc(hinge, 4.5, turn - 90.0, turn + 90.0, 24);
    outline.extend(arc(pin, 4.5, turn + 90.0, turn + 270.0, 24));
    gate.outline = vec![outline];
    (frame, gate)
}

/// A whole map of the invented connector.
pub fn map<'a>(
    frame: &'a Body,
    gate: &'a Body,
    inside: f64,
    field: Field,
    straps: [f64; 3],
) -> StressMap<'a> {
    let h = 0.5 * inside;
    let [width, upper_x, lower_x] = straps;
    let tilt = [upper_x - lower_x, inside];
    let long = tilt[0].hypot(tilt[1]);
    let up = [tilt[0] / long, tilt[1] / long];
    let seat = |x: f64, y: f64| (0..=20).map(|i| [x + width * (f64::from(i) / 20.0 - 0.5), y]).collect();
    let strap = |x, y, direction| LoadShape::Strap { centre_x: x, width, edge: seat(x, y), direction };
    let callout =
        |at, value_mpa, words: &str, trusted| Callout { at, value_mpa, words: words.to_owned(), trusted };
    StressMap {
        title: "Broad bar, aluminium".to_owned(),
        subtitle: format!("10 kN, gate closed, {width} mm straps centred"),
        sentence:
            "At 10 kN the gate carries 43 % of the pull; stress is highest at the spine's lower corner."
                .to_owned(),
        frame: frame.field(),
        gate: gate.field(),
        gate_open: false,
        pins: vec![([25.85, h - 7.35], 2.0), ([29.0, 10.0 - h], 2.5)],
        upper: strap(upper_x, h, up),
        lower: strap(lower_x, -h, [-up[0], -up[1]]),
        field,
        yield_mpa: 503.0,
        load_kn: 10.0,
        gate_kn: 4.26,
        spine_kn: 5.74,
        callouts: vec![
            callout([-20.2, -h + 2.0], 287.0, "spine, inner side beside the lower corner", true),
            callout([-20.2, h - 2.0], 281.0, "spine, inner side beside the upper corner", true),
            callout([18.0, h], 164.0, "upper bar, inner side by the gate", true),
            callout([23.0, -h + 4.0], 151.0, "lower corner on the gate side", true),
        ],
        words: MapWords {
            name: "A map".to_owned(),
            description: "What the map says.".to_owned(),
            ruler: ["stress that".to_owned(), "is shown, MPa".to_owned()],
            across: "stress that is shown, MPa".to_owned(),
            yields: "yield".to_owned(),
            past: "to".to_owned(),
            key_note: "Trajectories are pull; metal that is only pushed has none.".to_owned(),
            pull: "10.0 kN".to_owned(),
            shares: [["5.7 kN", "spine 57 %"], ["4.3 kN", "gate 43 %"]].map(|share| share.map(str::to_owned)),
        },
        nose: None,
        caution: CAUTION,
        source_line: "pullmap 0.1.0 · broadbar-alu · inputs 3f2a91c4".to_owned(),
        shape_note: None,
        beyond: None,
    }
}

/// The sketch of the same connector.
pub fn sketch(frame: &Body, gate: &Body) -> Sketch {
    let length =
        |from, to, offset_mm, label: &str| Dimension::Length { from, to, offset_mm, label: label.to_owned() };
    Sketch {
        name: "A sketch".to_owned(),
        description: "What the sketch says.".to_owned(),
        title: "Broad bar, aluminium".to_owned(),
        subtitle: String::new(),
        frame: frame.field().outline,
        gate: gate.field().outline,
        pins: vec![([25.85, 22.65], 2.0), ([29.0, -20.0], 2.5)],
        dimensions: vec![
            length([0.0, -30.0], [0.0, 30.0], 0.0, "inside length 60"),
            length([-22.0, 20.0], [22.0, 20.0], 0.0, "upper width 44"),
            length([-22.0, -20.0], [22.0, -20.0], 0.0, "lower width 44"),
            length([-36.0, 6.0], [-22.0, 6.0], 0.0, "14"),
            length([36.0, 30.0], [36.0, 16.0], 7.0, "nose tip 14"),
            length([36.0, -20.0], [36.0, -30.0], 7.0, "hinge 10"),
            length([22.0, 8.0], [31.0, 8.0], 0.0, "gate 9"),
            Dimension::Radius {
                centre: [-14.0, 22.0],
                radius: 8.0,
                toward_deg: 135.0,
                label: "R 8".to_owned(),
            },
            Dimension::Radius {
                centre: [-14.0, -22.0],
                radius: 8.0,
                toward_deg: 225.0,
                label: "R 8".to_owned(),
            },
        ],
        sections: vec![
            SectionInset {
                name: "spine".to_owned(),
                outline: SectionOutline::Oval,
                depth_mm: 14.0,
                breadth_mm: 11.0,
            },
            SectionInset {
                name: "upper bar".to_owned(),
                outline: SectionOutline::Round,
                depth_mm: 12.0,
                breadth_mm: 12.0,
            },
            SectionInset {
                name: "lower bar".to_owned(),
                outline: SectionOutline::I { flange_mm: 3.0, web_mm: 4.0 },
                depth_mm: 14.0,
                breadth_mm: 11.0,
            },
        ],
        notes: vec![
            "All lengths in millimetres. Clearances are radial: nose pin 0.15, hinge pin 0.05.".to_owned(),
        ],
    }
}

/// A forecast beside a map.
pub fn forecast<'a>(map: &'a StressMap<'a>) -> ForecastPicture<'a> {
    let bar = |what: &str, at_kn: f64, first: bool, ends: bool| LimitBar {
        what: what.to_owned(),
        at_kn,
        first,
        ends,
    };
    ForecastPicture {
        title: map.title.clone(),
        subtitle: "gate closed, both ends 12\u{a0}mm strap centred".to_owned(),
        sentence: "At 20.5\u{a0}kN the lip of the notch fails.".to_owned(),
        then: "The open hook then tears at the spine's inner side beside a corner.".to_owned(),
        bars: vec![
            bar("lip of the notch", 20.5, true, true),
            bar("gate, torn out at the hinge pin", 23.4, false, true),
            bar("frame opens", 23.9, false, true),
            bar("root of the nose", 26.1, false, true),
            bar("frame yields in places, still holds", 13.0, false, false),
            bar("open hook, once the gate has gone", 7.1, false, false),
        ],
        more: Some("7 more parts, from 31.2 kN".to_owned()),
        range_kn: [18.0, 21.5],
        range: "90 % range: 18.0 to 21.5 kN".to_owned(),
        marked: Some(Marked { kn: 20.0, told: "marked 20 kN".to_owned() }),
        map_caption: "stress at 10.0 kN, warm is high".to_owned(),
        name: "A forecast".to_owned(),
        description: "What the forecast says.".to_owned(),
        map,
    }
}
