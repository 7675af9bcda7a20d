"""Where the recordings of a story's lines lie: in a folder of its own beside it."""

from pathlib import Path

from tapscore.workflow.of_one_name import RECORDINGS, lying_at, own_path


def recordings_folder(story_file: Path) -> Path:
    """Where recordings of this story are put; it need not be there."""
    return own_path(story_file, RECORDINGS)


def recordings_beside(story_file: Path) -> Path:
    """Where recordings of this story are looked for."""
    return lying_at(recordings_folder(story_file), RECORDINGS)
