"""What can be made from a story: one entry for each kind of export."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Literal

from attrs import field, frozen

from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.workflow.names import slug

Progress = Callable[[float], None]
Sound = Literal["mp3", "wav"]
LONGEST_HEARD_OFFER_SEC = Fraction(10)
"""Offerings take minutes at the board; in something to listen to they are cut to this."""


@frozen
class Choices:
    """What the user can choose about exports."""

    card_paper: str = "A5"
    """``A4``, ``A5`` or ``A6``; the cue sheet is always A4."""
    distance_m: float = 1.0
    """How far away the cards are read."""
    sound: Sound = "mp3"


@frozen
class Product:
    """One file to be made."""

    export: str
    file_name: str
    write: Callable[[Path, Progress], tuple[Finding, ...]]
    """Fills the file at a path; says how far it is, from 0 to 1."""


@frozen
class Export:
    """One kind of export, with the files it makes of a story."""

    name: str
    about: str
    products: Callable[[Story, Choices], Iterator[Product]] = field(repr=False)


def _click_guide(story: Story, choices: Choices) -> Iterator[Product]:  # noqa: ARG001
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.midi import click_guide
        from tapscore.rhythm.perform import perform

        heard = perform(story, count_in_bars=1, longest_offer_sec=LONGEST_HEARD_OFFER_SEC)
        path.write_bytes(click_guide(story, heard))
        progress(1.0)
        return ()

    yield Product("click-guide", f"{slug(story.title)}-click-guide.mid", write)


def _audio_guide(story: Story, choices: Choices) -> Iterator[Product]:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.audio.guide import audio_guide
        from tapscore.rhythm.perform import perform

        heard = perform(story, count_in_bars=1, longest_offer_sec=LONGEST_HEARD_OFFER_SEC)
        audio_guide(story, heard, path, format=choices.sound, progress=progress)
        return ()

    name = f"{slug(story.title)}-audio-guide.{choices.sound}"
    yield Product("audio-guide", name, write)


def _cue_sheet(story: Story, choices: Choices) -> Iterator[Product]:  # noqa: ARG001
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.paper.cue_sheet import cue_sheet
        from tapscore.rhythm.perform import perform

        printed = cue_sheet(story, perform(story))
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
    Export("audio-guide", "sound to rehearse from (MP3 or WAV)", _audio_guide),
    Export("click-guide", "the taps with clicks, for music programs (MIDI)", _click_guide),
    Export("score", "the rhythm in musical notation (MusicXML)", _score),
)
EXPORT_NAMES = tuple(export.name for export in EXPORTS)
