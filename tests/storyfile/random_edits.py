"""Random edits of a story, each with what of the old text it may touch."""

from collections.abc import Callable
from random import Random
from typing import Any, TypeVar

from attrs import evolve, frozen

from tapscore.model.finding import StoryPath
from tapscore.model.story import (
    Item,
    Line,
    Offer,
    Prop,
    Refrain,
    RefrainUse,
    Role,
    Section,
    Story,
    Wait,
)
from tapscore.model.words import split_words
from tests.strategies import Cast, Maker, cast_of

T = TypeVar("T")


@frozen
class Edit:
    """An edited story."""

    story: Story
    what: str
    touched: tuple[StoryPath, ...] = ()
    """Blocks of the old text whose lines may change or go; all others must stay."""
    moved: tuple[StoryPath, ...] = ()
    """Blocks that may stand elsewhere, and further in or out, but are all there."""


@frozen
class _Place:
    """A list of items: a section's or a refrain's."""

    path: StoryPath
    items: tuple[Item, ...]


def _places(story: Story) -> list[_Place]:
    return [
        *(_Place(("story", i, "lines"), s.items) for i, s in enumerate(story.sections)),
        *(_Place(("refrains", r.name), r.items) for r in story.refrains),
    ]


def _with_items(story: Story, path: StoryPath, items: tuple[Item, ...]) -> Story:
    if path[0] == "story":
        sections = tuple(
            evolve(s, items=items) if i == path[1] else s for i, s in enumerate(story.sections)
        )
        return evolve(story, sections=sections)
    refrains = tuple(evolve(r, items=items) if r.name == path[1] else r for r in story.refrains)
    return evolve(story, refrains=refrains)


def _without(values: tuple[T, ...], index: int) -> tuple[T, ...]:
    return (*values[:index], *values[index + 1 :])


def _inserted(values: tuple[T, ...], index: int, value: T) -> tuple[T, ...]:
    return (*values[:index], value, *values[index:])


class Editor:
    """Makes random edits of one story."""

    def __init__(self, seed: int, story: Story, words: tuple[str, ...]) -> None:
        self.random = Random(seed)
        self.seed = seed
        self.make = Maker(seed, words)
        self.story = story
        cast = cast_of(story)
        self.cast = Cast(cast.roles, (), cast.props, ())
        self.fresh = 0

    def edit(self) -> Edit:
        """One edit, of any kind that the story has room for."""
        kinds: list[Callable[[], Edit | None]] = [
            self.change_line,
            self.change_line,
            self.change_wait,
            self.insert_item,
            self.delete_item,
            self.move_item,
            self.change_section,
            self.insert_section,
            self.delete_section,
            self.move_section,
            self.change_story,
            self.add_prop,
            self.delete_prop,
            self.change_prop,
            self.move_prop,
            self.add_refrain,
            self.rename_refrain,
            self.add_role,
            self.move_role,
            self.change_board,
        ]
        while True:
            found = self.random.choice(kinds)()
            if found is not None and found.story != self.story:
                return found

    def _pick_single(self, wanted: type | tuple[type, ...]) -> tuple[_Place, int] | None:
        """Like ``_pick``, but nothing that stands twice in its list: which goes can't be told."""
        picked = self._pick(wanted)
        if picked is None or picked[0].items.count(picked[0].items[picked[1]]) > 1:
            return None
        return picked

    def _pick(self, wanted: type | tuple[type, ...]) -> tuple[_Place, int] | None:
        choices = [
            (place, index)
            for place in _places(self.story)
            for index, item in enumerate(place.items)
            if isinstance(item, wanted)
        ]
        return self.random.choice(choices) if choices else None

    def _named(self, what: str) -> str:
        self.fresh += 1
        return f"{what} {self.fresh} of {self.seed}"

    def change_line(self) -> Edit | None:
        picked = self._pick(Line)
        if picked is None:
            return None
        place, index = picked
        line = place.items[index]
        assert isinstance(line, Line)
        key, changed = self._changed_line(line)
        items = (*place.items[:index], changed, *place.items[index + 1 :])
        return Edit(
            _with_items(self.story, place.path, items),
            f"change {key}",
            tuple((*place.path, index, each) for each in key.split("+")),
        )

    def _changed_line(self, line: Line) -> tuple[str, Line]:
        make = self.make
        key = self.random.choice(
            [
                "words",
                "lane",
                "tempo",
                "metre",
                "loudness",
                "stroke",
                "by",
                "do",
                "look for",
                "warn first",
                "prop in",
                "prop out",
            ]
        )
        gone = self.random.random() < 0.3
        if key == "words":
            words = make.text()
            if line.lane is None:
                return key, evolve(line, words=words)
            lane = make.lane(len(split_words(words)), self.cast)
            return "words+lane", evolve(line, words=words, lane=lane)
        if key == "lane":
            lane = make.lane(len(line.syllables), self.cast)
            return key, evolve(line, lane=None if gone else lane)
        manner = line.manner
        if key in ("tempo", "metre", "stroke"):
            part: dict[str, Any] = {key: None if gone else getattr(make, key)()}
            return key, evolve(line, manner=evolve(manner, **part))
        if key == "loudness":
            swell = tuple(make.loudness() for _ in range(self.random.randint(1, 3)))
            return key, evolve(line, manner=evolve(manner, loudness=None if gone else swell))
        if key == "by":
            return key, evolve(line, manner=evolve(manner, by=make.adults(cast_of(self.story))))
        if key == "prop in":
            return key, evolve(line, props_in=make.line(cast_of(self.story)).props_in)
        if key == "prop out":
            return key, evolve(line, props_out=make.some(self.cast.props))
        attribute = {"do": "do", "look for": "look_for", "warn first": "warn_first"}[key]
        text: dict[str, Any] = {attribute: None if gone else make.text()}
        return key, evolve(line, **text)

    def change_wait(self) -> Edit | None:
        picked = self._pick((Wait, Offer))
        if picked is None:
            return None
        place, index = picked
        item = place.items[index]
        changed: Item
        if isinstance(item, Wait):
            key, changed = "wait", evolve(item, least_sec=self.make.number(1, 600))
        else:
            assert isinstance(item, Offer)
            key, changed = "turn", evolve(item, turn_sec=self.make.number(1, 600))
        items = (*place.items[:index], changed, *place.items[index + 1 :])
        return Edit(
            _with_items(self.story, place.path, items),
            f"change {key}",
            ((*place.path, index, key),),
        )

    def insert_item(self) -> Edit | None:
        places = _places(self.story)
        if not places:
            return None
        place = self.random.choice(places)
        at = self.random.randint(0, len(place.items))
        item = self.make.item(self.cast, ())
        touched = (place.path,) if not place.items else ()
        return Edit(
            _with_items(self.story, place.path, _inserted(place.items, at, item)),
            f"insert at {at}",
            touched,
        )

    def delete_item(self) -> Edit | None:
        picked = self._pick_single((Line, Wait, Offer, RefrainUse))
        if picked is None:
            return None
        place, index = picked
        left = _without(place.items, index)
        path = (*place.path, index) if left or place.path[0] == "refrains" else place.path
        touched: tuple[StoryPath, ...] = (path,) if left else (path, place.path)
        return Edit(_with_items(self.story, place.path, left), f"delete {index}", touched)

    def move_item(self) -> Edit | None:
        picked = self._pick_single((Line, Wait, Offer))
        if picked is None or not self._told_apart():
            return None
        place, index = picked
        item = place.items[index]
        without = _with_items(self.story, place.path, _without(place.items, index))
        target = self.random.choice(_places(without))
        at = self.random.randint(0, len(target.items))
        story = _with_items(without, target.path, _inserted(target.items, at, item))
        touched: list[StoryPath] = []
        if len(place.items) == 1:
            touched.append(place.path)
        if not target.items:
            touched.append(target.path)
        return Edit(
            story,
            f"move {place.path} {index} to {target.path} {at}",
            tuple(touched),
            ((*place.path, index),),
        )

    def _told_apart(self) -> bool:
        """Whether there are sections, and none that can't be told from another afterwards."""
        titles = [section.title for section in self.story.sections]
        return 0 < len(titles) == len(set(titles))

    def change_section(self) -> Edit | None:
        if not self.story.sections:
            return None
        index = self.random.randrange(len(self.story.sections))
        section = self.story.sections[index]
        if self.random.random() < 0.5:
            key, changed = "section", evolve(section, title=self.make.text())
        else:
            key = "tempo"
            changed = evolve(section, manner=evolve(section.manner, tempo=self.make.tempo()))
        sections = (*self.story.sections[:index], changed, *self.story.sections[index + 1 :])
        return Edit(
            evolve(self.story, sections=sections), f"section {key}", (("story", index, key),)
        )

    def insert_section(self) -> Edit | None:
        sections = self.story.sections
        at = self.random.randint(0, len(sections))
        items = tuple(self.make.item(self.cast, ()) for _ in range(self.random.randint(0, 3)))
        section = Section(self.make.text(), items)
        return Edit(
            evolve(self.story, sections=_inserted(sections, at, section)),
            f"insert section {at}",
            () if sections else (("story",),),
        )

    def delete_section(self) -> Edit | None:
        sections = self.story.sections
        if not self._told_apart():
            return None
        index = self.random.randrange(len(sections))
        touched: StoryPath = ("story", index) if len(sections) > 1 else ("story",)
        return Edit(
            evolve(self.story, sections=_without(sections, index)),
            f"delete section {index}",
            (touched,),
        )

    def move_section(self) -> Edit | None:
        sections = self.story.sections
        if len(sections) < 2 or not self._told_apart():
            return None
        index = self.random.randrange(len(sections))
        left = _without(sections, index)
        at = self.random.randint(0, len(left))
        return Edit(
            evolve(self.story, sections=_inserted(left, at, sections[index])),
            f"move section {index} to {at}",
            (),
            tuple(("story", i) for i in range(min(index, at), max(index, at) + 1)),
        )

    def change_story(self) -> Edit | None:
        key = self.random.choice(["title", "language", "pupils", "tempo"])
        story = self.story
        if key == "tempo":
            changed = evolve(story, manner=evolve(story.manner, tempo=self.make.tempo()))
        elif key == "pupils":
            changed = evolve(story, pupils=self.make.maybe(self.random.randint(1, 30)))
        else:
            text: dict[str, Any] = {key: self.make.text()}
            changed = evolve(story, **text)
        return Edit(changed, f"story {key}", ((key,),))

    def add_prop(self) -> Edit | None:
        prop = Prop(self._named("prop"), self.make.text(), sets=self.random.randint(1, 3))
        at = self.random.randint(0, len(self.story.props))
        touched = () if self.story.props else (("props",),)
        return Edit(
            evolve(self.story, props=_inserted(self.story.props, at, prop)),
            f"add prop at {at}",
            touched or self._one_line("props"),
        )

    def delete_prop(self) -> Edit | None:
        props = self.story.props
        if not props:
            return None
        index = self.random.randrange(len(props))
        path: StoryPath = ("props", props[index].name) if len(props) > 1 else ("props",)
        return Edit(evolve(self.story, props=_without(props, index)), "delete prop", (path,))

    def change_prop(self) -> Edit | None:
        props = self.story.props
        if not props:
            return None
        index = self.random.randrange(len(props))
        prop = props[index]
        kind = self.random.randrange(3)
        if kind == 0:
            changed = evolve(prop, name=self._named("other"))
        elif kind == 1:
            changed = evolve(prop, instead=self.make.text())
        else:
            changed = evolve(prop, sets=self.random.randint(1, 30))
        values = (*props[:index], changed, *props[index + 1 :])
        return Edit(
            evolve(self.story, props=values),
            ["rename prop", "prop's instead", "prop's sets"][kind],
            (("props", prop.name),),
        )

    def move_prop(self) -> Edit | None:
        props = self.story.props
        if len(props) < 2:
            return None
        index = self.random.randrange(len(props))
        left = _without(props, index)
        at = self.random.randint(0, len(left))
        names = [props[i].name for i in range(min(index, at), max(index, at) + 1)]
        return Edit(
            evolve(self.story, props=_inserted(left, at, props[index])),
            f"move prop {index} to {at}",
            self._one_line("props"),
            tuple(("props", name) for name in names),
        )

    def add_refrain(self) -> Edit | None:
        items = tuple(self.make.item(self.cast, ()) for _ in range(self.random.randint(0, 2)))
        refrain = Refrain(self._named("refrain"), items)
        at = self.random.randint(0, len(self.story.refrains))
        return Edit(
            evolve(self.story, refrains=_inserted(self.story.refrains, at, refrain)),
            f"add refrain {at}",
            self._one_line("refrains") if self.story.refrains else (("refrains",),),
        )

    def rename_refrain(self) -> Edit | None:
        refrains = self.story.refrains
        if not refrains:
            return None
        old, new = self.random.choice(refrains).name, self._named("renamed")

        def named(items: tuple[Item, ...]) -> tuple[Item, ...]:
            return tuple(
                evolve(i, name=new) if isinstance(i, RefrainUse) and i.name == old else i
                for i in items
            )

        touched: list[StoryPath] = [("refrains", old)]
        for place in _places(self.story):
            touched += [
                (*place.path, i)
                for i, item in enumerate(place.items)
                if isinstance(item, RefrainUse) and item.name == old
            ]
        story = evolve(
            self.story,
            refrains=tuple(
                evolve(r, name=new if r.name == old else r.name, items=named(r.items))
                for r in refrains
            ),
            sections=tuple(evolve(s, items=named(s.items)) for s in self.story.sections),
        )
        return Edit(story, "rename refrain", (), tuple(touched))

    def add_role(self) -> Edit | None:
        if not self.story.roles:
            return None  # without roles there is a leader, whom lines may name
        at = self.random.randint(0, len(self.story.roles))
        role = Role(self._named("role"))
        return Edit(
            evolve(self.story, roles=_inserted(self.story.roles, at, role)),
            f"add role {at}",
            self._one_line("roles"),
        )

    def move_role(self) -> Edit | None:
        roles = self.story.roles
        if len(roles) < 2:
            return None
        index = self.random.randrange(len(roles))
        left = _without(roles, index)
        at = self.random.randint(0, len(left))
        names = [roles[i].name for i in range(min(index, at), max(index, at) + 1)]
        return Edit(
            evolve(self.story, roles=_inserted(left, at, roles[index])),
            f"move role {index} to {at}",
            self._one_line("roles"),
            tuple(("roles", name) for name in names),
        )

    def change_board(self) -> Edit | None:
        board = self.story.board
        if board is None:
            return None
        if self.random.random() < 0.5:
            key, changed = "gap_mm", evolve(board, gap_mm=self.make.number(0, 500))
        else:
            key, changed = "size_cm", evolve(board, width_mm=10 * self.make.number(10, 500))
        return Edit(evolve(self.story, board=changed), f"board {key}", (("board", key),))

    def _one_line(self, key: str) -> tuple[StoryPath, ...]:
        """Paths of all that may stand on one line in curly brackets."""
        return ((key, "{}"),) if getattr(self.story, key) else ()
