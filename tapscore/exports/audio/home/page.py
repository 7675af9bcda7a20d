"""The page for a family's phone: sound and words inside it, one large button, nothing by itself."""

import base64
from collections.abc import Callable, Iterator, Mapping
from html import escape
from pathlib import Path
from string import Template

from tapscore.exports.audio.home.pieces import HomePiece, HomeStory
from tapscore.exports.audio.tags import one_line
from tapscore.exports.audio.versions.version import SoundVersion
from tapscore.exports.audio.web_page import for_script, kept_apart, page_file
from tapscore.exports.own_pictures import OwnPictures
from tapscore.exports.paper.home_version import AT_HOME, HOW
from tapscore.exports.paper.text_flow import own
from tapscore.exports.paper.writing_direction import begins_from_right
from tapscore.model.story import Prop, Story
from tapscore.wording.catalogue import language, say

PAGE_NAME = "at-home.html"
_TYPES = {".mp3": "audio/mpeg", ".m4a": "audio/mp4"}


def home_page(
    story: Story,
    told: HomeStory,
    files: Mapping[SoundVersion, Path],
    pictures: OwnPictures,
) -> Iterator[str]:
    """The page as HTML, whole in itself, in pieces; ``files`` are the sounds, in order.

    A sound is read when its piece is asked for: an hour of them takes 80 MB of letters.
    """
    place = {version: at for at, version in enumerate(files)}
    apart = kept_apart(story)
    data = {
        "sounds": [],
        "choices": [
            *(
                {
                    "name": apart(name),
                    "pieces": [_piece(piece, place, apart) for piece in pieces],
                    "refrain": True,
                }
                for name, pieces in told.refrains
            ),
            {
                "name": say("The whole story"),
                "pieces": [_piece(piece, place, apart) for piece in told.whole],
                "refrain": False,
            },
        ],
        "words": _words(),
        "language": _spoken(story),
    }
    said = {
        "title": escape(one_line(story.title) or say("Story")),
        "language": escape(language(), quote=True),
        "spoken": escape(_spoken(story), quote=True),
        "subtitle": escape(say("A story to tap together at home")),
        "before": escape(say("Before you begin")),
        "to_know": "\n".join(f"<p>{escape(one_line(each))}</p>" for each in _before()),
        "things": _things(story, pictures),
        "choose": escape(say("What to hear")),
        "now": escape(say("What is told")),
        "back": escape(say("Back")),
        "once_more": escape(say("Once more")),
        "style": page_file("home_page", "style.css"),
        "script": page_file("home_page", "script.js"),
    }
    before, after = map(Template, page_file("home_page", "page.html").split("$data"))
    # the sounds come first in the data: no list and no words before theirs can be empty brackets
    first, empty, rest = for_script(data).partition("[]")
    yield before.substitute(said) + first + empty[0]
    for at, file in enumerate(files.values()):
        head = f'{", " if at else ""}{{"type": "{_TYPES[file.suffix]}", "data": "'
        yield f'{head}{base64.b64encode(file.read_bytes()).decode()}"}}'
    yield empty[1] + rest + after.substitute(said)


def _before() -> Iterator[str]:
    yield say(
        "Listen once by yourself. Your own voice and hands are what your child knows best: "
        "tell it yourself as soon as you know how it goes."
    )
    yield say(
        "Nothing plays by itself. The sound stops at every wait, and goes on when you press. "
        "Begin with it turned low; lay the phone aside, never on the tray or at an ear."
    )
    yield from HOW
    yield say("Ask your child’s teacher, nurse or therapist before trying anything new.")


def _words() -> dict[str, str]:
    """What the button and the page say."""
    return {
        "play": say("Play"),
        "pause": say("Pause"),
        "on": say("Go on"),
        "again": say("From the beginning"),
        "first": say("First: {what}", what="{}"),
        "end": say("The end. Rest together."),
        "rest": say("Rest together. Play it again when you are both ready."),
        "stops": say("Here the sound stops."),
        "next": say("Then:"),
        "place": say("{number} of {count}", number="{}", count="{}"),
        "trouble": say(
            "The sound can't be played here. Open this page in the phone's own browser, or play "
            "the sound files of the folder “pieces”."
        ),
    }


def _piece(
    piece: HomePiece, place: dict[SoundVersion, int], apart: Callable[[str], str]
) -> dict[str, object]:
    return {
        "sound": None if piece.version is None else place[piece.version],
        "first": apart(piece.first),
        "then": [apart(each) for each in piece.then],
        "lines": [
            {
                "words": one_line(line.words) or say("(taps without words)"),
                "notes": [apart(note) for note in line.notes],
                "in": [
                    {"lang": each.tag, "dir": _direction(each.words), "words": one_line(each.words)}
                    for each in line.translations
                ],
            }
            for line in piece.lines
        ],
    }


def _direction(words: str) -> str:
    return "rtl" if begins_from_right(words) else "ltr"


def _things(story: Story, pictures: OwnPictures) -> str:
    """What to find at home, each with its picture and what to mind; nothing for no props."""
    listed = "\n".join(_listed(story, pictures))
    head = escape(say("Things to find"))
    return f'<h3>{head}</h3>\n<ul class="things">\n{listed}\n</ul>' if listed else ""


def _listed(story: Story, pictures: OwnPictures) -> Iterator[str]:
    spoken = _spoken(story)
    for prop in story.props:
        at_home = prop.instead or prop.what or prop.name
        said = say("at home {thing}", thing=own(one_line(at_home)))
        mind = " ".join(AT_HOME[word] for word in prop.cautions if word in AT_HOME)
        yield (
            f'<li>{_picture(prop, pictures)}<span><b lang="{escape(spoken, quote=True)}">'
            f"{escape(own(one_line(prop.name)))}</b>, {escape(said)}. {escape(mind)}</span></li>"
        )


def _picture(prop: Prop, pictures: OwnPictures) -> str:
    own = pictures.of(prop.picture)
    if own is None:
        return ""
    inside = base64.b64encode(own.jpeg).decode()
    return f'<img alt="" src="data:image/jpeg;base64,{inside}">'


def _spoken(story: Story) -> str:
    return story.language or "en-GB"
