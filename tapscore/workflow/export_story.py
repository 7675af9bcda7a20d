"""Make the files of a story: each whole or not at all, and none over somebody else's."""

from collections.abc import Callable
from pathlib import Path

from attrs import frozen

from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.workflow.products import EXPORTS, Choices, Product
from tapscore.workflow.whole_files import MadeFiles, write_whole

Report = Callable[[str, float], None]
"""Called with a file's name and how far it is, from 0 to 1."""


@frozen
class Made:
    """One file that was made, and what could not be shown in it."""

    path: Path
    findings: tuple[Finding, ...] = ()


@frozen
class Exported:
    """What was made and what was not, each failure in a sentence."""

    made: tuple[Made, ...]
    failures: tuple[str, ...]


def planned(story: Story, only: tuple[str, ...], choices: Choices) -> tuple[Product, ...]:
    """The files that an export would make; ``only`` names exports, empty for all."""
    return tuple(
        product
        for export in EXPORTS
        if not only or export.name in only
        for product in export.products(story, choices)
    )


def export_story(
    story: Story,
    folder: Path,
    *,
    only: tuple[str, ...] = (),
    choices: Choices = Choices(),
    replace: bool = False,
    report: Report = lambda name, share: None,  # noqa: ARG005
) -> Exported:
    """Make the files in ``folder``.

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
        return Exported((), tuple(_in_the_way(folder / name) for name in in_the_way))
    made: list[Made] = []
    failures: list[str] = []
    for product in products:
        path = folder / product.file_name
        try:
            made.append(_make(product, path, report))
            made_files.remember(path)
        except ValueError as error:
            failures.append(f"{product.file_name} was not made: {error}")
        except OSError as error:
            failures.append(_file_failure(product.file_name, error))
    return Exported(tuple(made), tuple(failures))


def _make(product: Product, path: Path, report: Report) -> Made:
    findings: tuple[Finding, ...] = ()

    def fill(unfinished: Path) -> None:
        nonlocal findings
        findings = product.write(
            unfinished, lambda share: report(product.file_name, min(share, 1.0))
        )

    write_whole(path, fill)
    report(product.file_name, 1.0)
    return Made(path, findings)


def _in_the_way(path: Path) -> str:
    return (
        f"{path} was not made by tapscore, or was changed since. Nothing was written. "
        "Choose another folder, move the file away, or give --replace."
    )


def _folder_failure(folder: Path, error: OSError) -> str:
    if isinstance(error, FileExistsError | NotADirectoryError):
        return f"{folder} is a file, not a folder. Choose another name with --out."
    if isinstance(error, PermissionError):
        return f"Nothing may be written in {folder}. Choose another folder with --out."
    return f"{folder} can't be used: {error.strerror or error}. Choose another folder with --out."


def _file_failure(name: str, error: OSError) -> str:
    import errno

    if error.errno == errno.ENOSPC:
        return f"{name} was not made: the disc is full. Make room and export again."
    if isinstance(error, PermissionError):
        return f"{name} was not made: nothing may be written there. Choose another folder."
    return f"{name} was not made: {error.strerror or error}"
