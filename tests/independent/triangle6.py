"""A six-node triangle in plane stress, written from the shape functions up, with numpy alone.

Reference triangle with corners (0, 0), (1, 0), (0, 1); middles of sides 01, 12, 20 as nodes 3, 4, 5. With the area
coordinates L0 = 1 - xi - eta, L1 = xi, L2 = eta a corner has the function L (2 L - 1), a middle 4 La Lb.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import scipy.sparse as sparse

from fields_file import Body

# Derivatives of L0, L1, L2 by (xi, eta).
AREA_GRADIENTS = np.array([[-1.0, -1.0], [1.0, 0.0], [0.0, 1.0]])
SIDES = ((0, 1), (1, 2), (2, 0))


def shape_functions(xi: float, eta: float) -> np.ndarray:
    """The six functions at a point of the reference triangle."""
    area = np.array([1.0 - xi - eta, xi, eta])
    return np.array([*(a * (2.0 * a - 1.0) for a in area), *(4.0 * area[a] * area[b] for a, b in SIDES)])


def shape_gradients(xi: float, eta: float) -> np.ndarray:
    """Their derivatives by (xi, eta), shape (6, 2)."""
    area = np.array([1.0 - xi - eta, xi, eta])
    corners = (4.0 * area - 1.0)[:, None] * AREA_GRADIENTS
    middles = [4.0 * (area[a] * AREA_GRADIENTS[b] + area[b] * AREA_GRADIENTS[a]) for a, b in SIDES]
    return np.vstack([corners, middles])


def elasticity(body: Body) -> np.ndarray:
    """Stress [xx, yy, xy] from strain [xx, yy, 2 xy] in plane stress, MPa."""
    nu = body.poisson_ratio
    factor = body.youngs_modulus_mpa / (1.0 - nu**2)
    return factor * np.array([[1.0, nu, 0.0], [nu, 1.0, 0.0], [0.0, 0.0, (1.0 - nu) / 2.0]])


def integration_points(body: Body) -> Iterator[tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]]:
    """For each rule and each of its points, over all triangles of that rule at once: the triangles (n,), the rows of
    the point in ragged arrays (n,), the strain from the 12 displacements of each triangle (n, 3, 12), and weight times
    Jacobian determinant (n,).
    """
    for size in np.unique(body.rule):
        cells = np.flatnonzero(body.rule == size)
        corners = body.points[body.triangles[cells]]
        for k, (xi, eta, weight) in enumerate(body.rules[int(size)]):
            local = shape_gradients(xi, eta)
            jacobian = np.einsum("nac,ar->ncr", corners, local)  # d(x, y) by d(xi, eta)
            determinant = np.linalg.det(jacobian)
            if determinant.min() <= 0.0:
                raise ValueError(f"{body.name}: a triangle is turned inside out")
            gradients = local @ np.linalg.inv(jacobian)  # d(shape) by d(x, y)
            strain = np.zeros((len(cells), 3, 12))
            strain[:, 0, 0::2] = strain[:, 2, 1::2] = gradients[:, :, 0]
            strain[:, 1, 1::2] = strain[:, 2, 0::2] = gradients[:, :, 1]
            yield cells, body.integration_offsets[cells] + k, strain, weight * determinant


def unknowns(body: Body) -> np.ndarray:
    """The numbers of the 12 displacements of each triangle: x and y of node 0, of node 1, ..."""
    return (2 * body.triangles[:, :, None] + np.arange(2)).reshape(len(body.triangles), 12)


def stiffness(body: Body) -> sparse.csc_matrix:
    """The stiffness of the whole free body, N/mm."""
    blocks = np.zeros((len(body.triangles), 12, 12))
    elastic = elasticity(body)
    for cells, rows, strain, volume in integration_points(body):
        scale = (volume * body.breadth[rows])[:, None, None]
        blocks[cells] += scale * (strain.transpose(0, 2, 1) @ elastic @ strain)
    numbers = unknowns(body)
    row = np.repeat(numbers, 12, axis=1).ravel()
    column = np.tile(numbers, (1, 12)).ravel()
    size = 2 * len(body.points)
    return sparse.coo_matrix((blocks.ravel(), (row, column)), shape=(size, size)).tocsc()


def stress_at_integration_points(body: Body, displacement: np.ndarray) -> np.ndarray:
    """Stress [xx, yy, xy] at every integration point from nodal displacements (nodes, 2), MPa."""
    stress = np.full((len(body.breadth), 3), np.nan)
    of_triangle = displacement.ravel()[unknowns(body)]
    elastic = elasticity(body)
    for cells, rows, strain, _ in integration_points(body):
        stress[rows] = np.einsum("ij,njk,nk->ni", elastic, strain, of_triangle[cells])
    return stress
