"""Pages printed into a file by Qt's printer, measured with poppler against the exports."""

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPageLayout, QPageSize
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot

from tapscore.gui.card_preview import CardPreview
from tapscore.gui.export_dialog import ExportDialog
from tapscore.gui.main_window import MainWindow
from tapscore.gui.printing import print_panel
from tapscore.gui.printing.print_dialog import PrintDialog
from tapscore.gui.printing.print_job import layout_for
from tapscore.workflow.export_story import export_story
from tapscore.workflow.papers import paper_kinds
from tapscore.workflow.printed import key_of, last_printed
from tapscore.workflow.product import Choices
from tests.gui.answers import Answers

needs_poppler = pytest.mark.skipif(
    not (shutil.which("pdftoppm") and shutil.which("pdfinfo")), reason="needs poppler-utils"
)
DPI = 300
SAME_MM = 0.3
Shape = tuple[float, float]


@pytest.fixture(autouse=True)
def some_printer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever printers this computer has, the tests print into files."""
    monkeypatch.setattr(print_panel, "there_is_a_printer", lambda: True)


def into(path: Path, change: Callable[[QPrinter], None] | None = None) -> Callable[..., bool]:
    def answer(printer: QPrinter) -> bool:
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(path))
        printer.setResolution(300)
        if change is not None:
            change(printer)
        return True

    return answer


def opened(
    qtbot: QtBot, window: MainWindow, answers: Answers, kinds: tuple[str, ...], **choices: object
) -> PrintDialog:
    dialog = PrintDialog(window, answers, Choices(**choices), kinds)  # type: ignore[arg-type]
    dialog.open()
    ready(qtbot, dialog)
    return dialog


def ready(qtbot: QtBot, dialog: PrintDialog) -> None:
    qtbot.waitUntil(lambda: not dialog.panel.making.busy, timeout=20_000)
    qtbot.waitUntil(dialog.panel.print.isEnabled, timeout=20_000)


def printed(qtbot: QtBot, dialog: PrintDialog) -> str:
    with qtbot.waitSignal(dialog.panel.idle, timeout=60_000):
        dialog.panel.print.click()
    return dialog.panel.said.text()


def shapes_mm(path: Path) -> list[Shape]:
    """Sizes of the pages by poppler."""
    said = subprocess.run(
        ["pdfinfo", "-f", "1", "-l", "999", str(path)], capture_output=True, text=True, check=True
    ).stdout
    sizes = [line.split("size:")[1].split() for line in said.splitlines() if " size:" in line]
    return [
        (float(each[0]) * 25.4 / 72, float(each[2]) * 25.4 / 72) for each in sizes if each[1] == "x"
    ]


def ink_box_mm(path: Path, page: int) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of what is dark on a page, rendered by poppler."""
    raw = subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), str(path)],
        capture_output=True,
        check=True,
    ).stdout
    _, size, _, data = raw.split(b"\n", 3)
    wide, high = map(int, size.split())
    dark = np.frombuffer(data, np.uint8)[: wide * high].reshape(high, wide) < 110
    across, down = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
    box = across[0], down[0], across[-1], down[-1]
    return tuple(float(v) * 25.4 / DPI for v in box)  # type: ignore[return-value]


@needs_poppler
def test_printed_pages_have_the_size_and_the_place_of_the_exports(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    """ISO 216: A4 is 210 x 297 mm, A5 148 x 210."""
    dialog = opened(qtbot, demo, answers, ("cue-cards", "cue-sheet"))
    dialog.role.setCurrentText("beat-keeper")
    ready(qtbot, dialog)
    out = tmp_path / "printed.pdf"
    answers.set_printer = [into(out)]
    assert "went to" in printed(qtbot, dialog)
    exported = export_story(
        demo.document.story, tmp_path / "made", only=("cue-cards", "cue-sheet")
    ).made
    cards = next(made.path for made in exported if "cards-beat-keeper" in made.path.name)
    sheet = next(made.path for made in exported if "cue-sheet" in made.path.name)
    originals = [(path, n + 1) for path in (cards, sheet) for n in range(len(shapes_mm(path)))]
    sizes = shapes_mm(out)
    assert len(sizes) == len(originals) == dialog.panel.pages.count
    for number, (path, page) in enumerate(originals, 1):
        wanted = (210, 148) if path == cards else (210, 297)
        assert sizes[number - 1] == pytest.approx(wanted, abs=0.5)
        if page in (1, 2):
            assert ink_box_mm(out, number) == pytest.approx(ink_box_mm(path, page), abs=SAME_MM)
    assert list(tmp_path.glob(".printing-*")) == []
    dialog.reject()


@needs_poppler
def test_ranges_copies_and_the_order_of_the_dialog(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    dialog = opened(qtbot, demo, answers, ("cue-sheet", "cautions"))
    count = dialog.panel.pages.count
    assert count >= 3

    def two_copies_of_two(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setFromTo(2, 3)
        printer.setCopyCount(2)
        printer.setCollateCopies(True)

    answers.set_printer = [into(tmp_path / "a.pdf", two_copies_of_two)]
    assert printed(qtbot, dialog).startswith("4 pages went to")
    assert ink_box_mm(tmp_path / "a.pdf", 1) == ink_box_mm(tmp_path / "a.pdf", 3)
    assert ink_box_mm(tmp_path / "a.pdf", 1) != ink_box_mm(tmp_path / "a.pdf", 2)

    def this_one(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.CurrentPage)

    dialog.panel.view.turn_to(1)
    answers.set_printer = [into(tmp_path / "b.pdf", this_one)]
    assert printed(qtbot, dialog).startswith("1 page went to")
    assert ink_box_mm(tmp_path / "b.pdf", 1) == ink_box_mm(tmp_path / "a.pdf", 1)

    def none_there(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setFromTo(900, 901)

    answers.set_printer = [into(tmp_path / "c.pdf", none_there)]
    dialog.panel.print.click()
    assert "None of the pages was chosen" in dialog.panel.said.text()
    assert not (tmp_path / "c.pdf").exists()
    dialog.reject()


@needs_poppler
def test_other_paper_is_asked_about_and_never_shrinks_the_page(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    dialog = opened(qtbot, demo, answers, ("cue-cards",))

    def on(size: QPageSize.PageSizeId) -> Callable[[QPrinter], None]:
        def change(printer: QPrinter) -> None:
            printer.setPageSize(QPageSize(size))

        return change

    out = tmp_path / "out.pdf"
    answers.set_printer = [into(out, on(QPageSize.PageSizeId.A4))]
    answers.choices = ["Don't print"]
    dialog.panel.print.click()
    assert not out.exists()
    answers.set_printer = [into(out, on(QPageSize.PageSizeId.A4))]
    answers.choices = ["Print all the same"]
    printed(qtbot, dialog)
    assert shapes_mm(out)[1] == pytest.approx((297, 210), abs=0.5)
    made = export_story(demo.document.story, tmp_path / "made", only=("cue-cards",)).made
    leader = next(each.path for each in made if "cards-leader" in each.path.name)
    moved = ((297 - 210) / 2, (210 - 148) / 2) * 2
    box = tuple(a + b for a, b in zip(ink_box_mm(leader, 1), moved, strict=True))
    assert ink_box_mm(out, 1) == pytest.approx(box, abs=SAME_MM)
    answers.set_printer = [into(tmp_path / "no.pdf", on(QPageSize.PageSizeId.A6))]
    dialog.panel.print.click()
    assert "never made smaller" in answers.told[-1]
    assert not (tmp_path / "no.pdf").exists()
    dialog.reject()


def test_print_in_the_blank_edge_of_a_printer_is_said(
    qtbot: QtBot,
    demo: MainWindow,
    answers: Answers,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    dialog = opened(qtbot, demo, answers, ("cue-cards",))
    least = QMarginsF(4.2, 4.2, 4.2, 12)

    def with_edge(sheet: tuple[float, float]) -> QPageLayout:
        layout = layout_for(sheet)
        layout.setUnits(QPageLayout.Unit.Millimeter)
        layout.setMinimumMargins(least)
        return layout

    class Edged(QPrinter):
        def pageLayout(self) -> QPageLayout:  # noqa: N802
            size = super().pageLayout().fullRect(QPageLayout.Unit.Millimeter)
            return with_edge((size.width(), size.height()))

    def printer(name: str, first: tuple[float, float], *, both_sides: bool) -> QPrinter:
        made = Edged(QPrinter.PrinterMode.HighResolution)
        made.setPageLayout(layout_for(first))
        return made

    monkeypatch.setattr(print_panel, "new_printer", printer)
    answers.set_printer = [into(tmp_path / "edge.pdf")]
    answers.choices = ["Don't print"]
    dialog.panel.print.click()
    assert "leaves the edge of the paper blank (bottom 12 mm)" in answers.more[-1]
    assert not (tmp_path / "edge.pdf").exists()
    dialog.reject()


def test_stop_leaves_no_file(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    dialog = opened(qtbot, demo, answers, ("cue-cards",))
    answers.set_printer = [into(tmp_path / "half.pdf")]
    with qtbot.waitSignal(dialog.panel.idle, timeout=30_000):
        dialog.panel.print.click()
        choices = [*dialog.boxes.values(), dialog.role, dialog.fields.paper]
        assert not any(each.isEnabled() for each in choices), "what is printed stays chosen"
        qtbot.waitUntil(lambda: dialog.panel.bar.value() >= 2, timeout=30_000)
        dialog.panel.stop.click()
    assert all(each.isEnabled() for each in choices)
    assert dialog.panel.said.text() == "Stopped. No file was made."
    assert [path.name for path in tmp_path.glob("*.pdf")] == []
    assert list(tmp_path.glob(".printing-*")) == []
    answers.set_printer = [into(tmp_path / "half.pdf")]
    with qtbot.waitSignal(dialog.finished, timeout=30_000):
        dialog.panel.print.click()
        dialog.reject()
    assert list(tmp_path.glob("*half*")) == []


def test_a_file_that_can_not_be_written_is_said(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    dialog = opened(qtbot, demo, answers, ("cautions",))
    answers.set_printer = [into(tmp_path / "nowhere" / "a.pdf")]
    assert printed(qtbot, dialog).startswith(
        "The file was not made: there is no such file or folder"
    )
    dialog.reject()


def test_closing_the_printer_dialog_prints_nothing(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    dialog = opened(qtbot, demo, answers, ("cautions",))
    answers.set_printer = [lambda printer: False]
    dialog.panel.print.click()
    assert dialog.panel.said.text() == "Nothing was printed."
    dialog.reject()


def test_no_printer_is_said(
    qtbot: QtBot, demo: MainWindow, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(print_panel, "there_is_a_printer", lambda: False)
    dialog = opened(qtbot, demo, answers, ("cautions",))
    answers.choices = ["Don't print"]
    dialog.panel.print.click()
    assert answers.asked == ["No printer was found on this computer."]
    dialog.reject()


def test_backs_ask_for_both_sides(
    qtbot: QtBot, demo: MainWindow, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Qt forgets both sides where there is no printer, so it is watched what it is told."""
    seen: list[QPrinter.DuplexMode] = []
    monkeypatch.setattr(QPrinter, "setDuplex", lambda printer, mode: seen.append(mode))
    for kind, backs in (("cue-cards", True), ("cue-cards", False), ("cautions", True)):
        dialog = opened(qtbot, demo, answers, (kind,), backs=backs)
        answers.set_printer = [lambda printer: False]
        dialog.panel.print.click()
        dialog.reject()
    none = QPrinter.DuplexMode.DuplexNone
    assert seen == [QPrinter.DuplexMode.DuplexLongSide, none, none], "cards alone have backs"


def test_every_paper_of_the_exports_can_be_printed(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    story = demo.document.story
    kinds = tuple(name for name, _ in paper_kinds(story))
    made = export_story(story, tmp_path / "made", only=kinds).made
    wanted = {made.path.read_bytes() for made in made if made.path.suffix == ".pdf"}
    dialog = opened(qtbot, demo, answers, kinds)
    pages = dialog.panel.pages
    assert {pages.source(page)[0] for page in range(pages.count)} == wanted
    assert dialog.panel.making.problems == []
    assert dialog.panel.said.text().startswith(f"{pages.count} pages: ")
    dialog.reject()


def test_cards_too_small_for_the_distance_say_so(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    dialog = PrintDialog(demo, answers, Choices(card_paper="A6", distance_m=3.0))
    dialog.open()
    qtbot.waitUntil(lambda: bool(dialog.panel.making.problems) and not dialog.panel.making.busy)
    qtbot.waitUntil(lambda: "too small" in dialog.panel.said.text())
    assert len(dialog.panel.making.problems) == 1
    assert not dialog.panel.print.isEnabled()
    dialog.reject()


def test_reached_from_the_menu_the_export_dialog_and_the_card_preview(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    demo.actions_by_id["print"].trigger()
    dialog = demo.findChild(PrintDialog)
    assert dialog is not None
    assert demo.actions_by_id["print"].shortcut().toString() == "Ctrl+P"
    assert [name for name, box in dialog.boxes.items() if box.isChecked()] == ["part-sheets"]
    ready(qtbot, dialog)
    dialog.reject()
    export = ExportDialog(demo, answers)
    qtbot.addWidget(export)
    for name, box in export.boxes.items():
        box.setChecked(name == "cautions")
    export.print.click()
    chosen = export.findChild(PrintDialog)
    assert chosen is not None
    assert [name for name, box in chosen.boxes.items() if box.isChecked()] == ["cautions"]
    ready(qtbot, chosen)
    chosen.reject()
    export.preview.role.setCurrentText("beat-keeper")
    with qtbot.waitSignal(export.preview.print_wanted):
        export.preview.print.click()
    cards = [each for each in export.findChildren(PrintDialog) if each.isVisible()][-1]
    assert cards.role.currentText() == "beat-keeper"
    ready(qtbot, cards)
    assert cards.panel.what.text() == "Part of beat-keeper"
    cards.reject()
    assert isinstance(export.preview, CardPreview)


def test_what_was_printed_whole_is_noted_for_the_list_of_stories(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    path = demo.document.path
    assert path is not None
    dialog = opened(qtbot, demo, answers, ("floor-plan", "box-label"))
    assert dialog.panel.pages.count > 0

    def first_page(printer: QPrinter) -> None:
        printer.setFromTo(1, 1)
        printer.setPrintRange(QPrinter.PrintRange.PageRange)

    def noted() -> set[str]:
        return set(last_printed().get(key_of(path), {}))

    many = opened(qtbot, demo, answers, ("cue-cards",))
    answers.set_printer = [into(tmp_path / "a.pdf", first_page)]
    printed(qtbot, many)
    assert "cue-cards" not in noted(), "one page of many"
    many.role.setCurrentIndex(1)
    ready(qtbot, many)
    answers.set_printer = [into(tmp_path / "b.pdf")]
    printed(qtbot, many)
    assert "cue-cards" not in noted(), "one adult's of many"
    answers.set_printer = [into(tmp_path / "c.pdf")]
    printed(qtbot, dialog)
    assert "floor-plan" in noted()
