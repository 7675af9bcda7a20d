"""A swap pack of another school, looked into and opened.

What is read of one is bounded, and nothing in it can lead out of the folder it is opened into: no
absolute name, no ``..`` (CWE-22, "Zip Slip"), no link, no two entries of one name, no archive in
the archive, no more than is stated (CWE-409; bombs such as 42.zip, and those with overlapping
entries: Fifield, WOOT 2019).
"""

import hashlib
import json
import stat
import unicodedata
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from attrs import frozen

from tapscore.exports.audio.voice.recordings import RECORDED_SUFFIXES
from tapscore.wording.catalogue import say
from tapscore.workflow.names import STORY_ENDINGS, is_for_every_system, slug
from tapscore.workflow.swap_pack import ABOUT, MANIFEST, VERSION, PackError
from tapscore.workflow.whole_files import write_whole_folder

MOST_FILES = 2000
MOST_BYTES = 600_000_000
"""Of everything, unpacked."""
MOST_FILE_BYTES = 200_000_000
MOST_MANIFEST_BYTES = 1_000_000
SHARE_PACKED = 200
"""A file that would grow more than so many times is no sound, picture or paper."""
KINDS = (
    *STORY_ENDINGS,
    *(".pdf", ".txt", ".png", ".jpg", ".jpeg", ".heic", ".heif"),
    *RECORDED_SUFFIXES,
)
ARCHIVES = (b"PK\x03\x04", b"\x1f\x8b", b"7z\xbc\xaf", b"Rar!", b"BZh", b"\xfd7zXZ", b"MSCF")
_PART = 1 << 20


@frozen
class Packed:
    """One file of a pack."""

    name: str
    size: int


@frozen
class PackContents:
    """What is in a pack, looked at before anything is written."""

    path: Path
    title: str
    files: tuple[Packed, ...]


def look_into(path: Path) -> PackContents:
    """What is in a pack; raises PackError for one that must not be opened, and OSError."""
    with _opened(path) as pack:
        manifest = _manifest(pack)
        files = tuple(_checked(pack))
        listed = manifest.get("files")
        title = manifest.get("title")
        if not isinstance(listed, dict) or not isinstance(title, str):
            raise PackError(
                say("{file} says nothing of what is in it: ask for it again.", file=path.name)
            )
        missing = {each.name for each in files} ^ set(map(str, listed))
        if missing:
            raise PackError(
                say(
                    "{file} doesn't hold what it says ({missing}): ask for it again.",
                    file=path.name,
                    missing=min(missing),
                )
            )
        return PackContents(path, " ".join(title.split()), files)


def open_pack(contents: PackContents, folder: Path) -> Path:
    """Write a pack's files into a new folder in ``folder``; gives the story file.

    Everything is written or nothing.  Raises PackError and OSError.
    """
    target = folder / (slug(contents.title) or "story")
    if target.exists():
        raise PackError(
            say("{target} is already there: move it away, or choose another folder.", target=target)
        )
    stories: list[str] = []

    def fill(unfinished: Path) -> None:
        with _opened(contents.path) as pack:
            listed = _manifest(pack).get("files")
            digests = listed if isinstance(listed, dict) else {}
            for each in _checked(pack):
                to = unfinished.joinpath(*PurePosixPath(each.name).parts)
                to.parent.mkdir(parents=True, exist_ok=True)
                digest = _unpacked(pack, each, to)
                if digests.get(each.name) != digest:
                    raise PackError(
                        say("{name} is damaged in the pack: ask for it again.", name=each.name)
                    )
                if "/" not in each.name and to.suffix in STORY_ENDINGS:
                    stories.append(each.name)

    folder.mkdir(parents=True, exist_ok=True)
    write_whole_folder(target, fill)
    return target / stories[0] if stories else target


def _opened(path: Path) -> zipfile.ZipFile:
    if not path.is_file() and path.exists():  # a pipe would be waited for
        raise PackError(say("{file} is no file. Choose a swap pack.", file=path.name))
    try:
        return zipfile.ZipFile(path)
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as error:
        raise PackError(
            say("{file} is no swap pack, or is damaged: ask for it again.", file=path.name)
        ) from error


def _manifest(pack: zipfile.ZipFile) -> dict[str, object]:
    try:
        info = pack.getinfo(MANIFEST)
        if info.file_size > MOST_MANIFEST_BYTES or info.flag_bits & 1:
            raise PackError(say("What the pack says of itself is too long: don't open it."))
        with pack.open(info) as file:
            said = json.loads(file.read(MOST_MANIFEST_BYTES + 1))
    except KeyError as error:
        raise PackError(say("This archive is no swap pack of tapscore's.")) from error
    except (ValueError, RecursionError, zipfile.BadZipFile, OSError, EOFError) as error:
        raise PackError(
            say("What the pack says of itself can't be read: ask for it again.")
        ) from error
    version = said.get(ABOUT) if isinstance(said, dict) else None
    if not isinstance(version, int):
        raise PackError(say("This archive is no swap pack of tapscore's."))
    if version > VERSION:
        raise PackError(
            say("The pack was made by a newer tapscore: update tapscore, then open it.")
        )
    return dict(said)


def _checked(pack: zipfile.ZipFile) -> Iterator[Packed]:
    """The files of a pack, each name and size found harmless."""
    infos = [info for info in pack.infolist() if info.filename != MANIFEST]
    if len(infos) + 1 != len(pack.infolist()):
        raise PackError(say("The pack says twice what is in it: don't open it."))
    if len(infos) > MOST_FILES:
        raise PackError(
            say(
                "The pack holds more than {most:,} files: don't open it.",
                most=MOST_FILES,
            )
        )
    if sum(info.file_size for info in infos) > MOST_BYTES:
        raise PackError(say("The pack would fill the disc: don't open it."))
    seen: set[str] = set()
    for info in infos:
        why = _harm(info, seen)
        if why:
            raise PackError(
                say(
                    "“{filename}” in the pack {why}: don't open it.",
                    filename=info.filename[:60],
                    why=why,
                )
            )
        seen.add(_as_discs_see_it(info.filename))
        yield Packed(info.filename, info.file_size)


def _harm(info: zipfile.ZipInfo, seen: set[str]) -> str:
    """What is wrong with an entry; empty for nothing."""
    name, parts = info.filename, info.filename.split("/")
    if name.startswith("/") or any(
        part in ("", ".", "..") or part != part.strip() for part in parts
    ):
        return say("leads out of the pack")
    if len(name) > 200 or not all(map(is_for_every_system, parts)):
        return say("has a name no file should have")
    if any(part.startswith(".") for part in parts) or len(parts) > 3:
        return say("is hidden, or lies too deep")
    if stat.S_IFMT(info.external_attr >> 16) not in (0, stat.S_IFREG):
        return say("is a link, not a file")
    if _as_discs_see_it(name) in seen:
        return say("is there twice")
    if PurePosixPath(name).suffix.lower() not in KINDS:
        return say("is no story, picture, paper or sound")
    if info.flag_bits & 1:
        return say("is locked")
    if info.file_size > MOST_FILE_BYTES:
        return say("is far too large")
    if info.file_size > SHARE_PACKED * max(info.compress_size, 100):
        return say("would grow beyond all measure")
    return ""


def _as_discs_see_it(name: str) -> str:
    """Alike for names that are one file on some disc (Unicode's canonical caseless match)."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFD", name).casefold())


def _unpacked(pack: zipfile.ZipFile, file: Packed, to: Path) -> str:
    """Write one file, no more of it than it said; gives its digest."""
    digest, size = hashlib.sha256(), 0
    try:
        with pack.open(file.name) as source, to.open("xb") as target:
            while part := source.read(_PART):
                if not size and part.startswith(ARCHIVES):
                    raise PackError(
                        say("{file} is an archive in the archive: don't open it.", file=file.name)
                    )
                size += len(part)
                if size > file.size:
                    raise PackError(
                        say("{file} is larger than it says: don't open it.", file=file.name)
                    )
                digest.update(part)
                target.write(part)
    except (zipfile.BadZipFile, NotImplementedError, EOFError) as error:
        raise PackError(
            say("{file} is damaged in the pack: ask for it again.", file=file.name)
        ) from error
    return digest.hexdigest()
