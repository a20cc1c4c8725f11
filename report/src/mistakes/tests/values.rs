//! Values that are wrong by themselves, and numbers that do not fit each other.

use super::*;

#[test]
fn numbers_that_are_not() {
    for (to, what) in [
        ("tip_mm = nan", "base.toml:11: nose.tip_mm: found nan mm; allowed: 2 to 150 mm"),
        ("tip_mm = inf", "base.toml:11: nose.tip_mm: found inf mm; allowed: 2 to 150 mm"),
        ("tip_mm = 1e400", "base.toml:11: nose.tip_mm: found inf mm; allowed: 2 to 150 mm"),
        ("tip_mm = 14000", "base.toml:11: nose.tip_mm: found 14000 mm; allowed: 2 to 150 mm"),
        (
            "tip_mm = true",
            "base.toml:11: nose.tip_mm: found true; allowed: a number in mm, or a text such as \"14 mm\"",
        ),
        ("tip_mm = [14]", "found a list of 1"),
        ("tip_mm = 2026-01-01", "found the date 2026-01-01"),
        ("tip_mm = '14'", "hint: write \"14 mm\", or 14 without quotes"),
        ("tip_mm = '14,500 mm'", "hint: write \"14.500 mm\", or \"14500 mm\""),
        ("tip_mm = 'wide'", "found \"wide\", which is not a number"),
        ("tip_mm = '15-12'", "nose.tip_mm: found \"15-12\"; allowed: the smaller number first"),
        ("tip_mm = '149 ± 2'", "nose.tip_mm: found \"149 ± 2\", that is 147 to 151 mm; allowed: 2 to 150 mm"),
        ("tip_mm = '1 to 15'", "nose.tip_mm: found 1 mm in \"1 to 15\"; allowed: 2 to 150 mm"),
        ("tip_mm = '14 ± -1'", "nose.tip_mm: found -1 mm in \"14 ± -1\"; allowed: 0 to 148 mm"),
        ("tip_mm = '14 ±'", "hint: write it like \"14 mm\", \"14 ± 0.2\" or \"12 to 15\""),
        ("tip_mm = {}", "nose.tip_mm: found {  }; allowed: a number, { value = a number"),
        ("tip_mm = { value = 14, plus_minus = -1 }", "nose.tip_mm.plus_minus: found -1 mm"),
        (
            "tip_mm = { value = 149, plus_minus = 2 }",
            "nose.tip_mm.plus_minus: found 149 plus or minus 2, that is 147 to 151 mm; allowed: 2 to 150 mm",
        ),
        ("tip_mm = { value = 14, pm = 1 }", "nose.tip_mm.pm: found a key that no model file has"),
        ("tip_mm = { between = [15, 12] }", "found 15 to 12; allowed: the smaller number first"),
        ("tip_mm = { between = [12] }", "nose.tip_mm: found { between = [12] }"),
        ("tip_mm = { value = 14, between = [12, 15] }", "allowed: a number, { value"),
    ] {
        let found = with("tip_mm = 14", to);
        assert!(found.len() == 1 && found[0].contains(what), "{to}: {found:#?}");
        assert!(found[0].starts_with("base.toml:11: nose.tip_mm"), "{found:?}");
    }
}

#[test]
fn what_does_not_fit_in_a_range_names_what_was_written() {
    for (to, what) in [
        ("notch_depth_mm = '12-15'", "found 13.5 mm, the middle of \"12-15\"; allowed: at most"),
        ("notch_depth_mm = '14 ± 0.2'", "found 14 mm, the middle of \"14 ± 0.2\"; allowed: at most"),
        (
            "notch_depth_mm = { between = [12, 15] }",
            "the middle of \"{ between = [12, 15] }\"; allowed: at most",
        ),
    ] {
        let found = with("notch_depth_mm = 6", to);
        assert!(found.len() == 1 && found[0].contains(what), "{to}: {found:#?}");
    }
}

#[test]
fn sections_refuse_what_has_no_meaning() {
    let found = mistakes(&format!("{BASE}[section.upper]\nshape = 'i'\nflange_mm = 7\n"));
    assert!(
        found[0].starts_with("base.toml:26: section.upper.web_mm: missing, and needed when shape = \"i\"")
    );
    assert!(
        found[1].starts_with("base.toml:28: section.upper.flange_mm: found 7 mm; allowed: at most 6.75 mm")
    );
    assert!(
        with("breadth_mm = 11", "breadth_mm = 15")[0]
            .starts_with("base.toml:9: section.spine.breadth_mm: found 15")
    );
    let found = with("shape = 'oval'", "shape = 'round'");
    assert!(
        found[0].contains("section.spine.breadth_mm: found, but it has no meaning here: a round bar"),
        "{found:?}"
    );
    let found = with("breadth_mm = 11", "breadth_mm = 11\nweb_mm = 3");
    assert!(
        found[0].starts_with("base.toml:10: section.spine.web_mm: found, but it has no meaning"),
        "{found:?}"
    );
    let found = with("depth_mm = 14\n", "");
    assert_eq!(found.len(), 1, "inherited sections do not repeat it: {found:?}");
}

#[test]
fn corner_radii() {
    assert!(
        with("corner_radius_mm = 8", "corner_radius_mm = [8, 8]")[0]
            .contains("found a list of 2; allowed: one number")
    );
    let found = with("corner_radius_mm = 8", "corner_radius_mm = [8, 8,\n8, -1]");
    assert_eq!(found, ["base.toml:6: window.corner_radius_mm[4]: found -1 mm; allowed: 0.5 to 150 mm"]);
    let found = with("corner_radius_mm = 8", "corner_radius_mm = [22, 22.5, 8, 8]");
    assert!(
        found[0].contains("found radii 22 and 22.5 mm, which take 44.5 mm of the upper end; allowed: at most its length, 44 mm"),
        "{found:#?}"
    );
}

#[test]
fn what_does_not_fit() {
    for (from, to, what) in [
        (
            "notch_depth_mm = 6",
            "notch_depth_mm = 13.5",
            "base.toml:12: nose.notch_depth_mm: found 13.5 mm; allowed: at most 13 mm",
        ),
        ("tip_mm = 14", "tip_mm = 7.9", "base.toml:11: nose.tip_mm: found 7.9 mm; allowed: at least 8 mm"),
        (
            "tip_mm = 14",
            "tip_mm = 8.5",
            "base.toml:11: nose.tip_mm: found 8.5 mm; allowed: at least 8.8 mm, room for the lip",
        ),
        (
            "height_mm = 10",
            "height_mm = 7",
            "base.toml:18: hinge.height_mm: found 7 mm; allowed: at least 8 mm",
        ),
        ("tip_mm = 14", "tip_mm = 43", "nose.tip_mm: found 0 mm between the nose and the lug"),
        (
            "pin_diameter_mm = 5",
            "pin_diameter_mm = 8",
            "base.toml:19: hinge.pin_diameter_mm: found 8 mm; allowed: at most 7 mm",
        ),
        (
            "pin_diameter_mm = 4",
            "pin_diameter_mm = 7.5",
            "nose.pin_diameter_mm: found 7.5 mm; allowed: at most 7 mm",
        ),
        (
            "height_mm = 10",
            "height_mm = 10\nlug_radius_mm = 3.5",
            "base.toml:19: hinge.lug_radius_mm: found 0.95 mm of metal",
        ),
        (
            "width_mm = 9",
            "width_mm = 9\ncheek_mm = 5.5",
            "gate.cheek_mm: found 5.5 mm; allowed: at most 5 mm",
        ),
        (
            "upper_width_mm = 44",
            "upper_width_mm = 44\nupper_slope_deg = -60\nlower_slope_deg = 60",
            "window.upper_slope_deg: found slopes",
        ),
    ] {
        let found = with(from, to);
        assert!(found.iter().any(|mistake| mistake.contains(what)), "{to}: {found:#?}");
    }
}

#[test]
fn straps_and_bars_fit_the_window() {
    let rig = |rest: &str| format!("{BASE}[rig.upper]\n{rest}");
    resolved(&rig("width_mm = 43\n"));
    let found = mistakes(&rig("width_mm = 43.1\n"));
    assert_eq!(
        found,
        [
            "base.toml:27: rig.upper.width_mm: found a strap of 43.1 mm; allowed: at most 43 mm (-21.5 to 21.5 mm across the \
          window here)"
        ]
    );
    resolved(&rig("offset_mm = -15.5\n"));
    let found = mistakes(&rig("offset_mm = 15.6\n"));
    assert!(
        found[0].starts_with("base.toml:27: rig.upper.offset_mm: found a strap from 9.6 to 21.6 mm"),
        "{found:?}"
    );
    assert!(found[0].contains("leaves offsets of at most -15.5 to 15.5 mm"), "{found:?}");
    let found = mistakes(&rig("kind = 'bar'\ndiameter_mm = 20\noffset_mm = 12\n"));
    assert!(found[0].contains("found a bench bar from 2 to 22 mm"), "{found:?}");
    // Unequal widths: the spine side is at -(44 + 30)/4 = -18.5, so the lower end reaches from there to 11.5.
    let uneven = BASE.replace("upper_width_mm = 44", "upper_width_mm = 44\nlower_width_mm = 30");
    let found = mistakes(&format!("{uneven}[rig.lower]\noffset_mm = 6\n"));
    assert!(found[0].contains("allowed: -18 to 11 mm across"), "{found:?}");
}

#[test]
fn rigs() {
    let rig = |rest: &str| format!("{BASE}[rig]\n{rest}");
    for (rest, what) in [
        ("load_kn = 0\n", "base.toml:27: rig.load_kn: found 0 kN; allowed: 0.01 to 1000 kN"),
        ("load_kn = -10\n", "base.toml:27: rig.load_kn: found -10 kN"),
        ("load_kn = '20 kg'\n", "hint: in kg it is a mass; for its weight write kgf"),
        ("gate = 'half'\n", "base.toml:26: rig.engaged_mm: missing, and needed when gate = \"half\""),
        (
            "gate = 'half'\nengaged_mm = 6.5\n",
            "base.toml:28: rig.engaged_mm: found 6.5 mm; allowed: at most 6 mm",
        ),
        ("gate = 'ajar'\n", "base.toml:27: rig.gate: found \"ajar\"; allowed: closed, half, open"),
        ("upper.kind = 'bar'\n", "rig.upper.diameter_mm: missing, and needed when kind = \"bar\""),
        ("upper.diameter_mm = 12\n", "rig.upper.diameter_mm: found, but it has no meaning here"),
        ("lower = { kind = 'bar', diameter_mm = 9, width_mm = 9 }\n", "rig.lower.width_mm: found, but"),
        ("friction = '0.2'\n", "hint: write 0.2 without quotes"),
    ] {
        let found = mistakes(&rig(rest));
        assert!(found.len() == 1 && found[0].contains(what), "{rest}: {found:#?}");
    }
}

#[test]
fn materials_of_ones_own() {
    let own = "frame = { name = 'X', youngs_modulus_mpa = '70 GPa', poisson_ratio = 0.33, yield_mpa = 300, \
               ultimate_mpa = '50 ksi', density_g_cm3 = '2700 kg/m^3', source = 'bench' }";
    let found = with("frame = '7075-t6'", &own.replace("yield_mpa = 300", "yield_mpa = 400"));
    assert!(
        found[0].contains("material.frame.yield_mpa: found 400 MPa; allowed: at most the ultimate strength")
    );
    let found = with("frame = '7075-t6'", "frame = { name = 'X', yeld_mpa = 300 }");
    assert_eq!(found.len(), 6, "{found:#?}");
    assert!(found.iter().any(|mistake| mistake.ends_with("did you mean material.frame.yield_mpa?")));
    assert!(with("frame = '7075-t6'", "frame = true")[0].contains("found true"));
    assert!(with("frame = '7075-t6'\n", "")[0].starts_with("base.toml:24: material.frame: missing"));
}

#[test]
fn a_load_across_is_refused_with_a_sentence() {
    let sentence =
        "found a load across the connector, which is not modelled: only pulls along the major axis are";
    for rest in
        ["across_kn = 7\n", "across = true\n", "direction = 'across'\n", "upper.direction = 'across'\n"]
    {
        let found = mistakes(&format!("{BASE}[rig]\n{rest}"));
        assert!(found.len() == 1 && found[0].contains(sentence), "{rest}: {found:?}");
    }
}
