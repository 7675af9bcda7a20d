"""Things keep the text they were read from, wherever they go: moved, copied, pasted, undone.

Every block of these files has its number in a value, in comments and in a key that is not
known, so that without any of the writer's tools it can be told what must stand in the text.
"""

import re
from collections import Counter
from fractions import Fraction
from io import StringIO
from random import Random

import pytest
from attrs import evolve
from hypothesis import given, settings
from ruamel.yaml import YAML

from tapscore.model import edits
from tapscore.model.edits import item_lists
from tapscore.model.finding import StoryPath
from tapscore.model.selection import delete_all, repeat_all
from tapscore.model.story import Item, Line, Refrain, RefrainUse, Section, Story, Wait
from tapscore.model.walk import change_lists, written_items
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import spliced_text, write_story
from tests.strategies import seeds


class _File:
    """A file laid out by chance; ``first`` is the number of its first block."""

    def __init__(self, random: Random, first: int) -> None:
        self._random = random
        self._number = first
        self.blocks: dict[int, list[str]] = {}
        parts = ["# the head", "tapscore: 2", "title:   T   # a title"]
        parts += ["refrains:", *(line for name in "ab" for line in self._refrain(f"{name}{first}"))]
        parts += ["", "story:", *(line for _ in range(3) for line in self._section())]
        self.text = random.choice(["\n", "\r\n"]).join([*parts, "# the end", ""])

    def _refrain(self, name: str) -> list[str]:
        column = self._random.choice([2, 4])
        return [f"  {name}:  # refrain {name}", *self._items(column)]

    def _section(self) -> list[str]:
        number = self._next()
        head = [
            f"  # c{number} above",
            f"  - section:   Part {number}   # t{number}",
            f"    tempo: {number}",
            f"    note {number}:  [keep,  this]   # n{number}",
            "",
            "    lines:",
        ]
        return head + self._items(self._random.choice([4, 6]))

    def _items(self, column: int) -> list[str]:
        lines: list[str] = []
        for _ in range(self._random.randint(1, 4)):
            number = self._next()
            block = self._random.choice([_long, _short, _wait])(number)
            self.blocks[number] = [line.strip() for line in block]
            lines += [" " * column + line for line in block]
            lines += [""] * self._random.choice([0, 0, 1])
        return lines

    def _next(self) -> int:
        self._number += 1
        return self._number


def _long(number: int) -> list[str]:
    return [
        f"# c{number} above",
        f"-   words:   tip-py 'tap'    # t{number}",
        f"    do:  'no {number}'",
        "    # inside",
        f"    note {number}:  keep   # n{number}",
        "    look for: a look,",
        "      a reach",
    ]


def _short(number: int) -> list[str]:
    return [
        f"# c{number} above",
        f'- {{words: "oh",do: no {number}, note {number}: keep }}  # n{number} t{number}',
    ]


def _wait(number: int) -> list[str]:
    return [
        f"# c{number} above",
        "-",
        f"  wait: 12   # t{number}",
        f"  note {number}:  keep   # n{number}",
        f"  look for: no {number}",
    ]


def _number(item: object) -> int | None:
    said = item.do if isinstance(item, Line) else getattr(item, "look_for", None)
    if isinstance(item, Section):
        return int(item.manner.tempo.start) if item.manner.tempo else None
    return int(said.removeprefix("no ")) if said else None


class _Editor:
    """Edits a story in ways that leave every block's number where it is."""

    def __init__(self, random: Random, story: Story, other: Story) -> None:
        self._random = random
        self.story = story
        self._other = other
        self._made = 0

    def edit(self) -> None:
        kinds = [
            self._insert,
            self._move,
            self._move,
            self._duplicate,
            self._delete,
            self._paste,
            self._change,
            self._rename_refrain,
            self._rename_section,
            self._move_section,
            self._make_refrain,
        ]
        self._random.choice(kinds)()

    def _pick(self, story: Story) -> tuple[StoryPath, Item] | None:
        items = list(written_items(story))
        return self._random.choice(items) if items else None

    def _put(self, item: Item) -> None:
        path, items = self._random.choice(list(item_lists(self.story)))
        at = self._random.randint(0, len(items))
        self.story = edits.insert_item(self.story, (*path, at), item)

    def _insert(self) -> None:
        item: Item = Wait(Fraction(7)) if self._random.random() < 0.5 else Line("new words")
        self._put(item)

    def _move(self) -> None:
        picked = self._pick(self.story)
        if picked is not None:
            self.story = delete_all(self.story, [picked[0]])
            self._put(picked[1])

    def _duplicate(self) -> None:
        picked = self._pick(self.story)
        if picked is not None:
            self.story = repeat_all(self.story, (picked[0],))[0]

    def _delete(self) -> None:
        picked = self._pick(self.story)
        if picked is not None:
            self.story = delete_all(self.story, [picked[0]])

    def _paste(self) -> None:
        picked = self._pick(self._other)
        if picked is not None and not isinstance(picked[1], RefrainUse):
            self._put(picked[1])

    def _change(self) -> None:
        picked = self._pick(self.story)
        if picked is not None and isinstance(picked[1], Line):
            words = f"{picked[1].words} more"
            new = evolve(picked[1], words=words, warn_first="lean in")
            self.story = edits.replace_item(self.story, picked[0], new)

    def _fresh(self) -> str:
        self._made += 1
        return f"made {self._made}"

    def _rename_refrain(self) -> None:
        old, new = self._random.choice(self.story.refrains).name, self._fresh()

        def named(_: StoryPath, items: tuple[Item, ...]) -> tuple[Item, ...]:
            return tuple(
                evolve(i, name=new) if isinstance(i, RefrainUse) and i.name == old else i
                for i in items
            )

        story = change_lists(self.story, named)
        refrains = tuple(evolve(r, name=new) if r.name == old else r for r in story.refrains)
        self.story = evolve(story, refrains=refrains)

    def _rename_section(self) -> None:
        index = self._random.randrange(len(self.story.sections))
        title = self._fresh()
        self.story = edits.change_section(self.story, index, lambda s: evolve(s, title=title))

    def _move_section(self) -> None:
        sections = list(self.story.sections)
        sections.insert(self._random.randrange(len(sections)), sections.pop())
        self.story = evolve(self.story, sections=tuple(sections))

    def _make_refrain(self) -> None:
        picked = self._pick(self.story)
        if picked is not None and isinstance(picked[1], Line):
            refrain = Refrain(self._fresh(), (picked[1],))
            story = edits.replace_item(self.story, picked[0], RefrainUse(refrain.name))
            self.story = evolve(story, refrains=(*story.refrains, refrain))


def _story(file: _File) -> Story:
    story = read_text(file.text).story
    assert story is not None
    return story


def _check(
    story: Story, text: str, originals: dict[int, Item], blocks: dict[int, list[str]]
) -> None:
    items = [item for _, item in written_items(story)]
    numbers = Counter(filter(None, map(_number, [*items, *story.sections])))
    lines = [line.strip() for line in text.splitlines()]
    for mark in "ctn":
        said = Counter(map(int, re.findall(rf"\b{mark}(\d+)\b", text)))
        assert said == numbers, f"comments {mark}: {said - numbers} {numbers - said}"
    for item in items:
        number = _number(item)
        if number is not None and item == originals[number]:
            block = blocks[number]
            starts = [i for i, line in enumerate(lines) if line == block[0]]
            assert any(lines[i : i + len(block)] == block for i in starts), block
    assert text.count("# the head") == text.count("# the end") == text.count("# a title") == 1


def _seen_elsewhere(text: str) -> tuple[list[int], list[object]]:
    """The notes and the items' first values, as ruamel.yaml reads them."""
    data = YAML(typ="safe", pure=True).load(StringIO(text))
    lists = [*(data["refrains"] or {}).values()]
    lists += [section.get("lines") or [] for section in data["story"]]
    items = [item for each in lists for item in each or []]
    notes = [
        int(key.removeprefix("note "))
        for each in (*items, *data["story"])
        for key in each
        if key.startswith("note ")
    ]
    return notes, [
        next(item[k] for k in ("words", "wait", "refrain") if k in item) for item in items
    ]


@given(seeds)
@settings(max_examples=16, deadline=None)
def test_random_edits_keep_comments_notes_and_every_untouched_block(seed: int) -> None:
    random = Random(seed)
    file, other = _File(random, 100), _File(random, 200)
    blocks = {**file.blocks, **other.blocks}
    editor = _Editor(random, _story(file), _story(other))
    originals = {
        number: item
        for story in (editor.story, _story(other))
        for _, item in written_items(story)
        if (number := _number(item)) is not None
    }
    history = [(editor.story, file.text)]
    for _ in range(12):
        if random.random() < 0.2:
            editor.story, before = random.choice(history)
            assert write_story(editor.story) == before
        editor.edit()
        story = editor.story
        text = spliced_text(story)
        assert text is not None
        back = read_text(text).story
        assert back == story
        _check(story, text, originals, blocks)
        assert ("\r\n" in text) == ("\r\n" in file.text)
        assert "\r\n" not in text or "\n" not in text.replace("\r\n", "")
        notes, firsts = _seen_elsewhere(text)
        things = [item for _, item in written_items(story)]
        assert Counter(notes) == Counter(filter(None, map(_number, [*things, *story.sections])))
        assert firsts == [_first(item) for item in things]
        history.append((story, text))
        if random.random() < 0.2:  # closed and opened again
            editor.story = back


def _first(item: Item) -> object:
    if isinstance(item, Wait):
        return item.least_sec
    return item.words if isinstance(item, Line) else getattr(item, "name", None)


TEXT = """\
tapscore: 2
title: T
story:
  - section: One
    lines:
      # about the boat
      - words: the boat   # loud
      - words: the moon
  - section: Two
    lines: []
"""
BOAT: StoryPath = ("story", 0, "lines", 0)


@pytest.fixture
def story() -> Story:
    found = read_text(TEXT).story
    assert found is not None
    return found


def test_origins_are_no_part_of_equality(story: Story) -> None:
    item = edits.item_at(story, BOAT)
    assert item == Line("the boat")
    assert hash(item) == hash(Line("the boat"))
    assert evolve(item, words="x").origin is item.origin


def test_a_copy_brings_its_comments(story: Story) -> None:
    """Whichever of the two she keeps, nothing noted about it is lost."""
    twice = repeat_all(story, (BOAT,))[0]
    block = "      # about the boat\n      - words: the boat   # loud\n"
    assert write_story(twice) == TEXT.replace(block, 2 * block)
    changed = edits.change_line(twice, BOAT, lambda line: evolve(line, words="a boat"))
    new = block.replace("the boat ", "a boat ")
    assert write_story(changed) == TEXT.replace(block, new + block)


def test_cut_here_and_pasted_there(story: Story) -> None:
    item = edits.item_at(story, BOAT)
    other = edits.insert_item(delete_all(story, [BOAT]), ("story", 1, "lines", 0), item)
    assert write_story(other).endswith(
        "  - section: Two\n    lines:\n      # about the boat\n      - words: the boat   # loud\n"
    )
    text = "tapscore: 2\r\ntitle: U\r\nstory:\r\n- section: A\r\n  lines:\r\n  - wait: 5\r\n"
    elsewhere = read_text(text).story
    assert elsewhere is not None
    pasted = edits.insert_item(elsewhere, ("story", 0, "lines", 1), item)
    assert write_story(pasted) == (text + "  # about the boat\r\n  - words: the boat   # loud\r\n")


def test_undone_past_a_save_the_bytes_are_those_of_before(story: Story) -> None:
    gone = delete_all(story, [BOAT])
    assert "about the boat" not in write_story(gone)
    assert write_story(story) == TEXT


def test_a_name_said_twice_costs_nothing() -> None:
    """Its second block comes to life without the first; the text is laid out anew then."""
    text = (
        "# head\n"
        + TEXT
        + "props:\n  b: {}\n  a: {}  # first\n  a: {what: x}  # again\nmy key: 1\n"
    )
    story = read_text(text).story
    assert story is not None
    without = evolve(story, props=story.props[:1])
    assert spliced_text(without) is None
    written = write_story(without)
    assert read_text(written).story == without
    assert written.startswith("# head\ntapscore: 2\n")
    for said in ("about the boat", "# loud", "# first", "a: {what: x}  # again", "my key: 1"):
        assert said in written


def test_what_could_not_be_read_stays_beside_what_is_new() -> None:
    text = TEXT + "refrains:\n  a: 5   # why\nprops:\n  - x  # a list\n"
    story = read_text(text).story
    assert story is not None
    story = evolve(story, refrains=(Refrain("b", (Line("oh"),)),), title="U")
    assert "  a: 5   # why\n" in write_story(story)
