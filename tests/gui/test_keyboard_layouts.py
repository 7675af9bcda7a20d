"""Real keys on British, American, German and French keyboards, in a real window.

Keys are pressed by their place on the keyboard (X keycodes), as hands press them: which letter a
place gives is the layout's.  Places of keys: the layouts as published with X (xkeyboard-config).
"""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tapscore.model.story import Line, Story
from tapscore.storyfile.read import read_file

NEEDED = ("xvfb-run", "xdotool", "setxkbmap")
SCRIPT = r"""
setxkbmap "$LAYOUT" || exit 4
"$PYTHON" -m tapscore "$STORY" & program=$!
for _ in $(seq 150); do
    window=$(xdotool search --onlyvisible --name "Lantern" 2>/dev/null | head -n 1)
    [ -n "$window" ] && break
    sleep 0.1
done
[ -n "$window" ] || { kill $program; exit 3; }
xdotool windowsize --sync "$window" 1280 800 windowfocus --sync "$window"
sleep 1
for press in $PRESSES; do xdotool key --clearmodifiers $press; sleep 0.4; done
sleep 2
xdotool key ctrl+s
sleep 3
kill $program
wait $program 2>/dev/null
exit 0
"""
LARGER = {"gb": "21", "us": "21", "de": "35", "fr": "21"}
SMALLER = {"gb": "20", "us": "20", "de": "61", "fr": "15"}
USUAL = {"gb": "19", "us": "19", "de": "19", "fr": "shift+19"}


def _pressed(tmp_path: Path, demo: Path, layout: str, presses: str) -> tuple[Story, float]:
    """The story after these keys, and the size of the letters."""
    story = tmp_path / "story.yaml"
    story.write_bytes(demo.read_bytes())
    environment = {
        **os.environ,
        "PYTHON": sys.executable,
        "STORY": str(story),
        "LAYOUT": layout,
        "PRESSES": presses,
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
    }
    environment.pop("QT_QPA_PLATFORM", None)
    done = subprocess.run(
        ["xvfb-run", "-a", "-s", "-screen 0 1280x800x24 -noreset", "bash", "-c", SCRIPT],
        env=environment,
        capture_output=True,
        text=True,
        timeout=100,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    read = read_file(story).story
    assert read is not None
    kept = tmp_path / "config" / "tapscore" / "settings.json"
    settings = json.loads(kept.read_text()) if kept.is_file() else {}
    return read, settings.get("scale", 1.0)


def _first_line(story: Story) -> Line:
    first = story.sections[0].items[0]
    assert isinstance(first, Line)
    return first


@pytest.mark.skipif(
    not all(map(shutil.which, NEEDED)), reason="needs a virtual screen and keyboard layouts"
)
@pytest.mark.parametrize("layout", ["gb", "us", "de", "fr"])
def test_keys_do_the_same_on_every_layout(tmp_path: Path, demo_path: Path, layout: str) -> None:
    before = read_file(demo_path).story
    assert before is not None
    larger, smaller = f"ctrl+{LARGER[layout]}", f"ctrl+{SMALLER[layout]}"
    usual = f"ctrl+{USUAL[layout]}"
    story, scale = _pressed(tmp_path, demo_path, layout, f"Down {larger} {larger} {smaller}")
    assert scale == 1.25
    assert story == before, "keys of the text's size changed the story"
    story, scale = _pressed(tmp_path, demo_path, layout, f"Down {larger} {usual}")
    assert scale == 1.0
    assert story == before
    # A letter begins to type, and loudness has keys of its own, whatever the layout.
    story, _ = _pressed(tmp_path, demo_path, layout, "Down x Return ctrl+shift+Up")
    words = _first_line(story).words
    assert words == f"{_first_line(before).words} x"
    assert _first_line(story).manner.loudness != _first_line(before).manner.loudness
