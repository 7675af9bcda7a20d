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
    spliced = spliced_text(story, original) if original is not None else None
    if spliced is not None:
        return spliced
    head = _head_comment(original.text) if original is not None else ""
    return head + fresh_text(to_document(story))


def spliced_text(story: Story, original: StoryText) -> str | None:
    """The original text with the changes spliced in; None where that can't be done."""
    if original.root is None or original.story is None:
        return None
    old, new = to_document(original.story), to_document(story)
    if emit.inline(old) == emit.inline(new):
        return original.text
    try:
        text = Splicer(original.text, original.root).splice(old, new)
    except (IndexError, ValueError):
        return None  # laid out in a way that nobody thought of
    return text if _says(text, new) else None


def fresh_text(doc: dict[str, Doc]) -> str:
    """A document as a new file, with room between its sections."""
    parts: list[str] = []
    for key, value in doc.items():
        text = emit.entry(key, value, 0)
        parts.append(f"\n{text}" if "\n" in text else text)
    return "\n".join(parts) + "\n"


def _says(text: str, wanted: dict[str, Doc]) -> bool:
    """Whether a text reads back as a document, or just as a new file of it would."""
    said = _understood(text)
    return said is not None and (
        said == emit.inline(_without_unread(wanted)) or said == _understood(fresh_text(wanted))
    )


def _understood(text: str) -> str | None:
    story = read_text(text).story
    return None if story is None else emit.inline(_without_unread(to_document(story)))


def _without_unread(doc: Doc) -> Doc:
    """A document with the text of what was never understood left out of the comparison."""
    if isinstance(doc, list):
        return [_without_unread(each) for each in doc]
    if isinstance(doc, dict):
        return {key: "" if key == "" else _without_unread(each) for key, each in doc.items()}
    return doc


def _head_comment(text: str) -> str:
    lines = text.splitlines(keepends=True)
    count = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return "".join(lines[:count])
