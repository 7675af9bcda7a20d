"""Learn what a tap sounds like and how sure a line's place is; writes ``resources/rehearsal``.

``python -m tests.training.tap_weights`` makes 136 simulated rehearsals (some ten minutes of
CPU).  The confidence is learned with a detector that knows none of the boards it is used on.
"""

import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from scipy.optimize import minimize  # type: ignore[import-untyped]

from tapscore.rehearsal.bands import Levels
from tapscore.rehearsal.candidates import candidates_in
from tapscore.rehearsal.confidence import line_inputs, whole_inputs
from tapscore.rehearsal.detector import Detector
from tapscore.rehearsal.listen import placed_line, rounds
from tapscore.rehearsal.told import ToldLine
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tests.rehearsal.rehearsals import levels
from tests.rehearsal.simulated.others import music, silence, talk_alone
from tests.rehearsal.simulated.sets import Made, chosen_on, learned_on
from tests.rehearsal.simulated.stories import LEARNED_ON, a_story
from tests.rehearsal.simulated.telling import TrueLine

Numbers = NDArray[np.float64]
FOLDER = Path(__file__).parents[2] / "resources" / "rehearsal"
IS_TAP_SEC, IS_NOT_SEC = 0.035, 0.07
"""A moment so near to a touch is one; so far from all it is none; between, nothing is said."""
RIGHT_SEC = 0.2
_OTHERS = 30


def detector_of(made: Sequence[Made]) -> Detector:
    """Learn a detector from rehearsals whose touches are known."""
    parts, labels, weights = [], [], []
    for each in made:
        found = candidates_in(each.levels)
        touches = np.array([touch.sec for touch in each.telling.touches])
        off = np.abs(found.sec[:, None] - touches).min(axis=1)
        known = (off < IS_TAP_SEC) | (off >= IS_NOT_SEC)
        parts.append(found.features[known].astype(np.float64))
        labels.append((off < IS_TAP_SEC)[known].astype(np.float64))
        weights.append(np.full(int(known.sum()), 1 / len(found)))
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


def logistic(inputs: Numbers, labels: Numbers, held: float, counts: Numbers) -> Numbers:
    """Weights at the most likely, held to nought but for the first."""

    def loss(weights: Numbers) -> tuple[float, Numbers]:
        odds = inputs @ weights
        off = counts * (sure(odds) - labels)
        free = np.r_[0.0, weights[1:]]
        total = (counts * (np.logaddexp(0, odds) - labels * odds)).sum() + held * free @ free
        return float(total), inputs.T @ off + 2 * held * free

    found: Numbers = minimize(loss, np.zeros(inputs.shape[1]), jac=True, method="L-BFGS-B").x
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
    heard: Levels,
    lines: Sequence[WrittenLine],
    true: dict[int, TrueLine],
    detector: Detector,
) -> Judged | None:
    """Align a recording and see which lines are right; none are where ``true`` is empty."""
    last = rounds(heard, lines, detector)
    if last is None:
        return None
    placed = [placed_line(at, line, last) for at, line in enumerate(lines)]
    return Judged(
        whole_inputs(placed, lines, last.alignment, last.evidence),
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
    return abs(float(np.median(line.taps_sec - np.array(true.taps_sec)))) < RIGHT_SEC


def confidence_of(found: Sequence[Judged]) -> tuple[Numbers, Numbers]:
    """The two logistics: of whole recordings, and of lines."""
    clear = [each for each in found if not 0.4 <= each.holds < 0.6]
    of_whole = logistic(
        np.array([each.whole for each in clear]),
        np.array([float(each.holds >= 0.6) for each in clear]),
        0.05,
        np.ones(len(clear)),
    )
    rows, labels, counts = [], [], []
    for each in (each for each in found if any(each.told)):
        holds = float(sure(each.whole @ of_whole))
        for inputs, was_found, right in zip(each.lines, each.found, each.right, strict=True):
            if was_found:
                rows.append(inputs)
                labels.append(float(right))
                counts.append(min(max(holds, 0.02), 1.0))
    return of_whole, logistic(np.array(rows), np.array(labels), 0.1, np.array(counts))


def others(detector: Detector, made: Sequence[Made], first_seed: int) -> list[Judged]:
    """Recordings that don't hold the story they are asked for."""
    found = []
    for n, each in enumerate(made[:_OTHERS]):
        wrong = made[(n + 7) % len(made)].lines
        found.append(judged(each.levels, wrong, {}, detector))
        if n % 2:
            continue
        performance = perform(a_story(first_seed + n, LEARNED_ON))
        lines, seed = written_lines(performance), first_seed + n
        for sound in (music(seed), silence(seed), talk_alone(performance, seed)):
            found.append(judged(levels(sound), lines, {}, detector))
    return [each for each in found if each is not None]


def main() -> None:
    """Learn both and write them."""
    learned, chosen = list(learned_on()), list(chosen_on())
    stranger = detector_of(learned)
    found = [judged(each.levels, each.lines, each.true, stranger) for each in chosen]
    known = [each for each in found if each is not None]
    of_whole, of_line = confidence_of([*known, *others(stranger, chosen, 100)])
    shipped = detector_of([*learned, *chosen])
    FOLDER.mkdir(exist_ok=True)
    _write("confidence.json", {"whole": of_whole, "line": of_line})
    _write(
        "tap_weights.json",
        {
            "middle": shipped.middle,
            "spread": shipped.spread,
            "weights": shipped.weights,
            "bias": np.array(shipped.bias),
        },
    )


def _write(name: str, data: dict[str, NDArray[np.floating]]) -> None:
    plain = {key: np.round(value.astype(np.float64), 5).tolist() for key, value in data.items()}
    (FOLDER / name).write_text(json.dumps(plain) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
