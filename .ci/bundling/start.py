"""Where the bundle begins: a spoken line or a metre counted, anything else by the program."""

import sys

if sys.argv[1:2] == ["--speak-a-line"]:
    from tapscore.exports.audio.voice.library_voice import main as speak

    sys.exit(speak(sys.argv[2:]))

# music21 would say at each start that matplotlib, which nothing here needs, is missing
from importlib.machinery import ModuleSpec
from types import ModuleType

left_out = ModuleType("matplotlib")
left_out.__spec__ = ModuleSpec("matplotlib", None)
sys.modules["matplotlib"] = left_out

if sys.argv[1:2] == ["--count-the-metre"]:
    from tapscore.rhythm.theory import main as count

    count()
    sys.exit(0)

try:
    from tapscore.__main__ import main
except ImportError as error:
    said = (
        f"tapscore can't start: a part of it is missing ({error}). Unpack the whole folder again."
    )
    print(said, file=sys.stderr)
    sys.exit(2)

main()
