"""How a window looks: inks, text size, movement."""

from PySide6.QtWidgets import QApplication

from tapscore.gui import window_place
from tapscore.gui.calm_wheel import looking_away
from tapscore.gui.palettes import inks_named, qt_palette, style_sheet
from tapscore.gui.settings import Settings
from tapscore.gui.story_window import StoryWindow

LABEL_PX = 15
LARGEST, STEP = 2.0, 0.25


def set_scale(window: StoryWindow, scale: float) -> None:
    """Another text size, from 1 to 2."""
    window.settings.scale = min(max(scale, 1.0), LARGEST)
    window.look()


def set_inks(window: StoryWindow, name: str) -> None:
    """Other inks."""
    window.settings.inks = name
    window.look()


def has_inks(window: StoryWindow, name: str) -> bool:
    """Whether these are the inks that are set."""
    return inks_named(window.settings.inks).name == name


def toggle_movement(window: StoryWindow) -> None:
    """Let nothing glide, or let it."""
    window.settings.reduced_motion = not window.settings.reduced_motion
    window.look()


def dress(window: StoryWindow) -> None:
    """Give a window, and the program's own controls, the looks that are set."""
    inks, scale = inks_named(window.settings.inks), window.settings.scale
    dress_program(window.settings)
    window.view.set_look(inks, scale)
    window.listening.set_reduced_motion(window.settings.reduced_motion)
    window.felt.set_inks(inks)
    window.board.set_scale(scale)
    window_place.keep_on_screen(window)


def dress_program(settings: Settings) -> None:
    """Give the program's own controls the looks that are set.

    Qt dresses every control of every window anew even where nothing changes: half a second
    with a few windows.  So it is only asked for a change.
    """
    inks = inks_named(settings.inks)
    app = QApplication.instance()
    if isinstance(app, QApplication):
        sheet = style_sheet(inks, round(LABEL_PX * settings.scale))
        if app.styleSheet() != sheet:
            with looking_away():
                app.setPalette(qt_palette(inks))
                app.setStyleSheet(sheet)
