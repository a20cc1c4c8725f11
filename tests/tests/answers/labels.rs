//! Labels of maps: no leader runs over the connector, the hinge, the enlarged nose or another label, and no label stands on
//! anything.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::args::Field;
use explorer::mapping::Shown;
use pullmap_tests::trial::has_turn;
use solver::system::SystemSettings;
use study::{Engine, map};
use viz::{LabelPlace, MapPlaces, PageBox};

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];
const LOADS_KN: [&str; 5] = ["0.4", "3", "10", "17", "24"];
const FIELDS: [Field; 3] = [Field::VonMises, Field::PullDirection, Field::Trajectories];
/// The page of a map, pixels.
const PAGE: [u32; 2] = [1600, 1200];
/// A leader may lie over metal this near to the point that it names, units.
const NEAR: f64 = 90.0;

/// The search knows the page in cells of twice this: lines that lie on an edge within it only graze it, units.
const GRAZES: f64 = 4.0;

type Point = [f64; 2];
type Line = [Point; 2];

fn cross([a, b]: Line, [c, d]: Line) -> bool {
    let turn = |p: Point, q: Point, r: Point| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}

/// A line moved to its side.
fn aside([a, b]: Line, by: f64) -> Line {
    let d = [b[0] - a[0], b[1] - a[1]];
    let long = d[0].hypot(d[1]).max(1e-9);
    [a, b].map(|p| [p[0] - by * d[1] / long, p[1] + by * d[0] / long])
}

fn meets_polygons(line: Line, polygons: &[Vec<Point>]) -> bool {
    polygons
        .iter()
        .any(|points| (0..points.len()).any(|i| cross(line, [points[i], points[(i + 1) % points.len()]])))
}

fn holds([low, high]: PageBox, p: Point) -> bool {
    (0..2).all(|k| low[k] <= p[k] && p[k] <= high[k])
}

fn edges([a, c]: PageBox) -> Vec<Point> {
    vec![a, [c[0], a[1]], c, [a[0], c[1]]]
}

fn meets_box(line: Line, area: PageBox) -> bool {
    line.iter().any(|p| holds(area, *p)) || meets_polygons(line, &[edges(area)])
}

fn grown([low, high]: PageBox, by: f64) -> PageBox {
    [low.map(|x| x - by), high.map(|x| x + by)]
}

fn overlap(a: PageBox, b: PageBox) -> bool {
    (0..2).all(|k| a[0][k] < b[1][k] && b[0][k] < a[1][k])
}

fn away(p: Point, [a, b]: Line) -> f64 {
    let d = [b[0] - a[0], b[1] - a[1]];
    let t = ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    (p[0] - a[0] - t * d[0]).hypot(p[1] - a[1] - t * d[1])
}

/// The lines of a leader.
fn lines(label: &LabelPlace) -> Vec<Line> {
    let [start, elbow, end] = label.leader;
    [[start, elbow], [elbow, end]].into_iter().filter(|[a, b]| a != b).collect()
}

/// The lines of a leader without what lies near the point.
fn far_lines(label: &LabelPlace) -> Vec<Line> {
    let far = |[a, b]: Line| {
        let out = (a[0] - label.point[0]).hypot(a[1] - label.point[1]);
        let long = (a[0] - b[0]).hypot(a[1] - b[1]);
        let part = ((out - NEAR) / long).min(1.0);
        (part > 0.0).then(|| [a, [0, 1].map(|k| a[k] + part * (b[k] - a[k]))])
    };
    lines(label).into_iter().filter_map(far).collect()
}

/// What is wrong with the labels of a map.
fn faults(places: &MapPlaces) -> Vec<String> {
    let mut faults = Vec::new();
    let mut say = |label: &LabelPlace, what: &str| faults.push(format!("{:.0} MPa: {what}", label.value_mpa));
    for (i, label) in places.labels.iter().enumerate() {
        let far = far_lines(label);
        let over = |polygons: &[Vec<Point>]| {
            // A line that grazes an edge lies on its other side when moved there.
            let meets =
                |line: Line| [-GRAZES, GRAZES].iter().all(|by| meets_polygons(aside(line, *by), polygons));
            !label.crosses && far.iter().any(|line| meets(*line))
        };
        if over(&places.gate) {
            say(label, "its leader crosses the gate");
        }
        if over(&places.frame) {
            say(label, "its leader crosses the frame");
        }
        if !label.crosses
            && places.pins.iter().any(|(at, radius)| far.iter().any(|line| away(*at, *line) < 1.2 * radius))
        {
            say(label, "its leader crosses a pin");
        }
        if let Some([window, on_map]) = places.inset {
            if lines(label).iter().any(|line| meets_box(*line, window)) || overlap(label.area, window) {
                say(label, "it meets the enlarged nose");
            }
            if !label.crosses
                && !holds(grown(on_map, 14.0), label.point)
                && lines(label).iter().any(|l| meets_box(*l, on_map))
            {
                say(label, "its leader crosses the frame around the nose");
            }
            if overlap(label.area, on_map) {
                say(label, "it stands on the frame around the nose");
            }
        }
        let bodies = places.loads.iter().chain(&places.frame).chain(&places.gate);
        for polygon in bodies {
            let corners = edges(grown(label.area, 4.0));
            let sides = (0..4).map(|k| [corners[k], corners[(k + 1) % 4]]);
            if sides.into_iter().any(|side| meets_polygons(side, std::slice::from_ref(polygon))) {
                say(label, "it stands on an edge of connector or strap");
            }
        }
        for (j, other) in places.labels.iter().enumerate() {
            if i == j {
                continue;
            }
            if i < j && overlap(label.area, other.area) {
                say(label, "it stands on another");
            }
            if lines(label).iter().any(|line| meets_box(*line, other.area)) {
                say(label, "its leader crosses another label");
            }
            if lines(label).iter().any(|a| lines(other).iter().any(|b| cross(*a, *b))) {
                say(label, "its leader crosses another leader");
            }
            if lines(label).iter().any(|line| away(other.point, *line) < 12.0) {
                say(label, "its leader crosses another ring");
            }
        }
    }
    faults
}

#[test]
fn no_leader_runs_over_the_connector_and_no_label_over_another() {
    let mut found = Vec::new();
    let mut bare = Vec::new();
    let (mut pictures, mut labels, mut wanted, mut crossing) = (0, 0, 0, Vec::new());
    for (of_model, name) in MODELS.into_iter().enumerate() {
        // A change of load keeps the system.
        let engine = Engine::default();
        let loads = LOADS_KN.iter().enumerate().filter(|(i, _)| has_turn(*i, of_model, MODELS.len()));
        let closed = loads.map(|(_, kn)| (*kn, "closed"));
        for (load, gate) in closed.chain([("4", "open"), ("10", "half")]) {
            let sets = [("rig.load_kn", load), ("rig.gate", gate)];
            let model = pullmap_tests::model(name, &sets);
            let solved = map::solve(&engine, &model.case(SystemSettings::default()), &|_| ()).unwrap();
            let shown = Shown::new(&solved, &model.title, 0.0);
            for field in FIELDS {
                let places = shown.map(name, "", field).places(PAGE[0], PAGE[1]);
                pictures += 1;
                if places.inset.is_none() && gate != "open" {
                    bare.push(format!("{name}, {load} kN, gate {gate}, {field:?}"));
                }
                assert!(
                    places.labels.len() >= places.wanted.min(2),
                    "{name}, {load} kN, gate {gate}: few labels"
                );
                labels += places.labels.len();
                wanted += places.wanted;
                let of = format!("{name}, {load} kN, gate {gate}, {field:?}");
                crossing.extend(
                    places
                        .labels
                        .iter()
                        .filter(|l| l.crosses)
                        .map(|l| format!("{of}: {:.0} MPa", l.value_mpa)),
                );
                found.extend(faults(&places).into_iter().map(|fault| format!("{of}: {fault}")));
            }
        }
    }
    println!("{pictures} pictures, {labels} labels of {wanted}");
    // The three highest stresses are told even where no way leads around.
    assert!(10 * crossing.len() <= labels, "over metal:\n{}", crossing.join("\n"));
    assert_eq!(bare, Vec::<String>::new(), "pictures without the nose enlarged");
    assert!(labels >= 3 * pictures, "three of five points are told on the average");
    assert!(found.is_empty(), "{} faults\n{}", found.len(), found.join("\n"));
}
