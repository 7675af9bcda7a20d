"""What may be seen at, named by the story."""

from pathlib import Path

import pytest

from tapscore.rhythm.moments import MomentKind, moments
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file, read_text


def test_moments_of_the_demo(demo_path: Path) -> None:
    story = read_file(demo_path).story
    assert story is not None
    assert [each.name for each in moments(perform(story))] == [
        "refrain “row home”",
        "wait after the 1st “row home”",
        "wait after “Splash!”",
        "offering of beads",
        "wait after the 3rd “row home”",
    ]


def test_names_do_not_meet_and_long_lines_are_cut() -> None:
    long = "and then they went on and on and on over the hills and far away and home"
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\ntempo: 60\nprops: {cup: {what: cup}}\nstory:\n"
        "  - section: One\n    lines:\n      - wait: 10\n      - words: Tap,\n"
        "        look for: a look\n      - wait: 10\n      - wait: 20\n      - offer: cup\n"
        f"      - offer: cup\n      - words: {long}\n      - wait: 10\n"
    ).story
    assert story is not None
    found = moments(perform(story))
    assert [each.name for each in found] == [
        "wait after the start",
        "“Tap”",
        "wait after “Tap”",
        "wait after “Tap”, 2nd time",
        "offering of cup",
        "offering of cup, 2nd time",
        "wait after “… on and on over the hills and far away and home”",
    ]
    assert found[1].kind is MomentKind.LINE
    assert found[1].look_for == "a look"
    assert found[2].number == 1


def test_every_moment_of_a_small_story() -> None:
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\ntempo: 60\nprops: {cup: {what: cup}}\n"
        "refrains:\n  home:\n    - {words: row home, look for: a reach}\n    - {wait: 4}\n"
        "story:\n  - section: One\n    lines:\n"
        "      - {words: 'One, two;', areas: [Literacy], look for: a smile}\n"
        "      - {refrain: home}\n      - {words: three}\n      - {wait: 5, look for: stillness}\n"
        "      - {offer: cup, look for: a grasp}\n      - {refrain: home}\n"
        "      - {words: 'One, two;', look for: a turn}\n"
    ).story
    assert story is not None
    told = perform(story, count_in_bars=1)
    line, wait, offer, refrain = (
        MomentKind.LINE,
        MomentKind.WAIT,
        MomentKind.OFFERING,
        MomentKind.REFRAIN,
    )
    area = story.sections[0].items[0].areas  # type: ignore[union-attr]
    assert len(area) == 1
    assert [(m.kind, m.name, m.number, m.look_for, m.areas) for m in moments(told)] == [
        (line, "“One, two”", 1, "a smile", area),
        (refrain, "refrain “home”", None, "a reach", ()),
        (line, "“row home”", None, "a reach", ()),
        (wait, "wait after the 1st “home”", None, None, ()),
        (wait, "wait after “three”", 2, "stillness", ()),
        (offer, "offering of cup", 2, "a grasp", ()),
        (wait, "wait after the 2nd “home”", None, None, ()),
        (line, "“One, two”, 2nd time", 3, "a turn", ()),
    ]


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("a" * 48, "a" * 48),
        ("b" * 49, "… " + "b" * 48),
        # the words at the end that fit in 48 letters with the spaces between
        ("one " + "c" * 23 + " " + "d" * 24, "… " + "c" * 23 + " " + "d" * 24),
        ("one " + "c" * 24 + " " + "d" * 24, "… " + "d" * 24),
    ],
)
def test_a_long_line_is_named_by_its_end(words: str, name: str) -> None:
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nstory:\n  - section: One\n    lines:\n"
        f"      - words: {words}\n      - wait: 5\n"
    ).story
    assert story is not None
    assert [each.name for each in moments(perform(story))] == [f"wait after “{name}”"]
