"""Learning from one's own board: a minute of taps, kept as a few numbers and never as sound."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from attrs import frozen

from tapscore.disc.ours import read_record, write_record
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from tapscore.rehearsal.detector import Detector

_RUBBED = (Stroke.SCRATCH, Stroke.SWEEP)
_ANYWHERE = say("the middle")
_FILE = "own board taps.json"


@frozen
class TapGroup:
    """What is tapped three times on end."""

    spot: str
    stroke: Stroke

    @property
    def words(self) -> str:
        """How it is said."""
        return say("{stroke} at {spot}", stroke=self.stroke.shown, spot=self.spot)


@frozen(eq=False)
class OwnBoard:
    """A board as it was learned."""

    detector: "Detector"
    groups: tuple[TapGroup, ...]
    levels_db: tuple[float, ...]

    @property
    def readings(self) -> tuple[tuple[str, float], ...]:
        """For each spot a phone's reading of its first stroke, against the loudest one's 1.

        A comparison with the board's model takes off what all have in common, so that how a
        microphone counts does not matter.
        """
        first: dict[str, float] = {}
        for group, level in zip(self.groups, self.levels_db, strict=True):
            first.setdefault(group.spot, level)
        top = max(first.values())
        return tuple((spot, round(10 ** ((level - top) / 20), 3)) for spot, level in first.items())


def tap_groups(story: Story) -> tuple[TapGroup, ...]:
    """What to tap, in this order: at each spot every stroke of the story that is struck."""
    used = {tap.stroke for tap in perform(story).taps}
    strokes = [each for each in Stroke if each in used and each not in _RUBBED]
    spots = [spot.name for spot in story.board.spots] if story.board is not None else []
    return tuple(
        TapGroup(spot, stroke)
        for spot in spots or [_ANYWHERE]
        for stroke in strokes or [Stroke.FINGERTIPS]
    )


def how_to_tap(story: Story) -> str:
    """What to do, in a sentence or two."""
    groups = tap_groups(story)
    listed = "; ".join(group.words for group in groups)
    return say(
        "Lay the phone on the board, on a cloth, and record while one adult taps each of "
        "these three times, about one tap a second and nobody speaking: {listed}.",
        listed=listed,
    )


def learn_own_board(story: Story, path: Path) -> OwnBoard:
    """Learn from a recording; raises RecordingUnusable where the taps can't be told."""
    from tapscore.exports.audio.voice.decode import RecordingUnusable
    from tapscore.rehearsal.bands import levels_of
    from tapscore.rehearsal.detector import learned_detector
    from tapscore.rehearsal.own_board import TIMES, learn_board
    from tapscore.rehearsal.recording import blocks_of, look_into

    groups = tap_groups(story)
    levels = levels_of(blocks_of(look_into(path)))
    found = learn_board(levels, len(groups), learned_detector())
    if isinstance(found, int):
        raise RecordingUnusable(
            say(
                "{found} taps could be told in {file}, and {times} are wanted. {how_to_tap}",
                found=found,
                file=path.name,
                times=TIMES * len(groups),
                how_to_tap=how_to_tap(story),
            )
        )
    return OwnBoard(found.detector, groups, found.levels_db)


def keep_own_board(own: OwnBoard, file: Path | None = None) -> None:
    """Keep what taps sound like; a few numbers that no sound can be made of.

    Raises OSError if it can't be written.
    """
    detector = own.detector
    numbers: dict[str, Any] = {
        "middle": detector.middle.tolist(),
        "spread": detector.spread.tolist(),
        "weights": detector.weights.tolist(),
        "bias": detector.bias,
        "readings": [list(each) for each in own.readings],
    }
    write_record(file or _usual_file(), numbers)


def own_detector(file: Path | None = None) -> "Detector | None":
    """The detector that knows the own board; None where none was learned, or it is damaged."""
    import numpy as np

    from tapscore.rehearsal.detector import Detector, learned_detector

    record = read_record(file or _usual_file())
    size = len(learned_detector().weights)
    try:
        parts = [np.array(record[name], np.float32) for name in ("middle", "spread", "weights")]
        bias = float(record["bias"])
    except (KeyError, TypeError, ValueError):
        return None
    if any(part.shape != (size,) or not np.isfinite(part).all() for part in parts):
        return None
    return Detector(parts[0], np.maximum(parts[1], 1e-6), parts[2], bias)


def own_readings(file: Path | None = None) -> tuple[tuple[str, float], ...]:
    """What a phone read at each spot when the own board was learned, to be compared again.

    Empty where none was learned, or the file is damaged.
    """
    kept = read_record(file or _usual_file()).get("readings")
    if not isinstance(kept, list):
        return ()
    found = []
    for each in kept:
        match each:
            case [str(spot), int() | float() as value] if value > 0:
                found.append((spot, float(value)))
    return tuple(found)


def _usual_file() -> Path:
    from platformdirs import user_data_path

    return user_data_path("tapscore", appauthor=False) / _FILE
