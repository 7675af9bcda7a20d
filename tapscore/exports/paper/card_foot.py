"""What stands at the foot of a card: what comes next, when to stop, when to come in again."""

from collections.abc import Sequence

from attrs import frozen

from tapscore.exports.paper.cards import Card, Cue
from tapscore.exports.paper.steps import StepKind
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.model.wordings import ordinal


@frozen
class Sentence:
    """A sentence of the foot, after a word in a solid pill (or none)."""

    pill: str
    pieces: tuple[Piece, ...]


def foot_sentences(card: Card) -> tuple[Sentence, ...]:
    """What comes after a card, up to the next one."""
    cues = card.then
    if card.kind is StepKind.REFRAIN and card.times > 1 and _simply_on(cues):
        times = Piece(f"The refrain comes {card.times} times in the story. ", True)
        return (Sentence("", (times, Piece("Here: your next card"))),)
    said: list[Sentence] = []
    time = 1
    for index, cue in enumerate(cues):
        time += cue.again
        said.append(_sentence(cue, first=index == 0, time=time))
    return tuple(said)


def _simply_on(cues: Sequence[Cue]) -> bool:
    return len(cues) == 1 and not cues[0].finish


def _sentence(cue: Cue, *, first: bool, time: int) -> Sentence:
    if cue.finish:
        return Sentence("Finish", (Piece("hands still, cards down"),))
    pieces: list[Piece] = []
    name = f"{cue.label}, {ordinal(time)} time" if cue.again else cue.label
    if cue.after is not None:
        pieces.append(Piece(f"Come in after “{own(cue.after)}”: "))
    else:
        pieces.append(Piece("Next: " if first else "Then: "))
    if cue.offered:
        pieces.append(Piece(f"rest for {' and '.join(map(own, cue.offered))}, then "))
    if cue.wait_sec:
        pieces.append(Piece(f"wait {round(cue.wait_sec)}, then "))
    pieces.append(Piece(f"refrain, {own(name)}" if cue.refrain else name, True))
    if cue.ready:
        pieces.append(Piece(f". Have ready: {', '.join(map(own, cue.ready))}"))
    return Sentence("Stop" if first and cue.after is not None else "", tuple(pieces))
