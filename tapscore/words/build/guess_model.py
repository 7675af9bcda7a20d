"""Train the letters-only model of syllables and stress: ``python -m`` this module.

Writes ``resources/words/guess_model.z``.  Deterministic: a fixed order of words, drawn by
checksums, and whole-number weights.  One dictionary word in twenty is held out
(``cmu.held_out``), and the scores printed are of these words alone.
"""

import sys
import time
import zlib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from attrs import frozen

from tapscore.words import guess
from tapscore.words.build.align import LetterSounds, nuclei
from tapscore.words.build.cmu import Entry, entries, held_out

_ROUNDS = 10
_SCALE = 32
_KEEP = 48


@frozen
class Sample:
    """One word to learn: which letters carry a syllable and the stress of each."""

    word: str
    nuclei: tuple[int, ...]
    stresses: tuple[int, ...]


class AveragedPerceptron:
    """Whole-number weights with lazily kept running sums."""

    def __init__(self) -> None:
        self.weights: dict[str, int] = {}
        self._sums: dict[str, int] = {}
        self._changed: dict[str, int] = {}
        self._seen = 0
        self._known: frozenset[str] | None = None

    def known_only(self, keys: Iterable[str]) -> None:
        """From now on learn about these keys alone."""
        self._known = frozenset(keys)

    def tick(self) -> None:
        """Count one more decision."""
        self._seen += 1

    def score(self, keys: Iterable[str]) -> int:
        """Sum of the weights of the keys."""
        get = self.weights.get
        return sum([get(key, 0) for key in keys])

    def add(self, keys: Iterable[str], amount: int) -> None:
        """Change the weights of the keys by an amount."""
        for key in keys:
            if self._known is not None and key not in self._known:
                continue
            weight = self.weights.get(key, 0)
            since = self._seen - self._changed.get(key, 0)
            self._sums[key] = self._sums.get(key, 0) + since * weight
            self._changed[key] = self._seen
            self.weights[key] = weight + amount

    def averaged(self) -> dict[str, int]:
        """Averages times a scale, rounded; the small ones are left out."""
        self.add(list(self.weights), 0)
        result = {}
        for key in sorted(self.weights):
            value = round(self._sums[key] * _SCALE / max(1, self._seen))
            value = max(-32000, min(32000, value))
            if abs(value) >= _KEEP:
                result[key] = value
        return result


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


def _shuffled(listed: Sequence[Sample], turn: int) -> list[Sample]:
    return sorted(listed, key=lambda sample: zlib.crc32(f"{turn}{sample.word}".encode()))


def _nucleus_keys(sample: Sample) -> Iterator[str]:
    padded = "^^^^^" + sample.word + "^^^^^"
    said = "00"
    for place in range(len(sample.word)):
        yield from guess.nucleus_features(padded, place + 5, said)
        said = said[1] + ("1" if place in sample.nuclei else "0")


def _primary_keys(sample: Sample) -> Iterator[str]:
    for keys in guess.stress_features(sample.word, sample.nuclei):
        yield from keys


def _secondary_keys(sample: Sample) -> Iterator[str]:
    if 1 in sample.stresses:
        primary = sample.stresses.index(1)
        for which in range(len(sample.nuclei)):
            if which != primary:
                yield from guess.secondary_features(sample.word, sample.nuclei, which, primary)


def _learn_nuclei(model: AveragedPerceptron, sample: Sample) -> None:
    padded = "^^^^^" + sample.word + "^^^^^"
    gold = set(sample.nuclei)
    said = "00"
    for place in range(len(sample.word)):
        keys = guess.nucleus_features(padded, place + 5, said)
        model.tick()
        score = model.score(keys)
        label = place in gold
        if (score > 0) != label:
            model.add(keys, 1 if label else -1)
        said = said[1] + ("1" if label else "0")


def _learn_primary(model: AveragedPerceptron, sample: Sample) -> None:
    count = len(sample.nuclei)
    if count == 1 or 1 not in sample.stresses:
        return
    gold = sample.stresses.index(1)
    sets = guess.stress_features(sample.word, sample.nuclei)
    scores = [model.score(keys) for keys in sets]
    model.tick()
    said = max(range(count), key=lambda which: scores[which] + (1 if which != gold else 0))
    if said != gold:
        model.add(sets[gold], 1)
        model.add(sets[said], -1)


def _learn_secondary(model: AveragedPerceptron, sample: Sample) -> None:
    if len(sample.nuclei) == 1 or 1 not in sample.stresses:
        return
    primary = sample.stresses.index(1)
    for which, stress in enumerate(sample.stresses):
        if which == primary:
            continue
        keys = guess.secondary_features(sample.word, sample.nuclei, which, primary)
        model.tick()
        if (model.score(keys) > 0) != (stress == 2):
            model.add(keys, 1 if stress == 2 else -1)


_LEARNERS: tuple[
    tuple[Callable[[AveragedPerceptron, Sample], None], Callable[[Sample], Iterator[str]], int],
    ...,
] = (
    (_learn_nuclei, _nucleus_keys, 3),
    (_learn_primary, _primary_keys, 2),
    (_learn_secondary, _secondary_keys, 12),
)


def train(listed: Sequence[Sample], rounds: int = _ROUNDS) -> dict[str, int]:
    """Train the three models on samples and put their weights together."""
    weights: dict[str, int] = {}
    for learn, keys_of, rarest in _LEARNERS:
        model = AveragedPerceptron()
        counts = Counter(key for sample in listed for key in keys_of(sample))
        model.known_only(key for key, count in counts.items() if count >= rarest)
        for turn in range(rounds):
            for sample in _shuffled(listed, turn):
                learn(model, sample)
        weights.update(model.averaged())
    return weights


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


def main(target: str = "resources/words/guess_model.z") -> None:
    """Train, print the scores on words kept out, write the file."""
    listed = samples()
    training = [sample for sample in listed if not held_out(sample.word)]
    testing = [sample for sample in listed if held_out(sample.word)]
    start_sec = time.perf_counter()
    weights = train(training)
    print(f"trained on {len(training)} words in {time.perf_counter() - start_sec:.0f} s")
    for name, some in (("held out", testing), ("in sample", training[::20])):
        count, primary = accuracy(some, weights)
        print(f"{name}: {len(some)} words, count {count:.4f}, primary stress {primary:.4f}")
    Path(target).write_bytes(guess.packed(weights))


if __name__ == "__main__":
    main(*sys.argv[1:])
