import pytest

from tapscore.exports.paper.pages import paper


@pytest.mark.parametrize(
    ("name", "short_pt", "long_pt"),
    # ISO 216: A4 210 x 297 mm, A5 148 x 210 mm, A6 105 x 148 mm; a point is 1/72 inch.
    [("A4", 595.276, 841.890), ("A5", 419.528, 595.276), ("A6", 297.638, 419.528)],
)
def test_iso_216_sizes_in_points(name: str, short_pt: float, long_pt: float) -> None:
    standing, lying = paper(name, landscape=False), paper(name, landscape=True)
    assert standing.width_pt == pytest.approx(short_pt, abs=0.001)
    assert standing.height_pt == pytest.approx(long_pt, abs=0.001)
    assert (lying.width_pt, lying.height_pt) == (standing.height_pt, standing.width_pt)


def test_each_size_is_half_the_one_before() -> None:
    # ISO 216: each size is half the area of the one before, to the millimetre.
    for larger, smaller in (("A4", "A5"), ("A5", "A6")):
        big, small = paper(larger, landscape=False), paper(smaller, landscape=False)
        assert small.height_pt == pytest.approx(big.width_pt)
        assert small.width_pt == pytest.approx(big.height_pt / 2, abs=72 / 25.4)


def test_margins_leave_the_strip_that_printers_cannot_reach() -> None:
    assert paper("A5", landscape=True).margin_pt * 25.4 / 72 >= 6.35  # a quarter inch


def test_unknown_paper_names_the_known() -> None:
    with pytest.raises(ValueError, match="A4, A5, A6"):
        paper("letter", landscape=False)
