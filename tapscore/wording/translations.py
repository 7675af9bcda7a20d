"""A catalogue that translators wrote (GNU ``.po``), as the program asks it.

The library polib makes of it the ``.mo`` that the standard library's gettext reads; it is kept
in the user's cache folder under the digest of the ``.po``, so that an edited one counts from
the next start.
"""

import gettext
import hashlib
import io
import os
import re
import struct
from contextlib import suppress
from fractions import Fraction
from pathlib import Path

MOST_BYTES = 20_000_000
_BROKEN = (OSError, ValueError, LookupError, ArithmeticError, RecursionError, struct.error)
_FORMS = re.compile(r"nplurals\s*=\s*(\d+)")
OWN_NAME = re.compile(r'^"X-Language-Name:\s*(.*?)\s*(?:\\n)?"', re.MULTILINE)


class NotReadError(ValueError):
    """A catalogue can't be read; the message says why."""


class Translations:
    """The translations of one language."""

    def __init__(self, code: str, catalogue: gettext.GNUTranslations) -> None:
        self.code = code
        self._catalogue = catalogue
        said = _FORMS.search(catalogue.info().get("plural-forms", ""))
        self.forms = int(said[1]) if said else 2
        """How many forms a word has for numbers."""
        self._plural = catalogue.plural  # type: ignore[attr-defined]
        self._plain: dict[tuple[str | None, str], str] = {}

    def of(self, context: str | None, english: str) -> str | None:
        """The translation as it was written; None where there is none."""
        if not english:
            return None  # gettext's empty text is the catalogue's head
        if context is None:
            said = self._catalogue.gettext(english)
        else:
            said = self._catalogue.pgettext(context, english)
        # gettext gives back the very text it was asked for where it has no other
        return None if said is english else said

    def plain(self, context: str | None, english: str) -> str:
        """A text that has no holes, translated or as it is."""
        key = context, english
        said = self._plain.get(key)
        if said is None:
            said = self._plain[key] = self.of(context, english) or english
        return said

    def plural(self, number: float | Fraction) -> int:
        """Which form goes with a number: what Plural-Forms says, for a fraction the last.

        CLDR's rules, from which new catalogues have theirs, put *other* last, and that is what
        fractions take in nearly every language.
        """
        if number != int(number):
            return self.forms - 1
        return int(self._plural(abs(int(number))))


def read_translations(code: str, path: Path) -> Translations:
    """Read ``CODE.po``.  Raises NotReadError."""
    try:
        with path.open("rb") as file:
            written = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise NotReadError(f"{path.name}: {error.strerror}") from error
    if len(written) > MOST_BYTES:
        raise NotReadError(f"{path.name}: it is larger than any catalogue")
    kept = _kept_file(code, written)
    with suppress(OSError, NotReadError):  # not there, or damaged: made anew
        return Translations(code, _loaded(kept.read_bytes(), path.name))
    made = _compiled(path, written)
    catalogue = _loaded(made, path.name)
    _keep(kept, made)
    return Translations(code, catalogue)


def _loaded(made: bytes, name: str) -> gettext.GNUTranslations:
    try:
        catalogue = gettext.GNUTranslations(io.BytesIO(made))
        for number in range(200):
            catalogue.plural(number)  # type: ignore[attr-defined]
    except (
        OSError,
        ValueError,
        LookupError,
        ArithmeticError,
        RecursionError,
        struct.error,
    ) as error:
        raise NotReadError(f"{name}: {error}") from error
    return catalogue


def own_name(path: Path) -> str:
    """What the language calls itself, by the head of its catalogue; empty if it doesn't say."""
    try:
        with path.open("rb") as file:
            head = file.read(4000)
    except OSError:
        return ""
    said = OWN_NAME.search(head.decode("utf-8", "replace"))
    return said[1] if said else ""


def _compiled(path: Path, written: bytes) -> bytes:
    import polib

    try:
        return bytes(polib.pofile(written.decode("utf-8")).to_binary())
    except (OSError, ValueError, UnicodeError, IndexError) as error:
        raise NotReadError(f"{path.name}: {error}") from error


def _kept_file(code: str, written: bytes) -> Path:
    from platformdirs import user_cache_path

    digest = hashlib.sha256(written).hexdigest()[:32]
    return user_cache_path("tapscore", appauthor=False) / "languages" / f"{code}-{digest}.mo"


def _keep(kept: Path, made: bytes) -> None:
    """Keep what was made in place of what was made of an earlier ``.po``.

    Two programs may start at once: each writes a file of its own, and the last one stays.
    """
    code = kept.name.rpartition("-")[0]
    begun = kept.with_suffix(f".{os.getpid()}")
    with suppress(OSError):  # it is made again next time
        kept.parent.mkdir(parents=True, exist_ok=True)
        for old in kept.parent.glob(f"{code}-*.mo"):
            old.unlink(missing_ok=True)
        begun.write_bytes(made)
        begun.replace(kept)
