"""Gentler and livelier copies of single lines, worked out by hand from what ``BOUNDS`` says."""

from fractions import Fraction

import pytest

from tapscore.model.fewer_taps import Tapped
from tapscore.model.loudness import Loudness, swell_text
from tapscore.model.story import Line, Offer, RefrainUse, Story, Wait
from tapscore.model.tempo import Tempo, tempo_text
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.workflow.adapt import BOUNDS, Adapted, CopyWay, _with_taps, adapt


def story(lines: str, head: str = "", section: str = "") -> Story:
    found = read_text(
        f"tapscore: 2\ntitle: T\nmetre: 2/4\n{head}props: {{cup: {{what: cup}}}}\n"
        f"story:\n  - section: One\n{section}    lines:\n{lines}"
    ).story
    assert found is not None
    return found


def line(more: str, lane: str = "| x . . . |") -> str:
    return f'      - {{words: la la la la, lane: "{lane}"{", " if more else ""}{more}}}\n'


def first(way: CopyWay, lines: str, head: str = "") -> Line:
    found = adapt(story(lines, head), way).story.sections[0].items[0]
    assert isinstance(found, Line)
    return found


@pytest.mark.parametrize(
    ("way", "tempo", "found"),
    [
        # a seventh slower: 70 * 6/7 = 60, 54 * 6/7 = 46.3, 45 * 6/7 = 38.6 but not below 40
        (CopyWay.GENTLER, "70", "60"),
        (CopyWay.GENTLER, "54", "46"),
        (CopyWay.GENTLER, "45", "40"),
        (CopyWay.GENTLER, "40", "40"),
        (CopyWay.GENTLER, "30", "30"),
        (CopyWay.GENTLER, "70 to 56", "60 to 48"),
        # a sixth faster: 60 * 7/6 = 70, 80 * 7/6 = 93.3 but not above 90
        (CopyWay.LIVELIER, "60", "70"),
        (CopyWay.LIVELIER, "54", "63"),
        (CopyWay.LIVELIER, "80", "90"),
        (CopyWay.LIVELIER, "90", "90"),
        (CopyWay.LIVELIER, "120", "120"),
        (CopyWay.LIVELIER, "60 to 48", "70 to 56"),
        (CopyWay.SHORT, "60", "60"),
    ],
)
def test_a_seventh_slower_or_a_sixth_faster(way: CopyWay, tempo: str, found: str) -> None:
    of_line = first(way, line(f"tempo: {tempo}")).manner.tempo
    assert of_line is not None
    assert tempo_text(of_line) == found
    of_story = adapt(story(line(""), f"tempo: {tempo}\n"), way).story.manner.tempo
    assert of_story is not None
    assert tempo_text(of_story) == found
    told = adapt(story(line(""), section=f"    tempo: {tempo}\n"), way).story
    of_section = told.sections[0].manner.tempo
    assert of_section is not None
    assert tempo_text(of_section) == found


def test_the_usual_tempo_of_a_story_that_names_none() -> None:
    """60 a minute: 51.4 and 70."""
    tempos = {way: adapt(story(line("")), way).story.manner.tempo for way in CopyWay}
    told = {way.value: tempo_text(tempo) for way, tempo in tempos.items() if tempo}
    assert told == {"gentler": "51", "livelier": "70"}


@pytest.mark.parametrize(
    ("way", "more", "head", "found"),
    [
        # a step quieter, down to very quiet; without a warning it begins a step below itself
        (CopyWay.GENTLER, "loudness: very quiet", "", "very quiet"),
        (CopyWay.GENTLER, "loudness: quiet", "", "very quiet"),
        (CopyWay.GENTLER, "loudness: medium", "", "quiet"),
        (CopyWay.GENTLER, "loudness: loud", "", "quiet to medium"),
        (CopyWay.GENTLER, "loudness: very loud", "", "medium to loud"),
        (CopyWay.GENTLER, "loudness: loud, warn first: ready", "", "medium"),
        (CopyWay.GENTLER, "loudness: quiet to loud", "", "very quiet to medium"),
        (CopyWay.GENTLER, "loudness: very quiet to quiet", "", "very quiet"),
        # a step louder, up to medium, with a warning up to loud; louder than that stays
        (CopyWay.LIVELIER, "loudness: very quiet", "", "quiet"),
        (CopyWay.LIVELIER, "loudness: quiet", "", "medium"),
        (CopyWay.LIVELIER, "loudness: medium", "", "medium"),
        (CopyWay.LIVELIER, "loudness: loud", "", "loud"),
        (CopyWay.LIVELIER, "loudness: medium, warn first: ready", "", "loud"),
        (CopyWay.LIVELIER, "loudness: loud, warn first: ready", "", "loud"),
        (CopyWay.LIVELIER, "loudness: very loud, warn first: ready", "", "very loud"),
        (CopyWay.LIVELIER, "loudness: quiet to medium", "", "medium"),
        # never above the class's ceiling
        (CopyWay.LIVELIER, "loudness: quiet", "comfort: {ceiling: quiet}\n", "quiet"),
        *[
            (
                CopyWay.LIVELIER,
                "loudness: medium, warn first: a",
                f"comfort: {{{more}}}\n",
                "medium",
            )
            for more in ("ceiling: medium", "introduce gently: yes")
        ],
    ],
)
def test_a_step_of_loudness(way: CopyWay, more: str, head: str, found: str) -> None:
    loudness = first(way, line(more), head).manner.loudness
    assert loudness is not None
    assert swell_text(loudness) == found


@pytest.mark.parametrize(
    ("way", "wait", "turn", "wait_then", "turn_then"),
    [
        # half as long again, at least 20 and 45 seconds, at most a minute, never shorter
        (CopyWay.GENTLER, 10, 30, 20, 45),
        (CopyWay.GENTLER, 13, 20, 20, 45),
        (CopyWay.GENTLER, 15, 34, 22, 51),  # 22.5 goes to the even second
        (CopyWay.GENTLER, 20, 40, 30, 60),
        (CopyWay.GENTLER, 41, 50, 60, 60),
        (CopyWay.GENTLER, 70, 90, 70, 90),
        (CopyWay.LIVELIER, 10, 30, 10, 30),
    ],
)
def test_waits_and_turns(
    way: CopyWay, wait: int, turn: int, wait_then: int, turn_then: int
) -> None:
    told = story(f"{line('')}      - wait: {wait}\n      - {{offer: cup, turn: {turn}}}\n")
    made = adapt(told, way)
    _, waited, offered = made.story.sections[0].items
    assert isinstance(waited, Wait)
    assert isinstance(offered, Offer)
    assert waited.least_sec == wait_then
    assert offered.turn_sec == turn_then
    said = {change.where: change.what for change in made.changes}
    wait_said = f"{wait_then} seconds instead of {wait}" if wait_then != wait else None
    assert said.get("The wait after “la la la la”") == wait_said


def test_waits_of_one_name_are_said_once_with_how_many() -> None:
    told = story(f"{line('')}      - wait: 10\n{line('')}      - wait: 10\n      - wait: 12\n")
    (said,) = [each for each in adapt(told, CopyWay.GENTLER).said if each.startswith("The wait")]
    assert said == (
        "The wait after “la la la la”: 20 seconds instead of 10 (2 times); 20 seconds instead of 12"
    )


@pytest.mark.parametrize(
    ("way", "lane", "tempo", "found"),
    [
        # gentler at 50 (43 then): a beat is 1.40 s, taps on beats stay
        (CopyWay.GENTLER, "| X . x . |", 50, "| x . x . |"),
        (CopyWay.GENTLER, "| X x x x |", 50, "| x s x s |"),
        (CopyWay.GENTLER, "| X t x . |", 50, "| x . x . |"),
        # at 70 (60 then) a beat is 1 s, less than 1.1: strong beats alone
        (CopyWay.GENTLER, "| X . x . |", 70, "| x . s . |"),
        (CopyWay.GENTLER, "| X _ x _ |", 70, "| x _ s _ |"),
        (CopyWay.GENTLER, "| X . . . | X . . . |", 70, "| x . . . | X . . . |"),
        # at 63 (54 then) 1.11 s
        (CopyWay.GENTLER, "| X . x . |", 63, "| x . x . |"),
        # none on a beat: what is there stays
        (CopyWay.GENTLER, "| . x . x |", 70, "| . x . x |"),
        # livelier at 60 (70 then): half a beat is 0.43 s, a quarter 0.21, less than 0.25
        (CopyWay.LIVELIER, "| X s s s |", 60, "| X x x x |"),
        (CopyWay.LIVELIER, "| X s t . |", 60, "| X x t . |"),
        (CopyWay.LIVELIER, "| xs s . . |", 60, "| xs x . . |"),
        (CopyWay.LIVELIER, "| ss s . . |", 60, "| xs x . . |"),
    ],
)
def test_fewer_taps_or_more(way: CopyWay, lane: str, tempo: int, found: str) -> None:
    made = first(way, line(f"tempo: {tempo}", lane)).lane
    assert made is not None
    assert lane_text(made) == found


def test_a_line_begins_without_an_accent_unless_it_is_warned_of() -> None:
    plain = first(CopyWay.GENTLER, line("", "| . X . . | X . . . |")).lane
    warned = first(CopyWay.GENTLER, line("warn first: ready", "| . X . . | X . . . |")).lane
    assert plain is not None
    assert warned is not None
    assert lane_text(plain) == "| . x . . | X . . . |"
    assert lane_text(warned) == "| . X . . | X . . . |"


def test_single_taps_keep_their_distance() -> None:
    lanes = {way: first(way, line("", "| x(loud, knuckles) . . . |")).lane for way in CopyWay}
    told = {way.value: lane_text(lane) for way, lane in lanes.items() if lane}
    assert told == {
        "gentler": "| x(medium, knuckles) . . . |",
        "livelier": "| x(loud, knuckles) . . . |",
        "short": "| x(loud, knuckles) . . . |",
    }
    quiet = first(CopyWay.LIVELIER, line("", "| x(very quiet) . . . |")).lane
    assert quiet is not None
    assert lane_text(quiet) == "| x(quiet) . . . |"


def test_a_return_is_adapted_as_lines_are() -> None:
    told = story(
        "      - {refrain: home, tempo: 70, loudness: loud}\n",
        "loudness: medium\nrefrains:\n  home:\n    - {words: row, loudness: quiet, tempo: 42}\n",
    )
    made = adapt(told, CopyWay.GENTLER)
    assert made.story.manner.loudness == (Loudness.QUIET,)
    back = made.story.sections[0].items[0]
    assert isinstance(back, RefrainUse)
    assert back.manner.loudness == (Loudness.MEDIUM,)
    assert back.manner.tempo == Tempo(Fraction(60))
    row = made.story.refrains[0].items[0]
    assert isinstance(row, Line)
    assert row.manner.loudness == (Loudness.VERY_QUIET,)
    assert row.manner.tempo == Tempo(Fraction(40))
    said = {(change.where, change.what) for change in made.changes}
    assert said >= {
        ("The story", "is called “T (gentler)”"),
        ("The story", "quiet instead of medium"),
        ("The return of “home”", "tempo 60 instead of 70"),
        ("The return of “home”", "medium instead of loud"),
        ("Line 1 of the refrain “home”", "tempo 40 instead of 42"),
        ("Line 1 of the refrain “home”", "very quiet instead of quiet"),
    }
    assert len(made.said) == len({change.where for change in made.changes})
    assert "The return of “home”: tempo 60 instead of 70; medium instead of loud" in made.said


def test_what_is_promised_is_what_is_tried_here() -> None:
    """The figures of this file, in the words a teacher reads."""
    gentler, livelier = BOUNDS[CopyWay.GENTLER], BOUNDS[CopyWay.LIVELIER]
    for promised in ("1.1 seconds", "at least 20 seconds", "at least 45", "a seventh slower"):
        assert promised in gentler
    assert "down to 40" in gentler
    for promised in ("a sixth faster", "up to 90", "0.25 seconds", "with a warning up to loud"):
        assert promised in livelier


@pytest.mark.parametrize(
    ("tapped", "said"),
    [
        (
            Tapped.BEATS,
            [("Line 1", "2 taps instead of 4"), ("Line 3", "1 tap instead of 2")],
        ),
        (
            Tapped.STRONG,
            [
                ("Line 1", "1 tap instead of 4"),
                ("Line 2", "2 taps instead of 3"),
                ("Line 3", "1 tap instead of 2"),
            ],
        ),
    ],
)
def test_fewer_taps_are_listed_line_by_line(tapped: Tapped, said: list[tuple[str, str]]) -> None:
    """Half a beat a step in 4/4: the beats are at 0, 2, 4 and 6, the strong ones at 0 and 4."""
    lines = (
        ("a b c d", "X x x x . . . ."),
        ("so we go", "x . x . x . . ."),
        ("e f", "X x . . . . . ."),
    )
    told = read_text(
        "tapscore: 2\ntitle: T\nmetre: 4/4\nstory:\n  - section: One\n    lines:\n"
        + "".join(f'      - {{words: {words}, lane: "| {lane} |"}}\n' for words, lane in lines)
    ).story
    assert told is not None
    made = _with_taps(Adapted(told, ()), tapped)
    assert [(change.where, change.what) for change in made.changes] == said


def test_a_copy_with_taps_on_the_beat_leaves_lines_silent_that_are_meant_so() -> None:
    """``x x x x`` of 2/4 has its beats at the first and third; ``s`` is said alone."""
    told = story(line("", "| x x x x |") + line("", "| s s s s |"))
    made = adapt(told, CopyWay.GENTLER, Tapped.BEATS).story.sections[0].items
    lanes = [lane_text(item.lane) for item in made if isinstance(item, Line) and item.lane]
    assert lanes == ["| x s x s |", "| s s s s |"]


@pytest.mark.parametrize("tempo", ["30 to 120", "120 to 30"])
def test_taps_of_a_changing_line_are_as_close_as_at_its_fastest(tempo: str) -> None:
    """At 103 a minute beats are 0.58 seconds apart, closer than 1.1."""
    lane = first(CopyWay.GENTLER, line(f"tempo: {tempo}", "| x x x x |")).lane
    assert lane is not None
    assert lane_text(lane) == "| x s s s |"
