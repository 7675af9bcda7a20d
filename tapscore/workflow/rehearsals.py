"""One rehearsal or several in words: line by line, and what keeps happening.  No names."""

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING, Any

from attrs import evolve, frozen

from tapscore.model.story import Story
from tapscore.model.wordings import clock
from tapscore.model.words import printed
from tapscore.wording.english import ENGLISH
from tapscore.wording.text import Surface
from tapscore.workflow.listening_back import Heard

if TYPE_CHECKING:
    from tapscore.rehearsal.differences import Difference
    from tapscore.rehearsal.told import ToldLine

NOTHING_DIFFERENT = "Nothing was clearly different from what is written."
_WIDTH = 92


@frozen(eq=False)
class LineHeard:
    """One line as it was told, to be drawn or read."""

    segment: int
    name: str
    words: str
    certainty: str
    """``sure``, ``it sounded as if`` or ``can't tell``."""
    begin_sec: float | None
    """In the file; None where it was not found."""
    end_sec: float | None
    written_tempo: int
    told_tempo: int | None

    @property
    def sentence(self) -> str:
        """All of it in words, for a list and a screen reader."""
        if self.begin_sec is None or self.told_tempo is None:
            return f"{self.name}, “{self.words}”: can't tell where it was."
        where = f"at {clock(self.begin_sec)}"
        tempo = f"{self.told_tempo} beats a minute, {self.written_tempo} written"
        if self.certainty == "sure":
            return f"{self.name}, “{self.words}”: {where}, {tempo}."
        return f"{self.name}, “{self.words}”: can't tell surely; perhaps {where}."


def lines_heard(heard: Heard) -> tuple[LineHeard, ...]:
    """Every tapped line, in the order written."""
    from tapscore.rehearsal.differences import line_names, told_tempo
    from tapscore.rehearsal.told import Certainty

    if heard.told is None:
        return ()
    names = line_names(heard.performance)
    found = []
    for line in heard.told.lines:
        segment = heard.performance.segments[line.segment]
        known = line.found and heard.can_tell and line.certainty is not Certainty.CANT_TELL
        begin = heard.told.begin_sec
        found.append(
            LineHeard(
                line.segment,
                ENGLISH.line_name(names[line.segment], False),
                printed(segment.line.words) if segment.line is not None else "",
                line.certainty.value if known else Certainty.CANT_TELL.value,
                begin + line.start_sec if known else None,
                begin + line.end_sec if known else None,
                round(float(segment.manner.tempo.start)),
                _tempo(line, told_tempo(segment, line.ratio)[0]) if known else None,
            )
        )
    return tuple(found)


def _tempo(line: "ToldLine", tempo: int) -> int | None:
    return tempo if line.heard.sum() > 1 else None


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
        return f"{_OFTEN.get(self.often, f'{self.often} times')} now: {message}"

    @property
    def remedy(self) -> str:
        """What helps."""
        return self.difference.finding.said(Surface.WINDOW).remedy


_OFTEN = {2: "Twice", 3: "Three times", 4: "Four times", 5: "Five times"}


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
            parts += [f"Rehearsal {at + 1}", ""]
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
        where = "" if at_sec is None else f" (at {clock(begin + at_sec)})"
        parts += _indented(f"{number}. ", each.message + where)
        parts += [*_indented("   ", each.remedy), ""]
    parts.append("Line by line:")
    parts += [line for each in lines_heard(heard) for line in _indented("  ", each.sentence)]
    return [*parts, ""]


def _indented(first: str, text: str) -> list[str]:
    blank = " " * len(first)
    return fill(text, _WIDTH, initial_indent=first, subsequent_indent=blank).splitlines()


def at_in_file(heard: Heard, difference: "Difference") -> "Difference":
    """The difference with its times counted from the file's beginning."""
    begin = heard.told.begin_sec if heard.told is not None else 0.0
    if difference.at_sec is None or difference.until_sec is None:
        return difference
    return evolve(
        difference, at_sec=begin + difference.at_sec, until_sec=begin + difference.until_sec
    )
