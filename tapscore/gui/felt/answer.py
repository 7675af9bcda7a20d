"""What is felt, worked out for the board panel.  No Qt here; numpy and scipy on first use."""

from collections import Counter
from typing import TYPE_CHECKING

from attrs import frozen

from tapscore.board.facade import (
    board_facts,
    felt_levels,
    felt_map,
    places_on,
)
from tapscore.board.words import MODEL_SENTENCE, WORDS, Word, level_word
from tapscore.model.finding import StoryPath
from tapscore.model.loudness import WORDS as LOUDNESS_WORDS
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.screen.line_taps import TapsAlike, taps_of_line, usual_stroke
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from tapscore.gui.felt.band_colours import BandColours

MAP_REFERENCE = say("The map compares with the same tap in the middle of the board.")
TABLE_REFERENCE = say(
    "The words compare with a medium tap of the fingertips in the middle of the board."
)

Box = tuple[float, float, float, float]
"""Left, top, width and height."""


@frozen
class PictureRoom:
    """The picture's size and what must stay free in it, in pixels of the window."""

    width: int
    height: int
    fine: float
    """Pixels of the screen for each of the window's."""
    taken: tuple[Box, ...]
    words: tuple[tuple[int, int], ...]
    """Width and height that each of the five words needs."""
    colours: "BandColours"


@frozen
class FeltWish:
    """What the teacher wants to see."""

    story: Story
    path: StoryPath | None
    """Of the line the cursor is in."""
    place: str
    stroke: Stroke | None
    """None: as the line is tapped."""
    room: PictureRoom


@frozen(eq=False)
class FeltPicture:
    """The map as pixels, and where its words go (word, middle x, middle y)."""

    pixels: "NDArray[np.uint8]"
    words: tuple[tuple[int, int, int], ...]


@frozen
class TableRow:
    """Taps that are named alike, and each place's words for them, weakest and strongest."""

    taps: str
    weakest: tuple[Word, ...]
    strongest: tuple[Word, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """What to say for each place."""
        return tuple(map(_said, self.weakest, self.strongest))


@frozen(eq=False)
class FeltAnswer:
    """What can be said; without a picture where the place is not on the board."""

    place: str
    manner: str
    """The stroke and loudness of the map."""
    picture: FeltPicture | None
    places: tuple[str, ...] = ()
    rows: tuple[TableRow, ...] = ()
    suggestions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def summary(self) -> str:
        """What each place gets, for example ``"From this line, A: weaker, B: stronger."``"""
        if not self.rows:
            return say("The cursor is in no line with taps.")
        said = []
        for number, place in enumerate(self.places):
            low = min((row.weakest[number] for row in self.rows), key=WORDS.index)
            high = max((row.strongest[number] for row in self.rows), key=WORDS.index)
            said.append(f"{place}: {_said(low, high)}")
        return say("From this line, {words}.", words=", ".join(said))


def answer(wish: FeltWish) -> FeltAnswer:
    """Work out what is wished for; takes up to some tenths of a second."""
    from tapscore.board.suggest import suggestions
    from tapscore.exports.felt_map import map_warnings

    board = wish.story.board
    taps = taps_of_line(wish.story, wish.path) if wish.path is not None else ()
    stroke, level = usual_stroke(taps)
    if wish.stroke is not None and wish.stroke is not stroke:
        stroke, level = wish.stroke, usual_stroke(())[1]
    manner = f"{term(stroke.word)}, {term(LOUDNESS_WORDS[int(level)])}"
    found = felt_map(board, stroke, level, wish.place)
    if board is None or found is None:
        return FeltAnswer(wish.place, manner, None)
    levels = felt_levels(board, [alike.tap for alike in taps])
    return FeltAnswer(
        wish.place,
        manner,
        _picture(found.level_db, wish.room),
        tuple(place.name for place in places_on(board)),
        _table(taps, levels.level_db),
        suggestions(board, stroke, level),
        map_warnings(board_facts(board)),
    )


def _picture(level_db: "NDArray[np.float64]", room: PictureRoom) -> FeltPicture:
    import numpy as np

    from tapscore.board.contours import label_points, smooth_levels, word_index
    from tapscore.gui.felt.band_picture import band_pixels

    wide, high = round(room.width * room.fine), round(room.height * room.fine)
    pixels = band_pixels(smooth_levels(level_db, wide, high), room.fine, room.colours)
    taken = np.zeros((room.height, room.width), bool)
    for left, top, width, height in room.taken:
        rows = slice(max(round(top), 0), max(round(top + height), 0))
        taken[rows, max(round(left), 0) : max(round(left + width), 0)] = True
    words = word_index(smooth_levels(level_db, room.width, room.height))
    return FeltPicture(pixels, tuple(label_points(words, taken, list(room.words))))


def _table(
    taps: tuple[TapsAlike, ...], levels_db: tuple[tuple[float, ...], ...]
) -> tuple[TableRow, ...]:
    alike: dict[str, list[tuple[float, ...]]] = {}
    counts: Counter[str] = Counter()
    for each, row in zip(taps, levels_db, strict=True):
        name = _named(each)
        alike.setdefault(name, []).append(row)
        counts[name] += each.count
    return tuple(
        TableRow(
            f"{counts[name]} × {name}",
            tuple(level_word(min(column)) for column in zip(*found, strict=True)),
            tuple(level_word(max(column)) for column in zip(*found, strict=True)),
        )
        for name, found in alike.items()
    )


def _named(alike: TapsAlike) -> str:
    tap = alike.tap
    loudness = LOUDNESS_WORDS[min(max(round(tap.level), 0), 4)]
    accent = (say("accent"),) if tap.accent else ()
    return f"{alike.where}: {', '.join((term(tap.stroke.word), term(loudness), *accent))}"


def _said(low: Word, high: Word) -> str:
    return low if low == high else say("{low} to {high}", low=low, high=high)


def whole_text(found: FeltAnswer) -> str:
    """Everything but the table in words, for the screen reader of the board."""
    return " ".join((found.summary, MODEL_SENTENCE, *found.suggestions, *found.warnings))
