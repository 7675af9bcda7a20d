"""Own pictures at each bound, and the felt map's bands, lines of text and warnings: by hand."""

from fractions import Fraction
from io import BytesIO
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from attrs import evolve
from PIL import Image

from tapscore.board.facade import board_facts
from tapscore.board.words import MODEL_SENTENCE
from tapscore.exports import felt_map, own_pictures
from tapscore.exports.felt_bands import GROUNDS, hatch, parts, swatch
from tapscore.exports.felt_canvas import Canvas, shortened, wrapped
from tapscore.exports.own_pictures import MOST_BYTES, NO_PICTURES, OwnPictures, named_pictures
from tapscore.exports.paper.drawing import TextRun
from tapscore.exports.paper.inks import INK, WHITE, ink
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.board import Sheet
from tapscore.model.finding import Severity
from tapscore.model.strokes import Stroke
from tapscore.storyfile.read import read_text
from tests.board.boards import TWO_PLACES

STORY = """\
tapscore: 2
title: T
metre: 6/8
picture: sea.png
roles: {leader: {}}
board: {size_cm: [100, 80], gap_mm: 40, picture: room.png}
props: {silk: {what: a scarf, picture: silk.png}, bell: {what: a bell}}
refrains:
  turn it:
    - words: Turn it, turn it
      lane: "| X . x X . x |"
      picture: turn.png
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        picture: boat.png
      - refrain: turn it
"""
NAMED = ("sea.png", "silk.png", "room.png", "turn.png", "boat.png")


def test_every_picture_a_story_names_and_where() -> None:
    story = read_text(STORY).story
    assert story is not None
    found = dict(named_pictures(story))
    assert sorted(found.values()) == sorted(NAMED)
    assert found["picture",] == "sea.png"
    assert found["props", "silk", "picture"] == "silk.png"
    assert found["board", "picture"] == "room.png"


def test_pictures_that_can_t_be_used_are_told_where_they_are_named(tmp_path: Path) -> None:
    story = read_text(STORY).story
    assert story is not None
    Image.new("RGB", (9, 9)).save(tmp_path / "sea.png")
    (tmp_path / "silk.png").write_bytes(b"no picture")
    (tmp_path / "room.png").mkdir()
    found = OwnPictures(tmp_path).findings(story)
    assert {each.about["name"]: each.about["why"] for each in found} == {
        **{"silk.png": "broken", "room.png": "missing", "turn.png": "missing"},
        "boat.png": "missing",
    }
    for each in found:
        assert (each.code, each.severity) == ("own-picture", Severity.LOOK_AGAIN)
        assert each.about["most_mb"] == 30.0
    assert NO_PICTURES.findings(story) == ()


def test_no_name_or_folder_is_no_picture(tmp_path: Path) -> None:
    Image.new("RGB", (9, 9)).save(tmp_path / "a.png")
    pictures = OwnPictures(tmp_path)
    assert pictures.of("a.png") is not None
    assert pictures.why_not("a.png") is None
    assert (pictures.of(None), pictures.of(""), pictures.of("b.png")) == (None, None, None)
    assert (NO_PICTURES.of("a.png"), NO_PICTURES.why_not("a.png")) == (None, None)
    told = pictures.why_not("sub/a.png")
    assert told is not None
    assert (told.path, told.about["why"]) == (("picture",), "elsewhere")


def test_bytes_and_pixels_at_their_bounds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pictures = OwnPictures(tmp_path)

    def why(name: str) -> object:
        told = pictures.why_not(name)
        return told and told.about["why"]

    for size, reason in ((MOST_BYTES, "broken"), (MOST_BYTES + 1, "large")):
        with (tmp_path / f"{size}.png").open("wb") as file:
            file.truncate(size)
        assert why(f"{size}.png") == reason
    assert MOST_BYTES == 30_000_000
    monkeypatch.setattr(own_pictures, "MOST_PIXELS", 100)
    for high, reason_or_none in ((10, None), (11, "large")):
        Image.new("RGB", (10, high)).save(tmp_path / f"{high}.png")
        assert why(f"{high}.png") == reason_or_none


@pytest.mark.parametrize(
    ("size", "side", "made"),
    [
        *(((400, 300), 200, (200, 150)), ((300, 400), 200, (150, 200))),
        *(((40, 30), 200, (40, 30)), ((1800, 900), None, (900, 450))),
    ],
)
def test_sizes_on_paper(
    tmp_path: Path, size: tuple[int, int], side: int | None, made: tuple[int, int]
) -> None:
    Image.new("RGB", size, "teal").save(tmp_path / "a.png")
    pictures = OwnPictures(tmp_path)
    found = pictures.of("a.png") if side is None else pictures.of("a.png", side)
    assert found is not None
    assert (found.width_px, found.height_px) == made
    with Image.open(BytesIO(found.jpeg)) as read:
        assert (read.format, read.size, read.mode) == ("JPEG", made, "RGB")


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
def test_what_is_clear_in_any_mode_is_white(tmp_path: Path, mode: str) -> None:
    picture = Image.new(mode, (20, 20), 0)
    if mode == "P":
        picture.info["transparency"] = 0
    picture.save(tmp_path / "a.png")
    found = OwnPictures(tmp_path).of("a.png")
    assert found is not None
    with Image.open(BytesIO(found.jpeg)) as read:
        assert min(read.convert("L").tobytes()) > 250


def test_a_picture_that_is_changed_is_read_anew(tmp_path: Path) -> None:
    sizes = []
    for wide in (10, 30):
        Image.new("RGB", (wide, 10)).save(tmp_path / "a.png")
        found = OwnPictures(tmp_path).of("a.png")
        sizes.append(found and found.width_px)
    assert sizes == [10, 30]


def _away(along: float, distance: float) -> float:
    return abs((along + distance / 2) % distance - distance / 2)


@pytest.mark.parametrize(("word", "distance", "width"), [(0, 11.0, 1.5), (1, 17.0, 1.3)])
@pytest.mark.parametrize("fine", [1, 2])
def test_slanting_lines(word: int, distance: float, width: float, fine: int) -> None:
    cover = hatch(word, (40, 50), fine)
    assert cover.shape == (40, 50)
    for y in range(0, 40, 3):
        for x in range(0, 50, 7):
            lines = [(x + y) / sqrt(2), *([(x - y) / sqrt(2)] if word == 0 else [])]
            near = min(_away(along, distance * fine) for along in lines)
            expected = min(max(width * fine / 2 + 0.5 - near, 0.0), 1.0)
            assert cover[y, x] == pytest.approx(expected)
    assert not hatch(2, (5, 6), fine).any()


def test_pieces_for_the_key() -> None:
    for word in range(5):
        piece = swatch(word, 8, 6, 2)
        assert piece.shape == (12, 16, 3)
        ground = parts(GROUNDS[word])
        if word > 1:
            assert np.array_equal(piece, np.broadcast_to(ground.astype(np.uint8), piece.shape))
        else:
            assert (piece == ground).all(axis=2).any()
            assert not (piece == ground).all()
    assert parts(ink("#102030")).tolist() == [16, 32, 48]


def test_lines_no_wider_than_their_room() -> None:
    text = "the grain of the board is not known and the map may be wrong"
    lines = wrapped(text, 22, 200)
    assert " ".join(lines) == text
    assert len(lines) > 2
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        assert width_pt(line, 22, bold=False) <= 200
        if following:
            longer = f"{line} {following.split()[0]}"
            assert width_pt(longer, 22, bold=False) > 200
    assert wrapped("", 22, 200) == [""]
    assert wrapped("unbreakably-long-word here", 22, 20) == ["unbreakably-long-word", "here"]
    whole = width_pt("The Boat", 30, bold=True)
    assert shortened("The Boat", 30, whole) == "The Boat"
    cut = shortened("The Boat", 30, whole - 1)
    assert cut.endswith("…")
    assert width_pt(cut, 30, bold=True) <= whole - 1
    assert shortened("The Boat", 30, 0) == "…"
    title = "The mill wheel and the moon"
    starts = [title[:end].rstrip() for end in range(len(title))]
    for room in range(30, round(width_pt(title, 30, bold=True)), 7):
        fits = [each for each in starts if width_pt(f"{each}…", 30, bold=True) <= room]
        assert shortened(title, 30, room) == f"{fits[-1]}…"


def test_words_for_loudness_and_cells() -> None:
    named = {0: "very quiet", 1: "quiet", 2: "medium", 3: "loud", 4: "very loud"}
    for level, word in (*named.items(), (-1, "very quiet"), (9, "very loud"), (1.6, "medium")):
        assert felt_map.loudness_word(Fraction(level)) == word
    for text, cell in (("=1", "'=1"), ("+a", "'+a"), ("-a", "'-a"), ("@a", "'@a"), ("a=", "a=")):
        assert felt_map._plain_cell(text) == cell


def test_warnings_word_by_word() -> None:
    facts = board_facts(evolve(TWO_PLACES, gap_mm=Fraction(60)))
    assert felt_map.map_warnings(facts) == ()
    unsure = evolve(TWO_PLACES, sheet=Sheet("birch", Fraction(4), 3, "not known"))
    said = felt_map.map_warnings(board_facts(evolve(unsure, gap_mm=Fraction(60))))
    assert said[0] == (
        "The grain is not known: the map may be wrong even in its order. Lay the sheet on two "
        "battens to find it."
    )
    low = board_facts(evolve(TWO_PLACES, gap_mm=Fraction(10)))
    (touch,) = felt_map.map_warnings(low)
    deep = round(low.sag.deepest_mm)
    assert touch == (
        f"The board may sink {deep} mm of its 10 mm gap. If it touches the floor, this map is "
        "void: measure."
    )


@pytest.mark.parametrize(("align", "left"), [(None, 100.0), (0.0, 100.0), (0.5, 50.0), (1.0, 0.0)])
def test_texts_begin_and_end_where_they_should(align: float | None, left: float) -> None:
    """On a page of 300: from 100 on, round 100, or up to it (as shares of the text's width)."""
    canvas = Canvas(300, 60, WHITE)
    wide = width_pt("Boat", 40, bold=True)
    if align is None:
        canvas.text(100, 45, "Boat", 40, INK, bold=True)
    else:
        canvas.text(100, 45, "Boat", 40, INK, bold=True, align=align)
    with Image.open(BytesIO(canvas.png())) as page:
        dark = np.asarray(page.convert("L")) < 128
    begin = 100 - wide * (100 - left) / 100
    columns, rows = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
    assert columns[0] == pytest.approx(begin + 3, abs=4)
    assert columns[-1] == pytest.approx(begin + wide - 2, abs=4)
    assert rows[-1] == pytest.approx(45, abs=2), "on its line"


def test_what_is_written_on_a_map_and_where(monkeypatch: pytest.MonkeyPatch) -> None:
    board = evolve(TWO_PLACES, gap_mm=Fraction(60))
    told: dict[str, tuple[float, float, float]] = {}
    write = Canvas.text

    def noted(self: Canvas, x: float, y: float, text: str, size: float, *a: Any, **k: Any) -> None:
        told.setdefault(text, (round(x), round(y), k.get("align", 0.0)))
        write(self, x, y, text, size, *a, **k)

    monkeypatch.setattr(Canvas, "text", noted)
    made = felt_map.felt_map_png(board, Stroke.FLAT_HAND, Fraction(3), "B", title="A Boat")
    assert made is not None
    assert told["What B gets: flat hand, loud"] == (60, 84, 0.0)
    assert told["A Boat"] == (1540, 84, 1)
    assert told["The reference here is the same tap in the middle of the board."] == (60, 132, 0.0)
    (beside,) = [text for text in told if text.startswith("Beside a medium tap with the fing")]
    assert told[beside] == (60, 170, 0.0)
    assert told["centimetres"][2] == 1
    numbers = {n: told[str(n)] for n in range(0, 121, 20)}
    step = (numbers[120][0] - numbers[0][0]) / 6
    for count, (x, y, align) in enumerate(numbers[n] for n in range(20, 121, 20)):
        assert x == pytest.approx(numbers[0][0] + step * (count + 1), abs=1)
        assert (y, align) == (numbers[20][1], 0.5)
    for row, how in enumerate(reversed(felt_map._RANGES)):
        assert told[how] == (1286, 236 + 82 * row + 53, 0.0)
    assert told[MODEL_SENTENCE] == (60, 1112, 0.0)
    assert told[felt_map.NO_CLAIM_SENTENCE][1:] == (1112, 0.0)
    same = "Such a tap is also the reference for every other stroke and loudness."
    assert same not in told
    felt_map.felt_map_png(board, Stroke.FINGERTIPS, Fraction(2), "B", title="A Boat")
    assert told[same] == (60, 170, 0.0)


def test_a_run_of_text_of_a_drawing_stands_at_its_place() -> None:
    canvas, plain = Canvas(200, 90, WHITE), Canvas(200, 90, WHITE)
    canvas.draw([TextRun(70, 40, "Boat", 30, INK, True, 0.0)])
    plain.text(70, 40, "Boat", 30, INK, bold=True)
    assert canvas.png() == plain.png()
    assert canvas.png() != Canvas(200, 90, WHITE).png()
