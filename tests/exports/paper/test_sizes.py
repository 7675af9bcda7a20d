import pytest

from tapscore.exports.paper.sizes import (
    MM_PER_PT,
    SHEET_SIZES,
    capital_minutes,
    card_sizes,
    height_mm,
    seen_minutes,
    x_height_minutes,
)


@pytest.mark.parametrize(("distance_m", "floor_pt"), [(0.5, 9.5), (0.75, 14.3), (1.0, 19.1)])
def test_visual_angle_table(distance_m: float, floor_pt: float) -> None:
    # 12 minutes of x-height; an x-height of .519 em is Arial's (from memory).
    size_pt = height_mm(12, distance_m) / 0.519 / MM_PER_PT
    assert size_pt == pytest.approx(floor_pt, abs=0.05)


@pytest.mark.parametrize(("distance_m", "size_pt"), [(0.5, 12.7), (0.75, 19.0), (1.0, 25.3)])
def test_capitals_of_22_minutes(distance_m: float, size_pt: float) -> None:
    # ISO 9241-3 prefers 20 to 22 minutes; capitals of .716 em are Arial's (from memory).
    assert height_mm(22, distance_m) / 0.716 / MM_PER_PT == pytest.approx(size_pt, abs=0.05)


def test_angle_and_height_undo_each_other() -> None:
    for minutes in (5.0, 12.0, 22.0, 120.0):
        assert seen_minutes(height_mm(minutes, 0.8), 0.8) == pytest.approx(minutes)


def test_sizes_at_one_metre() -> None:
    sizes = card_sizes(1.0)
    assert (sizes.words, sizes.action, sizes.smallest) == (40, 48, 24)


@pytest.mark.parametrize("distance_m", [0.7, 1.0, 1.5, 2.0])
def test_letters_are_seen_as_large_from_any_distance(distance_m: float) -> None:
    # Fluent reading needs an x-height of 0.2 degrees (12 minutes) or more (Legge and
    # Bigelow 2011); ISO 9241-3 prefers capitals of 20 minutes or more.
    sizes = card_sizes(distance_m)
    assert x_height_minutes(sizes.smallest, distance_m) >= 12
    assert capital_minutes(sizes.smallest, distance_m) >= 18
    assert x_height_minutes(sizes.words, distance_m) >= 22
    assert sizes.words == pytest.approx(40 * distance_m)


def test_near_cards_are_still_large_print() -> None:
    # UKAAF G003 (2019): large print is 16 pt or more.
    assert card_sizes(0.4).smallest >= 16


def test_the_leaders_sheet_is_readable_in_the_hand() -> None:
    assert x_height_minutes(SHEET_SIZES.smallest, 0.5) >= 12


def test_a_distance_nobody_reads_at_is_refused() -> None:
    for distance_m in (0.0, 12.0):
        with pytest.raises(ValueError, match="made to be read at"):
            card_sizes(distance_m)
