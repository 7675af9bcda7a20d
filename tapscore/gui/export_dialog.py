"""Make cards, sheet and sound: what, where, and how far it is."""

from functools import partial
from pathlib import Path

from attrs import evolve, frozen
from PySide6.QtCore import Qt, QUrl, Slot
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
)

from tapscore.gui.asking import Asking
from tapscore.gui.background import Background, Task
from tapscore.gui.card_preview import CardPreview
from tapscore.gui.enter import CalmDialog
from tapscore.gui.flow import FlowColumn
from tapscore.gui.printing.language_fields import LanguageFields
from tapscore.gui.printing.paper_fields import PaperFields
from tapscore.gui.printing.print_dialog import PrintDialog
from tapscore.gui.scrolled import LINE_LETTERS, in_lines, open_roomy, scrolled
from tapscore.gui.sound_fields import SoundFields
from tapscore.gui.story_window import StoryWindow
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface
from tapscore.workflow.export_story import Exported, export_story, planned
from tapscore.workflow.papers import PARTS
from tapscore.workflow.printed import note_printed
from tapscore.workflow.products import EXPORTS, Choices
from tapscore.workflow.recordings_beside import recordings_beside

REPLACE = say("Replace files that somebody changed")


@frozen
class _Wish:
    story: Story
    folder: Path
    only: tuple[str, ...]
    choices: Choices
    replace: bool
    path: Path | None = None
    """Of the story's file."""


def _make(wish: _Wish, task: Task) -> Exported:
    """Make everything, or stop with nothing half-written."""
    try:
        made = export_story(
            wish.story,
            wish.folder,
            only=wish.only,
            choices=wish.choices,
            replace=wish.replace,
            replace_by=say("tick “{replace}”", replace=REPLACE),
            report=lambda name, share: task.report((name, share)),
            cancelled=task.cancelled,
        )
        if wish.path is not None:
            note_printed(wish.path, wish.story, made.papers)
    except Exception as error:
        return Exported(
            (), (say("A fault of the program stopped it: {reason}", reason=repr(error)),)
        )
    return made


class ExportDialog(CalmDialog):
    """Choose what to make and where."""

    def __init__(self, window: StoryWindow, asking: Asking) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(say("Make cards and sound"))
        open_roomy(self, 1080, 740)
        self._window = window
        self._asking = asking
        self._making = Background(_make, self)
        self._making.progressed.connect(self._progressed)
        self._making.answered.connect(self._done)
        self.finished.connect(self._making.stop)
        self._made = 0
        self.boxes = {export.name: QCheckBox(_box_name(export.about)) for export in EXPORTS}
        self.all, self.none = QPushButton(say("Tick all")), QPushButton(say("Tick none"))
        self.folder = QLineEdit(str(_usual_folder(window)))
        self.papers = PaperFields(window.settings.choices)
        self.languages = LanguageFields(window.document.story, window.settings)
        self.sound = SoundFields(window.settings.choices)
        self.replace = QCheckBox(REPLACE)
        self.bar = QProgressBar()
        self.said = QLabel()
        inside = QVBoxLayout()
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(self.said)
        self.report = scrolled(inside, say("What was made"))
        self.report.setFocusPolicy(Qt.FocusPolicy.StrongFocus)  # the arrow keys scroll it
        self.report.hide()
        self.make = QPushButton(say("Make them"))
        self.open_folder = QPushButton(say("Open the folder"))
        self.open_folder.hide()
        self.open_folder.clicked.connect(self._open_folder)
        self.preview = CardPreview(window.document.story)
        self._build()
        self._show_cards()

    def _build(self) -> None:
        across = QHBoxLayout(self)
        across.setSpacing(24)
        layout = QVBoxLayout()
        layout.setSpacing(8)
        across.addLayout(layout)
        across.addWidget(self.preview, 1)
        layout.addWidget(self._choosing(), 1)
        self.papers.changed.connect(self._show_cards)
        self.languages.changed.connect(self._show_cards)
        self.said.setWordWrap(True)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByKeyboard)
        layout.addWidget(self.report)
        self.bar.setAccessibleName(say("How far it is"))
        self.bar.hide()
        layout.addWidget(self.bar)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        close = QPushButton(say("Close"))
        close.clicked.connect(self.reject)
        self.print = QPushButton(say("Print ..."))
        self.print.setAccessibleName(say("Print the papers that are chosen"))
        self.print.clicked.connect(self._print_chosen)
        self.preview.print_wanted.connect(lambda role: self._print((PARTS,), role))
        self.make.clicked.connect(self.start)
        self.make.setDefault(True)
        buttons.addWidget(self.open_folder)
        buttons.addWidget(close)
        buttons.addWidget(self.print)
        buttons.addWidget(self.make)
        layout.addLayout(buttons)

    def _choosing(self) -> QScrollArea:
        """What to make, where and how, scrolling where large letters need more room."""
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        ticking = FlowColumn()
        for button, ticked in ((self.all, True), (self.none, False)):
            button.clicked.connect(partial(self._tick, ticked))
            ticking.addWidget(button)
        column.addLayout(ticking)
        for box in self.boxes.values():
            box.setChecked(True)
            column.addWidget(box)
        column.addSpacing(10)
        column.addLayout(self._folder_row())
        column.addSpacing(6)
        column.addWidget(self.papers)
        column.addWidget(self.languages)
        column.addSpacing(6)
        column.addWidget(self.sound)
        column.addWidget(self.replace)
        column.addStretch(1)
        return scrolled(column, say("What to make"))

    def _tick(self, ticked: bool) -> None:
        for box in self.boxes.values():
            box.setChecked(ticked)

    def _folder_row(self) -> QHBoxLayout:
        choose = QPushButton(say("Choose ..."))
        choose.setAccessibleName(say("Choose the folder"))
        choose.clicked.connect(self._choose_folder)
        self.folder.setAccessibleName(say("Folder"))
        row = QHBoxLayout()
        row.addWidget(QLabel(say("Folder")))
        row.addWidget(self.folder, 1)
        row.addWidget(choose)
        return row

    def _show_cards(self) -> None:
        self.preview.show_choices(self._choices())

    def _choices(self) -> Choices:
        path = self._window.document.path
        recordings = recordings_beside(path) if path else None
        beside = path.parent if path else None
        made = self.languages.into(self.sound.into(self.papers.choices))
        return evolve(made, recordings=recordings, beside=beside)

    def _print_chosen(self) -> None:
        self._print(tuple(name for name, box in self.boxes.items() if box.isChecked()), None)

    def _print(self, kinds: tuple[str, ...], role: str | None) -> None:
        PrintDialog(self._window, self._asking, self._choices(), kinds, role, self).open()

    def start(self) -> None:
        """Begin, unless the story must be mended first."""
        if self._window.checking.mend_first:
            self._say(self._window.checking.mend_first)
            return
        only = tuple(name for name, box in self.boxes.items() if box.isChecked())
        if not only:
            self._say(say("Choose what to make."))
            return
        choices = self._choices()
        self._window.settings.choices = choices
        story = self._window.document.story
        self._made = 0
        self.bar.setRange(0, 100 * len(planned(story, only, choices)))
        self.bar.setValue(0)
        self.bar.show()
        self.make.setEnabled(False)
        folder = Path(self.folder.text())
        path = self._window.document.path
        self._making.ask(_Wish(story, folder, only, choices, self.replace.isChecked(), path))

    def _say(self, text: str) -> None:
        """Say it below what is chosen; a long report scrolls and leaves that its room."""
        self.said.setText(text)
        self.report.show()
        high = self.said.heightForWidth(self.report.width()) + 4
        self.report.setFixedHeight(min(high, self.height() // 3))

    def reject(self) -> None:
        """Qt: close; if something is being made, stop it first."""
        if self._making.busy:
            self._making.cancel()
            self._say(say("Stopping; this window closes in a moment. Finished files stay."))
            self._close_when_done = True
            return
        super().reject()

    _close_when_done = False

    @Slot(object)
    def _progressed(self, news: tuple[str, float]) -> None:
        name, share = news
        self._say(say("Making {name}", name=name))
        self.bar.setValue(self._made * 100 + round(share * 100))
        if share >= 1.0:
            self._made += 1

    @Slot(object)
    def _done(self, exported: Exported) -> None:
        self.make.setEnabled(True)
        self.bar.setValue(self.bar.maximum())
        count = len(exported.made)
        folder = self.folder.text()
        lines = [
            say("Made {count} of what was chosen in {folder}.", count=count, folder=folder)
            if exported.cancelled
            else say("Made {count:1 file|# files} in {folder}.", count=count, folder=folder)
        ]
        lines += (*exported.left_out, *exported.failures)
        lines += [finding.said(Surface.WINDOW).message for finding in exported.findings]
        lines += [f.said(Surface.WINDOW).message for made in exported.made for f in made.findings]
        self._say("\n".join(lines))
        self.open_folder.setVisible(count > 0)
        if count:
            # Qt moved the focus away from the button that was greyed meanwhile.
            self.open_folder.setFocus()
        if self._close_when_done:
            self.accept()

    def _open_folder(self) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(Path(self.folder.text()).absolute())))

    def _choose_folder(self) -> None:
        folder = self._asking.folder(self, say("Folder for cards and sound"))
        if folder is not None:
            self.folder.setText(str(folder))


def _box_name(about: str) -> str:
    return in_lines(about[:1].upper() + about[1:].removesuffix(" (PDF)"), LINE_LETTERS)


def _usual_folder(window: StoryWindow) -> Path:
    from tapscore.workflow.names import slug

    path = window.document.path
    base = path.absolute().parent if path else Path.home()
    return base / f"{slug(window.document.story.title)}-cards-and-sound"
