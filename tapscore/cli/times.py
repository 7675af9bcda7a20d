"""Times in a recording as they are typed."""

import click

from tapscore.model.wordings import seconds_of_clock
from tapscore.wording.catalogue import say
from tapscore.workflow.listening_back import Trim


def trim_of(begin: str | None, end: str | None) -> Trim:
    """The part between two times; raises click.UsageError for what is no time."""
    begin_sec = _seconds("--from", begin) or 0.0
    end_sec = _seconds("--to", end)
    if end_sec is not None and end_sec - begin_sec < 2:
        raise click.UsageError(say("--to lies after --from, by two seconds at least."))
    return Trim(begin_sec, end_sec)


def _seconds(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    seconds = seconds_of_clock(text)
    if seconds is None:
        raise click.UsageError(
            say(
                "“{words}” is no time for {option}. Write 1:30, or seconds.",
                words=text,
                option=option,
            )
        )
    return seconds
