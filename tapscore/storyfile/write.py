"""Write a story file, keeping all of an earlier text that need not change."""

from contextlib import suppress

from tapscore.model.story import Story
from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Doc, ListDoc, NamedDoc
from tapscore.storyfile.origins import BlockOrigin, block_origin
from tapscore.storyfile.read import read_text
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.splice import Splicer
from tapscore.wording.catalogue import say

LEFT_OVER = f"\n# {say('This stood in the file before it was laid out anew:')}\n"


def write_story(story: Story) -> str:
    """The text of ``story``: the text it was read from with only the changes spliced in.

    The text hangs on the story alone, with the origins its things carry, so a step back past a
    save gives the bytes of before.  Should a splice ever not read back as the story (seen where a
    file says one name twice, and the first is deleted), the story is written anew, and all that
    stood in the old text and nowhere in the new one is kept below it, as comments.
    """
    spliced = spliced_text(story)
    if spliced is not None:
        return spliced
    origin = block_origin(story)
    text = fresh_text(to_document(story))
    return text if origin is None else _with_all_of(origin.source.text, text)


def spliced_text(story: Story) -> str | None:
    """The text a story was read from with the changes spliced in; None where there is none."""
    origin = block_origin(story)
    if origin is None:
        return None
    new = to_document(story)
    if origin.doc == new:
        return origin.source.text
    try:
        text = Splicer(origin.source).splice(origin.doc, new)
    except (IndexError, ValueError):
        return None  # laid out in a way that nobody thought of
    return text if _says(text, story, new) else None


class PartOrigins:
    """Where the parts of documents came from, for a document put together from such parts."""

    def __init__(self, *docs: Doc) -> None:
        self._docs = docs  # kept, so that no id comes twice
        self._known: dict[int, BlockOrigin | None] = {}
        for doc in docs:
            self._note(doc)

    def replaces(self, new: Doc, old: Doc | None) -> None:
        """``new`` stands where ``old`` stood."""
        if old is not None and self._known.get(id(old)) is not None:
            self._known[id(new)] = self._known[id(old)]
            self._docs = (*self._docs, new)

    def story(self, doc: dict[str, Doc], base: Story) -> Story | None:
        """The story that ``doc`` says, written into the text of ``base``."""
        origin = block_origin(base)
        text: str | None = None
        if origin is not None:
            with suppress(IndexError, ValueError):
                text = Splicer(origin.source).splice(origin.doc, self._in_record(doc))
        wanted = read_text(fresh_text(doc)).story
        said = read_text(text).story if text is not None else None
        return said if said == wanted else wanted

    def _note(self, doc: Doc) -> None:
        if isinstance(doc, ListDoc):
            self._known.update((id(d), o) for d, o in zip(doc, doc.origins, strict=True))
        for each in doc if isinstance(doc, list) else doc.values() if isinstance(doc, dict) else ():
            self._note(each)

    def _in_record(self, doc: dict[str, Doc]) -> dict[str, Doc]:
        pairs = ((key, self._with_origins(each)) for key, each in doc.items())
        return NamedDoc(pairs) if isinstance(doc, NamedDoc) else dict(pairs)

    def _with_origins(self, doc: Doc) -> Doc:
        if isinstance(doc, dict):
            return self._in_record(doc)
        if isinstance(doc, ListDoc):
            origins = [self._known.get(id(each)) for each in doc]
            return ListDoc(map(self._with_origins, doc), origins)
        return doc


def fresh_text(doc: dict[str, Doc]) -> str:
    """A document as a new file, with room between its sections."""
    parts: list[str] = []
    for key, value in doc.items():
        text = emit.entry(key, value, 0)
        parts.append(f"\n{text}" if "\n" in text else text)
    return "\n".join(parts) + "\n"


def _says(text: str, story: Story, wanted: dict[str, Doc]) -> bool:
    """Whether a text reads back as a story, or just as a new file of it would."""
    said = read_text(text).story
    if said == story or said is None:
        return said is not None
    found = _without_unread(to_document(said))
    if found == _without_unread(wanted):
        return True
    anew = read_text(fresh_text(wanted)).story
    return anew is not None and found == _without_unread(to_document(anew))


def _without_unread(doc: Doc) -> Doc:
    """A document with the text of what was never understood left out of the comparison."""
    if isinstance(doc, list):
        return [_without_unread(each) for each in doc]
    if isinstance(doc, NamedDoc):
        return NamedDoc((key, _without_unread(each)) for key, each in doc.items())
    if isinstance(doc, dict):
        return {key: "" if key == "" else _without_unread(each) for key, each in doc.items()}
    return doc


def _with_all_of(old: str, text: str) -> str:
    """A new text with every line of an old one that it lacks, as comments; the head stays one."""
    lines = old.splitlines()
    count = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    there = {line.strip() for line in text.splitlines()}
    left = [line for line in lines[count:] if line.strip() and line.strip() not in there]
    head = "".join(f"{line}\n" for line in lines[:count])
    rest = "".join(f"{'' if line.lstrip().startswith('#') else '# '}{line}\n" for line in left)
    return f"{head}{text}{LEFT_OVER}{rest}" if rest else head + text
