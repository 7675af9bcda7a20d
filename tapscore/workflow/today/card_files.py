"""Today's new cards as files: named by role, each whole or not at all, none over others' files."""

from functools import partial
from pathlib import Path

from attrs import field, frozen

from tapscore.model.story import Story
from tapscore.workflow.names import slug
from tapscore.workflow.product import Choices
from tapscore.workflow.today.plan import ChangedCards
from tapscore.workflow.whole_files import MadeFiles


@frozen
class CardFile:
    """One role's new cards; the name has the role in it and never a person."""

    role: str
    name: str
    pdf: bytes = field(repr=False)


@frozen
class PutCards:
    """What was put into a folder."""

    made: tuple[Path, ...]
    problem: str = ""
    """Why the rest, or all, was not made, and what to do; empty if all was."""


def card_files(
    story: Story, cards: tuple[ChangedCards, ...], choices: Choices
) -> tuple[CardFile, ...]:
    """Print the changed cards, a file for each adult who has any.

    Raises ValueError for a number of cards on a sheet there is none of.
    """
    from tapscore.exports.paper.imposition import impose
    from tapscore.exports.paper.pdf import write_pdf

    files: list[CardFile] = []
    for changed in cards:
        if changed.new:
            pdf, _ = write_pdf(
                impose(changed.new, choices.per_sheet, on=choices.other_paper)
                if choices.by_heart
                else changed.new,
                title=f"{story.title}: {changed.role} today",
                subject="What changes today",
                language=story.language,
            )
            name = f"{slug(story.title)}-today-{slug(changed.role, 'role')}"
            while any(file.name == f"{name}.pdf" for file in files):
                name += "-again"
            files.append(CardFile(changed.role, f"{name}.pdf", pdf))
    return tuple(files)


def put_cards(files: tuple[CardFile, ...], folder: Path, *, replace: bool = False) -> PutCards:
    """Write files into a folder; nothing at all if one stands there that somebody changed."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        known = MadeFiles(folder)
        others = [f.name for f in files if not replace and not known.may_replace(folder / f.name)]
    except OSError as error:
        return PutCards((), f"{folder} can't be used: {_why(error)}. Choose another folder.")
    if others:
        return PutCards(
            (),
            f"Nothing was made: {others[0]} in {folder.name} was changed by somebody else. "
            "Choose another folder, or move the file away.",
        )
    made: list[Path] = []
    for file in files:
        path = folder / file.name
        try:
            known.make(path, partial(_fill, file.pdf))
        except OSError as error:
            return PutCards(tuple(made), f"{file.name} was not made: {_why(error)}.")
        made.append(path)
    return PutCards(tuple(made))


def _fill(data: bytes, path: Path) -> None:
    path.write_bytes(data)


def _why(error: OSError) -> str:
    return error.strerror or str(error)
