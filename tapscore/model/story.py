"""The story as the teacher wrote it.

What she left out is None or empty here; ``PartialManner.over`` says how the nearest word wins.
Nothing is filled in, so that writing a story back changes nothing.
"""

from fractions import Fraction
from typing import get_args

from attrs import field, frozen

from tapscore.model.accepted import Acceptance
from tapscore.model.board import Board
from tapscore.model.comfort import Comfort
from tapscore.model.lane import Lane
from tapscore.model.manner import PartialManner
from tapscore.model.origin import Origin
from tapscore.model.words import Syllable, split_words


@frozen
class Entrance:
    """A prop coming on to the board."""

    prop: str
    at: str | None = None
    """The spot it comes to."""


@frozen
class Translation:
    """A line's words in another language, as the school typed or pasted them."""

    tag: str
    """Of the language (BCP 47): ``pl``, ``ur``, ``zh-Hant``."""
    words: str


@frozen
class Line:
    """What is said and tapped in one breath."""

    words: str
    lane: Lane | None = None
    manner: PartialManner = PartialManner()
    warn_first: str | None = None
    warned_by: tuple[str, ...] = ()
    """Who gives the warning; whoever speaks the line, if not said."""
    warned_through: tuple[str, ...] = ()
    """By which channels, of ``CHANNELS``; not said, if empty."""
    do: str | None = None
    done_by: tuple[str, ...] = ()
    """Who does it; everyone who taps the line, if not said."""
    props_in: tuple[Entrance, ...] = ()
    props_out: tuple[str, ...] = ()
    look_for: str | None = None
    areas: tuple[str, ...] = ()
    """Areas of learning, as published."""
    translations: tuple[Translation, ...] = ()
    """The words in families' languages; tapscore translates nothing."""
    picture: str | None = None
    """Name of a picture file beside the story, for a screen."""
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)

    @property
    def syllables(self) -> tuple[Syllable, ...]:
        """The spoken parts of the words."""
        return split_words(self.words)


@frozen
class RefrainUse:
    """A place where a refrain returns."""

    name: str
    manner: PartialManner = PartialManner()
    """What differs in this return from the refrain as it is written; never the metre."""
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Wait:
    """Silence with attention, at least so long; the pupils' response ends it."""

    least_sec: Fraction
    look_for: str | None = None
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Offer:
    """A prop given to each pupil in turn."""

    prop: str
    turn_sec: Fraction = Fraction(30)
    look_for: str | None = None
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Unread:
    """Something in the file that could not be understood; kept there as it is."""

    source: str
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


Item = Line | RefrainUse | Wait | Offer | Unread
ITEMS = get_args(Item)
"""Their types, for a question that is asked of very many things."""


@frozen
class Refrain:
    """Lines written once that return in many places."""

    name: str
    items: tuple[Item, ...]
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Section:
    """A part of the story with a heading."""

    title: str
    items: tuple[Item, ...] = ()
    manner: PartialManner = PartialManner()
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Role:
    """What one adult does; ``seat`` is where that adult sits."""

    name: str
    seat: str | None = None
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Prop:
    """An object explored on the board."""

    name: str
    what: str = ""
    sets: int = 1
    instead: str | None = None
    """A substitute if it is missing."""
    cautions: tuple[str, ...] = ()
    by: str | None = None
    """The role that brings it; the prop handler, or else the leader, if not said."""
    picture: str | None = None
    """Name of a picture file beside the story."""
    handed_by: tuple[str, ...] = ()
    """Who hands it to pupils; its bringer and whoever is with a pupil, if not said."""
    outdoors: str | None = None
    """What is used of it out of doors."""
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Spoken:
    """A word of this story and how it is divided: ``HIG-gle-dy``, stressed in capitals."""

    word: str
    syllables: str
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Story:
    """One story, whole."""

    title: str
    language: str | None = None
    glossary: tuple[Spoken, ...] = ()
    manner: PartialManner = PartialManner()
    pupils: int | None = None
    board: Board | None = None
    roles: tuple[Role, ...] = ()
    props: tuple[Prop, ...] = ()
    refrains: tuple[Refrain, ...] = ()
    sections: tuple[Section, ...] = field(default=())
    comfort: Comfort | None = None
    accepted: tuple[Acceptance, ...] = ()
    """Findings that are meant to be so."""
    picture: str | None = None
    """Name of a picture file beside the story, for covers."""
    term: str | None = None
    """When it is told, as the teacher writes it: ``Autumn 2026``."""
    class_name: str | None = None
    """Which class, as the teacher writes it."""
    next_year: tuple[str, ...] = ()
    """What to change next year."""
    outdoors: str | None = None
    """What is tapped out of doors instead of the board."""
    weather: str | None = None
    """What is settled for wind, sun, wet and cold, in a line."""
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)

    def refrain(self, name: str) -> Refrain | None:
        """The refrain of that name."""
        return next((refrain for refrain in self.refrains if refrain.name == name), None)

    def prop(self, name: str) -> Prop | None:
        """The prop of that name."""
        return next((prop for prop in self.props if prop.name == name), None)

    @property
    def role_names(self) -> tuple[str, ...]:
        """Every role, the leader first; a story without roles has a leader alone."""
        return tuple(role.name for role in self.roles) or ("leader",)

    @property
    def sitting(self) -> dict[str, str]:
        """Who sits on each seat that is taken; several are joined by commas."""
        taken: dict[str, str] = {}
        for role in self.roles:
            if role.seat is not None:
                before = f"{taken[role.seat]}, " if role.seat in taken else ""
                taken[role.seat] = before + role.name
        return taken

    @property
    def leader(self) -> str:
        """The role that leads, and speaks where nobody else is named."""
        names = self.role_names
        return "leader" if "leader" in names else names[0]

    @property
    def pupil_count(self) -> int:
        """How many pupils take a turn: as written, else the board's places, else one."""
        if self.pupils is not None:
            return self.pupils
        return len(self.board.places) if self.board and self.board.places else 1

    @property
    def divided_words(self) -> dict[str, str]:
        """The glossary as a mapping from words in small letters."""
        return {spoken.word.casefold(): spoken.syllables for spoken in self.glossary}

    def bringer(self, prop_name: str) -> str:
        """The role that brings, offers and takes away a prop."""
        prop = self.prop(prop_name)
        if prop and prop.by:
            return prop.by
        names = self.role_names
        return "prop handler" if "prop handler" in names else names[0]

    def handlers(self, prop_name: str) -> tuple[str, ...]:
        """The roles that hand a prop to pupils; none where the story has no roles to say it."""
        prop = self.prop(prop_name)
        if prop and prop.handed_by:
            return prop.handed_by
        if not self.roles:
            return ()
        beside = (place.partner for place in (self.board.places if self.board else ()))
        return tuple(dict.fromkeys((self.bringer(prop_name), *filter(None, beside))))

    def turns_at_once(self, prop_name: str) -> int:
        """How many pupils have a prop at one time: a set and an adult for each of them."""
        prop = self.prop(prop_name)
        sets = max(prop.sets if prop else 1, 1)
        return min(sets, len(self.handlers(prop_name)) or sets)


CHANNELS = ("voice", "touch", "sight")
"""How a warning can reach a pupil: a whisper reaches no deaf child, a raised hand no blind one."""
MOST_HEARD = 5000
"""Lines, waits, offerings and returns of refrains that a performance holds at most."""
DEEPEST_REFRAIN = 12
"""How many refrains may stand inside one another."""
