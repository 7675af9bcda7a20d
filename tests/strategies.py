"""Random stories for hypothesis: every field is used, and the reader finds nothing in them."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from random import Random
from typing import TypeVar

from attrs import evolve, frozen
from hypothesis import strategies as st

from tapscore.model.accepted import Acceptance
from tapscore.model.board import (
    GRAINS,
    HEADINGS,
    STRIP_KINDS,
    Board,
    Named,
    Place,
    Point,
    Sheet,
    Sides,
    Strips,
)
from tapscore.model.cautions import CAUTIONS
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.curriculum import AREAS
from tapscore.model.lane import Cell, Lane, Mark, TapDetail
from tapscore.model.loudness import Loudness, parse_loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import SUPPORTED, Metre, parse_metre
from tapscore.model.story import (
    CHANNELS,
    Entrance,
    Item,
    Line,
    Offer,
    Prop,
    Refrain,
    RefrainUse,
    Role,
    Section,
    Spoken,
    Story,
    Translation,
    Wait,
)
from tapscore.model.strokes import Stroke, parse_stroke
from tapscore.model.tempo import Tempo
from tapscore.model.words import split_words

T = TypeVar("T")

TRICKY = (
    *("yes", "no", "on", "~", "null", "true", "12", "1:30", "0x1F", "1e3", ".5", "-7", "1_000"),
    *("2024-01-01", "=", "<<", "- a", "-", "# b", "a #b", "a: b", "x:", ": y", "? z", "{x}"),
    *("[y]", "&a", "*b", "!tag", "|", ">", "'", '"', '"quoted"', "%", "@", "`", "\\", "\\n"),
    *("---", "...", "é", "日本語", "Ёжик", "🙂", "don't", "don’t", "a, b", "\u200b", "\ufeff"),
    *("lan-tern boat", "merry=go=round", "– oh –", "words: x", "a\x07b", "\x7f", "\ud7ff"),
)
_any_text = st.one_of(
    st.sampled_from(TRICKY),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=24),
)
texts = _any_text.map(lambda text: " ".join(text.split())).filter(bool)
"""Words as the reader keeps them: runs of spaces are one space, none at the ends."""


def _usable_name(name: str) -> bool:
    return (
        not any(mark in name for mark in "();,|")
        and name != "everyone"
        and parse_loudness(name) is None
        and parse_stroke(name) is None
    )


names = texts.filter(_usable_name)
metres = st.sampled_from([metre for text in SUPPORTED if (metre := parse_metre(text))])
seeds = st.integers(0, 2**32 - 1)


@frozen
class Cast:
    """The names that one story's lines may use."""

    roles: tuple[str, ...]
    spots: tuple[str, ...]
    props: tuple[str, ...]
    refrains: tuple[str, ...]


class Maker:
    """Puts stories together from given words by a seeded random generator."""

    def __init__(self, seed: int, words: Sequence[str]) -> None:
        self.random = Random(seed)
        self._words = words

    def maybe(self, value: T, chance: float = 0.5) -> T | None:
        return value if self.random.random() < chance else None

    def some(self, values: Sequence[T], most: int = 3) -> tuple[T, ...]:
        return tuple(
            self.random.sample(list(values), min(len(values), self.random.randint(0, most)))
        )

    def text(self) -> str:
        return self.random.choice(self._words)

    def number(self, low: int, high: int) -> Fraction:
        whole = Fraction(self.random.randint(low, high))
        if self.random.random() < 0.7:
            return whole
        return min(whole + Fraction(self.random.randint(0, 10**6), 10**6), Fraction(high))

    def metre(self) -> Metre:
        metre = parse_metre(self.random.choice(SUPPORTED))
        assert metre is not None
        return metre

    def tempo(self) -> Tempo:
        return Tempo(self.number(20, 300), self.maybe(self.number(20, 300)))

    def loudness(self) -> Loudness:
        return self.random.choice(list(Loudness))

    def stroke(self) -> Stroke:
        return self.random.choice(list(Stroke))

    def manner(self, cast: Cast, chance: float = 0.3) -> PartialManner:
        return PartialManner(
            self.maybe(self.metre(), chance),
            self.maybe(self.tempo(), chance),
            self.maybe(tuple(self.loudness() for _ in range(self.random.randint(1, 4))), chance),
            self.maybe(self.stroke(), chance),
            self.maybe(self.random.choice(cast.spots), chance) if cast.spots else None,
            self.maybe(self.adults(cast), chance) or (),
            self.maybe(self.adults(cast), chance / 2) or (),
        )

    def adults(self, cast: Cast) -> tuple[str, ...]:
        return self.some((*(cast.roles or ("leader",)), "everyone"))

    def detail(self, cast: Cast) -> TapDetail | None:
        detail = TapDetail(
            self.maybe(self.loudness()),
            self.maybe(self.stroke()),
            self.maybe(self.random.choice(cast.spots)) if cast.spots else None,
            self.maybe(self.adults(cast)) or (),
            tuple(self.single(cast)) if self.random.random() < 0.3 else (),
        )
        return detail if detail != TapDetail() else None

    def single(self, cast: Cast) -> Iterator[tuple[str, TapDetail]]:
        """What adults do otherwise than others on a tap."""
        for role in self.some(cast.roles or ("leader",), 2):
            own = TapDetail(self.maybe(self.loudness()), self.maybe(self.stroke()))
            if own != TapDetail():
                yield role, own

    def lane(self, syllables: int, cast: Cast) -> Lane:
        """A lane with places for so many syllables, of bars of any length."""
        marks: list[Mark] = []
        left = syllables
        while left or not marks or self.random.random() < 0.5:
            choices = [Mark.REST, Mark.TAP_ALONE]
            if marks and marks[-1] is not Mark.REST:
                choices.append(Mark.HOLD)
            if left:
                choices += [Mark.SYLLABLE_TAPPED] * 4 + [Mark.SYLLABLE_ALONE]
            marks.append(self.random.choice(choices))
            left -= marks[-1].said
        cells = [self._cell(mark, cast) for mark in marks]
        steps = self._cut(cells, (1, 1, 1, 1, 2, 3))
        bars = self._cut(steps, (1, 2, 3, 6, 8))
        if len(bars) > 1 and self.random.random() < 0.3:
            return Lane(bars[0], tuple(bars[1:]))
        return Lane((), tuple(bars))

    def _cell(self, mark: Mark, cast: Cast) -> Cell:
        if not mark.tapped:
            return Cell(mark)
        return Cell(mark, self.random.random() < 0.3, self.maybe(self.detail(cast), 0.2))

    def _cut(self, values: Sequence[T], sizes: Sequence[int]) -> list[tuple[T, ...]]:
        """``values`` cut into pieces of random sizes."""
        pieces: list[tuple[T, ...]] = []
        at = 0
        while at < len(values):
            size = self.random.choice(sizes)
            pieces.append(tuple(values[at : at + size]))
            at += size
        return pieces

    def full_lane(self, metre: Metre, bars: int, pickup: int = 0) -> Lane:
        """A lane whose bars are full in ``metre``; some steps are shared by 2 or 3 marks."""

        def step() -> tuple[Cell, ...]:
            share = self.random.choice((1, 1, 1, 2, 3))
            return tuple(
                Cell(self.random.choice([Mark.SYLLABLE_TAPPED, Mark.TAP_ALONE, Mark.REST]))
                for _ in range(share)
            )

        return Lane(
            tuple(step() for _ in range(pickup)),
            tuple(tuple(step() for _ in range(metre.steps)) for _ in range(bars)),
        )

    def glossary(self) -> tuple[Spoken, ...]:
        words = {self.text(): self.text() for _ in range(self.random.choice([0, 0, 1, 3]))}
        return tuple(Spoken(word, syllables) for word, syllables in words.items())

    def line(self, cast: Cast) -> Line:
        spoken = self.random.random() < 0.95
        words = " ".join(self.text() for _ in range(self.random.randint(1, 3))) if spoken else ""
        props = list(cast.props)
        entering = self.some(props, 2)
        return Line(
            words,
            self.maybe(self.lane(len(split_words(words)), cast), 0.8),
            self.manner(cast, 0.2),
            self.maybe(self.text(), 0.2),
            self.adults(cast) if self.random.random() < 0.1 else (),
            self.some(CHANNELS) if self.random.random() < 0.1 else (),
            self.maybe(self.text(), 0.2),
            self.adults(cast) if self.random.random() < 0.2 else (),
            tuple(
                Entrance(prop, self.maybe(self.random.choice(cast.spots)) if cast.spots else None)
                for prop in entering
            ),
            self.some(props, 2),
            self.maybe(self.text(), 0.2),
            self.some(AREAS, self.random.choice((0, 0, 3))),
            tuple(
                Translation(tag, self.text())
                for tag in self.some(("pl", "ur", "zh-Hant"), self.random.choice((0, 0, 0, 2)))
            ),
        )

    def item(self, cast: Cast, refrains: Sequence[str]) -> Item:
        kind = self.random.random()
        if kind < 0.15:
            return Wait(self.number(1, 600), self.maybe(self.text()))
        if kind < 0.25 and cast.props:
            turn = self.random.choice([Fraction(30), self.number(1, 600)])
            return Offer(self.random.choice(cast.props), turn, self.maybe(self.text()))
        if kind < 0.4 and refrains:
            manner = evolve(self.manner(cast, 0.1), metre=None)
            return RefrainUse(self.random.choice(refrains), manner)
        return self.line(cast)

    def items(self, cast: Cast, refrains: Sequence[str], most: int = 4) -> tuple[Item, ...]:
        return tuple(self.item(cast, refrains) for _ in range(self.random.randint(0, most)))

    def section(self, cast: Cast) -> Section:
        return Section(self.text(), self.items(cast, cast.refrains), self.manner(cast, 0.1))

    def prop(self, name: str, cast: Cast) -> Prop:
        return Prop(
            name,
            self.maybe(self.text()) or "",
            self.random.choice([1, self.random.randint(1, 30)]),
            self.maybe(self.text()),
            self.some(tuple(CAUTIONS)),
            self.maybe(self.random.choice(cast.roles or ("leader",))),
            self.maybe(self.text(), 0.2),
            self.some(cast.roles) if self.random.random() < 0.2 else (),
            self.maybe(self.text(), 0.1),
        )

    def board(self, cast: Cast, seats: Sequence[str]) -> Board:
        sheet = Sheet(
            self.maybe(self.text()),
            self.maybe(self.number(1, 30)),
            self.maybe(self.random.randint(1, 25)),
            self.maybe(self.random.choice(GRAINS)),
            self.maybe(self.number(1, 900)),
            self.maybe(self.number(1, 900)),
            self.maybe(self.number(1, 200)),
        )
        strips = Strips(*(self.random.choice(STRIP_KINDS) for _ in range(4)))
        letters = self.some("ABCDEFGÉЖ", 4)
        return Board(
            10 * self.number(10, 500),
            10 * self.number(10, 500),
            self.maybe(sheet),
            self.maybe(self.number(0, 500)),
            tuple(Named(name, self.point()) for name in cast.spots),
            tuple(Named(name, self.point()) for name in seats),
            tuple(
                Place(
                    letter,
                    self.point(),
                    self.random.random() < 0.5,
                    self.maybe(self.random.choice(HEADINGS)),
                    self.maybe(self.random.choice(cast.roles or ("leader",)), 0.3),
                )
                for letter in letters
            ),
            self.maybe(strips),
            self.maybe(Sides(*(self.maybe(self.text()) for _ in range(4)))),
            self.maybe(self.point()),
            self.maybe(self.random.randint(3, 7)),
            self.maybe(self.text(), 0.2),
        )

    def point(self) -> Point:
        return Point(10 * self.number(0, 500), 10 * self.number(0, 500))

    def story(self, pool: Sequence[str]) -> Story:
        """A story that names its things from ``pool``, whose names are all different."""
        left = list(pool)

        def take(most: int) -> tuple[str, ...]:
            count = min(self.random.randint(0, most), len(left))
            return tuple(left.pop() for _ in range(count))

        has_board = self.random.random() < 0.6
        cast = Cast(take(3), take(3) if has_board else (), take(3), take(3))
        seats = take(3) if has_board else ()
        refrains = [
            Refrain(name, self.items(cast, cast.refrains[i + 1 :], 3))
            for i, name in enumerate(cast.refrains)
        ]
        return Story(
            self.text(),
            self.maybe(self.text()),
            self.glossary(),
            self.manner(cast),
            self.maybe(self.random.randint(1, 30)),
            self.board(cast, seats) if has_board else None,
            tuple(
                Role(name, self.maybe(self.random.choice(seats)) if seats else None)
                for name in cast.roles
            ),
            tuple(self.prop(name, cast) for name in cast.props),
            tuple(refrains),
            tuple(self.section(cast) for _ in range(self.random.randint(0, 3))),
            self.maybe(self.comfort()),
            tuple(self.acceptance() for _ in range(self.random.choice((0, 0, 1, 2)))),
            self.maybe(self.text(), 0.2),
            self.maybe(self.text(), 0.2),
            self.maybe(self.text(), 0.2),
            tuple(self.text() for _ in range(self.random.choice((0, 0, 0, 2)))),
        )

    def comfort(self) -> Comfort:
        return Comfort(
            self.maybe(self.loudness()),
            self.maybe(self.random.randint(1, 4)),
            self.maybe(self.number(1, 600)),
            self.maybe(self.random.choice(list(Stage))),
            self.random.random() < 0.3,
        )

    def acceptance(self) -> Acceptance:
        finding = self.random.choice(("warn-before-loud", "look-for-named", self.text()))
        return Acceptance(finding, self.text(), self.maybe(self.text()))


def cast_of(story: Story) -> Cast:
    """The names of a story."""
    return Cast(
        tuple(role.name for role in story.roles),
        tuple(spot.name for spot in story.board.spots) if story.board else (),
        tuple(prop.name for prop in story.props),
        tuple(refrain.name for refrain in story.refrains),
    )


def _make_story(seed: int, words: list[str], pool: list[str]) -> Story:
    return Maker(seed, words).story(pool)


stories: st.SearchStrategy[Story] = st.builds(
    _make_story,
    seeds,
    st.lists(texts, min_size=2, max_size=6),
    st.lists(names, min_size=6, max_size=14, unique=True),
)
"""Whole stories in which the reader finds nothing."""


WORDS = ("Row the lan-tern", "oh", "tip-py tap", "Splash!", "the moon came out")
NAMES = tuple(f"{first} {second}" for first in ("old", "red", "far") for second in "abcdef")
plain_stories: st.SearchStrategy[Story] = st.builds(
    _make_story, seeds, st.just(list(WORDS)), st.permutations(NAMES)
)
"""Stories of ordinary words, for tests of time rather than of text."""
