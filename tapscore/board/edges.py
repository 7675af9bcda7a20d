"""How the four sides of the board are held."""

from enum import Enum

from attrs import frozen

from tapscore.model.board import Strips


class EdgeSupport(Enum):
    """How one side is held."""

    FREE = "free"
    SIMPLE = "simple"
    """Rests on a stiff strip: cannot move, can tilt."""
    CLAMPED = "clamped"
    """Cannot move or tilt."""
    ELASTIC = "elastic"
    """Rests on something soft."""


@frozen
class Edge:
    """One side; ``stiffness_n_per_m2`` (N/m for each metre of side) counts if elastic."""

    support: EdgeSupport
    stiffness_n_per_m2: float = 0.0


@frozen
class Edges:
    """The four sides of the board."""

    west: Edge
    east: Edge
    south: Edge
    north: Edge

    @property
    def soft(self) -> bool:
        """Whether any side rests on something soft."""
        return EdgeSupport.ELASTIC in {
            side.support for side in (self.west, self.east, self.south, self.north)
        }

    @property
    def alike_west_east(self) -> bool:
        """Whether the board is held alike at both ends of x."""
        return self.west == self.east

    @property
    def alike_south_north(self) -> bool:
        """Whether the board is held alike at both ends of y."""
        return self.south == self.north


FREE = Edge(EdgeSupport.FREE)
SIMPLE = Edge(EdgeSupport.SIMPLE)
CLAMPED = Edge(EdgeSupport.CLAMPED)


def elastic(stiffness_n_per_m2: float) -> Edge:
    """Make a side on a soft strip; raises ValueError for a stiffness below 0."""
    if not stiffness_n_per_m2 >= 0:
        raise ValueError("the stiffness of a strip is 0 or more")
    return Edge(EdgeSupport.ELASTIC, stiffness_n_per_m2)


SOFT_STRIP_N_PER_M2 = 7.5e5
"""Assumed: a strip of foam 3 cm wide and 2 cm high, of 0.5 MPa."""


def edges_of(strips: Strips | None) -> Edges:
    """The sides as a story file describes them; a stiff strip under each if it does not."""
    own = strips or Strips()
    holds = {"simple": SIMPLE, "elastic": elastic(SOFT_STRIP_N_PER_M2), "free": FREE}
    return Edges(holds[own.west], holds[own.east], holds[own.south], holds[own.north])


def all_sides(edge: Edge) -> Edges:
    """The same hold on each side."""
    return Edges(edge, edge, edge, edge)
