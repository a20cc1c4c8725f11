"""The check, checked: it must pass what is right and fail what is wrong, on bodies whose answer is known.

A square under plain tension has nodal forces that can be written down (1/6, 4/6, 1/6 of an edge's load). A ring with
curved sides, mixed rules and a breadth that varies has none, so its forces are the internal ones of a displacement that
is made up; beside it lies a body without load, as an open gate does.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from check_fields import Row, check
from fields_file import FORMAT, Body, load, split
from triangle6 import SIDES, integration_points, shape_functions, shape_gradients, stress_at_integration_points, unknowns


def six_points() -> np.ndarray:
    """Two orbits of three points, exact to degree 4. The table is rounded: its weights are made to sum to one half."""
    orbits = ((0.445948490915965, 0.223381589678011), (0.091576213509771, 0.109951743655322))
    points = np.array([(x, y, w) for a, w in orbits for x, y in ((a, a), (1 - 2 * a, a), (a, 1 - 2 * a))])
    points[:, 2] *= 0.5 / points[:, 2].sum()
    return points


def sixteen_points() -> np.ndarray:
    """Four by four Gauss points on a square folded into the triangle, exact to degree 6."""
    nodes, weights = np.polynomial.legendre.leggauss(4)
    nodes, weights = (nodes + 1.0) / 2.0, weights / 2.0
    return np.array(
        [(u, v * (1.0 - u), a * b * (1.0 - u)) for u, a in zip(nodes, weights) for v, b in zip(nodes, weights)]
    )


RULES = {6: six_points(), 16: sixteen_points()}


def body_from_corners(
    name: str,
    corners: np.ndarray,
    triangles: np.ndarray,
    shape: Callable[[np.ndarray], np.ndarray],
    breadth: Callable[[np.ndarray], np.ndarray],
) -> Body:
    """A body from straight-sided triangles in a parameter plane; `shape` maps parameters (n, 2) to millimetres, so
    middles of sides land on curves. Every other triangle takes the other rule. No displacement, no force yet."""
    parameters = [tuple(corner) for corner in corners]
    middle_of: dict[frozenset[int], int] = {}
    nodes = []
    for triangle in triangles:
        row = list(triangle)
        for a, b in SIDES:
            side = frozenset((int(triangle[a]), int(triangle[b])))
            if side not in middle_of:
                middle_of[side] = len(parameters)
                parameters.append(tuple((corners[triangle[a]] + corners[triangle[b]]) / 2.0))
            row.append(middle_of[side])
        nodes.append(row)
    points = shape(np.array(parameters))
    cells = np.array(nodes)
    rule = np.where(np.arange(len(cells)) % 2 == 0, 6, 16)
    offsets = np.concatenate([[0], np.cumsum(rule)])
    places = np.vstack(
        [
            [shape_functions(xi, eta) @ points[cell] for xi, eta, _ in RULES[int(size)]]
            for cell, size in zip(cells, rule)
        ]
    )
    return Body(
        name=name,
        youngs_modulus_mpa=71_700.0,
        poisson_ratio=0.33,
        points=points,
        triangles=cells,
        displacement=np.zeros_like(points),
        force=np.zeros_like(points),
        rule=rule,
        integration_offsets=offsets,
        breadth=breadth(places),
        element_stress=np.zeros((len(places), 3)),
        rules=RULES,
    )


def square_in_tension() -> Body:
    """10 MPa in x on a square of 2 mm, 3 mm broad: 60 N on each end, shared 1/6, 4/6, 1/6."""
    corners = np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]])
    triangles = np.array([[0, 1, 2], [0, 2, 3]])
    body = body_from_corners("frame", corners, triangles, lambda p: p, lambda p: np.full(len(p), 3.0))
    x, y = body.points.T
    strain = 10.0 / body.youngs_modulus_mpa
    end = np.where(y == 1.0, 40.0, 10.0)
    force = np.stack([np.where(x == 2.0, end, np.where(x == 0.0, -end, 0.0)), np.zeros_like(x)], axis=1)
    return replace(
        body,
        displacement=np.stack([strain * x, -body.poisson_ratio * strain * y], axis=1),
        force=force,
        element_stress=np.tile([10.0, 0.0, 0.0], (len(body.breadth), 1)),
    )


def grid(columns: int, rows: int, closed: bool) -> tuple[np.ndarray, np.ndarray]:
    """Corners in the unit square of (around, across) and two triangles a cell; closed: the last column is the first."""
    width = columns if closed else columns + 1
    corners = np.array([(i / columns, j / rows) for j in range(rows + 1) for i in range(width)])
    triangles = []
    for j in range(rows):
        for i in range(columns):
            a, b = j * width + i, j * width + (i + 1) % width
            triangles += [(a, b, b + width), (a, b + width, a + width)]
    return corners, np.array(triangles)


def bent_bar(name: str) -> Body:
    """An open C of 270 degrees, 20 to 30 mm radius, its breadth a round bar's chord, made to carry something."""
    corners, triangles = grid(48, 6, closed=False)

    def shape(parameters: np.ndarray) -> np.ndarray:
        angle, radius = 1.5 * np.pi * parameters[:, 0], 30.0 - 10.0 * parameters[:, 1]
        # Around first, then inward: counter-clockwise triangles.
        return np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)

    def chord(places: np.ndarray) -> np.ndarray:
        from_middle = np.linalg.norm(places, axis=1) - 25.0
        return 2.0 * np.sqrt(np.maximum(25.0 - from_middle**2, 0.01))

    return body_from_corners(name, corners, triangles, shape, chord)


def carrying(body: Body, displacement: np.ndarray) -> Body:
    """The body with that displacement, and the stresses and nodal forces that belong to it."""
    stress = stress_at_integration_points(body, displacement)
    numbers = unknowns(body)
    force = np.zeros(2 * len(body.points))
    for cells, rows, strain, volume in integration_points(body):
        scale = (volume * body.breadth[rows])[:, None]
        np.add.at(force, numbers[cells], scale * np.einsum("nji,nj->ni", strain, stress[rows]))
    return replace(body, displacement=displacement, force=force.reshape(-1, 2), element_stress=stress)


def loaded_and_unloaded() -> list[Body]:
    """The bent bar with bending and a large rigid motion, and one that only moves."""
    bar = bent_bar("frame")
    x, y = bar.points.T / 30.0
    bending = 0.1 * np.stack([x * y + 0.3 * x**2, 0.5 * y**2 - 0.2 * x**3], axis=1)
    return [
        carrying(bar, bending + rigid(bar)),
        replace(bent_bar("gate"), displacement=rigid(bar)),
    ]


def rigid(body: Body) -> np.ndarray:
    """Two millimetres and three degrees or so, linearised."""
    x, y = body.points.T
    return np.stack([2.0 - 0.05 * y, -1.0 + 0.05 * x], axis=1)


def write(bodies: list[Body], path: Path) -> None:
    """The bodies in the layout of docs/fields-file.md."""
    first_node = np.cumsum([0] + [len(body.points) for body in bodies])

    def joined(name: str) -> np.ndarray:
        return np.concatenate([getattr(body, name) for body in bodies])

    np.savez(
        path,
        format=np.array(FORMAT.encode()),
        body_names=np.array([body.name.encode() for body in bodies]),
        youngs_modulus_mpa=np.array([body.youngs_modulus_mpa for body in bodies]),
        poisson_ratio=np.array([body.poisson_ratio for body in bodies]),
        points=joined("points"),
        node_body=np.repeat(np.arange(len(bodies)), [len(body.points) for body in bodies]),
        triangles=np.concatenate([body.triangles + first for body, first in zip(bodies, first_node)]),
        body=np.repeat(np.arange(len(bodies)), [len(body.triangles) for body in bodies]),
        displacement=joined("displacement"),
        contact_and_strap_force=joined("force"),
        rule=joined("rule"),
        integration_offsets=np.concatenate([[0], np.cumsum(joined("rule"))]),
        breadth=joined("breadth"),
        element_stress=joined("element_stress"),
        **{f"rule_{size}": points for size, points in bodies[0].rules.items()},
    )


def spoilt(bodies: list[Body]) -> dict[str, tuple[list[Body], str]]:
    """Wrong in one thing each, and the figure that must tell."""
    frame, gate = bodies
    hardest = int(np.argmax(np.linalg.norm(frame.force, axis=1)))

    def changed(name: str, change: Callable[[np.ndarray], None]) -> list[Body]:
        values = getattr(frame, name).copy()
        change(values)
        return [replace(frame, **{name: values}), gate]

    def thicken(breadth: np.ndarray) -> None:
        breadth[: len(breadth) // 8] *= 1.01

    def drop(force: np.ndarray) -> None:
        force[hardest] = 0.0

    def push_a_couple(force: np.ndarray) -> None:
        force[hardest, 1] += 1e-3 * abs(force[hardest]).max()
        force[0, 1] -= 1e-3 * abs(force[hardest]).max()

    def nudge(displacement: np.ndarray) -> None:
        displacement[7, 0] += 1e-6

    def swap_stress(stress: np.ndarray) -> None:
        stress[:, [0, 1]] = stress[:, [1, 0]]

    heavier = {size: points * [1.0, 1.0, 1.001] for size, points in frame.rules.items()}
    return {
        "breadth 1 % too large on an eighth": (changed("breadth", thicken), "displacement"),
        "one force dropped": (changed("force", drop), "force_balance"),
        "a hidden couple": (changed("force", push_a_couple), "moment_balance"),
        "one node moved by a nanometre": (changed("displacement", nudge), "displacement"),
        "xx and yy swapped": (changed("element_stress", swap_stress), "stress"),
        "weights a thousandth too large": ([replace(frame, rules=heavier), gate], "displacement"),
        "another modulus": ([replace(frame, youngs_modulus_mpa=71_701.0), gate], "displacement"),
        "another Poisson's ratio": ([replace(frame, poisson_ratio=0.3301), gate], "stress"),
        "an unloaded body that is bent": (
            [frame, replace(gate, displacement=gate.displacement + 1e-3 * gate.points**2)],
            "displacement",
        ),
    }


def through_a_file(bodies: list[Body]) -> list[Row]:
    """Writes the bodies, reads them back, checks them."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fields.npz"
        write(bodies, path)
        return check(split(load(path)))


def shape_functions_are_right() -> bool:
    """One at their own node and zero at the others; gradients agree with differences."""
    nodes = np.array([(0, 0), (1, 0), (0, 1), (0.5, 0), (0.5, 0.5), (0, 0.5)])
    at_nodes = np.array([shape_functions(*node) for node in nodes])
    step, (xi, eta) = 1e-6, (0.23, 0.41)
    differences = np.stack(
        [
            (shape_functions(xi + step, eta) - shape_functions(xi - step, eta)) / (2 * step),
            (shape_functions(xi, eta + step) - shape_functions(xi, eta - step)) / (2 * step),
        ],
        axis=1,
    )
    return np.allclose(at_nodes, np.eye(6), atol=1e-14) and np.allclose(
        shape_gradients(xi, eta), differences, atol=1e-8
    )


def run() -> int:
    """Runs all cases; 0 when each ends as it should."""
    good = loaded_and_unloaded()
    outcomes = [
        ("shape functions", shape_functions_are_right()),
        ("square with forces by hand agrees", all(row.passes() for row in through_a_file([square_in_tension()]))),
        ("bent bar and unloaded body agree", all(row.passes() for row in through_a_file(good))),
    ]
    for case, (bodies, figure) in spoilt(good).items():
        rows = through_a_file(bodies)
        limit = {"force_balance": 1e-8, "moment_balance": 1e-8}.get(figure, 1e-6)
        is_seen = any(getattr(row, figure) > limit for row in rows) and not all(row.passes() for row in rows)
        outcomes.append((f"{case}: seen in {figure}", is_seen))
    for case, is_right in outcomes:
        print(f"{'ok  ' if is_right else 'FAIL'}  {case}")
    return 0 if all(is_right for _, is_right in outcomes) else 1
