"""The story for home, worked out by hand: pieces, what is read, what the page holds, its sounds."""

import base64
import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve
from PIL import Image

from tapscore.exports.audio import sound_file
from tapscore.exports.audio.encode import AudioFormat, EncoderMissing
from tapscore.exports.audio.guide import GuideCancelled
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.home import home_sound as making
from tapscore.exports.audio.home.home_sound import home_sound
from tapscore.exports.audio.home.page import home_page
from tapscore.exports.audio.home.pieces import HomePiece, home_story, sounding
from tapscore.exports.audio.story_taps import TapsAside
from tapscore.exports.audio.versions.mixing import Job, Look
from tapscore.exports.audio.versions.sounds import VersionSounds, version_sounds
from tapscore.exports.audio.versions.version import SoundVersion, VersionKind
from tapscore.exports.audio.voice.telling import Teller
from tapscore.exports.own_pictures import NO_PICTURES, OwnPicture, OwnPictures
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Story, Translation
from tapscore.model.walk import change_lines
from tapscore.storyfile.read import read_text
from tests.exports.audio.versions.test_set_by_hand import TEXT

PROPS = """props:
  cup: {what: tin cup, instead: a mug, cautions: [water, small parts], picture: cup.jpg}
  bell: {what: small bell, by: leader}
  drum: {}
"""


@pytest.fixture(scope="module")
def story() -> Story:
    found = read_text(re.sub(r"props: .*\n", PROPS, TEXT))
    assert found.story is not None
    assert [each.code for each in found.findings if each.severity.value == "must mend"] == []
    return found.story


def told(pieces: Sequence[HomePiece]) -> list[tuple[object, ...]]:
    return [
        (
            piece.version and piece.version.stem,
            [line.words for line in piece.lines],
            piece.first,
            piece.then,
        )
        for piece in pieces
    ]


WAIT = "Wait, still and without words: 7 seconds or more. Look for a smile"
CUP = "Give cup time: touch, hold, listen, let go."
HOME = [("01", ["home we go"], "", ()), ("02", ["home"], "a big one", ())]


def test_what_sounds_from_press_to_press(story: Story) -> None:
    made = home_story(story)
    ((name, refrain),) = made.refrains
    assert (name, told(refrain)) == ("home", HOME), "nothing runs through the warning"
    assert told(made.whole) == [
        ("03", ["one", "home we go"], "", ()),
        ("02", ["home"], "a big one", (WAIT, CUP)),
        ("04", ["two"], "", ()),
        ("05", ["", "home we go"], "ready", ()),
        ("02", ["home"], "a big one", ()),
    ]
    notes = [[line.notes for line in piece.lines] for piece in made.whole]
    assert notes == [
        [("Show: cup",), ()],
        [()],
        [("Put away: cup", "Show: bell", "Do: wave to your child")],
        [(), ()],
        [()],
    ]


def test_each_sound_once_with_its_name_and_its_lines(story: Story) -> None:
    every = sounding(home_story(story))
    assert [(v.stem, v.title, v.line_names) for v in every] == [
        ("01", "home we go", ("home 1",)),
        ("02", "home", ("home 2",)),
        ("03", "one", ("01", "home 1")),
        ("04", "two", ("02",)),
        ("05", "", ("03", "home 1")),
    ]
    assert {v.kind for v in every} == {VersionKind.HOME}
    assert {v.story.sections[0].title for v in every} == {""}
    lengths = [v.performance().length_sec for v in every]
    assert lengths == [4, 2, 6, 1, 5]


def test_what_to_look_for_and_refrains_that_never_come(story: Story) -> None:
    looks = change_lines(story, lambda _, line: evolve(line, look_for="a blink"))
    notes = [line.notes[-1] for piece in home_story(looks).whole for line in piece.lines]
    assert set(notes) == {"Look for: a blink"}
    first, _ = story.sections
    without = evolve(story, sections=(evolve(first, items=first.items[:1]),))
    assert home_story(without).refrains == ()
    assert [len(piece.lines) for piece in home_story(without).whole] == [1]


def with_files(story: Story, folder: Path, suffix: str) -> dict[SoundVersion, Path]:
    files = {v: folder / f"{v.stem}{suffix}" for v in sounding(home_story(story))}
    for path in files.values():
        path.write_bytes(f"sound {path.stem}".encode())
    return files


def page(
    story: Story, folder: Path, suffix: str = ".mp3", pictures: OwnPictures = NO_PICTURES
) -> str:
    files = with_files(story, folder, suffix)
    return "".join(home_page(story, home_story(story), files, pictures))


def held(text: str) -> Any:
    found = re.search(r"^const told = (.*);$", text, re.M)
    assert found is not None
    return json.loads(found[1])


def test_what_the_page_plays_and_shows(story: Story, tmp_path: Path) -> None:
    polish = (Translation("pl", "do domu"), Translation("ur", "گھر"))

    def translated(_path: object, line: Line) -> Line:
        return evolve(line, translations=polish) if line.words == "home" else line

    data = held(page(change_lines(story, translated), tmp_path))
    assert data["sounds"] == [
        {"type": "audio/mpeg", "data": base64.b64encode(f"sound 0{n}".encode()).decode()}
        for n in range(1, 6)
    ]
    assert data["language"] == "en-GB"
    refrain, whole = data["choices"]
    assert (refrain["name"], refrain["refrain"]) == ("home", True)
    assert (whole["name"], whole["refrain"]) == ("The whole story", False)
    assert [each["sound"] for each in refrain["pieces"]] == [0, 1]
    assert [each["sound"] for each in whole["pieces"]] == [2, 1, 3, 4, 1]
    assert [each["first"] for each in whole["pieces"]] == [
        "",
        "a big one",
        "",
        "ready",
        "a big one",
    ]
    assert whole["pieces"][1]["then"] == [WAIT, CUP]
    assert refrain["pieces"][1]["lines"] == [
        {
            "words": "home",
            "notes": [],
            "in": [
                {"lang": "pl", "dir": "ltr", "words": "do domu"},
                {"lang": "ur", "dir": "rtl", "words": "گھر"},
            ],
        }
    ]
    assert [each["words"] for each in whole["pieces"][3]["lines"]] == [
        *("(taps without words)", "home we go"),
    ]


def test_other_kinds_of_sound_languages_and_names(story: Story, tmp_path: Path) -> None:
    welsh = evolve(story, language="cy", title="")
    text = page(welsh, tmp_path, ".m4a")
    assert {each["type"] for each in held(text)["sounds"]} == {"audio/mp4"}
    assert held(text)["language"] == "cy"
    assert "<h1" in text
    assert re.search(r"<h1[^>]*>Story</h1>", text)
    assert '<b lang="cy">cup</b>' in text


def test_things_to_find_with_what_to_mind(story: Story, tmp_path: Path) -> None:
    photo = Image.new("RGB", (3, 2), "red")
    photo.save(tmp_path / "cup.jpg")
    pictures = OwnPictures(tmp_path)
    text = page(story, tmp_path, pictures=pictures)
    items = re.findall(r"<li>(.*?)</li>", text)
    shown = pictures.of("cup.jpg")
    assert shown is not None
    picture = base64.b64encode(shown.jpeg).decode()
    assert items == [
        f'<img alt="" src="data:image/jpeg;base64,{picture}">'
        '<span><b lang="en-GB">cup</b>, at home a mug. Water: dry hands and floor at once. '
        "Small parts: nothing that could go into a mouth and be swallowed.</span>",
        '<span><b lang="en-GB">bell</b>, at home small bell. </span>',
        '<span><b lang="en-GB">drum</b>, at home drum. </span>',
    ]
    assert "Things to find" in text
    assert "Things to find" not in page(evolve(story, props=()), tmp_path)


def test_cautions_before_anything_is_played(story: Story, tmp_path: Path) -> None:
    text = page(story, tmp_path)
    before = text.index("Before you begin")
    for said in (
        "Listen once by yourself",
        "Nothing plays by itself. The sound stops at every wait",
        "never on your child’s head or chest",
        "Ask your child’s teacher, nurse or therapist",
    ):
        assert before < text.index(said) < text.index("What to hear")


def made_by(
    story: Story,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    *,
    format: AudioFormat = "mp3",
    heard: TapsHeard = AS_WRITTEN,
) -> tuple[list[Job], list[TapsHeard], list[float]]:
    """The files that would be mixed, in that order, how taps are heard, and how far it was."""

    def cover(_story: Story, _performance: object, below: str, own: OwnPicture | None) -> bytes:
        assert (below, own) == ("at home", None)
        return b"png"

    monkeypatch.setattr(making, "cover_png", cover)
    monkeypatch.setattr(making, "teller", lambda *_: Teller({}, {}, None))
    jobs: list[Job] = []
    ears: list[TapsHeard] = []
    shares: list[float] = []

    def plans(
        version: SoundVersion, speaker: Teller, chosen: TapsHeard, taps: TapsAside
    ) -> VersionSounds:
        ears.append(chosen)
        return version_sounds(version, speaker, chosen, taps)

    def mixes(coming: list[Job], into: Path, _format: AudioFormat, _look: Look) -> None:
        jobs.extend(coming)
        for each in coming:
            (into / each.file_name).write_bytes(b"x")

    monkeypatch.setattr(making, "version_sounds", plans)
    monkeypatch.setattr(making, "mix_all", mixes)
    folder.mkdir()
    found = home_sound(story, folder, format=format, progress=shares.append, heard=heard)
    assert found == ()
    return jobs, ears, shares


def test_files_longest_first_with_their_places_told(
    story: Story, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs, _, shares = made_by(story, tmp_path / "made", monkeypatch)
    assert [job.file_name for job in jobs] == ["03.mp3", "05.mp3", "01.mp3", "02.mp3", "04.mp3"]
    assert [(job.tags.title, job.tags.track) for job in jobs] == [
        ("The Mill: 3, one", 3),
        ("The Mill: 5, ", 5),
        ("The Mill: 1, home we go", 1),
        ("The Mill: 2, home", 2),
        ("The Mill: 4, two", 4),
    ]
    assert {(job.tags.story, job.tags.cover_png) for job in jobs} == {("The Mill", b"png")}
    assert shares == pytest.approx([0.03, 0.06, 0.09, 0.12, 0.15, 1.0])
    names = sorted(path.name for path in (tmp_path / "made").iterdir())
    assert names == ["at-home.html", "pieces"]


@pytest.mark.parametrize(
    ("chosen", "suffix"), [("mp3", "mp3"), ("m4a", "m4a"), ("ogg", "mp3"), ("wav", "mp3")]
)
def test_only_what_phones_play(
    chosen: AudioFormat,
    suffix: str,
    story: Story,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    jobs, _, _ = made_by(story, tmp_path / "made", monkeypatch, format=chosen)
    assert {job.file_name.split(".")[1] for job in jobs} == {suffix}


@pytest.mark.parametrize(
    ("chosen", "heard"),
    [
        (None, Loudness.MEDIUM),
        (Loudness.VERY_LOUD, Loudness.MEDIUM),
        (Loudness.LOUD, Loudness.MEDIUM),
        (Loudness.MEDIUM, Loudness.MEDIUM),
        (Loudness.QUIET, Loudness.QUIET),
    ],
)
def test_never_louder_than_medium_at_home(
    chosen: Loudness | None,
    heard: Loudness,
    story: Story,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    ear = TapsHeard(mono=True, loudest=chosen)
    _, ears, _ = made_by(story, tmp_path / "made", monkeypatch, heard=ear)
    assert set(ears) == {TapsHeard(mono=True, loudest=heard)}


def test_a_stop_leaves_no_page(story: Story, tmp_path: Path) -> None:
    with pytest.raises(GuideCancelled):
        home_sound(story, tmp_path, cancelled=lambda: True)
    assert not list(tmp_path.iterdir())


def test_without_the_program_nothing_is_begun_of_a_format_that_needs_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> str:
        raise EncoderMissing

    monkeypatch.setattr(sound_file, "mp3_program", missing)
    found = read_text(TEXT).story
    assert found is not None
    with pytest.raises(EncoderMissing, match="M4A"):
        home_sound(found, tmp_path, format="m4a")
    assert not list(tmp_path.iterdir())
