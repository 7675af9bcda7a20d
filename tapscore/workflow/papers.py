"""What can be printed of a story: the same PDFs as the exports, made when they are asked for."""

import tempfile
from collections.abc import Callable
from pathlib import Path

from attrs import field, frozen

from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices, Product
from tapscore.workflow.products import EXPORTS

PARTS, CARDS = "part-sheets", "cue-cards"
_BY_ROLE = (PARTS, CARDS)


@frozen
class ToPrint:
    """One PDF that can be made."""

    name: str
    """What it is, for a person."""
    make: Callable[[], bytes] = field(eq=False, repr=False)
    """Gives the PDF; raises ValueError where it can't be made so, and OSError."""


def paper_kinds(story: Story) -> tuple[tuple[str, str], ...]:
    """Names of the exports that are paper, each with what it says of itself."""
    return tuple(
        (export.name, export.about.removesuffix(" (PDF)"))
        for export in EXPORTS
        if any(_is_paper(product) for product in export.products(story, Choices()))
    )


def to_print(
    story: Story, kinds: tuple[str, ...], choices: Choices, role: str | None = None
) -> tuple[ToPrint, ...]:
    """The papers of these kinds, in the order of the exports; parts and cards of one ``role``."""
    found: list[ToPrint] = []
    for export in EXPORTS:
        if export.name not in kinds:
            continue
        products = [p for p in export.products(story, choices) if _is_paper(p)]
        if export.name in _BY_ROLE:
            found += [
                ToPrint(
                    say("part of {role}", role=name)
                    if export.name == PARTS
                    else say("cards of {role}", role=name),
                    _maker(product),
                )
                for name, product in zip(story.role_names, products, strict=True)
                if role is None or name == role
            ]
        else:
            found += [
                ToPrint(export.name.replace("-", " "), _maker(product)) for product in products
            ]
    return tuple(found)


def _is_paper(product: Product) -> bool:
    return product.file_name.endswith(".pdf")


def _maker(product: Product) -> Callable[[], bytes]:
    def make() -> bytes:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "paper.pdf"
            product.write(path, lambda share: None)  # noqa: ARG005
            return path.read_bytes()

    return make
