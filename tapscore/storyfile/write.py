"""Write a story file, keeping all of an earlier text that need not change."""

from tapscore.model.story import Story
from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Doc
from tapscore.storyfile.read import StoryText, read_text
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.splice import Splicer


def write_story(story: Story, original: StoryText | None = None) -> str:
    """The text of ``story``; with ``original``, its text with only the changes spliced in.

    Should a splice ever not read back as the story, the story is written anew under the
    kept head comment: what the teacher wrote comes before how it was laid out.
    """
    new = to_document(story)
    if original is None or original.root is None or original.story is None:
        return fresh_text(new)
    old = to_document(original.story)
    if old == new:
        return original.text
    text = Splicer(original.text, original.root).splice(old, new)
    back = read_text(text)
    if back.story is not None and to_document(back.story) == new:
        return text
    return _head_comment(original.text) + fresh_text(new)


def fresh_text(doc: dict[str, Doc]) -> str:
    """A document as a new file, with room between its sections."""
    parts: list[str] = []
    for key, value in doc.items():
        text = emit.entry(key, value, 0)
        parts.append(f"\n{text}" if "\n" in text else text)
    return "\n".join(parts) + "\n"


def _head_comment(text: str) -> str:
    lines = text.splitlines(keepends=True)
    count = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return "".join(lines[:count])
