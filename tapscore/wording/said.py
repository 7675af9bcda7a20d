"""A finding's code and data as words."""

from tapscore.wording.about import About
from tapscore.wording.english import ENGLISH
from tapscore.wording.text import Said, Surface, filled


def said(code: str, about: About, surface: Surface = Surface.FILE) -> Said:
    """Message and remedy of a finding.

    ``about["case"]``, where there is one, says which of the code's texts is meant;
    ``about["in_file"]`` names another file than the story's, with its line; ``about["more_here"]``
    counts what the same line has more of this kind.
    Raises KeyError for a code without a text and for data that a text lacks.
    """
    case = about.get("case")
    text = ENGLISH.texts[code if case is None else f"{code}/{case}"]
    message, remedy = text.on(surface)
    in_file = about.get("in_file")
    place = f"{in_file}: " if in_file is not None else ""
    message = place + filled(message, about, ENGLISH, surface)
    if about.get("more_here"):
        message += filled(ENGLISH.more_here, about, ENGLISH, surface)
    return Said(message, filled(remedy, about, ENGLISH, surface))
