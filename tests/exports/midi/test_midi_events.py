"""What stands in the tracks: metres, markers, cue points, words, parts and clicks."""

import subprocess
import sys
from fractions import Fraction

import pytest

from tapscore.exports.midi import ROLE_NOTES, bar_starts, click_guide, lyric, role_note, velocity
from tapscore.exports.midi_clock import TickClock, tempo_events
from tapscore.model.lane import Cell, Lane, Mark, TapDetail
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.story import Entrance, Line, Offer, RefrainUse, Story, Wait
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo
from tapscore.model.words import split_words
from tapscore.rhythm.perform import perform
from tests.exports.midi.midi_reading import absolute, notes, read, seconds_at, texts
from tests.exports.midi.midi_stories import ROLES, cell, guide_performance, lane, metre, story
from tests.hill import HEAD, line, lines_of


def _tempo_us(told: Story) -> list[int]:
    performance = perform(told)
    return [e.tempo_us for e in tempo_events(performance, TickClock(performance))]


def test_dotted_crotchet_72_is_555_556_us_a_crotchet() -> None:
    # 60 / 72 s over 1.5 crotchets = 0.5555... s: arithmetic; rounding is carried on.
    told = story(Line("Row", lane(*["x....."] * 20)), metre=metre("6/8"), tempo=Tempo(Fraction(72)))
    assert _tempo_us(told)[0] == 555_556
    assert set(_tempo_us(told)) <= {555_554, 555_555, 555_556}


def test_a_whole_number_of_microseconds_needs_one_event() -> None:
    told = story(Line("Row", lane(*["x......."] * 50)), tempo=Tempo(Fraction(60)))
    assert _tempo_us(told) == [1_000_000]


@pytest.mark.parametrize(
    ("name", "clocks"),
    # Clocks are 24 a crotchet (SMF 1.0, time signature); a click is a felt beat.
    [
        *(("2/4", 24), ("3/4", 24), ("4/4", 24), ("5/4", 24), ("2/2", 48)),
        *(("3/8", 36), ("6/8", 36), ("9/8", 36), ("12/8", 36)),
    ],
)
def test_time_signature_clocks(name: str, clocks: int) -> None:
    told = story(Line("Row", lane("x" + "." * (metre(name).steps - 1))), metre=metre(name))
    file = read(click_guide(told, guide_performance(told)))
    signatures = [m for _, m in absolute(file.tracks[0]) if m.type == "time_signature"]
    assert [f"{m.numerator}/{m.denominator}" for m in signatures] == [name]
    assert signatures[0].clocks_per_click == clocks
    assert signatures[0].notated_32nd_notes_per_beat == 8


def test_bars_start_anew_where_the_metre_or_the_grid_changes() -> None:
    told = story(
        Line("one", lane("xxxxxxxx", "xxxx")),  # ends in the middle of a bar
        Line("two", lane("xxxxxxxx")),  # so the bars start anew
        Line("three", lane("xxxxxxxx", pickup="x")),  # with a pickup: before the new downbeat
        Line("four", lane("xxxxxx"), PartialManner(metre=metre("6/8"))),
    )
    clock = TickClock(perform(told))
    found = [(clock.ticks(b.onset_beats), str(b.metre)) for b in bar_starts(perform(told))]
    quaver = 240
    third = 12 + 8 + 1
    assert found == [
        (0, "4/4"),
        (12 * quaver, "4/4"),
        (third * quaver, "4/4"),
        ((third + 8) * quaver, "6/8"),
    ]


def test_bars_that_go_on_in_step_need_no_new_start() -> None:
    bar = Line("two", lane("xxxxxxxx"))
    told = story(Line("one", lane("xxxxxxxx", "xxxx")), bar, bar, bar, Wait(Fraction(8)), bar)
    assert [b.onset_beats for b in bar_starts(perform(told))] == [0, 6]


def test_a_pickup_after_a_full_count_in_needs_no_new_bar() -> None:
    told = story(Line("the boat", lane("x.......", pickup="x")))
    assert len(bar_starts(guide_performance(told))) == 1


def test_markers_and_cue_points() -> None:
    told = story(
        Line("Out on the wa-ter", lane("xxxxx..."), props_in=(Entrance("beads", "middle"),)),
        RefrainUse("row home"),
        Wait(Fraction(8), "a reach"),
        Line("Crash", lane("X......."), warn_first="lean in", props_out=("beads",)),
        Offer("beads"),
        RefrainUse("row home"),
    )
    track = read(click_guide(told, guide_performance(told))).tracks[0]
    bar = 4 * 480
    assert texts(track, "marker") == [
        (0, "count-in"),
        (bar, "section: Evening"),
        (bar, "1: Out on the water"),
        (2 * bar, "refrain: row home (1)"),
        (2 * bar, "Row the lantern"),
        (5 * bar, "2: Crash"),
        (8 * bar, "refrain: row home (2)"),
        (8 * bar, "Row the lantern"),
    ]
    # 8 s at 60 are two bars; the offering is shortened to 10 s, two bars and a half rounded.
    assert texts(track, "cue_marker") == [
        (bar // 2, "beads in, to middle"),
        (3 * bar, "wait at least 8 seconds; look for a reach"),
        (4 * bar - 480, "beads out"),
        (4 * bar, "leader warns first: lean in"),
        (6 * bar, "offer beads: 1 turn of 30 seconds"),
    ]


def test_lyrics_join_up_to_the_words() -> None:
    said = [lyric(s) for s in split_words("Row the lan-tern, merry=go=round!")]
    assert said == ["Row ", "the ", "lan-", "tern, ", "merry-", "go-", "round! "]


def test_lyrics_in_many_scripts_come_back() -> None:
    told = story(Line("Cr\u00eape \u8239 \U0001f6f6x", lane("xxx.....")))
    words = read(click_guide(told, guide_performance(told))).tracks[1]
    assert [t for _, t in texts(words, "lyrics")] == ["Cr\u00eape ", "\u8239 ", "\U0001f6f6x "]


def test_text_that_utf_8_cannot_hold_is_replaced_not_fatal() -> None:
    told = story(Line("a\ud800b", lane("x.......")))
    words = read(click_guide(told, guide_performance(told))).tracks[1]
    assert [t for _, t in texts(words, "lyrics")] == ["a?b "]


def test_each_adult_has_a_part_and_a_sound() -> None:
    told = story(Line("Row", lane("xxx.....")), roles=ROLES, by=("everyone",))
    performance = guide_performance(told)
    file = read(click_guide(told, performance))
    assert [t.name for t in file.tracks] == [
        "A tale",
        "words",
        "leader",
        "beat-keeper",
        "second tapper",
        "clicks",
    ]
    used = [{note for _, _, note, _ in notes(t)} for t in file.tracks[2:5]]
    assert used == [{role_note(performance, role.name)} for role in ROLES]
    assert len(set().union(*used)) == 3
    assert {m.channel for t in file.tracks for m in t if m.type.startswith("note")} == {9}


def test_role_sounds_are_general_midi_percussion() -> None:
    # General MIDI level 1 percussion map: notes 35 to 81; 33 and 34 are not in it.
    assert all(35 <= note <= 81 for note in ROLE_NOTES)
    assert len(set(ROLE_NOTES)) == len(ROLE_NOTES)
    assert ROLE_NOTES[:2] == (76, 77)


def test_stroke_is_written_where_it_changes() -> None:
    told = story(
        Line("a", lane("xx......")),
        Line("b", lane("xx......"), PartialManner(stroke=Stroke.KNUCKLES)),
        Line("c", lane("xx......"), PartialManner(stroke=Stroke.KNUCKLES)),
    )
    part = read(click_guide(told, guide_performance(told))).tracks[2]
    assert texts(part, "text") == [(4 * 480, "fingertips"), (8 * 480, "knuckles")]


def test_a_held_tap_is_a_long_note_and_the_next_begins_after_it_ends() -> None:
    told = story(Line("Row home now", lane("x__xx..x")))
    track = read(click_guide(told, perform(told))).tracks[2]
    assert [(a, b) for a, b, _, _ in notes(track)] == [
        (0, 720),
        (720, 960),
        (960, 1200),
        (1680, 1920),
    ]
    kinds = [m.type for tick, m in absolute(track) if tick == 720]
    assert kinds == ["note_off", "note_on"]


def test_velocity_rises_and_an_accent_stays_below_the_next_step() -> None:
    plain = [velocity(Fraction(level)) for level in Loudness]
    accented = [velocity(Fraction(level), accent=True) for level in Loudness]
    assert plain == sorted(set(plain))
    assert all(low < high for low, high in zip(plain, accented, strict=True))
    assert all(low < high for low, high in zip(accented, plain[1:], strict=False))
    assert accented[-1] <= 127


def test_clicks_are_silent_in_waits_until_the_last_bar() -> None:
    told = story(
        Line("Row", lane("x.......")),
        Wait(Fraction(12)),
        Line("the boat", lane("x.......", pickup="xx")),
        Wait(Fraction(8)),
    )
    performance = guide_performance(told)
    file = read(click_guide(told, performance))
    seconds = seconds_at(file)
    clicked = [float(seconds[start]) for start, *_ in notes(file.tracks[-1])]
    wait = performance.segments[2]
    assert wait.beats == 11  # to the pickup of the line that follows
    lead = [t for t in clicked if wait.start_sec <= t < wait.start_sec + wait.length_sec - 1e-6]
    assert lead == pytest.approx([17.0, 18.0, 19.0], abs=1e-6)  # at the line's own 60 a minute
    assert max(clicked) < performance.segments[-1].start_sec
    assert [round(t) for t in clicked if t < 4] == [0, 1, 2, 3]


def test_a_story_without_lines_is_still_a_file() -> None:
    for told in (story(), Story("")):
        file = read(click_guide(told, guide_performance(told)))
        assert file.length == 0
        assert [t.name for t in file.tracks][1:] == ["words", "leader", "clicks"]


def test_an_empty_lane_and_a_line_without_one() -> None:
    told = story(Line("Row the boat"), Line("", Lane((), ())), Line("", lane("........")))
    file = read(click_guide(told, perform(told)))
    assert len(texts(file.tracks[1], "lyrics")) == 3
    assert notes(file.tracks[2]) == []


def test_importing_the_click_guide_loads_nothing_heavy() -> None:
    command = [sys.executable, "-c", "import sys, tapscore.exports.midi; print(*sys.modules)"]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert not {"mido", "numpy", "scipy", "soundfile", "pydub"} & set(loaded.stdout.split())


def test_a_return_is_marked_once_however_many_lines_it_has() -> None:
    head = f"{HEAD}refrains:\n  home:\n{line('Row')}{line('Home')}"
    told = lines_of("      - refrain: home\n" * 2, head)
    track = read(click_guide(told, guide_performance(told))).tracks[0]
    marks = [text for _, text in texts(track, "marker") if text.startswith("refrain")]
    assert marks == ["refrain: home (1)", "refrain: home (2)"]


def test_of_two_taps_of_one_adult_on_one_tick_the_first_counts() -> None:
    """A quaver of 600 parts is 240 ticks long: its first two taps fall on one."""
    first = Cell(Mark.SYLLABLE_TAPPED, detail=TapDetail(loudness=Loudness.LOUD))
    second = Cell(Mark.TAP_ALONE, detail=TapDetail(loudness=Loudness.VERY_QUIET))
    fine = (first, second, *[cell(".")] * 598)
    told = story(Line("Row", Lane((), ((fine, *[(cell("."),)] * 7),))))
    performance = perform(told)
    assert [tap.loudness for tap in performance.taps] == [Loudness.LOUD, Loudness.VERY_QUIET]
    part = read(click_guide(told, performance)).tracks[2]
    assert [loud for *_, loud in notes(part)] == [velocity(Fraction(int(Loudness.LOUD)))]
