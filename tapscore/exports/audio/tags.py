"""What a sound file says about itself: title, role, chapters and a cover picture."""

from collections.abc import Iterator

from attrs import frozen

from tapscore.rhythm.performance import Performance
from tapscore.wording.catalogue import say

MAKER = "tapscore"


@frozen
class Chapter:
    """A section with its place in the file."""

    start_sec: float
    end_sec: float
    title: str


@frozen
class Tags:
    """Told inside a file."""

    title: str
    story: str
    """Shown as the album."""
    role: str = ""
    """Shown as the artist."""
    track: int | None = None
    chapters: tuple[Chapter, ...] = ()
    cover_png: bytes = b""


def one_line(text: str) -> str:
    """Without line breaks and signs that no tag can hold."""
    plain = text.encode("utf-8", "replace").decode()
    return " ".join("".join(c if c.isprintable() else " " for c in plain).split())


def chapters(performance: Performance, length_sec: float) -> tuple[Chapter, ...]:
    """A chapter for each titled section; what comes before the first belongs to it."""
    starts: list[tuple[float, str]] = []
    for segment in performance.segments:
        if segment.section and (not starts or starts[-1][1] != segment.section):
            starts.append((segment.start_sec, segment.section))
    begins = [0.0, *(start for start, _ in starts[1:])]
    ends = [*begins[1:], length_sec]
    return tuple(map(Chapter, begins, ends, (one_line(title) for _, title in starts)))


def ffmetadata(tags: Tags, *, chapters_as_comments: bool = False) -> str:
    """The tags and chapters as ffmpeg's own text file of metadata, version 1.

    ``chapters_as_comments`` gives each chapter as two comments (``CHAPTER001`` and
    ``CHAPTER001NAME``), as Ogg and FLAC files hold them; ffmpeg does not do so itself.
    """
    told = {
        "title": tags.title,
        "album": tags.story,
        "artist": tags.role or MAKER,
        "genre": say("Rehearsal"),
        "track": str(tags.track or ""),
        "encoded_by": MAKER,
    }
    lines = [";FFMETADATA1"]
    lines += [f"{key}={_escaped(one_line(value))}" for key, value in told.items() if value]
    if chapters_as_comments:
        return "\n".join([*lines, *_comments(tags.chapters)]) + "\n"
    for chapter in tags.chapters:
        lines += [
            "[CHAPTER]",
            "TIMEBASE=1/1000",
            f"START={round(chapter.start_sec * 1000)}",
            f"END={round(chapter.end_sec * 1000)}",
            f"title={_escaped(chapter.title)}",
        ]
    return "\n".join(lines) + "\n"


def _comments(chapters: tuple[Chapter, ...]) -> Iterator[str]:
    for count, chapter in enumerate(chapters, 1):
        minutes, millis = divmod(round(chapter.start_sec * 1000), 60_000)
        clock = f"{minutes // 60:02d}:{minutes % 60:02d}:{millis / 1000:06.3f}"
        yield f"CHAPTER{count:03d}={clock}"
        yield f"CHAPTER{count:03d}NAME={_escaped(chapter.title)}"


def _escaped(text: str) -> str:
    return "".join(f"\\{sign}" if sign in "=;#\\\n" else sign for sign in text)
