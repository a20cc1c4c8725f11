"""Reads the .vtu with a general mesh reader and compares it with its .npz twin.

    read_vtu.py FIELDS.vtu [FIELDS.npz]     exit code 0 when both hold the same, 1 when not, 2 when unreadable

The numbers must agree to the bit: both files are written from the same arrays.
"""

from __future__ import annotations

import argparse
import sys
import zipfile
from pathlib import Path

import meshio
import numpy as np

from fields_file import LayoutError, load

POINT_VECTORS = ("displacement", "contact_and_strap_force")
PER_BODY = ("youngs_modulus_mpa", "poisson_ratio")


def in_space(rows: np.ndarray) -> np.ndarray:
    """Rows in the plane as the grid has them, with a third component of zero."""
    return np.column_stack([rows, np.zeros(len(rows))])


def read_grid(path: Path) -> meshio.Mesh:
    """The grid; the reader ends the process on some broken files, which becomes an error here."""
    try:
        return meshio.read(path)
    except SystemExit as error:
        raise LayoutError("the mesh reader gave up") from error


def compare(grid: meshio.Mesh, arrays: dict[str, np.ndarray]) -> list[tuple[str, bool]]:
    """For each array of the grid whether it equals its twin."""
    kinds = [block.type for block in grid.cells]
    if kinds != ["triangle6"]:
        raise LayoutError(f"expected one block of six-node triangles, found {kinds}")
    pairs = {
        "points": (grid.points, in_space(arrays["points"])),
        "triangles": (grid.cells[0].data, arrays["triangles"]),
        "recovered_stress": (_rows_of_3(grid.point_data["recovered_stress"]), arrays["recovered_stress"]),
        "body": (grid.cell_data["body"][0], arrays["body"]),
        "rule": (grid.cell_data["rule"][0], arrays["rule"]),
        "mean_element_stress": (
            _rows_of_3(grid.cell_data["mean_element_stress"][0]),
            arrays["mean_element_stress"],
        ),
        "element_stress": (_rows_of_3(grid.field_data["element_stress"]), arrays["element_stress"]),
    }
    for name in POINT_VECTORS:
        pairs[name] = (_rows_of_3(grid.point_data[name]), in_space(arrays[name]))
    for name in ("integration_offsets", "breadth", *PER_BODY):
        pairs[name] = (grid.field_data[name], arrays[name])
    for name in sorted(name for name in arrays if name.startswith("rule_")):
        pairs[name] = (_rows_of_3(grid.field_data[name]), arrays[name])
    return [(name, bool(np.array_equal(found, expected))) for name, (found, expected) in pairs.items()]


def _rows_of_3(values: np.ndarray) -> np.ndarray:
    # The reader shapes points and cells, but leaves field data flat.
    return np.asarray(values).reshape(-1, 3)


def main() -> int:
    """Compares the two files."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("grid", type=Path, help="the .vtu that --fields wrote")
    parser.add_argument("fields", nargs="?", type=Path, help="its twin; by default the same name with .npz")
    arguments = parser.parse_args()
    fields = arguments.fields or arguments.grid.with_suffix(".npz")
    try:
        outcomes = compare(read_grid(arguments.grid), load(fields))
    except (OSError, KeyError, ValueError, LayoutError, meshio.ReadError, zipfile.BadZipFile) as error:
        print(f"read_vtu: {arguments.grid}: {error}", file=sys.stderr)
        return 2
    for name, is_equal in outcomes:
        print(f"{'equal  ' if is_equal else 'DIFFERS'}  {name}")
    return 0 if all(is_equal for _, is_equal in outcomes) else 1


if __name__ == "__main__":
    sys.exit(main())
