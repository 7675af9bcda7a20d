"""One role's line in rows: the words, and every tap straight under its syllable."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.lane_columns import columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks, draw_words, tap_width, taps_alt
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.whole_words import whole_words
from tapscore.rhythm.role_view import LinePart


def tapped_rows(
    part: LinePart, sizes: Sizes, width: float, *, gap: float, first_width: float | None = None
) -> list[Band]:
    """Bands of a line, kept together; none where the role taps nothing in it.

    The first row may be narrower than the others.
    """
    if not part.taps:
        return []
    made: list[Band] = []
    taps = {tap.event: tap for tap in part.taps}
    whole = whole_words(part.segment, sizes.words, first_width or width)
    words_size = sizes.label if whole else sizes.words
    if whole:
        made.append(bands.spaced(whole, gap, with_next=True))
        first_width = None
    laid = rows(
        columns(part.segment, lambda event: event in taps),
        lambda column: (
            tap_width(taps[column.event], sizes.mark)
            if column.event is not None and column.event in taps
            else 0.0
        ),
        size_pt=words_size,
        width=width,
        first_width=first_width,
    )
    for index, row in enumerate(laid):
        following = laid[index + 1] if index + 1 < len(laid) else None
        words = draw_words(row, words_size)
        drawn = draw_marks(row, following, part.segment, taps, sizes.mark, alt=taps_alt(row, taps))
        below = words.height + sizes.words * 0.03
        under = Band(drawn.blocks, drawn.height).at(0, below)
        space = gap * (0.7 if index else 1.0)
        goes_on = following is not None
        made.append(Band((*words.blocks, *under), below + drawn.height, space, goes_on))
    return made
