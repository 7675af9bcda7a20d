"""A real window under a virtual screen, with real key and mouse events."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tapscore.model.story import Line
from tapscore.storyfile.read import read_file

SCRIPT = r"""
"$PYTHON" -m tapscore "$STORY" & program=$!
for _ in $(seq 100); do
    window=$(xdotool search --onlyvisible --name "Lantern" 2>/dev/null | head -n 1)
    [ -n "$window" ] && break
    sleep 0.1
done
[ -n "$window" ] || { kill $program; exit 3; }
xdotool windowsize --sync "$window" 1280 800 windowfocus --sync "$window"
sleep 0.5
xdotool key Down
xdotool key Return
sleep 0.3
xdotool key ctrl+a
xdotool type --delay 20 "Out on the river the little boat lay,"
sleep 0.3
xdotool key Return
sleep 0.2
xdotool mousemove --window "$window" 300 190 click 1
xdotool key ctrl+s
for _ in $(seq 300); do cmp -s "$STORY" "$BEFORE" || break; sleep 0.1; done
kill $program
wait $program 2>/dev/null
exit 0
"""


@pytest.mark.skipif(
    not (shutil.which("xvfb-run") and shutil.which("xdotool")),
    reason="needs a virtual screen (packages xvfb and xdotool)",
)
def test_type_and_save_in_a_real_window(tmp_path: Path, demo_path: Path) -> None:
    story = tmp_path / "story.yaml"
    story.write_bytes(demo_path.read_bytes())
    environment = {
        **os.environ,
        "PYTHON": sys.executable,
        "STORY": str(story),
        "BEFORE": str(demo_path),
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
    }
    environment.pop("QT_QPA_PLATFORM", None)
    environment.pop("TMPDIR", None)  # xvfb-run can't do with a blank in it
    done = subprocess.run(
        ["xvfb-run", "-a", "-s", "-screen 0 1280x800x24", "bash", "-c", SCRIPT],
        env=environment,
        capture_output=True,
        text=True,
        timeout=100,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    read = read_file(story).story
    assert read is not None
    first = read.sections[0].items[0]
    assert isinstance(first, Line)
    assert first.words == "Out on the riv-er the lit-tle boat lay,"
