"""Lists, ordinals and lengths of time as they are said."""

import re
from collections.abc import Iterable

_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{1,2}(?:\.\d+)?)|(\d{1,5}(?:\.\d+)?)")


def joined(words: Iterable[str], word: str = "and") -> str:
    """``"a"``, ``"a and b"``, ``"a, b and c"``; each once, in order."""
    *most, last = dict.fromkeys(words) or ("",)
    return f"{', '.join(most)} {word} {last}" if most else last


def ordinal(number: int) -> str:
    """``1st``, ``2nd``, ``3rd`` ..."""
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{({1: 'st', 2: 'nd', 3: 'rd'}).get(number % 10, 'th')}"


def seconds_words(seconds: float) -> str:
    """``"10 seconds"``, ``"1 minute"``, ``"2 minutes 30 seconds"``."""
    minutes, rest = divmod(round(seconds), 60)
    parts = []
    if minutes:
        parts.append(f"{minutes} minute{'s' if minutes != 1 else ''}")
    if rest or not minutes:
        parts.append(f"{rest} second{'s' if rest != 1 else ''}")
    return " ".join(parts)


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
    return first if first == last else f"{first} to {last}"
