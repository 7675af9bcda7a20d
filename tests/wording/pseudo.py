"""A language that nobody speaks, made of the English: what isn't in it was not translated.

Every letter has an accent, texts are a third longer, stand in ⟦brackets⟧, and numbers have four
forms as in Polish.  Holes, marks of the file and asterisks stay.
"""

import re
from collections.abc import Iterator

from babel.messages.catalog import Catalog

from tapscore.wording.text import Hole, parts_of
from tests.wording.texts import plural_forms, texts

OPENS, CLOSES = "⟦", "⟧"
CODE = "xx"
_PLAIN = "AaBbCcDdEeFfGgHhIiJjKkLlMmNnOoPpQqRrSsTtUuVvWwXxYyZz"
_ACCENTED = "ÀàßƀÇçÐđÈèƑƒĜĝĤĥÌìĴĵĶķĹĺṀṁÑñÒòÞþǪǫŔŕŚśŢţÙùṼṽŴŵẊẋÝýŹź"
_LETTERS = str.maketrans(_PLAIN, _ACCENTED)
_LONGER = "ëřőŷëř ëřőŷ "
"""What texts are longer by: words of usual length, so that lines can be broken."""
_KEPT = re.compile(r"TIME|WHOLE")
_KEPT_SAID = re.compile("|".join(each.translate(_LETTERS) for each in ("TIME", "WHOLE")))
"""What stays, for a script replaces it."""
_RULE = plural_forms("pl")


def pseudo(english: str) -> str:
    """One text in it."""
    try:
        parts = parts_of(english)
    except ValueError:
        parts = (english,)
    if any(isinstance(part, Hole) and " " in part.name for part in parts):
        parts = (english,)  # braces that stand for themselves
    said = "".join(part if isinstance(part, str) else _hole(part) for part in _spoken(parts))
    kept = iter(_KEPT.findall(english))
    said = _KEPT_SAID.sub(lambda _: next(kept), said)
    lead = english[: len(english) - len(english.lstrip())]
    tail = english[len(english.rstrip()) :] if english.strip() else ""
    more = _LONGER * (max(len(english.strip()) // 3, 2) // len(_LONGER) + 1)
    inner = said[len(lead) : len(said) - len(tail)]
    more = more[: max(len(english.strip()) // 3, 1)].rstrip()
    return f"{lead}{OPENS}{inner} {more}{CLOSES}{tail}"


def _spoken(parts: tuple[str | Hole, ...]) -> Iterator[str | Hole]:
    for part in parts:
        yield _accented(part) if isinstance(part, str) else part


def _accented(words: str) -> str:
    return words.translate(_LETTERS)


def _hole(hole: Hole) -> str:
    if not hole.forms:
        return f"{{{hole.name}{':' if hole.how else ''}{hole.how}}}"
    if hole.named:
        forms = [f"{value}={_inside(form)}" for value, form in hole.named.items()]
    else:
        one, *others = (_inside(form) for form in hole.forms)
        forms = [one, *others * 3][:4]
    return f"{{{hole.name}:{'|'.join(forms)}}}"


def _inside(form: str) -> str:
    """The words of one form; one for the number one alone may leave the number out."""
    return "".join(
        part if isinstance(part, str) else _hole(part) for part in _spoken(parts_of(form))
    )


def catalogue(found: Catalog | None = None) -> str:
    """All of it as a ``.po``."""
    head = (
        'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
        '"X-Language-Name: ⟦þšëùđò⟧\\n"\n'
        f'"Plural-Forms: nplurals={_RULE[0]}; plural={_RULE[1]};\\n"\n'
    )
    entries = [head]
    for message in texts() if found is None else found:
        if message.id:
            english = str(message.id)
            context = f'msgctxt "{_quoted(message.context)}"\n' if message.context else ""
            said = _quoted(pseudo(english))
            entries.append(f'{context}msgid "{_quoted(english)}"\nmsgstr "{said}"\n')
    return "\n".join(entries)


def _quoted(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
