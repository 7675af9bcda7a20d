"""Train the letters-only model of syllables and stress: ``python -m`` this module.

Writes ``resources/words/guess_model.z``.  Deterministic on one machine: a fixed order of
words and nothing drawn by lot.  One dictionary word in twenty is held out
(``cmu.held_out``) from all training.  ``--development`` keeps another twentieth of the
training words out, scores these and writes nothing: choose by them, never by the held-out.
"""

import sys
import time
import zlib
from collections.abc import Sequence
from pathlib import Path

from attrs import frozen

from tapscore.words import guess
from tests.training.align import LetterSounds, nuclei
from tests.training.chain import chain_loss
from tests.training.cmu import Entry, entries, held_out
from tests.training.learn import Rows, choice_loss, learn_table, yes_no_loss


@frozen
class Sample:
    """One word to learn: which letters carry a syllable and the stress of each."""

    word: str
    nuclei: tuple[int, ...]
    stresses: tuple[int, ...]


def samples() -> list[Sample]:
    """All dictionary words whose syllables could be traced to letters, in order of word."""
    listed = list(entries())
    sounds = LetterSounds()
    sounds.learn(listed[::12])
    result = []
    for entry in listed:
        sample = to_sample(entry, sounds)
        if sample is not None:
            result.append(sample)
    return result


def to_sample(entry: Entry, sounds: LetterSounds) -> Sample | None:
    """Trace an entry's syllables to its letters; None where it fails."""
    aligned = sounds.align(entry.word, entry.phones)
    if aligned is None:
        return None
    places = nuclei(entry.word, aligned)
    if len(set(places)) != len(entry.stresses):
        return None
    return Sample(entry.word, places, entry.stresses)


def on_candidates(sample: Sample) -> tuple[int, ...] | None:
    """The sample's nuclei moved to letters that the guess looks at; None where it fails.

    Alignment may put the vowel of ``acquirer`` on its last but one ``r``.
    """
    places = guess.candidates(sample.word)
    moved: list[int] = []
    for which, place in enumerate(sample.nuclei):
        left = moved[-1] if moved else -1
        right = (*sample.nuclei, len(sample.word))[which + 1]
        free = [at for at in places if left < at < right]
        if not free:
            return None
        moved.append(min(free, key=lambda at: (abs(at - place), at)))
    return tuple(moved)


def _train_nuclei(listed: Sequence[Sample]) -> list[int]:
    rows: list[list[int]] = []
    swayed: list[list[int]] = []
    lengths: list[int] = []
    labels: list[bool] = []
    for sample in listed:
        nuclei = on_candidates(sample)
        if nuclei is None:
            continue
        places = guess.candidates(sample.word)
        for alone, with_history in guess.nucleus_keys(sample.word, places):
            rows.append(alone)
            swayed.append(with_history)
        lengths.append(len(places))
        labels += [place in nuclei for place in places]
    for history in range(guess.HISTORIES):
        rows += [[key ^ history for key in keys] for keys in swayed]
    loss = chain_loss(lengths, labels)
    return learn_table(Rows.of(rows), loss, guess.SLOTS[0], rarest=3, penalty=2)


def _train_primary(listed: Sequence[Sample]) -> list[int]:
    rows: list[list[int]] = []
    sizes: list[int] = []
    chosen: list[int] = []
    for sample in listed:
        if len(sample.nuclei) > 1 and 1 in sample.stresses:
            rows += guess.primary_keys(sample.word, sample.nuclei)
            sizes.append(len(sample.nuclei))
            chosen.append(sample.stresses.index(1))
    loss = choice_loss(sizes, chosen)
    return learn_table(Rows.of(rows), loss, guess.SLOTS[1], rarest=2, penalty=2)


def _train_secondary(listed: Sequence[Sample]) -> list[int]:
    rows: list[list[int]] = []
    labels: list[bool] = []
    for sample in listed:
        if 1 not in sample.stresses:
            continue
        primary = sample.stresses.index(1)
        for which, stress in enumerate(sample.stresses):
            if which != primary:
                rows.append(guess.secondary_keys(sample.word, sample.nuclei, which, primary))
                labels.append(stress == 2)
    return learn_table(Rows.of(rows), yes_no_loss(labels), guess.SLOTS[2], rarest=3, penalty=2)


def train(listed: Sequence[Sample]) -> guess.Weights:
    """Train the three models on samples."""
    return guess.Weights(
        nuclei=_train_nuclei(listed),
        primary=_train_primary(listed),
        secondary=_train_secondary(listed),
    )


def accuracy(listed: Sequence[Sample], weights: guess.Weights) -> tuple[float, float]:
    """Share of words with the right count; and of these with the right primary stress.

    The stress is scored on words of two syllables or more.
    """
    counts = firsts = several = 0
    for sample in listed:
        places = guess.guess_nuclei(sample.word, weights)
        if len(places) != len(sample.nuclei):
            continue
        counts += 1
        if len(places) > 1 and 1 in sample.stresses:
            several += 1
            said = guess.guess_stresses(sample.word, places, weights)
            firsts += said.index(1) == sample.stresses.index(1)
    return counts / len(listed), firsts / several


def for_development(word: str) -> bool:
    """Whether a word is kept out to choose by: one in twenty of the training words."""
    return zlib.crc32(f"dev{word}".encode()) % 20 == 0


def main(target: str = "resources/words/guess_model.z") -> None:
    """Train, print the scores on words kept out, write the file."""
    trying = target == "--development"
    listed = [sample for sample in samples() if not (trying and held_out(sample.word))]
    kept_out = for_development if trying else held_out
    training = [sample for sample in listed if not kept_out(sample.word)]
    testing = [sample for sample in listed if kept_out(sample.word)]
    start_sec = time.perf_counter()
    weights = train(training)
    print(f"trained on {len(training)} words in {time.perf_counter() - start_sec:.0f} s")
    for name, some in (("kept out", testing), ("in sample", training[::20])):
        count, primary = accuracy(some, weights)
        print(f"{name}: {len(some)} words, count {count:.4f}, primary stress {primary:.4f}")
    data = guess.packed(weights)
    print(f"{len(data)} bytes")
    if not trying:
        Path(target).write_bytes(data)


if __name__ == "__main__":
    main(*sys.argv[1:])
