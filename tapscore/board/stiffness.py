"""The board as a plate: its size, stiffness and weight."""

from attrs import frozen


@frozen
class Plate:
    """A thin orthotropic plate, x along ``width_m`` and y along ``depth_m``.

    ``d11_nm`` bends along x, ``d22_nm`` along y, ``d12_nm`` couples them, ``d66_nm`` twists
    (all N m; an isotropic plate has D, D, nu D, (1 - nu) D / 2).
    """

    width_m: float
    depth_m: float
    d11_nm: float
    d22_nm: float
    d12_nm: float
    d66_nm: float
    mass_kg_per_m2: float
    loss_factor: float = 0.03

    def __attrs_post_init__(self) -> None:
        """Raise ValueError for a plate that cannot be."""
        sizes = (self.width_m, self.depth_m, self.mass_kg_per_m2, self.d11_nm, self.d22_nm)
        if not all(size > 0 for size in (*sizes, self.d66_nm)):
            raise ValueError("size, weight and stiffness of a plate are above 0")
        if self.d12_nm**2 >= self.d11_nm * self.d22_nm:
            raise ValueError("d12 is too large for d11 and d22")

    @property
    def mass_kg(self) -> float:
        """Mass of the whole sheet."""
        return self.mass_kg_per_m2 * self.width_m * self.depth_m


def isotropic(
    width_m: float, depth_m: float, stiffness_nm: float, poisson: float, mass_kg_per_m2: float
) -> Plate:
    """Make a plate alike in all directions."""
    return Plate(
        width_m,
        depth_m,
        stiffness_nm,
        stiffness_nm,
        poisson * stiffness_nm,
        (1 - poisson) * stiffness_nm / 2,
        mass_kg_per_m2,
    )
