"""The stories of a folder: a list to find one in, open it, copy it and put it away."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import (
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from tapscore.disc.reasons import reason
from tapscore.gui.asking import Asking, usual_folder
from tapscore.gui.background import Background, Task, patiently
from tapscore.gui.flow import FlowColumn
from tapscore.gui.settings import Settings
from tapscore.gui.swapping import Swapping
from tapscore.gui.wrapped_items import wrap_items
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date
from tapscore.workflow.belongings import archive
from tapscore.workflow.known_story import KnownStory
from tapscore.workflow.my_stories import ARCHIVE, StoryList, stories_in
from tapscore.workflow.open_story import open_story

PATIENCE_MS = 8000
NO_ANSWER = say(
    "The folder gives no answer yet. Is its drive there? It is listed as soon as it answers; "
    "meanwhile you can choose another folder, or begin a story."
)
PUT_AWAY, LEAVE = say("Put it away"), say("Leave it there")
_STORY = Qt.ItemDataRole.UserRole


def _look(folder: Path, task: Task) -> StoryList:
    """What is quickly known is told first, the rest as it is worked out."""
    return stories_in(folder, given_up=task.cancelled, so_far=task.report)


class MyStories(QWidget):
    """Lists a folder; the list comes in another thread, for the folder may be far away."""

    opened = Signal(object)
    """The path of a story to open."""
    next_year = Signal(object)
    """The path of a story to copy for next year."""

    def __init__(self, settings: Settings, asking: Asking) -> None:
        super().__init__()
        self._settings, self._asking = settings, asking
        self._stories: StoryList | None = None
        self.looking = Background(_look, self)
        self.looking.progressed.connect(self._show)
        self.looking.answered.connect(self._show)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(PATIENCE_MS)
        self._patience.timeout.connect(self._no_answer)
        self.where = QLabel()
        self.where.setWordWrap(True)
        self.folder = QPushButton(say("Another &folder ..."))
        self.sought = QLineEdit()
        self.list = QListWidget()
        self.said = QLabel()
        self._news = ""
        """What was done last: it stays while the list comes in anew."""
        self.open = QPushButton(say("&Open it"))
        self.copy = QPushButton(say("Copy for &next year ..."))
        self.away = QPushButton(say("&Put it away ..."))
        self.pack = QPushButton(say("Make a &swap pack ..."))
        self.unpack = QPushButton(say("Open a swap pac&k ..."))
        self.swapping = Swapping(self, asking)
        self._build()
        self.swapping.said.connect(self._say)
        self.swapping.opened.connect(self.look)
        self.pack.clicked.connect(self._pack)
        self.unpack.clicked.connect(lambda: self.swapping.open(self.place))
        self.folder.clicked.connect(self._choose)
        self.sought.textChanged.connect(self._seek)
        self.list.itemActivated.connect(self._open)
        self.list.currentItemChanged.connect(lambda *_: self._allow())
        self.open.clicked.connect(self._open)
        self.copy.clicked.connect(self._copy)
        self.away.clicked.connect(self._put_away)
        self._allow()

    def _build(self) -> None:
        self.sought.setPlaceholderText(say("a title, a term, any words of a line"))
        self.sought.setClearButtonEnabled(True)
        self.said.setWordWrap(True)
        wrap_items(self.list)
        self.list.setSpacing(3)
        self.ensurePolished()
        self.list.setMinimumHeight(6 * self.fontMetrics().height())
        self.list.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        for widget, name in (
            (self.sought, say("Words to find stories by")),
            (self.list, say("Stories of the folder; Enter opens one")),
            (self.said, say("What was said of the folder")),
        ):
            widget.setAccessibleName(name)
        find = QLabel(say("F&ind"))
        find.setBuddy(self.sought)
        buttons = FlowColumn()
        for button in (self.open, self.copy, self.away, self.pack, self.unpack, self.folder):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setSpacing(8)
        for part in (self.where, find, self.sought):
            column.addWidget(part)
        column.addWidget(self.list, 1)
        column.addWidget(self.said)
        column.addLayout(buttons)

    @property
    def place(self) -> Path:
        """The folder that is listed: as chosen, else that of the story had last."""
        if self._settings.stories_folder:
            return Path(self._settings.stories_folder)
        return next((path.parent for path in self._settings.recent), usual_folder())

    def look(self) -> None:
        """List the folder anew."""
        self.where.setText(say("Stories in {place}", place=self.place))
        self.said.setText(say("Looking ..."))
        self._news = ""
        if self._stories is not None and self._stories.folder != self.place:
            self._stories = None
            self.list.clear()
            self._allow()
        if self.looking.busy:
            self.looking.leave_it()  # a drive that gives no answer keeps no other folder waiting
        self._patience.start()
        self.looking.ask(self.place)

    @Slot()
    def _no_answer(self) -> None:
        if self.looking.busy:
            self.said.setText(NO_ANSWER)

    @Slot(object)
    def _show(self, found: StoryList) -> None:
        self._patience.stop()
        self._stories = found
        self._fill()

    def _seek(self) -> None:
        self._news = ""
        self._fill()

    def _fill(self) -> None:
        if self._stories is None:
            return
        chosen = self.chosen
        told = [each for each in self._stories.stories if each.has(self.sought.text())]
        listed = self._listed
        if [each.path for each in told] == [each.path for each in listed]:
            for row, each in enumerate(told):  # nobody loses her place while lengths come in
                if each != listed[row]:
                    self._put(self.list.item(row), each)
        else:
            self.list.clear()
            for each in told:
                item = QListWidgetItem()
                self._put(item, each)
                self.list.addItem(item)
                if chosen is not None and each.path == chosen.path:
                    self.list.setCurrentItem(item)
        if self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        self.said.setText(self._news or self._sentence(len(told)))
        self._allow()

    @property
    def _listed(self) -> list[KnownStory]:
        return [self.list.item(row).data(_STORY) for row in range(self.list.count())]

    def _put(self, item: QListWidgetItem, story: KnownStory) -> None:
        item.setText(_words(story, self.place))
        item.setData(_STORY, story)
        item.setToolTip(str(story.path))

    def _sentence(self, told: int) -> str:
        assert self._stories is not None
        if self._stories.problem:
            return self._stories.problem
        if told:
            return ""
        if self.sought.text().strip():
            return say("No story has these words. Take some away.")
        return say("There is no story here yet: choose another folder, or save one into this.")

    @property
    def chosen(self) -> KnownStory | None:
        """The story that is chosen."""
        item = self.list.currentItem()
        found = item.data(_STORY) if item is not None else None
        return found if isinstance(found, KnownStory) else None

    def _allow(self) -> None:
        for button in (self.open, self.copy, self.away, self.pack):
            button.setEnabled(self.chosen is not None)

    def _open(self) -> None:
        if self.chosen is not None:
            self.opened.emit(self.chosen.path)

    def _copy(self) -> None:
        if self.chosen is not None:
            self.next_year.emit(self.chosen.path)

    @Slot(object)
    def _say(self, sentence: str) -> None:
        self._news = sentence
        self.said.setText(sentence)

    def _pack(self) -> None:
        if self.chosen is not None:
            self.swapping.make(self.chosen.path)

    def _choose(self) -> None:
        folder = self._asking.folder(self, say("The folder with your stories"))
        if folder is not None:
            self._settings.stories_folder = str(folder)
            self.look()

    def _put_away(self) -> None:
        chosen = self.chosen
        if chosen is None:
            return
        answer = self._asking.choose(
            self,
            say("Put “{title}” away?", title=chosen.title),
            say(
                "It goes into the folder {archive} beside it, with its recordings.", archive=ARCHIVE
            ),
            (PUT_AWAY, LEAVE),
        )
        if answer != PUT_AWAY:
            return
        try:
            patiently(partial(_archived, chosen.path))
        except OSError as error:
            self.said.setText(
                say(
                    "{path} was not moved: {reason}.",
                    path=chosen.path.name,
                    reason=reason(error),
                )
            )
            return
        self.look()


def _archived(path: Path) -> Path:
    return archive(path, open_story(path).story)


def _words(story: KnownStory, folder: Path) -> str:
    """A story in the list: its title, what is known, and what is out of date."""
    inside = story.path.is_relative_to(folder)
    file = story.path.relative_to(folder) if inside else story.path
    name = f"{story.title} ({file})" if story.twin else story.title
    saved = say("saved {when}", when=long_date(story.changed))
    about = (story.metre, story.length_words, story.term, story.class_name, saved)
    return "\n".join((name, " · ".join(each for each in about if each), *story.out_of_date))
