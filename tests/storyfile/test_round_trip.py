"""What is written reads back as it was, here and in two other YAML readers."""

from io import StringIO
from typing import Any

import yaml
from hypothesis import given, settings
from ruamel.yaml import YAML

from tapscore.model.story import Story
from tapscore.storyfile.kinds import Bare, Doc
from tapscore.storyfile.read import read_text
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.write import write_story
from tests.strategies import stories


@given(stories)
@settings(max_examples=150, deadline=None)
def test_read_of_write_is_the_story(story: Story) -> None:
    text = write_story(story)
    back = read_text(text)
    assert back.findings == ()
    assert back.story == story
    assert write_story(back.story) == text


def _plain(doc: Doc) -> Any:
    """The document as another YAML reader should see it: numbers and yes/no are no text."""
    if isinstance(doc, Bare):
        if doc in ("true", "false"):
            return doc == "true"
        return float(doc) if doc else None
    if isinstance(doc, str):
        return doc
    if isinstance(doc, list):
        return [_plain(each) for each in doc]
    return {key: _plain(value) for key, value in doc.items()}


def _floats(data: Any) -> Any:
    if isinstance(data, bool) or data is None:
        return data
    if isinstance(data, int | float):
        return float(data)
    if isinstance(data, list):
        return [_floats(each) for each in data]
    if isinstance(data, dict):
        return {key: _floats(value) for key, value in data.items()}
    return data


@given(stories)
@settings(max_examples=60, deadline=None)
def test_other_yaml_readers_see_the_same(story: Story) -> None:
    """PyYAML (YAML 1.1) and ruamel.yaml (YAML 1.2), both with their own types."""
    text = write_story(story)
    wanted = _plain(to_document(story))
    assert _floats(yaml.safe_load(text)) == wanted
    assert _floats(YAML(typ="safe", pure=True).load(StringIO(text))) == wanted


@given(stories)
@settings(max_examples=40, deadline=None)
def test_a_new_file_is_plain_to_look_at(story: Story) -> None:
    text = write_story(story)
    assert text.endswith("\n")
    assert "\t" not in text
    assert all(line == line.rstrip() for line in text.split("\n"))
