"""How likely a line's place is right: a logistic, calibrated on simulated rehearsals."""

from collections.abc import Sequence

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from tapscore.rehearsal.alignment import Alignment, Evidence
from tapscore.rehearsal.told import ToldLine
from tapscore.rehearsal.written import WrittenLine

NAMES = (
    "one",
    "margin",
    "margin squared",
    "heard",
    "evidence",
    "off",
    "tempo off",
    "neighbours",
    "whole margin",
    "whole heard",
    "taps",
)
_WEIGHTS = np.zeros(len(NAMES))


def confidences(
    placed: Sequence[ToldLine],
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    evidence: Evidence,
) -> list[ToldLine]:
    """The lines with their confidence."""
    inputs = line_inputs(placed, lines, alignment, evidence)
    sure = 1 / (1 + np.exp(-np.clip(inputs @ _WEIGHTS, -30, 30)))
    return [
        evolve(line, confidence=float(each) if line.found else 0.0)
        for line, each in zip(placed, sure, strict=True)
    ]


def line_inputs(
    placed: Sequence[ToldLine],
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    evidence: Evidence,
) -> NDArray[np.float64]:
    """What the logistic goes by, shape ``(lines, len(NAMES))``."""
    margin = np.clip(np.array(alignment.margin), 0, 25) / 10
    margin = np.where([line.found for line in placed], margin, 0)
    heard = np.array([line.heard.mean() if line.found else 0.0 for line in placed])
    ratios = np.array([line.ratio if line.found else np.nan for line in placed])
    middle = float(np.nanmedian(ratios)) if np.isfinite(ratios).any() else 1.0
    before = np.concatenate([margin[:1], margin[:-1]])
    after = np.concatenate([margin[1:], margin[-1:]])
    rows = []
    for at, (line, written) in enumerate(zip(placed, lines, strict=True)):
        taps = alignment.taps[at]
        matched = taps[taps >= 0]
        own = evidence.for_tap[matched].mean() if len(matched) else 0.0
        off = 0.0
        if line.found and line.heard.sum() > 2:
            x, y = written.taps_sec[line.heard], line.taps_sec[line.heard]
            off = float(np.std(y - np.polyval(np.polyfit(x, y, 1), x)))
        tempo = abs(np.log(line.ratio / middle)) if line.found and line.ratio > 0 else 0.0
        rows.append(
            [
                1.0,
                margin[at],
                margin[at] ** 2 / 2,
                heard[at],
                float(own) / 3,
                min(off, 0.15) * 20,
                min(tempo, 0.6) * 5,
                min(before[at], after[at]),
                float(np.mean(margin)),
                float(np.mean(heard)),
                min(len(written.taps_sec), 12) / 6,
            ]
        )
    return np.array(rows)
