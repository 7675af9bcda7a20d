"""Chapters and tags as text, and the cover picture looked at by its pixels.

``cover.png`` was looked at by eye; where a change of it is meant it is written anew with
``python -m tests.exports.audio.test_tags_and_cover``, and looked at again.
"""

import json
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve
from numpy.typing import NDArray
from PIL import Image

from tapscore.exports.audio.cover import SIDE_PX, cover_png, tapped_line
from tapscore.exports.audio.tags import Chapter, Tags, chapters, ffmetadata, one_line
from tapscore.exports.audio.web_page import for_script
from tapscore.exports.own_pictures import OwnPicture
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text


def story(lane: str, words: str = "la la la") -> Story:
    found = read_text(
        "tapscore: 2\ntitle: Small\nmetre: 4/4\ntempo: 60\nloudness: quiet\nstory:\n"
        f"  - section: One\n    lines: [{{words: {words}, lane: '{lane}'}}, {{wait: 10}}]\n"
        "  - section: Two\n    lines: [{words: b}]\n  - section: Two\n    lines: [{words: c}]\n"
    ).story
    assert found is not None
    return found


def test_chapters_by_the_second() -> None:
    """A bar to count in belongs to the first; two sections of one name are one chapter."""
    told = perform(story("| X . . . . . . . |"), count_in_bars=1)
    assert [segment.start_sec for segment in told.segments] == [0, 4, 8, 18, 22]
    assert chapters(told, 30.5) == (Chapter(0, 18, "One"), Chapter(18, 30.5, "Two"))
    assert chapters(perform(Story("")), 5) == ()


def test_a_section_that_comes_again_is_a_chapter_again() -> None:
    sections = "".join(
        f'  - section: "{title}"\n    lines: [{{words: la}}]\n'
        for title in ("The\\tmill", "Home", "The\\tmill")
    )
    found = read_text(f"tapscore: 2\ntitle: t\nmetre: 4/4\ntempo: 60\nstory:\n{sections}").story
    assert found is not None
    named = [chapter.title for chapter in chapters(perform(found), 99)]
    assert named == ["The mill", "Home", "The mill"]


CHAPTERS = (
    Chapter(0, 61.2346, "One"),
    Chapter(61.2346, 3_723.5, "Two = ;"),
    Chapter(3_723.5, 4e3, "c"),
)


def test_tags_as_ffmpegs_text() -> None:
    tags = Tags("Whole", "The Mill", "", 0, CHAPTERS[:2])
    assert ffmetadata(tags) == (
        ";FFMETADATA1\ntitle=Whole\nalbum=The Mill\nartist=tapscore\ngenre=Rehearsal\n"
        "encoded_by=tapscore\n"
        "[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=61235\ntitle=One\n"
        "[CHAPTER]\nTIMEBASE=1/1000\nSTART=61235\nEND=3723500\ntitle=Two \\= \\;\n"
    )
    part = Tags("Part", "The Mill", "helper", 3)
    assert ffmetadata(part) == (
        ";FFMETADATA1\ntitle=Part\nalbum=The Mill\nartist=helper\ngenre=Rehearsal\ntrack=3\n"
        "encoded_by=tapscore\n"
    )


def test_chapters_as_comments_by_the_clock() -> None:
    text = ffmetadata(Tags("a", "b", chapters=CHAPTERS), chapters_as_comments=True)
    assert text.splitlines()[-6:] == [
        *("CHAPTER001=00:00:00.000", "CHAPTER001NAME=One", "CHAPTER002=00:01:01.235"),
        *("CHAPTER002NAME=Two \\= \\;", "CHAPTER003=01:02:03.500", "CHAPTER003NAME=c"),
    ]


@pytest.mark.parametrize(
    ("text", "line"), [("a\nb", "a b"), (" a \t\0 b ", "a b"), ("é日", "é日"), ("\ud800x", "?x")]
)
def test_one_line(text: str, line: str) -> None:
    assert one_line(text) == line


def pixels(told: Story, below: str = "Whole", own: OwnPicture | None = None) -> NDArray[np.int16]:
    picture = Image.open(BytesIO(cover_png(told, tapped_line(perform(told)), below, own)))
    assert picture.size == (SIDE_PX, SIDE_PX) == (600, 600)
    return np.asarray(picture.convert("RGB"), np.int16)


def dark(picture: NDArray[np.int16]) -> NDArray[np.bool_]:
    return np.asarray(picture.max(axis=2) < 60)


def dots(picture: NDArray[np.int16]) -> list[tuple[float, int]]:
    """Middle and width of each dot in the board's middle row."""
    row = np.concatenate(([False], dark(picture)[380], [False]))
    edges = np.flatnonzero(np.diff(row.astype(int)))
    return [((a + b - 1) / 2, int(b - a)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def test_the_first_lines_taps_lie_along_the_board_in_time() -> None:
    """The board from 48 to 552, its first tap 40 further in; a bar is the 424 between."""
    found = dots(pixels(story("| x . x . X . . . |")))
    assert [at for at, _ in found] == pytest.approx([88, 88 + 106, 88 + 212], abs=1.5)
    # a quiet tap is 22 pixels across, an accent 16 more
    assert [wide for _, wide in found] == pytest.approx([22, 22, 38], abs=2)
    louder = dots(pixels(story("| x(very loud) . . . . . . . |")))
    assert [wide for _, wide in louder] == pytest.approx([40], abs=2)
    assert dots(pixels(story("| s . s . s . . . |"))) == []


def test_the_first_line_with_taps_stands_for_the_story() -> None:
    lines = "".join(
        f"      - {{words: la la, lane: '| {steps} |', tempo: 60}}\n"
        for steps in ("s . . .", ". x . .", "x . . x")
    )
    found = read_text(
        f"tapscore: 2\ntitle: t\nmetre: 2/4\nstory:\n  - section: A\n    lines:\n{lines}"
    ).story
    assert found is not None
    line = tapped_line(perform(found, count_in_bars=1))
    assert line is not None
    assert [tap.onset_sec - line.start_sec for tap in line.taps] == [0.5]
    assert tapped_line(perform(story("| s . . . . . . . |"))) is None


def test_the_title_is_above_and_the_word_below() -> None:
    told = story("| s . . . . . . . |")
    plain = pixels(told)
    assert dark(plain)[40:280].any()
    assert not dark(plain)[:35].any()
    assert not dark(plain)[:, :44].any()
    teal = (plain[..., 2] > plain[..., 0] + 50)[500:560]
    assert teal.any()
    assert not (pixels(told, "")[..., 2] > pixels(told, "")[..., 0] + 50)[500:560].any()
    long = pixels(read_title("A very long title that goes on " * 6), "w" * 300)
    assert not dark(long)[:, 553:].any()
    assert not dark(long)[160:].any(), "three lines at the most, above the board"


def read_title(title: str) -> Story:
    found = read_text(f"tapscore: 2\ntitle: {title}\nstory: []\n").story
    assert found is not None
    return found


def test_an_own_picture_takes_the_boards_place() -> None:
    held = BytesIO()
    Image.new("RGB", (400, 200), (200, 0, 0)).save(held, "JPEG")
    shown = pixels(story("| x . . . . . . . |"), own=OwnPicture(held.getvalue(), 400, 200))
    red = (shown[..., 0] > 150) & (shown[..., 1] < 60)
    rows, columns = np.flatnonzero(red.any(axis=1)), np.flatnonzero(red.any(axis=0))
    # as large as fits, in the middle, its foot where the board's is
    assert rows[-1] == pytest.approx(469, abs=2)
    assert columns[0] + columns[-1] == pytest.approx(599, abs=3)
    assert (columns[-1] - columns[0]) / (rows[-1] - rows[0]) == pytest.approx(2, abs=0.05)
    # a tall one is 220 high, and nothing of it lies in the row above
    held = BytesIO()
    Image.new("RGB", (100, 400), (200, 0, 0)).save(held, "JPEG")
    tall = pixels(story("| x . . . . . . . |"), own=OwnPicture(held.getvalue(), 100, 400))
    red = (tall[..., 1] < 60) & (tall[..., 0] > 150)
    assert np.flatnonzero(red.any(axis=1))[0] == 250
    assert (tall[249] == tall[249, 0]).all()


COVER = Path(__file__).parents[2] / "data" / "cover.png"


def looked_at() -> Image.Image:
    """A title of two lines, a quiet tap, an accent and a very loud one, and a long word below."""
    told = story("| x . X . x(very loud) . . x(very quiet) |", "la la la la")
    told = evolve(told, title="The mill wheel and the moon")
    line = tapped_line(perform(told, count_in_bars=1))
    return Image.open(BytesIO(cover_png(told, line, "second tapper")))


def test_the_cover_looks_as_it_did() -> None:
    """But for a few pixels: another version of the library may draw a letter's edge otherwise."""
    made, kept = (np.asarray(each.convert("L"), int) for each in (looked_at(), Image.open(COVER)))
    assert (abs(made - kept) > 40).sum() < 40


def test_data_for_a_page_s_script_is_read_back_and_ends_nothing() -> None:
    data = {"Łódź": ["</script>", "a\u2028b\u2029c", 0.5, None]}
    made = for_script(data)
    assert json.loads(made) == data
    assert "Łódź" in made  # as it is, not as numbers of letters
    assert not set("<\u2028\u2029") & set(made)


if __name__ == "__main__":
    looked_at().save(COVER, optimize=True)
