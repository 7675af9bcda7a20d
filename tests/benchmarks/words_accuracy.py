"""Accuracy of words/: run by hand, ``python tests/benchmarks/words_accuracy.py``.

In-sample and held-out figures apart; about three minutes, for it learns nine times.
"""

import shutil
from collections.abc import Sequence

from tapscore.words.build.cmu import held_out
from tapscore.words.build.fit_weights import learn
from tapscore.words.fit import Fit, fit_line
from tapscore.words.fit_costs import FitWeights
from tapscore.words.guess import guess_nuclei, guess_stresses
from tapscore.words.guess import shipped_weights as guess_weights
from tapscore.words.line import read_line
from tapscore.words.stanza import fit_stanza
from tapscore.words.stress_table import shipped_table
from tests.words.rhymes import UNSEEN, Rhyme, RhymeLine, read_rhymes
from tests.words.scoring import lessons, score
from tests.words.test_dictionary import all_words

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
    """Unknown words: the guess alone, trained and held-out words apart."""
    table, weights = shipped_table(), guess_weights()
    for name, kept in (("held out", True), ("in sample", False)):
        words = [word for word in all_words(table) if held_out(word) == kept and word.isalpha()]
        words = words[:: 1 if kept else 19]
        counts = primary = several = 0
        for word in words:
            shape = table.find(word)
            if shape is None:
                continue
            right = [stress for _, stress in shape]
            nuclei = guess_nuclei(word, weights)
            if len(nuclei) == len(right):
                counts += 1
                if len(right) > 1 and 1 in right:
                    several += 1
                    primary += guess_stresses(word, nuclei, weights).index(1) == right.index(1)
        print(
            f"guess alone, {name}: {len(words)} words, count {counts / len(words):.4f}, "
            f"primary stress {primary / several:.4f}"
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
