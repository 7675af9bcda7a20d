"""Words that return, counts, and lines of a stanza: what each unlikeness costs."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.model.metre import Metre
from tapscore.words.fit import Fit, fit_line
from tapscore.words.fit_costs import FitWeights
from tapscore.words.line import read_line
from tapscore.words.returning import Returning, contrasted, counted, paired, returning, unlike_again
from tapscore.words.stanza import (
    Agreement,
    _candidate,
    _elsewhere,
    _first,
    _parallel,
    _same_opening,
    _Together,
    _unlike,
    fit_stanza,
)

TWO, THREE, FOUR, SIX = Metre(2, 4), Metre(3, 4), Metre(4, 4), Metre(6, 8)


def beats(*halves: int) -> tuple[Fraction, ...]:
    return tuple(Fraction(half, 2) for half in halves)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("one for me and one for you", [(0, 4, 2)]),
        ("shake it high shake it low", [(0, 3, 2)]),
        ("lantern glow lantern", [(0, 3, 2)]),
        ("row and row", []),
        ("to the boat to the sea", []),
        ("row the boat, row the boat, row the boat", [(0, 3, 3), (0, 6, 3)]),
        ("a b c", []),
    ],
)
def test_stretches_that_stand_twice(words: str, found: list[tuple[int, int, int]]) -> None:
    assert list(returning(read_line(words))) == [Returning(*one) for one in found]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("hands up hands down", [(0, 2, 2)]),
        ("umbrella up umbrella down", [(0, 4, 4)]),
        ("legs in legs out legs down", [(0, 2, 2), (2, 4, 2)]),
        ("hands up hands down again", []),
        ("hands up hands together", []),
        ("stomp stomp", []),
        ("to the boat to the sea", [(0, 3, 3)]),
        ("of the of the", []),
        ("Shoes off, socks off, costumes on", [(0, 2, 2)]),
        ("knit one, purl two, knit three", [(0, 2, 2), (2, 4, 2)]),
        ("up, down, up", []),
    ],
)
def test_parts_of_a_list_that_begin_alike(words: str, found: list[tuple[int, int, int]]) -> None:
    assert list(paired(read_line(words))) == [Returning(*one) for one in found]


@pytest.mark.parametrize(
    ("words", "runs"),
    [
        ("one two three four jump", [(0, 1, 2, 3)]),
        ("one two jump", []),
        ("stomp stomp stomp and stop stop", [(0, 1, 2)]),
        ("seven eight nine", [(0, 2, 3)]),
        ("hop one two three", [(1, 2, 3)]),
        ("one two three one for me", [(0, 1, 2)]),
    ],
)
def test_counts_and_one_word_said_often(words: str, runs: list[tuple[int, ...]]) -> None:
    assert list(counted(read_line(words))) == runs


@pytest.mark.parametrize(
    ("words", "small"),
    [
        ("my turn your turn", (0, 2)),
        ("my turn, your turn, my turn now", (0, 2, 4)),
        ("this one or that one", (0, 3)),
        ("who's got a ticket I've got a ticket", (0, 5)),
        ("on the bus off the bus", (0, 3)),
        ("oh my turn your turn", (1, 3)),
        ("my turn my turn", ()),
        ("red bus blue bus", ()),
        ("on the bus off a bus", ()),
        ("in the bag of the dog", ()),
        ("then one by one", ()),
        ("we wait and wait", ()),
        ("on the off the", ()),
        ("my your", ()),
    ],
)
def test_small_words_set_against_each_other(words: str, small: tuple[int, ...]) -> None:
    assert contrasted(read_line(words)) == small


@pytest.mark.parametrize(
    ("words", "signature"),
    [
        ("my turn your turn", TWO),
        ("who's got a bell I've got a bell", SIX),
        ("He has a hat, she has a hat", TWO),
    ],
)
def test_what_is_new_stands_on_a_beat(words: str, signature: Metre) -> None:
    """What was just said has no accent, what is set against it has one (Halliday 1967)."""
    said = read_line(words)
    found = fit_line(said, signature)[0]
    assert all(found.onsets_beats[at].denominator == 1 for at in contrasted(said))


@pytest.mark.parametrize(
    ("words", "metre", "halves", "cost"),
    [
        ("my turn your turn", TWO, (0, 1, 2, 3), 0.0),
        ("my turn your turn", TWO, (-1, 0, 1, 2), 8.0),
        ("my turn your turn", TWO, (0, 2, 3, 4), 4.0),
        ("one two three jump", TWO, (0, 2, 4, 6), 0.0),
        ("one two three jump", TWO, (0, 2, 5, 6), 8.0),
        ("one two three jump", TWO, (-2, 0, 2, 4), 5.0),
        ("jump one two three", TWO, (-2, 0, 2, 4), 0.0),
        ("shake it high shake it low", TWO, (0, 1, 2, 4, 5, 6), 0.0),
        ("shake it high shake it low", FOUR, (0, 1, 2, 4, 5, 6), 2.4),
        ("shake it high shake it low", FOUR, (0, 1, 4, 6, 7, 8), 3.0 + 4 / 3 + 1.8),
        ("shake it high shake it low", THREE, (0, 1, 2, 3, 4, 5), 7.2),
        ("shake it high shake it low", TWO, (0, 1, 2, 4, 6, 7), 3.0 + 8 / 3),
        ("hands up hands down", TWO, (0, 2, 4, 6), 0.0),
        ("hands up hands down", TWO, (0, 1, 2, 4), 2.0 + 0.9),
        ("row the boat", TWO, (0, 1, 2), 0.0),
        ("go go go go go", TWO, (0, 1, 2, 3, 5), 8.0),
    ],
)
def test_what_another_rhythm_of_the_same_words_costs(
    words: str, metre: Metre, halves: tuple[int, ...], cost: float
) -> None:
    assert unlike_again(read_line(words), beats(*halves), metre) == pytest.approx(cost)


def test_returning_words_cost_less_than_a_turned_stress() -> None:
    words = "row the boat row the boat row the boat row the boat"
    worst = beats(0, 1, 2, 3, 5, 8, 10, 11, 13, 14, 17, 18)
    assert unlike_again(read_line(words), worst, FOUR) == 10.0


def fit(*halves: int, bars: int = 1, metre: Metre = TWO, cost: float = 0.0) -> Fit:
    onsets = beats(*halves)
    return Fit(onsets, bars, max(Fraction(0), -onsets[0]), cost, metre)


def test_what_two_lines_are_compared_by() -> None:
    one = _candidate(fit(-1, 0, 1, 2))
    assert one.slots == (1 << 0) + (1 << 6) + (1 << 12)
    assert one.beats == 0b11
    assert one.tail_beats == 1.0
    assert _unlike(0b1110, 0b0111) == pytest.approx(0.5)
    assert _unlike(0b11, 0b11) == 0.0
    assert _unlike(0, 0) == 0.0
    assert _unlike(0b1, 0b10) == 1.0


def test_openings_that_are_the_same() -> None:
    def same(one: str, two: str) -> int:
        return _same_opening(read_line(one), read_line(two))

    assert same("row the boat", "Row the goat") == 2
    assert same("row the boat", "row a boat") == 0, "one syllable is none"
    assert same("lantern low", "lantern high") == 2
    assert same("lantern", "lander") == 0
    assert same("row the boat", "row the boat and go") == 3


@pytest.mark.parametrize(
    ("one", "two", "alike"),
    [
        ("up, up, up goes the kite", "tug, tug, tug on the string", 3),
        ("I can see a spider", "I can hear a lion", 1),
        ("I can see a spider", "you can hear the lion", 0),
        ("I can see a spider", "I can hear a lark", 0),
        ("up and up", "down we go", 0),
    ],
)
def test_lines_built_alike(one: str, two: str, alike: int) -> None:
    assert _parallel(read_line(one), read_line(two)) == alike


def test_lines_built_alike_get_one_rhythm() -> None:
    tugs = "Tug, tug, tug on the string"
    lines = ["Up, up, up goes the kite", tugs, "Down, down, down comes the kite"]
    fits = fit_stanza([read_line(line) for line in lines], TWO)
    assert len({one.onsets_beats for one in fits}) == 1


AGREE = Agreement()


def difference(one: Fit, two: Fit, opening: int = 0) -> float:
    together = _Together([], TWO, FitWeights(), AGREE)
    return together._difference(_candidate(one), _candidate(two), opening)


def test_what_it_costs_two_lines_to_be_unlike() -> None:
    plain = fit(0, 1, 2)
    assert difference(plain, plain) == 0.0
    assert difference(plain, evolve(plain, bars=2)) == pytest.approx(1.4 + 0.2 * 2)
    assert difference(plain, fit(-1, 0, 1, 2)) == pytest.approx(0.8)
    other = fit(0, 2, 3)
    slots = 8.0 * (1 - 2 / 4)
    assert difference(plain, other) == pytest.approx(slots + 0.2 * 0.5)
    assert difference(plain, other, opening=2) == pytest.approx(slots + 0.1 + 0.5)
    assert difference(plain, other, opening=3) == pytest.approx(slots + 0.1 + 2 / 3)
    assert _elsewhere(_candidate(plain), _candidate(other)) == pytest.approx(2 / 3)
    no_second = fit(0, 1, 3)
    assert difference(plain, no_second) == pytest.approx(0.4 * 0.5 + slots + 0.1)


def test_what_it_costs_that_lines_run_into_each_other() -> None:
    together = _Together([], TWO, FitWeights(), AGREE)

    def joint(last: Fit, following: Fit) -> float:
        return together._joint(_candidate(last), _candidate(following))

    assert joint(fit(0, 2), fit(0, 1)) == 0.0
    assert joint(fit(0, 2), fit(-1, 0)) == 0.0
    assert joint(fit(0, 2), fit(-2, 0)) == 6.0, "on the last syllable's place"
    assert joint(fit(0, 3), fit(-2, 0)) == 6.0
    tight = Fit((Fraction(0), Fraction(7, 4)), 1, Fraction(0), 0.0, TWO)
    assert joint(tight, fit(0, 1)) == 1.5
    assert joint(fit(0, 3), fit(0, 1)) == 0.0, "half a beat is room enough"


def test_the_first_candidate_of_a_kind() -> None:
    pool = tuple(map(_candidate, (fit(0, 1), fit(-1, 0), fit(0, 1, bars=2), fit(-1, 0, bars=2))))
    assert [_first(pool, bars, None) for bars in (1, 2, 3)] == [0, 2, 0]
    assert [_first(pool, None, lifted) for lifted in (True, False)] == [1, 0]
    assert _first(pool, 2, True) == 3


def test_bars_may_be_fixed_for_all_or_each() -> None:
    lines = [read_line("row the boat"), (), read_line("home we go now")]
    assert [one.bars for one in fit_stanza(lines, SIX, bars=2)] == [2, 2, 2]
    fits = fit_stanza(lines, SIX, bars=[1, None, 3])
    assert [one.bars for one in fits] == [1, fits[1].bars, 3]
    assert fits[1].onsets_beats == ()
    with pytest.raises(ValueError, match="zip"):
        fit_stanza(lines, SIX, bars=[1, 2])
