"""What can be made from a story: one entry for each kind of export."""

from collections.abc import Callable, Iterator
from pathlib import Path

from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.workflow.names import slug
from tapscore.workflow.paper_products import PAPER_EXPORTS
from tapscore.workflow.product import Choices, Export, Product, Progress, Sound
from tapscore.workflow.sound_products import LONGEST_HEARD_OFFER_SEC, SOUND_EXPORTS

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


def _cue_cards(story: Story, choices: Choices) -> Iterator[Product]:
    def writer(role: str) -> Callable[[Path, Progress], tuple[Finding, ...]]:
        def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
            from tapscore.exports.paper.cue_cards import cue_cards
            from tapscore.rhythm.perform import perform

            printed = cue_cards(
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
            path.write_bytes(printed.pdf)
            progress(1.0)
            return printed.findings

        return write

    used: set[str] = set()
    for role in story.role_names:
        name = f"{slug(story.title)}-cards-{slug(role, 'role')}"
        while name in used:
            name += "-again"
        used.add(name)
        yield Product("cue-cards", f"{name}.pdf", writer(role))


def _score(story: Story, choices: Choices) -> Iterator[Product]:  # noqa: ARG001
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.musicxml import score_file

        path.write_bytes(score_file(story))
        progress(1.0)
        return ()

    yield Product("score", f"{slug(story.title)}-score.musicxml", write)


EXPORTS: tuple[Export, ...] = (
    Export("cue-cards", "a printed card for each adult (PDF)", _cue_cards),
    Export("cue-sheet", "the whole story on paper for the leader (PDF)", _cue_sheet),
    *PAPER_EXPORTS,
    *SOUND_EXPORTS,
    Export("click-guide", "the taps with clicks, for music programs (MIDI)", _click_guide),
    Export("score", "the rhythm in musical notation (MusicXML)", _score),
)
EXPORT_NAMES = tuple(export.name for export in EXPORTS)
