"""What the board panel says, against the facade's own figures."""

from pathlib import Path

import numpy as np
import pytest
from attrs import evolve

from tapscore.board.facade import felt_levels, felt_map
from tapscore.board.words import MODEL_SENTENCE, WORDS, level_word
from tapscore.gui.felt.answer import FeltWish, PictureRoom, _table, answer, whole_text
from tapscore.gui.felt.band_colours import colours_of
from tapscore.gui.palettes import ALL_INKS, LIGHT, Inks
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.screen.line_taps import taps_of_line, usual_stroke
from tapscore.storyfile.read import read_file

PATH = ("story", 0, "lines", 0)
ROOM = PictureRoom(320, 240, 1.0, ((0, 0, 120, 240),), ((60, 20),) * 5, colours_of(LIGHT))


@pytest.fixture
def story(demo_path: Path) -> Story:
    found = read_file(demo_path).story
    assert found is not None
    return found


def test_words_are_those_of_the_levels(story: Story) -> None:
    found = answer(FeltWish(story, PATH, "A", None, ROOM))
    taps = taps_of_line(story, PATH)
    levels = felt_levels(story.board, [alike.tap for alike in taps])
    assert found.places == levels.places
    said = {word for row in found.rows for word in (*row.weakest, *row.strongest)}
    assert said == {level_word(db) for row in levels.level_db for db in row}
    assert sum(int(row.taps.split(" ×")[0]) for row in found.rows) == sum(t.count for t in taps)
    assert found.summary.startswith("From this line, A: ")
    assert MODEL_SENTENCE in whole_text(found)


def test_words_on_the_map_are_where_the_map_says_so(story: Story) -> None:
    found = answer(FeltWish(story, PATH, "B", None, ROOM))
    stroke, level = usual_stroke(taps_of_line(story, PATH))
    levels = felt_map(story.board, stroke, level, "B")
    assert found.picture is not None
    assert levels is not None
    assert found.picture.pixels.shape == (240, 320, 3)
    assert found.picture.words
    cells = levels.level_db[::-1]
    for word, x, y in found.picture.words:
        near = cells[max(int(y / 7.5) - 1, 0) :, max(int(x / 10) - 1, 0) :][:3, :3]
        assert WORDS[word] in {level_word(db) for db in near.ravel()}
        assert x - 30 >= 119 - 4


@pytest.mark.parametrize("inks", ALL_INKS, ids=lambda inks: inks.name)
def test_bands_differ_without_colour(story: Story, inks: Inks) -> None:
    """WCAG 2.2, 1.4.1: nothing is told by colour alone; here by grey or by hatching."""
    colours = colours_of(inks)
    greys = [
        round(float(np.dot([int(code[i : i + 2], 16) for i in (1, 3, 5)], [0.299, 0.587, 0.114])))
        for code in colours.grounds
    ]
    assert len({greys[2], greys[3], greys[4]}) == 3
    assert min(abs(greys[2] - greys[3]), abs(greys[3] - greys[4])) >= 15
    room = evolve(ROOM, colours=colours)
    found = answer(FeltWish(story, PATH, "A", None, room)).picture
    assert found is not None
    assert len(np.unique(found.pixels.reshape(-1, 3), axis=0)) > 3


def test_another_stroke_is_medium(story: Story) -> None:
    found = answer(FeltWish(story, PATH, "A", Stroke.KNUCKLES, ROOM))
    assert found.manner == "knuckles, medium"


def test_nothing_to_show(story: Story) -> None:
    gone = answer(FeltWish(story, PATH, "Z", None, ROOM))
    assert gone.picture is None
    none = answer(FeltWish(story, None, "A", None, ROOM))
    assert none.rows == ()
    assert none.picture is not None
    assert none.summary == "The cursor is in no line with taps."


def test_taps_named_alike_tell_the_weakest_and_the_strongest_of_them_for_each_place(
    story: Story,
) -> None:
    (one, *_) = taps_of_line(story, PATH)
    alike = (evolve(one, count=2), evolve(one, count=3))
    (row,) = _table(alike, ((-30.0, 0.0, 3.0), (0.0, -30.0, 3.0)))
    assert row.taps.startswith("5 × ")
    weak, middle, strong = (level_word(db) for db in (-30.0, 0.0, 3.0))
    assert (row.weakest, row.strongest) == ((weak, weak, strong), (middle, middle, strong))
    assert row.words == (f"{weak} to {middle}", f"{weak} to {middle}", strong)
