"""What ``tapscore --help`` prints in English, laid out as click lays out every other help.

Reading click takes twice as long as Python's own start; a test holds this page against click's.
"""

import os
import sys

from tapscore.wording.catalogue import say

ABOVE = say("Write, check, print and rehearse stories that adults tap out on a resonance board.")
BELOW = say("Without a command, tapscore opens the editor; with a FILE, it opens that story.")
COMMANDS = {
    "adapt": say(
        "Make OUT, a gentler, livelier or short copy of the story FILE, and list what changed."
    ),
    "check": say("Say what to look at again in the story FILE."),
    "class-record": say("Keep what was seen of pupils, encrypted and apart from stories."),
    "day": say("Say what today's staff leave undone in the story FILE, and how to share it."),
    "earlier": say(
        "List the states of the story FILE that were saved before, and take back from them."
    ),
    "export": say("Make cards, cue sheet, sound and more from the story FILE in the folder DIR."),
    "felt": say("Draw what each place is likely to feel of taps on the board, by a model, in DIR."),
    "fit": say("Show how the words of the story FILE fall on the beats."),
    "heard": say(
        "Say where a rehearsal of the story FILE, recorded by a phone, differs from the writing."
    ),
    "help": say("Explain a TOPIC: lane, story, board, cautions, or a command."),
    "new": say("Make a new story FILE from plain words, or from a story starter with gaps."),
    "next-year": say("Make OUT, a copy of the story FILE for next year."),
    "open-pack": say("Say what is in PACK; with --out, open it into a new folder in DIR."),
    "pack": say(
        "Make PACK, one file with the story FILE, its pictures and papers, for another school."
    ),
    "recordings": say("List the lines of the story FILE and the recordings of them beside it."),
    "rules": say("List the checks, or explain the one called ID."),
    "stories": say("List the stories in FOLDER, and what about them is out of date."),
    "timing": say("Say how long the story FILE lasts, at least and likely, part by part."),
}
"""Each command's first sentence.  They stand here, too, since reading all commands' modules
for a list of them takes five times as long; a test compares."""

WIDEST = 96
"""No line of help is longer."""


def first_page() -> str:
    """The page, as wide as the terminal allows."""
    width = max(min(_columns(), WIDEST) - 2, 50)
    options = {
        "--version": "Show the version and exit.",
        "-h, --help": "Show this message and exit.",
    }
    lines = ["Usage: tapscore [OPTIONS] [COMMAND] [ARGS]...", ""]
    lines += [*_paragraph(ABOVE, width), ""]
    lines += ["Options:", *_list(options, width), ""]
    lines += ["Commands:", *_list(COMMANDS, width), ""]
    lines += _paragraph(BELOW, width)
    return "\n".join(lines)


def _columns() -> int:
    """As ``shutil.get_terminal_size`` has it, of which the module takes as long as all this."""
    asked = os.environ.get("COLUMNS", "")
    if asked.isdecimal() and int(asked) > 0:
        return int(asked)
    try:
        return (sys.__stdout__ and os.get_terminal_size(sys.__stdout__.fileno()).columns) or 80
    except (ValueError, OSError):
        return 80


def _list(items: dict[str, str], width: int) -> list[str]:
    """Names, and beside them what they are."""
    wide = max(map(len, items)) + 2
    lines = []
    for name, about in items.items():
        first, *more = _wrapped(about, width - wide - 2)
        lines += [f"  {name:{wide}}{first}", *(" " * (wide + 2) + line for line in more)]
    return lines


def _paragraph(text: str, width: int) -> list[str]:
    return [f"  {line}" for line in _wrapped(text, width - 2)]


def _wrapped(text: str, width: int) -> list[str]:
    """As ``textwrap`` does it, which brings in patterns: these texts have no word to break."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
