"""The same plate by finite elements (scikit-fem, Bogner-Fox-Schmit), as an oracle."""

import numpy as np
from numpy.typing import NDArray

from tapscore.board.stiffness import Plate


def finite_element_hz(
    plate: Plate,
    cells: tuple[int, int],
    count: int,
    simple: tuple[str, ...],
    springs: dict[str, float] | None = None,
) -> NDArray[np.float64]:
    """First natural frequencies (Hz); ``simple`` sides are held, ``springs`` in N/m^2."""
    import skfem  # type: ignore[import-not-found,import-untyped,unused-ignore]
    from scipy.sparse.linalg import eigsh  # type: ignore[import-untyped]
    from skfem.helpers import dd  # type: ignore[import-not-found,import-untyped,unused-ignore]

    mesh = skfem.MeshQuad.init_tensor(
        np.linspace(0, plate.width_m, cells[0] + 1), np.linspace(0, plate.depth_m, cells[1] + 1)
    ).with_boundaries(
        {
            "west": lambda x: x[0] == 0,
            "east": lambda x: x[0] == plate.width_m,
            "south": lambda x: x[1] == 0,
            "north": lambda x: x[1] == plate.depth_m,
        }
    )
    basis = skfem.Basis(mesh, skfem.ElementQuadBFS())

    @skfem.BilinearForm  # type: ignore[misc,unused-ignore]
    def bending(u, v, w):  # type: ignore[no-untyped-def]
        a, b = dd(u), dd(v)
        return (
            plate.d11_nm * a[0, 0] * b[0, 0]
            + plate.d22_nm * a[1, 1] * b[1, 1]
            + plate.d12_nm * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0])
            + 4 * plate.d66_nm * a[0, 1] * b[0, 1]
        )

    @skfem.BilinearForm  # type: ignore[misc,unused-ignore]
    def product(u, v, w):  # type: ignore[no-untyped-def]
        return u * v

    stiffness = bending.assemble(basis)
    mass = plate.mass_kg_per_m2 * product.assemble(basis)
    for side, stiff in (springs or {}).items():
        edge = skfem.FacetBasis(mesh, skfem.ElementQuadBFS(), facets=mesh.boundaries[side])
        stiffness = stiffness + stiff * product.assemble(edge)
    held = [
        basis.get_dofs(side).all(["u", "u_y" if side in ("west", "east") else "u_x"])
        for side in simple
    ]
    free = basis.complement_dofs(np.unique(np.concatenate(held))) if held else np.arange(basis.N)
    k, m = stiffness[free][:, free].tocsc(), mass[free][:, free].tocsc()
    squared = eigsh(k, count, m, sigma=-1.0, return_eigenvectors=False)
    return np.sort(np.sqrt(np.maximum(squared, 0.0))) / (2 * np.pi)
