"""A program killed (kill -9) in the middle of writing loses nothing that it said was written.

``python -m tests.hostile.kill_while --count 250 --seed 1`` kills so often in each of saving,
saving over a second name, exporting, keeping and recording.  After each kill the files must be
whole, at least as new as what was last reported, and usable as before; then one more run must
leave nothing hidden lying about.
"""

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from attrs import frozen

from tapscore.disc.whole import finish_interrupted
from tapscore.gui.recovery import RecoveryFolder
from tapscore.model.story import Line, Section, Story
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.workflow.export_story import export_story
from tapscore.workflow.keeping.save_story import Seen, save_story
from tapscore.workflow.keeping.versions import Versions
from tapscore.workflow.recording_lines import keep_take, lines_to_record

Report = Callable[[int], None]
_TIMES = 5
"""A kill comes while it is done for the first to the fifth time, at any moment."""
_RATE_HZ = 8_000


@frozen
class Deed:
    """Something that is done again and again, and what must hold whenever it is broken off."""

    name: str
    again: Callable[[Path, int], None]
    """Do it the so-manyth time, in a folder."""
    look: Callable[[Path, int], None]
    """Raise unless all is there, at least as new as the so-manyth time."""


class LostError(AssertionError):
    """Something is not there that was."""


def _text(number: int) -> str:
    lines = "".join(f"      - words: line {each} of {number}\n" for each in range(400))
    return f"tapscore: 1\ntitle: State {number}\nstory:\n  - section: One\n    lines:\n{lines}"


def _number(text: str) -> int:
    number = int(text.split("title: State ", 1)[1].split("\n", 1)[0])
    if text != _text(number):
        raise LostError("a story that is not whole")
    return number


def _save(folder: Path, number: int) -> None:
    save_story(folder / "a.yaml", _text(number), versions=Versions(folder / "kept"))


def _saved(folder: Path, least: int) -> None:
    finish_interrupted(folder / "a.yaml")
    if not (folder / "a.yaml").exists() and least == 0:
        return
    number = _number((folder / "a.yaml").read_text(encoding="utf-8"))
    if number < least:
        raise LostError(f"state {number} after {least} was saved")
    for version in Versions(folder / "kept").of(folder / "a.yaml"):
        _number(version.data().decode())


def _save_linked(folder: Path, number: int) -> None:
    if not (folder / "b.yaml").exists():
        (folder / "a.yaml").write_text(_text(0), encoding="utf-8")
        os.link(folder / "a.yaml", folder / "b.yaml")
    _save(folder, number)


def _saved_linked(folder: Path, least: int) -> None:
    if not (folder / "b.yaml").exists():
        with suppress(FileNotFoundError):
            (folder / "a.yaml").unlink()
        return
    _saved(folder, least)
    if (folder / "a.yaml").read_bytes() != (folder / "b.yaml").read_bytes():
        raise LostError("the second name is another file")


def _exported_story() -> Story:
    story = read_file(demo_stories()[0]).story
    assert story is not None
    return story


_DEMO = _exported_story()
_ONLY = ("click-guide", "cue-sheet")


def _export(folder: Path, number: int) -> None:
    made = export_story(_DEMO, folder / "out", only=_ONLY)
    if made.failures:
        raise LostError(made.failures[0])


def _exported(folder: Path, least: int) -> None:
    for path in (folder / "out").glob("[!.]*"):
        data = path.read_bytes()
        whole = data.startswith(b"MThd") or data.rstrip().endswith(b"%%EOF")
        if not whole:
            raise LostError(f"{path.name} is not whole")
    _export(folder, least)  # a file of ours is never taken for somebody else's


def _keep(folder: Path, number: int) -> None:
    RUNS[0].keep("window", folder / "a.yaml", _text(number), Seen(None))


RUNS: list[RecoveryFolder] = []


def _kept(folder: Path, least: int) -> None:
    found = RecoveryFolder(folder / "recovery").left_behind()
    if any(left.text is None for left in found):
        raise LostError("kept work that is not whole")
    newest = max((_number(left.text or "") for left in found), default=0)
    if newest < least:
        raise LostError(f"kept work {newest} after {least} was kept")


_SPOKEN = Story("Steps", sections=(Section("One", (Line("Up the steps"), Line("and down"))),))


def _record(folder: Path, number: int) -> None:
    import numpy as np

    sounds = folder / "recordings"
    line = lines_to_record(_SPOKEN, sounds)[number % 2]
    keep_take(sounds, line, np.full(2000 + number, 0.2, np.float32), _RATE_HZ)


def _recorded(folder: Path, least: int) -> None:
    import soundfile  # type: ignore[import-untyped]

    sounds = folder / "recordings"
    lengths = [soundfile.info(path).frames - 2000 for path in sounds.rglob("[!.]*.wav")]
    lost = set(range(1, least + 1)) - set(lengths)
    if lost:
        raise LostError(f"takes {sorted(lost)[:5]} are gone")


DEEDS = (
    Deed("saving", _save, _saved),
    Deed("saving over a second name", _save_linked, _saved_linked),
    Deed("exporting", _export, _exported),
    Deed("keeping", _keep, _kept),
    Deed("recording", _record, _recorded),
)


def kill(deed: Deed, count: int, seed: int, folder: Path) -> int:
    """Kill so often while it is done; how often it had been done at least once before."""
    rng = random.Random(seed)
    longest_sec = _TIMES * _usual_sec(deed)
    met = 0
    for _ in range(count):
        folder.mkdir(exist_ok=True)
        reader, writer = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reader)
            _go_on(deed, folder, writer)
        os.close(writer)
        os.read(reader, 1)  # it has begun
        time.sleep(rng.random() * longest_sec)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        said = b""
        while block := os.read(reader, 65_536):
            said += block
        os.close(reader)
        least = said.count(b".")
        met += least > 0
        deed.look(folder, least)
        for path in sorted(folder.rglob("*"), reverse=True):
            path.unlink() if not path.is_dir() else None
    return met


def _usual_sec(deed: Deed) -> float:
    """How long it takes, once all is loaded."""
    with tempfile.TemporaryDirectory() as folder:
        RUNS[:] = [RecoveryFolder(Path(folder) / "recovery")]
        deed.again(Path(folder), 1)
        begin = time.monotonic()
        for number in (2, 3, 4):
            deed.again(Path(folder), number)
        RUNS[0].let_go()
        return (time.monotonic() - begin) / 3


def _go_on(deed: Deed, folder: Path, writer: int) -> None:
    RUNS[:] = [RecoveryFolder(folder / "recovery")]
    os.write(writer, b"b")
    number = 0
    try:
        while True:
            number += 1
            deed.again(folder, number)
            os.write(writer, b".")
    except BaseException as error:
        print(f"{deed.name}: {error!r}", file=sys.stderr)
    finally:
        os._exit(1)


def leftovers(deed: Deed, count: int, seed: int, folder: Path) -> list[str]:
    """Hidden files left after so many kills in one folder and one more run without."""
    rng = random.Random(seed)
    longest_sec = _TIMES * _usual_sec(deed)
    for _ in range(count):
        child = os.fork()
        if child == 0:
            RUNS[:] = [RecoveryFolder(folder / "recovery")]
            with suppress(BaseException):
                for number in range(1, 10_000):
                    deed.again(folder, number)
            os._exit(1)
        time.sleep(rng.random() * longest_sec)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
    RUNS[:] = [RecoveryFolder(folder / "recovery")]
    deed.again(folder, 1)
    deed.again(folder, 2)
    ours = (".tapscore-part", ".tapscore-before", ".tapscore-after")
    return [path.name for path in folder.rglob(".*") if any(end in path.name for end in ours)]


def main() -> None:
    """By hand."""
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--count", type=int, default=100)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--only", choices=[deed.name for deed in DEEDS])
    said = arguments.parse_args()
    for deed in DEEDS:
        if said.only not in (None, deed.name):
            continue
        begin = time.monotonic()
        with tempfile.TemporaryDirectory() as name:
            met = kill(deed, said.count, said.seed, Path(name) / "a")
            left = leftovers(deed, min(said.count, 50), said.seed, Path(name))
        print(
            f"{deed.name}: {said.count} kills, {met} after at least one was done, nothing lost; "
            f"{len(left)} hidden files left ({time.monotonic() - begin:.0f} s)",
            flush=True,
        )


if __name__ == "__main__":
    main()
