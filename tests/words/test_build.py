"""The scripts that make the resources give the same again, and load nothing at run time."""

import json
import subprocess
import sys

import pytest

from tapscore.resources import resource_path
from tapscore.words.build.align import LetterSounds, nuclei
from tapscore.words.build.cmu import Entry
from tapscore.words.build.fit_weights import learn
from tapscore.words.build.rhymes import parse_line
from tapscore.words.guess import packed, unpacked
from tests.words.rhymes import UNSEEN, read_rhymes
from tests.words.scoring import lessons


def test_fit_weights_are_learnt_the_same() -> None:
    """Three places after the point; other processors may differ in the last."""
    shipped = json.loads(resource_path("words/fit_weights.json").read_text(encoding="utf-8"))
    weights = learn(lessons(read_rhymes()))
    assert weights.keys() == shipped["weights"].keys()
    assert weights == pytest.approx(shipped["weights"], abs=0.02)


def test_weights_are_packed_and_unpacked() -> None:
    weights = {"aro": -300, "bat": 7, "z": 32000}
    assert unpacked(packed(weights)) == weights


def test_letters_are_aligned_to_sounds() -> None:
    entries = [
        Entry("cat", ("K", "AE1", "T")),
        Entry("boat", ("B", "OW1", "T")),
        Entry("table", ("T", "EY1", "B", "AH0", "L")),
        Entry("ship", ("SH", "IH1", "P")),
    ]
    sounds = LetterSounds()
    sounds.learn(entries * 3)
    aligned = sounds.align("boat", ("B", "OW1", "T"))
    assert aligned is not None
    assert [phone for said in aligned for phone in said] == ["B", "OW1", "T"]
    assert nuclei("boat", aligned) == (1,)
    assert sounds.align("a", ("EY1", "B", "T")) is None


def test_unseen_rhymes_are_other_rhymes() -> None:
    assert not {rhyme.title for rhyme in read_rhymes()} & {r.title for r in read_rhymes(UNSEEN)}
    seen = {line.words for rhyme in read_rhymes() for line in rhyme.lines}
    assert not [line.words for r in read_rhymes(UNSEEN) for line in r.lines if line.words in seen]


def test_at_least_two_dozen_rhymes_in_four_metres() -> None:
    rhymes = read_rhymes()
    assert len(rhymes) >= 24
    assert {str(rhyme.metre) for rhyme in rhymes} >= {"2/4", "3/4", "4/4", "6/8"}


def test_a_bar_that_does_not_fill_is_refused() -> None:
    metre = read_rhymes()[0].metre
    with pytest.raises(ValueError, match="5 tokens"):
        parse_line("| Jack . and Jill .", metre)


def test_words_load_no_heavy_library() -> None:
    program = (
        "import sys\n"
        "from tapscore.words.line import read_line\n"
        "from tapscore.words.stanza import fit_stanza\n"
        "from tapscore.words.tapped import read_taps\n"
        "from tapscore.words.suggest_metre import suggest_metre\n"
        "from tapscore.model.metre import Metre\n"
        "fit_stanza([read_line('Row the boat, splodgy')], Metre(6, 8))\n"
        "print([n for n in ('numpy', 'scipy', 'num2words', 'music21') if n in sys.modules])\n"
    )
    result = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert result.stdout.strip() == "[]"
