"""Today's new cards as files: named by role, each whole or not at all, none over others' files.

Sheets of an earlier day would send somebody to a part that another has today: what lies in the
folder from then is taken away if it is as tapscore left it, and named if it is not.
"""

from contextlib import suppress
from functools import partial
from pathlib import Path

from attrs import evolve, field, frozen

from tapscore.disc.reasons import reason
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
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
    taken_away: tuple[Path, ...] = ()
    """Sheets of an earlier day that are gone now."""
    staying: tuple[Path, ...] = ()
    """Sheets of an earlier day that still lie there."""

    @property
    def said_of_earlier(self) -> tuple[str, ...]:
        """Sentences on the sheets of an earlier day."""
        gone, left = (_names(paths) for paths in (self.taken_away, self.staying))
        said = (
            [say("Taken away, because they are of an earlier day: {gone}.", gone=gone)]
            if gone
            else []
        )
        if left:
            said.append(
                say(
                    "Still there from an earlier day: {left}. Don't hand them out today.", left=left
                )
            )
        return tuple(said)


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
                title=say("{title}: {role} today", title=story.title, role=changed.role),
                subject=say("What changes today"),
                language=story.language,
            )
            name = f"{today_name(story)}{slug(changed.role, 'role')}"
            while any(file.name == f"{name}.pdf" for file in files):
                name += "-again"
            files.append(CardFile(changed.role, f"{name}.pdf", pdf))
    return tuple(files)


def today_name(story: Story) -> str:
    """How the names of all files for a story's day begin."""
    return f"{slug(story.title)}-today-"


def put_cards(
    files: tuple[CardFile, ...], folder: Path, story: Story, *, replace: bool = False
) -> PutCards:
    """Write files into a folder; nothing at all if one stands there that somebody changed.

    The story's sheets of an earlier day are taken away when the new ones stand.
    """
    put = _put_new(files, folder, story, replace=replace)
    earlier = _of_earlier(folder, story, {file.name for file in files})
    if put.problem:
        return evolve(put, staying=earlier)
    return _without(put, folder, earlier)


def take_away_earlier(folder: Path, story: Story) -> PutCards:
    """Take away a story's sheets of an earlier day, on a day that has none."""
    return _without(PutCards(()), folder, _of_earlier(folder, story, set()))


def _without(put: PutCards, folder: Path, earlier: tuple[Path, ...]) -> PutCards:
    known = MadeFiles(folder)
    gone: list[Path] = []
    for path in earlier:
        with suppress(OSError):  # open in a viewer, or write-protected: it is said that it stays
            if known.may_replace(path):
                known.take_away(path)
        if not path.exists():
            gone.append(path)
    left = tuple(path for path in earlier if path not in gone)
    return evolve(put, taken_away=tuple(gone), staying=left)


def _of_earlier(folder: Path, story: Story, now: set[str]) -> tuple[Path, ...]:
    """The story's sheets in a folder that are not among those of ``now``."""
    begins = today_name(story)
    known = MadeFiles(folder)
    try:
        lying = sorted(folder.iterdir())
    except OSError:
        return ()
    return tuple(
        path
        for path in lying
        if path.name.startswith(begins) and path.suffix == ".pdf" and path.name not in now
        # “The boat” has no say in the sheets of “The boat today by night”.
        if known.meant_for(path) in ("", begins)
    )


def _put_new(files: tuple[CardFile, ...], folder: Path, story: Story, *, replace: bool) -> PutCards:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        known = MadeFiles(folder)
        others = [f.name for f in files if not replace and not known.may_replace(folder / f.name)]
    except OSError as error:
        return PutCards(
            (),
            say(
                "{folder} can't be used: {why}. Choose another folder.",
                folder=folder,
                why=_why(error),
            ),
        )
    if others:
        return PutCards(
            (),
            say(
                "Nothing was made: {others} in {folder} was changed by somebody else. Choose "
                "another folder, or move the file away.",
                others=others[0],
                folder=folder.name,
            ),
        )
    made: list[Path] = []
    for file in files:
        path = folder / file.name
        try:
            known.make(path, partial(_fill, file.pdf), meant_for=today_name(story))
        except OSError as error:
            return PutCards(
                tuple(made), say("{file} was not made: {why}.", file=file.name, why=_why(error))
            )
        made.append(path)
    return PutCards(tuple(made))


def _fill(data: bytes, path: Path) -> None:
    path.write_bytes(data)


def _names(paths: tuple[Path, ...]) -> str:
    return ", ".join(path.name for path in paths)


def _why(error: OSError) -> str:
    return reason(error)
