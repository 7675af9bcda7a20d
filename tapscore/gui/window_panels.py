"""The panels at a window's side, and what they ask of the window."""

from functools import partial
from typing import TYPE_CHECKING, TypeVar

from tapscore.gui import dialogs, my_board
from tapscore.gui.forms.choices import PictureEntry
from tapscore.gui.panels.details_panel import DetailsPanel
from tapscore.gui.panels.furnishing_panel import FurnishingPanel
from tapscore.gui.panels.props_panel import PropsPanel
from tapscore.gui.panels.roles_panel import RolesPanel
from tapscore.gui.panels.story_panel import StoryPanel
from tapscore.model.finding import StoryPath
from tapscore.wording.catalogue import say
from tapscore.workflow.bring_picture import pictures_beside

if TYPE_CHECKING:
    from tapscore.gui.main_window import MainWindow

LOOK_AGAIN = say("Look again")
P = TypeVar("P", DetailsPanel, PropsPanel, RolesPanel, StoryPanel, FurnishingPanel)


def add_panels(window: "MainWindow") -> None:
    """Add all panels; those with many fields are made when they are first looked at."""
    side = window.side
    side.add(window.findings, LOOK_AGAIN)
    side.add_later(DetailsPanel, partial(_details, window), say("Details"))
    side.add_later(PropsPanel, partial(_props, window), say("Props"))
    side.add_later(RolesPanel, partial(_roles, window), say("Roles"))
    side.add_later(StoryPanel, partial(_story, window), say("Story"))
    side.add_later(FurnishingPanel, partial(_furnishing, window), say("On the board"))
    side.add(window.time, say("Time"))
    side.add(window.felt_details, say("Felt"))
    no_board = window.felt.no_board
    no_board.kept.setVisible(my_board.kept(window.settings) is not None)
    no_board.kept_wanted.connect(partial(my_board.put_here, window))
    no_board.usual_wanted.connect(partial(my_board.lay_out, window))
    no_board.measures_wanted.connect(partial(_measures, window))


def show_place(window: "MainWindow", path: StoryPath) -> None:
    """The panel of a role, a prop, something on the board or the story, with that chosen."""
    match path:
        case ("roles" | "props" as kind, *rest):
            panel = window.roles if kind == "roles" else window.props
            window.side.show_panel(panel)
            panel.choose(str(rest[0]) if rest else "")
            panel.names.setFocus()
        case ("board", "spots" | "seats" | "places" as things, *rest):
            window.side.show_panel(window.furnishing)
            window.furnishing.show_thing(things.removesuffix("s"), str(rest[0]) if rest else "")
            window.furnishing.lists[things.removesuffix("s")].names.setFocus()
        case ("board", *_):
            _measures(window)
        case _:
            window.side.show_panel(window.story_details)
            details = window.story_details
            (details.comfort if path[:1] == ("comfort",) else details.story).begin()


def _measures(window: "MainWindow") -> None:
    window.side.show_panel(window.story_details)
    window.story_details.go_to_board()


def _details(window: "MainWindow") -> DetailsPanel:

    panel = DetailsPanel(window.editing, beside=partial(_pictures, window))
    return _heard(window, panel)


def _pictures(window: "MainWindow") -> tuple[str, ...]:
    return tuple(pictures_beside(window.document.path))


def _props(window: "MainWindow") -> PropsPanel:
    panel = PropsPanel(window.document)
    panel.remove_wanted.connect(partial(window.take_away, "prop"))
    panel.rename_wanted.connect(partial(window.rename, "prop"))
    return _heard(window, panel)


def _roles(window: "MainWindow") -> RolesPanel:
    panel = RolesPanel(window.document)
    panel.remove_wanted.connect(partial(window.take_away, "role"))
    panel.rename_wanted.connect(partial(window.rename, "role"))
    return _heard(window, panel)


def _story(window: "MainWindow") -> StoryPanel:
    panel = StoryPanel(window.document)
    panel.measure_wanted.connect(partial(dialogs.measure, window))
    return _heard(window, panel)


def _furnishing(window: "MainWindow") -> FurnishingPanel:
    panel = FurnishingPanel(window.document)
    panel.remove_wanted.connect(window.take_away)
    panel.rename_wanted.connect(window.rename)
    panel.keep_wanted.connect(partial(my_board.keep, window))
    panel.kept_wanted.connect(partial(my_board.put_here, window))
    return _heard(window, panel)


def _heard(window: "MainWindow", panel: P) -> P:
    panel.said.connect(window.say)
    for entry in panel.findChildren(PictureEntry):
        entry.bring_wanted.connect(partial(dialogs.bring_picture, window, entry))
    return panel
