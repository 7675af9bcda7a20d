"""What the program remembers between runs; never anything about pupils."""

import json
from pathlib import Path

from PySide6.QtCore import QSettings

from tapscore.model.loudness import Loudness
from tapscore.workflow.product import SOUNDS, Choices

RECENT = 8
_KEPT = (
    "card_paper",
    "other_paper",
    "margin_mm",
    "distance_m",
    "per_sheet",
    "backs",
    "sound",
    "mono",
)


class Settings:
    """Looks, text size and recent files, in the platform's usual place."""

    def __init__(self, file: Path | None = None) -> None:
        if file is None:
            self._store = QSettings(
                QSettings.Format.IniFormat, QSettings.Scope.UserScope, "tapscore", "tapscore"
            )
        else:
            self._store = QSettings(str(file), QSettings.Format.IniFormat)

    @property
    def inks(self) -> str:
        """Name of the inks."""
        return str(self._store.value("look/inks", "light", type=str))

    @inks.setter
    def inks(self, name: str) -> None:
        self._store.setValue("look/inks", name)

    @property
    def scale(self) -> float:
        """Text size, 1 to 2."""
        value = self._store.value("look/scale", 1.0, type=float)
        return min(max(float(str(value)), 1.0), 2.0)

    @scale.setter
    def scale(self, scale: float) -> None:
        self._store.setValue("look/scale", scale)

    @property
    def reduced_motion(self) -> bool:
        """Whether nothing on the screen glides."""
        return bool(self._store.value("look/reduced motion", False, type=bool))

    @reduced_motion.setter
    def reduced_motion(self, reduced: bool) -> None:
        self._store.setValue("look/reduced motion", reduced)

    @property
    def recent(self) -> tuple[Path, ...]:
        """Story files last opened that are still there, newest first."""
        stored = self._store.value("files/recent", [], type=list)
        paths = (Path(str(each)) for each in (stored if isinstance(stored, list) else []))
        return tuple(path for path in paths if path.is_file())

    def remember(self, path: Path) -> None:
        """Put a file first among the recent ones."""
        others = [str(each) for each in self.recent if each != path.resolve()]
        self._store.setValue("files/recent", [str(path.resolve()), *others][:RECENT])

    @property
    def choices(self) -> Choices:
        """How papers and sounds were made last; what can't be read is as usual."""
        from tapscore.exports.paper.imposition import PER_SHEET
        from tapscore.exports.paper.pages import paper_name
        from tapscore.exports.paper.sizes import card_sizes

        try:
            kept = json.loads(str(self._store.value("making/choices", "{}", type=str)))
            loudest = kept.pop("loudest_heard", None)
            choices = Choices(
                **{name: kept[name] for name in _KEPT if name in kept},
                loudest_heard=None if loudest is None else Loudness(loudest),
            )
            paper_name(choices.card_paper)
            paper_name(choices.other_paper)
            card_sizes(choices.distance_m)
            known = choices.sound in SOUNDS and choices.per_sheet in PER_SHEET
        except (ValueError, TypeError, AttributeError):
            return Choices()
        return choices if known else Choices()

    @choices.setter
    def choices(self, choices: Choices) -> None:
        kept = {name: getattr(choices, name) for name in (*_KEPT, "loudest_heard")}
        self._store.setValue("making/choices", json.dumps(kept))

    @property
    def hints_seen(self) -> bool:
        """Whether the first hints were put away."""
        return bool(self._store.value("hints/seen", False, type=bool))

    @hints_seen.setter
    def hints_seen(self, seen: bool) -> None:
        self._store.setValue("hints/seen", seen)
