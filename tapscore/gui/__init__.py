"""The desktop editor; Qt lives here alone."""

from contextlib import suppress

import PySide6.QtCore  # noqa: F401  -- its import hook is there from here on


def _leave_sources_alone() -> None:
    """Keep PySide6 from reading the source of every module that is imported after it.

    It looks there for its own name, to know whose calls may be spelt otherwise (`snake_case`),
    which nobody here wants: 14 MB of lines kept, and 50 ms.  The hook is PySide6's own affair;
    where it is another one, this does nothing.
    """
    with suppress(ImportError, AttributeError):
        from shibokensupport import feature  # type: ignore[import-not-found]

        if callable(feature._mod_uses_pyside):
            feature._mod_uses_pyside = lambda _: False


_leave_sources_alone()
