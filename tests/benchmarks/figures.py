"""One figure in one process: ``python -m tests.benchmarks.figures NAME LINES SEED``.

Prints JSON: CPU and wall in ms, the peak of memory in MB (of this process alone: the system
counts a program that it calls as large as itself at first), and what else the figure has.  The
process has seen nothing of the story before, and nothing is kept from another run: caches lie in
the folder that ``XDG_CACHE_HOME`` and ``TAPSCORE_VOICE_CACHE`` name, which ``run_all`` gives.
"""

import contextlib
import gc
import json
import os
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from io import BytesIO
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tapscore.model.story import Story

Figure = dict[str, float]


def timed(work: Callable[[], object]) -> Figure:
    """Times of some work, with those of the programs it called."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu, wall = time.process_time(), time.perf_counter()
    work()
    cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    others = after.ru_utime + after.ru_stime - children.ru_utime - children.ru_stime
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {
        "cpu_ms": 1000 * (cpu + others),
        "called_ms": 1000 * others,
        "wall_ms": 1000 * wall,
        "peak_mb": peak,
    }


def exported(story: "Story", names: tuple[str, ...], **chosen: Any) -> Figure:
    """Times of some exports.  Raises RuntimeError where a file of them was not made."""
    from tapscore.workflow.export_story import export_story
    from tapscore.workflow.product import Choices

    made = []
    with tempfile.TemporaryDirectory() as folder:
        out, choices = Path(folder) / "out", Choices(**{"sound": "wav", **chosen})
        took = timed(lambda: made.append(export_story(story, out, only=names, choices=choices)))
    if made[0].failures or not made[0].made:
        raise RuntimeError("; ".join(made[0].failures) or f"nothing is called {names}")
    return took


def product(name: str, lines: int, seed: int) -> Figure:
    """Every file of one kind of export."""
    from tests.benchmarks.made_stories import made_story

    return exported(made_story(lines, seed), (name,))


def all_paper(lines: int, seed: int) -> Figure:
    """All paper there is of a story with six roles."""
    from tapscore.workflow.paper_products import PAPER_EXPORTS
    from tests.benchmarks.made_stories import made_story

    names = ("part-sheets", "cue-cards", "cue-sheet", *(each.name for each in PAPER_EXPORTS))
    return exported(made_story(lines, seed), names)


def ten_cards(lines: int, seed: int) -> Figure:
    """Ten pages of cards with tags, and the same words drawn by reportlab alone."""
    from tapscore.exports.paper import fonts
    from tapscore.exports.paper.cue_cards import card_pages
    from tapscore.exports.paper.pdf import write_pdf
    from tapscore.rhythm.perform import perform
    from tests.benchmarks.made_stories import made_story

    story = made_story(lines, seed)
    performance = perform(story)
    fonts.register()
    pages = list(card_pages(made_story(3, 99), perform(made_story(3, 99)), "beat-keeper"))
    write_pdf(pages, title="warm", subject="", language=None)

    def laid_out() -> None:
        pages[:] = card_pages(story, performance, "beat-keeper")[:10]
        write_pdf(pages, title="T", subject="", language=None)

    ours = timed(laid_out)
    bare = timed(lambda: _bare(pages))
    return {**ours, "pages": len(pages), "bare_ms": bare["cpu_ms"]}


def _bare(pages: list[Any]) -> None:
    from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

    canvas = Canvas(BytesIO(), (595, 420))
    for page in pages:
        for text in page.texts:
            canvas.setFont("Helvetica-Bold", text.size_pt)
            canvas.drawString(text.x, 420 - text.y, text.text)
        canvas.showPage()
    canvas.save()


def spine(lines: int, seed: int) -> Figure:
    """Read, perform and check the metre of a story that is new, and the same by music21."""
    from tapscore.checks.registry import check
    from tapscore.checks.rule import Scene
    from tapscore.rhythm.perform import perform
    from tapscore.storyfile.read import read_text
    from tests.benchmarks.made_stories import made_text
    from tests.benchmarks.spine_speed import METRE_RULES, story_text, with_music21

    text, other = made_text(lines, seed), story_text(lines, seed)

    def ours(which: str) -> object:
        story = read_text(which).story
        assert story is not None
        return check(Scene(story, perform(story)), METRE_RULES)

    ours(made_text(3, 1))  # imports are no part of it
    with_music21(story_text(2, 77))
    gc.collect()
    gc.freeze()  # what music21 holds for good is looked through for nobody's story
    told = timed(lambda: ours(text))
    plain = timed(lambda: ours(other))
    theirs = timed(lambda: with_music21(story_text(lines, seed + 1)))
    return {**told, "plain_ms": plain["cpu_ms"], "music21_ms": theirs["cpu_ms"]}


def changed_line(lines: int, seed: int) -> Figure:
    """All findings once a line is changed: the first time, and as somebody types on."""
    from attrs import evolve

    from tapscore.model.edits import change_line
    from tapscore.workflow.open_story import checked_story
    from tests.benchmarks.made_stories import made_story

    story = made_story(lines, seed)
    checked_story(story)
    path = ("story", 0, "lines", 3)
    times = []
    for letter in " ohthewind":
        story = change_line(story, path, lambda line: evolve(line, words=f"{line.words}{letter}"))  # noqa: B023
        times.append(timed(lambda: checked_story(story)))  # noqa: B023
    return {**times[0], "typing_ms": median(each["cpu_ms"] for each in times[1:])}


def writing(lines: int, seed: int) -> Figure:
    """Write a story of which every line is changed; ``title_ms`` where the title alone is."""
    from attrs import evolve

    from tapscore.model.walk import change_lines
    from tapscore.storyfile.write import write_story
    from tests.benchmarks.made_stories import made_story

    story = made_story(lines, seed)
    title = timed(lambda: write_story(evolve(story, title="Other")))
    new = change_lines(made_story(lines, seed + 1), lambda _, line: evolve(line, do="rock"))
    return {**timed(lambda: write_story(new)), "title_ms": title["cpu_ms"]}


def opening(lines: int, seed: int) -> Figure:
    """A window on a story, painted."""
    from tests.benchmarks.made_stories import made_text

    text = made_text(lines, seed)
    app, files = _editor()

    def opened() -> None:
        from tapscore.storyfile.read import read_text

        files.show_story(read_text(text), None)
        app.processEvents()

    return timed(opened)


def typing(lines: int, seed: int) -> Figure:
    """Six seconds of typing with checks and keeping on, the window turning all the while.

    The longest turn of the window, on the clock and in the CPU time of its own thread (other
    programs lengthen the first, not the second).  Turns are not kept: a still machine makes a
    million, which counted as memory of the window.
    """
    from PySide6.QtCore import QTimer
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QLineEdit

    from tapscore.gui import files as files_module
    from tapscore.storyfile.read import read_text
    from tests.benchmarks.made_stories import made_text

    files_module.AUTOSAVE_MS = 1500  # ten times as often as in use
    app, files = _editor()
    window = files.show_story(read_text(made_text(lines, seed)), None)
    for _ in range(20):
        app.processEvents()
        time.sleep(0.05)
    window.view.go_to(("story", lines // 20, "lines", 3), edit=True)
    field: Any = window.view.findChild(QLineEdit)
    field.end(False)
    letters = iter("the long boat turned to the water and home went the moon " * 9)
    keys: list[float] = []
    longest_cpu = longest_wall = 0.0
    turns, last = 0, (time.thread_time(), time.perf_counter())

    def turn() -> None:
        nonlocal longest_cpu, longest_wall, turns, last
        now = time.thread_time(), time.perf_counter()
        if turns >= 5:
            longest_cpu = max(longest_cpu, now[0] - last[0])
            longest_wall = max(longest_wall, now[1] - last[1])
        turns += 1
        last = now

    def press() -> None:
        start = time.thread_time()
        QTest.keyClick(field, next(letters))  # type: ignore[call-overload]
        window.view.viewport().repaint()
        keys.append(time.thread_time() - start)

    watching, pressing = QTimer(interval=0), QTimer(interval=60)
    watching.timeout.connect(turn)
    pressing.timeout.connect(press)
    watching.start()
    pressing.start()
    end = time.perf_counter() + 6
    while time.perf_counter() < end:
        app.processEvents()
    keys.sort()
    return {
        "cpu_ms": 1000 * longest_cpu,
        "wall_ms": 1000 * longest_wall,
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "own_mb": _own_mb(),
        "key_95_ms": 1000 * keys[len(keys) * 95 // 100],
        "keys": len(keys),
        "turns": turns,
    }


def _own_mb() -> float:
    """What this process has made or changed itself: no pages of programs and libraries."""
    with open("/proc/self/smaps_rollup", encoding="ascii") as file:  # noqa: PTH123
        return next(int(each.split()[1]) for each in file if each.startswith("Anonymous")) / 1024


def _editor() -> tuple[Any, Any]:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from tapscore.gui.asking import Asking
    from tapscore.gui.files import FileWork
    from tapscore.gui.recovery import RecoveryFolder
    from tapscore.gui.settings import Settings

    app = QApplication.instance() or QApplication([])
    folder = Path(tempfile.mkdtemp())
    return app, FileWork(Settings(folder / "s.json"), Asking(), RecoveryFolder(folder / "r"))


def spoken_guide(lines: int, seed: int) -> Figure:
    """Five minutes with words: cold, again, and with one line changed and a bar longer."""
    from attrs import evolve

    from tapscore.model.edits import change_line
    from tapscore.model.story import Line
    from tests.benchmarks.rehearsal_set_speed import five_minutes

    def longer(line: Line) -> Line:
        assert line.lane is not None
        lane = evolve(line.lane, bars=(*line.lane.bars, line.lane.bars[-1]))
        return evolve(line, words=f"{line.words} oh", lane=lane)

    story = five_minutes()
    if seed < 0:
        story = change_line(story, ("story", 1, "lines", 1), longer)
    return exported(story, ("audio-guide",), sound="mp3", short_turns=True)


def spoken_set(lines: int, seed: int) -> Figure:
    """The rehearsal set of the same story, as MP3."""
    from tests.benchmarks.rehearsal_set_speed import five_minutes

    return exported(five_minutes(), ("rehearsal-set",), sound="mp3", short_turns=True)


def mixing(lines: int, seed: int) -> Figure:
    """Five minutes with 2,000 taps mixed, and by pydub's overlay (reckoned from some of them)."""
    from tapscore.exports.audio.plan import plan
    from tapscore.rhythm.perform import perform
    from tests.benchmarks import audio_mix

    story = audio_mix.long_story()
    sounds = tuple(plan(story, perform(story)))
    ours = timed(lambda: audio_mix.mix_all(sounds))
    overlaid = audio_mix.overlay_sec(sounds[: audio_mix.TAPS])
    return {**ours, "pydub_ms": 1000 * overlaid, "sound_sec": audio_mix.LENGTH_SEC}


def modes(lines: int, seed: int) -> Figure:
    """Modes of a board below 500 Hz, and by scikit-fem on a mesh whose worst is no worse."""
    import numpy as np

    from tapscore.board.default_board import DEFAULT_EDGES
    from tapscore.board.one_thread import one_blas_thread
    from tapscore.board.plate import solve
    from tests.benchmarks.board_speed import PLATE, SIDES, exact_hz
    from tests.board.oracle import finite_element_hz

    def by_elements(into: list[Any], mesh: tuple[int, int]) -> None:
        into.append(finite_element_hz(PLATE, mesh, len(exact), SIDES))

    exact = exact_hz(PLATE, 500.0)
    found = [solve(PLATE, DEFAULT_EDGES, 505.0)]
    ours = timed(lambda: found.append(solve(PLATE, DEFAULT_EDGES, 505.0)))
    error = float(np.abs(found[-1].sorted_hz[: len(exact)] / exact - 1).max())
    for cells in range(8, 60, 2):
        mesh, theirs = (cells, round(cells * 1.9)), [exact]
        with one_blas_thread():
            took = timed(partial(by_elements, theirs, mesh))
        if float(np.abs(theirs[-1] / exact - 1).max()) <= error:
            break
    return {**ours, "fem_ms": took["cpu_ms"]}


def words_alone(lines: int, seed: int) -> Figure:
    """All parts, cards and the cue sheet, and the same words set by reportlab's paragraphs.

    By weasyprint besides, where it is installed.
    """
    from tapscore.exports.paper.cue_cards import card_pages, cue_cards
    from tapscore.exports.paper.cue_sheet import cue_sheet, sheet_pages
    from tapscore.exports.paper.part_sheets import part_pages, part_sheets
    from tapscore.rhythm.perform import perform
    from tests.benchmarks import paper_speed
    from tests.benchmarks.made_stories import made_story

    story = made_story(lines, seed)
    told = perform(story)

    def everything() -> None:
        for role in told.roles:
            part_sheets(story, told, role)
            cue_cards(story, told, role)
        cue_sheet(story, told)

    pages = [page for role in told.roles for page in part_pages(story, told, role)]
    pages += [page for role in told.roles for page in card_pages(story, told, role)]
    pages += sheet_pages(story, told)
    texts = paper_speed.texts_of(pages)
    paragraphs = timed(lambda: paper_speed.with_paragraphs(texts))["cpu_ms"]
    html = 0.0
    with contextlib.suppress(ImportError, OSError):
        html = timed(lambda: paper_speed.with_weasyprint(texts))["cpu_ms"]
    both = {"paragraphs_ms": paragraphs, "weasyprint_ms": html, "pages": float(len(pages))}
    return {**timed(everything), **both}


FIGURES: dict[str, Callable[[int, int], Figure]] = {
    each.__name__: each
    for each in (
        *(all_paper, ten_cards, spine, changed_line, writing, opening, typing),
        *(spoken_guide, spoken_set, mixing, modes, words_alone),
    )
}


def main() -> None:
    """Work one figure out."""
    name, lines, seed = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    figure = FIGURES[name](lines, seed) if name in FIGURES else product(name, lines, seed)
    print(json.dumps(figure), flush=True)
    os._exit(0)


if __name__ == "__main__":
    main()
