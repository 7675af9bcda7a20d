"""Make the files of a story: each whole or not at all, and none over somebody else's."""

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext, suppress
from pathlib import Path

from attrs import frozen

from tapscore.disc.reasons import reason
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.metre_opinion import ask_ahead
from tapscore.wording.catalogue import say
from tapscore.workflow.open_story import metre_opinion
from tapscore.workflow.products import EXPORTS, Choices, Export, Product
from tapscore.workflow.whole_files import MadeFiles

Report = Callable[[str, float], None]
"""Called with a file's name and how far it is, from 0 to 1."""


@frozen
class Made:
    """One file that was made, and what could not be shown in it."""

    path: Path
    findings: tuple[Finding, ...] = ()
    export: str = ""
    """Name of the export it is of."""


@frozen
class Exported:
    """What was made and what was not, each failure in a sentence."""

    made: tuple[Made, ...]
    failures: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
    """What a second opinion on the metre found, beside the making."""
    left_out: tuple[str, ...] = ()
    """What was asked for and has nothing to show of this story, each in a sentence."""
    cancelled: bool = False
    """Whether it was stopped; what was made before that stays."""

    @property
    def papers(self) -> tuple[str, ...]:
        """Names of the exports that are paper and of which all was made."""
        if self.cancelled or self.failures:
            return ()
        paper = (made.export for made in self.made if made.path.suffix == ".pdf")
        return tuple(dict.fromkeys(paper))


class _Cancelled(Exception):  # noqa: N818 - it is no error
    pass


def planned(story: Story, only: tuple[str, ...], choices: Choices) -> tuple[Product, ...]:
    """The files that an export would make; ``only`` names exports, empty for all."""
    return tuple(product for export in _wanted(only) for product in export.products(story, choices))


def _wanted(only: tuple[str, ...]) -> Iterator[Export]:
    return (export for export in EXPORTS if not only or export.name in only)


def export_story(
    story: Story,
    folder: Path,
    *,
    only: tuple[str, ...] = (),
    choices: Choices = Choices(),
    replace: bool = False,
    replace_by: str = "give --replace",
    report: Report = lambda name, share: None,  # noqa: ARG005
    cancelled: Callable[[], bool] = lambda: False,
) -> Exported:
    """Make the files in ``folder``.

    ``replace_by`` says how the user asks for somebody's files to be replaced.
    ``cancelled`` is asked between files and on the way through long ones; if it says yes,
    the file that is being made is left out, and those not begun.

    Nothing at all is made if the folder can't be used or a file stands in the way; after
    that a failure of one file leaves the others.
    """
    products = planned(story, only, choices)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        made_files = MadeFiles(folder)
        in_the_way = [
            product.file_name
            for product in products
            if not replace and not made_files.may_replace(folder / product.file_name)
        ]
    except OSError as error:
        return Exported((), (_folder_failure(folder, error),))
    if in_the_way:
        return Exported((), tuple(_in_the_way(folder / name, replace_by) for name in in_the_way))
    made: list[Made] = []
    failures: list[str] = []
    ask_ahead(story)  # music21 counts while the files are made
    stopped = False
    for product in products:
        path = folder / product.file_name
        try:
            made.append(_make(product, path, made_files, report, cancelled))
        except _Cancelled:
            stopped = True
            break
        except ValueError as error:
            failures.append(
                say("{file_name} was not made: {why}", file_name=product.file_name, why=error)
            )
        except OSError as error:
            failures.append(_file_failure(product.file_name, error))
    with suppress(OSError):  # the disc knows them as about to be made
        made_files.note()
    left_out = tuple(filter(None, (export.nothing(story) for export in _wanted(only))))
    return Exported(tuple(made), tuple(failures), metre_opinion(story), left_out, stopped)


def _make(
    product: Product,
    path: Path,
    made_files: MadeFiles,
    report: Report,
    cancelled: Callable[[], bool],
) -> Made:
    findings: tuple[Finding, ...] = ()
    reported = 0.0

    def progress(share: float) -> None:
        nonlocal reported
        if cancelled():
            raise _Cancelled
        reported = min(share, 1.0)
        report(product.file_name, reported)

    def fill(unfinished: Path) -> None:
        nonlocal findings
        if cancelled():
            raise _Cancelled
        findings = product.write(unfinished, progress)

    with _not_collecting() if path.suffix in (".pdf", ".mid") else nullcontext():
        made_files.make(path, fill, is_folder=product.is_folder, more=True)
    if reported < 1:
        report(product.file_name, 1.0)
    return Made(path, findings, product.export)


@contextmanager
def _not_collecting() -> Iterator[None]:
    """Paper and MIDI make hardly any cycles: looking for them took an eighth of the time, for 2 MB.

    The window's own collecting is left as it is; sound, which has large arrays, and notation are
    collected.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def _in_the_way(path: Path, replace_by: str) -> str:
    return say(
        "{file} was not made by tapscore, or was changed since. Nothing was written. Choose "
        "another folder, move the file away, or {replace_by}.",
        file=path,
        replace_by=replace_by,
    )


def _folder_failure(folder: Path, error: OSError) -> str:
    if isinstance(error, FileExistsError | NotADirectoryError):
        return say("{folder} is a file, not a folder. Choose another folder.", folder=folder)
    if isinstance(error, PermissionError):
        return say("Nothing may be written in {folder}. Choose another folder.", folder=folder)
    return say(
        "{folder} can't be used: {why}. Choose another folder.",
        folder=folder,
        why=reason(error),
    )


def _file_failure(name: str, error: OSError) -> str:
    import errno

    if error.errno == errno.ENOSPC:
        return say("{name} was not made: the disc is full. Make room and export again.", name=name)
    if isinstance(error, PermissionError):
        return say(
            "{name} was not made: nothing may be written there. Choose another folder.", name=name
        )
    return say("{name} was not made: {why}", name=name, why=reason(error))
