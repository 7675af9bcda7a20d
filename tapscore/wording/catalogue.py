"""The one catalogue through which every text goes that somebody reads: English first.

``say("{count:1 line|# lines} left", count=3)`` is a text of the program.  The English is the
key of the translation (gettext's msgid); its holes are those of ``tapscore.wording.text``.
A translation that is missing, or whose holes don't fit, is said in English.

The language is fixed when the process starts, so that tables may be filled while modules
load: by the environment variable ``TAPSCORE_LANGUAGE``, by what was chosen in the settings, by
the system if there is a catalogue for it, else English.  Catalogues are ``CODE.po`` files in
``resources/languages`` and in the folder that ``TAPSCORE_LANGUAGES`` names.

Only what the start of the program has loaded anyway is imported here: `say` without values
costs a call and nothing else.
"""

import os

from tapscore.resources import language_files, resource_path

TYPE_CHECKING = False  # a name that mypy knows; importing typing takes a fifth of Python's start
if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tapscore.wording.about import Datum
    from tapscore.wording.translations import Translations

    Value = Datum | Path | BaseException

CHOICE = "language"
"""What the settings call the language that was chosen."""
MOST_SETTINGS_BYTES = 16_000_000


def say(text: str, /, **values: "Value") -> str:
    """``text``, whose holes ``values`` fill, in the language of the program.

    ``text`` is written out where it is said: what is put together can't be translated.
    """
    if not values:
        return text if _translations is None else _translations.plain(None, text)
    return _fill(None, text, values) if _filling is None else _filling(None, text, values)


def say_in(context: str, text: str, /, **values: "Value") -> str:
    """As `say`, for English words that mean two things: ``context`` (msgctxt) says which."""
    if not values:
        return text if _translations is None else _translations.plain(context, text)
    return _fill(context, text, values)


def translations() -> "Translations | None":
    """The translations in use; None for English."""
    return _translations


def language() -> str:
    """Code of the language in use, as its catalogue is named: ``"en"``, ``"cy"``."""
    return "en" if _translations is None else _translations.code


def trouble() -> str:
    """Why the language that was asked for is not spoken; empty where it is."""
    return _trouble


def languages() -> tuple[tuple[str, str], ...]:
    """Code and own name of every language there is to choose, English first.

    The name is the header ``X-Language-Name`` of the catalogue, else the code.
    """
    from tapscore.wording.translations import own_name

    found = ((code, own_name(path) or code) for code, path in sorted(language_files().items()))
    return (("en", "English"), *found)


def page(name: str) -> "Path":
    """A page of help, such as ``"lane.txt"``: from the folder ``CODE`` beside the catalogue
    where it is there, else in English.
    """
    beside = language_files().get(language())
    translated = beside.parent / language() / name if beside is not None else None
    return translated if translated is not None and translated.is_file() else resource_path(name)


def _fill(context: str | None, text: str, values: "dict[str, Value]") -> str:
    # text.py asks this module for translations, and brings in attrs: on first use
    global _filling  # noqa: PLW0603
    if _filling is None:
        from tapscore.wording.text import fill

        _filling = fill
    return _filling(context, text, values)


def _loaded() -> "tuple[Translations | None, str]":
    """The translations for this process, and what is wrong with the one asked for."""
    asked = os.environ.get("TAPSCORE_LANGUAGE", "").strip()
    there = language_files()
    if not there and not asked:
        return None, ""
    wishes = (asked,) if asked else (_chosen(), *_of_the_system())
    for wish in wishes:
        code = _best(wish, there)
        if code == "en":
            return None, ""
        if code is not None:
            from tapscore.wording.translations import NotReadError, read_translations

            try:
                return read_translations(code, there[code]), ""
            except NotReadError as error:
                return None, f"The language {code} can't be used: {error}. English is used."
    if asked:
        known = ", ".join(("en", *sorted(there)))
        return None, f"There is no language {asked} here, only {known}. English is used."
    return None, ""


def _best(wish: str, there: "dict[str, Path]") -> str | None:
    """Of the catalogues there are the one for ``cy_GB.UTF-8``: ``cy_GB``, else ``cy``."""
    wish = wish.partition(".")[0].partition("@")[0].replace("-", "_").casefold()
    by_name = {"en": "en", **{code.replace("-", "_").casefold(): code for code in there}}
    return by_name.get(wish) or by_name.get(wish.partition("_")[0])


def settings_file() -> "Path":
    """Where the program remembers what was chosen."""
    from platformdirs import user_config_path

    return user_config_path("tapscore", appauthor=False) / "settings.json"


def _chosen() -> str:
    """What the settings say; all else of them, and what is wrong with them, is the window's."""
    import json

    try:
        with settings_file().open("rb") as file:
            said = json.loads(file.read(MOST_SETTINGS_BYTES)).get(CHOICE)
    except (OSError, ValueError, AttributeError, RecursionError):
        return ""
    return said if isinstance(said, str) else ""


def _of_the_system() -> tuple[str, ...]:
    """Languages of the system, the one wanted most first, as POSIX writes them."""
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        if said := os.environ.get(name):
            return tuple(said.split(":"))
    import locale

    return (locale.getlocale()[0] or "",)


_filling: "Callable[[str | None, str, dict[str, Value]], str] | None" = None
_translations, _trouble = _loaded()
