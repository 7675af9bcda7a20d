"""How wide a text is on one line, whichever way its letters run."""

from functools import lru_cache

from tapscore.exports.paper import fonts


def width_pt(text: str, size_pt: float, *, bold: bool) -> float:
    """Width of a text on one line."""
    return size_pt * _width_em(text, bold)


@lru_cache(maxsize=8192)
def _width_em(text: str, bold: bool) -> float:
    if fonts.right_to_left(text):
        from tapscore.exports.paper.shaping import width_em

        return width_em(text, bold)
    return sum(run.width_em for run in fonts.runs(text, bold))


def paper_width(text: str, size_pt: float, bold: bool) -> float:
    """The same, for what measures words in whichever way it is given."""
    return width_pt(text, size_pt, bold=bold)
