"""The JSON Schema in ``resources/`` is the one that the reader's own table gives.

To write it anew: ``python -m tapscore.storyfile.schema_file``
"""

from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import pytest
import yaml
from hypothesis import given, settings

from tapscore.model.story import Story
from tapscore.resources import demo_stories, resource_path
from tapscore.storyfile.schema_file import FILE_NAME, schema_text
from tapscore.storyfile.shape import story_schema
from tapscore.storyfile.write import write_story
from tests.storyfile.test_mistakes import ONE_MISTAKE
from tests.strategies import stories

VALIDATOR = jsonschema.Draft202012Validator(story_schema())


def test_the_file_is_up_to_date() -> None:
    assert resource_path(FILE_NAME).read_text(encoding="utf-8") == schema_text()


def test_the_schema_is_a_schema() -> None:
    """Against the draft 2020-12 meta-schema (json-schema.org)."""
    jsonschema.Draft202012Validator.check_schema(story_schema())


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_demo_stories_keep_to_it(path: Path) -> None:
    VALIDATOR.validate(yaml.safe_load(path.read_text(encoding="utf-8")))


@given(stories)
@settings(max_examples=40)
def test_whatever_is_written_keeps_to_it(story: Story) -> None:
    VALIDATOR.validate(yaml.safe_load(write_story(story)))


def _names_in(schema: object) -> set[str]:
    """Every name that a schema knows, at any depth."""
    if isinstance(schema, list):
        return set().union(*map(_names_in, schema))
    if not isinstance(schema, dict):
        return set()
    inner = set().union(*map(_names_in, schema.values()))
    return inner | set(schema["properties"]) if "properties" in schema else inner


def test_the_page_about_story_files_names_every_key() -> None:
    page = resource_path("story.txt").read_text(encoding="utf-8")
    known = _names_in(story_schema())
    assert len(known) > 30
    assert sorted(name for name in known if f"{name}:" not in page) == []


SHAPE_MISTAKES = (
    *("unknown key", "unknown key of a line", "metre 3/5", "tempo 0", "tempo 10,000"),
    *("tempo as list", "title with names", "newer version", "no version", "version in words"),
    *("no title", "lane as list", "no words", "no known item", "line without a section"),
    *("text for a section", "lines without dashes", "a point in words"),
    *("board without size", "wait in words", "loudness half known"),
)


@pytest.mark.parametrize("name", SHAPE_MISTAKES)
def test_mistakes_of_shape_break_it(name: str) -> None:
    data: Any = yaml.safe_load(ONE_MISTAKE[name][0])
    assert not VALIDATOR.is_valid(data)
