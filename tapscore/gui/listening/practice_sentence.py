"""What is said after somebody tapped along: kind, short, without figures."""

from collections.abc import Iterable

from tapscore.gui.listening.sentences import where
from tapscore.model.wordings import joined
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.practised import LineNote, Practised, Timing

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
