//! From outline to what a caliper reads, and back to the outline.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use geometry::caliper::{Asked, Caliper, Measure, connector_reading};
use geometry::connector::Connector;
use pullmap_tests::drawn;
use rayon::prelude::*;

/// Connectors that are read.
const CONNECTORS: usize = 500;

fn own(connector: &Connector) -> [f64; 5] {
    let window = &connector.window;
    [
        window.inside_length_mm,
        window.upper_width_mm,
        window.lower_width_mm,
        connector.nose.tip_mm,
        connector.hinge.height_mm,
    ]
}

/// The connector without the values that `measures` take the place of.
fn without(connector: &Connector, measures: &[Measure]) -> Connector {
    let mut from = connector.clone();
    for measure in measures {
        let value = match measure {
            Measure::OverallLength | Measure::ClearLength => &mut from.window.inside_length_mm,
            Measure::UpperOverAll => &mut from.window.upper_width_mm,
            Measure::LowerOverAll => &mut from.window.lower_width_mm,
            Measure::TipOverBar => &mut from.nose.tip_mm,
            Measure::PinToPin | Measure::GateOpening => &mut from.hinge.height_mm,
        };
        *value = f64::NAN;
    }
    from
}

#[test]
fn drawn_connectors_are_found_again_from_what_a_caliper_reads() {
    use Measure::{ClearLength, LowerOverAll, OverallLength, PinToPin, TipOverBar, UpperOverAll};
    let fits = |index: u64| {
        let (connector, _) = drawn::connector(index);
        Caliper::read(&connector).ok().map(|read| (index, connector, read))
    };
    let all: Vec<(u64, Connector, Caliper)> = (0..).filter_map(fits).take(CONNECTORS).collect();
    let mixes: [&[Measure]; 8] = [
        &[OverallLength, UpperOverAll, LowerOverAll, TipOverBar, PinToPin],
        &[ClearLength, UpperOverAll, LowerOverAll, TipOverBar, PinToPin],
        &[OverallLength],
        &[ClearLength],
        &[UpperOverAll],
        &[LowerOverAll, PinToPin],
        &[TipOverBar],
        &[PinToPin],
    ];
    all.par_iter().for_each(|(index, connector, read)| {
        // A gate that strikes the frame before it is out of the nose opens by nothing.
        let possible = |measure: &Measure| {
            read.of(*measure) > 0.0 || (*measure == Measure::GateOpening && read.gate_opening_mm == 0.0)
        };
        assert!(Measure::ALL.iter().all(possible), "{index}: {read:?}");
        for measures in mixes {
            let asked: Vec<Asked> = measures
                .iter()
                .map(|measure| Asked { measure: *measure, mm: read.of(*measure), range_mm: [2.0, 500.0] })
                .collect();
            let found = connector_reading(&without(connector, measures), &asked, false)
                .unwrap_or_else(|unread| panic!("{index} {measures:?}: {unread:?}"));
            let again = Caliper::read(&found).unwrap_or_else(|e| panic!("{index} {measures:?}: {e:?}"));
            for measure in Measure::ALL {
                let off = again.of(measure) - read.of(measure);
                // A gate that comes to lie along an edge touches it first at one end or the other.
                let within = if measure == Measure::GateOpening { 1e-6 } else { 1e-9 };
                assert!(off.abs() < within, "{index} {measures:?} {measure:?}: {off:e}");
            }
            for (a, b) in own(&found).into_iter().zip(own(connector)) {
                assert!((a - b).abs() < 1e-9, "{index} {measures:?}: {a} against {b}");
            }
        }
    });
}
