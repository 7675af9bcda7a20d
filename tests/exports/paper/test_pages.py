import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.paper.pages import paper, paper_name, parts


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


@pytest.mark.parametrize("name", ["A2", "", "letter-ish", "120", "120x", "-120x180", "1e3x200"])
def test_unknown_paper_names_the_known(name: str) -> None:
    with pytest.raises(ValueError, match=r"A4, A5, A6, Letter, or .* such as 120x180"):
        paper(name, landscape=False)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("120x180", "120 x 180 mm"),
        ("180 × 120 mm", "120 x 180 mm"),
        ("99.5 mm X 140,25mm", "99.5 x 140.25 mm"),
        (" a5 ", "A5"),
        ("letter", "Letter"),
        ("210x148", "A5"),
    ],
)
def test_a_size_of_ones_own_is_read_either_way_round(written: str, name: str) -> None:
    assert paper_name(written) == name
    # What is written out can be read again.
    assert paper_name(name) == name


@given(st.integers(740, 2970), st.integers(1050, 4200), st.booleans())
def test_any_size_from_a7_to_a3_is_that_size(one: int, other: int, turned: bool) -> None:
    short, long = sorted((one / 10, other / 10))
    sides = (long, short) if turned else (short, long)
    # ISO 216: A7 is 74 x 105 mm, A3 297 x 420 mm.
    if short > 297 or long < 105:
        return
    made = paper(f"{sides[0]}x{sides[1]}", landscape=True)
    assert made.width_pt == pytest.approx(long / 25.4 * 72)
    assert made.height_pt == pytest.approx(short / 25.4 * 72)


@pytest.mark.parametrize(
    ("written", "what"),
    [("73x200", "too small"), ("74x104", "too small"), ("298x400", "too large"),
     ("200x421", "too large"), ("0x0", "too small"), ("999999x999999", "too large")],
)  # fmt: skip
def test_what_no_printer_takes_is_refused_with_the_limit(written: str, what: str) -> None:
    with pytest.raises(ValueError, match=f"{what}: choose .* mm"):
        paper(written, landscape=True)


@pytest.mark.parametrize("margin_mm", [-1.0, 33.0, 1e9, float("nan"), float("inf")])
def test_a_margin_that_leaves_no_room_names_the_widest(margin_mm: float) -> None:
    with pytest.raises(ValueError, match=r"leaves no room on A6: choose 0 to 32\.5 mm"):
        paper("A6", landscape=True, margin_mm=margin_mm)


@pytest.mark.parametrize(
    ("name", "most", "part", "count"),
    [
        # ISO 216: halves of A4 are A5, quarters A6.
        ("A4", 2, "A5", 2),
        ("A4", 4, "A6", 4),
        ("A5", 4, "A6", 2),
        ("A6", 4, "A6", 1),
        ("Letter", 2, "139.7 x 215.9 mm", 2),
        ("Letter", 4, "107.95 x 139.7 mm", 4),
        ("110x300", 4, "110 x 150 mm", 2),
        ("74x105", 4, "74 x 105 mm", 1),
    ],
)
def test_a_sheet_is_halved_while_its_parts_are_large_enough(
    name: str, most: int, part: str, count: int
) -> None:
    assert parts(name, most) == (part, count)
