"""The guide's own figures, written by hand: how loud, how high, how long, and on which side.

The house's figures (levels of clicks and tones, steps of loudness, sides) are by ear, no source;
here they stand a second time, so that none changes unseen.
"""

from fractions import Fraction
from math import log10

import numpy as np
import pytest
from attrs import evolve

from tapscore.exports.audio.click_sound import click_sound
from tapscore.exports.audio.clicks import clicks
from tapscore.exports.audio.cue_tones import cue_tone
from tapscore.exports.audio.cues import CueKind, cues
from tapscore.exports.audio.heard import TapsHeard
from tapscore.exports.audio.levels import Levels, safe_gain_db
from tapscore.exports.audio.plan import PlacedSound, pans, plan
from tapscore.exports.audio.sound import Sound, amplitude, faded, frames, times_sec
from tapscore.exports.audio.tap_gain import tap_gain_db
from tapscore.model.board import Board, Named, Point
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Role, Story
from tapscore.rhythm.perform import perform
from tests.exports.audio.audio_stories import guide_performance, lane, story, varied

RATE = 48_000


def highest_hz(sound: Sound, begin_sec: float, end_sec: float) -> float:
    """The strongest frequency of a part of a sound, to 0.5 Hz."""
    part = sound[round(begin_sec * RATE) : round(end_sec * RATE)].astype(np.float64)
    return float(np.abs(np.fft.rfft(part * np.hanning(len(part)), 2 * RATE)).argmax()) / 2


# of each tone the notes: when it may be heard alone, from and to, and its pitch (A is 440 Hz,
# a semitone the twelfth root of two)
NOTES = {
    CueKind.WAIT: [(0.2, 1.4, "G4")],
    CueKind.OFFER: [(0.1, 0.4, "G4"), (0.7, 1.4, "C5")],
    CueKind.PROPS_IN: [(0.0, 0.15, "C5"), (0.35, 0.6, "G5")],
    CueKind.PROPS_OUT: [(0.0, 0.15, "G5"), (0.35, 0.6, "C5")],
    CueKind.WARN_FIRST: [(0.02, 0.16, "D4"), (0.22, 0.36, "D4"), (0.45, 0.85, "F4")],
    CueKind.SECTION: [(0.1, 1.3, "E5")],
}
SEMITONES = {"D4": -7, "F4": -4, "G4": -2, "C5": 3, "E5": 7, "G5": 10}
LENGTHS_SEC = {
    CueKind.WAIT: 1.6,
    CueKind.OFFER: 1.65,
    CueKind.PROPS_IN: 0.61,
    CueKind.PROPS_OUT: 0.61,
    CueKind.WARN_FIRST: 0.9,
    CueKind.SECTION: 1.5,
}


@pytest.mark.parametrize("kind", NOTES)
def test_the_notes_of_each_tone(kind: CueKind) -> None:
    """What comes in rises, what goes out falls, an offer rises, a warning knocks twice."""
    tone = cue_tone(kind)
    for begin_sec, end_sec, name in NOTES[kind]:
        wanted = 440 * 2 ** (SEMITONES[name] / 12)
        assert highest_hz(tone, begin_sec, end_sec) == pytest.approx(wanted, abs=0.5)
    assert len(tone) / RATE == pytest.approx(LENGTHS_SEC[kind], abs=0.001)
    assert not tone.flags.writeable
    assert cue_tone(kind) is tone


# of each tone's last note: when it begins, how long it lasts, and its partials beside its own
# pitch as shares of it: wood and a hollow thing sound dull, a bell bright (by ear, no source)
PARTIALS = {
    CueKind.WAIT: (0.0, 1.6, {2.0: 0.12}),
    CueKind.OFFER: (0.45, 1.2, {2.0: 0.12}),
    CueKind.PROPS_IN: (0.16, 0.45, {3.9: 0.25, 9.2: 0.05}),
    CueKind.PROPS_OUT: (0.16, 0.45, {3.9: 0.25, 9.2: 0.05}),
    CueKind.WARN_FIRST: (0.4, 0.5, {3.0: 0.2, 5.0: 0.08}),
    CueKind.SECTION: (0.0, 1.5, {2.0: 0.35, 2.76: 0.3, 5.4: 0.12}),
}


@pytest.mark.parametrize("kind", PARTIALS)
def test_the_partials_of_each_tone(kind: CueKind) -> None:
    """By least squares; each falls by 4.5 nepers in the note's length, the higher the faster."""
    begin_sec, length_sec, partials = PARTIALS[kind]
    # from when it is heard alone and at its full height, to its last quarter, which is faded
    t = np.arange(round(0.15 * RATE), round(0.74 * length_sec * RATE)) / RATE
    part = cue_tone(kind)[round(begin_sec * RATE) + round(0.15 * RATE) :][: len(t)]
    hz = 440 * 2 ** (SEMITONES[NOTES[kind][-1][2]] / 12)
    columns = [
        np.exp(-4.5 * t / length_sec * ratio**0.6) * np.sin(2 * np.pi * hz * ratio * t)
        for ratio in (1, *partials)
    ]
    (own, *others), left, *_ = np.linalg.lstsq(np.array(columns).T, part.astype(float), rcond=None)
    assert np.array(others) / own == pytest.approx(list(partials.values()), rel=0.06)
    assert left[0] < 0.002 * float(part @ part)


def test_a_tone_swells_in_as_the_square_of_a_sine() -> None:
    """Half as high after half of its twelve hundredths of a second as if it had begun at once."""
    t = np.arange(round(0.2 * RATE)) / RATE
    at_once = sum(
        share * np.exp(-4.5 * t / 1.6 * ratio**0.6) * np.sin(2 * np.pi * 392 * ratio * t)
        for ratio, share in ((1, 1), (2, 0.12))
    )
    tone = cue_tone(CueKind.WAIT)[: len(t)].astype(float)

    def high(from_sec: float, to_sec: float) -> float:
        part = slice(round(from_sec * RATE), round(to_sec * RATE))
        return float(tone[part] @ at_once[part] / (at_once[part] @ at_once[part]))

    assert high(0.055, 0.065) / high(0.13, 0.19) == pytest.approx(0.5, abs=0.02)


def test_a_warning_grows_and_other_tones_fall() -> None:
    def loudest(kind: CueKind, begin_sec: float, end_sec: float) -> float:
        part = cue_tone(kind)[round(begin_sec * RATE) : round(end_sec * RATE)]
        return float(np.abs(part).max())

    warning = [loudest(CueKind.WARN_FIRST, at, at + 0.15) for at in (0.0, 0.2, 0.4)]
    assert warning[0] * 1.2 < warning[1] < warning[2] / 1.2
    for kind, length in LENGTHS_SEC.items():
        if kind is not CueKind.WARN_FIRST:
            assert loudest(kind, length * 0.8, length) < 0.35 * loudest(kind, 0, length)
    # tones swell in: none of them begins with a knock, and the wait's the most softly
    for kind, rise_sec in {
        CueKind.WAIT: 0.1,
        CueKind.OFFER: 0.05,
        CueKind.WARN_FIRST: 0.02,
    }.items():
        assert loudest(kind, 0, rise_sec / 4) < 0.5 * loudest(kind, 0, 2 * rise_sec)


@pytest.mark.parametrize(("downbeat", "hz"), [(False, 1900), (True, 2500)])
def test_clicks_are_short_and_high(downbeat: bool, hz: float) -> None:
    click = click_sound(downbeat=downbeat)
    assert highest_hz(click, 0, 0.03) == pytest.approx(hz, rel=0.02)
    assert len(click) / RATE == pytest.approx(0.035)
    # a second, higher partial with two fifths of the first makes it dry
    power = np.abs(np.fft.rfft(click.astype(float), RATE))
    assert power[round(1.62 * hz)] / power[round(hz)] == pytest.approx(0.4, abs=0.05)
    # fallen by 40 dB within 30 ms: drier than any tap
    assert np.abs(click[round(0.03 * RATE) :]).max() < 0.01 * np.abs(click).max()
    assert not click.flags.writeable


LEVELS_DB = {0: -20.0, 1: -15.0, 2: -10.0, 3: -5.0, 4: 0.0}


def test_a_step_of_loudness_is_five_decibels_and_an_accent_two() -> None:
    """Common practice, no source."""
    for level, db in LEVELS_DB.items():
        assert tap_gain_db(Fraction(level)) == db
        assert tap_gain_db(Fraction(level), accent=True) == db + 2
    assert tap_gain_db(Fraction(3, 2)) == -12.5
    assert tap_gain_db(Fraction(-1)) == -20
    assert tap_gain_db(Fraction(9), accent=True) == 2


def _gain_db(placed: PlacedSound) -> float:
    return 20 * log10((placed.left**2 + placed.right**2) ** 0.5)


def test_every_sound_of_the_guide_and_its_level() -> None:
    """Clicks 22 and 18.5 dB, tones 15 dB below a very loud tap; two adults tap everything."""
    told = varied()
    performance = guide_performance(told)
    found = plan(told, performance)
    assert [placed.start_frame for placed in found] == sorted(p.start_frame for p in found)
    known = {id(click_sound(downbeat=True)): "downbeat", id(click_sound(downbeat=False)): "beat"}
    known |= {id(cue_tone(kind)): kind.value for kind in NOTES}
    heard: dict[str, list[PlacedSound]] = {}
    for placed in found:
        heard.setdefault(known.get(id(placed.sound), "tap"), []).append(placed)
    levels = {name: {round(_gain_db(each), 6) for each in those} for name, those in heard.items()}
    quiet, accented = LEVELS_DB[1], LEVELS_DB[1] + 2
    assert levels == {
        "tap": {quiet, accented},
        "downbeat": {-18.5},
        "beat": {-22.0},
        **{kind.value: {-15.0} for kind in NOTES},
    }
    assert len(heard["tap"]) == len(performance.taps) == 14
    told_sec = {cue.kind.value: cue.onset_sec for cue in cues(performance)}
    for kind in NOTES:
        (placed,) = heard[kind.value]
        assert placed.start_frame == round(told_sec[kind.value] * RATE)
        assert placed.left == pytest.approx(placed.right)
    for name, downbeat in (("downbeat", True), ("beat", False)):
        assert [placed.start_frame for placed in heard[name]] == [
            round(click.onset_sec * RATE)
            for click in clicks(performance)
            if click.downbeat is downbeat
        ]


SEATS = {
    "north": (600, 900),
    "east": (1200, 450),
    "south": (600, 0),
    "west": (0, 450),
    "corner": (1200, 900),
    "north-west": (0, 900),
    "south-east": (1200, 0),
}
# Who leads looks to the board's middle.  A full half of the board's longer side (600 mm) aside is
# 0.4 of the way to one ear: the short sides' seats are that far from north and south, and north
# and south 450 mm from the line of east and west.
SIDES = {
    "north": {"east": -0.4, "south": 0.0, "west": 0.4},
    "south": {"north": 0.0, "east": 0.4, "west": -0.4},
    "east": {"north": 0.3, "south": -0.3, "west": 0.0},
    "west": {"north": -0.3, "south": 0.3, "east": 0.0},
    # looks along a diagonal of 1500 by 3-4-5: west lies (-1200, -450) away, 360 mm to the right
    # and the other corners 720 mm to a side: no farther than a half of the longer side counts
    "corner": {"west": 0.24, "south": -0.24, "north-west": 0.4, "south-east": -0.4},
}


@pytest.mark.parametrize("leads", SIDES)
def test_on_which_side_each_adult_is_heard(leads: str) -> None:
    seats = tuple(Named(n, Point(Fraction(x), Fraction(y))) for n, (x, y) in SEATS.items())
    board = Board(Fraction(1200), Fraction(900), seats=seats)
    others = SIDES[leads]
    roles = (Role("leader", leads), *(Role(f"at {seat}", seat) for seat in others), Role("stands"))
    found = pans(Story("t", board=board, roles=roles))
    wanted = {"leader": 0.0, "stands": 0.0} | {f"at {seat}": pan for seat, pan in others.items()}
    assert found == pytest.approx(wanted)
    assert set(pans(Story("t", board=board, roles=roles), TapsHeard(mono=True)).values()) == {0.0}


def test_without_seats_adults_are_spread_evenly() -> None:
    def spread(*names: str) -> list[float]:
        told = Story("t", roles=tuple(Role(name) for name in names))
        return [pans(told)[name] for name in names]

    assert spread("a") == [0]
    assert spread("a", "b") == pytest.approx([-0.4, 0.4])
    assert spread("a", "b", "c") == pytest.approx([-0.4, 0, 0.4])
    assert spread("a", "b", "c", "d", "e") == pytest.approx([-0.4, -0.2, 0, 0.2, 0.4])
    # a leader who sits where there is no seat listens from nowhere
    board = Board(Fraction(1200), Fraction(900))
    nowhere = Story("t", board=board, roles=(Role("a", "moon"), Role("b", "moon")))
    assert pans(nowhere) == pytest.approx({"a": -0.4, "b": 0.4})
    # a leader without a seat listens from nowhere too, wherever the others sit
    east = evolve(board, seats=(Named("east", Point(Fraction(1200), Fraction(450))),))
    stands = Story("t", board=east, roles=(Role("a"), Role("b", "east"), Role("c", "east")))
    assert pans(stands) == pytest.approx({"a": -0.4, "b": 0, "c": 0.4})
    # who sits in the middle looks north
    middle = evolve(
        board,
        seats=(
            Named("mid", Point(Fraction(600), Fraction(450))),
            Named("near", Point(Fraction(450), Fraction(700))),
            *(Named(n, Point(Fraction(x), Fraction(y))) for n, (x, y) in SEATS.items()),
        ),
    )
    inside = Story(
        "t",
        board=middle,
        roles=(Role("a", "mid"), Role("b", "east"), Role("c", "south"), Role("d", "near")),
    )
    assert pans(inside) == pytest.approx({"a": 0, "b": 0.4, "c": 0, "d": -0.1})


@pytest.mark.parametrize("pan", [-0.4, -0.2, 0.0, 0.3, 0.4])
def test_a_side_costs_no_power_and_left_is_left(pan: float) -> None:
    """The sine and cosine law: the sum of both squares is the same everywhere."""
    told = story(Line("a", lane("t.......")), roles=("a", "b"), by=("b",), heading="")
    x = Fraction(600) + Fraction(str(pan)) * Fraction(1500)
    board = Board(
        Fraction(1200),
        Fraction(900),
        seats=(
            Named("s", Point(Fraction(600), Fraction(0))),
            Named("n", Point(x, Fraction(900))),
        ),
    )
    told = evolve(told, board=board, roles=(Role("a", "s"), Role("b", "n")))
    tap = _tap_of(told)
    assert tap.left**2 + tap.right**2 == pytest.approx(10 ** (LEVELS_DB[1] / 10))
    assert np.sign(round(tap.right - tap.left, 9)) == np.sign(pan)


def test_a_stranger_s_taps_come_from_the_middle_as_a_first_hand_s() -> None:
    """Who is no role of the story is told of; her taps are heard meanwhile."""
    told = story(Line("a", lane("t.......")), roles=("a", "b"), by=("c",), heading="")
    tap = _tap_of(told)
    assert tap.left == pytest.approx(tap.right)
    own = [_tap_of(evolve(told, manner=evolve(told.manner, by=(name,)))) for name in ("a", "b")]
    assert [tap.sound is each.sound for each in own] == [True, False]


def _tap_of(told: Story) -> PlacedSound:
    clicked = {id(click_sound(downbeat=True)), id(click_sound(downbeat=False))}
    (tap,) = (each for each in plan(told, perform(told)) if id(each.sound) not in clicked)
    return tap


def test_the_file_is_as_loud_as_speech_and_never_at_full_scale() -> None:
    """AES TD1008 anchors speech at -18 LUFS; EBU R 128 allows -1 dBTP; 1 dB more for MP3."""
    assert safe_gain_db(Levels(-40.0, -40.0), lossy=False) == 22
    assert safe_gain_db(Levels(-30.0, -2.0), lossy=False) == 1
    assert safe_gain_db(Levels(-30.0, -2.0), lossy=True) == 0
    assert safe_gain_db(Levels(-18.0, -12.0), lossy=True) == 0


@pytest.mark.parametrize(
    ("ceiling", "level", "accent", "heard"),
    [
        (None, 4, True, (4, True)),
        (Loudness.LOUD, 4, True, (3, False)),
        (Loudness.LOUD, 3, True, (3, False)),
        (Loudness.LOUD, 2, True, (2, True)),
        (Loudness.VERY_QUIET, 1, False, (0, False)),
    ],
)
def test_a_ceiling_for_sensitive_ears(
    ceiling: Loudness | None, level: int, accent: bool, heard: tuple[int, bool]
) -> None:
    (tap,) = perform(story(Line("a", lane("t.......")))).taps
    found = TapsHeard(loudest=ceiling).tap(evolve(tap, level=Fraction(level), accent=accent))
    assert found.level == heard[0]
    assert found.accent is heard[1]


def test_seconds_frames_and_decibels() -> None:
    assert frames(0.5) == 24_000
    assert frames(1 / 96_001) == 0
    assert frames(1 / 95_999) == 1
    assert times_sec(3).tolist() == [0, 1 / 48_000, 2 / 48_000]
    assert [amplitude(db) for db in (0, 20, -20)] == [1, 10, 0.1]
    assert amplitude(-6) == pytest.approx(0.5, abs=0.002)


def test_a_sound_falls_to_nothing_at_its_end_alone() -> None:
    ones = np.ones(4_800)
    found = faded(ones, 0.05)
    assert (found[:2_400] == 1).all()
    assert found[-1] == pytest.approx(0, abs=1e-12)
    # half way down the fade a quarter turn of a cosine squared is a half
    assert found[3_600] == pytest.approx(0.5, abs=0.001)
    assert (np.diff(found) <= 0).all()
    assert ones.all(), "what was given stays as it is"
    assert faded(np.ones(10), 1.0)[0] == 1
