"""Lists, ordinals and lengths of time as they are said."""

import re
from collections.abc import Iterable

from tapscore.wording.catalogue import say
from tapscore.wording.grammar import joined as list_of

_ENDINGS = {1: "st", 2: "nd", 3: "rd"}
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{1,2}(?:\.\d+)?)|(\d{1,5}(?:\.\d+)?)")


def joined(words: Iterable[str], word: str = "and") -> str:
    """``"a"``, ``"a and b"``, ``"a, b and c"``; each once, in order.

    ``word`` is ``and``, ``or`` or ``list``.
    """
    return list_of(tuple(dict.fromkeys(words)), word)


def ordinal(number: int) -> str:
    """``1st``, ``2nd``, ``3rd`` ..."""
    ending = _ending(number)
    return say("{number}{ending:st=st|nd=nd|rd=rd|*=th}", number=number, ending=ending)


def english_ordinal(number: int) -> str:
    """The same in English whatever the language: for what is written to files."""
    return f"{number}{_ending(number)}"


def _ending(number: int) -> str:
    return "th" if number % 100 in (11, 12, 13) else _ENDINGS.get(number % 10, "th")


def seconds_words(seconds: float) -> str:
    """``"10 seconds"``, ``"1 minute"``, ``"2 minutes 30 seconds"``."""
    minutes, rest = divmod(round(seconds), 60)
    if not minutes:
        return say("{rest:1 second|# seconds}", rest=rest)
    if not rest:
        return say("{minutes:1 minute|# minutes}", minutes=minutes)
    return say("{minutes:1 minute|# minutes} {rest:1 second|# seconds}", minutes=minutes, rest=rest)


def clock(seconds: float) -> str:
    """Minutes and seconds, rounded to the second: ``"2:05"``."""
    minutes, rest = divmod(int(seconds + 0.5), 60)
    return f"{minutes}:{rest:02d}"


def seconds_of_clock(text: str) -> float | None:
    """Seconds of ``"2:05"``, ``"1:02:05"`` or plain seconds; None for what is no time."""
    read = _CLOCK.fullmatch(text.strip())
    if read is None:
        return None
    if read[4] is not None:
        return float(read[4])
    return 3600.0 * int(read[1] or 0) + 60.0 * int(read[2]) + float(read[3])


def clock_range(seconds: tuple[float, float]) -> str:
    """``"2:05 to 3:10"``, or one time where both are the same."""
    first, last = clock(seconds[0]), clock(seconds[1])
    return first if first == last else say("{first} to {last}", first=first, last=last)
