"""What of this year stands in a story, and packs at their limits, by hand."""

import stat
import zipfile
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.exports.audio.voice.recordings import WORDS_FILE
from tapscore.storyfile.read import read_text
from tapscore.workflow import pack_opened
from tapscore.workflow.next_year import _where, copy_text, next_year, notes_in, traces_in
from tapscore.workflow.pack_opened import KINDS, _harm, look_into, open_pack
from tapscore.workflow.swap_pack import PAPERS, PackError, _put_recordings, for_others
from tests.workflow.test_swap_pack import lines_said, packed


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("12/3/2026 and 2026-03-12", ("12/3/2026", "2026-03-12")),
        ("1.2.3", ("1.2.3",)),
        ("12/3 or 3-4", ()),
        ("12345/3/1", ()),
        ("3 March", ("3 March",)),
        ("3rd May 2026, 22nd June", ("3rd May 2026", "22nd June")),
        ("in March", ("March",)),
        ("in March 12345", ("March",)),
        ("they march", ()),
        ("Marching", ()),
        ("1899 1999 2026 2100", ("1999", "2026")),
        ("12026", ()),
        ("A. and A.B. and A.B and A. B.", ("A.", "A.B.", "A.B", "A. B.")),
        ("AB, ABC, ABCD, A, aB", ("AB", "ABC")),
        ("OK on TV in the UK, II and III, IV", ("IV",)),
        ("AB and AB", ("AB",)),
        ("a.b. e.g. x", ()),
    ],
)
def test_what_looks_like_initials_or_a_date(text: str, found: tuple[str, ...]) -> None:
    assert traces_in(text) == found


@pytest.mark.parametrize(
    ("text", "notes"),
    [
        ("a: 'x # y' # n", ("n",)),
        ("a: 'x ' # n", ("n",)),
        ('a: "x\' # y" # n', ("n",)),
        ("a: it's # n", ("n",)),
        ("'a # b': 1", ()),
        ("- [\"a # b\", 'c # d']\n{'e # f': 1}", ()),
        ("a:#b", ()),
        ("#a\n  # b\n\t# c", ("a b c",)),
        ("a: b\t# c", ("c",)),
        # One after something on its line isn't gone on with, nor one after other lines.
        ("a: b # c\n# d\n# e", ("c", "d e")),
        ("# a\nb: c\n# d", ("a", "d")),
        ("# a\n\n# b", ("a", "b")),
        ("# a\n#\n# b", ("a", "b")),
        ("# a\nb: c # d", ("a", "d")),
        ("# - a\n# -b\n#   c", ("- a", "-b c")),
        ("", ()),
    ],
)
def test_notes_of_a_file(text: str, notes: tuple[str, ...]) -> None:
    assert notes_in(text) == notes


FULL = """tapscore: 2
title: AB
metre: 2/4
next year: [CD one, two, EF three]
roles: {GH: {}, plain: {}}
props: {cup: {what: of IJ, instead: YZ}}
refrains: {KL: [{words: la, do: with MN}]}
story:
  - section: OP
    lines:
      - {words: la, do: with QR, look for: ST, warn first: UV}
      - {wait: 5, look for: WX}
accepted: [{finding: one-breath, where: la, why: no}, {finding: one-breath, why: so}]
"""


def test_where_each_stands_and_whether_it_may_go() -> None:
    read = read_text(FULL)
    assert read.story is not None, read.findings
    copy = next_year(read, read.story)
    assert [(t.where, t.found[0], t.can_go) for t in copy.traces] == [
        ("title", "AB", False),
        ("next year", "CD", True),
        ("next year", "EF", True),
        ("roles, GH, name", "GH", False),
        ("props, cup, what", "IJ", True),
        ("props, cup, instead", "YZ", True),
        ("refrains, KL, name", "KL", False),
        ("refrains, KL, do", "MN", True),
        ("Part 1, section", "OP", False),
        ("Part 1, place 1, warn first", "UV", False),
        ("Part 1, place 1, do", "QR", True),
        ("Part 1, place 1, look for", "ST", True),
        ("Part 1, place 2, look for", "WX", True),
    ]
    assert copy.gone == (
        ("Accepted", "one-breath at “la”: no"),
        ("Accepted", "one-breath: so"),
    )
    # Several of one list: each goes and no other.
    text = copy_text(copy, [t for t in copy.traces if t.where == "next year"])
    assert text.startswith("# Noted to change this year:\n#  - two\n\ntapscore: 2\n")
    whole = copy_text(copy, [])
    assert whole.startswith(
        "# Noted to change this year:\n#  - CD one\n#  - two\n#  - EF three\n\n"
    )
    assert "MN" in whole
    assert copy_text(copy, []) == whole, "the copy itself is left as it was"
    # For another school the notes go of themselves, and are not asked about.
    others = for_others(read, read.story)
    assert others.gone[-1] == ("To change next year", "CD one, two, EF three")
    assert [t.where for t in others.traces] == [
        t.where for t in copy.traces if t.where != "next year"
    ]
    assert copy_text(others, []).startswith("tapscore: 2\n")
    assert _where(("story", 1, "lines", 2, 0), {}) == "Part 2, place 3, text"
    assert _where(("board", "x", 1), {}) == "board"


def _info(name: str, size: int = 10, packed_size: int = 10, kind: int = 0) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.file_size, info.compress_size, info.external_attr = size, packed_size, kind << 16
    return info


@pytest.mark.parametrize(
    ("info", "why"),
    [
        (_info("a.yaml"), ""),
        (_info("a/b/c.pdf"), ""),
        (_info("a/b/c/d.pdf"), "is hidden, or lies too deep"),
        (_info("a/.b/c.pdf"), "is hidden, or lies too deep"),
        (_info("A.PDF"), ""),
        (_info("x" * 195 + ".yaml"), ""),
        (_info("x" * 196 + ".yaml"), "has a name no file should have"),
        (_info("a/./b.pdf"), "leads out of the pack"),
        (_info("a//b.pdf"), "leads out of the pack"),
        (_info("a /b.pdf"), "leads out of the pack"),
        (_info("a..b.pdf"), ""),
        (_info("a.pdf", kind=stat.S_IFREG | 0o644), ""),
        (_info("a.pdf", kind=stat.S_IFDIR), "is a link, not a file"),
        (_info("Seen.pdf"), "is there twice"),
        (_info("con.tents.pdf"), "has a name no file should have"),
        (_info("papers/LPT1 .pdf"), "has a name no file should have"),
        (_info("papers./a.pdf"), "has a name no file should have"),
        (_info("a?.pdf"), "has a name no file should have"),
        (_info("contents.pdf"), ""),
        (_info("a.exe"), "is no story, picture, paper or sound"),
        (_info("pdf"), "is no story, picture, paper or sound"),
        # 200 times what it takes packed, where that is 100 bytes or more
        (_info("a.pdf", 20_000, 1), ""),
        (_info("a.pdf", 20_001, 100), "would grow beyond all measure"),
        (_info("a.pdf", 40_000, 200), ""),
        (_info("a.pdf", 40_001, 200), "would grow beyond all measure"),
        (_info("a.wav", 200_000_000, 2_000_000), ""),
        (_info("a.wav", 200_000_001, 2_000_000), "is far too large"),
    ],
)
def test_harm_at_its_edges(info: zipfile.ZipInfo, why: str) -> None:
    assert _harm(info, {"seen.pdf"}) == why
    info.flag_bits |= 1
    assert _harm(info, {"seen.pdf"}) in {why or "is locked", "is locked"}


def test_as_much_as_is_let_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = packed(tmp_path, {"a.yaml": b"abc", "b/c.txt": b"de"}, title=" The \n Mill ")
    monkeypatch.setattr(pack_opened, "MOST_BYTES", 5)
    monkeypatch.setattr(pack_opened, "MOST_FILES", 2)
    contents = look_into(path)
    assert contents.title == "The Mill"
    assert [(each.name, each.size) for each in contents.files] == [("a.yaml", 3), ("b/c.txt", 2)]
    assert open_pack(contents, tmp_path / "x" / "y") == tmp_path / "x" / "y" / "the-mill" / "a.yaml"
    assert (tmp_path / "x" / "y" / "the-mill" / "b" / "c.txt").read_bytes() == b"de"
    monkeypatch.setattr(pack_opened, "MOST_BYTES", 4)
    with pytest.raises(PackError, match="fill the disc"):
        look_into(path)
    monkeypatch.undo()
    with zipfile.ZipFile(path) as pack:
        size = pack.getinfo("pack.json").file_size
    monkeypatch.setattr(pack_opened, "MOST_MANIFEST_BYTES", size)
    look_into(path)
    monkeypatch.setattr(pack_opened, "MOST_MANIFEST_BYTES", size - 1)
    with pytest.raises(PackError, match="too long"):
        look_into(path)


def test_a_pack_without_a_story_opens_as_its_folder(tmp_path: Path) -> None:
    path = packed(tmp_path, {"b/a.yaml": b"x", "c.txt": b"y"}, title="…")
    opened = open_pack(look_into(path), tmp_path / "out")
    assert opened.parent == tmp_path / "out"
    assert opened.is_dir()
    for said, why in (({"files": []}, "says nothing"), ({"files": {"z": ""}}, r"hold .*\(b/a\.y")):
        with pytest.raises(PackError, match=why):
            look_into(packed(tmp_path, {"b/a.yaml": b"x"}, **said))


def test_recordings_that_are_taken_along(tmp_path: Path) -> None:
    """Sounds of lines, whatever the case of their endings; nothing in folders, nothing else."""
    own, to = tmp_path / "own", tmp_path / "to"
    own.mkdir()
    for name in ("02.WAV", "01.wav", "07.wav"):
        soundfile.write(own / name, np.full(80, 0.25), 8000, format="WAV")
    (own / "words.txt").write_text("private")
    (own / "older.wav").mkdir()
    story = read_text(lines_said("Row", "Home", "Rest")).story
    assert story is not None
    _put_recordings(story, own, to)
    assert sorted(each.name for each in to.iterdir()) == ["01.wav", "02.WAV", WORDS_FILE]
    assert (to / WORDS_FILE).read_text(encoding="utf-8") == "01.wav\tRow\n02.WAV\tHome\n"
    assert soundfile.read(to / "01.wav")[0].tolist() == [0.25] * 80
    (own / "03.mp3").write_bytes(b"none")
    with pytest.raises(PackError, match=r"The pack was not made: .*Leave recordings out"):
        _put_recordings(story, own, tmp_path / "again")


def test_what_may_be_in_a_pack() -> None:
    assert {".yaml", ".tapscore", ".pdf", ".heic", ".wav", ".flac"} <= set(KINDS)
    assert not {".zip", ".exe", ".html", ".docx", ".svg", ".js"} & set(KINDS)
    assert {"part-sheets", "cue-cards", "cue-sheet"} <= set(PAPERS)
