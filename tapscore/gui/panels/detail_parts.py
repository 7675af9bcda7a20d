"""The fields of the details: for a line, a tap, a wait, an offering and a section."""

from collections.abc import Callable, Sequence
from functools import partial
from operator import attrgetter
from typing import Any

from attrs import evolve

from tapscore.gui.forms.choices import ChoiceEntry, PictureEntry, SwellEntry
from tapscore.gui.forms.entries import NamesEntry, WordsEntry
from tapscore.gui.forms.form import FormPart, part, with_attribute
from tapscore.model.lane import TapDetail
from tapscore.model.loudness import WORDS, Loudness, swell_text
from tapscore.model.story import Entrance, Line, Offer, Section, Translation, Wait
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.storyfile.languages import is_language
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

LOOK_FOR = say("a look, a still body, a reach ...")


def line_parts(beside: Callable[[], Sequence[str]]) -> list[FormPart]:
    """The fields of a line; ``beside`` gives the names of pictures in the story's folder."""
    return [
        *_manner_parts(Line),
        part(Line, "warn first", say("Warn first"), nothing=lambda _: ""),
        _names("warned by", say("Warned by"), say("warns")),
        _names("warned through", say("Warned through"), say("carries the warning")),
        _names(
            "prop in",
            say("Props in"),
            say("comes in"),
            get=lambda line: tuple(entrance.prop for entrance in line.props_in),
            put=_with_props_in,
        ),
        _names("prop out", say("Props out"), say("goes out")),
        _look_for(Line),
        part(Line, "do", say("What to do"), nothing=lambda _: ""),
        _names("done by", say("Done by"), say("does it")),
        FormPart(
            "in",
            say("In families' languages"),
            WordsEntry(say("pl: ...; ur: ..."), reads=_translated),
            lambda line: "; ".join(f"{t.tag}: {t.words}" for t in line.translations),
            lambda line, typed: evolve(line, translations=_translated(typed or "")),
        ),
        part(
            Line,
            "picture",
            say("Picture for a screen"),
            PictureEntry(beside),
            nothing=lambda _: say("none"),
        ),
        _names("areas", say("Areas of learning"), say("is worked on")),
    ]


def tap_parts() -> list[FormPart]:
    """The fields of one tap."""
    levels = [(term(word), Loudness(n)) for n, word in enumerate(WORDS)]
    strokes = [(term(word), parse_stroke(word)) for word in STROKE_WORDS]
    fields = (
        (
            "loudness",
            say("Loudness"),
            ChoiceEntry(levels),
            lambda m: say("as the line: {loudness}", loudness=_loudness(m)),
        ),
        (
            "stroke",
            say("Stroke"),
            ChoiceEntry(strokes),
            lambda m: say("as the line: {stroke}", stroke=m.stroke.word),
        ),
        (
            "spot",
            say("Spot"),
            ChoiceEntry(),
            lambda m: say("as the line: {spot}", spot=m.spot) if m.spot else say("any"),
        ),
        ("by", say("Who taps"), NamesEntry(say("taps")), lambda m: m.by),
    )
    return [
        FormPart(key, label, entry, attrgetter(key), partial(_with_detail, key), nothing)
        for key, label, entry, nothing in fields
    ]


def wait_parts() -> list[FormPart]:
    """The fields of a wait."""
    return [part(Wait, "wait", say("Seconds at least")), _look_for(Wait)]


def offer_parts() -> list[FormPart]:
    """The fields of an offering."""
    return [
        part(Offer, "offer", say("Prop"), ChoiceEntry(needed=True)),
        part(Offer, "turn", say("Seconds for each")),
        _look_for(Offer),
    ]


def section_parts() -> list[FormPart]:
    """The fields of a section."""
    return [part(Section, "section", say("Heading")), *_manner_parts(Section)]


def _manner_parts(made: type) -> list[FormPart]:
    """The fields that a line and a section have in common."""
    return [
        part(made, "loudness", say("Loudness"), SwellEntry(), nothing=_as_before(_loudness)),
        part(made, "stroke", say("Stroke"), nothing=_as_before(lambda m: m.stroke.word)),
        part(made, "spot", say("Spot"), ChoiceEntry(), nothing=_as_before(lambda m: m.spot or "")),
        part(made, "by", say("Who taps"), NamesEntry(say("taps")), nothing=lambda m: m.by),
        part(made, "says", say("Who speaks"), NamesEntry(say("speaks")), nothing=lambda m: m.says),
        part(made, "tempo", say("Beats a minute"), nothing=lambda m: m.tempo),
        part(made, "metre", say("Metre"), nothing=_as_before(lambda m: str(m.metre))),
    ]


def _names(
    key: str,
    label: str,
    does: str,
    get: Callable[[Any], Any] | None = None,
    put: Callable[[Any, Any], Any] | None = None,
) -> FormPart:
    """A line's names, each with a box; where nothing is said none is ticked."""
    return part(Line, key, label, NamesEntry(does), nothing=lambda _: (), get=get, put=put)


def _look_for(made: type) -> FormPart:
    return part(made, "look for", say("Look for"), WordsEntry(LOOK_FOR))


def _with_props_in(line: Line, names: tuple[str, ...]) -> Line:
    """Props come in by name; where to stays as it was."""
    before = {entrance.prop: entrance for entrance in line.props_in}
    return evolve(line, props_in=tuple(before.get(name, Entrance(name)) for name in names))


def _translated(typed: str) -> tuple[Translation, ...]:
    """``pl: words; ur: words``, as far as the tags are of languages."""
    found: dict[str, Translation] = {}
    for part_ in typed.split(";"):
        tag, _, words = part_.partition(":")
        tag, words = tag.strip(), " ".join(words.split())
        if words and is_language(tag):
            found[tag] = Translation(tag, words)
    return tuple(found.values())


def _loudness(manner: Any) -> str:
    return swell_text(manner.loudness)


def _as_before(word: Callable[[Any], str]) -> Callable[[Any], str]:
    def said(manner: Any) -> str:
        found = word(manner)
        return say("as before: {found}", found=found) if found else say("as before")

    return said


def _with_detail(key: str, tap: TapDetail, value: Any) -> Any:
    return with_attribute(tap, key, value)
