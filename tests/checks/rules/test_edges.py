"""At the edge of a rule nothing is found; what comes again is told once; a mend mends the taps."""

from tapscore.checks.all_rules import mended
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story


def told(text: str) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


def found(story: Story, code: str) -> list[Finding]:
    return [each for each in check(Scene(story, perform(story))) if each.code == code]


def small(lines: str, *, metre: str, more: str = "") -> Story:
    return told(
        f"tapscore: 2\ntitle: T\nmetre: {metre}\ntempo: 60\n{more}"
        f"story:\n  - section: One\n    lines:\n{lines}"
    )


def bars(metre: str, count: int) -> str:
    steps = {"4/4": 8, "3/4": 6}[metre]
    bar = "X" + " ." * (steps - 1)
    words, lane = " ".join(["row"] * count), " | ".join([bar] * count)
    return f'      - words: {words}\n        lane: "| {lane} |"\n'


def test_a_line_of_just_twelve_seconds_is_one_breath() -> None:
    """From the first syllable to the last: the fifth bar of 3/4 begins after twelve."""
    assert found(small(bars("3/4", 5), metre="3/4"), "one-breath") == []
    assert len(found(small(bars("4/4", 5), metre="4/4"), "one-breath")) == 1


def test_just_fifteen_seconds_of_loudness_are_short() -> None:
    loud = "loudness: loud\n"
    assert found(small(bars("3/4", 5), metre="3/4", more=loud), "loud-not-long") == []
    assert len(found(small(bars("4/4", 4), metre="4/4", more=loud), "loud-not-long")) == 1


def test_a_wait_ends_a_loud_passage() -> None:
    loud, eight_sec = "loudness: loud\n", bars("4/4", 2)
    for between, passages in (("", 1), ("      - wait: 10\n", 0)):
        story = small(eight_sec + between + eight_sec, metre="4/4", more=loud)
        assert len(found(story, "loud-not-long")) == passages


def test_what_a_refrain_does_with_small_parts_is_looked_at_once() -> None:
    story = told(
        "tapscore: 2\ntitle: T\nmetre: 6/8\n"
        "props: {beads: {what: beads, cautions: [small parts]}}\n"
        'refrains:\n  rain: [{words: rain, lane: "| X . . |", do: beads to the lips}]\n'
        "story:\n  - section: One\n    lines:\n"
        '      - {words: row, lane: "| X . . |", prop in: beads}\n'
        "      - refrain: rain\n      - refrain: rain\n"
    )
    assert [each.path for each in found(story, "mouths-kept-clear")] == [
        ("refrains", "rain", 0, "do")
    ]


def test_quick_lines_of_a_refrain_are_told_once() -> None:
    quick = '{words: rain on the roof-tops and, lane: "| X x x X x x |"}'
    story = told(
        "tapscore: 2\ntitle: T\nmetre: 6/8\ntempo: 60\n"
        f"refrains:\n  rain: [{quick}, {quick}]\n"
        "story:\n  - section: One\n    lines:\n      - refrain: rain\n      - wait: 10\n"
        "      - refrain: rain\n      - wait: 10\n      - refrain: rain\n"
    )
    assert len(found(story, "taps-thin-enough")) == 1


def test_a_prop_that_lies_nowhere_lies_in_nobody_s_way() -> None:
    story = small(
        '      - words: row\n        lane: "| X . . . . . . . |"\n        prop in: cups\n',
        metre="4/4",
        more="board: {size_cm: [120, 90], spots: {middle: [60, 45]}}\nspot: middle\n"
        "props: {cups: {what: cups}}\n",
    )
    assert found(story, "props-set-down-clear") == []


def test_mending_busy_hands_gives_their_single_taps_to_others() -> None:
    story = small(
        '      - words: row row\n        lane: "| X . . . x(handler) . . . |"\n'
        "        by: tapper\n        prop in: cups\n",
        metre="4/4",
        more="roles: {tapper: , handler: }\nprops: {cups: {what: cups, by: handler}}\n",
    )
    (finding,) = found(story, "bringer-hands-free")
    mend = mended(story, finding)
    assert mend is not None
    assert found(mend, "bringer-hands-free") == []
    assert 'lane: "| X . . . x . . . |"' in write_story(mend)
