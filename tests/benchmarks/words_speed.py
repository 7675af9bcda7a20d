"""Speed of words/: run by hand, ``python tests/benchmarks/words_speed.py``.

Ratios against a naive search of every placement and against a fit checked by building a
music21 stream, on the same machine in the same run.
"""

import itertools
import subprocess
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from tapscore.model.metre import parse_metre
from tapscore.words import lookup
from tapscore.words.fit import Fit, fit_line, make_grid
from tapscore.words.fit_costs import shipped_weights
from tapscore.words.fit_features import features
from tapscore.words.line import read_line
from tapscore.words.pronounce import pronounce
from tapscore.words.stanza import fit_stanza
from tapscore.words.stress_table import shipped_table
from tapscore.words.tapped import read_taps
from tests.words.costs import cost_of
from tests.words.rhymes import read_rhymes
from tests.words.unknown import all_words, by_letters

LOAD = """
import time
from tapscore.words import stress_table, guess
start = time.perf_counter(); stress_table.shipped_table(); middle = time.perf_counter()
guess.shipped_weights(); end = time.perf_counter()
print(f"{(middle - start) * 1e3:.1f} {(end - middle) * 1e3:.1f}")
"""


def timed_ms(work: Callable[[], object], repeats: int) -> float:
    """Best of five runs of so many repeats, milliseconds each."""
    best = float("inf")
    for _ in range(5):
        start = time.perf_counter()
        for _ in range(repeats):
            work()
        best = min(best, (time.perf_counter() - start) / repeats)
    return best * 1e3


def naive(words: str, signature: str) -> float:
    """The least cost of all placements in one bar, every one looked at."""
    metre = parse_metre(signature)
    assert metre is not None
    syllables = read_line(words)
    grid = make_grid(len(syllables), metre, 1, None)
    slots = range(grid.first, grid.last)
    return min(
        cost_of(features(syllables, some, grid), shipped_weights())
        for some in itertools.combinations(slots, len(syllables))
    )


def with_music21(fit: Fit) -> object:
    """Build the fit as a music21 stream and let it make measures."""
    from music21 import meter, note, stream

    part: Any = stream.Part()  # type: ignore[no-untyped-call]
    part.append(meter.TimeSignature(str(fit.metre)))
    for onset in fit.onsets_beats:
        part.insert(float((onset + 1) * fit.metre.beat_quarters), note.Note(quarterLength=0.25))
    return part.makeMeasures()


def main() -> None:
    """Print the table."""
    load = subprocess.run(
        [sys.executable, "-c", LOAD], capture_output=True, text=True, check=True
    ).stdout.split()
    print(f"dictionary loads in {load[0]} ms, the guess for unknown words in {load[1]} ms")

    unknown = "splodgy gruffalump wibbling snorkelfish tiddlywonk grumblefoot zimzam quiggly"

    def guess_all() -> None:
        lookup.shape_of.cache_clear()
        for word in unknown.split():
            pronounce(word)

    print(f"unknown word: {timed_ms(guess_all, 20) / len(unknown.split()):.4f} ms")

    some = [word for word in all_words(shipped_table()) if word.isalpha()][::40]
    alone = timed_ms(lambda: [by_letters(word) for word in some], 1) / len(some)
    print(f"{len(some)} words of the dictionary by letters alone: {alone:.4f} ms each")

    six, two = parse_metre("6/8"), parse_metre("2/4")
    assert six is not None
    assert two is not None
    line = read_line("Out on the water the little boat lay")
    given = timed_ms(lambda: fit_line(line, six, bars=2), 100)
    free = timed_ms(lambda: fit_line(line, six), 30)
    many = timed_ms(lambda: fit_line(line, six, alternatives=8), 10)
    print(
        f"line, bars given: {given:.3f} ms; free: {free:.3f} ms; eight alternatives: {many:.2f} ms"
    )

    rhymes = read_rhymes()
    lines = [(read_line(one.words), rhyme.metre) for rhyme in rhymes for one in rhyme.lines]
    each = timed_ms(lambda: [fit_line(said, metre) for said, metre in lines], 1) / len(lines)
    print(f"{len(lines)} lines of rhymes, free: {each:.3f} ms each")

    verse = [read_line(one.words) for one in rhymes[0].lines]

    def one_verse() -> None:
        from tapscore.words.stanza import _candidates

        _candidates.cache_clear()
        fit_stanza(verse, six)

    print(f"verse of {len(verse)} lines, free: {timed_ms(one_verse, 5):.2f} ms")

    short = "the little boat"
    quick = timed_ms(lambda: fit_line(read_line(short), six, bars=1), 100)
    slow = timed_ms(lambda: naive(short, "6/8"), 1)
    print(f"four syllables in one bar: every placement {slow / quick:.0f} times as long")

    fit = fit_line(line, six)[0]
    with_music21(fit)
    stream = timed_ms(lambda: with_music21(fit), 3)
    print(f"one music21 stream of one placement: {stream / free:.0f} times a free fit")

    beats = [Fraction(n, 3) for n in (0, 2, 3, 5, 6, 8, 9)]
    jack = read_line("Jack and Jill went up the hill")
    taps = [3 + 0.8 * float(beat) for beat in beats]
    print(f"seven taps read: {timed_ms(lambda: read_taps(taps, jack, six), 2):.1f} ms")


if __name__ == "__main__":
    main()
