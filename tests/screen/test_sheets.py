"""Sheets and what does not suit them."""

import pytest

from tapscore.screen.sheets import (
    PrintRun,
    counted,
    fits_on,
    name_of,
    out_of_reach,
    runs,
    turned,
)

A4, A5_LYING = (210.0, 297.0), (210.0, 148.0)


def test_names_of_iso_216_sheets() -> None:
    assert name_of(A4) == "A4 portrait"
    assert name_of(A5_LYING) == "A5 landscape"
    assert name_of((120, 180)) == "120 x 180 mm portrait"


def test_pages_are_counted_by_size() -> None:
    assert counted([]) == "Nothing to print yet."
    assert counted([A4]) == "1 page, A4 portrait."
    assert counted([A5_LYING, A4, A5_LYING]) == "3 pages: 2 A5 landscape, 1 A4 portrait."


def test_each_kind_of_sheet_is_a_job_of_its_own() -> None:
    apart = runs((0, 1, 2), (A4, A4, A4), ("part", "cards", "cards"))
    assert apart == (PrintRun(A4, (0,)), PrintRun(A4, (1, 2))), "no card on the back of a part"
    assert runs((0, 1, 2), (A4, A4, A5_LYING)) == (PrintRun(A4, (0, 1)), PrintRun(A5_LYING, (2,)))


@pytest.mark.parametrize(("page", "sheet", "fits"), [(A5_LYING, A4, True), (A4, A5_LYING, False)])
def test_whether_a_page_fits(
    page: tuple[float, float], sheet: tuple[float, float], fits: bool
) -> None:
    assert fits_on(page, sheet) is fits
    assert turned(A4, A5_LYING) == (297, 210)


def test_print_too_near_the_edge() -> None:
    assert out_of_reach((6.5, 6.5, 6.5, 6.5), (4.2, 4.2, 4.2, 6.8)) is None
    assert out_of_reach((6.5, 6.5, 6.5, 6.5), (4.2, 8, 4.2, 12)) == "top 8 mm, bottom 12 mm"
