"""Inks of the printed page, and the contrast between two of them."""

from attrs import frozen


@frozen
class Ink:
    """A colour, each part from 0 to 255."""

    red: int
    green: int
    blue: int

    @property
    def hex(self) -> str:
        """``"#RRGGBB"``."""
        return f"#{self.red:02X}{self.green:02X}{self.blue:02X}"

    @property
    def parts(self) -> tuple[float, float, float]:
        """Red, green and blue from 0 to 1."""
        return self.red / 255, self.green / 255, self.blue / 255


def ink(code: str) -> Ink:
    """Read ``"#RRGGBB"``; raises ValueError for anything else."""
    digits = code.removeprefix("#")
    if len(digits) != 6:
        raise ValueError(f"a colour has six digits, not {code!r}")
    return Ink(int(digits[:2], 16), int(digits[2:4], 16), int(digits[4:], 16))


WHITE = ink("#FFFFFF")
PAPER = ink("#FFFDF6")
INK = ink("#1C1B22")
MUTED = ink("#56545E")
LINE = ink("#8A8790")
TEAL = ink("#0A5A5F")
AMBER = ink("#7A3E00")
CREAM = ink("#FFF1D6")
PLUM = ink("#6A2458")


def luminance(colour: Ink) -> float:
    """Relative luminance, 0 for black to 1 for white (WCAG 2.2)."""
    red, green, blue = (_linear(part) for part in colour.parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Ink, other: Ink) -> float:
    """Contrast ratio, 1 to 21 (WCAG 2.2)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
