"""Listening back as work in another thread: plain values in and out."""

from pathlib import Path

from attrs import frozen

from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.gui.background import Task
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.listening_back import Heard, ListeningStopped, Trim, listen_back
from tapscore.workflow.own_board import own_detector

STOPPED = say("Stopped. Nothing was looked at.")


@frozen
class HeardWish:
    """A recording to look at."""

    story: Story
    path: Path
    trim: Trim


@frozen(eq=False)
class HeardAnswer:
    """What came of it, or why nothing."""

    heard: Heard | None
    problem: str = ""


def listen(wish: HeardWish, task: Task) -> HeardAnswer:
    """Listen back in another thread."""
    try:
        heard = listen_back(
            wish.story,
            wish.path,
            wish.trim,
            going=task.report,
            stopped=task.cancelled,
            detector=own_detector(),
        )
    except ListeningStopped:
        return HeardAnswer(None, STOPPED)
    except RecordingUnusable as error:
        return HeardAnswer(None, str(error))
    return HeardAnswer(heard)
