"""A whole set of a small story, worked out by hand: rows shown, files, tags, covers and gains."""

import gc
import json
import re
import weakref
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from threading import Event
from time import sleep

import numpy as np
import pytest
from attrs import evolve
from numpy.typing import NDArray

from tapscore.exports.audio.encode import AudioFormat, to_frames
from tapscore.exports.audio.guide import GuideCancelled
from tapscore.exports.audio.heard import TapsHeard
from tapscore.exports.audio.levels import Levels
from tapscore.exports.audio.mix import BLOCK_FRAMES
from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.proof import GuideUnfit
from tapscore.exports.audio.sound import Sound
from tapscore.exports.audio.sound_file import open_sound_file
from tapscore.exports.audio.tags import Chapter, Tags
from tapscore.exports.audio.versions import mixing, rehearsal_set
from tapscore.exports.audio.versions.mixing import Job, Look, mix_all
from tapscore.exports.audio.versions.page import PageEntry, index_page, page_entry
from tapscore.exports.audio.versions.sounds import VersionSounds, version_sounds
from tapscore.exports.audio.versions.version import SoundVersion, VersionKind, versions
from tapscore.exports.audio.voice.telling import Speech, Teller, teller
from tapscore.exports.own_pictures import OwnPicture
from tapscore.model.loudness import Loudness
from tapscore.model.story import Section, Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import RoleView
from tapscore.storyfile.read import read_text
from tests.exports.audio.audio_stories import samples

# 2/4 at 60: a bar is 2 s; in the second section 1 s.  A refrain keeps the story's own tempo.
TEXT = """\
tapscore: 2
title: The Mill
metre: 2/4
tempo: 60
pupils: 2
roles: {leader: , helper: }
props: {cup: {what: cup, by: helper}, bell: {what: small bell, by: leader}}
refrains:
  home:
    - {words: home we go, lane: "| X . x . | x . . . |", by: everyone}
    - {words: home, lane: "| X . . . |", by: helper, warn first: a big one}
story:
  - section: One
    lines:
      - {words: one, lane: "| X . . . |", by: leader, prop in: cup}
      - refrain: home
      - {wait: 7, look for: a smile}
  - section: Two
    tempo: 120
    lines:
      - {offer: cup, turn: 20}
      - words: two
        lane: "| X . . . |"
        by: helper
        prop out: cup
        prop in: bell
        do: wave to every pupil
      - {words: "", lane: "| t . . . |", by: leader, warn first: ready}
      - refrain: home
"""


@pytest.fixture(scope="module")
def story() -> Story:
    found = read_text(TEXT)
    assert found.story is not None
    assert found.findings == ()
    return found.story


def entry(story: Story, stem: str, length_sec: float = 9.876) -> PageEntry:
    version = next(each for each in versions(story) if each.stem == stem)
    return page_entry(version, version.performance(), f"sound/{stem}.mp3", length_sec)


def rows(made: PageEntry) -> list[tuple[object, ...]]:
    return [(row.start_sec, row.label, row.words, row.mine, row.notes) for row in made.rows]


WAIT = "Wait 7 seconds or longer; look for a smile"
OFFER = "Offer the cup: 2 turns of 20 seconds"
BIG, READY = ("warn", "leader warns first: a big one"), ("warn", "leader warns first: ready")
SAYS = ("do", "you say the words")
MOVED = (("prop", "cup out"), ("prop", "bell in"))


def test_what_is_shown_of_the_whole_story_and_when(story: Story) -> None:
    made = entry(story, "whole")
    assert rows(made) == [
        (4.0, "1", "one", True, (("prop", "cup in"),)),
        (6.0, "home", "home we go", True, ()),
        (10.0, "home", "home", True, (BIG,)),
        (12.0, "", WAIT, True, ()),
        (19.0, "", OFFER, True, ()),
        (59.0, "2", "two", True, MOVED),
        (60.0, "3", "(taps without words)", True, (READY,)),
        (61.0, "home", "home we go", True, ()),
        (65.0, "home", "home", True, (BIG,)),
    ]
    kinds = [row.kind for row in made.rows]
    assert kinds == ["line", "line", "line", "wait", "offer", "line", "line", "line", "line"]
    assert (made.role, made.loops, made.source, made.length_sec) == (
        *("", False, "sound/whole.mp3", 9.876),
    )


def test_what_each_adult_is_shown_of_her_part(story: Story) -> None:
    leader, helper = entry(story, "part-1"), entry(story, "part-2")
    assert (leader.role, helper.role) == ("leader", "helper")
    assert [(row.mine, row.notes) for row in leader.rows] == [
        (True, (("prop", "cup in"), SAYS)),
        (True, (SAYS,)),
        (True, (BIG, ("do", "you warn: a big one"), SAYS)),
        (False, ()),
        (False, ()),
        (True, (*MOVED, ("do", "you bring bell"), SAYS)),
        (True, (READY, ("do", "you warn: ready"), SAYS)),
        (True, (SAYS,)),
        (True, (BIG, ("do", "you warn: a big one"), SAYS)),
    ]
    assert [(row.mine, row.notes) for row in helper.rows] == [
        (True, (("prop", "cup in"), ("do", "you bring cup"))),
        (True, ()),
        (True, (BIG,)),
        (False, ()),
        (True, (("do", "you offer cup"),)),
        (True, (*MOVED, ("do", "you take cup away"), ("do", "you do: wave to every pupil"))),
        (False, (READY,)),
        (True, ()),
        (True, (BIG,)),
    ]


def test_every_version_with_its_file_its_lines_and_where_it_stops(story: Story) -> None:
    finished = "The story is finished: say so, in the same way every time"
    assert [(v.stem, v.title, v.line_names, v.then) for v in versions(story)] == [
        ("whole", "As written", None, ""),
        ("whole-slower", "Slower, 75 %", None, ""),
        ("whole-half", "Half as fast, 50 %", None, ""),
        ("part-1", "leader", None, ""),
        ("part-2", "helper", None, ""),
        ("section-1", "One", ("01", "home 1", "home 2"), ""),
        ("section-2", "Two", ("02", "03", "home 1", "home 2"), ""),
        *((f"line-0{n}", name, (name,), "") for n, name in enumerate(LINES, 1)),
        ("taps-01", "1, from 1", ("01", "home 1"), "Warn first: a big one"),
        ("taps-02", "2, from home 2", ("home 2",), f"{WAIT}. {OFFER}"),
        ("taps-03", "3, from 2", ("02",), "Warn first: ready"),
        ("taps-04", "4, from 3", ("03", "home 1"), "Warn first: a big one"),
        ("taps-05", "5, from home 2", ("home 2",), finished),
    ]


LINES = ("01", "home 1", "home 2", "02", "03")


def test_a_wait_before_any_line_or_after_the_last_is_told(story: Story) -> None:
    first, second = story.sections
    *_, wait = first.items
    told = evolve(
        story, sections=(Section("Quiet", (wait,)), Section("", second.items[1:2]), first)
    )
    taps = [v for v in versions(told) if v.kind is VersionKind.TAPS]
    assert [v.title for v in taps] == ["1, from 1", "2, from home 2"]
    assert taps[-1].then.startswith(f"{WAIT}. The story is finished")
    sections = [v for v in versions(told) if v.kind is VersionKind.SECTION]
    assert [(v.stem, v.title, v.line_names) for v in sections] == [
        ("section-2", "Part 2", ("01",)),
        ("section-3", "One", ("02", "home 1", "home 2")),
    ]


def test_a_line_alone_is_told_as_where_it_stands(story: Story) -> None:
    """A second a bar in the second section, two elsewhere; the refrain as it is written."""
    lines = [v for v in versions(story) if v.kind is VersionKind.LINE]
    performed = [v.performance().lines for v in lines]
    assert [[s.length_sec for s in each] for each in performed] == [[2], [4], [2], [1], [1]]
    assert [each[0].manner.by for each in performed] == [
        *(("leader",), ("everyone",), ("helper",), ("helper",), ("leader",)),
    ]
    assert {each[0].section for each in performed} == {""}


def test_turns_are_shortened_in_every_version_or_in_none(story: Story) -> None:
    short = versions(story, longest_offer_sec=Fraction(5))
    assert {v.longest_offer_sec for v in short} == {Fraction(5)}
    assert {v.longest_offer_sec for v in versions(story)} == {None}
    lengths = [s.length_sec for s in short[0].performance().segments if s.kind.value == "offer"]
    assert lengths == [5]


def page_data(page: str) -> list[dict[str, object]]:
    (line,) = re.findall(r"const entries = (.*);\n", page)
    found: list[dict[str, object]] = json.loads(line)
    return found


def test_what_the_script_is_given(story: Story) -> None:
    made = [entry(story, stem, 9.876) for stem in ("part-1", "section-2", "line-04", "taps-03")]
    given = page_data(index_page(story, made))
    keys = ("title", "kind", "source", "loops", "stops", "role", "length")
    assert [tuple(each[key] for key in keys) for each in given] == [
        ("leader", "My part in front", "sound/part-1.mp3", False, False, "leader", 9.88),
        *(
            ("Two", "One section again and again", "sound/section-2.mp3", True, False, "", 9.88),
            ("02", "One line again and again", "sound/line-04.mp3", True, False, "", 9.88),
        ),
        (
            *("3, from 2", "Taps alone, for adults: a speaker laid on the board"),
            *("sound/taps-03.mp3", False, True, "", 9.88),
        ),
    ]
    assert given[3]["rows"] == [
        {
            "at": 0.0,
            "label": "2",
            "words": "two",
            "notes": [list(note) for note in MOVED],
            "mine": True,
            "kind": "line",
        },
        {
            "at": 9.88,
            "label": "",
            "words": "It stops here. Warn first: ready. Go on when everybody is ready.",
            "notes": [],
            "mine": True,
            "kind": "wait",
        },
    ]
    slow = page_data(index_page(story, [entry(story, "whole-slower")]))[0]["rows"]
    assert isinstance(slow, list)
    assert [row["at"] for row in slow[:3]] == [5.33, 8.0, 13.33]


def test_buttons_under_their_headings(story: Story) -> None:
    made = [entry(story, v.stem) for v in versions(story)]
    page = index_page(story, made)
    parts = re.findall(r'<section aria-labelledby="h-(\w+)">(.*?)</section>', page, re.S)
    assert [name for name, _ in parts] == ["WHOLE", "PART", "SECTION", "LINE", "TAPS"]
    buttons = {
        name: re.findall(r'data-entry="(\d+)".*?"name" [^>]*>(.*?)</', text) for name, text in parts
    }
    assert buttons["PART"] == [("3", "leader"), ("4", "helper")]
    names = ("1", "home 1", "home 2", "2", "3")
    assert buttons["LINE"] == [(str(n), name) for n, name in enumerate(names, 7)]
    for name, text in parts:
        assert ("For adults who want" in text) == (name == "TAPS")
        assert ('class="choices lines"' in text) == (name == "LINE")
        said = re.findall(r'"said" dir="auto">(.*?)<', text)
        words = ["one", "home we go", "home", "two", "(taps without words)"]
        assert said == (words if name == "LINE" else [])
    assert '<html lang="en-GB">' in page
    assert '<html lang="cy">' in index_page(evolve(story, language="cy"), made)
    assert '<h1 dir="auto">Story</h1>' in index_page(evolve(story, title=" "), made)
    weights = re.findall(r"font-family:Story;font-weight:(\d+)", page)
    assert weights == ["400", "700"]


# --- files and their gains


def tone(amplitude: float, hz: float, length_sec: float = 1.0) -> Sound:
    t = np.arange(round(48_000 * length_sec)) / 48_000
    return (amplitude * np.sin(2 * np.pi * hz * t)).astype(np.float32)


def job(name: str, amplitude: float, length_sec: float = 1.0, side: float = 1.0) -> Job:
    sound = tone(amplitude, 997.0, length_sec)
    return Job((PlacedSound(0, sound, 1.0, side),), len(sound), Tags(name, "Set"), f"{name}.wav")


def quiet_look() -> Look:
    return Look(lambda _share: None, lambda: False)


def test_the_first_file_sets_the_gain_and_the_highest_limits_it(tmp_path: Path) -> None:
    """A sine of 997 Hz in both channels at amplitude a: 20 lg a LUFS (BS.1770-5: 0 dB gives
    -3.01 in one channel), and its peak is 20 lg a."""
    (tmp_path / "a").mkdir()
    usual = mix_all([job("one", 0.1), job("two", 0.2)], tmp_path / "a", "wav", quiet_look())
    assert usual.gain_db == pytest.approx(-18 + 20, abs=0.05)
    assert usual.levels.integrated_lufs == pytest.approx(-20, abs=0.05)
    assert usual.levels.true_peak_dbtp == pytest.approx(20 * np.log10(0.2), abs=0.05)
    assert [each.file_name for each in usual.jobs] == ["one.wav", "two.wav"]
    heights = {
        name: float(np.abs(samples(tmp_path / "a" / f"{name}.wav")).max())
        for name in ("one", "two")
    }
    assert heights["two"] / heights["one"] == pytest.approx(2, rel=1e-3), "they keep their distance"
    assert 20 * np.log10(heights["one"]) == pytest.approx(-18, abs=0.05)
    (tmp_path / "b").mkdir()
    limited = mix_all([job("one", 0.1), job("two", 0.9)], tmp_path / "b", "wav", quiet_look())
    assert limited.gain_db == pytest.approx(-1 - 20 * np.log10(0.9), abs=0.05)


@pytest.mark.parametrize(("format", "ceiling"), [("wav", -1.0), ("mp3", -2.0)])
def test_what_is_compressed_stays_a_decibel_lower(
    format: AudioFormat, ceiling: float, tmp_path: Path
) -> None:
    made = evolve(job("one", 0.9), file_name=f"one.{format}")
    soft = evolve(made, sounds=(PlacedSound(0, tone(0.02, 997.0, 0.1), 1.0, 1.0),))
    loud = evolve(job("two", 0.9), file_name=f"two.{format}")
    mixed = mix_all([soft, loud], tmp_path, format, quiet_look())
    assert mixed.gain_db == pytest.approx(ceiling - 20 * np.log10(0.9), abs=0.05)


def test_silence_gets_no_gain_and_each_cover_is_drawn_once(tmp_path: Path) -> None:
    asked: list[str] = []

    def cover() -> bytes:
        asked.append("drawn")
        return b""

    silent = Job((), 480, Tags("one", "Set"), "one.wav", cover)
    both = [silent, evolve(silent, file_name="two.wav")]
    mixed = mix_all(both, tmp_path, "wav", quiet_look())
    assert (mixed.gain_db, mixed.levels) == (0.0, SILENCE)
    assert asked == ["drawn"] * 2
    assert [len(samples(tmp_path / f"{name}.wav")) for name in ("one", "two")] == [480, 480]


def test_a_set_with_a_hole_is_not_handed_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mixing, "to_frames", lambda block, _factor: to_frames(block, 0.0))
    with pytest.raises(GuideUnfit, match="silence where there should be sound"):
        mix_all([job("one", 0.1)], tmp_path, "wav", quiet_look())


def test_where_one_file_can_t_be_made_the_others_stop(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is heard where the short one should sound; the long one would take 4 s more."""
    long, short = job("long", 0.1, 2.0), job("short", 0.1)
    measured: set[int] = set()
    written: list[int] = []

    def slowly(_sounds: object, length_frames: int) -> Iterator[NDArray[np.float32]]:
        nothing = np.zeros((2, 480), np.float32)
        if length_frames not in measured:
            measured.add(length_frames)
            yield nothing
            return
        for _ in range(1_000 if length_frames == long.length_frames else 1):
            written.append(length_frames)
            sleep(0.004)
            yield nothing

    monkeypatch.setattr(mixing, "mixed_blocks", slowly)
    with pytest.raises(GuideUnfit, match="silence"):
        mix_all([long, short], tmp_path, "wav", quiet_look())
    assert written.count(long.length_frames) < 1_000


SILENCE = Levels(-np.inf, -np.inf)


def test_how_far_it_is_goes_on_evenly_and_ends_whole(tmp_path: Path) -> None:
    shares: list[float] = []
    mix_all([job("one", 0.1, 3.0)], tmp_path, "wav", Look(shares.append, lambda: False))
    assert shares == sorted(shares)
    assert shares[0] >= 0.15
    assert 0.4 in [round(share, 9) for share in shares], "measured when four tenths are done"
    assert shares[-1] == pytest.approx(1.0)


def test_the_longest_file_is_written_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[str] = []

    def opens(path: Path, format: AudioFormat, tags: Tags) -> object:
        begun.append(path.stem)
        return open_sound_file(path, format, tags)

    monkeypatch.setattr(mixing, "open_sound_file", opens)
    monkeypatch.setattr(mixing, "AT_A_TIME", 1)
    jobs = [job("middle", 0.1, 1.5), job("short", 0.1, 1.0), job("long", 0.1, 2.0)]
    mix_all(jobs, tmp_path, "wav", quiet_look())
    assert begun == ["long", "middle", "short"]


def test_a_sound_that_is_none_is_told_and_ends_the_rest(tmp_path: Path) -> None:
    bad = evolve(job("bad", 0.1), sounds=(PlacedSound(0, np.zeros(480, np.float32), 1.0, 1.0),))
    with pytest.raises(GuideUnfit, match="silent"):
        mix_all([job("good", 0.1), bad], tmp_path, "wav", quiet_look())


def test_a_stop_while_sounds_are_measured_ends_both_threads(tmp_path: Path) -> None:
    """Whoever counts frames after the stop is told so, and only then."""
    done = mixing._Done([0, 0], Event())
    done.add(1, BLOCK_FRAMES)
    done.add(1, 5)
    assert done.counts == [0, BLOCK_FRAMES + 5]
    done.stop.set()
    with pytest.raises(GuideCancelled):
        done.add(0, 1)

    def coming() -> Iterator[Job]:
        yield job("one", 0.1)
        raise GuideUnfit("no second")

    with pytest.raises(GuideUnfit, match="no second"):
        mix_all(coming(), tmp_path, "wav", quiet_look())
    assert not list(tmp_path.iterdir())


def test_a_look_asks_first_and_then_tells(story: Story) -> None:
    told: list[float] = []
    with pytest.raises(GuideCancelled):
        Look(told.append, lambda: True).at(0.3)
    assert told == []
    Look(told.append, lambda: False).at(0.3)
    assert told == [0.3]


def jobs_of(story: Story, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> dict[str, Job]:
    """Every file of a set before it is mixed."""
    caught: list[Job] = []

    def mixes(coming: Iterator[Job], folder: Path, format: AudioFormat, look: Look) -> object:
        caught.extend(coming)
        return mixing.Mixed(tuple(caught), 2.0, Levels(-20.0, -4.0))

    monkeypatch.setattr(rehearsal_set, "mix_all", mixes)
    shares: list[float] = []
    report = rehearsal_set.rehearsal_set(
        story, tmp_path, format="flac", progress=shares.append, longest_offer_sec=Fraction(10)
    )
    assert (report.gain_db, report.integrated_lufs, report.true_peak_dbtp) == (2.0, -18.0, -2.0)
    assert report.files == tuple(each.file_name for each in caught)
    assert report.length_sec * 48_000 == pytest.approx(sum(each.length_frames for each in caught))
    assert shares == pytest.approx([*(0.15 * n / 17 for n in range(1, 18)), 1.0])
    return {Path(each.file_name).stem: each for each in caught}


def test_what_each_file_says_of_itself(
    story: Story, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    drawn: list[tuple[str, OwnPicture | None]] = []

    def cover(_story: Story, _heard: object, below: str, own: OwnPicture | None) -> bytes:
        drawn.append((below, own))
        return b""

    monkeypatch.setattr(rehearsal_set, "cover_png", cover)
    made = jobs_of(story, monkeypatch, tmp_path)
    assert list(made) == [v.stem for v in versions(story)]
    assert {each.file_name.split(".")[1] for each in made.values()} == {"flac"}
    tags = [made[stem].tags for stem in ("whole", "part-2", "section-2", "line-02", "line-04")]
    assert [(t.title, t.story, t.role, t.track, len(t.chapters)) for t in tags] == [
        ("The Mill: whole, as written", "The Mill", "", 1, 2),
        ("The Mill: helper", "The Mill", "helper", 5, 2),
        ("The Mill: Two", "The Mill", "", 7, 1),
        ("The Mill: home 1", "The Mill", "", 9, 0),
        ("The Mill: line 02", "The Mill", "", 11, 0),
    ]
    whole = made["whole"]
    end_sec = whole.length_frames / 48_000
    assert whole.tags.chapters == (Chapter(0.0, 19.0, "One"), Chapter(19.0, end_sec, "Two"))
    for stem in ("whole", "part-2", "section-2", "line-04"):
        draw = made[stem].cover_png
        assert draw is not None
        draw()
    assert drawn == [(below, None) for below in ("As written", "helper", "Two", "02")]


def test_taps_no_louder_than_the_ear_chose(story: Story) -> None:
    loud = evolve(story, manner=evolve(story.manner, loudness=(Loudness.VERY_LOUD,)))
    heard = TapsHeard(loudest=Loudness.QUIET)
    speaks = teller(perform(loud), None, None)
    speaks.voice = None

    def height(version: SoundVersion, chosen: TapsHeard) -> float:
        taps = version_sounds(version, speaks, chosen).sounds
        return max(float(np.abs(p.samples).max()) * float(np.hypot(p.left, p.right)) for p in taps)

    kinds = (VersionKind.TAPS, VersionKind.PART, VersionKind.LINE)
    for version in (next(v for v in versions(loud) if v.kind is kind) for kind in kinds):
        assert height(version, heard) < height(version, TapsHeard())


def test_whose_doings_are_spoken_how_fast_and_of_which_lines(
    story: Story, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each adult's own doings in her part alone; nothing is spoken over taps alone."""
    asked: list[tuple[object, ...]] = []

    def speech(
        _teller: Teller,
        _performance: object,
        *,
        names: object = None,
        speed: Fraction = Fraction(1),
        view: RoleView | None = None,
    ) -> Speech:
        asked.append((names, speed, view.role if view else None))
        return Speech((), ())

    monkeypatch.setattr(Teller, "speech", speech)
    speaks = teller(perform(story), None, None)
    for version in versions(story):
        version_sounds(version, speaks)
    assert asked == [
        (None, 1, None),
        (None, Fraction(3, 4), None),
        (None, Fraction(1, 2), None),
        (None, 1, "leader"),
        (None, 1, "helper"),
        (("01", "home 1", "home 2"), 1, None),
        (("02", "03", "home 1", "home 2"), 1, None),
        *(((name,), 1, None) for name in LINES),
    ]


def test_what_waits_to_be_written_holds_no_performance() -> None:
    """A set has one for every line, section, part and speed, all at once."""
    story = read_text(TEXT).story
    assert story is not None
    sounds = VersionSounds(perform(story), (), 48_000)
    job = rehearsal_set._job(story, versions(story)[0], sounds, 1, "wav", None)
    gone = weakref.ref(sounds.performance)
    del sounds
    gc.collect()
    assert gone() is None
    assert job.cover_png is not None
    assert job.cover_png().startswith(b"\x89PNG")
