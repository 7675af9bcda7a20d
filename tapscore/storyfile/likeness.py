"""How much two pieces of a story's plain data have in common."""

from collections import Counter
from difflib import SequenceMatcher

from tapscore.storyfile.emit import inline
from tapscore.storyfile.kinds import Doc


def likeness(old: Doc, new: Doc) -> float:
    """From 0 (things of different kinds) over 0.5 (one kind, else unlike) to 1 (equal)."""
    if isinstance(old, dict) and isinstance(new, dict):
        return _records(old, new)
    if isinstance(old, list) and isinstance(new, list):
        return 0.5 + 0.5 * _lists(old, new)
    if isinstance(old, str) and isinstance(new, str):
        return 0.5 + 0.5 * SequenceMatcher(None, old, new).quick_ratio()
    return 0.0


def renamed(old: Doc, new: Doc) -> float:
    """How likely it is that one thing merely has another name now."""
    return likeness(old, new) if inline(old) != inline(new) else 1.0


def _records(old: dict[str, Doc], new: dict[str, Doc]) -> float:
    if next(iter(old), None) != next(iter(new), None):
        return 0.0
    keys = {**old, **new}
    shared = sum(likeness(old[key], new[key]) for key in keys if key in old and key in new)
    return 0.5 + 0.5 * shared / max(len(keys), 1)


def _lists(old: list[Doc], new: list[Doc]) -> float:
    before, after = Counter(map(inline, old)), Counter(map(inline, new))
    return (before & after).total() / max(len(old), len(new), 1)
