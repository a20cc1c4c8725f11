"""The .npz of a solved connector, as arrays. The layout is in docs/fields-file.md."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

FORMAT = "pullmap-fields-1"


class LayoutError(Exception):
    """The file is not what docs/fields-file.md describes."""


@dataclass(frozen=True)
class Body:
    """One body, its nodes, triangles and integration points counted from 0."""

    name: str
    youngs_modulus_mpa: float
    poisson_ratio: float
    points: np.ndarray  # (nodes, 2), mm
    triangles: np.ndarray  # (triangles, 6)
    displacement: np.ndarray  # (nodes, 2), mm
    force: np.ndarray  # (nodes, 2), N
    rule: np.ndarray  # (triangles,), number of integration points
    integration_offsets: np.ndarray  # (triangles + 1,)
    breadth: np.ndarray  # (integration points,), mm
    element_stress: np.ndarray  # (integration points, 3), MPa
    rules: dict[int, np.ndarray]  # points -> (points, 3): xi, eta, weight


def load(path: Path) -> dict[str, np.ndarray]:
    """All arrays of the file, by name."""
    with np.load(path, allow_pickle=False) as archive:
        arrays = {name: archive[name] for name in archive.files}
    found = arrays["format"].item().decode() if "format" in arrays else "no format"
    if found != FORMAT:
        raise LayoutError(f"{path}: expected {FORMAT}, found {found}")
    return arrays


def split(arrays: dict[str, np.ndarray]) -> list[Body]:
    """The bodies of the file, each on its own."""
    node_body, body = arrays["node_body"], arrays["body"]
    offsets = arrays["integration_offsets"]
    rules = {
        int(name.removeprefix("rule_")): table for name, table in arrays.items() if name.startswith("rule_")
    }
    if not np.array_equal(np.diff(offsets), arrays["rule"]):
        raise LayoutError("integration_offsets do not grow by the number of points of each rule")
    bodies = []
    for number, name in enumerate(arrays["body_names"]):
        nodes = np.flatnonzero(node_body == number)
        cells = np.flatnonzero(body == number)
        if not _is_a_run(nodes) or not _is_a_run(cells):
            raise LayoutError(f"nodes or triangles of body {number} do not follow each other")
        triangles = arrays["triangles"][cells] - nodes[0]
        if triangles.min() < 0 or triangles.max() >= len(nodes):
            raise LayoutError(f"a triangle of body {number} uses a node of another body")
        if not np.array_equal(np.unique(triangles), np.arange(len(nodes))):
            raise LayoutError(f"body {number} has nodes that no triangle uses")
        first, last = offsets[cells[0]], offsets[cells[-1] + 1]
        bodies.append(
            Body(
                name=name.decode(),
                youngs_modulus_mpa=float(arrays["youngs_modulus_mpa"][number]),
                poisson_ratio=float(arrays["poisson_ratio"][number]),
                points=arrays["points"][nodes],
                triangles=triangles,
                displacement=arrays["displacement"][nodes],
                force=arrays["contact_and_strap_force"][nodes],
                rule=arrays["rule"][cells],
                integration_offsets=offsets[cells[0] : cells[-1] + 2] - first,
                breadth=arrays["breadth"][first:last],
                element_stress=arrays["element_stress"][first:last],
                rules=rules,
            )
        )
    return bodies


def _is_a_run(numbers: np.ndarray) -> bool:
    return len(numbers) > 0 and numbers[-1] - numbers[0] + 1 == len(numbers)
