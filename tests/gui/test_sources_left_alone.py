"""What PySide6 would keep of every module is not kept."""

import subprocess
import sys


def test_no_module_s_source_is_read_because_the_editor_starts() -> None:
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            "import linecache, tapscore.gui.files\n"
            "print(*(each for each in linecache.cache if each.endswith('.py')), sep='\\n')",
        ],
        check=True,
        capture_output=True,
        text=True,
    )
    read = [each for each in told.stdout.splitlines() if "tapscore" in each or "numpy" in each]
    assert read == []
