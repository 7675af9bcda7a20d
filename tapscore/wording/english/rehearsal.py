"""What is said of a recorded rehearsal: of the telling, never of a person."""

from tapscore.wording.text import Text

_TIME = "{time:0=|1=, the first time,|2=, the second time,|3=, the third time,|*=, time {time},}"
_SHARE = (
    "{share:fifth=a fifth {way} than|quarter=a quarter {way} than|third=a third {way} than"
    "|half=half as fast again as|twice=about twice as fast as|slow=about half as fast as}"
)
_LEAVE = " Or leave it as it is."
_PRACTISE = "Practise this line as a loop"

TEXTS: dict[str, Text] = {
    "told-tempo": Text(
        "{line}" + _TIME + " went " + _SHARE + " the rest.",
        _PRACTISE + ", or make the story as you tell it: {tempo} beats a minute." + _LEAVE,
    ),
    "told-tempo-whole": Text(
        "All of it went " + _SHARE + " written.",
        "Listen to the guide together, or make the story as you tell it." + _LEAVE,
    ),
    "told-wait": Text(
        "The wait after {line:inside}" + _TIME + " lasted {lasted:1 second|# seconds}; "
        "{wanted:1 is|# are} written.",
        "Agree who looks for the pupils' answer and ends the wait, or make the story as you "
        "tell it." + _LEAVE,
    ),
    "told-no-louder": Text(
        "{line}" + _TIME + " sounded no louder than {before:inside} before it; it is written "
        "{loudness:loudness}, after {earlier:loudness}.",
        _PRACTISE + " together with the one before, or make the story as you tell it." + _LEAVE,
    ),
    "told-much-louder": Text(
        "{line}" + _TIME + " sounded much louder than {before:inside} before it; it is written "
        "{loudness:loudness}, after {earlier:loudness}.",
        "What comes unexpectedly loud may startle. " + _PRACTISE + " more softly; or make the "
        "story as you tell it, and look what the checks say then.",
    ),
    "told-swell": Text(
        "{line}" + _TIME + " is written to {written:grows=grow louder|fades=fade}, but sounded as "
        "if it {sounded:even=stayed as it began|other=did the opposite}.",
        _PRACTISE + ", or make the story as you tell it." + _LEAVE,
    ),
    "told-left-out": Text(
        "{line}" + _TIME + " could not be found. Was it left out?",
        "Listen to the place. If it was, practise the lines around it together.",
    ),
    "told-again": Text(
        "Was {line:inside}" + _TIME + " begun again?",
        _PRACTISE + " if it was." + _LEAVE,
    ),
    "told-pause": Text(
        "Inside {line:inside}" + _TIME + " there was a pause"
        "{where:before= before “{syllable}”|within= within “{syllable}”|*=}.",
        _PRACTISE + " if it was not meant." + _LEAVE,
    ),
    "told-no-tap": Text(
        "In {line:inside}" + _TIME + " no tap could be heard on “{syllable}”.",
        "Listen to the place. " + _PRACTISE + " if it was left out." + _LEAVE,
    ),
    "told-cant-tell": Text(
        "It can't be told from this recording how the story went: {sure:0=no line was|1=only one "
        "line was|*=only {sure} of {lines} lines were} heard surely enough.",
        "Is it this story, as it is written now, most of it, and told once? Trim away what is not. "
        "For another try, lay the phone on the wood with a cloth under it, say the words more "
        "softly, or do one run with taps alone.",
    ),
    "told-silent": Text(
        "The recording is silent.",
        "Look whether the microphone was on and nothing lay over it, and record again.",
    ),
    "told-no-lines": Text(
        "No line of this story is tapped.",
        "Give its lines taps; then a rehearsal can be listened back to.",
    ),
    "told-part": Text(
        "Only a part of the story was found in this recording: {first:inside} to {last:inside}, "
        "from {begin} to {end}.",
        "If all of it was told, look whether the recording or its trimming starts late or stops "
        "early.",
    ),
    "told-some": Text(
        "Only {sure} of {lines} lines were heard surely enough; the others can't be told.",
        "For another try, lay the phone on the wood with a cloth under it, say the words more "
        "softly, or do one run with taps alone.",
    ),
    "told-twice": Text(
        "There seem to be two tellings in this recording; one was looked at, from {begin} to "
        "{end}.",
        "Trim the recording to hear about the other one.",
    ),
    "told-trimmed": Text(
        "The recording is {length} long; only {begin} to {end} was looked at, where most taps are.",
        "Trim it yourself if the telling is somewhere else.",
    ),
    "told-changed": Text(
        "The story was changed after this recording was made.",
        "Lines that were reworded since may be called different only for that.",
    ),
    "sound-overloaded": Text(
        "The recording is overloaded: loud taps are cut off, so nothing is said of loudness.",
        "Put a folded cloth under the phone next time.",
    ),
    "sound-telephone": Text(
        "The recording has the sound of a telephone ({khz} kHz). It was used.",
        "Choose a better quality in the phone's recorder, if it has a choice.",
    ),
    "sound-video": Text(
        "The file is a video; only its sound was used.",
        "Mind that nobody else is to be seen in it; a sound recording is enough.",
    ),
}
