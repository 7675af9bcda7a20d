"""How long a folder of 500 stories takes to list: heads, all anew, kept, beside foreign files."""

import tempfile
import time
from pathlib import Path

from tapscore.resources import demo_stories
from tapscore.workflow.my_stories import stories_in

STORIES, FOREIGN = 500, 10_000


def timed(name: str, folder: Path, *, whole: bool = True) -> None:
    """Print wall and CPU seconds of one listing."""
    begun, used = time.perf_counter(), time.process_time()
    found = stories_in(folder, cache=folder.parent / "cache.json", whole=whole)
    wall, cpu = time.perf_counter() - begun, time.process_time() - used
    print(f"{name:24} {len(found.stories):5} stories  {wall:6.3f} s wall  {cpu:6.3f} s CPU")


def main() -> None:
    """List the same folder in four states."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "stories"
        folder.mkdir()
        texts = [path.read_text(encoding="utf-8") for path in demo_stories()]
        for number in range(STORIES):
            text = texts[number % len(texts)].replace("title: ", f"title: {number} ", 1)
            (folder / f"story {number}.yaml").write_text(text, encoding="utf-8")
        timed("heads alone", folder, whole=False)
        timed("all anew", folder)
        timed("kept", folder)
        for number in range(FOREIGN):
            (folder / f"other {number}.yaml").write_text("a: 1\n", encoding="utf-8")
        timed("beside foreign files", folder)


if __name__ == "__main__":
    main()
