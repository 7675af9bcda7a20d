"""The names that learnt weights are kept under, for one line with everything in it.

The line's phrasing is written by hand here, so that what is guessed from words does not matter.
A name that changes loses its weight: train anew, then write the names here.
"""

import pytest

from tapscore.model.metre import Metre, parse_metre
from tapscore.words.fit_features import (
    BEAT,
    KIND,
    ON_BEAT,
    WHICH_BEAT,
    LineFeatures,
    Named,
    features,
    full_names,
    head_number,
    rate_name,
)
from tapscore.words.grid import Grid
from tapscore.words.line import SungSyllable, Weight
from tapscore.words.phrasing import Phrasing

SIX = Metre(6, 8)


def _said(
    text: str, weight: Weight, word: int, part: str = "whole", *, pause: bool = False
) -> SungSyllable:
    stress = 1 if weight in (Weight.PRIMARY, Weight.CONTENT) else 0
    first, last = part in ("whole", "first"), part in ("whole", "last")
    return SungSyllable(text, stress, word, first, last, 0, 1, weight, "", pause)


SAID = (
    _said("the", Weight.CLITIC, 0),
    _said("lan", Weight.PRIMARY, 1, "first"),
    _said("tern", Weight.WEAK, 1, "last"),
    _said("boat", Weight.CONTENT, 2, pause=True),
    _said("rows", Weight.CONTENT, 3),
    _said("home", Weight.LIGHT, 4),
)
CLASSES = ("article1", "full+", "full-", "full1", "verb1", "adverb1")
LINE = Phrasing(
    SAID,
    classes=CLASSES,
    heavy=(False, True, False, True, True, False),
    heavies=(1, 3, 4),
    after=(0, -1, 1, 4, 0, 6),
    since=(0, 6, 0, 1, 4, 0),
    run=(0, 1, 0, 0, 9, 9),
    again=(False, False, False, True, False, False),
    fine=("article1", "full+", "full-", "full1", "doing1", "adverb1"),
    turns=(8, 0, 9, 1, 4, 1),
    clauses=("", "", "", "", "says", ""),
    parting=4,
)
IN_SIX = LineFeatures(LINE, SIX, "c")
ENDINGS = {KIND: "kind", ON_BEAT: "on", WHICH_BEAT: "which"}
NODES = [
    "at:CLITIC/kind at:c:CLITIC/kind in:6/8:light/kind run:c:lead:1:0/on beat:lead:1:0/which "
    "d:article1 d:c:article1 dn:article1:full+ pd:^:article1 fd:article1 fn:article1:full+ "
    "fp:^:article1 ini:article1 ini2:article1:full+",
    "at:PRIMARY/kind at:c:PRIMARY/kind in:6/8:heavy/kind run:c:stack:00/on beat:stack:00/which "
    "d:full+ d:c:full+ dn:full+:full- pd:article1:full+ fd:full+ fn:full+:full- "
    "fp:article1:full+ turn:0:heavy turn:c:0:heavy new:0:heavy pos:first pos:c:first since:6 "
    "since:c:6 half:c:6:-2 ordn:0:3 part:4:-2 part:c:4:-2",
    "at:WEAK/kind at:c:WEAK/kind in:6/8:light/kind run:c:between:1:0/on beat:between:1:0/which "
    "d:full- d:c:full- dn:full-:full1 pd:full+:full- fd:full- fn:full-:full1 fp:full+:full-",
    "at:CONTENT/kind at:c:CONTENT/kind in:6/8:heavy/kind run:c:stack:01/on beat:stack:01/which "
    "d:full1 d:c:full1 dn:full1:verb1 pd:full-:full1 fd:full1 fn:full1:doing1 fp:full-:full1 "
    "turn:1:heavy turn:c:1:heavy new:1:heavy pos:pen pos:c:pen since:1 since:c:1 half:c:1:-1 "
    "ordn:1:3 again part:4:-1 part:c:4:-1 parts:c:2:1:-1",
    "at:CONTENT/kind at:c:CONTENT/kind in:6/8:heavy/kind run:c:stack:10/on beat:stack:10/which "
    "d:verb1 d:c:verb1 dn:verb1:adverb1 pd:full1:verb1 fd:doing1 fn:doing1:adverb1 "
    "fp:full1:doing1 turn:4:heavy turn:c:4:heavy new:4:heavy cl:says:heavy cls:says pos:last "
    "pos:c:last since:4 since:c:4 half:c:4:1 ordn:2:3 part:4:0 part:c:4:0 parts:c:2:1:0",
    "at:LIGHT/kind at:c:LIGHT/kind in:6/8:light/kind run:c:trail:1:0/on beat:trail:1:0/which "
    "d:adverb1 d:c:adverb1 dn:adverb1:$ pd:verb1:adverb1 fd:adverb1 fn:adverb1:$ "
    "fp:doing1:adverb1 turn:1:light turn:c:1:light new:0:light",
]
GAPS = [
    "gap:light:out:c pace:6/8:light flow:c:light:0 gd:c:article1 gdd:article1:full+ "
    "break:light:0 break:c:light:0:0",
    "gap:heavy:in:c pace:6/8:heavy flow:c:heavy:1 gd:c:full+ gdd:full+:full- ahead:c:1:1",
    "gap:light:out:c pace:6/8:light flow:c:light:0 gd:c:full- gdd:full-:full1 break:light:1 "
    "break:c:light:1:0",
    "gap:heavy:out:c pace:6/8:heavy flow:c:heavy:0 gd:c:full1 gdd:full1:verb1 pause:both "
    "break:heavy:4 break:c:heavy:4:0 ahead:c:4:0",
    "gap:heavy:out:c pace:6/8:heavy flow:c:heavy:9 gd:c:verb1 gdd:verb1:adverb1 break:heavy:0 "
    "break:c:heavy:0:9",
]
RISES = [
    "rise:out:rises rise:c:out:CLITIC:PRIMARY",
    "rise:in:falls rise:c:in:PRIMARY:WEAK",
    "rise:out:rises rise:c:out:WEAK:CONTENT",
    "rise:out:even rise:c:out:CONTENT:CONTENT",
    "rise:out:falls rise:c:out:CONTENT:LIGHT",
]
PACED = [
    "rated:c:light:full flowed:c:0:light:full",
    "rated:c:heavy:full flowed:c:1:heavy:full",
    "rated:c:light:full flowed:c:0:light:full",
    "rated:c:heavy:full flowed:c:0:heavy:full",
    "rated:c:heavy:full flowed:c:3:heavy:full",
]


def _names(named: list[Named]) -> str:
    """Beginnings of names; what may end them after a stroke, if it is not the beats."""
    return " ".join(
        name if ends == BEAT or ends not in ENDINGS else f"{name}/{ENDINGS[ends]}"
        for name, ends in named
    )


@pytest.mark.parametrize("at", range(6))
def test_a_syllable_on_a_slot(at: int) -> None:
    assert _names(IN_SIX.node(at)) == NODES[at]


@pytest.mark.parametrize("at", range(5))
def test_a_syllable_and_the_next(at: int) -> None:
    assert _names(IN_SIX.gap(at)) == GAPS[at]
    assert _names(IN_SIX.rise(at)) == RISES[at]
    assert _names(IN_SIX.paced(at, "full")) == PACED[at]


def test_what_ends_the_names() -> None:
    assert "".join(KIND) == "DSBHMUF"
    assert " ".join(BEAT) == "D S B off off off off"
    assert " ".join(ON_BEAT) == "on on on off off off off"
    assert " ".join(WHICH_BEAT) == "D S B    "
    named = [("a", ("x", "y", "")), ("b", ("", "z", "w"))]
    assert [full_names(named, choice) for choice in range(3)] == [["a:x"], ["a:y", "b:z"], ["b:w"]]


def test_beginning_end_and_length() -> None:
    assert _names(IN_SIX.head()) == "head:c start:CLITIC sd:article1 lead:c:1 lead:1"
    assert _names(IN_SIX.skip()) == "skip skip:c"
    for bars, tail, size in (
        (1, 2, "beats:2 beats:6/8:2 rate:c:crammed spare:c:-1 spare:6/8:-1"),
        (2, 4, "beats:4 beats:6/8:4 rate:c:even spare:c:1 spare:6/8:1"),
        (5, 9, "beats:more beats:6/8:more rate:c:sparse spare:c:5 spare:6/8:5"),
        (6, 9, "beats:12 beats:6/8:12 rate:c:lone spare:c:5 spare:6/8:5"),
        (8, 9, "beats:16 beats:6/8:16 rate:c:lone spare:c:5 spare:6/8:5"),
    ):
        assert _names(IN_SIX.tail(bars)) == f"tail:c:heavy rest:6/8:{tail}"
        assert " ".join(IN_SIX.size(bars)) == size


def test_the_downbeat_that_halves_a_line() -> None:
    where = [IN_SIX.middle(at, 2)[0].split(":")[-1] for at in range(6)]
    assert where == ["before", "before", "before", "before", "newlead", "beyond"]
    assert IN_SIX.middle(4, 2) == [
        *("mid:4:newlead", "mid:c:two:4:newlead", "mids:1:newlead", "mids:4:1:newlead"),
    ]
    assert IN_SIX.middle(3, 4)[1] == "mid:c:more:4:before"


@pytest.mark.parametrize(
    ("metre", "time"), [("2/4", "s"), ("4/4", "s"), ("3/4", "w"), ("9/8", "c"), ("6/8", "c")]
)
def test_three_kinds_of_time(metre: str, time: str) -> None:
    measure = parse_metre(metre)
    assert measure is not None
    assert LineFeatures.of(SAID, measure).time == time


def test_syllables_a_beat() -> None:
    limits = [6, 9, 12, 16, 22, 28]
    names = ["lone", "sparse", "thin", "even", "full", "dense", "crammed"]
    assert [rate_name(count, 10) for count in limits] == [*names[1:2], *names[2:]][:6]
    assert [rate_name(count - 1, 10) for count in (6, 8, 12, 16, 22, 28)] == names[:6]


def test_where_a_line_begins() -> None:
    """In 6/8, three steps a beat; and on half steps."""
    at = {slot: head_number(SIX, 3, slot) for slot in range(-8, 5)}
    assert at == {
        **{0: 0, -1: 1, -2: 2, -3: 3, -4: 4, -5: 4, -6: 5, -7: 5, -8: 5},
        **{1: 6, 2: 6, 3: 6, 4: 7},
    }
    assert head_number(SIX, 6, -1) == 1


def test_all_features_of_a_placement_are_counted() -> None:
    """Row the boat on the beats of two bars of 2/4, the third beat passed over."""
    two = Metre(2, 4)
    row = (
        _said("Row", Weight.CONTENT, 0),
        _said("the", Weight.CLITIC, 1),
        _said("boat", Weight.CONTENT, 2),
    )
    found = features(row, (0, 1, 6), Grid(two, 2, 2, -2))
    assert {name: found[name] for name in found if name.startswith(("skip", "head", "tail"))} == {
        **{"skip:S": 1, "skip:s:S": 1, "skip:D": 1, "skip:s:D": 1},
        **{"head:s:on": 1, "tail:s:heavy:beat": 1},
    }
    assert (found["at:CONTENT:D"], found["at:CONTENT:S"], found["at:CLITIC:H"]) == (1, 1, 1)
    assert (found["gap:heavy:out:s:step"], found["gap:light:out:s:three"]) == (1, 1)
    assert (found["rise:out:falls:down"], found["rise:out:rises:up"]) == (1, 1)
    assert not any(name.startswith("mid") for name in found), "nothing falls on the third beat"
    on_the_middle = features(row, (0, 1, 4), Grid(two, 2, 2, -2))
    assert any(name.startswith("mid") for name in on_the_middle)
    assert found["beats:4"] == 1
