"""Every kind of file the program reads, with whole examples, and what is done with a damaged one.

Each ``use`` may find what it likes in a file; it must not raise.
"""

import io
import json
import os
import zipfile
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path

from attrs import evolve, frozen

from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_bytes, read_text

DATA = Path(__file__).parent.parent / "data"


class NotSoundError(AssertionError):
    """Something that has to hold does not."""


@frozen
class Kind:
    """One kind of file."""

    name: str
    ending: str
    whole: Callable[[], tuple[bytes, ...]]
    use: Callable[[Path], object]
    share: int
    """How often it is tried, against the others."""


def stories() -> tuple[bytes, ...]:
    """Whole story files."""
    files = [*demo_stories(), DATA / "messy.yaml", *sorted((DATA / "rhymes").glob("*.yaml"))]
    return tuple(path.read_bytes() for path in files)


def _story(path: Path) -> None:
    """Found without an edit it is written back as it was; with one, no comment is lost."""
    from tapscore.storyfile.write import spliced_text, write_story
    from tapscore.workflow.open_story import open_story

    opened = open_story(path)
    story = opened.story
    if story is None:
        if not opened.findings:
            raise NotSoundError("no story, and nothing found")
        return
    if any(finding.code == "rule-broke" for finding in opened.findings):
        raise NotSoundError("a rule broke")
    text = opened.source.text
    if write_story(story) != text:
        raise NotSoundError("changed by opening and saving")
    changed = evolve(story, title=f"{story.title} x")
    written = write_story(changed)
    if spliced_text(changed) is None:
        lost = [c for c in _comments(text) if c not in written]
        if lost:
            raise NotSoundError(f"comments lost in writing anew: {lost[:3]}")


def _comments(text: str) -> list[str]:
    from tapscore.storyfile.origins import Source

    root = read_text(text).root
    return [] if root is None else [c for _, c in Source(text, root).comments]


def _small_exports(path: Path) -> None:
    """Paper, MIDI and notation of a story that may be made at all."""
    from tapscore.workflow.export_story import export_story
    from tapscore.workflow.open_story import open_story

    opened = open_story(path)
    if opened.story is None or opened.must_mend:
        return
    kinds = ("cue-cards", "cue-sheet", "click-guide", "score")
    folder = path.with_name("made")
    made = export_story(opened.story, folder, only=kinds, replace=True)
    for each in made.made:
        each.path.unlink()


def _day(path: Path) -> None:
    from tapscore.workflow.today.day_beside import day_text, load_day

    story = read_bytes(stories()[1]).story
    assert story is not None
    found = load_day(path, story)
    if found.day is not None and found.data is not None:
        text = day_text(found.day, found.data.decode("utf-8-sig"))
        path.write_text(text, encoding="utf-8")
        if load_day(path, story).day != found.day:
            raise NotSoundError("the day reads otherwise when written back")


def _words(path: Path) -> None:
    from tapscore.workflow.new_story import new_story_text
    from tapscore.workflow.plain_words import UnreadableWordsError

    with suppress(UnreadableWordsError):
        if read_text(new_story_text(path)).story is None:
            raise NotSoundError("the new story can't be read")


def _taps(path: Path) -> None:
    from tapscore.workflow.tapping_in import read_tap_times

    with suppress(ValueError, OSError):
        read_tap_times(path)


def _settings(path: Path) -> None:
    from tapscore.gui.settings import Settings

    settings = Settings(path)
    settings.recent, settings.choices, settings.scale, settings.inks  # noqa: B018 - read
    settings.scale = 1.5


def _kept(path: Path) -> None:
    from tapscore.gui.recovery import _read

    _read(path)


def _arrays(path: Path) -> None:
    from tapscore.board.cache import _read

    _read(path, {"hz0": 1, "shapes0": 3})


def _speech(path: Path) -> None:
    from tapscore.exports.audio.voice.kept_speech import _read

    _read(path)


def _recording(path: Path) -> None:
    from tapscore.exports.audio.voice.decode import RecordingUnusable, read_recording

    with suppress(RecordingUnusable):
        read_recording(path)


def _picture(path: Path) -> None:
    from tapscore.exports.own_pictures import OwnPictures

    OwnPictures(path.parent).of(path.name)


@cache
def _png() -> tuple[bytes, ...]:
    from PIL import Image

    made = []
    for kind in ("PNG", "JPEG"):
        data = io.BytesIO()
        Image.radial_gradient("L").convert("RGB").save(data, kind)
        made.append(data.getvalue())
    return tuple(made)


def _made(path: Path) -> None:
    from tapscore.workflow.whole_files import MadeFiles

    path.rename(path.with_name(".tapscore-made.json"))
    MadeFiles(path.parent).may_replace(path.parent)
    path.with_name(".tapscore-made.json").rename(path)


def _note(path: Path) -> None:
    from tapscore.exports.audio.voice.recordings import WORDS_FILE, find_recordings

    path.rename(path.with_name(WORDS_FILE))
    find_recordings(path.parent, {"01": "Row, row"})
    path.with_name(WORDS_FILE).rename(path)


@cache
def _docx_file() -> tuple[bytes, ...]:
    import docx

    written = docx.Document()
    written.add_heading("The Boat", 0)
    for words in ("Row the boat", "gently home", "", "Row the boat"):
        written.add_paragraph(words)
    written.add_table(rows=2, cols=2).cell(0, 0).text = "in a box"
    data = io.BytesIO()
    written.save(data)
    return (data.getvalue(),)


@cache
def _docx_xml() -> tuple[bytes, ...]:
    """Its inside, damaged before it is packed: what a damaged zip never lets through."""
    with zipfile.ZipFile(io.BytesIO(_docx_file()[0])) as archive:
        return (archive.read("word/document.xml"),)


def _packed(path: Path) -> None:
    packed = path.with_suffix(".docx")
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("word/document.xml", path.read_bytes())
    _words(packed)
    packed.unlink()


@cache
def _midi() -> tuple[bytes, ...]:
    import mido  # type: ignore[import-untyped]

    file, track = mido.MidiFile(), mido.MidiTrack()
    file.tracks.append(track)
    track.append(mido.MetaMessage("key_signature", key="G"))
    track.append(mido.MetaMessage("set_tempo", tempo=400_000))
    for number in range(12):
        track.append(mido.Message("note_on", note=60 + number, velocity=90, time=200))
    data = io.BytesIO()
    file.save(file=data)
    return (data.getvalue(),)


@cache
def _sounds() -> tuple[bytes, ...]:
    import numpy as np
    import soundfile  # type: ignore[import-untyped]

    tone = (0.3 * np.sin(np.arange(24_000) / 9)).astype(np.float32)
    made = []
    for kind, subtype in (("WAV", "PCM_16"), ("FLAC", "PCM_16"), ("OGG", "VORBIS")):
        data = io.BytesIO()
        soundfile.write(data, tone, 48_000, format=kind, subtype=subtype)
        made.append(data.getvalue())
    return tuple(made)


@cache
def _npz() -> tuple[bytes, ...]:
    import numpy as np

    made = []
    for arrays in (
        {"hz0": np.arange(9.0), "shapes0": np.ones((3, 2, 2))},
        {"samples": np.arange(90, dtype=np.int16), "rate_hz": np.array([22_050], np.int64)},
    ):
        data = io.BytesIO()
        np.savez(data, **arrays)
        made.append(data.getvalue())
    return tuple(made)


def _json(**said: object) -> Callable[[], tuple[bytes, ...]]:
    return lambda: (json.dumps(said, indent=1).encode(),)


CHOICES = {"card_paper": "A6", "distance_m": 1.0, "per_sheet": 1, "sound": "mp3", "margin_mm": 5}
SETTINGS = {"scale": 1.5, "inks": "dark", "recent": ["a"], "choices": CHOICES}
KEPT = {"text": "a", "path": "b", "when": "2026-01-01T10:00:00", "seen": "00"}
KINDS = (
    Kind("story", ".yaml", stories, _story, 60),
    Kind("export", ".yaml", stories, _small_exports, 2),
    Kind(
        "day", ".yaml", lambda: (b"# ours\nhere: [AB, CD]\nroles:\n  leader: AB # x\n",), _day, 10
    ),
    Kind("text", ".txt", lambda: (b"The Boat\n\nRow the boat\nhome\n\nRow the boat\n",), _words, 5),
    Kind("markdown", ".md", lambda: (b"# Boat\n\n## One\n- *Row* the `boat`\n",), _words, 5),
    Kind("docx", ".docx", _docx_file, _words, 4),
    Kind("docx inside", ".xml", _docx_xml, _packed, 4),
    Kind("taps", ".txt", lambda: (b"0.5\n1,0\n1.5\n\n2\n",), _taps, 5),
    Kind("midi", ".mid", _midi, _taps, 6),
    Kind(
        "settings",
        ".json",
        _json(scale=1.5, inks="dark", recent=["a"], choices=CHOICES),
        _settings,
        4,
    ),
    Kind(
        "kept work",
        ".json",
        _json(text="a", path="b", when="2026-01-01T10:00:00", seen="00"),
        _kept,
        6,
    ),
    Kind("board cache", ".npz", lambda: _npz()[:1], _arrays, 6),
    Kind("speech cache", ".npz", lambda: _npz()[1:], _speech, 4),
    Kind("recording", ".wav", _sounds, _recording, 2),
    Kind("picture", ".png", _png, _picture, 3),
    Kind("made files", ".json", _json(**{"made by tapscore": {"a": "b"}}), _made, 3),
    Kind("recorded words", ".txt", lambda: (b"01.wav\tRow, row\n02.wav\tHome\n",), _note, 3),
)
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
