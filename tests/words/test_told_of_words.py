"""What is said to the teacher of a fit and of a metre; features of texts, worked by hand."""

import math
from fractions import Fraction

import pytest

from tapscore.model.metre import Metre, parse_metre
from tapscore.words import suggest_metre as suggesting
from tapscore.words.explain import (
    NO_CHANGE,
    clashes,
    explain_fit,
    strong_beats_move,
    turned_words,
    what_changes,
    word_shown,
)
from tapscore.words.fit import Fit
from tapscore.words.fit_costs import FitWeights
from tapscore.words.line import read_line
from tapscore.words.suggest_metre import (
    FAMILIES,
    MetreSuggestion,
    _cost_of_rocking,
    _metre,
    _reason,
    confidences,
    family,
    suggest_metre,
    suggest_metres,
    text_features,
)

TWO, FOUR, SIX = Metre(2, 4), Metre(4, 4), Metre(6, 8)


def placed(text: str, *halves: int, metre: Metre = TWO, bars: int = 2) -> tuple[str, Fit]:
    """Words and their fit, in half beats from the first downbeat."""
    onsets = tuple(Fraction(half, 2) for half in halves)
    return text, Fit(onsets, bars, max(Fraction(0), -onsets[0]), 0.0, metre)


ALL = "The stressed syllables fall on the beats: "


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (placed("row the boat", 0, 1, 2), f"{ALL}ROW and BOAT."),
        (
            placed("stamp clap jump hop spin", 0, 2, 4, 6, 8, bars=3),
            f"{ALL}STAMP, CLAP, JUMP, HOP and so on.",
        ),
        (placed("stamp clap jump hop", 0, 2, 4, 6), f"{ALL}STAMP, CLAP, JUMP and HOP."),
        (
            placed("row the boat", 0, 1, 3),
            "Most stressed syllables fall on the beats, but “boat” comes between two beats.",
        ),
        (
            placed("row the big boat", 1, 2, 3, 5),
            "Most stressed syllables fall on the beats, but “row” and “boat” come between two "
            "beats.",
        ),
        (
            placed("the lan-tern", -1, 0, 1),
            f"{ALL}LAN-tern; “the” leads in before the first strong beat.",
        ),
        (
            placed("o-ver the sea", -3, -2, -1, 0),
            "o-VER lands on the strong beat, though the word is said O-ver; “over the” lead in "
            "before the first strong beat.",
        ),
        (
            placed("it was", -1, 0),
            "These are light words; the first strong beat is on “was”; “it” leads in before the "
            "first strong beat.",
        ),
        (
            placed("butterfly", -2, -1, 0),
            "but-ter-FLY lands on the strong beat, though the word is said BUT-ter-fly; “butter” "
            "lead in before the first strong beat.",
        ),
        (
            placed("butterfly", 1, 2, 3),
            "but-TER-fly lands on the strong beat, though the word is said BUT-ter-fly.",
        ),
        (("", placed("a", 0)[1]), "There are no words to fit in this line."),
        (("a", Fit((), 1, Fraction(0), 0.0, TWO)), "There are no words to fit in this line."),
    ],
)
def test_one_sentence_on_a_fit(line: tuple[str, Fit], told: str) -> None:
    words, fit = line
    assert explain_fit(read_line(words), fit) == told


def test_which_syllables_stand_against_the_stress() -> None:
    said = read_line("a butterfly away")
    _, fit = placed("", -3, -2, -1, 0, 1, 2)
    assert [(c.light, c.heavy) for c in turned_words(said, fit)] == [(3, 1)]
    assert [(c.light, c.heavy) for c in clashes(said, fit)] == []
    _, other = placed("", -2, -1, 0, 1, 2, 3)
    assert [(c.light, c.heavy) for c in turned_words(said, other)] == [(2, 1), (4, 5)]
    assert [(c.light, c.heavy) for c in clashes(said, other)] == [(2, 1), (2, 3), (4, 5)]
    assert [word_shown(said, at) for at in (0, 2, 5)] == ["A", "but-TER-fly", "a-WAY"]


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ((0, 1, 4), (0, 1, 4), NO_CHANGE),
        ((0, 1, 4), (0, 1, 3), "BOAT no longer on the strong beat."),
        ((0, 1, 3), (0, 1, 4), "BOAT comes on the strong beat."),
        ((0, 1, 2), (-1, 0, 4), "THE and BOAT come on the strong beat; ROW no longer does."),
        ((-1, 0, 4), (0, 1, 2), "ROW comes on the strong beat; THE and BOAT no longer do."),
        ((0, 1, 3), (0, 2, 3), "The strong beats stay, “the” between them moves."),
        ((0, 1, 2), (0, 2, 3), "The strong beats stay, “the” and “boat” between them move."),
    ],
)
def test_what_is_heard_otherwise(
    before: tuple[int, ...], after: tuple[int, ...], told: str
) -> None:
    said = read_line("row the boat")
    one, two = placed("", *before)[1], placed("", *after)[1]
    assert what_changes(said, one, two) == told
    assert strong_beats_move(one, two) == ("strong beat" in told and "stay" not in told)
    longer = Fit(two.onsets_beats, 1, two.pickup_beats, 0.0, TWO)
    end = "1 bar instead of 2."
    shorter = what_changes(said, one, longer)
    assert shorter == (end if told == NO_CHANGE else f"{told[:-1]}; {end}")


LINES = [
    read_line(words)
    for words in ("Merrily merrily tumbling home", "Row the boat", "hush little star")
]


def test_features_of_three_lines_counted_by_hand() -> None:
    """Syllables 9, 3 and 4; stresses on 1, 4, 7, 9; on 1 and 3; on 1, 2 and 4."""
    found = text_features(LINES)
    middle = 16 / 3
    spread = math.sqrt(((9 - middle) ** 2 + (3 - middle) ** 2 + (4 - middle) ** 2) / 3)
    by_hand = {
        **{"run0": 1 / 7, "run1": 3 / 7, "run2": 2 / 7, "run3": 0, "run4": 0},
        **{"lead0": 1, "lead1": 0, "lead2": 0, "length": middle / 10, "stresses": 9 / 3 / 5},
        **{"spread": spread / 4, "four": 1 / 3, "sounds": 1 / 16, "again": 3 / 16},
        **{"threes": 1 / 3, "pairs": 1 / 3, "restful": 1 / 3, "always": 1},
    }
    assert {name: found[name] for name in by_hand} == pytest.approx(by_hand)
    assert set(found) == {*by_hand, "cost"}
    late = text_features([read_line("to the boat"), read_line("and it was"), read_line("a boat")])
    assert (late["lead0"], late["lead1"], late["lead2"]) == pytest.approx((0, 1 / 3, 2 / 3))


def test_how_much_dearer_rocking_is() -> None:
    """A third of the mean difference of costs, each at most 6."""

    class Dear(FitWeights):
        def __getitem__(self, name: str) -> float:
            return {"beats:6/8": 2.0, "beats:4/4": 0.5}.get(name.rsplit(":", 1)[0], 0.0)

    assert _cost_of_rocking(LINES, Dear()) == pytest.approx(0.5)
    assert _cost_of_rocking([], Dear()) == 0.0
    assert _cost_of_rocking([read_line("row the boat " * 15)], Dear()) == 0.0, "too long to weigh"

    class Dearer(FitWeights):
        def __getitem__(self, name: str) -> float:
            return 9.0 if name.startswith("beats:6/8") else 0.0

    assert _cost_of_rocking(LINES[:1], Dearer()) == pytest.approx(2.0)


def test_beliefs_sum_to_one() -> None:
    weights = {"even": {"a": 1.0}, "rocking": {"a": 2.0, "b": 1.0}, "swaying": {}}
    found = confidences({"a": 1.0, "b": -1.0, "c": 9.0}, weights)
    whole = 2 * math.e + 1
    assert found == pytest.approx(
        {"even": math.e / whole, "rocking": math.e / whole, "swaying": 1 / whole}
    )
    assert tuple(found) == FAMILIES


def test_families_of_metres() -> None:
    kinds = {"2/4": "even", "4/4": "even", "3/4": "swaying", "6/8": "rocking", "9/8": "rocking"}
    for name, kind in kinds.items():
        metre = parse_metre(name)
        assert metre is not None
        assert family(metre) == kind


def test_short_lines_go_in_two_and_long_ones_in_four() -> None:
    short = read_line("Mary had a little lamb")
    long = read_line("Over the hills and over the mountains we go and back again")
    assert str(_metre("even", [short])) == "2/4"
    assert str(_metre("even", [long])) == "4/4"
    assert str(_metre("even", [short, short, short, short, short, long])) == "2/4"
    beats = read_line("stamp clap jump hop spin")
    assert str(_metre("even", [beats])) == "4/4", "more than four stresses and a half"
    assert [str(_metre(name, [long])) for name in ("rocking", "swaying")] == ["6/8", "3/4"]


def _runs(**found: float) -> dict[str, float]:
    return {**dict.fromkeys(("run0", "run1", "run2", "run3", "restful"), 0.0), **found}


ROCKS = "Long and short, long and short: "
WALKS = "Two even beats: "


@pytest.mark.parametrize(
    ("name", "runs", "told"),
    [
        (
            "rocking",
            _runs(run2=0.5, run1=0.3, run3=0.2),
            f"{ROCKS}say it like rocking. Two light syllables often follow a stressed one, as in "
            "MER-ri-ly MER-ri-ly.",
        ),
        (
            "rocking",
            _runs(run2=0.5, run1=0.3, run3=0.3),
            f"{ROCKS}it can be said like rocking, as many rhymes are.",
        ),
        ("even", _runs(run1=0.5, run2=0.5), f"{WALKS}say it like walking, as in TUM-bling HOME."),
        (
            "even",
            _runs(run1=0.2, run2=0.5, run0=0.1, run3=0.1),
            f"{WALKS}it can be said like walking, with the light syllables hurried.",
        ),
        (
            "even",
            _runs(run1=0.2, run2=0.5, run0=0.2, run3=0.1),
            f"{WALKS}say it like walking, as in TUM-bling HOME.",
        ),
        (
            "swaying",
            _runs(restful=0.5),
            "Three slow beats, the first the strongest: say it like swaying. Words of rest and "
            "slow things suit it.",
        ),
        (
            "swaying",
            _runs(restful=0.4),
            "Three slow beats, the first the strongest: say it like swaying.",
        ),
    ],
)
def test_why_a_metre_suits(name: str, runs: dict[str, float], told: str) -> None:
    assert _reason(name, LINES, runs) == told


def test_a_reason_without_an_example() -> None:
    lines = [read_line("bang"), read_line("clap clap")]
    assert _reason("even", lines, _runs()) == f"{WALKS}say it like walking."
    assert _reason("rocking", lines, _runs(run2=1)).endswith("follow a stressed one.")


def test_sections_change_the_metre_only_for_much() -> None:
    """The usual one comes first everywhere but where the words speak for another clearly."""
    walk = [read_line(words) for words in ("Mary had a little lamb", "stomp and stomp and stop")]
    rock = [
        read_line(words) for words in ("Merrily merrily happily tumbling", "hickory dickory dock")
    ]
    alone = suggest_metre(rock)
    assert family(alone[0].metre) == "rocking"
    together = suggest_metres([walk, rock, [read_line("Merrily merrily happily tumbling")], []])
    firsts = [family(found[0].metre) if found else "" for found in together]
    assert firsts == ["even", "rocking", "even", ""], "one line alone does not change it"
    assert [one.confidence for one in together[1]] == [one.confidence for one in alone]
    assert {str(one.metre) for found in together for one in found} == {"2/4", "6/8", "3/4"}
    again = together[2]
    assert sorted(one.confidence for one in again) == sorted(
        one.confidence for one in suggest_metre([read_line("Merrily merrily happily tumbling")])
    )


@pytest.mark.parametrize(
    ("rocking", "lines", "first"),
    [
        (0.7, 2, "even"),
        (0.74, 2, "even"),
        (0.76, 2, "rocking"),
        (0.9, 2, "rocking"),
        (0.9, 1, "even"),
    ],
)
def test_how_much_likelier_another_metre_must_be(
    monkeypatch: pytest.MonkeyPatch, rocking: float, lines: int, first: str
) -> None:
    """Three times as likely, and said of two lines at least."""
    even, rocks = MetreSuggestion(TWO, 0.25, ""), MetreSuggestion(SIX, rocking, "")
    sways = MetreSuggestion(Metre(3, 4), 0.01, "")
    sure = MetreSuggestion(TWO, 0.98, ""), MetreSuggestion(SIX, 0.01, ""), sways
    answers = [sure, sure, (rocks, even, sways)]
    monkeypatch.setattr(suggesting, "suggest_metre", lambda _: answers.pop(0))
    line = read_line("Mary had a little lamb")
    *_, last = suggest_metres([[line] * 4, [line] * 4, [line] * lines])
    assert family(last[0].metre) == first
    assert {one.confidence for one in last} == {0.25, rocking, 0.01}
