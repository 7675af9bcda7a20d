"""What the program remembers between runs; never anything about pupils."""

from contextlib import suppress
from pathlib import Path
from typing import Any

from attrs import evolve

from tapscore.disc.ours import a_number, read_record, write_record
from tapscore.gui.background import answered_at_once
from tapscore.gui.system_looks import PLAIN, SystemLooks
from tapscore.model.loudness import Loudness
from tapscore.wording.catalogue import CHOICE, settings_file
from tapscore.workflow.product import SOUNDS, Choices

RECENT = 8
MOST_WORDS = 2000
"""So many words of one's own are remembered."""
_KEPT = (
    "card_paper",
    "part_paper",
    "other_paper",
    "margin_mm",
    "distance_m",
    "per_sheet",
    "backs",
    "sound",
    "mono",
)


class Settings:
    """Looks, text size and recent files, in the platform's usual place.

    What was never set is as the system has it.  What can't be read counts as never set;
    what can't be written is forgotten at the end.
    """

    def __init__(self, file: Path | None = None, usual: SystemLooks = PLAIN) -> None:
        self._file = settings_file() if file is None else file
        self._usual = usual
        self._said = read_record(self._file)

    @property
    def inks(self) -> str:
        """Name of the inks."""
        return self._text("inks", self._usual.inks)

    @inks.setter
    def inks(self, name: str) -> None:
        self._remember("inks", name)

    @property
    def scale(self) -> float:
        """Text size, 1 to 2."""
        return a_number(self._said.get("scale"), 1.0, 2.0, self._usual.scale)

    @scale.setter
    def scale(self, scale: float) -> None:
        self._remember("scale", scale)

    @property
    def place(self) -> tuple[int, int, int, int] | None:
        """Left, top, width and height of the window that was closed last, in pixels."""
        said = self._said.get("place")
        if not isinstance(said, list) or len(said) != 4:
            return None
        left, top, wide, high = (round(a_number(each, -20_000, 20_000, 0)) for each in said)
        return (left, top, wide, high) if min(wide, high) >= 200 else None

    @place.setter
    def place(self, place: tuple[int, int, int, int]) -> None:
        self._remember("place", list(place))

    @property
    def reduced_motion(self) -> bool:
        """Whether nothing on the screen glides."""
        return self._said.get("reduced motion") is True

    @reduced_motion.setter
    def reduced_motion(self, reduced: bool) -> None:
        self._remember("reduced motion", reduced)

    @property
    def recent(self) -> tuple[Path, ...]:
        """Story files last opened that are there, newest first; a disc asleep counts as gone."""
        return tuple(path for path in self._recent if answered_at_once(path.is_file, False))

    def remember(self, path: Path) -> None:
        """Put a file first among the recent ones."""
        whole = path.absolute()
        others = [str(each) for each in self._recent if each != whole]
        self._remember("recent", [str(whole), *others][:RECENT])

    @property
    def choices(self) -> Choices:
        """How papers and sounds were made last; what can't be read is as usual."""
        from tapscore.exports.paper.imposition import PER_SHEET
        from tapscore.exports.paper.pages import paper_name
        from tapscore.exports.paper.sizes import card_sizes

        kept = self._said.get("choices")
        if not isinstance(kept, dict):
            return self._usual.choices
        try:
            loudest = kept.get("loudest_heard")
            choices = Choices(
                **{name: kept[name] for name in _KEPT if name in kept},
                loudest_heard=None if loudest is None else Loudness(loudest),
            )
            paper_name(choices.card_paper)
            paper_name(choices.other_paper)
            if choices.part_paper:
                paper_name(choices.part_paper)
            card_sizes(choices.distance_m)
            margin = choices.margin_mm
            known = (
                choices.sound in SOUNDS
                and choices.per_sheet in PER_SHEET
                and (margin is None or a_number(margin, 0, 100, -1) == margin)
                and isinstance(choices.backs, bool)
                and isinstance(choices.mono, bool)
            )
        except (ValueError, TypeError, AttributeError, OverflowError):
            return self._usual.choices
        return choices if known else self._usual.choices

    @choices.setter
    def choices(self, choices: Choices) -> None:
        kept: dict[str, Any] = {name: getattr(choices, name) for name in (*_KEPT, "loudest_heard")}
        self._remember("choices", kept)

    @property
    def ears(self) -> tuple[bool, Loudness | None]:
        """Of the choices what is kind to the listener's ears, without loading papers for it.

        Whether both ears hear the same, and how loud the loudest taps are heard.
        """
        kept = self._said.get("choices")
        kept = kept if isinstance(kept, dict) else {}
        loudest = kept.get("loudest_heard")
        known = isinstance(loudest, int) and not isinstance(loudest, bool)
        ceiling = Loudness(loudest) if known and loudest in list(Loudness) else None
        return kept.get("mono") is True, ceiling

    @ears.setter
    def ears(self, ears: tuple[bool, Loudness | None]) -> None:
        if ears != self.ears:
            mono, loudest = ears
            self.choices = evolve(self.choices, mono=mono, loudest_heard=loudest)

    @property
    def languages(self) -> tuple[str, str]:
        """Tags of the languages chosen last for part sheets and for home; empty for none."""
        return self._text("part language", ""), self._text("home language", "")

    @languages.setter
    def languages(self, tags: tuple[str, str]) -> None:
        part, home = tags
        self._remember("part language", part)
        self._remember("home language", home)

    @property
    def my_board(self) -> str:
        """A small story file with the board that is offered for the next story, or nothing."""
        return self._text("my board", "")

    @my_board.setter
    def my_board(self, text: str) -> None:
        self._remember("my board", text)

    @property
    def spelling(self) -> bool:
        """Whether words that the dictionary lacks are marked."""
        return self._said.get("spelling") is not False

    @spelling.setter
    def spelling(self, on: bool) -> None:
        self._remember("spelling", on)

    @property
    def own_words(self) -> tuple[str, ...]:
        """Words the teacher said are right, the newest last."""
        stored = self._said.get("own words")
        words = stored if isinstance(stored, list) else []
        return tuple(word for word in words[-MOST_WORDS:] if isinstance(word, str))

    @own_words.setter
    def own_words(self, words: tuple[str, ...]) -> None:
        self._remember("own words", list(dict.fromkeys(words))[-MOST_WORDS:])

    @property
    def stories_folder(self) -> str:
        """The folder whose stories are listed, or nothing."""
        said = self._text("stories folder", "")
        return said if "\0" not in said else ""

    @stories_folder.setter
    def stories_folder(self, folder: str) -> None:
        self._remember("stories folder", folder)

    @property
    def language(self) -> str:
        """Code of the language that was chosen, or nothing: the system's holds."""
        return self._text(CHOICE, "")

    @language.setter
    def language(self, code: str) -> None:
        self._remember(CHOICE, code)

    @property
    def hints_seen(self) -> bool:
        """Whether the first hints were put away."""
        return self._said.get("hints seen") is True

    @hints_seen.setter
    def hints_seen(self, seen: bool) -> None:
        self._remember("hints seen", seen)

    @property
    def _recent(self) -> list[Path]:
        stored = self._said.get("recent")
        names = stored if isinstance(stored, list) else []
        return [Path(name) for name in names[:RECENT] if isinstance(name, str) and "\0" not in name]

    def _text(self, name: str, otherwise: str) -> str:
        said = self._said.get(name)
        return said if isinstance(said, str) else otherwise

    def _remember(self, name: str, value: object) -> None:
        """Write one thing, beside what another running window wrote meanwhile."""
        self._said = {**read_record(self._file), name: value}
        with suppress(OSError, ValueError, TypeError):
            write_record(self._file, self._said)
