"""A program killed while it saves leaves the old story or the new one, whole."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

SAVER = """
import sys
from pathlib import Path
from tapscore.disc.whole import write_whole_bytes
path = Path(sys.argv[1])
print("ready", flush=True)
number = 0
while True:
    number += 1
    write_whole_bytes(path, (f"{number}\\n" * 20000).encode())
"""
TIMES = 200


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX matter")
def test_killed_two_hundred_times_while_saving(tmp_path: Path) -> None:
    path = tmp_path / "story.yaml"
    rng = random.Random(1)
    killed = 0
    while killed < TIMES:
        process = subprocess.Popen(
            [sys.executable, "-c", SAVER, str(path)], stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        time.sleep(rng.random() * 0.02)
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        killed += 1
        if path.exists():
            lines = path.read_text(encoding="utf-8").splitlines()
            assert len(lines) == 20000
            assert len(set(lines)) == 1
    assert path.exists()
