"""The sound and the loudness of every tap of a story, on the board that the story describes."""

from typing import Generic, TypeVar

from tapscore.board.default_board import SOUNDING_BOARD_SENTENCE
from tapscore.board.facade import tap_point
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.sound import Sound
from tapscore.exports.audio.spool import PutAside, Spool
from tapscore.exports.audio.tap_gain import tap_gain_db
from tapscore.exports.audio.tap_sound import (
    MOST_PLACES,
    TapAsked,
    made_sound,
    tap_asked,
    tap_sound,
)
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import PerformedTap
from tapscore.wording.about import About

S = TypeVar("S", Sound, PutAside)


class _Taps(Generic[S]):
    """Finds sounds; one that was found before is given again."""

    def __init__(self, story: Story, heard: TapsHeard = AS_WRITTEN) -> None:
        self._heard = heard
        self._board = story.board
        self._seats = {role.name: role.seat for role in story.roles}
        self._known: dict[object, S] = {}
        self._places = {name: i % MOST_PLACES for i, name in enumerate(story.role_names)}

    def __call__(self, tap: PerformedTap) -> tuple[S, float]:
        """The sound of a tap, and its gain in dB."""
        tap = self._heard.tap(tap)
        key = (tap.stroke, tap.level, tap.accent, tap.length_sec, tap.role, tap.spot)
        sound = self._known.get(key)
        if sound is None:
            sound = self._known[key] = self._find(self._asked(tap))
        return sound, tap_gain_db(tap.level, accent=tap.accent)

    def _asked(self, tap: PerformedTap) -> TapAsked:
        return tap_asked(
            tap.stroke,
            tap.level,
            accent=tap.accent,
            length_sec=tap.length_sec,
            place=self._places.get(tap.role, 0),
            board=self._board,
            at=tap_point(self._board, tap.spot, self._seats.get(tap.role)),
        )

    def _find(self, asked: TapAsked) -> S:
        raise NotImplementedError


class StoryTaps(_Taps[Sound]):
    """Sounds at hand, for the window: what another found is given again, too."""

    def _find(self, asked: TapAsked) -> Sound:
        return tap_sound(asked)


class TapsAside(_Taps[PutAside]):
    """Sounds put aside on the disc, for files: however many a story has, none is held."""

    def __init__(self, story: Story, heard: TapsHeard = AS_WRITTEN) -> None:
        super().__init__(story, heard)
        self._spool = Spool()
        self._aside: dict[TapAsked, PutAside] = {}

    def _find(self, asked: TapAsked) -> PutAside:
        aside = self._aside.get(asked)
        if aside is None:
            aside = self._aside[asked] = self._spool.put(made_sound(asked))
        return aside


def board_findings(story: Story) -> tuple[Finding, ...]:
    """What to say beside the sound where no board is described, and something is tapped."""
    if story.board is not None or not any(each.taps for each in perform(story).segments):
        return ()
    about = About(sentence=SOUNDING_BOARD_SENTENCE)
    return (Finding("stated-board", Severity.ADVICE, path=("board",), about=about),)
