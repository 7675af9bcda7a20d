"""What the listening bar says, and what is said after somebody tapped along: kind, short."""

from collections.abc import Iterable

from tapscore.model.tempo import number_text
from tapscore.model.wordings import joined
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.rhythm.practised import LineNote, Practised, Timing
from tapscore.wording.catalogue import say

AT_REST = say("Press F5 to listen from the line you are in.")
NOTHING = say("There is nothing to listen to from here on.")
NOT_USED = say(
    "This refrain is not in the story yet. Put in its return first: Add, Refrain's return."
)
NO_LINE = say("Go to a line first: there is nothing here to loop.")
ENDED = say("That was the end.")
STOPPED = say("Stopped.")
AGAIN = say("Beginning again with what was changed.")
PRACTISE_NEXT = say("Choose your part, then press F5 and tap it on the space bar.")
PRACTISE = say("Press the space bar for each of your taps.")
CHANGED = say("Stopped, since the story was changed. Press F5 to listen again.")


def playing_sentence(segment: Segment, *, counting_in: bool) -> str:
    """Which line is heard, and how fast."""
    name = where(segment)
    if counting_in:
        return say("Counting in to {name}.", name=name[0].lower() + name[1:])
    tempo = segment.manner.tempo
    if tempo is None:
        return f"{name}."
    start = number_text(tempo.start)
    if not tempo.change_word or tempo.end is None:
        return say("{name}, {tempo} a minute.", name=name, tempo=start)
    return say(
        "{name}, {change} {start} to {end}.",
        name=name,
        change=tempo.change_word,
        start=start,
        end=number_text(tempo.end),
    )


def holding_sentence(segment: Segment) -> str:
    """What everybody waits for, and which key goes on."""
    said = [
        say("Wait.")
        if segment.kind is SegmentKind.WAIT
        else say("Offer {prop} to each pupil.", prop=segment.prop)
    ]
    if segment.look_for:
        said.append(say("Look for: {look_for}.", look_for=segment.look_for))
    return " ".join((*said, say("Space or F7 goes on.")))


def where(segment: Segment) -> str:
    """What a line is called."""
    if segment.refrain is not None:
        return say("Refrain {name}", name=segment.refrain)
    return (
        say("Line {number}", number=segment.number)
        if segment.number is not None
        else say("The line")
    )


NO_TAPS = say("You have no taps here. Listen, or go to another line.")
NOT_TAPPED = say("Nothing was tapped. Press the space bar for each of your taps.")
TOGETHER = say("Together with the story, all the way.")
_ALL = {
    Timing.AHEAD: say("A little ahead all through. Wait for the click."),
    Timing.BEHIND: (
        say("A little behind all through. Wireless headphones make the sound late: try it without.")
    ),
}
_LINES = (Timing.AHEAD, Timing.BEHIND, Timing.HURRYING, Timing.DRAGGING)
_MOST_SAID = 2


def practice_sentence(found: Practised, performance: Performance) -> str:
    """One to three short sentences; what went well first."""
    if not found.lines:
        return NO_TAPS
    if not found.tapped:
        return NOT_TAPPED
    said = [_ALL[found.whole]] if found.whole is not Timing.TOGETHER else []
    for timing in _LINES:
        here = [note for note in found.lines if note.timing is timing]
        if here:
            said.append(
                say(
                    "{how:ahead=A little ahead in {lines}.|behind=A little behind in {lines}."
                    "|hurrying=Getting faster in {lines}.|dragging=Getting slower in {lines}.}",
                    how=timing.name.lower(),
                    lines=_named(here, performance),
                )
            )
    missing = [note for note in found.lines if note.missing]
    if missing:
        said.append(
            say("There are more taps for you in {named}.", named=_named(missing, performance))
        )
    more = [note for note in found.lines if note.more and not note.missing]
    if more:
        said.append(
            say("You tapped more than is written in {named}.", named=_named(more, performance))
        )
    if not said:
        return TOGETHER
    good = [
        note
        for note in found.lines
        if note.timing is Timing.TOGETHER and not note.missing and not note.more
    ]
    praise = (
        [say("Together in {named}.", named=_named(good, performance))]
        if good and len(good) < 4
        else []
    )
    if len(good) >= 4:
        praise = [say("Together in most lines.")]
    return " ".join([*praise, *said[:_MOST_SAID]])


def _named(notes: Iterable[LineNote], performance: Performance) -> str:
    names = [where(performance.segments[note.segment]) for note in notes]
    names = list(dict.fromkeys(f"{name[0].lower()}{name[1:]}" for name in names))
    return joined(names)
