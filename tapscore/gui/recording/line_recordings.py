"""What becomes of a take: kept beside the story, or why not.  No Qt here."""

from collections.abc import Callable
from pathlib import Path

from attrs import frozen

from tapscore.disc.reasons import reason
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.exports.audio.voice.shaping import resampled
from tapscore.exports.audio.voice.take import take_remark, why_not_kept
from tapscore.gui.recording.sound_in import Samples
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.neural_voice import read_out
from tapscore.workflow.recording_lines import (
    LineToRecord,
    bring_in,
    keep_take,
    lines_to_record,
    take_away,
)

KEPT = say("Kept. Return lets you hear it; Down goes to the next line.")
PART_KEPT = say("What you said until then is kept: say the line again.")


@frozen(eq=False)
class Unkept:
    """A take that could not be written."""

    line: LineToRecord
    sound: Samples
    rate_hz: int
    whole: bool


class LineRecordings:
    """The lines of a story with their recordings in a folder."""

    def __init__(self, story: Story, folder: Path) -> None:
        self._story = story
        self.folder = folder
        self.lines = lines_to_record(story, folder)
        self.unkept: Unkept | None = None
        self.why_unkept = ""

    def take(self, line: LineToRecord, sound: Samples, rate_hz: int, *, whole: bool = True) -> str:
        """Keep a take, ``whole`` unless it ended by itself; says what came of it."""
        problem = why_not_kept(sound, rate_hz)
        if problem:
            return problem
        self.unkept = Unkept(line, sound, rate_hz, whole)
        return self.keep_again()

    def keep_again(self) -> str:
        """Write the take that is not kept yet; says what came of it."""
        take = self.unkept
        if take is None:
            return ""
        line = self._now(take.line)
        try:
            keep_take(self.folder, line, take.sound, take.rate_hz)
        except OSError as error:
            self.why_unkept = say(
                "It can't be written into {folder}: {reason}. Make room, or look whether "
                "the folder may be written to, and try again.",
                folder=self.folder.name,
                reason=reason(error),
            )
            return self.why_unkept
        self.unkept = None
        self.look()
        if not take.whole:
            return PART_KEPT
        remark = take_remark(resampled(take.sound, take.rate_hz), line.length_sec)
        return say("Kept. {remark}", remark=remark) if remark else KEPT

    def bring_in(self, line: LineToRecord, source: Path) -> str:
        """Copy somebody's file; says what came of it."""
        try:
            path, remarks = bring_in(self.folder, self._now(line), source)
        except RecordingUnusable as error:
            return str(error)
        except OSError as error:
            return say(
                "{source} can't be brought in: {reason}.",
                source=source.name,
                reason=reason(error),
            )
        self.look()
        return " ".join([say("Brought in as {path}.", path=path.name), *remarks])

    def take_away(self, line: LineToRecord) -> str:
        """Put a recording aside; says where it is."""
        try:
            aside = take_away(self.folder, line)
        except OSError as error:
            return say("It can't be taken away: {reason}.", reason=reason(error))
        self.look()
        return say(
            "It lies in the folder “{parent}” as {aside} now.",
            parent=aside.parent.name,
            aside=aside.name,
        )

    def read_out(self, voice: Path, cancelled: Callable[[], bool]) -> str:
        """Have what is not recorded read out by a neural voice; says what came of it."""
        found = read_out(self.folder, self.lines, voice, cancelled=cancelled)
        return found.problem or say("{count} lines were read out.", count=found.count)

    def look(self) -> None:
        """Look into the folder again."""
        self.lines = lines_to_record(self._story, self.folder)

    def _now(self, line: LineToRecord) -> LineToRecord:
        self.look()  # another program may have recorded it since
        return next((each for each in self.lines if each.name == line.name), line)
