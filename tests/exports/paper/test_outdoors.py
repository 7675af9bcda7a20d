"""What a story needs out of doors, and pictures of lines on the screen of a hall."""

from pathlib import Path

import pytest
from attrs import evolve
from PIL import Image

from tapscore.checks.cautions import prop_hazards
from tapscore.exports.own_pictures import OwnPictures, named_pictures
from tapscore.exports.paper.drawing import Page, Photo
from tapscore.exports.paper.hall_screen import PICTURE_PT, hall_screen_pages
from tapscore.exports.paper.outdoors import NO_BOARD, outdoors_pages
from tapscore.model.finding import StoryPath
from tapscore.model.pupil_cautions import OUTDOOR_CAUTIONS
from tapscore.model.story import Line, Prop, Story
from tapscore.model.walk import change_lines
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.belongings import picture_names
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.test_card_layout import check_margins, words_on


def said(story: Story) -> str:
    return " ".join(words_on(outdoors_pages(story)).split())


def test_what_is_written_stands_there_and_what_is_not_can_be_written_on() -> None:
    story = evolve(
        sample(),
        outdoors="the long bench",
        weather="under the porch in rain",
        props=(Prop("silk", outdoors="a ribbon tied on", cautions=("cord",)), Prop("beads")),
    )
    words = said(story)
    for each in ("the long bench", "Weather: under the porch in rain", "silk: a ribbon tied on"):
        assert each in words
    assert "Mind: cord" in words
    assert words.count("Instead ") == 2, "the heading, and beads, of which nothing is written"
    assert NO_BOARD not in words
    assert NO_BOARD in said(evolve(story, outdoors=None))


def test_wind_sun_wet_and_cold_defer_to_local_policy() -> None:
    words = said(sample())
    assert {"wind", "sun", "wet", "cold"} <= {caution.name for caution in OUTDOOR_CAUTIONS}
    for caution in OUTDOOR_CAUTIONS:
        assert caution.source == "common practice, no source"
        assert caution.ask
        assert f"Ask {caution.ask}." in words
    assert "Your school's policies on outings, sun and cold weather come before" in words
    assert "safe" not in words.replace("is safe for anybody", "").replace("safety", "")


def test_it_is_written_in_the_file_and_read_again() -> None:
    story = evolve(sample(), outdoors="a bench", weather="not in wind")
    story = evolve(story, props=(Prop("silk", outdoors="a ribbon"),))
    story = change_lines(story, lambda _, line: evolve(line, picture="moon.jpg"))
    again = read_text(write_story(story))
    assert again.story == story


def test_hazards_hide_in_what_is_used_out_of_doors_as_well() -> None:
    hazards = {(name, key) for name, _, key in prop_hazards(Prop("bag", outdoors="a balloon"))}
    assert ("latex", "outdoors") in hazards


@pytest.fixture
def pictures(tmp_path: Path) -> OwnPictures:
    Image.new("RGB", (1600, 1200), "teal").save(tmp_path / "moon.jpg")
    Image.new("RGB", (600, 1200), "purple").save(tmp_path / "boat.png")
    return OwnPictures(tmp_path)


def photos(page: Page) -> list[Photo]:
    return [e for block in page.blocks for e in block.elements if isinstance(e, Photo)]


def test_a_line_s_own_picture_is_as_large_as_there_is_room(pictures: OwnPictures) -> None:
    def pictured(path: StoryPath, line: Line) -> Line:
        name = "boat.png" if path[0] == "refrains" else "moon.jpg"
        return evolve(line, picture=name)

    story = change_lines(sample(), pictured)
    assert set(picture_names(story)) == {"moon.jpg", "boat.png"}
    assert all(path[-1] == "picture" for path, _ in named_pictures(story))
    pages = hall_screen_pages(story, perform(story), pictures=pictures)
    check_margins(pages)
    with_photo = [page for page in pages if photos(page)]
    assert with_photo
    for page in with_photo:
        (photo,) = photos(page)
        assert photo.height_pt >= PICTURE_PT - 0.1 or photo.width_pt > page.paper.inner_width_pt / 2
        (figure,) = [block for block in page.blocks if block.tag == "Figure"]
        assert figure.alt.startswith("Picture: ")
    without = hall_screen_pages(story, perform(story))
    assert not any(photos(page) for page in without), "no folder, no picture"
