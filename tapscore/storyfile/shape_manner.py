"""Shape of the keys that say how to tap, on the story, a section or a line."""

from tapscore.model.loudness import LETTERS, Swell, parse_swell, swell_text
from tapscore.model.loudness import WORDS as LOUDNESS_WORDS
from tapscore.model.metre import SUPPORTED, Metre, parse_metre
from tapscore.model.strokes import STROKE_WORDS, Stroke, parse_stroke
from tapscore.model.tempo import Tempo, parse_tempo, tempo_text
from tapscore.storyfile.kinds import Bare, Doc, Kind, list_of, scalar_kind, text
from tapscore.storyfile.near import listed
from tapscore.storyfile.records import Field
from tapscore.wording.catalogue import say

_metre: Kind[Metre] = scalar_kind(
    parse_metre,
    str,
    {"enum": list(SUPPORTED)},
    say("one of {words}", words=listed(SUPPORTED)),
    "6/8",
    SUPPORTED,
)


def _write_tempo(tempo: Tempo) -> Doc:
    words = tempo_text(tempo)
    return Bare(words) if tempo.end is None else words


_tempo: Kind[Tempo] = scalar_kind(
    parse_tempo,
    _write_tempo,
    {"anyOf": [{"type": "number", "minimum": 20, "maximum": 300}, {"type": "string"}]},
    say("a number of beats a minute from 20 to 300, or two with `to` between"),
    "54",
)
_loudness: Kind[Swell] = scalar_kind(
    parse_swell,
    swell_text,
    {
        "type": "string",
        "pattern": "^({0})( to ({0}))*$".format("|".join((*LOUDNESS_WORDS, *LETTERS))),
    },
    say("one of {words}, or two with `to` between", words=listed(LOUDNESS_WORDS)),
    "quiet to loud",
    LOUDNESS_WORDS,
)
_stroke: Kind[Stroke] = scalar_kind(
    parse_stroke,
    lambda stroke: stroke.word,
    {"enum": list(STROKE_WORDS)},
    say("one of {words}", words=listed(STROKE_WORDS)),
    "fingertips",
    STROKE_WORDS,
)
name = text("middle")
names = list_of(name, "[leader, beat-keeper]")
MANNER_FIELDS = (
    Field("metre", "manner.metre", _metre, about=say("Beats to the bar, for example 6/8.")),
    Field("tempo", "manner.tempo", _tempo, about=say("Felt beats a minute; `54 to 40` slows.")),
    Field("loudness", "manner.loudness", _loudness, about=say("`quiet`, or `quiet to loud`.")),
    Field("stroke", "manner.stroke", _stroke, about=say("How the board is touched.")),
    Field("spot", "manner.spot", name, about=say("Which of the board's spots is tapped.")),
    Field("by", "manner.by", names, about=say("Who taps: roles, or `everyone`.")),
    Field("says", "manner.says", names, about=say("Who speaks; the leader, if not said.")),
)
