"""How a line is tapped, in words: a table written by hand, and the views on it."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Section, Story
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo
from tapscore.rhythm.describe import (
    Aspect,
    Description,
    Unlike,
    describe,
    tap_place,
    tempo_word,
    written_taps,
)
from tapscore.rhythm.layout import line_layout
from tapscore.rhythm.perform import perform
from tapscore.screen.rows import row_text, rows_of, tap_text, tapped_words
from tapscore.storyfile.lane_text import Names, parse_lane
from tapscore.storyfile.read import read_text

ROLES = ("leader", "beat-keeper", "helper")


def told(words: str, lane: str, manner: PartialManner = PartialManner()) -> Story:
    parsed, problems = parse_lane(lane, Names({"edge": None}, dict.fromkeys(ROLES)))
    assert not problems
    line = Line(words, parsed, manner)
    return Story("Test", roles=tuple(map(Role, ROLES)), sections=(Section("One", (line,)),))


def described(story: Story, role: str | None = None) -> Description:
    (segment,) = perform(story).lines
    events = {tap.event for tap in segment.taps if role in (None, tap.role)}
    return describe(segment, events)


BOAT = "the lan-tern boat"
CASES = {
    "all alike": (BOAT, "| x x x x . . . . |", {}, "quiet", "fingertips", "", ""),
    "two taps of their own": (
        *(BOAT, "| X(knuckles) x X(loud) x . . . . |", {}),
        *("quiet, but loud on “tern” of “lantern”", "fingertips, but knuckles on “the”", "", ""),
    ),
    "a spot of its own": (
        *(BOAT, "| x x x x(edge) . . . . |", {}),
        *("quiet", "fingertips", "edge on “boat”", ""),
    ),
    "a spot among others": (
        *(BOAT, "| x x x x(edge) . . . . |", {"spot": "middle"}),
        *("quiet", "fingertips", "middle, but edge on “boat”", ""),
    ),
    "most wins, not the line's": (
        *(BOAT, "| x(loud) x(loud) x(loud) x . . . . |", {}),
        *("loud, but quiet on “boat”", "fingertips", "", ""),
    ),
    "a single tap in a swell has its own loudness": (
        *(BOAT, "| x x x x(medium) . . . . |", {"loudness": (Loudness.QUIET, Loudness.LOUD)}),
        *("quiet to loud, but medium on “boat”", "fingertips", "", ""),
    ),
    "one tap alone in a swell": (
        *("bump", "| x . . . . . . . |", {"loudness": (Loudness.LOUD, Loudness.VERY_LOUD)}),
        *("loud", "fingertips", "", ""),
    ),
    "one tap left in a swell, at its end": (
        *("bump bump", "| x(quiet) x . . . . . . |", {"loudness": (Loudness.LOUD, Loudness.QUIET)}),
        *("quiet", "fingertips", "", ""),
    ),
    "two taps after one syllable": (
        *("bump", "| x t t(loud) . . . . . |", {}),
        *("quiet, but loud on the second tap after “bump”", "fingertips", "", ""),
    ),
    "the only tap after a syllable": (
        *("bump bump", "| x t(loud) x . . . . . |", {}),
        *("quiet, but loud on the tap after the 1st “bump”", "fingertips", "", ""),
    ),
    "a tap before all words": (
        *("bump", "| t(loud) x t . . . . . |", {}),
        *("quiet, but loud on the tap at the start", "fingertips", "", ""),
    ),
    "one of several alike": (
        *("the boat, the wa-ter", "| x x x(loud) x x . . . |", {}),
        *("quiet, but loud on the 2nd “the”", "fingertips", "", ""),
    ),
    "more than are named": (
        *("a b c d e f g h i", "| x x x x x(loud) x(loud) x(loud) x(loud) | x . . . . . . . |", {}),
        *("quiet, but loud on 4 taps", "fingertips", "", ""),
    ),
    "three things at once": (
        *(BOAT, "| x x(loud) x(medium) x . . . . |", {"stroke": Stroke.SWEEP}),
        "quiet, but loud on “lan” of “lantern”, medium on “tern” of “lantern”",
        *("sweep", "", ""),
    ),
    "slowing": (
        *(BOAT, "| x x x x . . . . |", {"tempo": Tempo(Fraction(60), Fraction(42))}),
        *("quiet", "fingertips", "", "slowing, 60 to 42 a minute"),
    ),
    "quicker than the story": (
        *(BOAT, "| x x x x . . . . |", {"tempo": Tempo(Fraction(133, 2))}),
        *("quiet", "fingertips", "", "quicker, 66.5 a minute"),
    ),
    "said, not tapped": (BOAT, "| s s s s . . . . |", {}, "", "", "", ""),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_the_table(case: tuple[str, str, dict[str, object], str, str, str, str]) -> None:
    words, lane, manner, loudness, stroke, spot, pace = case
    found = described(told(words, lane, PartialManner(**manner)))  # type: ignore[arg-type]
    assert (found.loudness.words, found.stroke.words, found.spot.words, found.pace) == (
        loudness,
        stroke,
        spot,
        pace,
    )


def test_a_role_hears_of_its_own_taps_alone() -> None:
    story = told(BOAT, "| X(knuckles) x X(loud, helper) x . . . . |")
    assert described(story, "helper").manner_words == ("loud", "fingertips")
    mine = described(story, "beat-keeper")
    assert mine.manner_words == ("quiet", "fingertips, but knuckles on “the”")
    assert described(story).by.words == "beat-keeper, but helper on “tern” of “lantern”"


def test_every_tap_of_a_swell_by_itself_is_as_loud_as_it_is_heard() -> None:
    swell = PartialManner(loudness=(Loudness.VERY_QUIET, Loudness.VERY_LOUD))
    (segment,) = perform(told(BOAT, "| x x x x x . . . |", swell)).lines
    alone = [describe(segment, {tap.event}) for tap in segment.taps]
    assert [found.loudness.words for found in alone] == [t.loudness.shown for t in segment.taps]
    assert not any(found.swell for found in alone)


def test_a_swell_counts_only_where_a_tap_stands_in_it() -> None:
    swell = PartialManner(loudness=(Loudness.QUIET, Loudness.LOUD))
    assert described(told("bump bump", "| x . x . . . . . |", swell)).swell
    assert not described(told("bump", "| x . . . . . . . |", swell)).swell
    assert not described(told("bump", "| x(medium) . . . . . . . |", swell)).swell


def test_row_and_speech_say_the_same_as_the_description() -> None:
    story = told(BOAT, "| X(knuckles) x X(loud) x . . . . |")
    row = next(row for row in rows_of(story) if row.line)
    found = described(story)
    assert tapped_words(row) == (found.loudness.words, found.stroke.words, "by beat-keeper")
    assert row_text(row) == (
        "Line 1. the lantern boat. quiet, but loud on “tern” of “lantern”; "
        "fingertips, but knuckles on “the”; by beat-keeper"
    )
    assert tap_text(row, 2) == (
        "3 of 4, “tern” of “lantern” in bar 1, strong, loud, fingertips, by beat-keeper"
    )


def test_what_is_no_line_is_not_described() -> None:
    story = told("bump", "| x . . . . . . . |")
    row = next(row for row in rows_of(story) if not row.line)
    with pytest.raises(ValueError, match="only a line"):
        describe(evolve(row.placed, item=None))


def test_two_adults_who_tap_one_tap_differently() -> None:
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nloudness: quiet\nby: [leader, helper]\n"
        "roles: {leader: , helper: }\nstory:\n  - section: One\n    lines:\n"
        "      - words: Down down\n"
        '        lane: "| X . x(helper: knuckles; leader: flat hand, loud) . |"\n'
    ).story
    assert story is not None
    (segment,) = perform(story).lines
    told = {(tap.event, tap.role): (tap.stroke.word, int(tap.level)) for tap in segment.taps}
    assert told == {
        (0, "leader"): ("fingertips", 1),
        (0, "helper"): ("fingertips", 1),
        (1, "helper"): ("knuckles", 1),
        (1, "leader"): ("flat hand", 3),
    }
    events = {0, 1}
    assert describe(segment, events, "helper").stroke.words == (
        "fingertips, but knuckles on the 2nd “down”"
    )
    assert describe(segment, events, "leader").loudness.words == "quiet, but loud on the 2nd “down”"
    assert describe(segment).stroke.words == (
        "fingertips, but knuckles (helper) on the 2nd “down”, flat hand (leader) on the 2nd “down”"
    )


def test_a_tap_of_two_that_one_makes_otherwise_is_each_one_s_own() -> None:
    story = told("bump", "| x(leader, helper; helper: knuckles) . . . . . . . |")
    (segment,) = perform(story).lines
    assert describe(segment, None, "helper").stroke.words == "knuckles"
    assert describe(segment, None, "leader").stroke.words == "fingertips"
    assert describe(segment).stroke.words == "fingertips, but knuckles (helper) on “bump”"


@pytest.mark.parametrize(
    ("loud", "words"),
    [(3, "quiet, but loud on “a”, “b” and “c”"), (4, "quiet, but loud on 4 taps")],
)
def test_three_taps_that_differ_are_named_and_more_counted(loud: int, words: str) -> None:
    lane = " ".join("x(loud)" if at < loud else "x" for at in range(9))
    found = described(
        told("a b c d e f g h i", f"| {lane[: lane.rindex(' ')]} | x . . . . . . . |")
    )
    assert found.loudness.words == words


def places(words: str, lane: str) -> list[str]:
    """What each tap and syllable of a line is called."""
    (segment,) = perform(told(words, lane)).segments
    assert segment.line is not None
    layout = line_layout(segment.line, segment.manner.metre)
    return [tap_place(segment.line, segment.manner, at) for at in range(len(layout.events))]


def test_what_each_tap_is_called() -> None:
    assert places("bump", "| t t x t t t t . | t t . . . . . . |") == [
        *("the first tap at the start", "the second tap at the start", "“bump”"),
        *(f"the {which} tap after “bump”" for which in ("first", "second", "third", "fourth")),
        *("the fifth tap after “bump”", "the 6th tap after “bump”"),
    ]
    assert places("bump", "| x t t . . . . . |") == [
        *("“bump”", "the first tap after “bump”", "the second tap after “bump”"),
    ]
    # the words may be fewer than the lane has places for
    assert places("bump", "| x t x . x . . . |") == [
        *("“bump”", "the first tap after “bump”"),
        *("the second tap after “bump”", "the third tap after “bump”"),
    ]
    assert places("on, lan-tern, on tern tern-lan", "| x x x x x x x . |") == [
        *("the 1st “on”", "the 1st “lan” of “lantern”", "the 1st “tern” of “lantern”"),
        *("the 2nd “on”", "“tern”", "the 2nd “tern” of “ternlan”", "the 2nd “lan” of “ternlan”"),
    ]
    assert places("On on", "| x t x . . . . . |") == [
        *("the 1st “on”", "the tap after the 1st “on”", "the 2nd “on”"),
    ]


@pytest.mark.parametrize(
    ("tempo", "usual", "word"),
    [
        ((60, None), (60, None), ""),
        ((50, None), (60, None), "slower"),
        ((70, None), (60, None), "quicker"),
        ((60, 50), (60, None), "slowing"),
        ((60, 70), (60, None), "quickening"),
        ((50, 70), (60, None), "quickening"),
        ((60, 60), (60, None), ""),
        ((60, None), (60, 40), ""),
        ((50, None), (60, 40), "slower"),
    ],
)
def test_the_word_for_a_tempo(
    tempo: tuple[int, int | None], usual: tuple[int, int | None], word: str
) -> None:
    def made(pair: tuple[int, int | None]) -> Tempo:
        return Tempo(Fraction(pair[0]), None if pair[1] is None else Fraction(pair[1]))

    assert tempo_word(made(tempo), made(usual)) == word


def test_written_taps_of_a_line_with_an_adult_of_her_own() -> None:
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nby: [leader, helper]\nspot: mid\n"
        "board: {size_cm: [90, 90], spots: {mid: [45, 45], edge: [45, 5]}}\n"
        "roles: {leader: , helper: , other: }\nstory:\n  - section: One\n    lines:\n"
        "      - words: Down down down\n        loudness: quiet to loud\n"
        '        lane: "| X x(helper: edge) x(other: loud) s |"\n'
    ).story
    assert story is not None
    (segment,) = perform(story).lines
    assert segment.line is not None
    taps = written_taps(segment.line, segment.manner)
    swell = (Loudness.QUIET, Loudness.LOUD)
    assert [
        (tap.event, tap.loudness, tap.own_loudness, tap.spot, tap.by, tap.single) for tap in taps
    ] == [
        (0, swell, False, "mid", ("leader", "helper"), None),
        # who is named for herself alone is the only one that taps
        (1, swell, False, "edge", ("helper",), "helper"),
        (2, (Loudness.LOUD,), True, "mid", ("other",), "other"),
    ]
    assert [tap.lane_event.bar for tap in taps] == [1, 1, 1]


@pytest.mark.parametrize(
    ("usual", "unlike", "words"),
    [
        ("quiet", (), "quiet"),
        ("", (), ""),
        ("quiet", (("loud", "“a”"),), "quiet, but loud on “a”"),
        ("", (("edge", "“a”"),), "edge on “a”"),
        ("edge", (("", "“a”"),), "edge, but anywhere on “a”"),
        ("", (("edge", "“a”"), ("mid", "“b”")), "edge on “a”, but mid on “b”"),
        ("x", (("y", "“a”"), ("z", "“b”"), ("w", "“c”")), "x, but y on “a”, z on “b”, w on “c”"),
    ],
)
def test_an_aspect_in_words(usual: str, unlike: tuple[tuple[str, str], ...], words: str) -> None:
    assert Aspect(usual, tuple(Unlike(word, (0,), at) for word, at in unlike)).words == words
