"""What may be seen at, named by the story."""

from pathlib import Path

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
