"""What the list says of a story file, where it looks, and each step to fit a time, by hand."""

from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from PIL import Image

from tapscore.model.story import Offer, Wait
from tapscore.storyfile.read import read_text
from tapscore.workflow import known_story as known_module
from tapscore.workflow import my_stories as list_module
from tapscore.workflow.belongings import archive, bring_along
from tapscore.workflow.fit_time import (
    _another_return,
    _fewer_returns,
    _fewer_sections,
    _longer_turns,
    _longer_waits,
    _more_sets,
    _shorter_turns,
)
from tapscore.workflow.known_story import KeptFacts, KnownStory, known_story
from tapscore.workflow.my_stories import _in_order, stories_in
from tapscore.workflow.printed import LastPrinted, digest_of, key_of, last_printed, note_printed

LINES = (
    'story:\n  - section: One\n    lines:\n      - {words: Row the lan-tern, lane: "| X x x x |"}\n'
)


def head(tmp_path: Path, text: str | bytes) -> KnownStory | None:
    path = tmp_path / "the mill.yaml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return known_story(path, KeptFacts(tmp_path / "cache.json"), {}, whole=False)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("tapscore: 2\ntitle: Mill\n", ("Mill", "", "", "")),
        ("\ufefftapscore: 2\ntitle: Mill\n", ("Mill", "", "", "")),
        ("'tapscore' : 2\ntitle:   The   Mill  \n", ("The Mill", "", "", "")),
        ("# note\ntapscore: 2\nmetre: 6/8\nterm: A\nclass: W", ("the mill", "6/8", "A", "W")),
        # In quotes, before a note, the first of two, indented ones not at all.
        ("tapscore: 2\ntitle: 'It''s'\n", ("It's", "", "", "")),
        ("tapscore: 2\ntitle: Mill # note\n", ("Mill", "", "", "")),
        ("tapscore: 2\ntitle: Mill#9\n", ("Mill#9", "", "", "")),
        ("tapscore: 2\ntitle: a\ntitle: b\n", ("a", "", "", "")),
        ("tapscore: 2\n  title: a\n", ("the mill", "", "", "")),
        ('tapscore: 2\ntitle: "a\n', ("the mill", "", "", "")),
        (b"tapscore: 2\ntitle: \xff\n", ("\ufffd", "", "", "")),
        ("my tapscore: 2\ntitle: Mill\n", None),
        ("tapscores: 2\n", None),
        ("", None),
        ("#" + "x" * 15_999 + "\ntapscore: 2\n", None),
        ("#" + "x" * 15_900 + "\ntapscore: 2\n", ("the mill", "", "", "")),
    ],
)
def test_the_head_of_a_file(
    tmp_path: Path, text: str | bytes, said: tuple[str, str, str, str] | None
) -> None:
    begun = datetime.now().date()
    found = head(tmp_path, text)
    assert (found and (found.title, found.metre, found.term, found.class_name)) == said
    if found is not None:
        assert (found.known, found.length_words, found.out_of_date) == (False, "", ())
        assert found.changed in (begun, datetime.now().date())


def test_how_large_a_story_file_may_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(known_module, "MOST_STORY_BYTES", 12)
    assert head(tmp_path, "tapscore: 2\n") is not None
    assert head(tmp_path, "tapscore: 2\n\n") is None


def whole(path: Path, **noted: LastPrinted) -> KnownStory:
    found = known_story(
        path, KeptFacts(path.parent / "cache.json"), {key_of(path): noted}, whole=True
    )
    assert found is not None
    return found


def test_what_is_worked_out_of_a_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "mill.yaml"
    path.write_text(
        "tapscore: 2\ntitle: The Mill\nmetre: 6/8\nprops: {cup: {what: a Red cup}}\n"
        + LINES
        + "  - section: Two\n    metre: 2/4\n    lines: []\n"
        "  - section: Three\n    metre: 6/8\n    lines: []\n"
    )
    found = whole(path)
    assert found.metre == "6/8 and 2/4"
    assert set(found.words.splitlines()) == {
        *("row the lantern", "cup a red cup", "one", "two", "three")
    }
    assert found.known
    path.write_text("tapscore: 2\ntitle: The Mill\n" + LINES.replace("| X x x x |", "?"))
    (unread,) = whole(path).out_of_date
    assert unread.startswith("Something in the file can't be read")
    path.write_bytes(b"tapscore: 2\ntitle: The Mill\n# \xff\n")
    assert whole(path).title == "The Mill"
    assert whole(path).out_of_date == (unread,)


def test_papers_that_are_older_than_the_story(tmp_path: Path) -> None:
    path = tmp_path / "mill.yaml"
    path.write_text("tapscore: 2\ntitle: The Mill\n" + LINES)
    digest = digest_of(path.read_bytes())
    day, later = (datetime(2026, 3, d, 12).timestamp() for d in (4, 9))
    old = LastPrinted("0", day)
    assert whole(path, cards=LastPrinted(digest, day)).out_of_date == ()
    said = [
        whole(path, **{"cue-cards": old}).out_of_date,
        whole(path, **{"": LastPrinted("0", later)}).out_of_date,
        whole(
            path,
            **{"cue-cards": LastPrinted("1", later), "plan": old, "x": LastPrinted(digest, 9e8)},
        ).out_of_date,
    ]
    assert said == [
        ("Papers of 4 March are older than the last change: cue cards.",),
        ("Papers of 9 March are older than the last change.",),
        ("Papers of 9 March are older than the last change: cue cards and plan.",),
    ]


def test_what_is_kept_of_what_was_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stories that were found stay; of others the last ones, twice as many as a list has."""
    monkeypatch.setattr(known_module, "MOST_STORIES", 2)
    cache = tmp_path / "cache.json"
    facts = {"words": "", "digest": "", "title": ""}
    kept = KeptFacts(cache)
    for number in range(7):
        kept.keep(Path(f"{number}.yaml"), [number], facts)
    kept.save({"0.yaml": KnownStory(Path("0.yaml"), "")})
    again = KeptFacts(cache)
    there = [n for n in range(7) if again.facts(Path(f"{n}.yaml"), [n]) == facts]
    assert there == [0, 4, 5, 6]
    assert again.facts(Path("4.yaml"), [5]) is None
    cache.unlink()
    again.save({})
    assert not cache.exists(), "nothing new is not written"
    again.keep(Path("9.yaml"), [9], facts)
    again.save({})
    assert cache.exists()


def test_which_folders_and_files_are_looked_into(tmp_path: Path) -> None:
    text = "tapscore: 2\ntitle: T\n"
    for name in (
        *("a.yaml", "b.yml", "c.tapscore", "d.txt", ".e.yaml", "f.YAML"),
        *("Term/a.yaml", "Term/Story/a.yaml", "Term/Story/More/a.yaml"),
        *("Archive/a.yaml", "x.y/a.yaml", "a recordings/a.yaml", "Term/Archive/a.yaml"),
    ):
        path = tmp_path / "in" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    found = stories_in(
        tmp_path / "in", cache=tmp_path / "c", printed_record=tmp_path / "p", whole=False
    )
    names = {each.path.relative_to(tmp_path / "in").as_posix() for each in found.stories}
    assert names == {"a.yaml", "b.yml", "c.tapscore", "Term/a.yaml", "Term/Story/a.yaml"}


@pytest.mark.parametrize(
    ("stories", "files", "listed", "problem"),
    [
        (3, 9, 3, ""),
        (2, 9, 2, "Only the first 2 stories are listed: put"),
        (9, 4, 3, ""),
        (9, 3, 2, "Only the first 3 files were looked at: put"),
    ],
)
def test_how_many_are_listed(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    stories: int,
    files: int,
    listed: int,
    problem: str,
) -> None:
    """Three stories in the folder itself, and one other file in a folder of its own first."""
    monkeypatch.setattr(list_module, "MOST_STORIES", stories)
    monkeypatch.setattr(list_module, "MOST_LOOKED_AT", files)
    folder = tmp_path / "in"
    (folder / "T").mkdir(parents=True)
    (folder / "none.yaml").write_text("other: 1\n")
    for name in "abc":
        (folder / "T" / f"{name}.yaml").write_text("tapscore: 2\ntitle: T\n")
    found = stories_in(folder, cache=tmp_path / "c", printed_record=tmp_path / "p", whole=False)
    assert len(found.stories) == listed
    assert found.problem.startswith(problem)
    assert bool(found.problem) is bool(problem)


def test_the_newest_first_and_twins_marked() -> None:
    known = [
        KnownStory(Path(name), title, changed_sec=sec)
        for name, title, sec in (("b", "Mill", 5.0), ("c", "MILL", 9.0), ("a", "Boat", 5.0))
    ]
    found = _in_order(Path("x"), {str(each.path): each for each in known}, "why")
    assert [(str(each.path), each.twin) for each in found.stories] == [
        *(("c", True), ("a", False), ("b", True))
    ]
    assert (found.folder, found.problem) == (Path("x"), "why")


def test_what_was_printed_is_noted_by_kind(tmp_path: Path) -> None:
    record, path = tmp_path / "r.json", tmp_path / "a.yaml"
    story = read_text("tapscore: 2\ntitle: T\n" + LINES).story
    assert story is not None
    note_printed(path, story, (), record)
    assert not record.exists()
    note_printed(path, story, ("cards",), record)
    first = last_printed(record)[key_of(path)]["cards"]
    note_printed(path, story, ("plan",), record)
    found = last_printed(record)[key_of(path)]
    assert found["cards"] == first
    assert found["plan"].digest == first.digest
    assert abs(datetime.fromtimestamp(first.at_sec) - datetime.now()) < timedelta(minutes=5)


FITTING = """tapscore: 2
title: T
pupils: 5
props: {cup: {what: a cup}, bell: {what: a bell, sets: 3}}
refrains: {home: [{words: home}]}
story:
  - section: A
    lines: [{refrain: home}, {wait: 10}, {refrain: home}, {wait: 19}]
  - section: B
    lines: [{words: a, prop in: [cup, bell]}, {offer: cup, turn: 20}, {offer: bell, turn: 60}]
  - section: C
    lines: [{words: a}, {refrain: home}, {offer: cup, turn: 21}, {wait: 30}, {wait: 29}]
  - section: D
    lines: [{words: b}]
"""


def test_every_step_towards_a_time() -> None:
    story = read_text(FITTING).story
    assert story is not None

    def said(kind: object) -> list[str]:
        return [choice.what for choice in kind(story)]  # type: ignore[operator]

    assert said(_longer_waits) == [
        "20 seconds or more for 2 waits",
        "30 seconds or more for 3 waits",
    ]
    made = [
        [i.least_sec for s in choice.story.sections for i in s.items if isinstance(i, Wait)]
        for choice in _longer_waits(story)
    ]
    assert made == [[20, 20, 30, 29], [30, 30, 30, 30]]
    assert said(_longer_turns) == [
        "turns of 60 seconds with “cup” instead of 20",
        "turns of 60 seconds with “cup” instead of 21",
    ]
    assert said(_shorter_turns) == [
        "turns of 20 seconds with “bell” instead of 60",
        "turns of 20 seconds with “cup” instead of 21",
    ]
    (_, shorter) = _shorter_turns(story)
    turns = [i.turn_sec for s in shorter.story.sections for i in s.items if isinstance(i, Offer)]
    assert turns == [20, 60, 20]
    assert all(isinstance(turn, Fraction) for turn in turns)
    assert said(_another_return) == ["another return of the refrain in “C”"]
    (more,) = _another_return(story)
    items = more.story.sections[2].items
    assert len(items) == 6
    assert items[1] == items[2] == story.sections[2].items[1]
    assert said(_fewer_returns) == ["one return of the refrain less in “A”"]
    (less,) = _fewer_returns(story)
    first = story.sections[0].items
    assert less.story.sections[0].items == (first[0], first[1], first[3])
    assert said(_fewer_sections) == [
        "without the section “B”; The turns with “cup”: left out",
        "without the section “C”",
    ]
    assert [[s.title for s in choice.story.sections] for choice in _fewer_sections(story)] == [
        *(["A", "C", "D"], ["A", "B", "D"])
    ]
    # One for two pupils at most, so three for five; twice as many at once.
    assert said(_more_sets) == ["2 sets of “cup” instead of 1"]


def test_what_is_put_away_and_brought_along(tmp_path: Path) -> None:
    """Pictures are copied, the rest is moved; a name that is taken gets a number."""
    text = "tapscore: 2\ntitle: T\npicture: a.png\n" + LINES
    story = read_text(text).story
    for number in (1, 2):
        for name in ("mill.yaml", "a.png", "mill recordings/01.wav", "mill recordings/.x"):
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_text(text if name == "mill.yaml" else str(number))
        there = archive(tmp_path / "mill.yaml", story)
        assert there.name == ("mill.yaml" if number == 1 else "mill 2.yaml")
        assert (tmp_path / "a.png").exists()
        assert not (tmp_path / "mill.yaml").exists()
        assert (there.with_name(f"{there.stem} recordings") / "01.wav").read_text() == str(number)
    assert (tmp_path / "Archive" / "a.png").read_text() == "1"
    # Recordings come along where that is wished, and over nothing.
    source, target = tmp_path / "Archive" / "mill.yaml", tmp_path / "new.yaml"
    assert story is not None
    plain = read_text("tapscore: 2\ntitle: T\n" + LINES).story
    assert plain is not None
    assert bring_along(source, target, plain) == ()
    assert bring_along(source, target, plain, recordings=True) == ("Copied new recordings.",)
    assert [each.name for each in (tmp_path / "new recordings").iterdir()] == ["01.wav"]
    assert bring_along(source, target, plain, recordings=True) == (
        "new recordings was there already and is as it was.",
    )


def test_a_picture_is_brought_along_once_and_over_nothing(tmp_path: Path) -> None:
    story = read_text("tapscore: 2\ntitle: T\npicture: a.png\n" + LINES).story
    assert story is not None
    source, target = tmp_path / "mill.yaml", tmp_path / "other" / "new.yaml"
    target.parent.mkdir()
    Image.new("RGB", (4, 3)).save(tmp_path / "a.png")
    assert bring_along(source, tmp_path / "new.yaml", story) == (), "it lies there already"
    said = [*bring_along(source, target, story), *bring_along(source, target, story)]
    Image.new("RGB", (3, 4)).save(target.with_name("a.png"))
    said += bring_along(source, target, story)
    assert [each.partition(":")[0] for each in said] == [
        "Copied the picture a.png.",
        "The picture a.png is there already.",
        "Another picture a.png is there already and is as it was",
    ]
