"""Swap packs: what is in one, and archives that must not be opened.

Outside: CWE-22 ("Zip Slip", 2018), CWE-59 (links), CWE-409 (42.zip; overlapping entries:
Fifield, "A better zip bomb", WOOT 2019).
"""

import hashlib
import io
import json
import stat
import zipfile
from io import BytesIO
from pathlib import Path

import mutagen
import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve
from mutagen.id3 import TIT2
from PIL import Image

from tapscore.exports.audio.voice.recordings import WORDS_FILE
from tapscore.storyfile.read import read_text
from tapscore.workflow import pack_opened
from tapscore.workflow.next_year import copy_text
from tapscore.workflow.pack_opened import look_into, open_pack
from tapscore.workflow.recording_lines import lines_to_record
from tapscore.workflow.swap_pack import MANIFEST, PackError, for_others, make_pack
from tests.exports.test_photo_data import SECRETS, photo

STORY = """# AB's notes
tapscore: 2
title: The Mill
class: Willow
next year: fewer
term: Spring
metre: 6/8
picture: cover.png
props: {bell: {what: a bell of J.K., picture: ../secret.png}}
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        prop in: bell
"""


def lines_said(*words: str) -> str:
    """A story with a line for each."""
    lines = "\n".join(f'      - {{words: {each}, lane: "| X . . . . . |"}}' for each in words)
    return (
        f"tapscore: 2\ntitle: The Mill\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n{lines}\n"
    )


def packed(folder: Path, held: dict[str, bytes], **manifest: object) -> Path:
    """A pack by hand, as anybody could make one."""
    path = folder / "pack.zip"
    digests = {name: hashlib.sha256(data).hexdigest() for name, data in held.items()}
    said = {"tapscore pack": 1, "title": "The Mill", "files": digests} | manifest
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as pack:
        pack.writestr(MANIFEST, json.dumps(said))
        for name, data in held.items():
            pack.writestr(name, data)
    return path


def refused(path: Path, why: str) -> None:
    """Neither looking nor opening writes anything."""
    out = path.parent / "out"
    before = sorted(path.parent.rglob("*"))
    with pytest.raises(PackError, match=why):
        open_pack(look_into(path), out)
    after = sorted(path.parent.rglob("*"))
    assert [each for each in after if each != out] == [each for each in before if each != out]


def test_a_pack_is_made_looked_into_and_opened(tmp_path: Path) -> None:
    Image.new("RGB", (40, 30)).save(tmp_path / "cover.png")
    (tmp_path / "mill recordings").mkdir()
    soundfile.write(tmp_path / "mill recordings" / "01.wav", np.zeros(800), 8000)
    (tmp_path / "mill recordings" / "notes.doc").write_bytes(b"private")
    read = read_text(STORY)
    assert read.story is not None
    copy = for_others(read, read.story)
    assert {where for where, _ in copy.gone} == {"Own note", "Term", "Class", "To change next year"}
    text = copy_text(copy, [trace for trace in copy.traces if trace.can_go])
    for word in ("AB", "Willow", "Spring", "fewer", "J.K."):
        assert word not in text
    path = tmp_path / "mill.zip"
    make_pack(path, text, beside=tmp_path, recordings=tmp_path / "mill recordings")
    contents = look_into(path)
    names = {each.name for each in contents.files}
    assert {"the-mill.yaml", "cover.png", "the-mill recordings/01.wav"} <= names
    assert "papers/the-mill-cue-sheet.pdf" in names
    assert not any("slips" in name or "notes" in name or "secret" in name for name in names)
    story = open_pack(contents, tmp_path / "theirs")
    assert story == tmp_path / "theirs" / "the-mill" / "the-mill.yaml"
    assert read_text(story.read_text(encoding="utf-8")).story is not None
    with pytest.raises(PackError, match="already there"):
        open_pack(contents, tmp_path / "theirs")


def test_who_and_where_a_voice_was_recorded_is_not_in_a_pack(tmp_path: Path) -> None:
    """mutagen writes and reads what phones write into sounds; the sound is the same."""
    voices = tmp_path / "mill recordings"
    voices.mkdir()
    said = "Willow with J.K. in the hall, 3 May"
    tone = np.sin(np.arange(16_000) / 9)
    for name in ("01.wav", "02.flac", "03.ogg", "04.mp3"):
        soundfile.write(voices / name, tone, 16_000)
        tagged = mutagen.File(voices / name)
        if tagged.tags is None:
            tagged.add_tags()
        if name[3:] in ("wav", "mp3"):
            tagged.tags.add(TIT2(encoding=3, text=said))  # type: ignore[no-untyped-call]
        else:
            tagged["title"] = said
        tagged.save()
        assert said.encode() in (voices / name).read_bytes()
    text = lines_said("Row", "Home", "Rest", "Wake", "Sleep")
    make_pack(tmp_path / "mill.zip", text, beside=tmp_path, recordings=voices)
    with zipfile.ZipFile(tmp_path / "mill.zip") as pack:
        for name in ("01.wav", "02.flac", "03.ogg", "04.mp3"):
            data = pack.read(f"the-mill recordings/{name}")
            assert said.encode() not in data
            sound, rate = soundfile.read(BytesIO(data))
            before, _ = soundfile.read(voices / name)
            assert rate == 16_000
            if name[3:] != "mp3":
                assert np.array_equal(sound, before)
    (voices / "05.wav").write_bytes(b"no sound")
    with pytest.raises(PackError, match=r"05\.wav can't be read as sound"):
        make_pack(tmp_path / "again.zip", text, beside=tmp_path, recordings=voices)
    assert not (tmp_path / "again.zip").exists()


def test_voices_stay_with_their_words_and_those_of_no_line_stay_behind(tmp_path: Path) -> None:
    """A line was put in first and one said otherwise since they were recorded; one is a film."""
    voices = tmp_path / "mill recordings"
    voices.mkdir()
    tone = np.sin(np.arange(16_000) / 9)
    for name in ("01.wav", "02.wav", "04.mp4", "09.wav"):
        with (voices / name).open("wb") as file:
            soundfile.write(file, tone, 16_000, format="WAV")
    (voices / WORDS_FILE).write_text("01.wav\tRow\n02.wav\tNo more\n", encoding="utf-8")
    text = lines_said("Wake", "Home", "Row", "Rest")
    path = tmp_path / "mill.zip"
    make_pack(path, text, beside=tmp_path, recordings=voices)
    story_file = open_pack(look_into(path), tmp_path / "theirs")
    theirs = story_file.with_name(f"{story_file.stem} recordings")
    kept = {each.name for each in theirs.iterdir()}
    assert kept == {"01.wav", "04.mp4.wav", WORDS_FILE}
    story = read_text(text).story
    assert story is not None
    found = [line.file and line.file.name for line in lines_to_record(story, theirs)]
    assert found == [None, None, "01.wav", "04.mp4.wav"]


def test_a_picture_that_another_computer_could_not_take_is_named(tmp_path: Path) -> None:
    Image.new("RGB", (40, 30)).save(tmp_path / "where?.png")
    text = lines_said("Row").replace("metre:", 'picture: "where?.png"\nmetre:')
    with pytest.raises(PackError, match=r"called where\?\.png\. Give it another name"):
        make_pack(tmp_path / "mill.zip", text, beside=tmp_path)
    assert not (tmp_path / "mill.zip").exists()


def test_where_and_when_a_picture_was_taken_is_not_in_a_pack(tmp_path: Path) -> None:
    taken = photo("JPEG")
    (tmp_path / "cover.png").write_bytes(taken)
    read = read_text(STORY)
    assert read.story is not None
    text = copy_text(for_others(read, read.story), [])
    make_pack(tmp_path / "mill.zip", text, beside=tmp_path)
    with zipfile.ZipFile(tmp_path / "mill.zip") as pack:
        held = {name: pack.read(name) for name in pack.namelist()}
    told = [each for each in held if not each.endswith(".yaml")]
    assert not [name for name in told if any(secret in held[name] for secret in SECRETS)]
    with Image.open(BytesIO(held["cover.png"])) as packed_one, Image.open(BytesIO(taken)) as own:
        assert packed_one.tobytes() == own.tobytes(), "the picture itself is as it was"


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("../out.yaml", "leads out"),
        ("a/../../out.yaml", "leads out"),
        ("/etc/out.yaml", "leads out"),
        ("a//out.yaml", "leads out"),
        ("..\\out.yaml", "name no file should have"),
        ("C:out.yaml", "name no file should have"),
        ("a\x07.yaml", "name no file should have"),
        (".profile.yaml", "hidden"),
        ("a/b/c/d.yaml", "too deep"),
        ("run.exe", "is no story"),
        ("more.zip", "is no story"),
        ("a.yaml ", "leads out"),
    ],
)
def test_names_that_do_harm(tmp_path: Path, name: str, why: str) -> None:
    refused(packed(tmp_path, {"mill.yaml": b"x", name: b"y"}), why)


def test_links_and_doubles(tmp_path: Path) -> None:
    path = packed(tmp_path, {"mill.yaml": b"x"})
    with zipfile.ZipFile(path, "a") as pack:
        link = zipfile.ZipInfo("link.yaml")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        pack.writestr(link, "/etc/passwd")
    refused(path, "is a link")
    refused(packed(tmp_path, {"mill.yaml": b"x", "MILL.yaml": b"y"}), "twice")
    refused(packed(tmp_path, {"\u00e9.txt": b"x", "e\u0301.txt": b"y"}), "twice")


def test_archives_in_the_archive_whatever_they_are_called(tmp_path: Path) -> None:
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w") as pack:
        pack.writestr("a", "b")
    refused(packed(tmp_path, {"mill.yaml": b"x", "cover.png": inner.getvalue()}), "an archive in")


def test_bombs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    refused(packed(tmp_path, {"mill.yaml": b"\0" * 5_000_000}), "beyond all measure")
    monkeypatch.setattr(pack_opened, "MOST_BYTES", 100)
    refused(packed(tmp_path, {"a.yaml": b"ab" * 30, "b.yaml": b"cd" * 30}), "fill the disc")
    monkeypatch.setattr(pack_opened, "MOST_FILES", 1)
    refused(packed(tmp_path, {"a.yaml": b"a", "b.yaml": b"b"}), "more than 1 files")
    monkeypatch.undo()
    # A size that lies: the entry holds more than its header says.
    path = packed(tmp_path, {"mill.yaml": b"abcdefgh" * 50})
    data = path.read_bytes()
    lying = data.replace((400).to_bytes(4, "little"), (40).to_bytes(4, "little"))
    assert lying != data
    path.write_bytes(lying)
    refused(path, "damaged|larger than it says")


def test_other_versions_other_archives_and_damage(tmp_path: Path) -> None:
    refused(packed(tmp_path, {"mill.yaml": b"x"}, **{"tapscore pack": 2}), "newer tapscore")
    refused(packed(tmp_path, {"mill.yaml": b"x"}, **{"tapscore pack": "1"}), "no swap pack")
    refused(packed(tmp_path, {"mill.yaml": b"x"}, files={}), "doesn't hold what it says")
    refused(packed(tmp_path, {"mill.yaml": b"x"}, files={"mill.yaml": "0"}), "damaged")
    refused(packed(tmp_path, {"mill.yaml": b"x"}, title=3), "says nothing")
    path = tmp_path / "pack.zip"
    with zipfile.ZipFile(path, "w") as pack:
        pack.writestr("mill.yaml", "x")
    refused(path, "no swap pack")
    path.write_bytes(b"PK not an archive")
    refused(path, "no swap pack, or is damaged")
    whole = packed(tmp_path, {"mill.yaml": b"x" * 500}).read_bytes()
    for cut in range(0, len(whole), 37):
        path.write_bytes(whole[:cut])
        with pytest.raises(PackError):
            look_into(path)


def test_a_title_that_leads_out_leads_nowhere(tmp_path: Path) -> None:
    path = packed(tmp_path, {"mill.yaml": b"x"}, title="../../etc")
    opened = open_pack(look_into(path), tmp_path / "out")
    assert opened.parent.parent == tmp_path / "out"
    assert evolve(look_into(path), title="x").title == "x"
