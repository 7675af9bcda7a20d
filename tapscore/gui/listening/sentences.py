"""What the listening bar says, in whole sentences.  No Qt here."""

from tapscore.model.tempo import number_text
from tapscore.rhythm.performance import Segment, SegmentKind

AT_REST = "Press F5 to listen from the line you are in."
NOTHING = "There is nothing to listen to from here on."
NOT_USED = "This refrain is not in the story yet. Put in its return first: Add, Refrain's return."
NO_LINE = "Go to a line first: there is nothing here to loop."
ENDED = "That was the end."
STOPPED = "Stopped."
AGAIN = "Beginning again with what was changed."
PRACTISE_NEXT = "Choose your part, then press F5 and tap it on the space bar."
PRACTISE = "Press the space bar for each of your taps."
CHANGED = "Stopped, since the story was changed. Press F5 to listen again."


def playing_sentence(segment: Segment, *, counting_in: bool) -> str:
    """Which line is heard, and how fast."""
    name = where(segment)
    if counting_in:
        return f"Counting in to {name[0].lower()}{name[1:]}."
    tempo = segment.manner.tempo
    fast = f", {number_text(tempo.start)} a minute" if tempo else ""
    if tempo and tempo.change_word and tempo.end is not None:
        fast = f", {tempo.change_word} {number_text(tempo.start)} to {number_text(tempo.end)}"
    return f"{name}{fast}."


def holding_sentence(segment: Segment) -> str:
    """What everybody waits for, and which key goes on."""
    look = f" Look for: {segment.look_for}." if segment.look_for else ""
    what = "Wait." if segment.kind is SegmentKind.WAIT else f"Offer {segment.prop} to each pupil."
    return f"{what}{look} Space or F7 goes on."


def where(segment: Segment) -> str:
    """What a line is called."""
    if segment.refrain is not None:
        return f"Refrain {segment.refrain}"
    return f"Line {segment.number}" if segment.number is not None else "The line"
