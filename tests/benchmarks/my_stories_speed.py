"""How long a folder of 500 stories takes to list: at once, all anew, kept, beside foreign files.

No story is like another and no line either, so that nothing kept of one line helps the next.
Each listing is made in a process of its own.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tapscore.workflow.my_stories import StoryList, stories_in
from tests.benchmarks.made_stories import made_text

STORIES, FOREIGN, LINES = 500, 10_000, (12, 24, 40)


def timed(name: str, folder: Path) -> None:
    """Print wall and CPU seconds until the list is first told and until it is whole."""
    begun, used = time.perf_counter(), time.process_time()
    first: list[tuple[float, float]] = []

    def so_far(_: StoryList) -> None:
        first.append((time.perf_counter() - begun, time.process_time() - used))

    found = stories_in(folder, cache=folder.parent / "cache.json", so_far=so_far)
    wall, cpu = time.perf_counter() - begun, time.process_time() - used
    print(
        f"{name:22} {len(found.stories):4} stories  at once {first[0][0]:6.3f} s wall "
        f"{first[0][1]:6.3f} s CPU  whole {wall:6.3f} s wall {cpu:6.3f} s CPU"
    )


def main() -> None:
    """List the same folder in three states."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "stories"
        folder.mkdir()
        for number in range(STORIES):
            text = made_text(LINES[number % len(LINES)], number)
            (folder / f"story {number}.yaml").write_text(text, encoding="utf-8")
        apart("all anew", folder)
        apart("kept", folder)
        for number in range(FOREIGN):
            (folder / f"other {number}.yaml").write_text("a: 1\n", encoding="utf-8")
        apart("beside foreign files", folder)


def apart(name: str, folder: Path) -> None:
    """Time a listing in a process of its own."""
    here = [sys.executable, "-m", "tests.benchmarks.my_stories_speed", name, str(folder)]
    subprocess.run(here, check=True)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        timed(sys.argv[1], Path(sys.argv[2]))
    else:
        main()
