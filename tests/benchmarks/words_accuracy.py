"""Accuracy of words/: run by hand, ``python tests/benchmarks/words_accuracy.py``.

In-sample and held-out figures apart; about three minutes, for it learns nine times.
"""

import shutil
from collections.abc import Sequence

from tapscore.words.fit import Fit, fit_line
from tapscore.words.fit_costs import FitWeights
from tapscore.words.line import read_line
from tapscore.words.pronounce import pronounce
from tapscore.words.stanza import fit_stanza
from tapscore.words.stress_table import shipped_table
from tests.training.cmu import all_stresses, held_out
from tests.training.fit_weights import learn
from tests.words.rhymes import UNSEEN, Rhyme, RhymeLine, read_rhymes
from tests.words.scoring import lessons, score
from tests.words.unknown import (
    all_words,
    by_letters,
    first_stresses,
    held_out_hidden,
    score_words,
)

FOLDS = 9

Found = list[tuple[Rhyme, RhymeLine, Fit]]


def fitted(
    rhymes: Sequence[Rhyme], weights: FitWeights | None, *, given: bool, alone: bool
) -> Found:
    """Fit all lines, with their bars given or not, line by line or by verses."""
    found: Found = []
    for rhyme in rhymes:
        lines = [read_line(line.words) for line in rhyme.lines]
        bars = [line.bars if given else None for line in rhyme.lines]
        if alone:
            fits = tuple(
                fit_line(said, rhyme.metre, bars=count, weights=weights)[0]
                for said, count in zip(lines, bars, strict=True)
            )
        else:
            fits = fit_stanza(lines, rhyme.metre, bars=bars, weights=weights)
        found += [(rhyme, line, fit) for line, fit in zip(rhyme.lines, fits, strict=True)]
    return found


def show(name: str, found: Found) -> None:
    """One row of the table."""
    got = score(found)
    print(
        f"{name:48} {got.lines:4} lines  downbeats {got.downbeats:.3f}  strong {got.strong:.3f} "
        f"(meant {got.strong_meant:.3f})  bars {got.bars:.3f}  exact {got.exact:.3f}"
    )


def words_table() -> None:
    """Unknown words, by letters alone and by the whole stack with the held-out words hidden.

    Strict: against the first pronunciation listed in CMUdict; then against any listed one.
    """
    words = [word for word in all_words(shipped_table()) if word.isalpha()]
    unseen = [word for word in words if held_out(word)]
    seen = [word for word in words if not held_out(word)][::19]
    listed = all_stresses()
    for answers in ("first pronunciation (strict)", "any listed pronunciation"):
        for name, some, say in (
            ("letters alone, in sample", seen, by_letters),
            ("letters alone, held out", unseen, by_letters),
            ("whole stack, held out", unseen, lambda word: pronounce(word).stresses),
        ):
            right = first_stresses(some)
            if answers.startswith("any"):
                right = {word: first | listed[word] for word, first in right.items()}
            with held_out_hidden():
                got = score_words(right, say)
            print(
                f"{name}, {answers}: {got.words} words, count {got.counts:.4f}, "
                f"primary stress {got.primary:.4f}"
            )
    print(f"espeak-ng installed: {shutil.which('espeak-ng') is not None}")


def main() -> None:
    """Print the table."""
    words_table()
    rhymes = read_rhymes()
    unseen = read_rhymes(UNSEEN)
    folds = []
    for fold in range(FOLDS):
        training = [rhyme for at, rhyme in enumerate(rhymes) if at % FOLDS != fold]
        folds.append((rhymes[fold::FOLDS], FitWeights(learn(lessons(training)))))
    for given in (True, False):
        for alone in (True, False):
            how = "bars given, " if given else "bars free, "
            how += "line alone" if alone else "by verses"
            show(f"in sample, {how}", fitted(rhymes, None, given=given, alone=alone))
            crossed: Found = []
            for testing, weights in folds:
                crossed += fitted(testing, weights, given=given, alone=alone)
            show(f"held out (9 folds of rhymes), {how}", crossed)
            show(f"rhymes never tuned on, {how}", fitted(unseen, None, given=given, alone=alone))


if __name__ == "__main__":
    main()
