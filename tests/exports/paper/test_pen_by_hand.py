"""What a page's elements become in the PDF: its operators (ISO 32000-1, annex A), by hand."""

from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import ContentStream

from tapscore.exports.paper.drawing import (
    Element,
    Outline,
    Page,
    Panel,
    Photo,
    Shape,
    StraightLine,
    TaggedBlock,
    TextRun,
    extent,
    moved,
    moved_block,
    outlines,
    shape,
)
from tapscore.exports.paper.inks import INK, TEAL, WHITE, ink
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pdf import write_pdf
from tapscore.exports.paper.text_width import width_pt

PAPER = Paper("small", 200.0, 300.0, 20.0)


def operators(
    *elements: Element, tag: str = "Artifact", alt: str = ""
) -> list[tuple[str, list[Any]]]:
    """Operators of a page with these, numbers to a hundredth; without marks and fonts' names."""
    page = Page(PAPER, (TaggedBlock(tag, elements, alt),))
    data, count = write_pdf((page,), title="T", subject="S", language="en")
    assert count == 1
    reader = PdfReader(BytesIO(data))
    assert [float(side) for side in reader.pages[0].mediabox] == [0, 0, 200, 300]
    made = []
    for operands, operator in ContentStream(reader.pages[0].get_contents(), reader).operations:
        numbers = [
            [float(v) for v in each] if isinstance(each, list) else round(float(each), 2)
            for each in operands
            if isinstance(each, list | int | float) or hasattr(each, "as_tuple")
        ]
        made.append((operator.decode(), numbers))
    return made


def of(made: list[tuple[str, list[Any]]], *names: str) -> list[tuple[str, list[Any]]]:
    return [(name, numbers) for name, numbers in made if name in names]


def ink_of(colour: Any) -> list[float]:
    return [round(part, 2) for part in colour.parts]


def test_an_ink_s_parts_are_shares_of_255() -> None:
    assert WHITE.parts == (1, 1, 1)
    assert ink("#3366FF").parts == pytest.approx((0.2, 0.4, 1))


def test_shapes_are_filled_outlines_counted_from_the_foot() -> None:
    outline = Shape(
        (
            *(
                ("M", (10.0, 20.0)),
                ("L", (30.0, 25.0)),
                ("C", (31.0, 32.0, 33.0, 34.0, 35.0, 36.0)),
            ),
            ("Z", ()),
        ),
        TEAL,
    )
    made = operators(moved(outline, 5, 7))
    assert [name for name, _ in made if name in ("h", "f", "f*", "S", "B", "B*")] in (
        *(["h", "f"], ["h", "f*"]),
    )
    assert of(made, "m", "l", "c") == [
        *(("m", [15, 273]), ("l", [35, 268]), ("c", [36, 261, 38, 259, 40, 257])),
    ]
    assert ("rg", ink_of(TEAL)) in made
    assert extent(moved(outline, 5, 7)) == (15, 27, 40, 43)


def test_lines_and_boxes() -> None:
    made = operators(StraightLine(10, 20, 60, 30, TEAL, 1.5))
    assert of(made, "m", "l", "S", "w") == [
        *(("w", [1.5]), ("m", [10, 280]), ("l", [60, 270]), ("S", [])),
    ]
    assert ("RG", ink_of(TEAL)) in made
    square = operators(Panel(10, 20, 50, 40, 0, WHITE, INK, 2.0, 10.0))
    assert of(square, "w", "d")[:2] == [("w", [2]), ("d", [[10, 7], 0])]
    assert ("rg", ink_of(WHITE)) in square
    assert ("RG", ink_of(INK)) in square
    xs = [v for name, numbers in of(square, "m", "l", "c") for v in numbers[::2]]
    ys = [v for name, numbers in of(square, "m", "l", "c") for v in numbers[1::2]]
    if not xs:
        ((_, [x, y, wide, high]),) = of(square, "re")
        xs, ys = [x, x + wide], [y, y + high]
    assert (min(xs), max(xs), min(ys), max(ys)) == (10, 60, 240, 280)
    assert [name for name, _ in of(square, "f", "f*", "S", "B", "B*")] in (["B"], ["B*"])
    bare = operators(Panel(10, 20, 50, 40, 5, WHITE))
    assert [name for name, _ in of(bare, "f", "f*", "S", "B", "B*")] in (["f"], ["f*"])
    edged = operators(Panel(10, 20, 50, 40, 5, None, INK, 1.0))
    assert [name for name, _ in of(edged, "f", "f*", "S", "B", "B*")] == ["S"]
    assert all(numbers == [[], 0] for _, numbers in of(edged, "d"))


@pytest.mark.parametrize(("wide", "high"), [(50, 8), (8, 50)])
def test_corners_are_no_rounder_than_the_box(wide: float, high: float) -> None:
    """With a radius of more than half a side the box would cross itself."""
    made = operators(Panel(10, 20, wide, high, 30, INK))
    xs = [v for _, numbers in of(made, "m", "l", "c") for v in numbers[::2]]
    ys = [v for _, numbers in of(made, "m", "l", "c") for v in numbers[1::2]]
    assert (min(xs), max(xs)) == pytest.approx((10, 10 + wide), abs=0.02)
    assert (min(ys), max(ys)) == pytest.approx((280 - high, 280), abs=0.02)
    starts = [numbers for name, numbers in made if name == "m"]
    assert starts[0][0] == pytest.approx(14, abs=0.02)  # half of 8


def test_a_picture_stands_upright_where_it_is() -> None:
    out = BytesIO()
    Image.new("RGB", (4, 2), "red").save(out, "JPEG")
    made = operators(Photo(10, 20, 40, 30, out.getvalue()), tag="Figure", alt="red")
    assert ("cm", [40, 0, 0, 30, 10, 250]) in made


def run(x: float, text: str, y: float = 50, **more: Any) -> TextRun:
    return TextRun(x, y, text, 20, INK, False, width_pt(text, 20, bold=False), **more)


def words(*texts: TextRun) -> str:
    page = Page(PAPER, (TaggedBlock("P", texts),))
    data, _ = write_pdf((page,), title="T", subject="S", language="en")
    return str(PdfReader(BytesIO(data)).pages[0].extract_text()).replace("\n", "")


def test_runs_stand_on_their_base_lines_and_are_parted_by_spaces() -> None:
    made = operators(run(30, "One"), tag="P")
    assert ("Tm", [1, 0, 0, 1, 30, 250]) in made
    size = next(numbers for name, numbers in made if name == "Tf" and numbers == [20.0])
    assert size == [20]
    one = run(10, "One")
    end = one.x + one.width_pt
    for other, said in (
        (run(end + 10, "two"), "One two"),
        (run(end, "two"), "Onetwo"),
        (run(end + 0.9, "two"), "Onetwo"),  # less than a twentieth of 20 points
        (run(end + 1.5, "two"), "One two"),
        (run(end + 10, " two"), "One two"),
    ):
        assert words(one, other) == said
    assert words(run(10, "One "), run(end + 10, "two")) == "One two"


def test_outlines_are_what_was_drawn() -> None:
    def draw(sink: Any) -> None:
        sink.move_to(0, 0)
        sink.line_to(10, 0)
        sink.curve_to(10, 4, 6, 8, 2, 8)
        sink.close()

    outline = Outline()
    draw(outline)
    assert outline.ops == [
        *(("M", (0, 0)), ("L", (10, 0)), ("C", (10, 4, 6, 8, 2, 8)), ("Z", ())),
    ]
    (points,) = outlines(shape(INK, draw), steps=2)
    # A cubic curve's middle: an eighth of its ends, three eighths of its handles.
    assert points == [(0, 0), (10, 0), (pytest.approx(7.5), pytest.approx(5.5)), (2, 8)]


def test_where_elements_are_and_where_they_go() -> None:
    text = TextRun(10, 50, "a", 20, INK, True, 12.0, "ab", "from left")
    assert extent(text) == (10, 35, 22, 54.8)
    assert moved(text, 1, 2) == TextRun(11, 52, "a", 20, INK, True, 12.0, "ab", "from left")
    panel = Panel(10, 20, 30, 40, 5, None, INK, 2, 3)
    assert extent(panel) == (9, 19, 41, 61)
    assert moved(panel, 1, 2) == Panel(11, 22, 30, 40, 5, None, INK, 2, 3)
    assert extent(Photo(1, 2, 3, 4, b"")) == (1, 2, 4, 6)
    assert extent(StraightLine(5, 9, 5, 1, INK, 2)) == (4, 1, 6, 9)
    assert extent(StraightLine(9, 5, 1, 5, INK, 2)) == (1, 4, 9, 6)
    assert moved(StraightLine(1, 2, 3, 4, INK, 5), 10, 20) == StraightLine(11, 22, 13, 24, INK, 5)
    block = TaggedBlock("P", (text,), "alt", None, "pl")
    assert moved_block(block, 0, 0) is block
    assert moved_block(block, 0, 2) == TaggedBlock("P", (moved(text, 0, 2),), "alt", None, "pl")
    assert moved_block(block, 1, 0).elements[0] == moved(text, 1, 0)


def test_a_figure_s_box_is_that_of_all_it_shows() -> None:
    """BBox, from the page's left foot (ISO 32000-1, 14.8.5.4.3)."""
    page = Page(
        PAPER,
        (
            TaggedBlock(
                "Figure", (Panel(20, 30, 10, 10, fill=INK), Panel(50, 60, 7, 9, fill=INK)), "two"
            ),
        ),
    )
    data, _ = write_pdf((page,), title="T", subject="S", language="en")
    root: Any = PdfReader(BytesIO(data)).trailer["/Root"]
    figure = root["/StructTreeRoot"]["/K"]["/K"][0].get_object()
    assert [float(side) for side in figure["/A"]["/BBox"]] == [20, 231, 57, 270]
    assert figure["/Alt"] == "two"
