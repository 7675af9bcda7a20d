"""A story written out in notes: every bar worked out by hand, as theory primers write it."""

from typing import Any

import pytest

from tapscore.model.story import Story
from tapscore.rhythm.notation import bars_not_full, lengths, score_of, story_bars
from tapscore.rhythm.theory import theory_notes
from tapscore.rhythm.unroll import unroll
from tapscore.storyfile.read import read_text
from tests.hill import HEAD, line, lines_of

TEXT = """\
tapscore: 2
title: Written
metre: 2/4
tempo: 60
roles: {leader: , helper: }
props: {lamp: {what: lamp}}
refrains:
  home:
    - words: row home
      lane: "| X . x _ |"
story:
  - section: One
    lines:
      - words: a-way we go
        lane: "s | X . x x |"
        prop in: [lamp]
      - words: lan-tern-light bright
        lane: "| xx t . x | _ . X . |"
        loudness: quiet to loud
        warn first: hands up
        prop out: lamp
      - words: on we
        lane: "| x . x |"
        loudness: loud
      - words: go on
        lane: "x | X . . . |"
        loudness: loud
      - wait: 10
  - section: Two
    tempo: 90
    metre: 6/8
    lines:
      - words: on
        lane: "t | X x(loud) . . . . |"
        tempo: 90 to 60
      - offer: lamp
        turn: 20
      - words: all
        lane: "t | X . . . . . |"
        tempo: 60
      - refrain: home
      - words: no tap here
"""

# Lengths in crotchets; `r` a rest, `x` a cross for a head, `>` an accent, `(` tied on to the next,
# `)` tied from the one before, `^` a fermata; syllables with how they hang together.
BARS = """\
0: x.5 a-
1: >.5 -way | r.5 | .5 we | .5 go
2: .25 lan- | .25 -tern- | .5 | r.5 | .5( -light
3: .5) | r.5 | >.5 bright | r.5
4: .5 on | r.5 | .5 we | .5 go
5: >.5 on | r1.5
6: ^r2
7: r2.5 | .5
8: >.5 on | .5 | r2
9: ^r2.5 | .5
10: >.5 all | r2.5
11: >.5 row | r.5 | 1 home
12: x.5 no | x.5 tap | x.5 here | r1.5
"""
MARKS = {
    0: {"One", "lamp in", "1.0=60", "2/4", "p"},
    2: {"leader warns first: hands up; lamp out; p to f"},
    4: {"f"},
    6: {"wait 10 s"},
    7: {"6/8", "Two", "1.5=90", "slowing; loud on the tap after “on”", "p"},
    9: {"offer lamp 20 s", "1.5=60"},
    11: {"2/4", "refrain: home", "1.0=60"},
    # the section's own again
    12: {"6/8", "1.5=90"},
}


def test_the_tempo_is_marked_again_after_a_line_that_slows() -> None:
    bars = story_bars(lines_of(line("so we go", "tempo: 60 to 40") + line("on and on")))
    assert [[mark.per_minute for mark in bar.marks if mark.kind == "tempo"] for bar in bars] == [
        [60],
        [60],
    ]


@pytest.fixture(scope="module")
def story() -> Story:
    found = read_text(TEXT).story
    assert found is not None
    return found


@pytest.fixture(scope="module")
def score(story: Story) -> Any:
    return score_of(story.title, story_bars(story))


def _number(value: Any) -> str:
    return f"{float(value):g}".removeprefix("0")


def _element(element: Any) -> str:
    hyphens = {"single": "{}", "begin": "{}-", "middle": "-{}-", "end": "-{}"}
    fermata = "^" if any("Fermata" in mark.classes for mark in element.expressions) else ""
    if element.isRest:
        return f"{fermata}r{_number(element.quarterLength)}"
    head = {"normal": "", "x": "x"}[element.notehead]
    accent = ">" if element.articulations else ""
    tie = {"start": "(", "stop": ")", "continue": ")("}[element.tie.type] if element.tie else ""
    said = [hyphens[lyric.syllabic].format(lyric.text) for lyric in element.lyrics]
    return " ".join([f"{accent}{head}{_number(element.quarterLength)}{tie}", *said])


def _bars(score: Any) -> str:
    return "".join(
        f"{bar.number}: {' | '.join(_element(each) for each in bar.notesAndRests)}\n"
        for bar in score.parts[0].getElementsByClass("Measure")
    )


def _mark(element: Any) -> str:
    if "MetronomeMark" in element.classes:
        return f"{float(element.referent.quarterLength)}={element.number:g}"
    if "TimeSignature" in element.classes:
        return str(element.ratioString)
    return str(element.value if "Dynamic" in element.classes else element.content)


def _marks(score: Any) -> dict[int, set[str]]:
    found = {
        bar.number: {_mark(each) for each in bar if "GeneralNote" not in each.classes}
        for bar in score.parts[0].getElementsByClass("Measure")
    }
    return {number: marks for number, marks in found.items() if marks}


def test_every_note_and_rest(score: Any) -> None:
    assert _bars(score) == BARS
    assert score.metadata.bestTitle == "Written"
    assert bars_not_full(score) == ()


def test_every_mark_stands_in_its_bar(score: Any) -> None:
    """A metronome mark comes again where the beat is another note, and after slowing."""
    assert _marks(score) == MARKS


def test_marks_stand_at_their_line_not_at_the_bar(score: Any) -> None:
    """A line that begins in another's bar has its marks where it begins."""
    bars = {bar.number: bar for bar in score.parts[0].getElementsByClass("Measure")}
    (pickup,) = bars[0].getElementsByClass("MetronomeMark")
    assert pickup.offset == 0
    (tempo,) = bars[7].getElementsByClass("MetronomeMark")
    assert tempo.offset == 2.5
    (fermata,) = (each for each in bars[9].notesAndRests if each.isRest)
    (tempo,) = bars[9].getElementsByClass("MetronomeMark")
    assert (fermata.offset, tempo.offset) == (0, 2.5)
    (warning,) = bars[2].getElementsByClass("TextExpression")
    assert warning.offset == 0


# item, event, bar of the score, metre, weight, and whether it is tied over: each beat of a bar of
# two has half the weight of the bar, each step half of that, anything finer half again
NOTES = """\
0 0 0 2/4 1/4
0 1 1 2/4 1
0 2 1 2/4 1/2
0 3 1 2/4 1/4
1 0 2 2/4 1
1 1 2 2/4 1/8
1 2 2 2/4 1/4
1 3 2 2/4 1/4 tied
1 4 3 2/4 1/2
2 0 4 2/4 1
2 1 4 2/4 1/2
3 0 4 2/4 1/4
3 1 5 2/4 1
5 0 7 6/8 1/4
5 1 8 6/8 1
5 2 8 6/8 1/4
7 0 9 6/8 1/4
7 1 10 6/8 1
8 0 11 2/4 1
8 1 11 2/4 1/2
9 0 12 6/8 1
9 1 12 6/8 1/4
9 2 12 6/8 1/4
"""


def test_where_each_note_falls(story: Story) -> None:
    found = [
        f"{each.placed} {each.event} {each.bar} {each.metre} {each.strength}"
        f"{' tied' if each.tied else ''}\n"
        for each in theory_notes(lengths(unroll(story)))
    ]
    assert "".join(found) == NOTES


@pytest.mark.parametrize(
    ("lane", "bars", "padding", "weights"),
    [
        ("x | X . . X . . |", "0: .5 a-\n1: >.5 -way | r1 | >.5 go | r1\n", 2.5, "1/4 1 1/2"),
        # a felt beat and a quaver: its second note is on the second beat
        ("x X . . | X . . . . . |", "0: .5 a- | >.5 -way | r1\n1: >.5 go | r2.5\n", 1, "1/4 1/2 1"),
    ],
)
def test_a_story_that_begins_with_a_pickup_in_six_eight(
    lane: str, bars: str, padding: float, weights: str
) -> None:
    """The first bar is counted back from the bar line: the pickup's weights are its bar's."""
    told = read_text(
        "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
        f"      - {{words: a-way go, lane: '{lane}'}}\n"
    ).story
    assert told is not None
    score = score_of(told.title, story_bars(told))
    assert _bars(score) == bars
    first, *_ = score.parts[0].getElementsByClass("Measure")
    assert first.paddingLeft == padding
    assert " ".join(str(note.strength) for note in theory_notes(lengths(unroll(told)))) == weights


def test_a_bar_that_is_not_full_is_found(story: Story) -> None:
    bars = story_bars(story)
    del bars[5].elements[-1]
    assert bars_not_full(score_of(story.title, bars)) == (5,)


def test_a_story_without_lines_has_no_bars() -> None:
    assert story_bars(Story("T")) == []


def test_what_goes_is_named_before_what_comes_as_everywhere_else() -> None:
    text = TEXT.replace("prop in: [lamp]", "prop in: [lamp]\n        prop out: cup")
    found = read_text(text).story
    assert found is not None
    words = [mark.text for bar in story_bars(found) for mark in bar.marks if mark.kind == "words"]
    assert words[0] == "cup out; lamp in"


def test_with_what_where_and_by_whom_is_said_where_it_changes() -> None:
    """A return told with the flat hand by another stood there as the usual one."""
    other = (
        "      - {refrain: home, stroke: flat hand, spot: low, by: [cyd, dot], says: everyone}\n"
    )
    lines = line("Out", "by: ann") + other + line("In", "by: ann") + "      - refrain: home\n"
    head = f"{HEAD}by: ann\nrefrains:\n  home:\n{line('Row home')}{line('Up')}"
    marks = [
        mark.text
        for bar in story_bars(lines_of(lines, head))
        for mark in bar.marks
        if mark.kind == "words"
    ]
    assert marks == [
        "refrain: home; flat hand; low; cyd and dot tap; everyone says it",
        "refrain: home",
        "fingertips; middle; ann taps; ann says it",
        "refrain: home",
        "refrain: home",
    ]


def test_one_tap_alone_in_a_swell_has_one_loudness() -> None:
    text = TEXT.replace(
        '"| x . x |"\n        loudness: loud', '"| x . s |"\n        loudness: f to ff'
    )
    story = read_text(text).story
    assert story is not None
    marks = [mark for bar in story_bars(story) for mark in bar.marks]
    assert [mark.text for mark in marks if mark.kind == "loudness"][1:2] == ["f"]
    assert not [mark for mark in marks if "f to ff" in mark.text]


def test_a_line_whose_taps_all_have_their_own_way_is_told_by_theirs() -> None:
    """Its own manner, which no tap keeps to, stood in the score: papers and screen said theirs."""
    own = "x(f, flat hand, helper) . x(f, flat hand, helper)"
    text = TEXT.replace('"| x . x |"\n        loudness: loud', f'"| {own} |"\n        loudness: pp')
    story = read_text(text).story
    assert story is not None
    marks = [mark for bar in story_bars(story) for mark in bar.marks]
    assert "flat hand; helper taps" in [mark.text for mark in marks if mark.kind == "words"]
    loud = [mark.text for mark in marks if mark.kind == "loudness"]
    assert "f" in loud
    assert "pp" not in loud
