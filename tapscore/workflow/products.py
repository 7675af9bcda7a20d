"""What can be made from a story: one entry for each kind of export."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.names import slug
from tapscore.workflow.paper_products import PAPER_EXPORTS
from tapscore.workflow.product import Choices, Export, Product, Progress, Sound
from tapscore.workflow.sound_products import LONGEST_HEARD_OFFER_SEC, SOUND_EXPORTS

if TYPE_CHECKING:
    from tapscore.exports.paper.pdf import Printed

Write = Callable[[Path, Progress], tuple[Finding, ...]]
__all__ = ["EXPORTS", "EXPORT_NAMES", "Choices", "Export", "Product", "Progress", "Sound"]


def _click_guide(story: Story, choices: Choices) -> Iterator[Product]:  # noqa: ARG001
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.midi import click_guide
        from tapscore.rhythm.perform import perform

        heard = perform(story, count_in_bars=1, longest_offer_sec=LONGEST_HEARD_OFFER_SEC)
        path.write_bytes(click_guide(story, heard))
        progress(1.0)
        return ()

    yield Product("click-guide", f"{slug(story.title)}-click-guide.mid", write)


def _cue_sheet(story: Story, choices: Choices) -> Iterator[Product]:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.paper.cue_sheet import cue_sheet
        from tapscore.rhythm.perform import perform

        printed = cue_sheet(
            story, perform(story), paper=choices.other_paper, margin_mm=choices.margin_mm
        )
        path.write_bytes(printed.pdf)
        progress(1.0)
        return printed.findings

    yield Product("cue-sheet", f"{slug(story.title)}-cue-sheet.pdf", write)


def _by_role(
    export: str, what: str, make: Callable[[Story, Choices, str], "Printed"]
) -> Callable[[Story, Choices], Iterator[Product]]:
    """One PDF for each role; ``what`` they are stands in the file's name."""

    def writer(story: Story, choices: Choices, role: str) -> Write:
        def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
            printed = make(story, choices, role)
            path.write_bytes(printed.pdf)
            progress(1.0)
            return printed.findings

        return write

    def products(story: Story, choices: Choices) -> Iterator[Product]:
        used: set[str] = set()
        for role in story.role_names:
            name = f"{slug(story.title)}-{what}-{slug(role, 'role')}"
            while name in used:
                name += "-again"
            used.add(name)
            yield Product(export, f"{name}.pdf", writer(story, choices, role))

    return products


def _cue_cards(story: Story, choices: Choices, role: str) -> "Printed":
    from tapscore.exports.paper.cue_cards import cue_cards
    from tapscore.rhythm.perform import perform

    return cue_cards(
        story,
        perform(story),
        role,
        paper=choices.card_paper,
        distance_m=choices.distance_m,
        per_sheet=choices.per_sheet,
        backs=choices.backs,
        margin_mm=choices.margin_mm,
        other_paper=choices.other_paper,
    )


def _part_sheets(story: Story, choices: Choices, role: str) -> "Printed":
    from tapscore.exports.own_pictures import OwnPictures
    from tapscore.exports.paper.part_sheets import part_sheets
    from tapscore.rhythm.perform import perform

    return part_sheets(
        story,
        perform(story),
        role,
        paper=choices.part_paper,
        distance_m=choices.distance_m,
        margin_mm=choices.margin_mm,
        pictures=OwnPictures(choices.beside),
        language=choices.part_language,
    )


def _score(story: Story, choices: Choices) -> Iterator[Product]:  # noqa: ARG001
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.musicxml import score_file

        path.write_bytes(score_file(story))
        progress(1.0)
        return ()

    yield Product("score", f"{slug(story.title)}-score.musicxml", write)


EXPORTS: tuple[Export, ...] = (
    Export(
        "part-sheets",
        say("each adult’s part on large sheets, for the board (PDF)"),
        _by_role("part-sheets", "part", _part_sheets),
    ),
    Export(
        "cue-cards",
        say("cards of one line a side, to learn it by heart (PDF)"),
        _by_role("cue-cards", "cards", _cue_cards),
    ),
    Export("cue-sheet", say("the whole story on paper for the leader (PDF)"), _cue_sheet),
    *PAPER_EXPORTS,
    *SOUND_EXPORTS,
    Export("click-guide", say("the taps with clicks, for music programs (MIDI)"), _click_guide),
    Export("score", say("the rhythm in musical notation (MusicXML)"), _score),
)
EXPORT_NAMES = tuple(export.name for export in EXPORTS)
