"""Commands run in the test's own process, and the small stories they are run on."""

from pathlib import Path

from attrs import frozen
from click.testing import CliRunner

from tapscore.cli.app import main

SOUND = """\
tapscore: 2
title: The Mill
metre: 6/8
tempo: 60
roles: {leader: {}}
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
"""
"""There is nothing to find in it."""
MISTAKEN = """\
tapscore: 2
title: The Mill
metre: 6/8
tempo: 60
roles: {leader: {}}
pupils: 0
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| x X . x . x |"
      - words: Home to the har-bour
"""
UNREADABLE = "tapscore: 2\n\ttitle: T\n"
FOUND = {
    "mistaken": """\
mill.yaml:6:9: must mend [wrong-value]
    `pupils` can't be `0`.
    Write a whole number of pupils from 1 to 30, for example `pupils: 6`.
mill.yaml:11:9: advice [accent-on-beat]
    Line 1 has a strong tap on “the” in bar 1 that falls between two beats.
    Move it on to a beat, or write `x` instead of `X`.
mill.yaml:12:9: advice [lines-tapped]
    Line 2 is only spoken: nobody taps it.
    Give it a `lane:`, or leave it if silence on the board is meant.
mill.yaml: 1 must mend, 2 advice.
""",
    "unreadable": """\
mill.yaml:2:1: must mend [yaml]
    A tab stands at the beginning of this line; the file can't be read past it.
    Use spaces instead of the tab key at the start of lines.
""",
    "missing": """\
mill.yaml: must mend [can't-open]
    There is no file mill.yaml.
    Look at the name and the folder, or make a story with `tapscore new`.
""",
}
"""All that is found in each, in order, each with its line and column."""


@frozen
class Said:
    """What a command said, and how it ended."""

    code: int
    out: str
    err: str


def run(*words: object, typed: str | None = None) -> Said:
    """Run ``tapscore WORDS``; what it raises but its own end is raised."""
    result = CliRunner().invoke(
        main, [str(each) for each in words], input=typed, prog_name="tapscore"
    )
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Said(result.exit_code, result.stdout, result.stderr)


def usage(said: Said) -> str:
    """What a command said where it was typed wrongly: nothing else, and exit code 2."""
    assert (said.code, said.out) == (2, "")
    first, try_it, blank, error = said.err.splitlines()
    assert first.startswith("Usage: tapscore ")
    assert try_it.startswith("Try 'tapscore ")
    assert blank == ""
    return error.removeprefix("Error: ")


def files(folder: Path) -> set[str]:
    """Names of what lies in a folder, but for notes of the program's own."""
    return {each.name for each in folder.iterdir() if not each.name.startswith(".")}
