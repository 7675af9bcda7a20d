"""The scripts that make the resources give the same again, and load nothing at run time."""

import itertools
import json
import subprocess
import sys
from collections.abc import Sequence

import numpy as np
import pytest

from tapscore.model.metre import Metre
from tapscore.resources import resource_path
from tapscore.words.fit import likely_bars, longest_pickup
from tapscore.words.fit_costs import FitWeights
from tapscore.words.fit_features import features
from tapscore.words.grid import Grid
from tapscore.words.guess import SLOTS, Weights, guess_nuclei, guess_stresses, packed, unpacked
from tests.training.align import LetterSounds, nuclei
from tests.training.chain import chain_loss
from tests.training.cmu import Entry
from tests.training.fit_weights import COURSES, DOWNBEATS_COUNT, Course, learn, lessons, lessons_of
from tests.training.guess_model import Sample, train
from tests.training.learn import Floats, Loss, choice_loss, yes_no_loss
from tests.training.rhymes import Rhyme, parse_line, taught
from tests.words.costs import cost_of
from tests.words.rhymes import (
    SONGS_UNSEEN,
    STORIES_UNSEEN,
    STORIES_UNSEEN_LATER,
    UNSEEN,
    read_rhymes,
)

DATA = UNSEEN.parent


def test_shipped_fit_weights_are_the_best_for_the_lines_they_come_from() -> None:
    """Learning takes minutes, so the loss is looked at: no lower nearby along its slope.

    What ships is a mean, so it is as good for no course as that course's own weights are.
    """
    shipped = json.loads(resource_path("words/fit_weights.json").read_text(encoding="utf-8"))
    every = lessons_of(*taught(DATA), COURSES[0][0])
    assert shipped["lines"] == len(every)
    course = Course(every)
    weights = np.array(
        [shipped["weights"].get(n, p) for n, p in zip(course.names, course.prior, strict=True)]
    )
    lost, slope = course.loss(weights)
    untaught, steep = course.loss(course.prior)
    assert lost < untaught / 3
    assert np.linalg.norm(slope) < np.linalg.norm(steep) / 20


def test_fit_weights_are_learnt_the_same() -> None:
    few = lessons(read_rhymes()[:3])
    assert learn(few, 5) == learn(few, 5) != {}


def test_slope_of_the_fit_loss() -> None:
    """The gradient by differences, at weights that are no optimum."""
    course = Course(lessons(read_rhymes()[:4]))
    draw = np.random.default_rng(1)
    weights = course.prior + draw.normal(size=len(course.prior)) / 10
    _lost, slope = course.loss(weights)
    for at in draw.integers(0, len(weights), 8):
        step = np.zeros(len(weights))
        step[at] = 1e-4
        rise = (course.loss(weights + step)[0] - course.loss(weights - step)[0]) / 2e-4
        assert slope[at] == pytest.approx(rise, abs=1e-4)


def test_the_likelihood_is_that_of_every_placement() -> None:
    """Minus the log share of the right placement among all of a short line, one by one, mixed
    with that of all placements in as many bars that have its downbeats."""
    (lesson,) = lessons([Rhyme("One", Metre(2, 4), (parse_line("| row . the boat", Metre(2, 4)),))])
    course = Course([lesson])
    weights = FitWeights(dict(zip(course.names, course.prior, strict=True)))
    costs, alike = [], []
    for bars in {*likely_bars(3, lesson.metre), 1}:
        grid = Grid(lesson.metre, bars, 2, -longest_pickup(lesson.metre))
        for slots in itertools.combinations(range(grid.first, grid.last), 3):
            costs.append(cost_of(features(lesson.syllables, slots, grid), weights))
            if bars == 1 and slots[0] == 0:
                alike.append(costs[-1])
    right = cost_of(features(lesson.syllables, (0, 2, 3), Grid(lesson.metre, 1, 2, 0)), weights)
    share = DOWNBEATS_COUNT
    right = (1 - share) * right - share * np.logaddexp.reduce(-np.array(alike))
    expected = right + np.logaddexp.reduce(-np.array(costs))
    assert course.loss(course.prior)[0] == pytest.approx(expected)


def test_weights_are_packed_and_unpacked() -> None:
    tables = [
        [(place * step) % 255 - 127 for place in range(size)]
        for step, size in zip((1, 7, 11), SLOTS, strict=True)
    ]
    back = unpacked(packed(Weights(*tables)))
    assert [list(back.nuclei), list(back.primary), list(back.secondary)] == tables


def test_training_learns_its_words_and_gives_the_same_again() -> None:
    """``-aba`` is heavy at its middle, a last ``e`` is silent."""
    words = [first + rest for first in "bdfgklmnprst" for rest in ("aba", "ape")]
    listed = [
        Sample(word, (1, 3), (0, 1)) if word.endswith("a") else Sample(word, (1,), (1,))
        for word in words
    ]
    weights = train(listed)
    assert packed(weights) == packed(train(listed))
    for sample in (*listed, Sample("vaba", (1, 3), (0, 1)), Sample("vape", (1,), (1,))):
        assert guess_nuclei(sample.word, weights) == sample.nuclei
        assert guess_stresses(sample.word, sample.nuclei, weights) == sample.stresses


@pytest.mark.parametrize("size", [1, 2, 4])
def test_chain_loss_against_every_labelling(size: int) -> None:
    """Log likelihood of a chain by adding up all labellings, and its slope by differences."""
    draw = np.random.default_rng(size)
    scores = draw.normal(size=5 * size)
    labels = [bool(label) for label in draw.integers(0, 2, size)]

    def total(said: Sequence[int]) -> float:
        padded = (0, 0, *said)
        return sum(
            float(scores[at] + scores[size * (1 + 2 * padded[at] + padded[at + 1]) + at])
            for at in range(size)
            if said[at]
        )

    every = [total(said) for said in itertools.product((0, 1), repeat=size)]
    loss = chain_loss([size], labels)
    lost, slope = loss(scores)
    assert lost == pytest.approx(np.logaddexp.reduce(every) - total([*map(int, labels)]))
    check_slope(loss, scores, slope)


def test_other_losses_against_scipy() -> None:
    """Softmax and logistic losses written with ``scipy.special``, and slopes by differences."""
    special = pytest.importorskip("scipy.special")
    scores = np.array([0.3, -1.2, 2.0, 0.1, 0.7])
    choice = choice_loss([2, 3], [1, 0])
    expected = -special.log_softmax(scores[:2])[1] - special.log_softmax(scores[2:])[0]
    assert choice(scores)[0] == pytest.approx(expected)
    check_slope(choice, scores, choice(scores)[1])
    labels = [True, False, True, True, False]
    either = yes_no_loss(labels)
    signs = np.where(labels, 1, -1)
    assert either(scores)[0] == pytest.approx(-special.log_expit(signs * scores).sum())
    check_slope(either, scores, either(scores)[1])


def check_slope(loss: Loss, scores: Floats, slope: Floats) -> None:
    """Compare a gradient with central differences."""
    for at in range(len(scores)):
        step = np.zeros(len(scores))
        step[at] = 1e-5
        rise = (loss(scores + step)[0] - loss(scores - step)[0]) / 2e-5
        assert slope[at] == pytest.approx(rise, abs=1e-6)


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


def test_a_line_may_have_more_than_one_setting() -> None:
    stanza = next(stanza for stanza in taught(DATA)[0] if stanza.title == "Hello time")
    assert [len(line.settings) for line in stanza.lines] == [2, 1, 1, 2]
    assert stanza.lines[3].bars == 2


def test_unseen_stanzas_are_other_lines() -> None:
    everyday, _rhymes, wider = taught(DATA)
    seen = {line.words for stanza in (*everyday, *wider) for line in stanza.lines}
    kept = (STORIES_UNSEEN, STORIES_UNSEEN_LATER)
    for stanza in (one for file in kept for one in read_rhymes(file, by_steps=True)):
        assert not [line.words for line in stanza.lines if line.words in seen]


def test_unseen_rhymes_are_other_rhymes() -> None:
    learnt = taught(DATA)[1]
    kept = [*read_rhymes(UNSEEN), *read_rhymes(SONGS_UNSEEN, by_steps=True)]
    assert not {rhyme.title for rhyme in learnt} & {rhyme.title for rhyme in kept}
    seen = {line.words for rhyme in learnt for line in rhyme.lines}
    assert not [line.words for r in kept for line in r.lines if line.words in seen]


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
