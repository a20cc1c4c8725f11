"""Proves that the tests bite: seeds one fault at a time in a copy of the tree and asks whether the named tests fail.

    python3 tests/faults.py              every fault
    python3 tests/faults.py NAME ...     some of them

Exit code 0 when each fault is noticed by each of its tests, 1 when one is not, 2 when a fault cannot be seeded (the code
has changed: change the fault with it) or a test cannot be run. The tests are first shown to pass without any fault.

All faults are compiled at once, into a copy of the tree in target/faults: where the right text stands, the copy chooses
between it and the wrong one by a number in the environment. The copy and what was built of it are kept, so that a second
run compiles only what has changed. The first compiles geometry, solver, lab and their tests once more than the project does: some
50 s on two cores. Libraries are those of the project's own build (see tests/run.sh for how that is made).
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from copied_tree import Copy, Stopped

COPY = Copy("faults")

# Package and kind of the test binaries, by the name of their target.
BINARIES = {
    "geometry": ("pullmap-geometry", ["--lib"]),
    "solver": ("pullmap-solver", ["--lib"]),
    "lab": ("pullmap-lab", ["--lib"]),
    "problems": ("pullmap-reference", ["--test", "problems"]),
}

# The number of the fault that a test binary of the copy runs with; without it there is none.
VARIABLE = "PULLMAP_FAULT"
# What the switch ends a test binary with when it cannot read that number, and what a failing test ends it with.
BAD_SWITCH = 70
FAILED = 101
# A test that takes longer is given up, s.
LONGEST = 600.0

SWITCH = """
pub(crate) fn seeded_fault(number: u32) -> bool {
    static ASKED: std::sync::OnceLock<u32> = std::sync::OnceLock::new();
    let asked = ASKED.get_or_init(|| match std::env::var("VARIABLE") {
        Err(std::env::VarError::NotPresent) => 0,
        text => text.ok().and_then(|t| t.parse().ok()).unwrap_or_else(|| std::process::exit(BAD_SWITCH)),
    });
    *asked == number
}
""".replace("VARIABLE", VARIABLE).replace("BAD_SWITCH", str(BAD_SWITCH))


@dataclass(frozen=True)
class Test:
    """A test by the name of its binary and its own."""

    binary: str
    name: str


@dataclass(frozen=True)
class Fault:
    """An expression, or a statement with its semicolon, made wrong, and the tests that must notice.

    `right` stands once in the file, or once in `line`, which does. It runs when the test does: a constant is made wrong
    where it is used.
    """

    name: str
    file: str
    right: str
    wrong: str
    tests: tuple[Test, ...]
    line: str = ""


def solver(name: str) -> Test:
    return Test("solver", name)


def geometry(name: str) -> Test:
    return Test("geometry", name)


def lab(name: str) -> Test:
    return Test("lab", name)


def problem(name: str) -> Test:
    return Test("problems", name)


FAULTS = (
    Fault(
        "wrong Gauss weight",
        "solver/src/plane/quadrature.rs",
        "0.109_951_743_655_321_87",
        "0.119_951_743_655_321_87",
        (solver("each_rule_integrates_monomials"), problem("pressed_ring")),
    ),
    Fault(
        "transposed strain term",
        "solver/src/plane/element.rs",
        "strain[2] += g[1] * u[0] + g[0] * u[1];",
        "strain[2] += g[0] * u[0] + g[1] * u[1];",
        (problem("patch_in_plane_stress"), problem("skewed_panel")),
    ),
    Fault(
        "dropped breadth",
        "solver/src/plane/element.rs",
        "station.weight * placed.jacobian * breadth",
        "station.weight * placed.jacobian * breadth.signum()",
        (problem("straight_round_bar"), problem("shares_by_offset")),
    ),
    Fault(
        "flipped contact sign",
        "solver/src/response/unknowns.rs",
        "if row.surface == Side::Frame { 1.0 } else { -1.0 }",
        "if row.surface == Side::Frame { -1.0 } else { 1.0 }",
        (problem("pin_forces_are_equal"), problem("shares_by_offset")),
    ),
    Fault(
        "wrong lever arm in a rigid motion",
        "solver/src/response/mod.rs",
        "self.y + self.turn * p[0]",
        "self.y + 0.9 * self.turn * p[0]",
        (problem("section_forces_by_applied"), problem("spine_and_gate_carry")),
    ),
    Fault(
        "a part lost on the way to the root",
        "solver/src/plane/half.rs",
        "*r -= entry * s;",
        "*r -= 0.999 * entry * s;",
        (solver("products_of_halves_are_displacements"), problem("shares_by_offset")),
    ),
    Fault(
        "mean weights not centred",
        "solver/src/system/disc.rs",
        "w + even * correction.dot(&base)",
        "w + 0.0 * even * correction.dot(&base)",
        (solver("a_disc_follows_rigid_motions_exactly"),),
    ),
    Fault(
        "strap fibres over whole edges, at their nodes",
        "solver/src/response/unknowns.rs",
        "high <= -half || low >= half || high <= low",
        "0.5 * (low + high) <= -half || 0.5 * (low + high) >= half || high <= low",
        (problem("a_strap_s_resultant_follows"),),
    ),
    Fault(
        # A tenth is hardly felt (the chord is that thin over 0.03 mm only): the breadth itself is held.
        "a tenth of the breadth kept at round edges",
        "geometry/src/outline/breadth.rs",
        "chord.max(self.floor * widest)",
        "chord.max(10.0 * self.floor * widest)",
        (geometry("the_end_of_the_ear"),),
    ),
    Fault(
        "a wrong lever arm of the gate as it engages",
        "solver/src/response/engagement.rs",
        "-(x * fy - y * fx)",
        "-(x * fy + y * fx)",
        (problem("engagement_by_offset"),),
    ),
    Fault(
        "straps half as soft",
        "solver/src/response/programme.rs",
        "hessian[i * n + i] += unknown.soft;",
        "hessian[i * n + i] += 0.5 * unknown.soft;",
        (problem("the_open_hook_carries"),),
    ),
    Fault(
        "gaps not seen from the turned frame",
        "solver/src/response/pull.rs",
        "response.frame_motion.turn",
        "0.0",
        (solver("a_hook_that_swings_as_a_whole"),),
        line="let swing = Motion { turn: response.frame_motion.turn, ..Motion::default() };",
    ),
    Fault(
        "a blocked pin let go",
        "solver/src/response/hold.rs",
        "Hold::Blocked(lean)",
        "Hold::NotHeld(lean)",
        (solver("a_pin_that_leans_into_the_notch"),),
    ),
    Fault(
        "a blocked pin that slides home",
        "solver/src/response/hold.rs",
        "matches!(self, Self::ByFriction(_) | Self::Blocked(_))",
        "matches!(self, Self::ByFriction(_))",
        (solver("a_pin_that_leans_into_the_notch"),),
    ),
    Fault(
        "a contact kept closed that pulls",
        "solver/src/contact/quadratic/pinned.rs",
        "wrong.max(-slack[i])",
        "wrong.max(-0.0 * slack[i])",
        (solver("random_programmes"),),
    ),
    Fault(
        "a soft contact that does not lag",
        "solver/src/collapse/programme.rs",
        "s - (receding - row.closing + row.softness * l)",
        "s - (receding - row.closing + 0.0 * row.softness * l)",
        (solver("a_soft_contact_lags"),),
    ),
    Fault(
        "a pin that beds into its notch through a rigid contact",
        "solver/src/collapse/bedding.rs",
        "pin.radius / (STIFF * s.share_mm2)",
        "1e-3 * pin.radius / (STIFF * s.share_mm2)",
        (solver("a_pin_that_does_not_fill_its_notch"),),
    ),
    Fault(
        "a stiffness of flowing metal that forgets its hardening",
        "solver/src/plastic/law.rs",
        "along + 2.0 * length * slope / (3.0 - 2.0 * slope * flow)",
        "along + 0.0 * length * slope / (3.0 - 2.0 * slope * flow)",
        (solver("the_stiffness_is_the_derivative_of_the_stress"),),
    ),
    Fault(
        "a turn of a stressed triangle that needs no force",
        "solver/src/plastic/element.rs",
        "if i == j { turning } else { 0.0 }",
        "if i == j { 0.0 * turning } else { 0.0 }",
        (solver("blocks_are_derivatives_of_the_forces"),),
    ),
    Fault(
        "a first pull whose greatest force is measured over the area of that moment",
        "solver/src/plastic/first_pull.rs",
        "over_first_area_mpa * plastic.exp()",
        "over_first_area_mpa * (0.0 * plastic).exp()",
        (solver("every_metal_has_its_yield_and_its_ultimate_strength"),),
    ),
    Fault(
        "metal that bears as much strain however its sides are pulled",
        "solver/src/plastic/ductility.rs",
        "(GROWTH_OF_VOIDS * (PLAIN_TENSION - triaxiality)).exp()",
        "(0.0 * GROWTH_OF_VOIDS * (PLAIN_TENSION - triaxiality)).exp()",
        (solver("ductility_falls_with_triaxiality"),),
    ),
    Fault(
        "a gate that gives way to what presses on it",
        "solver/src/pull_to_failure/gate_balance.rs",
        "own.value[k] += product(force, *by);",
        "own.value[k] -= product(force, *by);",
        (solver("the_border_holds_the_derivatives_of_its_equations"),),
    ),
    Fault(
        "a pin that sticks whatever it takes",
        "solver/src/pull_to_failure/rub.rs",
        "by_friction > self.friction * press_n + LEAST_N",
        "by_friction > 1e9 * press_n + LEAST_N",
        (solver("a_pin_that_sticks_slips_beyond_the_cone"),),
    ),
    Fault(
        "a knee at a quarter of the elastic slope",
        "solver/src/pull_to_failure/marks.rs",
        "self::slope(was, is) < 0.5 * slope",
        "self::slope(was, is) < 0.125 * slope",
        (solver("marks_stand_where_two_straight_lines_put_them"),),
    ),
    Fault(
        "one shear plane of two",
        "solver/src/strength/pin.rs",
        "2.0 * shear_ultimate_mpa * PI * diameter_mm * diameter_mm / 4.0",
        "shear_ultimate_mpa * PI * diameter_mm * diameter_mm / 4.0",
        (solver("double_shear_is_that_of_the_texts"), problem("pin_in_double_shear")),
    ),
    Fault(
        "a net section beside the pin, not its hole",
        "solver/src/strength/lug.rs",
        "self.width_mm - self.hole_mm",
        "self.width_mm - self.pin_mm",
        (problem("pin_connected_plate"), solver("an_ear_is_a_lug")),
    ),
    Fault(
        "a gate line that holds any share",
        "solver/src/strength/frame_limit.rs",
        "by_frame.min(gate_capacity_n / share)",
        "by_frame",
        (solver("a_propped_cantilever"),),
    ),
    Fault(
        "a lean that holds the pin counted against it",
        "solver/src/strength/riding_out.rs",
        "friction.atan() - lean + left_mm.max(0.0) / line_mm",
        "friction.atan() + lean + left_mm.max(0.0) / line_mm",
        (solver("a_deep_seat_bears_more_turn"),),
    ),
    Fault(
        "a nose that turns with the pin line",
        "solver/src/strength/load_path.rs",
        "line_turn - notch_turn",
        "line_turn + notch_turn",
        (solver("the_notch_turns_against_the_pin_line"),),
    ),
    Fault(
        "a strap's pull over half its width",
        "solver/src/strength/cut_forces.rs",
        "width_mm * ((i as f64 + 0.5) / LINES as f64 - 0.5)",
        "0.5 * width_mm * ((i as f64 + 0.5) / LINES as f64 - 0.5)",
        (solver("a_bar_between_two_cuts"),),
    ),
    Fault(
        "a hook that holds beyond its strap",
        "solver/src/strength/ending.rs",
        "strap_kn < open_hook_kn",
        "strap_kn < fails_at_kn",
        (solver("a_gate_that_goes_leaves_the_hook"),),
    ),
    Fault(
        "corners of a grid exchanged",
        "solver/src/forecast/grid.rs",
        "[(1.0 - s) * (1.0 - t), (1.0 - s) * t, s * (1.0 - t), s * t]",
        "[(1.0 - s) * (1.0 - t), s * (1.0 - t), (1.0 - s) * t, s * t]",
        (solver("reciprocals_run_straight"), solver("loads_that_lie_far_off_at_both_ends")),
    ),
    Fault(
        "two lines in place of a parabola",
        "solver/src/forecast/response.rs",
        "[x * (x - b) / (a * (a - b)), x * (x - a) / (b * (b - a))]",
        "[(x / a).max(0.0), (x / b).max(0.0)]",
        (solver("what_an_unknown_does_runs_through"),),
    ),
    Fault(
        "a jump at the end of the range",
        "solver/src/forecast/response.rs",
        "x < 0.5 * a",
        "x < 0.9 * a",
        (solver("a_part_that_an_end_does_not_have_jumps"),),
    ),
    Fault(
        "an unknown that is not set back",
        "solver/src/forecast/range.rs",
        "one[of(i)].copy_from_slice(&middles[of(i)]);",
        "one[of(i)].copy_from_slice(&values[of(i)]);",
        (solver("what_matters_is_shared_by_variance"),),
    ),
    Fault(
        "a stated deviation narrowed by the cut",
        "solver/src/forecast/law.rs",
        "2.0 * deviation / CUT_AT_TWO",
        "2.0 * deviation",
        (solver("laws_keep_their_range_and_middle"),),
    ),
    Fault(
        "two changes that add up",
        "solver/src/causes/outcome.rs",
        "of(self) * of(changed) / of(base)",
        "of(self) + of(changed) - of(base)",
        (solver("two_changes_at_once_multiply"),),
    ),
    Fault(
        "a cause's hook that holds beyond its strap",
        "solver/src/causes/outcome.rs",
        "outcome.hook_rate.max(strap)",
        "outcome.hook_rate",
        (solver("an_outcome_ends_as_its_limits_do"),),
    ),
    Fault(
        "evidence that forgets the chance of each value",
        "solver/src/causes/scan.rs",
        "fits.iter().sum::<f64>() / chances",
        "fits.iter().sum::<f64>() / values.len() as f64",
        (solver("the_value_that_gives_the_load_is_found"),),
    ),
    Fault(
        "a tear in the spine's corners that is not the spine's",
        "solver/src/causes/place.rs",
        "of(Bar::Spine) || corners.spine",
        "of(Bar::Spine) || corners.upper",
        (solver("a_tear_beside_a_corner"),),
    ),
    Fault(
        "a normal leaning the other way under a tilted pull",
        "solver/src/seats/rests.rs",
        "pull[1] - slope * pull[0]",
        "pull[1] + slope * pull[0]",
        (solver("ends_that_slope_to_the_spine"),),
    ),
    Fault(
        "no stop at the sides of the window",
        "solver/src/seats/rests.rs",
        "(along > 0.0 && at >= high - FOUND_MM) || (along < 0.0 && at <= low + FOUND_MM)",
        "(along > 0.0 && at >= high - FOUND_MM) && (along < 0.0 && at <= low + FOUND_MM)",
        (solver("parallel_flats_leave_the_middle"),),
    ),
    Fault(
        "a strap that lies on its middle alone",
        "solver/src/seats/track.rs",
        "sum / f64::from(ACROSS)",
        "self.edge_at(x) + 0.0 * sum",
        (solver("full_round_ends_rest"),),
    ),
    Fault(
        "the zero of a trace not taken off",
        "lab/src/trace/pull.rs",
        "kn[peak] - zero",
        "kn[peak] - 0.0 * zero",
        (lab("one_cell_gives_its_peak_less_the_zero"),),
        line="kn: kn[peak] - zero,",
    ),
    Fault(
        "error codes taken for loads",
        "lab/src/trace/codes.rs",
        "found.iter().all(|f| f.0) && found.iter().any(|f| f.1)",
        "found.is_empty()",
        (lab("what_lies_far_from_its_neighbours_is_a_code"),),
    ),
    Fault(
        "half of what may lie between samples",
        "lab/src/trace/missed.rs",
        "slope_kn_s * gap_s",
        "0.5 * slope_kn_s * gap_s",
        (lab("a_slow_pull_loses_its_slope_times_the_gap"), lab("the_bound_holds_the_true_peak_of_drawn_pulls")),
        line="Missed::Ramp { kn: slope_kn_s * gap_s, slope_kn_s, gap_s }",
    ),
    Fault(
        "a load that rises from the first sample on taken for a zero",
        "lab/src/trace/quiet.rs",
        "creeps(kn, [from, to, whole], noise_kn, most.abs())",
        "whole < to",
        (lab("a_load_that_rises_from_the_first_sample_on_is_no_zero"),),
    ),
    Fault(
        "samples that were lost not noticed",
        "lab/src/trace/absent.rs",
        "(p[i] - p[i - 1] - 1.0) as usize",
        "(0.0 * p[i - 1]) as usize",
        (lab("numbers_of_samples_tell_what_was_lost"),),
    ),
    Fault(
        "n for n - 1 in a standard deviation",
        "lab/src/statistics/moments.rs",
        "(squares / (n - 1.0)).sqrt()",
        "(squares / n).sqrt()",
        (lab("both_standard_deviations_differ_by_their_divisor"), lab("certified_moments_are_met")),
    ),
    Fault(
        "pulls that ended without a break counted as breaks",
        "lab/src/lots/chosen.rs",
        "pull.broke()?",
        "pull.broke()? || pull.number > 0",
        (lab("each_pull_counts_as_what_it_was"),),
        line="..statistics::Pull::new(pull.peak_kn()?, pull.broke()?)",
    ),
    Fault(
        "a two-sided tolerance bound",
        "lab/src/statistics/tolerance.rs",
        "quantile(share) * n.sqrt()",
        "quantile(0.5 + 0.5 * share) * n.sqrt()",
        (lab("factors_are_those_of_the_tables"),),
    ),
    Fault(
        "an amendment ignored",
        "lab/src/logbook/read.rs",
        "now.set(amendment.field, amendment.new.as_deref()).is_err()",
        "amendment.why.is_empty()",
        (lab("every_field_is_amended_and_what_stood_there_stays"),),
    ),
    Fault(
        "a withdrawn pull counted",
        "lab/src/logbook/filter.rs",
        "pull.withdrawn.is_none()",
        "pull.number > 0",
        (lab("a_withdrawn_pull_stays_on_record_and_counts_no_more"),),
    ),
    Fault(
        "a model with other values taken for the same",
        "lab/src/lots/groups.rs",
        "*of == sets",
        "of.len() <= sets.len() || true",
        (lab("a_model_with_other_values_is_another_connector"),),
    ),
)


def place_of(fault: Fault, text: str) -> tuple[int, int]:
    """Where the right text of a fault begins and ends in its file."""
    line = fault.line or fault.right
    if text.count(line) != 1 or line.count(fault.right) != 1:
        times = text.count(line) if text.count(line) != 1 else line.count(fault.right)
        raise Stopped(f"{fault.name}: the text to change stands {times} times in {fault.file}")
    start = text.index(line) + line.index(fault.right)
    return start, start + len(fault.right)


def with_tests_wanted(manifest: str) -> str:
    """A manifest without the tests that no fault asks for."""
    name = re.search(r'^name = "([^"]+)"', manifest, flags=re.MULTILINE)
    kinds = {kind for package, (kind, *_) in BINARIES.values() if name and package == name.group(1)}
    if "--test" not in kinds:
        manifest = manifest.replace("[package]\n", "[package]\nautotests = false\n")
    if "--lib" not in kinds:
        manifest = re.sub(r"^\[lib\]\n", "[lib]\ntest = false\n", manifest, flags=re.MULTILINE)
    return re.sub(r"^\[\[bin\]\]\n", "[[bin]]\ntest = false\n", manifest, flags=re.MULTILINE)


def seeded(file: str, text: str) -> str:
    """The text of a file with all its faults behind the switch."""
    places = [(place_of(f, text), n, f) for n, f in enumerate(FAULTS, start=1) if f.file == file]
    last = len(text)
    for (start, end), number, fault in sorted(places, key=lambda p: p[0], reverse=True):
        if end > last:
            raise Stopped(f"{fault.name}: overlaps with another fault in {fault.file}")
        last = start
        choice = f"match crate::seeded_fault({number}) {{ true => {{ {fault.wrong} }} false => {{ {fault.right} }} }}"
        text = text[:start] + choice + text[end:]
    if file.endswith("Cargo.toml"):
        return with_tests_wanted(text)
    sources = file.removesuffix("lib.rs")
    has_switch = sources.endswith("/src/") and any(f.file.startswith(sources) for f in FAULTS)
    return text + SWITCH if has_switch else text


def build() -> dict[str, tuple[Path, Path]]:
    """Writes and compiles the copy. The test binaries and the folders that they run in."""
    missing = {f.file for f in FAULTS} - COPY.write(seeded)
    if missing:
        raise Stopped(f"no such file: {', '.join(sorted(missing))}")
    # Of the whole workspace: so libraries have the features of the project's own build, and are not compiled again.
    printed = COPY.cargo(
        "test", "--release", "--locked", "--no-run", "--message-format=json-render-diagnostics", "--workspace", "--tests"
    )
    messages = [json.loads(line) for line in printed.splitlines() if line.startswith("{")]
    made = {
        m["target"]["name"]: (Path(m["executable"]), Path(m["manifest_path"]).parent)
        for m in messages if m["reason"] == "compiler-artifact" and m["profile"]["test"] and m["executable"]
    }
    if not made.keys() >= BINARIES.keys():
        raise Stopped(f"no binary was built for {', '.join(BINARIES.keys() - made.keys())}")
    return made


def passes(made: dict[str, tuple[Path, Path]], test: Test, fault: int) -> bool:
    """Runs a test of the copy with the fault of a number; 0 for none."""
    executable, folder = made[test.binary]
    environment = {k: v for k, v in os.environ.items() if k != VARIABLE} | {"RUST_BACKTRACE": "0"}
    if fault:
        environment[VARIABLE] = str(fault)
    try:
        done = subprocess.run(
            [executable, test.name], cwd=folder, env=environment, capture_output=True, text=True, timeout=LONGEST
        )
    except subprocess.TimeoutExpired:
        raise Stopped(f"{test.name}: has not ended after {LONGEST:.0f} s with fault {fault}") from None
    ran = re.search(r"^running ([1-9]\d*) test", done.stdout, re.MULTILINE)
    if done.returncode == BAD_SWITCH or done.returncode not in (0, FAILED):
        raise Stopped(f"{test.name}: ended with {done.returncode} with fault {fault}:\n{done.stderr[-2000:]}")
    if not ran:
        raise Stopped(f"{test.name}: no test of that name in {test.binary}")
    return done.returncode == 0


def in_order(work: list[Callable[[], bool]]) -> Iterator[bool]:
    """Results of some work in its order, done as many at a time as there are cores."""
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        futures = [pool.submit(w) for w in work]
        try:
            for future in futures:
                yield future.result()
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def run(wanted: list[str]) -> int:
    faults = [(n, f) for n, f in enumerate(FAULTS, start=1) if not wanted or any(w in f.name for w in wanted)]
    if not faults:
        raise Stopped(f"no fault is named {' or '.join(wanted)}")
    began = time.monotonic()
    made = build()
    built = time.monotonic()
    tests = sorted({t for _, f in faults for t in f.tests}, key=str)
    for test, passed in zip(tests, in_order([lambda t=t: passes(made, t, 0) for t in tests])):
        if not passed:
            raise Stopped(f"{test.name} fails without any fault")
    pairs = [(number, fault, test) for number, fault in faults for test in fault.tests]
    missed = 0
    for (_, fault, test), passed in zip(pairs, in_order([lambda n=n, t=t: passes(made, t, n) for n, _, t in pairs])):
        missed += passed
        print(f"{'MISSED ' if passed else 'noticed'}  {fault.name:56} {test.name}", flush=True)
    print(f"built in {built - began:.0f} s, run in {time.monotonic() - built:.0f} s")
    print(f"{len(pairs) - missed} passed, {missed} failed")
    return 1 if missed else 0


def main(wanted: list[str]) -> int:
    try:
        return run(wanted)
    except Stopped as why:
        print(why)
        return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
