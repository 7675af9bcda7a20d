"""The performance: what happens when, by whom, how loudly."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.edits import write_out_refrain
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Offer, Story, Wait
from tapscore.model.strokes import Stroke
from tapscore.rhythm.perform import line_events, perform, turn_count
from tapscore.rhythm.performance import Performance, SegmentKind
from tapscore.rhythm.unroll import unroll
from tapscore.storyfile.read import read_text
from tests.strategies import plain_stories


def _story(lines: str, *, head: str = "metre: 6/8\ntempo: 60\n", more: str = "") -> Story:
    body = "".join(f"      {line}\n" for line in lines.strip("\n").split("\n"))
    source = read_text(
        f"tapscore: 2\ntitle: T\n{head}{more}story:\n  - section: One\n    lines:\n{body}"
    )
    assert source.findings == ()
    assert source.story is not None
    return source.story


def _performed(lines: str, *, head: str = "metre: 6/8\ntempo: 60\n", more: str = "") -> Performance:
    return perform(_story(lines, head=head, more=more))


ROLES = "roles: {leader: {}, beat-keeper: {}, second tapper: {}}\n"
LINE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"'


def test_times_of_a_line_by_hand() -> None:
    """6/8 at 60: two beats of a second, a quaver a third of a second."""
    taps = _performed(LINE).taps
    assert [tap.onset_sec for tap in taps] == [0.0, 2 / 3, 1.0, 5 / 3]
    assert [tap.length_sec for tap in taps] == [1 / 3] * 4
    assert [tap.syllable for tap in taps] == [0, 1, 2, 3]
    assert [tap.accent for tap in taps] == [True, False, True, False]


def test_each_syllable_is_where_its_tap_is() -> None:
    performance = _performed(LINE)
    (segment,) = performance.segments
    assert [s.syllable.text for s in segment.syllables] == ["Row", "the", "lan", "tern"]
    assert [s.onset_sec for s in segment.syllables] == [tap.onset_sec for tap in segment.taps]


def test_said_without_a_tap_and_tapped_without_a_syllable() -> None:
    performance = _performed('- words: oh my\n  lane: "| s t x . . . |"')
    assert [tap.onset_sec for tap in performance.taps] == [1 / 3, 2 / 3]
    assert [tap.syllable for tap in performance.taps] == [None, 1]
    assert [s.onset_sec for s in performance.segments[0].syllables] == [0.0, 2 / 3]


def test_ritardando_line_by_hand() -> None:
    """120 to 80 over 16 felt beats, four bars of 4/4, lasts 10 s; half way 4.5 s."""
    lane = "| X . . . . . . . | . . . . . . . . | X . . . . . . . | . . . . . . . x |"
    performance = _performed(
        f'- words: one two three\n  lane: "{lane}"\n  tempo: 120 to 80', head="metre: 4/4\n"
    )
    assert performance.length_sec == 10
    assert [tap.onset_sec for tap in performance.taps][:2] == [0, 4.5]
    # the last tap is half a beat before the end: 15.5*p0 + (p1-p0)*15.5**2/32
    assert performance.taps[2].onset_sec == float(
        Fraction(31, 4) + Fraction(1, 4) * Fraction(31, 2) ** 2 / 32
    )


def test_swell_runs_from_the_first_tap_to_the_last() -> None:
    performance = _performed(
        '- words: a b c d\n  lane: "| . x x x x . |"\n  loudness: quiet to very loud'
    )
    assert [tap.level for tap in performance.taps] == [1, 2, 3, 4]
    assert [tap.loudness.word for tap in performance.taps] == [
        *["quiet", "medium", "loud", "very loud"]
    ]


def test_a_tap_between_two_steps_has_the_nearest() -> None:
    performance = _performed(
        '- words: a b c d\n  lane: "| x x x x . . |"\n  loudness: quiet to loud'
    )
    assert [tap.level for tap in performance.taps] == [1, Fraction(5, 3), Fraction(7, 3), 3]
    assert [tap.loudness.word for tap in performance.taps] == ["quiet", "medium", "medium", "loud"]


def test_swell_up_and_down() -> None:
    performance = _performed(
        '- words: a b c d e\n  lane: "| x x x x x . |"\n  loudness: quiet to loud to quiet'
    )
    assert [tap.level for tap in performance.taps] == [1, 2, 3, 2, 1]


def test_one_tap_starts_a_swell() -> None:
    performance = _performed('- words: a\n  lane: "| . x |"\n  loudness: loud to quiet')
    assert [tap.level for tap in performance.taps] == [3]


def test_a_tap_may_have_its_own_manner() -> None:
    performance = _performed(
        '- words: a b c\n  lane: "| x x(loud, knuckles, edge, leader) x . . . |"\n'
        "  by: [beat-keeper, second tapper]\n  spot: middle\n  stroke: sweep",
        more=ROLES + "board: {size_cm: [90, 90], spots: {middle: [45, 45], edge: [45, 5]}}\n",
    )
    own = [tap for tap in performance.taps if tap.event == 1]
    assert [(t.role, t.level, t.stroke, t.spot) for t in own] == [
        ("leader", Fraction(3), Stroke.KNUCKLES, "edge")
    ]
    rest = [tap for tap in performance.taps if tap.event != 1]
    assert [(t.role, t.event) for t in rest] == [
        *[("beat-keeper", 0), ("second tapper", 0), ("beat-keeper", 2), ("second tapper", 2)]
    ]
    assert {(t.level, t.stroke, t.spot) for t in rest} == {(Fraction(1), Stroke.SWEEP, "middle")}


def test_everyone_is_every_role_in_order() -> None:
    performance = _performed('- words: a\n  lane: "| x |"\n  by: everyone', more=ROLES)
    assert [tap.role for tap in performance.taps] == ["leader", "beat-keeper", "second tapper"]


@pytest.mark.parametrize(
    ("roles", "taps"),
    [("", "leader"), (ROLES, "beat-keeper"), ("roles: {anna: {}, ben: {}}\n", "anna")],
)
def test_who_taps_where_nothing_is_said(roles: str, taps: str) -> None:
    performance = _performed('- words: a\n  lane: "| x |"', more=roles)
    assert [tap.role for tap in performance.taps] == [taps]


def test_nearest_manner_wins() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\ntempo: 60\nloudness: loud\nstory:\n"
        "  - section: One\n    tempo: 90\n    loudness: medium\n    lines:\n"
        '      - words: a\n        lane: "| x |"\n        tempo: 120\n'
        '      - words: b\n        lane: "| x |"\n'
        '  - section: Two\n    lines:\n      - words: c\n        lane: "| x |"\n'
    )
    story = read_text(text).story
    assert story is not None
    placed = unroll(story)
    assert [p.manner.tempo.start for p in placed] == [120, 90, 60]
    assert [p.manner.loudness for p in placed] == [
        (Loudness.MEDIUM,),
        (Loudness.MEDIUM,),
        (Loudness.LOUD,),
    ]


def test_a_refrain_returns_just_the_same() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\ntempo: 60\nrefrains:\n  home:\n"
        '    - words: row home\n      lane: "| X . . X . . |"\n      loudness: quiet to loud\n'
        "story:\n  - section: One\n    lines:\n      - refrain: home\n      - wait: 7\n"
        "  - section: Two\n    tempo: 200\n    loudness: very loud\n    metre: 3/4\n    lines:\n"
        "      - refrain: home\n"
    )
    story = read_text(text).story
    assert story is not None
    performance = perform(story)
    first, _, second = performance.segments
    assert (first.refrain_time, second.refrain_time) == (1, 2)
    assert first.manner == second.manner
    assert first.path == second.path == ("refrains", "home", 0)
    assert first.length_sec == second.length_sec
    for a, b in zip(first.taps, second.taps, strict=True):
        assert (a.level, a.stroke, a.role, a.syllable) == (b.level, b.stroke, b.role, b.syllable)
        assert b.onset_sec - second.start_sec == pytest.approx(a.onset_sec - first.start_sec)
    assert first.number is None
    assert performance.line_count == 0


def test_a_pickup_is_before_the_strong_beat() -> None:
    performance = _performed(
        '- words: a-way we\n  lane: "x | X x . . . |"\n'
        '- words: go home\n  lane: "x | X . . . . . |"'
    )
    clicks = [beat for beat in performance.beats if beat.downbeat]
    assert [beat.onset_sec for beat in clicks] == [1 / 3, 1 / 3 + 2]
    assert [tap.onset_sec for tap in performance.taps if tap.accent] == [1 / 3, 1 / 3 + 2]


def test_count_in_ends_where_the_bars_begin() -> None:
    story = _story('- words: a-way\n  lane: "x | X . . . . . |"')
    performance = perform(story, count_in_bars=1)
    count_in, line = performance.segments
    assert count_in.kind is SegmentKind.COUNT_IN
    # a bar of clicks, then five quavers more, and the pickup is the sixth
    assert count_in.beats == 2 + Fraction(5, 3)
    assert line.start_beats == count_in.beats
    downbeats = [beat.onset_beats for beat in performance.beats if beat.downbeat]
    assert downbeats == [0, 2, 4]
    accent = next(tap for tap in performance.taps if tap.accent)
    assert accent.onset_beats == 4


def test_count_in_without_a_pickup() -> None:
    performance = perform(_story(LINE), count_in_bars=2)
    assert performance.segments[0].beats == 4
    assert performance.segments[0].length_sec == 4.0


def test_an_offering_lasts_its_turns() -> None:
    story = _story(
        "- offer: beads\n  turn: 20",
        more="pupils: 6\nprops: {beads: {sets: 4}}\n",
    )
    offer = story.sections[0].items[0]
    assert isinstance(offer, Offer)
    assert turn_count(story, offer) == 2  # six pupils over four sets, rounded up
    (segment,) = perform(story).segments
    assert (segment.turns, segment.turn_sec, segment.length_sec) == (2, 20.0, 40.0)
    (short,) = perform(story, longest_offer_sec=Fraction(10)).segments
    assert short.length_sec == 10.0


def test_an_empty_story_has_an_empty_performance() -> None:
    performance = perform(Story("T"))
    assert performance.segments == ()
    assert performance.length_sec == 0
    assert performance.beats == ()


@given(plain_stories, st.integers(0, 2))
@settings(max_examples=80)
def test_segments_fill_the_time(story: Story, count_in: int) -> None:
    performance = perform(story, count_in_bars=count_in)
    beat, second = Fraction(0), Fraction(0)
    for segment in performance.segments:
        assert segment.start_beats == beat
        assert segment.start_sec == float(second) == performance.seconds(beat)
        assert segment.beats > 0
        beat += segment.beats
        end = performance.tempo_map.seconds(beat)
        assert segment.length_sec == float(end - second)
        second = end
    assert performance.length_sec == float(second)


@given(plain_stories, st.integers(0, 2))
@settings(max_examples=80)
def test_every_tap_is_where_the_story_says(story: Story, count_in: int) -> None:
    performance = perform(story, count_in_bars=count_in)
    placed = iter(unroll(story))
    for index, segment in enumerate(performance.segments):
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        here = next(placed)
        assert segment.path == here.path
        if isinstance(here.item, Wait):
            assert segment.length_sec == float(here.item.least_sec)
        if not isinstance(here.item, Line):
            assert not segment.taps
            assert not segment.syllables
            continue
        events, beats = line_events(here.item, here.manner.metre)
        assert segment.beats == beats
        first, last = 60 / here.manner.tempo.start, 60 / here.manner.tempo.last
        for tap in segment.taps:
            event = events[tap.event]
            assert tap.segment == index
            assert event.cell.mark.tapped
            assert tap.onset_beats == segment.start_beats + event.onset_beats
            assert tap.syllable == event.syllable
            assert 0 <= tap.level <= 4
            # closed form of a period that goes evenly from first to last
            x = event.onset_beats
            into = x * first + (last - first) * x * x / (2 * beats)
            start = performance.tempo_map.seconds(segment.start_beats)
            assert tap.onset_sec == float(start + into)
            end = float(start + (first + last) / 2 * beats)
            assert tap.onset_sec + tap.length_sec <= end + 1e-9
        assert [s.index for s in segment.syllables] == list(range(len(segment.syllables)))
        if here.item.lane is None:
            assert segment.taps == ()
            assert len(segment.syllables) == len(here.item.syllables)


@given(plain_stories)
@settings(max_examples=60)
def test_performing_is_a_pure_function(story: Story) -> None:
    assert perform(story) == perform(story)


@given(plain_stories)
@settings(max_examples=60)
def test_bars_are_in_step_across_a_wait(story: Story) -> None:
    """After a wait the next line's first downbeat falls where a bar of the beat grid starts."""
    performance = perform(story, count_in_bars=1)
    for before, after in zip(performance.segments, performance.segments[1:], strict=False):
        if before.kind in (SegmentKind.WAIT, SegmentKind.OFFER) and after.metre == before.metre:
            end = (before.bar_phase_beats + before.beats) % before.metre.beats
            assert end == after.bar_phase_beats % after.metre.beats


@given(plain_stories)
@settings(max_examples=60)
def test_beats_come_one_by_one(story: Story) -> None:
    performance = perform(story)
    onsets = [beat.onset_beats for beat in performance.beats]
    assert onsets == sorted(set(onsets))
    for beat in performance.beats:
        segment = performance.segments[beat.segment]
        assert segment.start_beats <= beat.onset_beats < segment.start_beats + segment.beats
        assert beat.onset_sec == performance.seconds(beat.onset_beats)


RETURNS = """tapscore: 2
title: T
tempo: 60
refrains:
  home:
    - {words: row, lane: "| x . . . . . . . |", loudness: loud}
  twice:
    - {refrain: home, stroke: knuckles}
    - {refrain: home, stroke: sweep, loudness: medium}
story:
  - section: One
    loudness: very loud
    lines:
      - refrain: home
      - {refrain: home, loudness: quiet, tempo: 50, says: [leader, helper], by: [helper]}
      - {refrain: twice, loudness: very quiet}
roles: {leader: , helper: }
"""


def test_a_return_may_differ_and_what_it_says_wins() -> None:
    story = read_text(RETURNS).story
    assert story is not None
    heard = [
        (s.manner.loudness, s.manner.tempo.start, s.manner.stroke, s.manner.by, s.manner.says)
        for s in perform(story).segments
    ]
    loud, quiet, hush = (Loudness.LOUD,), (Loudness.QUIET,), (Loudness.VERY_QUIET,)
    tips, lead = Stroke.FINGERTIPS, ("leader",)
    slow, usual = Fraction(50), Fraction(60)
    assert tuple(heard) == (
        (loud, usual, tips, lead, lead),
        (quiet, slow, tips, ("helper",), ("leader", "helper")),
        (hush, usual, Stroke.KNUCKLES, lead, lead),
        (hush, usual, Stroke.SWEEP, lead, lead),
    )
    assert [s.returned_path for s in perform(story).segments] == [
        ("story", 0, "lines", i) for i in (0, 1, 2, 2)
    ]
    assert [s.refrain_time for s in perform(story).segments] == [1, 2, 3, 4]


def test_writing_out_a_return_keeps_what_it_sounds_like() -> None:
    story = read_text(RETURNS).story
    assert story is not None
    for at in (0, 1, 2):
        written = write_out_refrain(story, ("story", 0, "lines", at))
        for before, after in zip(perform(story).taps, perform(written).taps, strict=True):
            assert (before.level, before.stroke, before.role) == (
                after.level,
                after.stroke,
                after.role,
            )
            assert before.onset_sec == after.onset_sec


def test_a_swell_and_a_slowing_on_a_section_go_through_its_lines() -> None:
    line = "      - words: la la la la\n        lane: '| x . x . x . x . |'\n"
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 4/4\nstory:\n  - section: One\n"
        f"    loudness: quiet to loud\n    tempo: 60 to 40\n    lines:\n{line * 4}"
    ).story
    assert story is not None
    lines = perform(story).lines
    levels = [float(tap.level) for segment in lines for tap in segment.taps]
    assert levels[0] == 1
    assert levels[-1] == 3
    assert levels == sorted(levels)
    tempos = [(segment.manner.tempo.start, segment.manner.tempo.last) for segment in lines]
    assert tempos[0][0] == 60
    assert tempos[-1][1] == 40
    assert all(before[1] == after[0] for before, after in pairwise(tempos))
    assert all(before[0] > before[1] for before in tempos)


def test_a_line_of_its_own_keeps_its_own_in_a_section_that_swells() -> None:
    line = "      - words: la la\n        lane: '| x . x . |'\n"
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nstory:\n  - section: One\n"
        f"    loudness: quiet to loud\n    lines:\n{line}{line}        loudness: very quiet\n{line}"
    ).story
    assert story is not None
    first, own, last = perform(story).lines
    assert {float(tap.level) for tap in own.taps} == {0}
    assert float(first.taps[0].level) == 1
    assert float(last.taps[-1].level) == 3


def test_one_adult_taps_elsewhere_and_otherwise_at_once() -> None:
    """An adult's own word on a tap holds; what it leaves open is the tap's, then the line's."""
    performance = _performed(
        "- words: a b\n"
        '  lane: "| x(loud, edge; leader: knuckles; helper: door, quiet) x . . . . |"\n'
        "  by: [leader, helper]\n  spot: middle\n  stroke: sweep",
        more="roles: {leader: , helper: }\nboard: {size_cm: [90, 90], "
        "spots: {middle: [45, 45], edge: [45, 5], door: [5, 5]}}\n",
    )
    assert [
        (tap.event, tap.role, tap.stroke, tap.spot, int(tap.level)) for tap in performance.taps
    ] == [
        (0, "leader", Stroke.KNUCKLES, "edge", 3),
        (0, "helper", Stroke.SWEEP, "door", 1),
        (1, "leader", Stroke.SWEEP, "middle", 1),
        (1, "helper", Stroke.SWEEP, "middle", 1),
    ]
