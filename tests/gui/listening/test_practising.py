"""Practising on the space bar, in a window with a clock set by hand."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tapscore.gui.listening.player import PlayerState
from tapscore.gui.listening.practising import EARLY_SEC
from tapscore.rhythm.perform import perform
from tapscore.rhythm.practised import LineNote, Practised, Timing
from tapscore.screen.heard_rows import LoopChoice
from tapscore.screen.passage import Going, passage_from
from tapscore.screen.passage_sound import place_sounds
from tapscore.screen.sentences import (
    NO_TAPS,
    NOT_TAPPED,
    TOGETHER,
    practice_sentence,
)
from tests.gui.listening.fakes import TWO_WAITS, Opened, story_of

ONSETS_SEC = (0.0, 0.5, 1.0, 1.5)


@pytest.fixture(autouse=True)
def in_the_beaters_part(opened: Opened) -> None:
    bar = opened[0].listening.bar
    bar.part.setCurrentText("beater")
    bar.practise.setChecked(True)


def begin(opened: Opened, row: int = 0) -> None:
    window = opened[0]
    window.view.go_to(("story", 0, "lines", row))
    window.actions_by_id["listen"].trigger()
    window.listening.player._timer.stop()


def tap_at(qtbot: QtBot, opened: Opened, *seconds: float) -> None:
    window, clock = opened
    for sec in seconds:
        clock.sec = 100.0 + sec
        window.listening.player.tick()
        qtbot.keyClick(window.view, Qt.Key.Key_Space)  # type: ignore[no-untyped-call]


def look_at(opened: Opened, sec: float) -> str:
    window, clock = opened
    clock.sec = 100.0 + sec
    window.listening.player.tick()
    return window.listening.bar.status.text()


def test_taps_on_the_space_bar_bring_a_kind_sentence_at_the_wait(
    qtbot: QtBot, opened: Opened
) -> None:
    window = opened[0]
    before = window.document.story
    window.listening.bar.practise.setFocus()
    begin(opened)
    assert window.view.hasFocus(), "the space bar presses nothing in the bar"
    assert "space bar" in window.listening.bar.status.text()
    tap_at(qtbot, opened, *[sec + 0.02 for sec in ONSETS_SEC])
    said = look_at(opened, 60.0)
    assert window.listening.holding
    assert said.startswith(TOGETHER)
    assert "a look" in said
    assert window.document.story == before


def test_without_a_tap_it_says_what_to_do(opened: Opened) -> None:
    begin(opened)
    assert look_at(opened, 60.0).startswith(NOT_TAPPED)


def test_in_a_loop_every_time_round_has_its_own_sentence(qtbot: QtBot, opened: Opened) -> None:
    window = opened[0]
    window.listening.bar.choose_loop(LoopChoice.LINE)
    begin(opened)
    length = float(window.listening.player.passage.body_sec)  # type: ignore[union-attr]
    assert length == 2.0
    tap_at(qtbot, opened, 0.0, 0.5)
    assert "more taps for you in line 1" in look_at(opened, length + 0.01)
    tap_at(qtbot, opened, *[length + sec for sec in ONSETS_SEC[1:]], 2 * length - 0.05)
    assert look_at(opened, 2 * length + 0.01)
    tap_at(qtbot, opened, *[2 * length + sec for sec in ONSETS_SEC[1:]])
    assert TOGETHER in look_at(opened, 3 * length + 0.01)
    qtbot.keyClick(window.view, Qt.Key.Key_F6)  # type: ignore[no-untyped-call]
    assert window.listening.player.state is PlayerState.STILL


def test_a_tap_a_little_early_belongs_to_the_next_time_round(qtbot: QtBot, opened: Opened) -> None:
    window = opened[0]
    window.listening.bar.choose_loop(LoopChoice.LINE)
    begin(opened)
    practising = window.listening.practising
    tap_at(qtbot, opened, 0.0, 2.0 - EARLY_SEC - 0.01, 2.0 - EARLY_SEC + 0.01)
    assert practising._touches == pytest.approx([0.0, 2.0 - EARLY_SEC - 0.01])
    assert practising._for_next == pytest.approx([0.01 - EARLY_SEC]), "before its first tap"


def test_a_late_tap_of_what_is_heard_once_counts_there(qtbot: QtBot, opened: Opened) -> None:
    """In a loop it would be meant for the first tap of the next time round."""
    window, path = opened[0], ("story", 1, "lines", 2)
    lane = "| X . . . . . . x |"
    story = story_of(
        TWO_WAITS.replace(
            'end\n        lane: "| X . . . . . . . |"', f"end\n        lane: '{lane}'"
        )
    )
    window.document.edit("Lane", story)
    window.view.go_to(path)
    window.actions_by_id["listen"].trigger()
    window.listening.player._timer.stop()
    tap_at(qtbot, opened, 0.0, 1.87)
    assert look_at(opened, 30.0).startswith(TOGETHER)


def test_where_the_adult_has_no_taps_it_says_so(opened: Opened) -> None:
    opened[0].listening.bar.choose_loop(LoopChoice.LINE)
    begin(opened, 1)
    assert NO_TAPS in look_at(opened, 30.0)


def test_her_own_part_is_not_heard_and_the_others_are() -> None:
    story = story_of()
    performance = perform(story)
    passage = passage_from(performance, Going((0, 1)), 0, count_in=False)
    assert passage is not None
    everybody = len(place_sounds(story, passage, None).body)
    for role, count in (("beater", 4), ("other", 3)):
        alone = len(place_sounds(story, passage, None, left_out=role).body)
        assert everybody - alone == count


def test_choosing_it_at_rest_says_what_comes_next(opened: Opened) -> None:
    bar = opened[0].listening.bar
    bar.practise.setChecked(False)
    opened[0].actions_by_id["practise"].trigger()
    assert bar.practise.isChecked()
    assert "F5" in bar.status.text()
    assert opened[0].view.hasFocus()


@pytest.mark.parametrize("timing", [t for t in Timing if t is not Timing.TOGETHER])
def test_sentences_are_short_and_without_figures_of_merit(timing: Timing) -> None:
    performance = perform(story_of())
    notes = (LineNote(0, timing), LineNote(1, Timing.TOGETHER), LineNote(3, timing, True))
    said = practice_sentence(Practised(notes), performance)
    assert said.startswith("Together in line 2.")
    assert "line 1 and refrain back" in said
    assert "%" not in said
    assert len(said) < 160
    assert practice_sentence(Practised(()), performance) == NO_TAPS


def test_the_sentence_is_spoken_by_a_screen_reader(
    qtbot: QtBot, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened[0]
    spoken: list[str] = []
    usual = window.listening.bar.say

    def say(sentence: str, *, aloud: bool = False) -> None:
        spoken.extend([sentence] if aloud else [])
        usual(sentence, aloud=aloud)

    monkeypatch.setattr(window.listening.bar, "say", say)
    window.listening.bar.choose_loop(LoopChoice.LINE)
    begin(opened)
    tap_at(qtbot, opened, *ONSETS_SEC)
    look_at(opened, 2.01)
    assert TOGETHER in spoken
