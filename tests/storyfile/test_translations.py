"""Words in families' languages: by BCP 47 tags, kept as typed."""

import subprocess
import sys
from itertools import product
from string import ascii_letters

import langcodes

from tapscore.model.story import Line, Translation
from tapscore.storyfile.languages import is_language
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story

STORY = """tapscore: 2
title: The Mill
story:
  - section: One
    lines:
      - words: Row the lan-tern
        in:
          pl: Wiosłuj, latarnio
          ur: لالٹین چلاؤ
"""


def test_translations_are_read_and_kept_byte_for_byte() -> None:
    read = read_text(STORY)
    assert read.findings == ()
    assert read.story is not None
    line = read.story.sections[0].items[0]
    assert isinstance(line, Line)
    assert line.translations == (
        Translation("pl", "Wiosłuj, latarnio"),
        Translation("ur", "لالٹین چلاؤ"),
    )
    assert write_story(read.story) == STORY


def test_a_tag_of_no_language_is_told_where_it_stands() -> None:
    read = read_text(STORY.replace("pl:", "polish:"))
    (found,) = read.findings
    assert found.code == "no-language"
    assert found.span is not None
    assert found.span.line == 8
    assert "`pl` for Polish" in found.remedy


def test_tags_are_those_of_the_register() -> None:
    # RFC 5646 (BCP 47), its examples in appendix A, and tags it calls not valid
    for tag in ("de", "fr", "zh-Hant", "sr-Latn-RS", "de-DE", "es-419", "sl-rozaj", "cy-GB"):
        assert is_language(tag), tag
    for tag in ("de-419-DE", "a-DE", "polish", "", "x", "p l", "пл", "ar-a-aaa-b-bbb-a-ccc"):
        assert not is_language(tag), tag


def test_two_letters_are_a_language_where_the_register_says_so() -> None:
    for tag in map("".join, product(ascii_letters, repeat=2)):
        assert is_language(tag) == langcodes.tag_is_valid(tag), tag


def test_words_in_polish_are_read_without_the_whole_register() -> None:
    read = "from tapscore.storyfile.read import read_text; assert not read_text(text).findings"
    done = f"import sys; text = sys.stdin.read(); {read}; assert 'langcodes' not in sys.modules"
    subprocess.run([sys.executable, "-c", done], input=STORY.encode(), check=True)
