"""Editing a story leaves everything else in its file just as the teacher left it."""

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from random import Random

import pytest
from attrs import evolve
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tapscore.model.finding import StoryPath
from tapscore.model.story import Item, Story
from tapscore.storyfile.read import StoryText, read_text
from tapscore.storyfile.write import spliced_text, write_story
from tests.storyfile.random_edits import Edit, Editor
from tests.strategies import WORDS, plain_stories, seeds, stories

MESSY = (Path(__file__).parent.parent / "data" / "messy.yaml").read_text(encoding="utf-8")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _empty(line: str) -> bool:
    if "no comment" in line:
        return False
    return not line.strip() or line.lstrip(" ").startswith("#")


def block_lines(source: StoryText, path: StoryPath) -> set[int]:
    """Lines (from 0) of a block and of the comments straight above it, by their indents.

    Found without the writer's own tools: a block goes on while lines stand further in.
    """
    lines = source.text.split("\n")
    if path[-1] == "{}":
        path = path[:-1]
        span = source.locate(path)
        assert span is not None
        one_line = "{" in lines[span.line - 1]
        return {span.line - 1} if one_line else set()
    span = source.locate(path)
    above = source.locate(path[:-1])
    if span is None or above == span:
        in_brackets = above is not None and "{" in lines[above.line - 1]
        return {above.line - 1} if above is not None and in_brackets else set()
    first = span.line - 1
    if isinstance(path[-1], int):
        while not lines[first].lstrip(" ").startswith("-"):
            first -= 1
    inside = _indent(lines[first])
    dash = lines[first].lstrip(" ").startswith("-")
    if dash and isinstance(path[-1], str):
        inside = len(re.match(r" *-[ ]*", lines[first])[0])  # type: ignore[index]
    last = first
    closing = lines[first].count("[") > lines[first].count("]")
    for number in range(first + 1, len(lines)):
        if _empty(lines[number]) and not closing:
            continue
        same_column_list = (
            isinstance(path[-1], str)
            and lines[number][inside : inside + 1] == "-"
            and _indent(lines[number]) == inside
            and not dash
        )
        if _indent(lines[number]) <= inside and not same_column_list and not closing:
            break
        last = number
        closing = closing and "]" not in lines[number]
    while first > 0 and lines[first - 1].lstrip(" ").startswith("#"):
        first -= 1
    return set(range(first, last + 1))


def _is_subsequence(wanted: Sequence[str], lines: Iterable[str]) -> str | None:
    """The first line that is not found in order; None where all are."""
    rest = iter(lines)
    for line in wanted:
        if line not in rest:
            return line
    return None


def check_edit(source: StoryText, edit: Edit) -> str:
    """Write an edit and look at the text; gives the new text."""
    text = spliced_text(edit.story)
    assert text is not None, f"not spliced: {edit.what}"
    back = read_text(text)
    assert back.story == edit.story
    lines = source.text.split("\n")
    touched: set[int] = set().union(*(block_lines(source, path) for path in edit.touched))
    moved: set[int] = set().union(*(block_lines(source, path) for path in edit.moved))
    new_lines = text.split("\n")
    kept = [line for i, line in enumerate(lines) if i not in touched | moved and line.strip()]
    lost = _is_subsequence(kept, [line for line in new_lines if line.strip()])
    assert lost is None, f"{edit.what}: lost {lost!r}"
    stripped = {line.strip() for line in new_lines}
    for number in moved - touched:
        line = lines[number].strip()
        if line.startswith("#") or "refrain" not in edit.what:
            assert line in stripped, f"{edit.what}: lost moved {line!r}"
    blank = sum(not line.strip() for line in lines)
    assert sum(not line.strip() for line in new_lines) >= blank - 1 - len(touched | moved)
    return text


def _edited(source: StoryText, seed: int, times: int) -> None:
    for turn in range(times):
        assert source.story is not None
        edit = Editor(seed + turn, source.story, WORDS).edit()
        source = read_text(check_edit(source, edit))


@given(seeds)
@settings(max_examples=80)
def test_edits_of_a_messy_file(seed: int) -> None:
    _edited(read_text(MESSY), seed, 1)


@given(seeds)
@settings(max_examples=25)
def test_many_edits_one_after_another(seed: int) -> None:
    _edited(read_text(MESSY), seed, 6)


@given(seeds)
@settings(max_examples=20)
def test_edits_keep_windows_line_ends(seed: int) -> None:
    source = read_text(MESSY.replace("\n", "\r\n"))
    assert source.story is not None
    edit = Editor(seed, source.story, WORDS).edit()
    text = write_story(edit.story)
    assert "\n" not in text.replace("\r\n", "")
    same = read_text(MESSY).story
    assert same is not None
    plain = write_story(Editor(seed, same, WORDS).edit().story)
    assert text.replace("\r\n", "\n") == plain


def messed_up(text: str, seed: int) -> str:
    """Comments, blank lines and unknown keys put between a file's lines, all by chance."""
    random = Random(seed)
    lines: list[str] = []
    glossary = False
    for number, line in enumerate(text.rstrip("\n").split("\n")):
        column = _indent(line)
        if line and column == 0:
            glossary = line.startswith("glossary:")
        chance = random.random()
        if chance < 0.2:
            lines.append(" " * random.choice([0, column, column + 2]) + f"# c{number}")
        elif chance < 0.3:
            lines.append("")
        elif glossary and column:
            pass  # any key is a word there
        elif chance < 0.4 and line.strip() and not line.lstrip().startswith(("-", "#")):
            lines.append(" " * column + f"note {number}: 'keep this'   # n{number}")
        if line and '"' not in line and random.random() < 0.2:
            lines.append(line + f"   # t{number}")
        else:
            lines.append(line)
    return "\n".join(lines) + random.choice(["", "\n", "\n\n# the end"])


def _has_twins(items: tuple[Item, ...]) -> bool:
    return any(item in items[:at] for at, item in enumerate(items))


@given(plain_stories, seeds)
@settings(max_examples=80)
def test_edits_of_random_files(story: Story, seed: int) -> None:
    # A comment may stay with the wrong one of two equal items: nothing tells them apart.
    lists = [s.items for s in story.sections] + [r.items for r in story.refrains]
    assume(not any(_has_twins(items) for items in lists))
    source = read_text(messed_up(write_story(story), seed))
    assert source.story == story
    _edited(source, seed, 2)


def _in_place_of(source: StoryText, story: Story) -> Story:
    assert source.story is not None
    return evolve(story, origin=source.story.origin)


@given(stories, stories)
@settings(max_examples=60)
def test_any_story_can_take_the_place_of_any_other(first: Story, second: Story) -> None:
    """The writer may then write anew, but what it writes is the story."""
    source = read_text(messed_up(write_story(first), 1))
    assert read_text(write_story(_in_place_of(source, second))).story == second


@given(plain_stories, plain_stories, st.randoms(use_true_random=False))
@settings(max_examples=60)
def test_even_then_it_is_spliced(first: Story, second: Story, random: Random) -> None:
    source = read_text(messed_up(write_story(first), random.randint(0, 99)))
    assert spliced_text(_in_place_of(source, second)) is not None


ODD = {
    "begin and end of a document": (
        "%YAML 1.2\n---\ntapscore: 2\ntitle: T\nstory:\n  - section: A\n    lines:\n"
        "      - words: a\n      - wait: 6\n...\n"
    ),
    "comments between everything": (
        "tapscore:\n  # why\n  1\ntitle:\n\n  # c\n  T\nstory: # s\n  # t\n  - # u\n"
        "    section: # v\n      One\n    lines: # w\n    # x\n    - # y\n"
        "      # z - - not a dash\n      words: # q\n        a\n    # m\n    -\n      wait: 5 # n\n"
    ),
    "brackets over many lines": (
        "tapscore: 2\ntitle: T\nstory: [{section: A, lines: [\n  # c\n  {words: a}, # d\n"
        '  {wait: 5},\n  {wait: 6} # e\n  ]}]\nprops: {a, b: , "c": {what: x},}\n'
        "roles: {\n  a: {}, # k\n  b: {} }\n"
    ),
    "no line end at the end": (
        "tapscore: 2\ntitle: T\nstory:\n  - section: A\n    lines:\n"
        "      - words: a\n      - wait: 6"
    ),
    "text in blocks": (
        "tapscore: 2\ntitle: >-\n  T\n  U\nstory:\n  - section: |\n      A\n\n    lines:\n"
        "      - words: |+\n          a\n\n      - wait: 6\n      - words: >\n          b\n\n\n"
    ),
    "mixed line ends": (
        "tapscore: 2\r\ntitle: T\nstory:\r\n  - section: A\n    lines:\r\n"
        "      - words: a\n      - wait: 6\r\n"
    ),
    "returns alone": (
        "tapscore: 2\rtitle: T\rstory:\r  - section: A\r    lines:\r      - words: a # x\r"
        "      - wait: 6\r"
    ),
    "rarer line ends": (
        "tapscore: 2\ntitle: T # a\u2028# b\nstory:\n  - section: A\n    lines:\n"
        '      - words: "a\u2028b"\n      - wait: 6\n'
    ),
    "quotes round names": (
        '"tapscore": 1\n\'title\' : T\n"story" :\n  - "section" : A\n    lines :\n'
        '      - "words" : a\n      - wait : 6\n"props" : {"x" : {}, y : {}}\n'
    ),
}


@pytest.mark.parametrize("name", ODD)
def test_files_laid_out_oddly_are_spliced_too(name: str) -> None:
    source = read_text(ODD[name])
    assert source.findings == ()
    assert source.story is not None
    for seed in range(60):
        edit = Editor(seed, source.story, WORDS).edit()
        text = spliced_text(edit.story)
        assert text is not None, edit.what
        assert read_text(text).story == edit.story
        if not edit.what.startswith(("delete", "move")):
            for comment in re.findall(r"(?<!\S)# ?\w.*", ODD[name].replace("\r", "\n")):
                assert comment in text, edit.what


def test_a_layout_that_is_given_up_keeps_the_story_and_the_head() -> None:
    """Keys with a question mark (YAML 1.2.2, section 8.2.2) are read, but not spliced."""
    source = read_text("# head\n? tapscore\n: 1\n? title\n: T\n? story\n: []\n")
    assert source.findings == ()
    assert source.story is not None
    changed = evolve(source.story, pupils=5)
    written = write_story(changed)
    assert written.startswith("# head\n")
    assert read_text(written).story == changed


def test_words_that_no_file_can_hold_do_not_cost_the_comments() -> None:
    """Double spaces are read as one; that is no reason to write the whole file anew."""
    source = read_text(MESSY)
    assert source.story is not None
    written = write_story(evolve(source.story, title="The  New   Mill"))
    assert "# c19" in written
    assert read_text(written).story == evolve(source.story, title="The New Mill")


def test_nothing_changed_is_the_same_text() -> None:
    source = read_text(MESSY)
    assert source.story is not None
    assert write_story(source.story) == MESSY


def test_messy_file_says_what_it_says() -> None:
    source = read_text(MESSY)
    assert {f.code for f in source.findings} == {"unknown-key"}
    assert source.story is not None
    assert [len(s.items) for s in source.story.sections] == [5, 3, 0]


@pytest.mark.parametrize("flow", ["{words: a, lane: '| X |'}", '{"words":"a","lane":"| X |"}'])
def test_a_story_as_json(flow: str) -> None:
    """JSON is YAML too (YAML 1.2.2, section 1.2)."""
    text = f'{{"tapscore": 1, "title": "T", "story": [{{"section": "S", "lines": [{flow}]}}]}}'
    source = read_text(text)
    assert source.findings == ()
    assert source.story is not None
    for seed in range(40):
        edited = Editor(seed, source.story, WORDS).edit().story
        spliced = spliced_text(edited)
        assert spliced is not None
        assert read_text(spliced).story == edited
