"""Today's new cards put into a folder: each whole or not at all, and none over others' files."""

from pathlib import Path

from tapscore.gui.today.outcome import NewCards
from tapscore.workflow.whole_files import MadeFiles, write_whole_bytes


def make_cards(cards: tuple[NewCards, ...], folder: Path) -> str:
    """Write the files; gives a sentence on what came of it."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        made = MadeFiles(folder)
        foreign = [c.file_name for c in cards if not made.may_replace(folder / c.file_name)]
    except OSError as error:
        return f"{folder} can't be used: {error.strerror or error}. Choose another folder."
    if foreign:
        return (
            f"Nothing was made: {foreign[0]} in {folder.name} was changed by somebody else. "
            "Choose another folder."
        )
    done: list[str] = []
    for card in cards:
        path = folder / card.file_name
        try:
            write_whole_bytes(path, card.pdf)
            made.remember(path)
        except OSError as error:
            so_far = f" Made before that: {', '.join(done)}." if done else ""
            return f"{card.file_name} was not made: {error.strerror or error}.{so_far}"
        done.append(card.file_name)
    return f"Made {', '.join(done)} in {folder}."
