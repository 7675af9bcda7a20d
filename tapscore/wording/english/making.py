"""What findings about opening files, printing and making sound say."""

from tapscore.wording.text import Text

_INSTALL = (
    "Install the program {program}, or record the lines yourself into the folder “<story name> "
    "recordings” beside the story."
)
_INSTEAD = "{voice:yes=The synthetic voice says|no=Nobody says}"

TEXTS: dict[str, Text] = {
    "can't-open/missing": Text(
        "There is no file {path}.{near:=|*= Did you mean `{near}`?}",
        "Look at the name and the folder, or make a story with `tapscore new`.",
        "Look at the name and the folder, or make a new story.",
        "There is no file {path}.{near:=|*= Did you mean “{near}”?}",
    ),
    "can't-open/folder": Text("{path} is a folder.", "Name the story file in it."),
    "can't-open/right": Text(
        "{path} may not be read.", "Ask whoever looks after the computer for the right to."
    ),
    "can't-open/device": Text("{path} is a pipe or a device, no file.", "Name a story file."),
    "can't-open/other": Text("{path} can't be read: {why}.", "Try again, or copy it elsewhere."),
    "can't-open/day": Text("{path} can't be read: {why}.", "Look at the name and the folder."),
    "stated-board": Text(
        "{sentence}",
        "Describe yours under `board:`, and the taps sound more like it.",
        "Describe your own board, and the taps sound more like it.",
    ),
    "heard-softer": Text(
        "Taps louder than {loudest:loudness} are heard as {loudest:loudness} in this sound.",
        "At the board, tap as loud as the cards say.",
    ),
    "encoder-missing": Text(
        "The sound files have no chapters and no cover picture, because the program ffmpeg is "
        "missing on this computer.",
        "Install ffmpeg and export again if you want them.",
    ),
    "voice-missing": Text(
        "There is no voice: the program {program} was not found on this computer.", _INSTALL
    ),
    "voice-failed": Text("{why} The rest is without the synthetic voice.", _INSTALL),
    "recording-unusable": Text("{why}", "The rest was made."),
    "recording-remark": Text("{remark}", "Listen to it."),
    "recordings-missing": Text(
        "There is no recording of: {names:quoted list}.", _INSTEAD + " them."
    ),
    "recording-other-words": Text(
        "The recording called “{name}” says “{words}”; that line has other words now.",
        "Record it again. " + _INSTEAD + " it until then.",
    ),
    "recording-unmatched": Text(
        "No line goes with the recording {name}.",
        "Name it by the number on the cue sheet (03.wav), or by the refrain and the line in it "
        "(row home 1.wav), or record the line again.",
    ),
    "print-missing": Text(
        "“{text}” has a character that the printed fonts lack: {characters:list}.",
        "It is left out on paper. Write it in words, or draw it on by hand.",
    ),
    "print-right-to-left": Text(
        "“{text}” is read from right to left, but its taps run from left to right: the words "
        "stand whole above them, and each syllable small over its tap.",
        "Tell whoever has the card that taps begin at the left.",
    ),
    "print-margin": Text(
        "A margin of {margin_mm} mm is narrower than the strip of about {reach_mm} mm that many "
        "office printers leave blank: the edge of the print may be cut off.",
        "Print one page and look at its edges, or choose {reach_mm} mm or more.",
    ),
    "print-many-sides": Text(
        "{cards:1 card|# cards} for {role}: {sides} sides at this size.",
        "Print on larger paper, or for a shorter reading distance.",
    ),
    "print-busy-change": Text(
        "{role} has no time to change the sheet before {line:inside}: hands are free for "
        "{free_sec:.1f} seconds, and {needed_sec:.0f} are needed.",
        "This would help: {ways:paper=to print on {each}|metres=to read from {each} m|wait=a wait "
        "of {each} seconds there|share=somebody else to tap there|turner={each} to change it, "
        "whose hands are free then}.",
    ),
    "print-long-line": Text(
        "{line} is longer than a sheet of {role}.",
        "Lay its sheets side by side; or print on larger paper, or for a shorter distance, or "
        "divide it into two lines.",
    ),
    "print-larger": Text(
        "The part of {role} is on {larger}: on {smaller} it would be many sheets, or there would "
        "be no time to change them.",
        "If you have no {larger}, choose {smaller} and see what would help.",
    ),
    "print-busy-turn": Text(
        "{role} turns cards with busy hands, {busy} of {turns} times: {named:list}"
        "{more:0=|*=, and # more}.",
        "Learn the story by heart with these cards and have the part sheets at the board, or let "
        "somebody turn them.",
    ),
    "own-picture": Text(
        "The picture {name} {why:missing=is not beside the story|elsewhere=is named with a folder"
        "|large=is too large|broken=can't be read|*=can't be used}.",
        "{why:missing=Put it into the story's folder, or write its name as the file has it"
        "|elsewhere=Put it beside the story, and write its name alone|large=Save it smaller: "
        "{most_mb:.0f} MB at most|*=Save it again as PNG or JPEG}. The rest was made without it.",
    ),
    "print-cut-by-measure": Text(
        "Round the cards on a sheet some paper is left over: "
        "{side_mm:0=|*={side_mm:.1f} mm at the left and the right}"
        "{both:no=|yes= and }{end_mm:0=|*={end_mm:.1f} mm above and below}. The printer can't "
        "print cut marks there.",
        "Cut it off with a ruler, or leave it on.",
    ),
}
