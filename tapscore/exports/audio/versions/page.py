"""The page that plays a set of versions: one file, no network, big buttons, the words shown."""

import base64
from collections.abc import Callable, Sequence
from html import escape
from itertools import groupby
from string import Template

from attrs import frozen

from tapscore.exports.audio.cues import CueKind, cues
from tapscore.exports.audio.tags import one_line
from tapscore.exports.audio.versions.version import SoundVersion, VersionKind, pause_words
from tapscore.exports.audio.web_page import for_script, kept_apart, page_file
from tapscore.exports.paper.fonts import BOLD, REGULAR, font_path
from tapscore.model.story import Story
from tapscore.model.words import printed
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.rhythm.role_view import RoleView, own_words
from tapscore.wording.catalogue import language, say

FOR_ADULTS = say(
    "For adults who want to feel where taps arrive, before pupils are there. A speaker gives no "
    "warning and sees nobody: it stops at every wait, every turn and before every line with a "
    "warning, until somebody goes on. It takes nobody's place at the board."
)


PAGE_TEXTS = {
    "rehearse": say("rehearse"),
    "choose": say("Choose what to hear, then press Play. Nothing plays by itself."),
    "nothing": say("Nothing chosen yet"),
    "play": say("Play"),
    "back": say("Back 5 s"),
    "before": say("Line before"),
    "next": say("Next line"),
    "again": say("Again and again: off"),
    "place": say("Where"),
    "keys": say(
        "Keys: space plays and pauses, left goes back 5 seconds, up and down go a line, "
        "L plays again and again."
    ),
}
SCRIPT_TEXTS = {
    "mine": say("my part"),
    "cannot": say(
        "This sound can't be played. Look whether the folder “sound” still stands beside this "
        "page, and copy the whole set again if not."
    ),
    "loops": say("Again and again: on"),
    "once": say("Again and again: off"),
    "of": say("TIME of WHOLE"),
    "play": say("Play"),
    "pause": say("Pause"),
}
"""What the page's script says; ``TIME`` and ``WHOLE`` are clocks."""


_Apart = Callable[[str], str]


@frozen
class ShownLine:
    """A line, wait or offering as shown, with when it begins."""

    start_sec: float
    label: str
    """Its number, the refrain's name, or nothing."""
    words: str
    notes: tuple[tuple[str, str], ...]
    """What comes before it: ``warn``, ``prop`` or, in one's own part, ``do``, and the words."""
    mine: bool
    """Whether the adult whose part it is has something to do here."""
    kind: str


@frozen
class PageEntry:
    """One sound file with what is shown for it."""

    kind: VersionKind
    title: str
    source: str
    loops: bool
    role: str
    rows: tuple[ShownLine, ...]
    length_sec: float


def page_entry(
    version: SoundVersion, performance: Performance, source: str, length_sec: float
) -> PageEntry:
    """What the page needs to know of one version."""
    notes: dict[int, list[tuple[str, str]]] = {}
    for cue in cues(performance):
        if cue.kind not in (CueKind.SECTION, CueKind.WAIT, CueKind.OFFER):
            kind = "warn" if cue.kind is CueKind.WARN_FIRST else "prop"
            notes.setdefault(cue.segment, []).append((kind, one_line(cue.text)))
    names = iter(version.line_names or ())
    rows: list[ShownLine] = []
    for index, segment in enumerate(performance.segments):
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        label = ""
        if segment.kind is SegmentKind.LINE:
            name = next(names, None)
            label = name.lstrip("0") if name else _label(segment)
        rows.append(
            ShownLine(
                segment.start_sec,
                label,
                _words(segment),
                (*notes.get(index, ()), *_own(version, segment)),
                version.role is None or RoleView(version.story, version.role).involved_in(segment),
                segment.kind.value,
            )
        )
    if version.then:
        stop = say("It stops here. {then}. Go on when everybody is ready.", then=version.then)
        rows.append(ShownLine(length_sec, "", one_line(stop), (), True, SegmentKind.WAIT.value))
    return PageEntry(
        version.kind,
        version.title,
        source,
        version.loops,
        version.role or "",
        tuple(rows),
        length_sec,
    )


def _own(version: SoundVersion, segment: Segment) -> tuple[tuple[str, str], ...]:
    """What the adult whose part it is does besides tapping."""
    if version.role is None:
        return ()
    words = own_words(RoleView(version.story, version.role), segment)
    return tuple(("do", one_line(each)) for each in words)


def index_page(story: Story, entries: Sequence[PageEntry]) -> str:
    """The page as HTML; sounds are named relative to it, everything else is inside it."""
    apart = kept_apart(story)
    title = escape(apart(story.title) or say("Story"))
    parts = [
        _group(kind, list(group), apart) for kind, group in groupby(enumerate(entries), _kind_of)
    ]
    written = "en-GB" if language() == "en" else language().replace("_", "-")
    return Template(page_file("rehearsal_page", "page.html")).substitute(
        title=title,
        language=escape(story.language or written, quote=True),
        texts=for_script(SCRIPT_TEXTS),
        **{name: escape(said, quote=False) for name, said in PAGE_TEXTS.items()},
        fonts=_fonts(),
        style=page_file("rehearsal_page", "style.css"),
        groups="\n".join(parts),
        data=for_script([_data(entry, apart) for entry in entries]),
        script=page_file("rehearsal_page", "script.js"),
    )


def _kind_of(pair: tuple[int, PageEntry]) -> VersionKind:
    return pair[1].kind


def _group(kind: VersionKind, pairs: list[tuple[int, PageEntry]], apart: _Apart) -> str:
    buttons = "\n".join(_button(index, entry, apart) for index, entry in pairs)
    lines = " lines" if kind is VersionKind.LINE else ""
    note = f"<p>{escape(FOR_ADULTS, quote=False)}</p>\n" if kind is VersionKind.TAPS else ""
    heading = escape(kind.heading, quote=False)
    return (
        f'<section aria-labelledby="h-{kind.name}">\n<h2 id="h-{kind.name}">{heading}</h2>\n'
        f"{note}"
        f'<div class="choices{lines}">\n{buttons}\n</div>\n</section>'
    )


def _button(index: int, entry: PageEntry, apart: _Apart) -> str:
    title = escape(
        apart(entry.title.lstrip("0") if entry.kind is VersionKind.LINE else entry.title)
    )
    words = ""
    if entry.kind is VersionKind.LINE:
        words = f'<span class="said" dir="auto">{escape(entry.rows[0].words)}</span>'
    return (
        f'<button type="button" data-entry="{index}" aria-pressed="false">'
        f'<span class="name" dir="auto">{title}</span>{words}</button>'
    )


def _data(entry: PageEntry, apart: _Apart) -> dict[str, object]:
    return {
        "title": apart(entry.title),
        "kind": entry.kind.heading,
        "source": entry.source,
        "loops": entry.loops,
        "stops": entry.kind is VersionKind.TAPS,
        "role": one_line(entry.role),
        "length": round(entry.length_sec, 2),
        "rows": [
            {
                "at": round(row.start_sec, 2),
                "label": row.label,
                "words": row.words if row.kind == SegmentKind.LINE.value else apart(row.words),
                "notes": [(kind, apart(note)) for kind, note in row.notes],
                "mine": row.mine,
                "kind": row.kind,
            }
            for row in entry.rows
        ],
    }


def _label(segment: Segment) -> str:
    return segment.refrain or (str(segment.number) if segment.number else "")


def _words(segment: Segment) -> str:
    if segment.line is not None:
        return one_line(printed(segment.line.words)) or say("(taps without words)")
    return one_line(pause_words(segment))


def _fonts() -> str:
    faces = []
    for name, weight in ((REGULAR, 400), (BOLD, 700)):
        path = font_path(name)
        if path is not None:
            inside = base64.b64encode(path.read_bytes()).decode()
            faces.append(
                "@font-face{font-family:Story;font-weight:"
                f"{weight};src:url(data:font/ttf;base64,{inside})}}"
            )
    return "\n".join(faces)
