"""One rehearsal or several in words: line by line, and what keeps happening.  No names."""

from collections.abc import Iterator, Sequence
from statistics import median
from textwrap import fill
from typing import TYPE_CHECKING, Any

from attrs import evolve, frozen

from tapscore.model.story import Story, Wait
from tapscore.model.wordings import clock, seconds_words
from tapscore.model.words import printed
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import line_name
from tapscore.wording.text import Surface
from tapscore.workflow.listening_back import Heard

if TYPE_CHECKING:
    from tapscore.rehearsal.differences import Difference
    from tapscore.rehearsal.told import ToldLine

NOTHING_DIFFERENT = say("Nothing was clearly different from what is written.")
_WIDTH = 92


LOUDER_DB = 6.0
"""From here on of two neighbouring lines one is said to have sounded louder."""


@frozen(eq=False)
class LineHeard:
    """One line as it was told, to be drawn or read."""

    segment: int
    name: str
    words: str
    certainty: str
    """``sure``, ``it sounded as if`` or ``can't tell``."""
    written_begin_sec: float
    """Of its first tap, in the story as written."""
    written_end_sec: float
    written_tempo: int
    begin_sec: float | None = None
    """In the file; None where it was not found."""
    end_sec: float | None = None
    told_tempo: int | None = None
    level_db: float | None = None
    """Against the middle of all lines; None where it can't be told."""
    swell_db: float | None = None
    """Its last tap against its first, where a swell is written."""
    louder: bool | None = None
    """Whether it sounded louder than the line before, or softer; None for neither."""
    waited_sec: float | None = None
    """How long the wait after it lasted, and the next field how long is written."""
    wait_written_sec: float | None = None
    outside: bool = False
    """Whether only a part of the story was found, and it is not in that."""

    @property
    def sure(self) -> bool:
        """Whether its place is sure."""
        return self.certainty == "sure"

    @property
    def sentence(self) -> str:
        """All of it in words, for a list and a screen reader."""
        if self.outside:
            return say(
                "{name}, “{words}”: not in the part that was found.",
                name=self.name,
                words=self.words,
            )
        if self.begin_sec is None:
            return say(
                "{name}, “{words}”: can't tell where it was.", name=self.name, words=self.words
            )
        where = say("at {begin}", begin=clock(self.begin_sec))
        if not self.sure:
            return say(
                "{name}, “{words}”: can't tell surely; perhaps {where}.",
                name=self.name,
                words=self.words,
                where=where,
            )
        parts = [where]
        if self.told_tempo is not None:
            parts.append(
                say(
                    "{told_tempo} beats a minute, {written_tempo} written",
                    told_tempo=self.told_tempo,
                    written_tempo=self.written_tempo,
                )
            )
        if self.louder is not None:
            parts.append(
                say("sounded louder than the line before")
                if self.louder
                else say("sounded softer than the line before")
            )
        if self.swell_db is not None and abs(self.swell_db) >= LOUDER_DB:
            parts.append(
                say("sounded as if it grew") if self.swell_db > 0 else say("sounded as if it faded")
            )
        if self.waited_sec is not None and self.wait_written_sec is not None:
            waited = seconds_words(self.waited_sec)
            parts.append(
                say(
                    "then a wait of {waited}, {wait_written:.0f} written",
                    waited=waited,
                    wait_written=self.wait_written_sec,
                )
            )
        return say(
            "{name}, “{words}”: {what}.", name=self.name, words=self.words, what="; ".join(parts)
        )


def lines_heard(heard: Heard) -> tuple[LineHeard, ...]:
    """Every tapped line, in the order written."""
    from tapscore.rehearsal.differences import line_names
    from tapscore.rehearsal.told import Certainty
    from tapscore.rehearsal.written import written_lines

    if heard.told is None:
        return ()
    names = line_names(heard.performance)
    found = []
    every = zip(heard.told.lines, written_lines(heard.performance), strict=True)
    for at, (line, written) in enumerate(every):
        segment = heard.performance.segments[line.segment]
        shown = LineHeard(
            line.segment,
            line_name(names[line.segment], False),
            printed(segment.line.words) if segment.line is not None else "",
            Certainty.CANT_TELL.value,
            written.start_sec,
            written.start_sec + written.length_sec,
            round(float(segment.manner.tempo.start)),
            outside=heard.can_tell and at not in heard.told.span,
        )
        if line.found and heard.can_tell and line.certainty is not Certainty.CANT_TELL:
            shown = _as_heard(shown, line, heard)
        found.append(shown)
    return tuple(_beside_each_other(found, heard))


def _as_heard(shown: LineHeard, line: "ToldLine", heard: Heard) -> LineHeard:
    from tapscore.rehearsal.differences import told_tempo
    from tapscore.rehearsal.loudness import line_level, swelling

    assert heard.told is not None
    begin = heard.told.begin_sec
    segment = heard.performance.segments[line.segment]
    level, swell = line_level(line), swelling(line)
    loudness = line.sure and not heard.overloaded
    swells = len(segment.manner.loudness) > 1
    return evolve(
        shown,
        certainty=line.certainty.value,
        begin_sec=begin + line.start_sec,
        end_sec=begin + line.end_sec,
        told_tempo=told_tempo(segment, line.ratio)[0] if line.heard.sum() > 2 else None,
        level_db=level.middle_db if level is not None and loudness else None,
        swell_db=swell.db if swell is not None and loudness and swells else None,
    )


def _beside_each_other(found: Sequence[LineHeard], heard: Heard) -> Iterator[LineHeard]:
    """What a line is against its neighbours, and the wait after it."""
    levels = [line.level_db for line in found if line.level_db is not None]
    middle = median(levels) if levels else 0.0
    for at, line in enumerate(found):
        before = found[at - 1].level_db if at else None
        after = found[at + 1] if at + 1 < len(found) else None
        shown = line
        if line.level_db is not None:
            louder = None
            if before is not None and abs(line.level_db - before) >= LOUDER_DB:
                louder = line.level_db > before
            shown = evolve(line, level_db=line.level_db - middle, louder=louder)
        if after is not None and line.sure and after.sure:
            yield _with_wait(shown, after, heard)
        else:
            yield shown


def _with_wait(line: LineHeard, after: LineHeard, heard: Heard) -> LineHeard:
    from tapscore.workflow.story_as_told import pace_told

    between = heard.performance.segments[line.segment + 1 : after.segment]
    if len(between) != 1 or not isinstance(between[0].item, Wait):
        return line
    assert after.begin_sec is not None
    assert line.end_sec is not None
    rests = after.written_begin_sec - line.written_end_sec - between[0].length_sec
    waited = max(after.begin_sec - line.end_sec - rests / pace_told(heard), 0.0)
    return evolve(line, waited_sec=waited, wait_written_sec=float(between[0].item.least_sec))


def line_rows(heard: Heard) -> list[dict[str, Any]]:
    """The same for JSON."""
    return [
        {
            "line": each.name,
            "words": each.words,
            "how_sure": each.certainty,
            "begin_sec": None if each.begin_sec is None else round(each.begin_sec, 3),
            "end_sec": None if each.end_sec is None else round(each.end_sec, 3),
            "tempo": each.told_tempo,
            "tempo_written": each.written_tempo,
            "wait_sec": None if each.waited_sec is None else round(each.waited_sec, 1),
            "sounded_louder_than_before": each.louder,
        }
        for each in lines_heard(heard)
    ]


@frozen(eq=False)
class Repeated:
    """A difference of the last rehearsal, and in how many rehearsals it was heard."""

    difference: "Difference"
    often: int

    @property
    def message(self) -> str:
        """What is said of it."""
        message, _ = self.difference.finding.said(Surface.WINDOW)
        if self.often < 2:
            return message
        return say(
            "{often} now: {message}",
            often=_OFTEN.get(self.often) or say("{times} times", times=self.often),
            message=message,
        )

    @property
    def remedy(self) -> str:
        """What helps."""
        return self.difference.finding.said(Surface.WINDOW).remedy


_OFTEN = {2: say("Twice"), 3: say("Three times"), 4: say("Four times"), 5: say("Five times")}


def keeps_happening(rehearsals: Sequence[Heard]) -> tuple[Repeated, ...]:
    """What was otherwise in the last rehearsal that could be told, of several, earliest first.

    What was otherwise in earlier ones, too, comes first.
    """
    told = [each for each in rehearsals if each.can_tell]
    if not told:
        return ()
    earlier = [{_key(each) for each in heard.differences} for heard in told[:-1]]
    found = [
        Repeated(each, 1 + sum(_key(each) in keys for keys in earlier))
        for each in told[-1].differences
    ]
    return tuple(sorted(found, key=lambda each: -each.often))


def _key(difference: "Difference") -> object:
    about = difference.finding.about
    shorter = None
    if "lasted" in about:
        lasted, wanted = about["lasted"], about["wanted"]
        assert isinstance(lasted, int)
        assert isinstance(wanted, int)
        shorter = lasted < wanted
    return (
        difference.finding.code,
        difference.segment,
        about.get("way"),
        about.get("sounded"),
        shorter,
    )


def report(story: Story, rehearsals: Sequence[Heard]) -> str:
    """All of it as plain text, the last rehearsal first.

    It has the story's words and nobody's name: neither a role's, nor that of a sound file.
    """
    parts = [story.title, ""]
    for at in range(len(rehearsals) - 1, -1, -1):
        heard = rehearsals[at]
        if len(rehearsals) > 1:
            parts += [say("Rehearsal {at}", at=at + 1), ""]
        last = at == len(rehearsals) - 1
        said = keeps_happening(rehearsals) if last else [Repeated(d, 1) for d in heard.differences]
        if last and not heard.can_tell:
            said = ()
        parts += _told(heard, said)
    return "\n".join(parts).rstrip() + "\n"


def _told(heard: Heard, said: Sequence[Repeated]) -> list[str]:
    parts: list[str] = []
    for remark in heard.remarks:
        parts += [*_indented("", f"{remark.message} {remark.remedy}"), ""]
    if not heard.can_tell:
        return parts
    if not said:
        parts += [NOTHING_DIFFERENT, ""]
    for number, each in enumerate(said, 1):
        at_sec = each.difference.at_sec
        begin = heard.told.begin_sec if heard.told is not None else 0.0
        where = "" if at_sec is None else say(" (at {begin})", begin=clock(begin + at_sec))
        parts += _indented(f"{number}. ", each.message + where)
        parts += [*_indented("   ", each.remedy), ""]
    parts.append(say("Line by line:"))
    parts += [line for each in lines_heard(heard) for line in _indented("  ", each.sentence)]
    return [*parts, ""]


def _indented(first: str, text: str) -> list[str]:
    blank = " " * len(first)
    return fill(text, _WIDTH, initial_indent=first, subsequent_indent=blank).splitlines()
