"""Older story files brought up to today's version, one step at a time.

A step takes the text of one version and gives the text of the next, by splicing, so
that comments stay.  Version 1 is the first, so there are no steps yet.
"""

from collections.abc import Callable, Mapping

Migration = Callable[[str], str]
MIGRATIONS: Mapping[int, Migration] = {}


def bring_up_to_date(
    text: str, version: int, wanted: int, migrations: Mapping[int, Migration]
) -> str:
    """Apply the steps from ``version`` to ``wanted``; each must raise the version by one.

    Raises KeyError if a step is missing (a bug, not a mistake of the teacher's).
    """
    for step in range(version, wanted):
        text = migrations[step](text)
    return text
