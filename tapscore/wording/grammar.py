"""What the language does with words that are not ours: lists, quotation marks, names of lines."""

from tapscore.wording.about import LineName
from tapscore.wording.catalogue import say, say_in

LOUDNESS = (say("very quiet"), say("quiet"), say("medium"), say("loud"), say("very loud"))
_BETWEEN = say_in("between the names of a list", ", ")
_POINT = say_in("decimal sign", ".")


def joined(names: tuple[str, ...], how: str) -> str:
    """Names with commas; with ``and`` or ``or`` before the last, where ``how`` is one of them."""
    if how not in ("and", "or") or len(names) < 2:
        return _BETWEEN.join(names)
    first, last = _BETWEEN.join(names[:-1]), names[-1]
    if how == "and":
        return say("{names} and {last}", names=first, last=last)
    return say("{names} or {last}", names=first, last=last)


def quoted(words: str) -> str:
    """Words in the language's quotation marks."""
    return say("“{words}”", words=words)


def decimal(number: str) -> str:
    """A number that Python wrote, with the language's decimal sign."""
    return number if _POINT == "." else number.replace(".", _POINT)


def line_name(name: LineName, inside: bool) -> str:
    """A line's name, and whether it stands within a sentence."""
    number, refrain, place = name.number, name.refrain, name.place
    if refrain is None:
        if inside:
            return say("line {number}", number=number)
        return say("Line {number}", number=number)
    if place is None:
        if inside:
            return say("the refrain “{refrain}”", refrain=refrain)
        return say("The refrain “{refrain}”", refrain=refrain)
    if inside:
        return say("line {number} of the refrain “{refrain}”", number=place, refrain=refrain)
    return say("Line {number} of the refrain “{refrain}”", number=place, refrain=refrain)
