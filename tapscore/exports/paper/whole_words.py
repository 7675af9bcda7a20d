"""Words that run from right to left, over a lane of time that runs from left to right.

The words stand whole in a paragraph of their own, as they are read; the row of taps below
it has their syllables, small, each over its tap, as songs in such letters are printed under
notes (common practice, no source).
"""

from tapscore.exports.paper import bands, fonts
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.words import printed
from tapscore.rhythm.performance import Segment


def whole_words(segment: Segment, size_pt: float, width: float) -> Band | None:
    """The words of a line in a paragraph; None if they run from left to right, in the row."""
    if segment.line is None or not fonts.right_to_left(segment.line.words):
        return None
    return bands.paragraph((Piece(printed(segment.line.words), True),), size_pt, width)
