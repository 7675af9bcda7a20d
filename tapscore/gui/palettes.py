"""Three sets of inks for the screen: light, dark and high contrast."""

from pathlib import Path

from attrs import frozen
from PySide6.QtGui import QColor, QPalette

from tapscore.resources import resource_path


@frozen
class Inks:
    """Colours as ``#RRGGBB``, named for what they are for."""

    name: str
    paper: str
    ink: str
    muted: str
    greyed: str
    """Commands that can't be done now."""
    line: str
    teal: str
    amber: str
    cream: str
    """Ground of amber."""
    plum: str
    selected: str
    """Ground of what is selected."""
    on_selected: str


LIGHT = Inks(
    name="light",
    paper="#FFFDF6",
    ink="#1C1B22",
    muted="#56545E",
    greyed="#8A8790",
    line="#8A8790",
    teal="#0A5A5F",
    amber="#7A3E00",
    cream="#FFF1D6",
    plum="#6A2458",
    selected="#CFE9E6",
    on_selected="#1C1B22",
)
DARK = Inks(
    name="dark",
    paper="#1E1D24",
    ink="#F3F0E8",
    muted="#B4B0BC",
    greyed="#8A8790",
    line="#8A8790",
    teal="#7FD6D2",
    amber="#FFC477",
    cream="#1E1D24",
    plum="#F0A6DA",
    selected="#12484C",
    on_selected="#F3F0E8",
)
HIGH_CONTRAST = Inks(
    name="high contrast",
    paper="#000000",
    ink="#FFFFFF",
    muted="#FFFFFF",
    greyed="#9A9A9A",
    line="#FFFFFF",
    teal="#FFFFFF",
    amber="#FFE45C",
    cream="#000000",
    plum="#FFFFFF",
    selected="#FFFFFF",
    on_selected="#000000",
)
ALL_INKS = (LIGHT, DARK, HIGH_CONTRAST)


def inks_named(name: str) -> Inks:
    """The inks of that name; the light ones where there are none."""
    return next((inks for inks in ALL_INKS if inks.name == name), LIGHT)


def qt_palette(inks: Inks) -> QPalette:
    """The same inks for Qt's own controls."""
    palette = QPalette()
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, inks.paper),
        (role.Base, inks.paper),
        (role.AlternateBase, inks.paper),
        (role.Button, inks.paper),
        (role.ToolTipBase, inks.paper),
        (role.WindowText, inks.ink),
        (role.Text, inks.ink),
        (role.ButtonText, inks.ink),
        (role.ToolTipText, inks.ink),
        (role.BrightText, inks.ink),
        (role.PlaceholderText, inks.muted),
        (role.Mid, inks.line),
        (role.Dark, inks.line),
        (role.Shadow, inks.line),
        (role.Midlight, inks.line),
        (role.Light, inks.paper),
        (role.Link, inks.teal),
        (role.Accent, inks.teal),
        (role.Highlight, inks.selected),
        (role.HighlightedText, inks.on_selected),
    ):
        palette.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, which, QColor(inks.muted))
    return palette


def _arrow(inks: Inks, way: str) -> Path:
    """A picture of an arrow in the inks' own colour."""
    ground = "light" if inks is LIGHT else "dark"
    return resource_path(f"pictures/arrow-{way}-on-{ground}.svg")


def _quoted(path: Path) -> str:
    """A path as a style sheet's string, whatever marks the folder's name has."""
    text = path.as_posix().replace("\\", "\\\\").replace('"', '\\"')
    return f'"{text}"'


def style_sheet(inks: Inks, label_px: int) -> str:
    """Rules for Qt's controls: plain boxes, large labels, a focus ring one can see."""
    arrow, arrow_up = (_quoted(_arrow(inks, way)) for way in ("down", "up"))
    return f"""
    * {{ font-size: {label_px}px; }}
    QMainWindow, QDialog, QDockWidget, QWidget {{ background: {inks.paper}; color: {inks.ink}; }}
    QPushButton, QToolButton, QLineEdit, QPlainTextEdit {{
        border: 1px solid {inks.line}; border-radius: 4px; padding: 4px 8px;
        background: {inks.paper}; color: {inks.ink}; min-height: {label_px + 6}px; }}
    QPushButton:focus, QToolButton:focus, QLineEdit:focus, QPlainTextEdit:focus,
    QListView:focus, QTableView:focus, QTreeView:focus, QCheckBox:focus {{
        border: 2px solid {inks.teal}; }}
    QCheckBox {{ border: 2px solid transparent; padding: 2px; }}
    QCheckBox::indicator, QListView::indicator, QMenu::indicator {{
        width: {label_px - 5}px; height: {label_px - 5}px; padding: 2px;
        border: 2px solid {inks.ink}; border-radius: 2px; background: {inks.paper}; }}
    QCheckBox::indicator:checked, QListView::indicator:checked, QMenu::indicator:checked {{
        background-color: {inks.ink}; background-clip: content; }}
    QCheckBox::indicator:disabled {{ border-color: {inks.line}; }}
    QSpinBox QLineEdit, QDoubleSpinBox QLineEdit {{ border: none; padding: 0; }}
    QComboBox, QSpinBox, QDoubleSpinBox {{ min-height: {label_px + 6}px; padding: 2px 6px;
        border: 1px solid {inks.line}; border-radius: 4px; background: {inks.paper}; }}
    QComboBox:focus, QSpinBox:focus, QDoubleSpinBox:focus {{ border: 2px solid {inks.teal}; }}
    QComboBox::drop-down {{ border: none; width: {label_px + 6}px; }}
    QComboBox::down-arrow {{ image: url({arrow}); width: {label_px - 3}px; }}
    QSpinBox::up-button, QSpinBox::down-button, QDoubleSpinBox::up-button,
    QDoubleSpinBox::down-button {{ border: none; width: {label_px + 6}px; }}
    QSpinBox::up-arrow, QDoubleSpinBox::up-arrow {{ image: url({arrow_up});
        width: {label_px - 5}px; }}
    QSpinBox::down-arrow, QDoubleSpinBox::down-arrow {{ image: url({arrow});
        width: {label_px - 5}px; }}
    QPushButton:pressed, QToolButton:pressed, QToolButton:checked {{
        background: {inks.selected}; color: {inks.on_selected}; }}
    QPushButton:disabled, QToolButton:disabled {{ color: {inks.muted}; border-style: dashed; }}
    QLineEdit:disabled, QPlainTextEdit:disabled, QComboBox:disabled, QSpinBox:disabled,
    QDoubleSpinBox:disabled {{ color: {inks.muted}; border-style: dashed; }}
    QListView, QTableView, QTreeView {{ border: 2px solid transparent; }}
    QListView::item:selected {{ background: {inks.selected}; color: {inks.on_selected}; }}
    QMenu::item:selected, QMenuBar::item:selected {{
        background: {inks.selected}; color: {inks.on_selected}; }}
    QMenu {{ border: 1px solid {inks.line}; menu-scrollable: 1; }}
    QMenu::item {{ padding: 6px 24px 6px {label_px + 19}px; }}
    QMenu::indicator {{ left: 8px; }}
    QMenu::separator {{ height: 1px; background: {inks.line}; margin: 3px 12px; }}
    QMenu::item:disabled, QMenuBar::item:disabled {{ color: {inks.greyed}; }}
    #strip, #strip QLabel {{ background: {inks.cream}; color: {inks.amber}; }}
    #strip {{ border-top: 3px solid {inks.amber}; border-bottom: 3px solid {inks.amber}; }}
    QDialogButtonBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
    QToolTip {{ border: 1px solid {inks.line}; padding: 4px; }}
    QTabBar::tab {{ padding: 6px 8px; border: 1px solid {inks.line}; background: {inks.paper}; }}
    QTabBar::tab:selected {{ border-bottom: 3px solid {inks.teal}; font-weight: bold; }}
    QTabBar::tab:focus {{ border: 2px solid {inks.teal}; }}
    QScrollBar {{ background: {inks.paper}; }}
    QScrollBar:vertical {{ width: 16px; }}
    QScrollBar:horizontal {{ height: 16px; }}
    QScrollBar::handle {{ background: {inks.line}; border-radius: 4px; margin: 2px; }}
    QScrollBar::handle:vertical {{ min-height: 32px; }}
    QScrollBar::handle:horizontal {{ min-width: 32px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QAbstractScrollArea::corner {{ background: {inks.paper}; border: none; }}
    QSplitter::handle {{ background: {inks.line}; }}
    """
