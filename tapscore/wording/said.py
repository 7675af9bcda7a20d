"""A finding's code and data as words."""

from tapscore.wording.about import About
from tapscore.wording.catalogue import say
from tapscore.wording.english import TEXTS
from tapscore.wording.text import Said, Surface, fill


def said(code: str, about: About, surface: Surface | None = None) -> Said:
    """Message and remedy of a finding.

    ``about["case"]``, where there is one, says which of the code's texts is meant;
    ``about["in_file"]`` names another file than the story's, with its line; ``about["more_here"]``
    counts what the same line has more of this kind.
    Raises KeyError for a code without a text and for data that a text lacks.
    """
    case = about.get("case")
    text = TEXTS[code if case is None else f"{code}/{case}"]
    message, remedy = text.message, text.remedy
    if surface is Surface.WINDOW:
        message, remedy = text.window_message or message, text.window_remedy or remedy
    where = surface or Surface.FILE
    message, remedy = (fill(None, each, about, where) for each in (message, remedy))
    in_file, more_here = about.get("in_file"), about.get("more_here")
    if in_file is not None:
        message = say("{file}: {message}", file=in_file, message=message)
    if more_here:
        more = say("There {more:is one more|are # more} of this kind in the line.", more=more_here)
        message = f"{message} {more}"
    return Said(message, remedy)
