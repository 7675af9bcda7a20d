"""How soon one hears something, and what the moving cursor costs; run by hand.

``python tests/benchmarks/listening_speed.py`` takes a story of 200 lines without a wait
and compares, in the same run: mixing for listening with writing the whole audio guide as
WAV in memory (what one would otherwise have to wait for), and a step of the cursor with
repainting the whole view.
"""

import os
import time
from collections.abc import Callable
from io import BytesIO
from statistics import median

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from tapscore.storyfile.read import read_text

LINES = 200
LINE = """\
      - words: Out on the wa-ter the lit-tle boat lay
        lane: "| X x x X x x | X x x X . . |"
        by: everyone
"""
STORY = f"""\
tapscore: 2
title: Two hundred lines
metre: 6/8
tempo: 54
roles:
  leader: {{}}
  beat-keeper: {{}}
  second tapper: {{}}
story:
  - section: All
    lines:
{LINE * LINES}"""


def timed_ms(do: Callable[[], object], times: int) -> float:
    """Median milliseconds of a call, after one that is not counted."""
    do()
    found = []
    for _ in range(times):
        begin = time.perf_counter()
        do()
        found.append((time.perf_counter() - begin) * 1000)
    return median(found)


def mixing() -> None:
    """From F5 to sound, and to the end of the mix."""
    from tapscore.exports.audio.guide import audio_guide
    from tapscore.rhythm.perform import perform
    from tapscore.screen.passage import Going, passage_from
    from tapscore.screen.passage_sound import fill, new_sound, place_sounds, story_factor

    story = read_text(STORY).story
    assert story is not None
    ready: list[float] = []

    def listen(going: Going) -> float:
        begin = time.perf_counter()
        passage = passage_from(perform(story), going, 0, count_in=True)
        assert passage is not None
        sounds = place_sounds(story, passage, None)
        sound = new_sound(sounds, loops=passage.loops)
        fill(
            sound,
            sounds,
            story_factor(story, passage),
            lambda: ready.append((time.perf_counter() - begin) * 1000),
        )
        return sound.lines_sec

    whole, line = Going(tuple(range(LINES))), Going((0,), loops=True)
    length_sec = listen(whole)
    guide_ms = timed_ms(lambda: audio_guide(story, perform(story), BytesIO(), format="wav"), 3)
    for name, going in (("all lines", whole), ("loop of one line", line)):
        ready.clear()
        whole_ms = timed_ms(lambda going=going: listen(going), 5)  # type: ignore[misc]
        print(
            f"{name}: sound after {median(ready):.0f} ms, mixed after {whole_ms:.0f} ms; "
            f"the guide as WAV takes {guide_ms:.0f} ms, "
            f"{guide_ms / median(ready):.0f} times as long"
        )
    print(f"({LINES} lines, {length_sec:.0f} s of sound)")


def cursor() -> None:
    """A step of the cursor in a window."""
    import tempfile
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

    from tapscore.gui.asking import Asking
    from tapscore.gui.files import FileWork
    from tapscore.gui.listening.player import CursorAt
    from tapscore.gui.recovery import RecoveryFolder
    from tapscore.gui.settings import Settings

    app = QApplication.instance() or QApplication([])
    folder = Path(tempfile.mkdtemp())
    files = FileWork(Settings(folder / "s.json"), Asking(), RecoveryFolder(folder / "r"))
    window = files.show_story(read_text(STORY), None)
    app.processEvents()
    listening, port = window.listening, window.view.viewport()
    listening.listen()
    listening.player._timer.stop()
    shares = iter(range(1, 1_000_000))

    def step() -> None:
        listening.player._set_place(CursorAt(0, next(shares) % 997 / 1000, 0.0))
        app.processEvents()

    def all_rows() -> None:
        port.repaint()

    step_ms, all_ms = timed_ms(step, 200), timed_ms(all_rows, 50)
    start_ms = timed_ms(listening.listen, 10)
    print(
        f"a step of the cursor {step_ms:.2f} ms; repainting the view {all_ms:.2f} ms, "
        f"{all_ms / step_ms:.1f} times as long"
    )
    print(f"F5 keeps the window busy for {start_ms:.0f} ms")
    listening.shut()
    window.checking.stop()


def main() -> None:
    """Run both."""
    mixing()
    cursor()


if __name__ == "__main__":
    main()
    os._exit(0)
