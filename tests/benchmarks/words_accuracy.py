"""Accuracy of words/: run by hand, ``python -m tests.benchmarks.words_accuracy``.

In-sample and held-out figures apart; it learns twelve times: some six minutes of CPU.  With a
folder after the command the weights of the folds are kept there, and those that lie there are
not learnt again: give an empty one when lines, features or the training have changed.
"""

import shutil
import sys
from collections.abc import Sequence
from pathlib import Path

from tapscore.model.metre import Metre
from tapscore.words.explain import clashes
from tapscore.words.fit import Fit, fit_line
from tapscore.words.fit_costs import FitWeights
from tapscore.words.line import read_line
from tapscore.words.pronounce import pronounce
from tapscore.words.stanza import fit_stanza
from tapscore.words.stress_table import shipped_table
from tapscore.words.suggest_metre import confidences, family, suggest_metre
from tests.training.cmu import all_stresses, held_out
from tests.training.metre_weights import Fold, examples_of, folded, learn
from tests.training.rhymes import Setting, taught
from tests.words.rhymes import (
    SONGS_UNSEEN,
    STORIES_FIRST,
    STORIES_PLAIN,
    STORIES_SET_AGAIN,
    STORIES_UNSEEN,
    STORIES_UNSEEN_LAST,
    STORIES_UNSEEN_LATER,
    STORIES_UNSEEN_SET_AGAIN,
    UNSEEN,
    Rhyme,
    RhymeLine,
    by_anybody,
    read_rhymes,
    with_stops,
    without_stops,
)
from tests.words.scoring import score
from tests.words.unknown import (
    all_words,
    by_letters,
    first_stresses,
    held_out_hidden,
    score_words,
)

SOURCES = {
    "first story lines": "story_lines.txt",
    "more story lines": "story_lines_more.txt",
    "further story lines": "story_lines_further.txt",
}
VERSIONS = ("as anybody says them", "with stops", "with stops, as anybody says them")
"""Lines as they were set a second time, by others: any setting counts, or theirs are the stops."""
Found = list[tuple[Rhyme, RhymeLine, Fit]]


def fitted(
    texts: Sequence[Rhyme], weights: FitWeights | None, *, given: bool, alone: bool
) -> Found:
    """Fit all lines, with their bars given or not, line by line or by verses."""
    found: Found = []
    for text in texts:
        lines = [read_line(line.words) for line in text.lines]
        bars = [line.bars if given else None for line in text.lines]
        if alone:
            fits = tuple(
                fit_line(said, text.metre, bars=count, weights=weights)[0]
                for said, count in zip(lines, bars, strict=True)
            )
        else:
            fits = fit_stanza(lines, text.metre, bars=bars, weights=weights)
        found += [(text, line, fit) for line, fit in zip(text.lines, fits, strict=True)]
    return found


def show(name: str, found: Found) -> None:
    """One row of the table."""
    got = score(found)
    turned = sum(len(clashes(read_line(line.words), fit)) for _, line, fit in found)
    print(
        f"{name:58} {got.lines:4} lines  whole {got.whole:.3f}  downbeats {got.downbeats:.3f}  "
        f"strong {got.strong:.3f} (meant {got.strong_meant:.3f})  bars {got.bars:.3f}  "
        f"exact {got.exact:.3f}  stresses turned {turned}"
    )


def people_table(name: str, texts: Sequence[Rhyme], again: Sequence[Rhyme]) -> None:
    """How well people agree: each line's first setting by another, as if it were a fit."""
    lines = [
        (text, line, to_fit(other.settings[0], text.metre))
        for text, said_again in zip(texts, again, strict=True)
        for line, other in zip(text.lines, said_again.lines, strict=True)
    ]
    show(f"{name}: another person", lines)


def versions(texts: Sequence[Rhyme], again: Sequence[Rhyme]) -> tuple[list[Rhyme], ...]:
    """What ``VERSIONS`` names."""
    stopped = with_stops(texts, again)
    return by_anybody(texts, again), stopped, by_anybody(stopped, again)


def to_fit(setting: Setting, metre: Metre) -> Fit:
    """A setting as a fit that has no cost."""
    return Fit(setting.onsets_beats, setting.bars, -setting.onsets_beats[0], 0.0, metre)


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


def metres_table(folds: Sequence[Fold], unseen: Sequence[Rhyme]) -> None:
    """Metres of stanzas: the family first suggested, and among the first two."""
    examples = examples_of(folds)
    ranks: dict[bool, list[int]] = {True: [], False: []}
    for part in range(10):
        weights = learn([one for at, one in enumerate(examples) if at % 10 != part])
        for one in examples[part::10]:
            shares = confidences(one.features, weights)
            order = sorted(shares, key=lambda name: -shares[name])
            ranks[one.count == 1.0].append(order.index(one.right))
    kept = [
        [family(one.metre) for one in suggest_metre([read_line(line.words) for line in text.lines])]
        for text in unseen
    ]
    ranks_kept = [order.index(family(t.metre)) for order, t in zip(kept, unseen, strict=True)]
    for name, some in (
        ("stanzas, held out in ten parts", ranks[True]),
        ("rhymes, held out in ten parts", ranks[False]),
        ("stanzas never tuned on", ranks_kept),
    ):
        first = sum(rank == 0 for rank in some) / len(some)
        two = sum(rank <= 1 for rank in some) / len(some)
        print(f"metre of {name}: {len(some)}, first {first:.3f}, of the first two {two:.3f}")


def main(kept: Path | None = None) -> None:
    """Print the tables; ``kept``: a folder for the weights of the folds."""
    words_table()
    everyday, rhymes, wider = taught(UNSEEN.parent)
    sources = {
        text.lines: name
        for name, file in SOURCES.items()
        for text in read_rhymes(UNSEEN.with_name(file), by_steps=True)
    }
    folds = folded(everyday, rhymes, wider, kept)
    stories = read_rhymes(STORIES_UNSEEN, by_steps=True)
    later = read_rhymes(STORIES_UNSEEN_LATER, by_steps=True)
    last = read_rhymes(STORIES_UNSEEN_LAST, by_steps=True)
    plain = read_rhymes(STORIES_PLAIN, by_steps=True)
    metres_table(folds, stories)
    first = read_rhymes(STORIES_FIRST, by_steps=True)
    again = read_rhymes(STORIES_SET_AGAIN, by_steps=True)
    people_table("first story lines", first, again)
    unseen = (*stories, *later, *last, *plain)
    others = read_rhymes(STORIES_UNSEEN_SET_AGAIN, by_steps=True)
    people_table("352 story lines", unseen, others)
    unseen_versions = list(zip(VERSIONS, versions(unseen, others), strict=True))
    retold = {text.lines: both for text, *both in zip(first, *versions(first, again), strict=True)}
    for given in (True, False):
        for alone in (True, False):
            how = "bars given, " if given else "bars free, "
            how += "line alone" if alone else "by verses"
            crossed: dict[str, Found] = {name: [] for name in (*SOURCES, "rhymes", "wider")}
            for fold in folds:
                for one in fitted(fold.everyday, fold.weights, given=given, alone=alone):
                    crossed[sources[one[0].lines]].append(one)
                for name, some in (("rhymes", fold.rhymes), ("wider", fold.wider)):
                    crossed[name] += fitted(some, fold.weights, given=given, alone=alone)
                for text in fold.everyday:
                    for name, version in zip(VERSIONS, retold.get(text.lines, ()), strict=False):
                        judged = crossed.setdefault(f"first story lines, {name}", [])
                        judged += fitted([version], fold.weights, given=given, alone=alone)
            for name, lines in crossed.items():
                show(f"{name}, held out (four folds), {how}", lines)
            for name, texts in (
                ("everyday lines, in sample", everyday),
                ("rhymes, in sample", rhymes),
                ("everyday lines never tuned on", stories),
                ("everyday lines written later, never tuned on", later),
                ("forty lines never tuned on, with stops", last),
                ("the same without stops", without_stops(last)),
                ("plain lines, chosen on but not learnt from, with stops", plain),
                ("the same without stops", without_stops(plain)),
                ("wider lines, in sample", wider),
                ("rhymes never tuned on", read_rhymes(UNSEEN)),
                ("songs never tuned on", read_rhymes(SONGS_UNSEEN, by_steps=True)),
                ("352 story lines not learnt from", unseen),
                *((f"the same, {name}", texts) for name, texts in unseen_versions),
            ):
                show(f"{name}, {how}", fitted(texts, None, given=given, alone=alone))


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
