"""What the listening bar says, and what is said after somebody tapped along: kind, short."""

from collections.abc import Iterable

from tapscore.model.tempo import number_text
from tapscore.model.wordings import joined
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.rhythm.practised import LineNote, Practised, Timing

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


NO_TAPS = "You have no taps here. Listen, or go to another line."
NOT_TAPPED = "Nothing was tapped. Press the space bar for each of your taps."
TOGETHER = "Together with the story, all the way."
_ALL = {
    Timing.AHEAD: "A little ahead all through. Wait for the click.",
    Timing.BEHIND: (
        "A little behind all through. Wireless headphones make the sound late: try it without."
    ),
}
_LINES = {
    Timing.AHEAD: "A little ahead in {}.",
    Timing.BEHIND: "A little behind in {}.",
    Timing.HURRYING: "Getting faster in {}.",
    Timing.DRAGGING: "Getting slower in {}.",
}
_MOST_SAID = 2


def practice_sentence(found: Practised, performance: Performance) -> str:
    """One to three short sentences; what went well first."""
    if not found.lines:
        return NO_TAPS
    if not found.tapped:
        return NOT_TAPPED
    said = [_ALL[found.whole]] if found.whole is not Timing.TOGETHER else []
    for timing, words in _LINES.items():
        here = [note for note in found.lines if note.timing is timing]
        if here:
            said.append(words.format(_named(here, performance)))
    missing = [note for note in found.lines if note.missing]
    if missing:
        said.append(f"There are more taps for you in {_named(missing, performance)}.")
    more = [note for note in found.lines if note.more and not note.missing]
    if more:
        said.append(f"You tapped more than is written in {_named(more, performance)}.")
    if not said:
        return TOGETHER
    good = [
        note
        for note in found.lines
        if note.timing is Timing.TOGETHER and not note.missing and not note.more
    ]
    praise = [f"Together in {_named(good, performance)}."] if good and len(good) < 4 else []
    if len(good) >= 4:
        praise = ["Together in most lines."]
    return " ".join([*praise, *said[:_MOST_SAID]])


def _named(notes: Iterable[LineNote], performance: Performance) -> str:
    names = [where(performance.segments[note.segment]) for note in notes]
    names = list(dict.fromkeys(f"{name[0].lower()}{name[1:]}" for name in names))
    return joined(names)
