"""A swap pack: one file with a story, its pictures and papers, for another school."""

import hashlib
import json
import tempfile
import zipfile
from pathlib import Path

from tapscore.disc.reading import read_bounded
from tapscore.disc.whole import write_whole
from tapscore.exports.audio.voice.recordings import RECORDED_SUFFIXES, WORDS_FILE, words_note
from tapscore.exports.own_pictures import MOST_BYTES as MOST_PICTURE_BYTES
from tapscore.exports.photo_data import PhotoDataError, without_photo_data
from tapscore.model.story import Story
from tapscore.storyfile.read import StoryText, read_text
from tapscore.wording.catalogue import say
from tapscore.workflow.belongings import picture_names
from tapscore.workflow.export_story import export_story
from tapscore.workflow.names import is_for_every_system, slug
from tapscore.workflow.next_year import NextYear, next_year
from tapscore.workflow.paper_products import PAPER_EXPORTS
from tapscore.workflow.product import Choices
from tapscore.workflow.recording_lines import lines_to_record

VERSION = 1
MANIFEST = "pack.json"
ABOUT = "tapscore pack"
PAPERS = ("part-sheets", "cue-cards", "cue-sheet", *(export.name for export in PAPER_EXPORTS))
NOT_SWAPPED = ("observation-slips", "session-plan")


class PackError(Exception):
    """Why a pack can't be made or opened, in a sentence, with what to do."""


def for_others(source: StoryText, story: Story) -> NextYear:
    """The story as another school gets it: what goes of itself, and what is asked about."""
    copy = next_year(source, story)
    gone = list(copy.gone)
    doc = dict(copy.doc)
    for key, word in (("class", say("Class")), ("next year", say("To change next year"))):
        said = doc.pop(key, None)
        if said is not None:
            gone.append((word, said if isinstance(said, str) else ", ".join(map(str, said))))
    traces = tuple(trace for trace in copy.traces if trace.path[0] in doc)
    return NextYear(tuple(gone), traces, doc)


def make_pack(path: Path, text: str, *, beside: Path, recordings: Path | None = None) -> None:
    """Write a pack of the story that ``text`` says; ``recordings`` is their folder, if wished.

    Pictures are taken from the folder ``beside``, without the place and time in them.  Raises
    OSError, and PackError where papers can't be made.
    """
    story = read_text(text).story
    assert story is not None
    name = slug(story.title)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
        _put_pictures(story, beside, folder)
        if recordings is not None:
            _put_recordings(story, recordings, folder / f"{name} recordings")
        papers = tuple(each for each in PAPERS if each not in NOT_SWAPPED)
        made = export_story(story, folder / "papers", only=papers, choices=Choices(beside=folder))
        if made.failures:
            raise PackError(say("The pack was not made: {failures}", failures=made.failures[0]))
        files = sorted(
            each for each in folder.rglob("*") if each.is_file() and not each.name.startswith(".")
        )
        names = {each: each.relative_to(folder).as_posix() for each in files}
        for each in files:
            if not is_for_every_system(each.name):
                raise PackError(
                    say(
                        "The pack was not made: not every computer takes a file called {name}. "
                        "Give it another name.",
                        name=each.name,
                    )
                )
        manifest = {
            ABOUT: VERSION,
            "title": story.title,
            "files": {names[each]: _digest(each) for each in files},
        }

        def write(unfinished: Path) -> None:
            with zipfile.ZipFile(unfinished, "w", zipfile.ZIP_DEFLATED) as pack:
                pack.writestr(MANIFEST, json.dumps(manifest, indent=1, ensure_ascii=False))
                for each in files:
                    pack.write(each, names[each])

        write_whole(path, write)


def _put_pictures(story: Story, beside: Path, folder: Path) -> None:
    from tapscore.exports.own_pictures import OwnPictures

    pictures = OwnPictures(beside)
    for name in picture_names(story):
        if pictures.of(name) is not None:
            try:
                plain = without_photo_data(read_bounded(beside / name, MOST_PICTURE_BYTES))
            except PhotoDataError as error:
                raise PackError(
                    say(
                        "The pack was not made: {name} can't be put in without where and when "
                        "it was taken, because {why}. Save it anew from a picture program.",
                        name=name,
                        why=error,
                    )
                ) from error
            (folder / name).write_bytes(plain)


def _put_recordings(story: Story, recordings: Path, folder: Path) -> None:
    """The voices of the story's lines, without who, where and when a phone wrote into them.

    What was recorded for other words stays behind, and which words each says goes along.
    """
    import soundfile  # type: ignore[import-untyped]

    from tapscore.exports.audio.plain_sound import copy_plain_sound
    from tapscore.exports.audio.voice.decode import RecordingUnusable, whole_recording

    folder.mkdir()
    words: dict[str, str] = {}
    for line in lines_to_record(story, recordings):
        if line.file is None:
            continue
        try:
            if line.file.suffix.lower() in RECORDED_SUFFIXES:
                to = folder / line.file.name
                copy_plain_sound(line.file, to)
            else:
                to = folder / f"{line.file.name}.wav"
                soundfile.write(to, *whole_recording(line.file), subtype="PCM_16")
        except (ValueError, RecordingUnusable) as error:
            raise PackError(
                say(
                    "The pack was not made: {why}. Leave recordings out, or record it anew.",
                    why=error,
                )
            ) from error
        words[to.name] = " ".join(line.words.split())
    (folder / WORDS_FILE).write_text(words_note(words), encoding="utf-8")


def _digest(path: Path) -> str:
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()
