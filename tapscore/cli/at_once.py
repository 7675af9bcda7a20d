"""``tapscore check FILE``, which is asked for most: without options, and so without click.

Importing click takes as long as reading, performing and checking a short story.
"""

import os
import sys
from pathlib import Path

from tapscore.cli.show import show_findings
from tapscore.cli.terminal import STOPPED
from tapscore.workflow.open_story import OpenedStory, open_story


def check_at_once(file: str) -> int:
    """Check ``file`` and print what is found; the exit code.

    A key that stops it and a reader that goes away end it as click ends a command.
    """
    try:
        opened = open_story(Path(file))
        show_findings(opened)
        print(end="", flush=True)  # nothing where there is no such stream
    except (KeyboardInterrupt, EOFError):
        print(STOPPED, file=sys.stderr)
        return 1
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return exit_code(opened)


def exit_code(opened: OpenedStory) -> int:
    """0: nothing that must be mended; 1: something must; 2: the file can't be read."""
    if opened.story is None:
        return 2
    return 1 if opened.must_mend else 0
