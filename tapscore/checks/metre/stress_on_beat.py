"""The heavy syllable of a word stands on a stronger beat than the light one beside it."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.model.metre import Metre, beat_strength
from tapscore.model.story import Spoken
from tapscore.model.words import Syllable, printed_words
from tapscore.wording.catalogue import say
from tapscore.words.derive import Shape, derive
from tapscore.words.letters import plain_word
from tapscore.words.lookup import british_exceptions
from tapscore.words.pronounce import marked_stresses, pronounce
from tapscore.words.stress_table import shipped_table

_MARKS = ".,;:!?-–—…‘’“”'\"()"


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    if facts.line.lane is None or not (setting.bare.language or "en").casefold().startswith("en"):
        return
    places = {e.syllable: e.position_beats for e in facts.events if e.syllable is not None}
    start = 0
    for word in _members(printed_words(facts.line.syllables)):
        letters = tuple(syllable.text.strip(_MARKS) for syllable in word)
        reversed_at = (
            _reversed_at(setting, letters, start, places, facts.metre) if len(word) > 1 else None
        )
        if reversed_at is not None:
            heavy, light = reversed_at
            yield found(("lane",), light=letters[light], heavy=letters[heavy])
            return
        start += len(word)


def _members(words: Iterable[Sequence[Syllable]]) -> Iterator[Sequence[Syllable]]:
    """Words, and what stands between their printed hyphens (*Smith-O'Brien*), each by itself."""
    for word in words:
        ends = [at for at, syllable in enumerate(word, 1) if syllable.text.endswith("-")]
        for begin, end in pairwise(sorted({0, *ends, len(word)})):
            yield word[begin:end]


def _reversed_at(
    setting: Setting,
    letters: tuple[str, ...],
    start: int,
    places: dict[int, Fraction],
    metre: Metre,
) -> tuple[int, int] | None:
    """A heavy and a light syllable side by side of which the light one stands stronger."""
    for one, other in pairwise(enumerate(_stresses(letters, setting.bare.glossary))):
        if {one[1], other[1]} != {0, 1}:
            continue
        heavy, light = (one[0], other[0]) if one[1] else (other[0], one[0])
        at_heavy, at_light = places.get(start + heavy), places.get(start + light)
        if at_heavy is None or at_light is None:
            continue
        if _strength(metre, at_light) > _strength(metre, at_heavy):
            return heavy, light
    return None


_strength = cache(beat_strength)


@lru_cache(maxsize=4096)
def _stresses(letters: tuple[str, ...], glossary: tuple[Spoken, ...]) -> tuple[int, ...]:
    """Stress of each syllable of a divided word; none where it would only be a guess."""
    marked = marked_stresses(list(letters))
    if marked is not None:
        return marked
    whole = "".join(letters)
    key = plain_word(whole)
    own = {each.word.casefold(): each.syllables for each in glossary}
    if key in own:
        stresses = pronounce(whole, own).stresses
    else:
        shape = _known(key) or derive(key, _known) or ()
        stresses = tuple(stress for _, stress in shape)
    return stresses if len(stresses) == len(letters) else ()


def _known(key: str) -> Shape | None:
    british = british_exceptions().get(key)
    if british is not None:
        return tuple((len(piece), int(piece.isupper())) for piece in british.split("-"))
    return shipped_table().find(key)


RULE = Rule(
    id="stress-on-beat",
    title=say("Heavy syllables stand on strong beats"),
    why=say(
        "Adults who rehearse alone find the rhythm in the words; where words and beat pull "
        "apart they drift apart too. Songs do it now and then, so this is only advice."
    ),
    source=say("Hayes (2009), Textsetting as constraint conflict"),
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example('- words: the lan-tern rows\n  lane: "| X . x X . x |"'),
    more_good=(
        example(tapped("the riv-er runs", "x | X . x X . |")),
        example(tapped("Row the boat", "| X . x X . . |")),
    ),
    more_bad=(
        example(tapped("the riv-er runs", "| X . x X . x |")),
        example(tapped("a lit-tle boat", "| X . x . X . x . |"), metre="4/4"),
    ),
)
