"""The teacher's own pictures: within bounds, upright, without their data; or said why not."""

from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from attrs import evolve
from PIL import Image
from pypdf import PdfReader

from tapscore.exports.audio.cover import SIDE_PX as SIDE_PX_OF_COVER
from tapscore.exports.audio.cover import cover_png, tapped_line
from tapscore.exports.own_pictures import MOST_BYTES, SIDE_PX, OwnPictures
from tapscore.exports.paper.drawing import Photo, extent
from tapscore.exports.paper.floor_plan import floor_plan, floor_plan_pages
from tapscore.exports.paper.home_version import home_version
from tapscore.exports.paper.part_sheets import part_sheets
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.photos import photo_row
from tapscore.exports.paper.prop_list import box_label, prop_list
from tapscore.model.story import Prop, Story
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.test_pdf_ua import faults


def pictured(name: str) -> Story:
    story = sample()
    first, *others = story.props
    return evolve(story, props=(evolve(first, picture=name), *others))


def saved(folder: Path, name: str, size: tuple[int, int] = (400, 300), **how: object) -> Path:
    path = folder / name
    Image.new("RGB", size, "teal").save(path, **how)  # type: ignore[arg-type]
    return path


def why(folder: Path, name: str) -> str:
    (found,) = OwnPictures(folder).findings(pictured(name))
    assert name in found.message
    assert "rest was made" in found.remedy
    return str(found.about["why"])


@pytest.mark.parametrize("name", ["beads.png", "beads.jpg", "beads.heic"])
def test_each_kind_of_picture_is_on_every_paper_that_shows_props(name: str, tmp_path: Path) -> None:
    if name.endswith("heic"):
        pytest.importorskip("pillow_heif").register_heif_opener()
    saved(tmp_path, name)
    story, pictures = pictured(name), OwnPictures(tmp_path)
    performance = perform(story)
    papers: tuple[Printed, ...] = (
        part_sheets(story, performance, "prop handler", pictures=pictures),
        prop_list(story, performance, pictures=pictures),
        box_label(story, pictures=pictures),
        home_version(story, performance, pictures=pictures),
    )
    for printed in papers:
        images = [i for page in PdfReader(BytesIO(printed.pdf)).pages for i in page.images]
        assert len(images) == 1
        assert not any(f.code == "own-picture" for f in printed.findings)
        assert faults(printed.pdf, tmp_path) == []


def test_a_picture_of_the_room_is_beside_the_floor_plan(tmp_path: Path) -> None:
    saved(tmp_path, "room.jpg", (3000, 2000))
    story = sample()
    assert story.board is not None
    story = evolve(story, board=evolve(story.board, picture="room.jpg"))
    printed = floor_plan(story, pictures=OwnPictures(tmp_path))
    first, second = PdfReader(BytesIO(printed.pdf)).pages
    assert len(first.images) == 0
    assert [image.image.size for image in second.images if image.image] == [(2000, 1333)]
    assert "how it is set up" in second.extract_text()
    assert faults(printed.pdf, tmp_path) == []
    assert floor_plan(story).pages == 1
    (tmp_path / "room.jpg").write_bytes(b"broken")
    (found,) = OwnPictures(tmp_path).findings(story)
    assert found.path == ("board", "picture")
    assert floor_plan(story, pictures=OwnPictures(tmp_path)).pages == 1


@pytest.mark.parametrize(("width", "count"), [(70, 0), (90, 1), (180, 2), (300, 3)])
def test_so_many_pictures_of_props_as_have_room_in_a_row(
    width: float, count: int, tmp_path: Path
) -> None:
    """Each is 80 by 60 points, with 12 between; those that have no room are left out, the last."""
    props = tuple(Prop(name, picture=f"{name}.png") for name in ("bell", "cup", "mat"))
    for prop in props:
        saved(tmp_path, str(prop.picture), (400, 300))
    row = photo_row(OwnPictures(tmp_path), props, 12.0, width, 60.0)
    boxes = [extent(e) for b in row.blocks for e in b.elements] if row else []
    photos = [e for b in row.blocks for e in b.elements if isinstance(e, Photo)] if row else []
    assert len(photos) == count
    assert all(right <= width for _, _, right, _ in boxes)
    assert all(one.x + one.width_pt + 12 <= other.x + 0.01 for one, other in pairwise(photos))


@pytest.mark.parametrize("size", [(1200, 400), (900, 900), (300, 1200)])
def test_a_picture_of_the_room_fills_its_page_below_the_heading(
    size: tuple[int, int], tmp_path: Path
) -> None:
    """In the middle, to both margins or down to the last one, upright as it is."""
    saved(tmp_path, "room.png", size)
    story = sample()
    assert story.board is not None
    story = evolve(story, board=evolve(story.board, picture="room.png"))
    page = floor_plan_pages(story, pictures=OwnPictures(tmp_path))[-1]
    (photo,) = (e for b in page.blocks for e in b.elements if isinstance(e, Photo))
    left, top, right, foot = extent(photo)
    under = max(extent(text)[3] for text in page.texts)
    margin, paper = page.paper.margin_pt, page.paper
    assert (right - left) / (foot - top) == pytest.approx(size[0] / size[1], rel=0.01)
    assert left + right == pytest.approx(paper.width_pt)
    assert under < top < under + 12
    room = paper.width_pt - margin - right, paper.height_pt - margin - foot
    assert min(room) == pytest.approx(0, abs=0.1)


def test_a_large_photo_is_made_small_and_loses_where_it_was_taken(tmp_path: Path) -> None:
    tags = Image.Exif()
    tags[0x0112] = 6  # Orientation, EXIF 2.3: the top is at the right.
    tags[0x010E] = "in the garden of somebody"
    saved(tmp_path, "large.jpg", (4000, 3000), exif=tags)
    picture = OwnPictures(tmp_path).of("large.jpg")
    assert picture is not None
    assert (picture.width_px, picture.height_px) == (SIDE_PX * 3 // 4, SIDE_PX)
    assert b"garden" not in picture.jpeg
    assert not Image.open(BytesIO(picture.jpeg)).getexif()


def test_damaged_notes_in_a_whole_photo_are_no_matter(tmp_path: Path) -> None:
    tags = Image.Exif()
    tags[0x0112] = 6
    tags[0x010E] = "in the garden of somebody"
    path = saved(tmp_path, "notes.jpg", exif=tags)
    data = path.read_bytes()
    at = data.index(b"Exif\0\0") + 14  # how many entries the first list has (TIFF 6.0)
    path.write_bytes(data[:at] + b"\xff\xff" + data[at + 2 :])
    with pytest.warns(UserWarning, match="EXIF"), Image.open(path) as opened:
        opened.getexif()
    assert OwnPictures(tmp_path).of("notes.jpg") is not None  # and a warning is an error here


def test_what_is_clear_is_white(tmp_path: Path) -> None:
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(tmp_path / "clear.png")
    picture = OwnPictures(tmp_path).of("clear.png")
    assert picture is not None
    assert min(Image.open(BytesIO(picture.jpeg)).convert("L").tobytes()) > 250


def test_a_missing_a_broken_and_a_huge_picture_are_said_and_the_rest_is_made(
    tmp_path: Path,
) -> None:
    assert why(tmp_path, "gone.jpg") == "missing"
    assert why(tmp_path, "../beads.jpg") == "elsewhere"
    (tmp_path / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nno more")
    assert why(tmp_path, "broken.png") == "broken"
    whole = saved(tmp_path, "half.jpg", (800, 800)).read_bytes()
    (tmp_path / "half.jpg").write_bytes(whole[: len(whole) // 2])
    assert why(tmp_path, "half.jpg") == "broken"
    (tmp_path / "words.jpg").write_text("no picture at all", encoding="utf-8")
    assert why(tmp_path, "words.jpg") == "broken"
    with (tmp_path / "huge.jpg").open("wb") as file:
        file.truncate(100_000_000)
    assert MOST_BYTES < 100_000_000
    assert why(tmp_path, "huge.jpg") == "large"
    story = pictured("huge.jpg")
    printed = prop_list(story, perform(story), pictures=OwnPictures(tmp_path))
    assert printed.pages
    assert [f.code for f in printed.findings if f.code == "own-picture"]


def test_the_same_picture_gives_the_same_bytes(tmp_path: Path) -> None:
    saved(tmp_path, "beads.png")
    story, pictures = pictured("beads.png"), OwnPictures(tmp_path)
    one, other = (prop_list(story, perform(story), pictures=pictures).pdf for _ in range(2))
    assert one == other


def test_the_cover_of_the_guide_shows_the_story_s_picture(tmp_path: Path) -> None:
    saved(tmp_path, "cover.png")
    own = OwnPictures(tmp_path).of("cover.png")
    story = sample()
    line = tapped_line(perform(story))
    with_it = Image.open(BytesIO(cover_png(story, line, "guide", own))).convert("RGB")
    without = Image.open(BytesIO(cover_png(story, line, "guide"))).convert("RGB")
    middle = (SIDE_PX_OF_COVER // 2, 380)
    assert with_it.getpixel(middle) == pytest.approx((0, 128, 128), abs=6)
    assert without.getpixel(middle) != with_it.getpixel(middle)
