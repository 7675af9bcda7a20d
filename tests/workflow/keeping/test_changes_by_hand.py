"""Two states of a list side by side, what is said of a change, and two put together, by hand."""

from typing import Any

import pytest

from tapscore.storyfile.kinds import Bare, NamedDoc
from tapscore.storyfile.read import read_text
from tapscore.workflow.keeping.changes import (
    Change,
    _key_before,
    _put_key,
    matched,
    of_records,
    place_in_words,
    said_of,
)
from tapscore.workflow.keeping.merge import _beside, _keys, _one_kind, merge

Doc = Any


def lines(words: str) -> list[Doc]:
    """Lines by ``/``; ``~`` a wait."""
    return [{"wait": "10"} if w == "~" else {"words": w} for w in words.split("/") if w]


@pytest.mark.parametrize(
    ("old", "new", "pairs"),
    [
        ("row/home", "row/home", "00 11"),
        ("row/home", "row/sleep/home", "00 -1 12"),
        ("row/home", "home", "0- 10"),
        ("row", "", "0-"),
        ("", "row", "-0"),
        # Half of the letters alike is one line changed (ab and ax: 2 of 4), less is two lines.
        ("ab", "ax", "00"),
        ("abc", "axy", "0- -0"),
        ("row home", "ROW HOME now", "00"),
        ("~", "row", "0- -0"),
        # What is put in before a changed line comes before it, what follows after it.
        ("row home", "sleep/row home now", "-0 01"),
        ("row home/up hill", "row homes/down/up hills/x", "00 -1 12 -3"),
        # None goes back: the second finds nothing before the first's.
        ("row home/up hill", "up hills/row homes", "-0 01 1-"),
    ],
)
def test_two_lists_side_by_side(old: str, new: str, pairs: str) -> None:
    found = matched(lines(old), lines(new))
    assert " ".join("".join("-" if n is None else str(n) for n in pair) for pair in found) == pairs


def test_sections_are_alike_by_their_lines_too() -> None:
    old: Doc = {"section": "Abc", "lines": lines("row")}
    new: Doc = {"section": "Xyz", "lines": lines("row")}
    other: Doc = {"section": "Xyz", "lines": lines("up")}
    assert matched([old], [new]) == ((0, 0),)
    assert matched([old], [other]) == ((0, None), (None, 0))


DOC: Doc = {
    "story": [{"section": "One", "lines": lines("a/b")}, {"section": "", "lines": []}],
    "refrains": {"home": lines("x")},
    "props": {"cup": {"what": "y"}},
}


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ((), "the story"),
        (("story",), "the story"),
        (("story", 0), "One"),
        (("story", 0, "lines"), "One"),
        (("story", 0, "lines", 1), "One, line 2"),
        (("story", 0, "lines", 1, "words"), "One, line 2, words"),
        (("story", 1), "section 2"),
        (("story", 7), "section 8"),
        (("refrains", "home", 0), "refrain “home”, line 1"),
        (("props", "cup", "what"), "props, cup, what"),
        (("none", "x"), "none, x"),
    ],
)
def test_places(path: tuple[str | int, ...], said: str) -> None:
    assert place_in_words(path, DOC) == said


@pytest.mark.parametrize(
    ("doc", "said"),
    [
        (None, "“”"),
        ("a  b\nc", "“a b c”"),
        ({"words": "row", "lane": "x"}, "“row”"),
        ({"section": "One", "lines": []}, "“One”"),
        ({"wait": "10", "look for": "a look"}, "“wait 10, look for a look”"),
        # Plain words, without the file's brackets; numbers of a point are not "60 and 45".
        (["a", "b"], "“a and b”"),
        (["voice", "touch", "sight"], "“voice, touch and sight”"),
        ([], "“”"),
        ({"at": ["a", "2"]}, "“at a and 2”"),
        ([Bare("60"), Bare("45")], "“60, 45”"),
        ({"A": {"at": [Bare("45"), Bare("50")], "head": "west"}}, "“A (at 45, 50, head west)”"),
        ([{"words": "row", "lane": "| x |"}, {"wait": "10"}], "“row, (wait 10)”"),
        ("x" * 160, f"“{'x' * 160}”"),
        ("x" * 161, f"“{'x' * 159}…”"),
    ],
)
def test_values(doc: Doc, said: str) -> None:
    assert said_of(doc) == said


def test_which_lists_are_of_lines() -> None:
    assert of_records([{"words": "a"}])
    assert of_records(["a", {"words": "a"}])
    assert not of_records(["a"])
    assert not of_records([])
    assert not of_records({"a": "b"})
    assert not of_records(None)


def test_a_name_comes_back_where_it_stood() -> None:
    old: dict[str, Doc] = {"a": "1", "b": "2", "c": "3"}
    assert _key_before(old, "c", {"a": "", "b": ""}) == "b"
    assert _key_before(old, "c", {"a": ""}) == "a"
    assert _key_before(old, "a", {"b": ""}) is None

    def put(record: dict[str, Doc], key: str, before: Doc, after: str | None) -> list[Doc]:
        _put_key(record, key, Change((key,), "", "", before, None, after))
        return list(record.items())

    assert put({"a": "1", "c": "3"}, "b", "2", "a") == [("a", "1"), ("b", "2"), ("c", "3")]
    assert put({"a": "1", "c": "3"}, "b", "2", None) == [("a", "1"), ("c", "3"), ("b", "2")]
    assert put({"a": "1", "c": "3"}, "b", "2", "gone") == [("a", "1"), ("c", "3"), ("b", "2")]
    assert put({"a": "1", "c": "3"}, "a", "2", "c") == [("a", "2"), ("c", "3")]
    assert put({"a": "1", "c": "3"}, "a", None, None) == [("c", "3")]


@pytest.mark.parametrize(
    ("mine", "theirs", "keys"),
    [
        ("abc", "abc", "abc"),
        ("ac", "abc", "abc"),
        ("bc", "abc", "abc"),
        ("ab", "abcd", "abcd"),
        ("abz", "axyb", "axybz"),
        ("", "ab", "ab"),
        ("ab", "", "ab"),
        ("cab", "abx", "cabx"),
    ],
)
def test_keys_of_both(mine: str, theirs: str, keys: str) -> None:
    assert _keys(dict.fromkeys(mine, ""), dict.fromkeys(theirs, "")) == list(keys)


def test_what_became_of_each_and_what_is_new_before_it() -> None:
    became, new = _beside(lines("row home/up hill"), lines("x/row homes/down/y"))
    assert became == {0: {"words": "row homes"}}
    assert {at: [each["words"] for each in found] for at, found in new.items()} == {  # type: ignore[index, call-overload]
        0: ["x"],
        2: ["down", "y"],
    }


@pytest.mark.parametrize(
    ("base", "mine", "theirs", "may"),
    [
        ({"words": "a", "lane": "1"}, {"words": "b", "lane": "1"}, {"words": "a", "lane": "1"}, 1),
        ({"words": "a", "lane": "1"}, {"words": "b", "lane": "1"}, {"words": "a", "lane": "2"}, 0),
        ({"words": "a", "lane": "1"}, {"words": "b", "lane": "2"}, {"words": "b", "lane": "2"}, 1),
        ({"words": "a", "lane": "1"}, {"words": "a", "lane": "1"}, {"words": "a", "lane": "2"}, 1),
        ({"words": "a"}, {"wait": "1"}, {"words": "a"}, 0),
        ({"wait": "1"}, {"wait": "2"}, {"wait": "3"}, 1),
        ({"": "a"}, {"": "b"}, {"": "c"}, 0),
        ({"words": "a"}, NamedDoc((("wait", "1"),)), {"words": "b"}, 1),
    ],
)
def test_what_may_be_mixed(base: Doc, mine: Doc, theirs: Doc, may: int) -> None:
    assert _one_kind(base, mine, theirs) is bool(may)


HEAD = "tapscore: 2\ntitle: T\n"


def _story(words: str, head: str = "") -> Any:
    listed = "".join(
        "      - wait: 10\n" if w == "~" else f"      - words: {w}\n" for w in words.split("/")
    )
    found = read_text(f"{HEAD}{head}story:\n  - section: One\n    lines:\n{listed}").story
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("base", "mine", "theirs", "merged", "clashes"),
    [
        ("row home/up hill", "row homes/up hill", "row home/up hills", "row homes/up hills", []),
        ("row/up", "row/new/up", "row/up/last", "row/new/up/last", []),
        # Both put in the same: once; both something else: mine first.
        ("row/up", "row/new/up", "row/new/up", "row/new/up", []),
        ("row/up", "row/mine/up", "row/theirs/up", "row/mine/theirs/up", []),
        ("row/up", "up", "row", "", []),
        (
            "row home",
            "row homes",
            "row home now",
            "row homes",
            ["One, line 1: yours says “row homes”, the file's says “row home now”"],
        ),
        (
            "row home/x",
            "x",
            "row home now/x",
            "x",
            ["One, line 1: yours takes it out, the file's says “row home now”"],
        ),
    ],
)
def test_put_together(base: str, mine: str, theirs: str, merged: str, clashes: list[str]) -> None:
    stories = [_story(each) for each in (base, mine, theirs)]
    found = merge(*stories)
    assert found.story is not None
    items = found.story.sections[0].items if found.story.sections else ()
    assert "/".join(item.words for item in items) == merged  # type: ignore[union-attr]
    assert [clash.sentence for clash in found.clashes] == clashes
    if clashes:
        other = merge(*stories, mine_wins=False).story
        assert other == stories[2]
