"""Where the bundle begins: a spoken line at once, anything else by the program itself."""

import sys

if sys.argv[1:2] == ["--speak-a-line"]:
    from tapscore.exports.audio.voice.library_voice import main as speak

    sys.exit(speak(sys.argv[2:]))

from tapscore.__main__ import main

main()
