"""Learn what a tap sounds like and how sure a line's place is; writes ``resources/rehearsal``.

``python -m tests.training.tap_weights`` makes some 240 simulated rehearsals and 60 recordings that
hold none (some twenty minutes of CPU).  The detector is learned on one simulator and goes on
learning on the other; the confidence is learned on stories that the detector has not heard, most
of them elsewhere, half of those with a tool or on a board that it does not know.
``... confidence`` learns that alone, with the detector that there is; ``... further`` lets the
lines' part of it go on learning from what was looked at since.  ``... left-out [COUNT]``
writes nothing: it leaves each kind of tap out of the first learning once and says how well that
kind is known then, of twice COUNT rehearsals (24 unless said).
"""

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from pathlib import Path

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from scipy.optimize import minimize  # type: ignore[import-untyped]

from tapscore.rehearsal.bands import BandLevels, Floats
from tapscore.rehearsal.candidates import candidates_in
from tapscore.rehearsal.confidence import line_inputs, whole_inputs, with_whole
from tapscore.rehearsal.detector import Detector, learned_detector
from tapscore.rehearsal.listen import placed_line, rounds
from tapscore.rehearsal.plausibility import plausibility
from tapscore.rehearsal.told import ToldLine
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tests.rehearsal.elsewhere.place import Place, recorded_at
from tests.rehearsal.elsewhere.sets import (
    CHOSEN_FILES,
    chosen_elsewhere,
    kept_elsewhere,
    learned_elsewhere,
)
from tests.rehearsal.elsewhere.team import told_by_team
from tests.rehearsal.rehearsals import levels
from tests.rehearsal.simulated.lookalikes import (
    drums,
    free_talk,
    same_metre,
    short_story,
    talk_in_rhythm,
    texts,
)
from tests.rehearsal.simulated.others import music, silence
from tests.rehearsal.simulated.recording import Scene
from tests.rehearsal.simulated.sets import LEVELS, Made, chosen_on, kept_apart, learned_on, tried_on
from tests.rehearsal.simulated.stories import a_story
from tests.rehearsal.simulated.telling import TrueLine

Numbers = NDArray[np.float64]
FOLDER = Path(__file__).parents[2] / "resources" / "rehearsal"
IS_TAP_SEC, IS_NOT_SEC = 0.035, 0.07
"""A moment so near to a touch is one; so far from all it is none; between, nothing is said."""
RIGHT_SEC = 0.2
_FURTHER = 1000.0
"""How much all moments of the second simulator weigh against what was learned on the first."""
_TRIED, _NOT_TOLD, _FIRST_NOT_TOLD = 24, 10, 40_000
_ANOTHER = 7
_DEVELOPED_ON = (28, 3_000)
"""Rehearsals elsewhere that were looked at line by line."""
_LOOKED_AT = [n for n in range(5_100, 5_291) if n % 5 < 2 or (n < 5_145 and n % 5 < 4)]
"""Elsewhere: L0 and L1, and some of L2 and L3."""
_LOOKED_AT_HERE = [n for n in range(5_100, 5_125) if n % 5 < 4]
_HELD_FURTHER = 20.0
_WHOLE_SIGNS = (0, 1, 1, 1, 1, -1, -1, 1, 1, -1)
_LINE_SIGNS = (0, 1, 1, 1, 1, 1, -1, -1, -1, 1, 1, 1, -1, -1, -1, -1, 1, 1)
_FILES = ("story_lines.txt", "rhymes.txt", "story_lines_more.txt")
_TOOLS = ("fingertips", "knuckles", "nails", "flat hand", "stick")


def detector_of(made: Sequence[Made]) -> Detector:
    """Learn a detector from rehearsals whose touches are known."""
    parts, labels, weights = [], [], []
    for each in made:
        of_one, taps, count = _moments(each)
        parts.append(of_one.astype(np.float64))
        labels.append(taps)
        weights.append(np.full(len(taps), 1 / count))
    features, is_tap = np.concatenate(parts), np.concatenate(labels)
    counts = np.concatenate(weights)
    counts *= len(counts) / counts.sum()
    middle, spread = features.mean(axis=0), features.std(axis=0) + 1e-6
    inputs = np.c_[np.ones(len(features)), (features - middle) / spread]
    found_weights = logistic(inputs, is_tap, 1.0, counts)
    return Detector(
        middle.astype(np.float32),
        spread.astype(np.float32),
        found_weights[1:].astype(np.float32),
        float(found_weights[0]),
    )


def _moments(made: Made) -> tuple[Floats, Numbers, int]:
    """Features of what is surely a tap or none, which of them are taps, and how many moments."""
    found = candidates_in(made.levels)
    touches = np.array([touch.sec for touch in made.telling.touches])
    off = np.abs(found.sec[:, None] - touches).min(axis=1)
    known = (off < IS_TAP_SEC) | (off >= IS_NOT_SEC)
    return found.features[known], (off < IS_TAP_SEC)[known].astype(np.float64), len(found)


def logistic(
    inputs: Numbers,
    labels: Numbers,
    held: float,
    counts: Numbers,
    signs: Sequence[int] | None = None,
    towards: Numbers | None = None,
) -> Numbers:
    """Weights at the most likely, held to nought but for the first, or all to others.

    ``signs`` says which may not be below nought (1) or above it (-1): few recordings can't tell
    that a better fit speaks against a story.
    """
    limits = {0: (None, None), 1: (0, None), -1: (None, 0)}
    bounds = None if signs is None else [limits[sign] for sign in signs]

    def loss(weights: Numbers) -> tuple[float, Numbers]:
        odds = inputs @ weights
        off = counts * (sure(odds) - labels)
        free = np.r_[0.0, weights[1:]] if towards is None else weights - towards
        total = (counts * (np.logaddexp(0, odds) - labels * odds)).sum() + held * free @ free
        return float(total), inputs.T @ off + 2 * held * free

    start = np.zeros(inputs.shape[1])
    found: Numbers = minimize(loss, start, jac=True, method="L-BFGS-B", bounds=bounds).x
    return found


def sure(odds: Numbers) -> Numbers:
    """From log odds."""
    found: Numbers = 1 / (1 + np.exp(-np.clip(odds, -30, 30)))
    return found


@frozen(eq=False)
class Judged:
    """One recording: what the confidence goes by, and what was right."""

    whole: Numbers
    lines: Numbers
    found: list[bool]
    right: list[bool]
    told: list[bool]

    @property
    def holds(self) -> float:
        """Share of the told lines that are right."""
        told = [right for right, told in zip(self.right, self.told, strict=True) if told]
        return float(np.mean(told)) if told else 0.0


def judged(
    heard: BandLevels,
    lines: Sequence[WrittenLine],
    true: dict[int, TrueLine],
    detector: Detector,
) -> Judged | None:
    """Align a recording and see which lines are right; none are where ``true`` is empty."""
    last = rounds(heard, lines, detector)
    if last is None:
        return None
    placed = [placed_line(at, line, last) for at, line in enumerate(lines)]
    odds = detector.log_odds(last.every.features)
    fits = plausibility(lines, last.alignment, last.evidence, last.every.sec, odds)
    return Judged(
        whole_inputs(placed, lines, last.alignment, fits),
        line_inputs(placed, lines, last.alignment, last.evidence),
        [line.found for line in placed],
        [is_right(line, true.get(line.segment)) for line in placed],
        [line.segment in true and true[line.segment].told for line in placed],
    )


def is_right(line: ToldLine, true: TrueLine | None) -> bool:
    """Whether a line stands where it was told; one left out is right if it was not found."""
    if true is None or not true.told:
        return true is not None and not line.found
    if not line.found:
        return False
    return abs(float(np.median(line.taps_sec - true.nearest(line.taps_sec)))) < RIGHT_SEC


def confidence_of(found: Sequence[Judged]) -> tuple[Numbers, Numbers]:
    """The two logistics: of whole recordings, and of lines."""
    clear = [each for each in found if not 0.4 <= each.holds < 0.6]
    of_whole = logistic(
        np.array([each.whole for each in clear]),
        np.array([float(each.holds >= 0.6) for each in clear]),
        0.005,
        np.ones(len(clear)),
        _WHOLE_SIGNS,
    )
    return of_whole, lines_of(found, of_whole, 0.05)


def lines_of(
    found: Sequence[Judged], of_whole: Numbers, held: float, towards: Numbers | None = None
) -> Numbers:
    """The logistic of lines, given that of whole recordings."""
    rows, labels = [], []
    for each in found:
        inputs = with_whole(each.lines, float(each.whole @ of_whole))
        rows.append(inputs[each.found])
        labels.append(np.array(each.right, np.float64)[each.found])
    all_right = np.concatenate(labels)
    counts = np.ones(len(all_right))
    return logistic(np.concatenate(rows), all_right, held, counts, _LINE_SIGNS, towards)


def not_told(count: int = _NOT_TOLD) -> Iterator[tuple[BandLevels, tuple[WrittenLine, ...]]]:
    """Recordings that don't hold the story they are asked for: what is like it, and what is not."""
    for n in range(_FIRST_NOT_TOLD, _FIRST_NOT_TOLD + count):
        level = LEVELS[n % 5]
        story = short_story(n, _FILES) if n % 2 else a_story(n, _FILES)
        performance = perform(story)
        sounds = [
            same_metre(story, n + 1, level, _FILES),
            talk_in_rhythm(performance, n + 2, ("L2", "L1", "L3")[n % 3]),
            free_talk(performance, n + 3),
            drums(performance, n + 4),
        ]
        if n % 3 == 0:
            sounds.append(music(n + 5))
        if n % 6 == 1:
            sounds.append(silence(n + 6))
        talk = told_by_team(performance, n + 7)
        talk.touches = []
        place = Place(
            _TOOLS[n % 5], "raised ply", "L2", n + 8, hall=n % 3 == 0, children=n % 2 == 0
        )
        for sound in (*sounds, recorded_at(talk, place)):
            yield levels(sound), written_lines(performance)


def further(detector: Detector, made: Iterable[Made]) -> Detector:
    """A detector that goes on learning, held to what it knows."""
    parts, labels, weights = [], [], []
    for each in made:
        features, is_tap, count = _moments(each)
        parts.append(features)
        labels.append(is_tap)
        weights.append(np.full(len(is_tap), 1 / count))
    counts = np.concatenate(weights)
    counts *= _FURTHER / counts.sum()
    return detector.adapted(
        np.concatenate(parts),
        np.concatenate(labels).astype(np.float32),
        counts.astype(np.float32),
    )


def precision(detector: Detector, made: Made) -> float:
    """Of as many likeliest moments as taps are written: the share that are touches."""
    found = candidates_in(made.levels)
    touches = np.array([touch.sec for touch in made.telling.touches])
    off = np.abs(found.sec[:, None] - touches).min(axis=1)
    taps = sum(len(line.taps_sec) for line in made.lines)
    best = np.argsort(detector.log_odds(found.features))[-taps:]
    return float((off[best] < IS_TAP_SEC).mean())


def one_left_out(count: int) -> None:
    """How well each kind of tap is known by a detector that has not learned it."""
    every = [*learned_on(count), *chosen_on(count)]
    kinds = np.array([each.scene.kind for each in every if isinstance(each.scene, Scene)])
    detectors = {"all": detector_of(every), "shipped": learned_detector()}
    for kind in sorted(set(kinds)):
        own = [every[at] for at in np.flatnonzero(kinds == kind)]
        detectors["without"] = detector_of([every[at] for at in np.flatnonzero(kinds != kind)])
        known = {
            name: np.mean([precision(each, made) for made in own])
            for name, each in detectors.items()
        }
        print(
            f"{kind}: {len(own)} rehearsals, precision {known['without']:.3f} without it, "
            f"{known['all']:.3f} with it, {known['shipped']:.3f} shipped"
        )


def main() -> None:
    """Learn both, or the confidence alone, and write them."""
    words = sys.argv[1:]
    if "left-out" in words:
        one_left_out(next((int(word) for word in words if word.isdigit()), 24))
        return
    if "further" in words:
        detector, data = learned_detector(), json.loads((FOLDER / "confidence.json").read_text())
        whole, line = np.array(data["whole"]), np.array(data["line"])
        line = lines_of(list(_looked_at(detector)), whole, _HELD_FURTHER, towards=line)
        _write("confidence.json", {"whole": whole, "line": line})
        return
    if "confidence" in words:
        detector = learned_detector()
    else:
        first = detector_of([*learned_on(), *chosen_on()])
        detector = further(first, learned_elsewhere())
        weights = {
            "middle": detector.middle,
            "spread": detector.spread,
            "weights": detector.weights,
            "bias": np.array(detector.bias),
        }
        _write("tap_weights.json", weights)
    of_whole, of_line = confidence_of(_recordings(detector))
    _write("confidence.json", {"whole": of_whole, "line": of_line})


def _recordings(detector: Detector) -> list[Judged]:
    """What the confidence is learned on."""
    tried = list(chosen_elsewhere(_TRIED))
    found = [
        judged(each.levels, each.lines, each.true, detector)
        for each in chain(tried, kept_elsewhere(*_DEVELOPED_ON), tried_on())
    ]
    said = [texts(a_story(each.scene.seed, CHOSEN_FILES)) for each in tried]
    for at in range(_ANOTHER, len(tried), 3):
        if not said[at] & said[at - _ANOTHER]:
            found.append(judged(tried[at].levels, tried[at - _ANOTHER].lines, {}, detector))
    found += [judged(heard, lines, {}, detector) for heard, lines in not_told()]
    return [each for each in found if each is not None]


def _looked_at(detector: Detector) -> Iterator[Judged]:
    """What the lines' confidence goes on learning on."""
    told = chain(
        *(kept_elsewhere(1, n) for n in _LOOKED_AT), *(kept_apart(1, n) for n in _LOOKED_AT_HERE)
    )
    for each in told:
        found = judged(each.levels, each.lines, each.true, detector)
        if found is not None:
            yield found
    for heard, lines in not_told():
        found = judged(heard, lines, {}, detector)
        if found is not None:
            yield found


def _write(name: str, data: dict[str, NDArray[np.floating]]) -> None:
    plain = {key: np.round(value.astype(np.float64), 5).tolist() for key, value in data.items()}
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / name).write_text(json.dumps(plain) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
