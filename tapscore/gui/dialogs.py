"""The dialogs that a window opens, each loaded when it is first wanted."""

from pathlib import Path

from tapscore.board.default_board import USUAL_BOARD
from tapscore.disc.reasons import reason
from tapscore.gui.asking import kinds
from tapscore.gui.forms.choices import PictureEntry
from tapscore.gui.story_window import StoryWindow
from tapscore.wording.catalogue import say

SAVE, NOT_NOW = say("Save"), say("Not now")
PICTURES = kinds(say("Pictures"), "*.png", "*.jpg", "*.jpeg", "*.heic", "*.heif")


def export(window: StoryWindow) -> None:
    """Make cards and sound."""
    from tapscore.gui.export_dialog import ExportDialog

    ExportDialog(window, window.files.asking).open()


def print_pages(window: StoryWindow) -> None:
    """Look at the pages and print them."""
    from tapscore.gui.printing.print_dialog import PrintDialog

    PrintDialog(window, window.files.asking, window.settings.choices).open()


def share_today(window: StoryWindow) -> None:
    """Say who is here today."""
    if _saved(window, say("Who is here today is kept in a small file beside it.")) is None:
        return
    from tapscore.gui.today.day_dialog import DayDialog

    DayDialog(window, window.files.asking, window.settings.choices).open()


def class_record(window: StoryWindow) -> None:
    """Open the class record's own window."""
    from tapscore.gui.records.story_link import open_class_record

    open_class_record(window)


def record(window: StoryWindow) -> None:
    """Record the lines."""
    path = _saved(window, say("Its recordings lie in a folder beside it."))
    if path is None:
        return
    from tapscore.gui.listening.sound_out import Loudspeaker
    from tapscore.gui.recording.recording_dialog import RecordingDialog
    from tapscore.gui.recording.sound_in import Microphone
    from tapscore.workflow.recordings_beside import recordings_folder

    window.listening.stop()
    folder, story = recordings_folder(path), window.document.story
    RecordingDialog(window, story, folder, window.files.asking, Microphone(), Loudspeaker()).open()


def listen_back(window: StoryWindow) -> None:
    """Compare a recorded rehearsal with the story; the story can be worked on beside it."""
    from tapscore.gui.listening.sound_out import Loudspeaker
    from tapscore.gui.listening_back.window import ListeningBack
    from tapscore.gui.recording.sound_in import Microphone

    window.listening.stop()
    ListeningBack(window, Microphone(), Loudspeaker()).show()


def bring_picture(window: StoryWindow, entry: PictureEntry) -> None:
    """Bring a picture beside the story, and choose it in a field."""
    story_file = _saved(window, say("Its pictures lie beside it."))
    if story_file is None:
        return
    from tapscore.workflow.bring_picture import PictureUnusableError, bring_picture

    asking = window.files.asking
    source = asking.open_file(window, say("A picture or photo"), PICTURES)
    if source is None:
        return
    try:
        entry.bring(bring_picture(source, story_file))
    except PictureUnusableError as error:
        asking.tell(window, str(error))
    except OSError as error:
        asking.tell(
            window,
            say(
                "{source} can't be brought in: {reason}.",
                source=source.name,
                reason=reason(error),
            ),
        )


def measure(window: StoryWindow) -> None:
    """Measure the board."""
    from tapscore.gui.felt.measure_dialog import MeasureDialog

    board = window.document.story.board or USUAL_BOARD
    MeasureDialog(window, window.document, board, window.files.asking).open()


def show_marks(window: StoryWindow) -> None:
    """What the marks mean."""
    from tapscore.gui.legend import LegendDialog

    LegendDialog(window, window.view.delegate.inks, window.settings.scale).open()


def earlier_versions(window: StoryWindow) -> None:
    """Look at states of the story that were saved before."""
    if _saved(window, say("From then on its states are kept.")) is None:
        return
    from tapscore.gui.earlier_dialog import EarlierDialog
    from tapscore.workflow.keeping.versions import Versions

    EarlierDialog(window, window.files.asking, Versions()).open()


def show_keys(window: StoryWindow) -> None:
    """All keys in a list."""
    from tapscore.gui.help_windows import KeysDialog

    KeysDialog(window, window.keys()).open()


def show_about(window: StoryWindow) -> None:
    """What the program is, and what to mind."""
    from tapscore.gui.help_windows import AboutDialog

    AboutDialog(window).open()


def _saved(window: StoryWindow, why: str) -> Path | None:
    """The story's file; a story without one is saved first, or not, as the user says."""
    if window.document.path is None:
        answer = window.files.asking.choose(
            window, say("Save the story first."), why, (SAVE, NOT_NOW)
        )
        if answer != SAVE or not window.files.save(window):
            return None
    return window.document.path
