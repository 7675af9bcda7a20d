"""What a file says does nothing to a terminal."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from tapscore.cli.app import main
from tapscore.cli.terminal import as_json, plain
from tapscore.resources import demo_stories

TEXT = 'tapscore: 2\ntitle: "a\\u001b]0;owned\\u0007b\\u202ec"\nstory:\n  - section: One\n'


def test_what_acts_is_shown_as_a_number() -> None:
    assert plain("a\x1b[2Jb\x07\x9b") == "a<1b>[2Jb<07><9b>"
    assert plain("a\u202eb\u2066") == "a<202e>b<2066>"
    assert plain("Über 日本\t\n🙂") == "Über 日本\t\n🙂"


def test_into_a_pipe_goes_nothing_that_acts_and_every_mark_of_direction(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(TEXT.replace("story:", 'spot: "no \\u001b[2J\\u202e"\nstory:'))
    command = [sys.executable, "-m", "tapscore", "check", "a.yaml"]
    said = subprocess.run(command, capture_output=True, cwd=tmp_path, check=False)
    for text in (said.stdout.decode(), said.stderr.decode()):
        assert plain(text, terminal=False) == text
    assert "<1b>[2J\u202e" in said.stdout.decode()
    assert plain("a\u202eb\x9b\x1b", terminal=False) == "a\u202eb<9b><1b>"


def test_json_keeps_what_acts_as_an_escape() -> None:
    data = {"title": "a\x1b\x9b\x7f\u202eb", "words": ["Über 日本 🙂"]}
    written = as_json(data)
    assert plain(written) == written
    assert json.loads(written) == data
    assert "日本" in written


@pytest.mark.skipif(os.name != "posix", reason="a terminal of its own, as POSIX has it")
def test_a_title_on_a_real_terminal(tmp_path: Path) -> None:
    story = tmp_path / "a\x1bb.yaml"
    story.write_text(TEXT)
    code, said = _on_a_terminal("check", str(story))
    assert code in (0, 1)
    assert b"a<1b>b.yaml" in said
    assert b"\x1b" not in said


@pytest.mark.skipif(os.name != "posix", reason="a terminal of its own, as POSIX has it")
def test_how_far_files_are_stands_in_one_line(tmp_path: Path) -> None:
    story = str(next(iter(demo_stories())))
    code, said = _on_a_terminal("export", story, "--out", str(tmp_path), "--only", "click-guide")
    assert code == 0
    assert b"<0d>" not in said
    assert re.search(rb"\r  [\w.-]+-click-guide\.mid  100%\r\n", said)


def _on_a_terminal(*words: str) -> tuple[int, bytes]:
    import pty

    main, inner = pty.openpty()
    done = subprocess.Popen([sys.executable, "-m", "tapscore", *words], stdout=inner, stderr=inner)
    os.close(inner)
    said = b""
    try:
        while block := os.read(main, 4096):
            said += block
    except OSError:
        pass  # the other end is closed
    os.close(main)
    return done.wait(30), said


@pytest.mark.skipif(os.name != "posix", reason="names that are no Unicode")
def test_a_name_that_is_no_unicode(tmp_path: Path) -> None:
    path = os.fsencode(tmp_path) + b"/boat-\xff.yaml"
    Path(os.fsdecode(path)).write_text(TEXT)
    for command in ("check", "timing", "recordings"):
        done = subprocess.run(
            [sys.executable.encode(), b"-m", b"tapscore", command.encode(), path],
            capture_output=True,
            check=False,
        )
        assert b"Traceback" not in done.stderr
        assert done.returncode in (0, 1)


@pytest.mark.skipif(os.name != "posix", reason="named pipes as POSIX has them")
@pytest.mark.parametrize("command", ["check", "timing", "recordings"])
def test_a_named_pipe_is_told(tmp_path: Path, command: str) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    done = subprocess.run(
        [sys.executable, "-m", "tapscore", command, str(tmp_path / "pipe.yaml")],
        capture_output=True,
        timeout=30,
        check=False,
    )
    assert done.returncode == 2
    assert b"is a pipe or a device" in done.stdout + done.stderr


def test_each_character_that_acts_and_those_beside_it() -> None:
    """ECMA-48's controls but tab and new line; UAX 9's marks; the line and paragraph separators."""
    acts = {*range(0x20), *range(0x7F, 0xA0)} - {0x09, 0x0A}
    acts |= {0x061C, 0x200E, 0x200F, 0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
    changed = {code for code in range(0x3000) if plain(chr(code)) != chr(code)}
    assert changed == acts
    assert [plain(chr(code)) for code in (0, 0x7F, 0x2069)] == ["<00>", "<7f>", "<2069>"]


def test_what_may_not_be_read_is_told_by_us() -> None:
    """Click would say that a path is an "invalid value", and not what to do."""

    context = click.Context(main)

    def kinds(command: click.Command) -> Iterator[object]:
        for param in command.params:
            yield from getattr(param.type, "types", (param.type,))
        if isinstance(command, click.Group):
            for name in command.list_commands(context):
                found = command.get_command(context, name)
                assert found is not None
                yield from kinds(found)

    paths = [each for each in kinds(main) if isinstance(each, click.Path)]
    assert len(paths) > 30
    assert not any(each.readable or each.exists for each in paths)
