"""How wide a text is on one line, whichever way its letters run."""

from tapscore.exports.paper import fonts


def width_pt(text: str, size_pt: float, *, bold: bool) -> float:
    """Width of a text on one line."""
    if fonts.right_to_left(text):
        from tapscore.exports.paper.shaping import width_em

        return size_pt * width_em(text, bold)
    return size_pt * sum(run.width_em for run in fonts.runs(text, bold))


def paper_width(text: str, size_pt: float, bold: bool) -> float:
    """The same, for what measures words in whichever way it is given."""
    return width_pt(text, size_pt, bold=bold)
