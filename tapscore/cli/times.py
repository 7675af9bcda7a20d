"""Times in a recording as they are typed."""

import re

import click

from tapscore.workflow.listening_back import Trim

_TIME = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{1,2}(?:\.\d+)?)|(\d{1,5}(?:\.\d+)?)")


def trim_of(begin: str | None, end: str | None) -> Trim:
    """The part between two times; raises click.UsageError for what is no time."""
    begin_sec = _seconds("--from", begin) or 0.0
    end_sec = _seconds("--to", end)
    if end_sec is not None and end_sec - begin_sec < 2:
        raise click.UsageError("--to lies after --from, by two seconds at least.")
    return Trim(begin_sec, end_sec)


def _seconds(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    read = _TIME.fullmatch(text.strip())
    if read is None:
        raise click.UsageError(f"“{text}” is no time for {option}. Write 1:30, or seconds.")
    if read[4] is not None:
        return float(read[4])
    return 3600.0 * int(read[1] or 0) + 60.0 * int(read[2]) + float(read[3])
