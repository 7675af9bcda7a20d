"""What stands at the foot of a card: what comes next, when to stop, when to come in again."""

from collections.abc import Sequence

from attrs import frozen

from tapscore.exports.paper.cards import Card, Cue
from tapscore.exports.paper.steps import StepKind
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.model.wordings import ordinal
from tapscore.wording.catalogue import say


@frozen
class Sentence:
    """A sentence of the foot, after a word in a solid pill (or none)."""

    pill: str
    pieces: tuple[Piece, ...]


def foot_sentences(card: Card) -> tuple[Sentence, ...]:
    """What comes after a card, up to the next one."""
    cues = card.then
    if card.kind is StepKind.REFRAIN and card.times > 1 and _simply_on(cues):
        pieces = pieces_of(
            "**The refrain comes {times:once|# times} in the story. **Here: your next card",
            times=card.times,
        )
        return (Sentence("", (*pieces, *_ready(cues[0]))),)
    return tuple(_sentence(cue, first=index == 0) for index, cue in enumerate(cues))


def _ready(cue: Cue) -> tuple[Piece, ...]:
    if not cue.ready:
        return ()
    return (Piece(say(". Have ready: {props:list}", props=tuple(map(own, cue.ready)))),)


def _simply_on(cues: Sequence[Cue]) -> bool:
    return len(cues) == 1 and not cues[0].finish


def _sentence(cue: Cue, *, first: bool) -> Sentence:
    if cue.finish:
        return Sentence(say("Finish"), (Piece(say("hands still, cards down")),))
    pieces: list[Piece] = []
    name = (
        say("{label}, {ordinal} time", label=cue.label, ordinal=ordinal(cue.again))
        if cue.again
        else cue.label
    )
    if cue.after == "":
        pieces.append(Piece(say("Come in after a line without words: ")))
    elif cue.after is not None:
        pieces.append(Piece(say("Come in after “{words}”: ", words=own(cue.after))))
    else:
        pieces.append(Piece(say("Next: ") if first else say("Then: ")))
    if cue.offered:
        pieces.append(Piece(say("rest for {props:and}, then ", props=tuple(map(own, cue.offered)))))
    if cue.wait_sec:
        pieces.append(Piece(say("wait {seconds}, then ", seconds=round(cue.wait_sec))))
    pieces.append(Piece(say("refrain, {name}", name=name) if cue.refrain else name, True))
    pieces += _ready(cue)
    return Sentence(say("Stop") if first and cue.after is not None else "", tuple(pieces))
