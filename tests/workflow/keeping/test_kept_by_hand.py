"""Kept states of a story at their edges: when, how many, how much room; by hand."""

import os
from datetime import datetime
from pathlib import Path

import pytest

from tapscore.storyfile.read import read_text
from tapscore.workflow.keeping import save_story as save_module
from tapscore.workflow.keeping import versions as versions_module
from tapscore.workflow.keeping.save_story import (
    ChangedSinceError,
    ReadsOtherwiseError,
    Seen,
    UnreadableAgainError,
    look,
    readable_again,
    save_story,
    seen_of,
)
from tapscore.workflow.keeping.versions import Version, Versions, when_in_words

HEAD = "tapscore: 2\ntitle: T\n"
TEXT = HEAD + "story:\n  - section: One\n    lines:\n      - words: Row\n"


class _Clock(datetime):
    at = datetime(2026, 11, 26, 14, 5, 9, 999_999)

    @classmethod
    def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
        return cls.at


def test_a_clock_that_stands_or_was_put_back_keeps_the_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A microsecond later than the last, also over the end of a second."""
    monkeypatch.setattr(versions_module, "datetime", _Clock)
    kept, path = Versions(tmp_path / "kept"), tmp_path / "a.yaml"
    for data in (b"1", b"2", b"3"):
        kept.keep(path, data)
    _Clock.at = datetime(2025, 1, 1)
    kept.keep(path, b"4")
    states = kept.of(path)
    assert [state.data() for state in states] == [b"4", b"3", b"2", b"1"]
    assert [state.when.microsecond for state in states] == [2, 1, 0, 999_999]
    assert states[0].when == datetime(2026, 11, 26, 14, 5, 10, 2)
    assert states[3].kept_in.name == "2026-11-26 14.05.09.999999.yaml"
    assert states[3].when_words == "Thu 26 Nov 2026, 14:05:09"
    assert when_in_words(states[3].when) == "Thu 26 Nov 2026, 14:05"


def test_the_newest_is_not_kept_twice_but_an_older_one_is(tmp_path: Path) -> None:
    kept, path = Versions(tmp_path / "kept"), tmp_path / "a.yaml"
    first = kept.keep(path, b"1")
    assert kept.keep(path, b"1") == first
    kept.keep(path, b"2")
    kept.keep(path, b"1")
    assert [state.data() for state in kept.of(path)] == [b"1", b"2", b"1"]


def test_how_large_one_may_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(versions_module, "MOST_BYTES_OF_ONE", 5)
    kept, path = Versions(tmp_path / "kept"), tmp_path / "a.yaml"
    assert kept.keep(path, b"123456") is None
    assert kept.of(path) == ()
    kept.keep(path, b"12345")
    assert [state.data() for state in kept.of(path)] == [b"12345"]


@pytest.mark.parametrize(
    ("most", "left"),
    # The one just saved stays whatever it takes (4); of the others (4, 3, 2 from the newest) as
    # many as there is room for, and none that is older than one for which there was none.
    [(13, "abcd"), (12, "bcd"), (11, "bcd"), (10, "cd"), (8, "cd"), (7, "d"), (4, "d"), (1, "d")],
)
def test_who_goes_where_there_is_no_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, most: int, left: str
) -> None:
    kept = Versions(tmp_path / "kept")
    for at, (name, size) in enumerate((("a", 2), ("b", 3), ("c", 4))):
        file = kept.keep(tmp_path / f"{name}.yaml", b"x" * size)
        assert file is not None
        os.utime(file, (1000 + at, 1000 + at))
    monkeypatch.setattr(versions_module, "MOST_BYTES", most)
    kept.keep(tmp_path / "d.yaml", b"x" * 4)
    there = "".join(name for name in "abcd" if kept.of(tmp_path / f"{name}.yaml"))
    assert there == left


def test_where_states_lie(tmp_path: Path) -> None:
    kept = Versions(tmp_path / "kept")
    place = kept.place(tmp_path / "The Lantern Boat that went on and on and on.yaml")
    name, _, digest = place.name.rpartition("-")
    assert place.parent == tmp_path / "kept"
    assert name == "the-lantern-boat-that-went-on-"
    assert len(digest) == 16
    assert kept.place(tmp_path / "x" / ".." / "a.yaml") == kept.place(tmp_path / "a.yaml")
    assert kept.place(tmp_path / "b.yaml") != kept.place(tmp_path / "a.yaml")
    assert kept.story_path(place) == ""
    assert Version(place / "none.yaml", datetime(2026, 1, 1)).when_words.endswith("00:00:00")


def test_what_was_seen_of_a_file(tmp_path: Path) -> None:
    path, kept = tmp_path / "a.yaml", Versions(tmp_path / "kept")
    assert look(None) == look(path) == Seen(None)
    # Not there yet, or gone since: nothing of anybody's is lost.
    saved = save_story(path, TEXT, seen=Seen(b"other"), versions=kept)
    assert saved.seen == look(path) == seen_of(TEXT.encode())
    with pytest.raises(ChangedSinceError, match=r"a\.yaml"):
        save_story(path, TEXT, seen=Seen(None), versions=kept)
    save_story(path, TEXT, seen=saved.seen, versions=kept)
    path.write_bytes(b"")
    save_story(path, TEXT, versions=kept)
    assert [state.data() for state in kept.of(path)] == [TEXT.encode()], "nothing is no state"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (f"{TEXT}# a\n# \ud800\n", "Line 8 has half a letter in it"),
        (TEXT.replace("      - words: Row", "      - words: [Row"), "Line .* of the file: "),
    ],
)
def test_why_a_text_is_not_saved(text: str, why: str) -> None:
    with pytest.raises(UnreadableAgainError, match=why):
        readable_again(text)


def test_spaces_are_no_difference_words_are(monkeypatch: pytest.MonkeyPatch) -> None:
    story = read_text(TEXT.replace("Row", "Row home")).story
    assert story is not None
    readable_again(TEXT.replace("Row", "'Row   home'"), story)
    with pytest.raises(ReadsOtherwiseError, match="One, line 1: words was “Row”, is “Row home”"):
        readable_again(TEXT, story)
    plain = save_module._plain
    assert plain(" a  b ") == "a b"
    assert plain(["a ", {"b": " c  d"}]) == ["a", {"b": "c d"}]
    assert plain(None) is None
