"""Rasters of a map."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from tapscore.board.contours import label_points, lines_cover, smooth_levels, word_index
from tapscore.board.words import WORDS


def test_north_is_up_and_levels_go_on_to_the_edge() -> None:
    south_to_north = np.repeat(np.arange(8.0)[:, None], 6, axis=1)
    raster = smooth_levels(south_to_north, 60, 160)
    assert raster.shape == (160, 60)
    assert raster[0, 0] == pytest.approx(7.475)
    assert raster[-1, 30] == pytest.approx(-0.475)
    assert np.ptp(raster, axis=1).max() < 1e-9


def test_line_is_as_wide_as_asked() -> None:
    ramp = np.repeat(np.linspace(-10, 10, 400)[None, :], 30, axis=0)
    cover = lines_cover(ramp, (-1.5, 6.0), 3.0)
    assert cover.sum(axis=1) == pytest.approx([6.0] * 30, abs=0.3)
    assert cover[:, np.abs(ramp[0] - 6.0).argmin()].min() == 1


def test_words_are_put_where_they_fit() -> None:
    levels = np.full((400, 600), 0.0)
    levels[:, :200] = 20.0
    levels[:, 590:] = -30.0
    taken = np.zeros((400, 600), bool)
    taken[:150, 200:] = True
    found = label_points(word_index(levels), taken, [(120, 40)] * len(WORDS), at_most=1)
    assert {WORDS[word] for word, _, _ in found} == {"much stronger", "like the reference"}
    for word, x, y in found:
        box = levels[y - 18 : y + 18, x - 56 : x + 56]
        assert (word_index(box) == word).all()
        assert not taken[y - 18 : y + 18, x - 56 : x + 56].any()


def test_a_word_comes_again_only_far_from_where_it_stands() -> None:
    """Twice the longer side is left free of the same word all round; wide, flat bands have room."""
    levels = np.zeros((160, 1400))
    free = np.zeros((160, 1400), bool)
    found = label_points(word_index(levels), free, [(120, 40)] * len(WORDS), at_most=3)
    xs = sorted(x for _, x, _ in found)
    assert len(xs) == 3
    assert min(b - a for a, b in pairwise(xs)) >= 240
    tall = label_points(word_index(levels.T), free.T, [(40, 120)] * len(WORDS), at_most=3)
    assert sorted(y for _, _, y in tall) == xs


@pytest.mark.parametrize("turned", [False, True])
def test_words_of_bands_that_meet_stand_apart(turned: bool) -> None:
    """Half a word's room is left free between two of them, whichever way the bands run."""
    levels = np.zeros((200, 1400))
    levels[100:] = 20.0
    box = (120, 80)
    if turned:
        levels, box = levels.T, box[::-1]
    found = label_points(word_index(levels), np.zeros(levels.shape, bool), [box] * len(WORDS))
    assert len(found) == 4
    for (word, x, y), (other, at_x, at_y) in combinations(found, 2):
        if word != other:
            assert abs(x - at_x) >= 1.5 * box[0] or abs(y - at_y) >= 1.5 * box[1]


@pytest.mark.parametrize("turned", [False, True])
def test_a_band_just_wide_enough_holds_a_word(turned: bool) -> None:
    """To four pixels, in which words are placed."""
    for width, count in ((40, 0), (44, 1)):
        levels = np.zeros((width, 400))
        box = (120, 40)
        if turned:
            levels, box = levels.T, box[::-1]
        free = np.zeros(levels.shape, bool)
        assert len(label_points(word_index(levels), free, [box] * len(WORDS), 1)) == count
