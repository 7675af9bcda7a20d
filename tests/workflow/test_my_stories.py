"""A folder's stories: listed from the files, found, put away; bad folders and foreign files."""

import errno
import os
import time
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest

from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.workflow import known_story
from tapscore.workflow.belongings import archive
from tapscore.workflow.known_story import KnownStory
from tapscore.workflow.my_stories import ARCHIVE, StoryList, stories_in
from tapscore.workflow.printed import MOST_NOTED, last_printed, note_printed

STORY = """tapscore: 2
title: {title}
metre: 6/8
term: Autumn 2026
class: Willow
story:
  - section: One
    lines:
      - words: {words}
        lane: "| X . x X . x |"
"""


def put(folder: Path, name: str, title: str = "The Mill", words: str = "Row the lan-tern") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(STORY.format(title=title, words=words), encoding="utf-8")
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "Stories"
    made.mkdir()
    return made


@pytest.fixture
def rested(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is known of a file is kept though it was written just now."""
    monkeypatch.setattr(known_story, "_RESTED_SEC", -1.0)


def listed(folder: Path, *, whole: bool = True) -> StoryList:
    beside = folder.parent
    return stories_in(
        folder, cache=beside / "cache.json", printed_record=beside / "made.json", whole=whole
    )


def only(folder: Path) -> KnownStory:
    (found,) = listed(folder).stories
    return found


def test_a_story_is_listed_as_it_was_typed(folder: Path) -> None:
    put(folder, "mill.yaml", "“The Mill”: a walk")
    found = only(folder)
    assert found.title == "“The Mill”: a walk" or found.title == "mill"
    put(folder, "mill.yaml", '"The Mill: a walk"')
    found = only(folder)
    assert (found.title, found.metre, found.term) == ("The Mill: a walk", "6/8", "Autumn 2026")
    assert found.class_name == "Willow"
    assert found.likely_sec is not None
    assert found.length_words
    quick = listed(folder, whole=False)
    assert [each.title for each in quick.stories] == ["The Mill: a walk"]


def test_every_demo_has_its_length_and_metres() -> None:
    folder = demo_stories()[0].parent
    found = {each.path.stem: each for each in stories_in(folder, cache=Path(os.devnull)).stories}
    assert set(found) == {path.stem for path in demo_stories()}, "no day file is a story"
    assert found["the-rainy-walk"].metre == "4/4 and 6/8"
    assert found["the-lantern-boat"].has("splash lantern boat")
    assert not found["the-lantern-boat"].has("splash dinosaur")


def test_other_files_folders_and_broken_ones_do_no_harm(folder: Path) -> None:
    put(folder, "mill.tapscore")
    put(folder, "Spring/boat.yaml", "The Boat")
    put(folder, f"{ARCHIVE}/old.yaml", "Old")
    put(folder, ".hidden.yaml", "Hidden")
    (folder / "notes.yaml").write_text("shopping: [milk]\n")
    (folder / "binary.yaml").write_bytes(bytes(range(256)) * 50)
    (folder / "empty.yaml").write_bytes(b"")
    (folder / "a folder.yaml").mkdir()
    (folder / "gone.yaml").symlink_to(folder / "nowhere.yaml")
    (folder / "round").symlink_to(folder)
    (folder / "broken.yaml").write_text("tapscore: 2\ntitle: Broken\nstory: [\n")
    for number in range(300):
        (folder / f"other {number}.yml").write_text("a: 1\n")
    found = {each.title: each for each in listed(folder).stories}
    assert set(found) == {"The Mill", "The Boat", "Broken"}
    assert "can't be read" in found["Broken"].out_of_date[0]
    assert found["The Mill"].out_of_date == ()


def test_two_of_one_title_are_marked(folder: Path) -> None:
    put(folder, "a.yaml")
    put(folder, "b.yaml", "the mill")
    put(folder, "c.yaml", "Another")
    assert {each.path.name: each.twin for each in listed(folder).stories} == {
        "a.yaml": True,
        "b.yaml": True,
        "c.yaml": False,
    }


def test_what_is_out_of_date_is_said(folder: Path) -> None:
    path = put(folder, "mill.yaml")
    story = read_file(path).story
    assert story is not None
    record = folder.parent / "made.json"
    note_printed(path, story, ("cue-cards", "cue-sheet"), record)
    assert only(folder).out_of_date == ()
    put(folder, "mill.yaml", words="Row the lit-tle")
    (said,) = only(folder).out_of_date
    assert said.startswith("Papers of ")
    assert said.endswith("are older than the last change: cue cards and cue sheet.")
    changed = read_file(path).story
    assert changed is not None
    note_printed(path, changed, ("cue-sheet",), record)
    (said,) = only(folder).out_of_date
    assert said.endswith("are older than the last change: cue cards.")
    day = folder / "mill today.yaml"
    day.write_text("here: [AB]\n")
    assert len(only(folder).out_of_date) == 1, "today's is not out of date"
    before = time.time() - 3 * 86_400
    os.utime(day, (before, before))
    assert any(each.startswith("Who is here is of ") for each in only(folder).out_of_date)


def test_missing_recordings_are_counted_where_some_are_there(folder: Path) -> None:
    path = put(folder, "mill.yaml")
    text = path.read_text() + '      - words: Home a-gain\n        lane: "| X x X . . . |"\n'
    path.write_text(text)
    sounds = folder / "mill recordings"
    sounds.mkdir()
    assert only(folder).out_of_date == (), "nobody has begun to record"
    (sounds / "01.wav").write_bytes(b"RIFF")
    assert only(folder).out_of_date == ("1 of 2 lines is not recorded.",)


def test_a_change_in_the_same_moment_and_of_the_same_size_is_seen(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a stick, whose times are two seconds apart (FAT, ECMA-107)."""
    cache, moment = folder.parent / "cache.json", 1_800_000_000
    for passed_sec, title in ((1, "The Mill"), (2, "The Moor")):
        path = put(folder, "mill.yaml", title)
        os.utime(path, (moment, moment))
        monkeypatch.setattr("time.time", lambda now=moment + passed_sec: now)
        assert only(folder).title == title
        assert not cache.exists()
    monkeypatch.setattr("time.time", lambda: moment + 4)
    assert only(folder).title == "The Moor"
    assert cache.exists()


@pytest.mark.usefixtures("rested")
def test_the_cache_may_go_be_damaged_or_lie(folder: Path) -> None:
    put(folder, "mill.yaml")
    cache = folder.parent / "cache.json"
    first = listed(folder)
    assert cache.is_file()
    assert listed(folder) == first
    for damage in (b"", b"{", b"[]", b'{"shape": 1, "stories": 3}', b"\xff\xfe"):
        cache.write_bytes(damage)
        assert listed(folder) == first
    os.utime(put(folder, "mill.yaml", "The Weir"), (1e9, 1e9))
    assert only(folder).title == "The Weir"


def test_folders_that_are_none(folder: Path) -> None:
    assert "There is no folder" in listed(folder / "none").problem
    file = put(folder, "mill.yaml")
    assert "is a file" in listed(file).problem
    assert stories_in(folder, cache=folder / "c", given_up=lambda: True).problem == "Stopped."


@pytest.mark.usefixtures("rested")
def test_the_list_is_told_at_once_and_lengths_come_in(folder: Path) -> None:
    for number in range(3):
        put(folder, f"{number}.yaml", f"Story {number}")
    told: list[StoryList] = []
    last = stories_in(folder, cache=folder.parent / "cache.json", so_far=told.append, every_sec=-1)
    assert [sum(each.known for each in one.stories) for one in told] == [0, 1, 2, 3]
    assert {tuple(each.path for each in one.stories) for one in told} == {
        tuple(each.path for each in last.stories)
    }
    told.clear()
    stories_in(folder, cache=folder.parent / "cache.json", so_far=told.append, every_sec=-1)
    assert [sum(each.known for each in one.stories) for one in told] == [3], "kept from before"


@pytest.mark.usefixtures("rested")
def test_what_was_worked_out_before_it_was_given_up_is_kept(folder: Path) -> None:
    for number in range(4):
        put(folder, f"{number}.yaml", f"Story {number}")
    cache = folder.parent / "cache.json"
    asked = iter([False] * 6 + [True] * 9)
    stopped = stories_in(folder, cache=cache, given_up=lambda: next(asked))
    assert sum(each.known for each in stopped.stories) == 2
    assert sum(each.known for each in stories_in(folder, cache=cache, whole=False).stories) == 2


@pytest.mark.usefixtures("rested")
def test_a_drive_that_goes_while_it_is_looked_through(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(4):
        put(folder, f"{number}.yaml", f"Story {number}")
    scandir = os.scandir

    class Going:
        def __init__(self, there: object) -> None:
            self._there = scandir(str(there))

        def __enter__(self) -> "Going":
            return self

        def __exit__(self, *_: object) -> None:
            self._there.close()

        def __iter__(self) -> Iterator[os.DirEntry[str]]:
            yield from islice(self._there, 2)
            raise OSError(errno.EHOSTDOWN, "Host is down")

    monkeypatch.setattr(os, "scandir", Going)
    found = listed(folder)
    assert len(found.stories) == 2, "what was seen is shown"
    assert "Host is down" in found.problem
    assert "drive" in found.problem
    monkeypatch.setattr(os, "scandir", scandir)

    def gone(*_: object) -> bytes:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(known_story, "read_bounded", gone)
    heads = listed(folder)
    assert sum(each.known for each in heads.stories) == 2, "kept from before"
    assert all(each.title.startswith("Story ") for each in heads.stories)


def test_ten_thousand_files_that_are_no_stories(folder: Path) -> None:
    put(folder, "mill.yaml")
    for number in range(10_000):
        (folder / f"other {number}.{('yaml', 'jpg')[number % 2]}").write_bytes(b"a: 1\n")
    found = listed(folder)
    assert [each.title for each in found.stories] == ["The Mill"]
    assert found.problem == ""


def test_a_story_is_put_away_with_what_belongs_to_it_and_over_nothing(folder: Path) -> None:
    for time_ in range(2):
        path = put(folder, "mill.yaml")
        (folder / "mill recordings").mkdir()
        (folder / "mill recordings" / "01.wav").write_bytes(b"%d" % time_)
        (folder / "mill today.yaml").write_text("here: [AB]\n")
        there = archive(path, read_file(path).story)
        assert not path.exists()
        assert there.is_file()
        assert (there.parent / f"{there.stem} recordings" / "01.wav").read_bytes() == b"%d" % time_
        assert (there.parent / f"{there.stem} today.yaml").is_file()
    names = {each.name for each in (folder / ARCHIVE).iterdir()}
    assert {"mill.yaml", "mill 2.yaml", "mill 2 recordings", "mill 2 today.yaml"} <= names
    assert listed(folder).stories == ()


@pytest.mark.parametrize("other", ["mill recordings", "mill today.yaml"])
def test_what_another_story_left_in_the_archive_stays(folder: Path, other: str) -> None:
    put(folder, "mill.yaml")
    (folder / "mill today.yaml").write_text("here: [AB]\n")
    old = folder / ARCHIVE / other / "kept"
    old.parent.mkdir(parents=True)
    old.write_text("old")
    assert archive(folder / "mill.yaml").name == "mill 2.yaml"
    assert (folder / ARCHIVE / "mill 2 today.yaml").is_file()
    assert old.read_text() == "old"


def test_putting_away_what_can_t_be_moved_leaves_all_in_its_place(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(folder, "mill.yaml")
    (folder / "mill today.yaml").write_text("here: [AB]\n")
    rename = Path.rename

    def refuses(self: Path, target: Path) -> Path:
        if self.name == "mill today.yaml":
            raise PermissionError(13, "not allowed")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuses)
    with pytest.raises(PermissionError):
        archive(path)
    assert path.is_file()
    assert (folder / "mill today.yaml").is_file()


def test_what_was_printed_is_noted_with_a_bound(tmp_path: Path) -> None:
    story = read_file(demo_stories()[0]).story
    assert story is not None
    record = tmp_path / "deep" / "made.json"
    assert last_printed(record) == {}
    record.parent.mkdir()
    record.write_text('{"/a": [1, 2], "/b": ["x", 1.0], "/c": null}')
    assert set(last_printed(record)) == {"/b"}, "as it was noted before kinds were"
    note_printed(tmp_path / "mill.yaml", story, (), record)
    assert set(last_printed(record)) == {"/b"}
    note_printed(tmp_path / "mill.yaml", story, ("cue-sheet",), record)
    assert str(tmp_path / "mill.yaml") in last_printed(record)
    assert len(last_printed(record)) <= MOST_NOTED
