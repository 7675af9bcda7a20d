"""A program killed while it saves leaves the old story or the new one, whole."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

KILLER = """
import os, random, signal, sys, time
from pathlib import Path
from tapscore.disc.whole import write_whole_bytes
path, rng = Path(sys.argv[1]), random.Random(1)
begin = time.monotonic()
write_whole_bytes(path, b"first\\n" * 20000)
longest = max(1.2 * (time.monotonic() - begin), 0.02)  # or no child would get to its end
for number in range(200):
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.write(writer, b"x")
        count = 0
        while True:
            count += 1
            write_whole_bytes(path, (f"{number} {count}\\n" * 20000).encode())
    os.read(reader, 1)
    time.sleep(rng.random() * longest)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    os.close(reader); os.close(writer)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert len(lines) == 20000, number
    assert len(set(lines)) == 1, number
print("whole", number + 1, lines[0] != "first")
"""


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX matter")
def test_killed_two_hundred_times_while_saving(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", KILLER, str(tmp_path / "story.yaml")],
        capture_output=True,
        text=True,
        timeout=110,
        check=False,
    )
    assert done.stdout == "whole 200 True\n", done.stderr
