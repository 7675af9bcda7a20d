"""Real keys on British, German and French keyboards, in a real window.

Keys are pressed by their place on the keyboard (X keycodes), as hands press them: which letter a
place gives is the layout's.  Places of keys: the layouts as published with X (xkeyboard-config).
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from attrs import evolve

from tapscore.model.edits import replace_item
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line
from tapscore.storyfile.read import read_file

NEEDED = ("xvfb-run", "xdotool", "setxkbmap")
SCRIPT = r"""
setxkbmap "$LAYOUT" || exit 4
"$PYTHON" -m tapscore "$STORY" & program=$!
trap 'kill $program' EXIT
patiently() { for _ in $(seq 300); do "$@" && return 0; sleep 0.1; done; return 5; }
there() {
    window=$(xdotool search --onlyvisible --name "Lantern" 2> /dev/null | head -n 1)
    [ -n "$window" ]
}
press() { for each in "$@"; do xdotool key --clearmodifiers "$each"; sleep 0.1; done; }
scale() { grep -q "\"scale\": $1" "$SETTINGS" 2> /dev/null; }
saved() { ! cmp -s "$STORY" "$1"; }
patiently there || exit 3
xdotool windowsize --sync "$window" 1280 800 windowfocus --sync "$window"
sleep 0.5
press Down $LARGER $LARGER; patiently scale 1.5 || exit 5
press $SMALLER; patiently scale 1.25 || exit 6
press $USUAL; patiently scale 1.0 || exit 7
# A letter begins to type, and loudness has keys of its own, whatever the layout.
press x Return ctrl+s; patiently saved "$BEFORE" || exit 8
cp "$STORY" "$WORDS"
press ctrl+shift+Up ctrl+s; patiently saved "$WORDS" || exit 9
"""
LARGER = {"gb": "21", "de": "35", "fr": "21"}
SMALLER = {"gb": "20", "de": "61", "fr": "15"}
USUAL = {"gb": "19", "de": "19", "fr": "shift+19"}


@pytest.mark.skipif(
    not all(map(shutil.which, NEEDED)), reason="needs a virtual screen and keyboard layouts"
)
@pytest.mark.parametrize("layout", list(LARGER))
def test_keys_do_the_same_on_every_layout(tmp_path: Path, demo_path: Path, layout: str) -> None:
    """Letters larger twice, smaller, as usual; then an x after the first line, a step louder."""
    story = tmp_path / "story.yaml"
    story.write_bytes(demo_path.read_bytes())
    environment = {
        **os.environ,
        "PYTHON": sys.executable,
        "STORY": str(story),
        "BEFORE": str(demo_path),
        "WORDS": str(tmp_path / "words.yaml"),
        "LAYOUT": layout,
        "LARGER": f"ctrl+{LARGER[layout]}",
        "SMALLER": f"ctrl+{SMALLER[layout]}",
        "USUAL": f"ctrl+{USUAL[layout]}",
        "SETTINGS": str(tmp_path / "config" / "tapscore" / "settings.json"),
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
    }
    environment.pop("QT_QPA_PLATFORM", None)
    environment.pop("TMPDIR", None)  # xvfb-run can't do with a blank in it
    done = subprocess.run(
        ["xvfb-run", "-a", "-s", "-screen 0 1280x800x24 -noreset", "bash", "-c", SCRIPT],
        env=environment,
        capture_output=True,
        text=True,
        timeout=200,
        check=False,
    )
    assert done.returncode == 0, f"{done.returncode}: {done.stderr}"
    before, after = read_file(demo_path).story, read_file(story).story
    assert before is not None
    assert after is not None
    old, new = (found.sections[0].items[0] for found in (before, after))
    assert isinstance(old, Line)
    assert isinstance(new, Line)
    assert new.words == f"{old.words} x"
    assert new.manner.loudness == (Loudness.MEDIUM,)
    # keys of the text's size changed nothing, and these keys nothing else
    same = evolve(new, words=old.words, manner=old.manner, lane=old.lane)
    assert replace_item(after, ("story", 0, "lines", 0), same) == before
