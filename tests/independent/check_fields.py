"""Solves a connector again from its exported fields, with nothing of the program but the numbers in the file.

    check_fields.py FIELDS.npz      exit code 0 when everything agrees, 1 when something does not, 2 when unreadable
    check_fields.py --self-test     proves on made-up bodies that the check passes and fails when it should

For each body: reassemble the stiffness with the exported breadths and rules, apply the exported forces, hold the body
at three supports of our own, solve, and compare displacements once rigid motion is taken out. Forces must balance, and
the stress at the integration points must follow from the exported displacements.
"""

from __future__ import annotations

import argparse
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import scipy.sparse.linalg as sparse_linalg

from fields_file import Body, LayoutError, load, split
from triangle6 import stiffness, stress_at_integration_points

BALANCE_LIMIT = 1e-8
DISPLACEMENT_LIMIT = 1e-6
STRESS_LIMIT = 1e-6
# A body that carries less than this part of the load (the open gate) is measured on the scale of the loaded one.
UNLOADED = 1e-9


@dataclass(frozen=True)
class Row:
    """What was found for one body, all relative."""

    body: Body
    force_balance: float
    moment_balance: float
    displacement: float
    stress: float

    def passes(self) -> bool:
        """Whether every figure is inside its limit; a NaN is not."""
        return (
            self.force_balance <= BALANCE_LIMIT
            and self.moment_balance <= BALANCE_LIMIT
            and self.displacement <= DISPLACEMENT_LIMIT
            and self.stress <= STRESS_LIMIT
        )


def without_rigid_motion(points: np.ndarray, displacement: np.ndarray) -> np.ndarray:
    """What is left of a displacement field after the closest translation and small rotation are taken out."""
    from_centre = points - points.mean(axis=0)
    # Lengths of order one, so that the three columns weigh the same.
    from_centre = from_centre / np.abs(from_centre).max()
    motion = np.zeros((len(points), 2, 3))
    motion[:, 0, 0] = motion[:, 1, 1] = 1.0
    motion[:, 0, 2], motion[:, 1, 2] = -from_centre[:, 1], from_centre[:, 0]
    motion = motion.reshape(-1, 3)
    amount, *_ = np.linalg.lstsq(motion, displacement.ravel(), rcond=None)
    return displacement - (motion @ amount).reshape(-1, 2)


def largest(vectors: np.ndarray) -> float:
    """The greatest length among rows."""
    return float(np.linalg.norm(vectors, axis=1).max())


def three_supports(points: np.ndarray) -> np.ndarray:
    """Three displacement components that hold a body without straining it: two at one end, one at the other."""
    extent = np.ptp(points, axis=0)
    long_axis, short_axis = int(np.argmax(extent)), int(np.argmin(extent))
    if long_axis == short_axis:
        long_axis, short_axis = 0, 1
    first, last = int(np.argmin(points[:, long_axis])), int(np.argmax(points[:, long_axis]))
    return np.array([2 * first, 2 * first + 1, 2 * last + short_axis])


def solve(body: Body) -> np.ndarray:
    """Displacements (nodes, 2) of the body under its exported forces, held at three supports of our own, mm."""
    free = np.setdiff1d(np.arange(2 * len(body.points)), three_supports(body.points))
    matrix = stiffness(body)[free][:, free].tocsc()
    force = body.force.ravel()[free]
    factor = sparse_linalg.splu(
        matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    )
    answer = factor.solve(force)
    # One step of refinement: the supports make a slender body soft, which costs digits.
    answer += factor.solve(force - matrix @ answer)
    displacement = np.zeros(2 * len(body.points))
    displacement[free] = answer
    return displacement.reshape(-1, 2)


def check(bodies: list[Body]) -> list[Row]:
    """Checks every body."""
    loads = [np.linalg.norm(body.force, axis=1).sum() / 2.0 for body in bodies]
    elastic = [largest(without_rigid_motion(body.points, body.displacement)) for body in bodies]
    stresses = [float(np.abs(body.element_stress).max()) for body in bodies]
    load = max(loads)
    if not load > 0.0:
        raise LayoutError("no body carries a force: nothing can be checked")
    rows = []
    for number, body in enumerate(bodies):
        is_loaded = loads[number] > UNLOADED * load
        displacement_scale = elastic[number] if is_loaded else max(elastic)
        stress_scale = stresses[number] if is_loaded else max(stresses)
        from_centre = body.points - body.points.mean(axis=0)
        moment = np.sum(from_centre[:, 0] * body.force[:, 1] - from_centre[:, 1] * body.force[:, 0])
        size = np.ptp(body.points, axis=0).max()
        difference = without_rigid_motion(body.points, body.displacement - solve(body))
        stress = stress_at_integration_points(body, body.displacement)
        rows.append(
            Row(
                body=body,
                force_balance=float(np.linalg.norm(body.force.sum(axis=0))) / load,
                moment_balance=float(abs(moment)) / (load * size),
                displacement=largest(difference) / displacement_scale,
                stress=float(np.abs(stress - body.element_stress).max()) / stress_scale,
            )
        )
    return rows


def table(rows: list[Row]) -> str:
    """The findings as text."""
    lines = [
        f"{'body':<8}{'unknowns':>9}{'triangles':>10}{'force':>10}{'moment':>10}{'displaced':>11}{'stress':>10}",
        f"{'limit':<27}{BALANCE_LIMIT:>10.1e}{BALANCE_LIMIT:>10.1e}{DISPLACEMENT_LIMIT:>11.1e}{STRESS_LIMIT:>10.1e}",
    ]
    lines += [
        f"{row.body.name:<8}{2 * len(row.body.points):>9}{len(row.body.triangles):>10}{row.force_balance:>10.1e}"
        f"{row.moment_balance:>10.1e}{row.displacement:>11.1e}{row.stress:>10.1e}"
        f"  {'agrees' if row.passes() else 'DIFFERS'}"
        for row in rows
    ]
    return "\n".join(lines)


def main() -> int:
    """Runs the check or the self-test."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("fields", nargs="?", type=Path, help="the .npz that --fields wrote")
    parser.add_argument("--self-test", action="store_true", help="check the check")
    arguments = parser.parse_args()
    if arguments.self_test:
        import self_test

        return self_test.run()
    if arguments.fields is None:
        parser.error("name a .npz file, or --self-test")
    try:
        rows = check(split(load(arguments.fields)))
    except (OSError, KeyError, ValueError, LayoutError, zipfile.BadZipFile) as error:
        print(f"check_fields: {arguments.fields}: {error}", file=sys.stderr)
        return 2
    print(table(rows))
    return 0 if all(row.passes() for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
