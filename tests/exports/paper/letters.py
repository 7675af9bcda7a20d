"""How high letters are and under what angle they are seen, for tests of what can be read."""

from math import atan, degrees

X_HEIGHT_EM = 0.496
"""Height of the small x of Atkinson Hyperlegible; ``test_fonts`` holds it against the font."""
CAPITAL_EM = 0.668
"""Height of its capitals, likewise."""


def seen_minutes(size_pt: float, height_em: float, distance_m: float) -> float:
    """Minutes of arc under which letters are seen: h = 2 d tan(theta / 2)."""
    height_mm = size_pt * height_em * 25.4 / 72
    return degrees(2 * atan(height_mm / (2000 * distance_m))) * 60
