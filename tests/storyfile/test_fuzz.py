"""Whatever a file holds, reading it gives a story or findings, never a traceback."""

from pathlib import Path
from random import Random

import yaml
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.resources import demo_stories
from tapscore.storyfile.read import StoryText, read_bytes, read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.open_story import checked
from tests.strategies import seeds

DEMOS = [path.read_text(encoding="utf-8") for path in demo_stories()]
MESSY = (Path(__file__).parent.parent / "data" / "messy.yaml").read_text(encoding="utf-8")
SNIPPETS = (
    *("\t", "\n", "\r\n", " ", "  ", ":", ": ", "- ", "#", " #", "'", '"', "{", "}", "[", "]"),
    *(",", "&a", "*a", "!t", "!!str ", "|", ">", "|-\n", "%", "@", "`", "---\n", "...\n", "?"),
    *("<<: ", "\ufeff", "\u2028", "\x85", "\x00", "\x07", "🙂", "é", "日", "~", "yes", "1:30"),
    *("story:", "lines:", "words:", "lane:", "refrain:", "- wait: 0", "(", ")", "x(", "10000"),
)


def mutated(text: str, seed: int) -> str:
    random = Random(seed)
    for _ in range(random.randint(1, 5)):
        start = random.randrange(len(text) + 1)
        end = min(len(text), start + random.choice([0, 0, 1, 1, 3, 20, 200]))
        kind = random.randrange(4)
        if kind == 0:
            text = text[:start] + text[end:]
        elif kind == 1:
            text = text[:start] + random.choice(SNIPPETS) + text[end:]
        elif kind == 2:
            text = text[:start] + text[start:end] * 2 + text[end:]
        else:
            lines = text.split("\n")
            random.shuffle(lines[(at := random.randrange(len(lines))) : at + 4])
            lines.insert(random.randrange(len(lines)), random.choice(lines))
            text = "\n".join(lines)
    return text


def _sound(source: StoryText) -> None:
    findings = checked(source).findings
    assert source.story is not None or findings
    for finding in findings:
        assert finding.code != "rule-broke", finding.message
        assert finding.message
        assert finding.remedy
        if finding.span is not None and source.text:
            assert 1 <= finding.span.line <= source.text.count("\n") + 2
            assert 0 <= finding.span.start <= finding.span.end <= len(source.text)


@given(st.sampled_from([*DEMOS, MESSY]), seeds)
@settings(max_examples=400)
def testmutated_stories(text: str, seed: int) -> None:
    source = read_text(mutated(text, seed))
    _sound(source)
    if source.story is not None:
        assert write_story(source.story) == source.text


@given(st.sampled_from(DEMOS), seeds)
@settings(max_examples=150)
def test_what_was_not_understood_is_kept(text: str, seed: int) -> None:
    """A change of the title elsewhere leaves every broken part of the file as it is."""
    source = read_text(mutated(text, seed))
    if source.story is None or source.root is None or source.root.get("title") is None:
        return
    if any(finding.code == "duplicate-key" for finding in source.findings):
        return
    written = write_story(evolve(source.story, title="Changed"))
    span = source.root.get("title").span  # type: ignore[union-attr]
    end = span.start + len(source.text[span.start : span.end].rstrip())
    assert written.startswith(source.text[: span.start].rstrip())
    assert written.endswith(source.text[end:])


_data = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
_KEYS = ("title", "story", "metre", "tempo", "board", "roles", "props", "refrains", "by", "spot")


@given(st.dictionaries(st.sampled_from(_KEYS), _data, max_size=6))
@settings(max_examples=150)
def test_any_data_under_known_names(data: dict[str, object]) -> None:
    _sound(read_text(yaml.safe_dump({"tapscore": 1, **data}, allow_unicode=True)))


@given(st.lists(st.dictionaries(st.sampled_from(["words", "lane", "wait", "by"]), _data)))
@settings(max_examples=100)
def test_any_data_in_lines(lines: list[dict[str, object]]) -> None:
    story = [{"section": "One", "lines": lines}]
    _sound(read_text(yaml.safe_dump({"tapscore": 1, "title": "T", "story": story})))


@given(st.text(max_size=200))
@settings(max_examples=200)
def test_any_text(text: str) -> None:
    _sound(read_text(text))


@given(st.binary(max_size=200))
@settings(max_examples=200)
def test_any_bytes(data: bytes) -> None:
    _sound(read_bytes(data))


@given(st.lists(st.sampled_from(SNIPPETS), max_size=30).map("".join))
@settings(max_examples=200)
def test_any_yaml_marks(text: str) -> None:
    _sound(read_text("tapscore: 2\ntitle: T\nstory:\n" + text))


@given(st.text(alphabet="xXtTo.-|() ,loudq", max_size=60))
@settings(max_examples=200)
def test_any_lane(lane: str) -> None:
    quoted = lane.replace('"', "")
    _sound(
        read_text(
            "tapscore: 2\ntitle: T\nstory:\n  - section: One\n    lines:\n"
            f'      - words: a\n        lane: "{quoted}"\n'
        )
    )
