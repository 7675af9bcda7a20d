"""What can be made of a story to listen to."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve

from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.wording.about import About
from tapscore.wording.catalogue import say
from tapscore.workflow.names import slug
from tapscore.workflow.product import Choices, Export, Product, Progress

if TYPE_CHECKING:
    from tapscore.exports.audio.heard import TapsHeard

LONGEST_HEARD_OFFER_SEC = Fraction(10)
"""Offerings take minutes at the board; in something to listen to they are cut to this."""


def _ears(choices: Choices) -> "TapsHeard":
    from tapscore.exports.audio.heard import TapsHeard

    return TapsHeard(choices.mono, choices.loudest_heard)


def _heard_softer(choices: Choices) -> Iterator[Finding]:
    if choices.loudest_heard is not None:
        about = About(loudest=int(choices.loudest_heard))
        yield Finding("heard-softer", Severity.ADVICE, about=about)


def _audio_guide(story: Story, choices: Choices) -> Iterator[Product]:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.audio.cover import cover_png, tapped_line
        from tapscore.exports.audio.guide import audio_guide
        from tapscore.exports.audio.sound_file import without_program
        from tapscore.exports.audio.story_taps import board_findings
        from tapscore.exports.audio.voice.loudness import speech_sounds
        from tapscore.exports.audio.voice.telling import teller
        from tapscore.exports.own_pictures import OwnPictures
        from tapscore.rhythm.perform import perform

        pictures = OwnPictures(choices.beside)
        longest = LONGEST_HEARD_OFFER_SEC if choices.short_turns else None
        heard = perform(story, count_in_bars=1, longest_offer_sec=longest)
        told = teller(heard, story.language, choices.recordings)
        audio_guide(
            story,
            heard,
            path,
            format=choices.sound,
            spoken=speech_sounds(told.speech(heard)),
            cover_png=cover_png(
                story, tapped_line(heard), say("audio guide"), pictures.of(story.picture)
            ),
            heard=_ears(choices),
            progress=progress,
        )
        unusable = pictures.findings(evolve(story, props=()))
        lacking = tuple(without_program(choices.sound))
        board = board_findings(story)
        return (*told.findings, *unusable, *board, *_heard_softer(choices), *lacking)

    name = f"{slug(story.title)}-audio-guide.{choices.sound}"
    yield Product("audio-guide", name, write)


def _rehearsal_set(story: Story, choices: Choices) -> Iterator[Product]:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.audio.story_taps import board_findings
        from tapscore.exports.audio.versions.rehearsal_set import rehearsal_set
        from tapscore.exports.own_pictures import OwnPictures

        pictures = OwnPictures(choices.beside)
        made = rehearsal_set(
            story,
            path,
            format=choices.sound,
            recordings=choices.recordings,
            longest_offer_sec=LONGEST_HEARD_OFFER_SEC if choices.short_turns else None,
            heard=_ears(choices),
            own_cover=pictures.of(story.picture),
            progress=progress,
        )
        unusable = pictures.findings(evolve(story, props=()))
        return (*made.findings, *unusable, *board_findings(story), *_heard_softer(choices))

    yield Product("rehearsal-set", f"{slug(story.title)}-rehearsal-set", write, is_folder=True)


def _home_sound(story: Story, choices: Choices) -> Iterator[Product]:
    def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
        from tapscore.exports.audio.home.home_sound import home_sound
        from tapscore.exports.own_pictures import OwnPictures
        from tapscore.workflow.translations import only_in

        pictures = OwnPictures(choices.beside)
        found = home_sound(
            only_in(story, choices.home_language),
            path,
            format=choices.sound,
            recordings=choices.recordings,
            heard=_ears(choices),
            pictures=pictures,
            progress=progress,
        )
        return (*found, *pictures.findings(story))

    yield Product("home-sound", f"{slug(story.title)}-at-home-sound", write, is_folder=True)


SOUND_EXPORTS = (
    Export("audio-guide", say("sound to rehearse from (one file)"), _audio_guide),
    Export(
        "rehearsal-set",
        say("a folder to rehearse from, with a page to play it"),
        _rehearsal_set,
    ),
    Export(
        "home-sound",
        say("the story to hear at home, a page for a family's phone that stops at every wait"),
        _home_sound,
    ),
)
