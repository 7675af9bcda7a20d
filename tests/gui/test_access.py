"""Contrast, names for screen readers, and a Qt that is sound."""

import sys
from collections.abc import Callable

import pytest
from PySide6.QtGui import QAccessible, QAccessibleInterface, QPainter, QPixmap
from PySide6.QtWidgets import QTableView, QWidget

from tapscore.gui.commands.every import COMMANDS
from tapscore.gui.looks import set_scale
from tapscore.gui.main_window import MainWindow
from tapscore.gui.palettes import ALL_INKS, HIGH_CONTRAST, Inks
from tapscore.screen.rows import tap_text, tapped_words


def _linear(part: int) -> float:
    share = part / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def _contrast(one: str, other: str) -> float:
    """WCAG 2.2, definition of contrast ratio and of relative luminance."""

    def luminance(code: str) -> float:
        red, green, blue = (_linear(int(code[i : i + 2], 16)) for i in (1, 3, 5))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula_against_published_values() -> None:
    # Values as quoted for WCAG checkers: #767676 on white 4.54, #FF0000 4.00, black 21.
    assert round(_contrast("#767676", "#FFFFFF"), 2) == 4.54
    assert round(_contrast("#FF0000", "#FFFFFF"), 2) == 4.00
    assert _contrast("#000000", "#FFFFFF") == 21


@pytest.mark.parametrize("inks", ALL_INKS, ids=lambda inks: inks.name)
def test_inks_meet_wcag(inks: Inks) -> None:
    for text in (inks.ink, inks.muted, inks.teal, inks.plum):
        assert _contrast(text, inks.paper) >= 7
    assert _contrast(inks.amber, inks.cream) >= 7
    assert _contrast(inks.on_selected, inks.selected) >= 7
    assert _contrast(inks.line, inks.paper) >= 3


def test_every_control_row_and_tap_has_a_name(demo: MainWindow) -> None:
    unnamed: list[str] = []

    def walk(interface: QAccessibleInterface) -> None:
        widget = interface.object()
        if isinstance(widget, QWidget) and widget.focusPolicy().value and widget.isVisible():
            inside_view = isinstance(widget.parentWidget(), QTableView)
            if not interface.text(QAccessible.Text.Name) and not inside_view:
                unnamed.append(f"{type(widget).__name__} {widget.objectName()}")
        for number in range(interface.childCount()):
            child = interface.child(number)
            if child is not None:
                walk(child)

    demo.actions_by_id["details"].trigger()
    for panel in demo.side.panels:
        demo.side.show_panel(panel)
        interface = QAccessible.queryAccessibleInterface(demo)
        assert interface is not None
        walk(interface)
    assert unnamed == []
    for number in range(demo.rows.rowCount()):
        from PySide6.QtCore import Qt

        text = demo.rows.index(number, 0).data(Qt.ItemDataRole.AccessibleTextRole)
        assert text.strip()


def test_a_tap_is_told_in_words(demo: MainWindow) -> None:
    row = next(row for row in demo.rows.rows if row.line and "Splash" in row.line.words)
    assert tap_text(row, 0).startswith("1 of 2, “splash” in bar 1, strong, loud, flat hand")
    assert tap_text(row, 1).startswith("2 of 2, the tap after “splash” in bar 1, loud, flat hand")


def test_a_line_says_what_its_taps_are(demo: MainWindow) -> None:
    row = next(row for row in demo.rows.rows if row.line and "Splash" in row.line.words)
    assert tapped_words(row)[:2] == ("loud", "flat hand")


def test_keys_are_not_given_twice() -> None:
    keys = [key for command in COMMANDS for key in command.keys.split(", ") if key]
    assert len(keys) == len(set(keys))


def test_painting_does_not_lose_references_to_none(qtbot: object) -> None:
    # PySide6 6.12.0 on Python 3.11 drops one at every call that returns nothing.
    pixmap = QPixmap(10, 10)
    painter = QPainter(pixmap)
    before = sys.getrefcount(None)
    for _ in range(200):
        painter.setPen(HIGH_CONTRAST.ink)
    assert sys.getrefcount(None) >= before - 5
    painter.end()


def test_text_twice_as_large_still_fits_the_window(
    window_on: Callable[[str], MainWindow], demo: MainWindow
) -> None:
    set_scale(demo, 2.0)
    for number in range(demo.rows.rowCount()):
        assert demo.view.rowHeight(number) == demo.view.sizeHintForRow(number)
    assert demo.width() <= 1280
