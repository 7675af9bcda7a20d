"""What to look at again, joined to the window: going there, mending, keeping it so."""

from PySide6.QtCore import QObject

from tapscore.checks.accepting import AcceptedFinding, accept, not_accepted
from tapscore.checks.all_rules import mended, rule
from tapscore.gui.panels.findings_panel import FindingsPanel
from tapscore.gui.story_window import StoryWindow
from tapscore.model import edits
from tapscore.model.finding import Finding
from tapscore.model.walk import item_path
from tapscore.screen.what_changes import what_changes
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface

GONE = say("That line is gone. The list is looked through again in a moment.")


class Mending(QObject):
    """Does what the list of findings asks for; a finding may be older than the story."""

    def __init__(self, panel: FindingsPanel, window: StoryWindow) -> None:
        super().__init__(window)
        self._panel = panel
        self._window = window
        panel.chosen.connect(self._go_to)
        panel.place_wanted.connect(self._go_there)
        panel.current_changed.connect(self._look_for_mending)
        panel.mend_wanted.connect(self._mend)
        panel.accept_wanted.connect(self._accept)
        panel.kept.take_back_wanted.connect(self._take_back)
        panel.kept.current_changed.connect(self._show_kept)

    def _still_there(self, finding: Finding) -> bool:
        at = item_path(finding.path)
        if at is not None and edits.found(self._window.document.story, at) is None:
            self._window.say(GONE)
            return False
        return True

    def _go_to(self, finding: Finding) -> None:
        if self._still_there(finding):
            self._window.view.go_to(finding.path)

    def _go_there(self, finding: Finding | None) -> None:
        if finding is None:
            return
        if finding.path[:1] in (("story",), ("refrains",)):
            self._go_to(finding)
        else:
            self._window.show_place(finding.path)

    def _look_for_mending(self, finding: Finding | None) -> None:
        """Say what mending would change, and show the line while somebody looks at the list."""
        found = rule(finding.code) if finding is not None else None
        if finding is None or found is None or not self._still_there(finding):
            return
        story = self._window.document.story
        new = mended(story, finding)
        if new is not None:
            words = found.mends or finding.said(Surface.WINDOW).remedy
            self._panel.can_mend(words, what_changes(story, new))
        if self._panel.has_keys and finding.path:
            self._window.view.go_to(finding.path, focus=False)

    def _mend(self, finding: Finding) -> None:
        document = self._window.document
        story = mended(document.story, finding) if self._still_there(finding) else None
        if story is not None:
            document.edit(say("Mend what was found"), story)
            if finding.path:
                self._window.view.go_to(finding.path, focus=False)
            self._window.say(say("Mended. Undo takes it back."))

    def _show_kept(self, kept: AcceptedFinding | None) -> None:
        if kept is not None and kept.finding.path and self._still_there(kept.finding):
            self._window.view.go_to(kept.finding.path, focus=False)

    def _take_back(self, kept: AcceptedFinding | None) -> None:
        if kept is not None:
            document = self._window.document
            document.edit(say("Look at it again"), not_accepted(document.story, kept.finding))

    def _accept(self, finding: Finding) -> None:
        if not self._still_there(finding):
            return
        message = finding.said(Surface.WINDOW).message
        window = self._window
        why = window.files.asking.words(
            window, say("Keep it so"), say("{message}\nWhy is it so?", message=message)
        )
        if why:
            window.document.edit(say("Keep it so"), accept(window.document.story, finding, why))
