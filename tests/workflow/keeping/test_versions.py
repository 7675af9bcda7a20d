"""Saving keeps what was there before, and the last states of a story."""

import os
from pathlib import Path

import pytest
from attrs import evolve

from tapscore.disc.whole import write_whole_bytes
from tapscore.storyfile.read import read_text
from tapscore.workflow.keeping import versions as versions_module
from tapscore.workflow.keeping.save_story import (
    ChangedSinceError,
    ReadsOtherwiseError,
    Seen,
    UnreadableAgainError,
    look,
    readable_again,
    save_story,
)
from tapscore.workflow.keeping.versions import MOST_VERSIONS, Versions

TEXT = "tapscore: 2\ntitle: {}\nstory:\n  - section: One\n    lines:\n      - words: Row\n"


@pytest.fixture
def kept(tmp_path: Path) -> Versions:
    return Versions(tmp_path / "kept")


def _text(title: object) -> str:
    return TEXT.format(f"Story {title}")


def test_what_was_there_before_and_what_is_there_now_are_kept(
    tmp_path: Path, kept: Versions
) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(_text("by hand"))
    saved = save_story(path, _text(1), versions=kept)
    assert path.read_text() == _text(1)
    assert [each.data().decode() for each in kept.of(path)] == [_text(1), _text("by hand")]
    assert saved.earlier_in == kept.place(path)
    assert kept.story_path(kept.place(path)) == str(path)
    assert saved.seen == look(path)


def test_the_last_ten_of_each_story(tmp_path: Path, kept: Versions) -> None:
    for name in ("a.yaml", "b.yaml"):
        for number in range(14):
            save_story(tmp_path / name, _text(number), versions=kept)
            save_story(tmp_path / name, _text(number), versions=kept)
    for name in ("a.yaml", "b.yaml"):
        states = kept.of(tmp_path / name)
        assert len(states) == MOST_VERSIONS
        titles = [each.data().decode().split("\n")[1] for each in states]
        assert titles == [f"title: Story {number}" for number in range(13, 3, -1)]
        assert all(each.when_words for each in states)


def test_a_link_has_the_versions_of_its_file(tmp_path: Path, kept: Versions) -> None:
    save_story(tmp_path / "a.yaml", _text(1), versions=kept)
    (tmp_path / "link.yaml").symlink_to("a.yaml")
    save_story(tmp_path / "link.yaml", _text(2), versions=kept)
    assert len(kept.of(tmp_path / "a.yaml")) == 2


def test_all_together_have_bounds(
    tmp_path: Path, kept: Versions, monkeypatch: pytest.MonkeyPatch
) -> None:
    size = len(_text(0).encode())
    monkeypatch.setattr(versions_module, "MOST_BYTES", 3 * size)
    for number in range(6):
        path = tmp_path / f"{number}.yaml"
        save_story(path, _text(number), versions=kept)
        for place in kept.folder.iterdir():
            for file in place.glob("*.yaml"):
                os.utime(file, ns=(0, file.stat().st_mtime_ns - 10**9))
    assert [bool(kept.of(tmp_path / f"{number}.yaml")) for number in range(6)] == [
        *[False] * 3,
        *[True] * 3,
    ]


def test_a_folder_that_cannot_be_used_does_not_stop_the_saving(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    saved = save_story(tmp_path / "a.yaml", _text(1), versions=Versions(tmp_path / "file"))
    assert (tmp_path / "a.yaml").read_text() == _text(1)
    assert saved.earlier_in is None


def test_strange_files_among_them_are_no_versions(tmp_path: Path, kept: Versions) -> None:
    path = tmp_path / "a.yaml"
    save_story(path, _text(1), versions=kept)
    place = kept.place(path)
    for name in ("notes.yaml", ".yaml", "2026.yaml"):
        (place / name).write_text("mine")
    (place / "about.json").write_bytes(b"\xff")
    assert len(kept.of(path)) == 1
    assert kept.story_path(place) == ""
    save_story(path, _text(2), versions=kept)
    assert (place / "notes.yaml").read_text() == "mine"


@pytest.mark.skipif(os.name != "posix", reason="names that are no Unicode")
def test_a_name_that_is_no_unicode(tmp_path: Path, kept: Versions) -> None:
    path = tmp_path / "boat-\udcff.yaml"
    save_story(path, _text(1), versions=kept)
    save_story(path, _text(2), versions=kept)
    assert len(kept.of(path)) == 2
    assert kept.story_path(kept.place(path)) == str(path)


def test_what_could_not_be_opened_again_is_not_saved(tmp_path: Path, kept: Versions) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(_text(1))
    with pytest.raises(UnreadableAgainError, match=r"Line 3 of the file: "):
        save_story(path, "tapscore: 2\ntitle: [\n", versions=kept)
    with pytest.raises(UnreadableAgainError, match="Line 2 has half a letter"):
        save_story(path, _text("\ud800"), versions=kept)
    assert path.read_text() == _text(1)


def test_what_reads_otherwise_is_told(tmp_path: Path) -> None:
    story = read_text(_text(1)).story
    with pytest.raises(ReadsOtherwiseError, match="title was “Story 2”, is “Story 1”"):
        readable_again(_text(2), story)
    assert readable_again(_text(1), story) == _text(1).encode()
    assert readable_again(_text(1).replace("Row", "Row  "), story)
    assert story is not None
    assert readable_again(_text(1), evolve(story, title="Story   1"))


def test_somebody_elses_change_stops_the_saving(tmp_path: Path, kept: Versions) -> None:
    path = tmp_path / "a.yaml"
    assert look(path) == look(None) == Seen(None)
    seen = save_story(path, _text(1), seen=look(path), versions=kept).seen
    write_whole_bytes(path, _text("theirs").encode())
    with pytest.raises(ChangedSinceError):
        save_story(path, _text(2), seen=seen, versions=kept)
    assert path.read_text() == _text("theirs")
    path.unlink()
    save_story(path, _text(2), seen=seen, versions=kept)
    assert path.read_text() == _text(2)
