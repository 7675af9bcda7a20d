"""Small things that a reader of a paper relies on: figures, bookmarks, what stays together."""

from itertools import chain

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.own_pictures import OwnPicture
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Photo
from tapscore.exports.paper.floor_plan import floor_plan_pages
from tapscore.exports.paper.photos import photo_band
from tapscore.exports.paper.pour import pour
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.test_papers import flat


def test_the_floor_plan_says_how_tall_its_outlines_are() -> None:
    """109 cm at five years: the median that the outlines' own source gives."""
    assert "pupils 109 cm tall, roughly" in flat(floor_plan_pages(sample()))


def test_each_section_of_the_cue_sheet_has_its_bookmark() -> None:
    sections = [section.title for section in sample().sections]
    pages = sheet_pages(sample(), perform(sample()))
    found = [name for page in pages for name in page.bookmarks]
    assert [name for name in found if name in sections] == sections


@given(st.integers(1, 4000), st.integers(1, 4000))
def test_a_picture_fills_its_space_and_keeps_its_shape(wide: int, high: int) -> None:
    band, width = photo_band(OwnPicture(b"", wide, high), "a drum", (200.0, 100.0))
    ((drawn,),) = [block.elements for block in band.blocks]
    assert isinstance(drawn, Photo)
    assert (drawn.width_pt, drawn.height_pt) == pytest.approx((width, band.height))
    assert drawn.width_pt / drawn.height_pt == pytest.approx(wide / high)
    assert drawn.width_pt <= 200.01
    assert drawn.height_pt <= 100.01
    assert drawn.width_pt > 199.9 or drawn.height_pt > 99.9


bands = st.lists(
    st.builds(
        lambda height, with_next: Band((), float(height), 2.0, with_next),
        st.integers(5, 30),
        st.booleans(),
    ),
    min_size=1,
    max_size=12,
).map(lambda found: [*found[:-1], evolve(found[-1], with_next=False)])


@given(bands)
def test_what_belongs_above_the_next_is_never_last_where_there_is_room(made: list[Band]) -> None:
    room = 100.0
    sides = pour(made, lambda _: room, lambda _: room)
    assert list(chain.from_iterable(sides)) == made
    for side in sides:
        height = sum(band.height + (2.0 if at else 0.0) for at, band in enumerate(side))
        assert height <= room + 0.01
        # A run of headings that is higher than a side has to be parted somewhere.
        assert not side[-1].with_next or all(band.with_next for band in side)
