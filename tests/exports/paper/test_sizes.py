import pytest

from tapscore.exports.paper.sizes import SHEET_SIZES, card_sizes
from tests.exports.paper.letters import CAPITAL_EM, X_HEIGHT_EM, seen_minutes


def test_a_letter_s_angle_by_hand() -> None:
    """A degree is seen at 57.3 m for each metre of height: 5 mm at 1 m are 17.2 minutes.

    So is an x of half an em in print of 28.35 pt, which is 10 mm.
    """
    assert seen_minutes(28.3465, 0.5, 1.0) == pytest.approx(5 / 1000 * 57.2958 * 60, rel=1e-4)
    assert seen_minutes(28.3465, 0.5, 2.0) == pytest.approx(17.19 / 2, rel=1e-3)


def test_sizes_at_one_metre() -> None:
    sizes = card_sizes(1.0)
    assert (sizes.words, sizes.action, sizes.smallest) == (40, 48, 24)


@pytest.mark.parametrize("distance_m", [0.7, 1.0, 1.5, 2.0])
def test_letters_are_seen_as_large_from_any_distance(distance_m: float) -> None:
    # Fluent reading needs an x-height of 0.2 degrees (12 minutes) or more (Legge and
    # Bigelow 2011); ISO 9241-3 prefers capitals of 20 minutes or more.
    sizes = card_sizes(distance_m)
    assert seen_minutes(sizes.smallest, X_HEIGHT_EM, distance_m) >= 12
    assert seen_minutes(sizes.smallest, CAPITAL_EM, distance_m) >= 18
    assert seen_minutes(sizes.words, X_HEIGHT_EM, distance_m) >= 22
    assert sizes.words == pytest.approx(40 * distance_m)


def test_near_cards_are_still_large_print() -> None:
    # UKAAF G003 (2019): large print is 16 pt or more.
    assert card_sizes(0.4).smallest >= 16


def test_the_leaders_sheet_is_readable_in_the_hand() -> None:
    assert seen_minutes(SHEET_SIZES.smallest, X_HEIGHT_EM, 0.5) >= 12


def test_a_distance_nobody_reads_at_is_refused() -> None:
    for distance_m in (0.0, 12.0):
        with pytest.raises(ValueError, match="made to be read at"):
            card_sizes(distance_m)
