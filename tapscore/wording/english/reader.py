"""What findings about a story or day file that is read say."""

from tapscore.wording.text import Text

_NEAR = "{near:=|*= Did you mean `{near}`?}"
_FOR_EXAMPLE = "Write for example `{name}: {example}`."
_HOME = (
    "{what:role=`roles:`|prop=`props:`|spot=`spots:` of the board|seat=`seats:` of the board"
    "|refrain=`refrains:`}"
)
_KIND = "{what:role=role|prop=prop|spot=spot|seat=seat|refrain=refrain|*={what}}"
_MARKS = "The marks are: {marks}."
_NO_STORY = "Start with `tapscore: 2` and `title: ...`, or make a file with `tapscore new`."

TEXTS: dict[str, Text] = {
    "too-long": Text(
        "The file is longer than {most} characters; no story is.",
        "Look whether it is the right file.",
    ),
    "not-text/binary": Text(
        "This is not a text file.",
        "Choose a story file (ending in .tapscore or .yaml), or make one with `tapscore new`.",
    ),
    "not-text/letter": Text(
        "The file has a letter here that can't be read: it was saved in an older way of writing "
        "text.",
        "Open it in a text editor and save it as UTF-8.",
    ),
    "empty": Text("The file is empty.", _NO_STORY),
    "no-story": Text(
        "There is no story here: a story file has names with a colon after each.",
        "Start with `tapscore: 2`, `title:` and `story:`, or make a file with `tapscore new`.",
    ),
    "newer-version": Text(
        "This story is written for a newer tapscore (file version {version}; this program knows "
        "up to {known}).",
        "Install the newer tapscore. Nothing in the file was changed.",
    ),
    "many-more": Text(
        "There is much more to mend from here on.",
        "Mend what is listed first, and look again whether it is the right file.",
    ),
    "strange-character": Text(
        "There is a character here that can't be seen and doesn't belong in a text.",
        "Delete it: put the cursor behind it and press backspace, or type the line again.",
    ),
    "yaml/align": Text(
        "This line doesn't line up with the lines around it.",
        "Lines that belong together start below one another: count the spaces in front.",
    ),
    "yaml/tab-in-front": Text(
        "A tab stands at the beginning of this line; the file can't be read past it.",
        "Use spaces instead of the tab key at the start of lines.",
    ),
    "yaml/tab": Text(
        "A tab stands here; the file can't be read past it.",
        "Use a space instead of the tab key.",
    ),
    "yaml/bare-rhythm": Text(
        "A rhythm needs quotes round it.",
        'Write for example `lane: "| X x x |"`.',
    ),
    "yaml/no-colon": Text(
        "A colon is missing in this line.",
        "Write the name, a colon, a space, and then what it is.",
    ),
    "yaml/block": Text(
        "A `|` or `>` stands outside quotes here.",
        "Put quotes round the words, and look whether the line above closes its quotes.",
    ),
    "yaml/quotes": Text(
        "Quotes are opened here and never closed.",
        "Put the same quote mark at the end of the words.",
    ),
    "yaml/bracket": Text(
        "The bracket that opens here is not closed, or a comma is missing in it.",
        "Put commas between the parts, and close every {mark.brackets}.",
    ),
    "yaml/mark-in-front": Text(
        "The words can't start with this mark as they stand.",
        "Put quotes round the words.",
    ),
    "yaml/no-space": Text(
        "A space is missing after the colon in the line above.",
        "Write the name, a colon, a space, and then what it is.",
    ),
    "yaml/second-colon": Text(
        "There is a second colon in this line.",
        "Put quotes round words that hold a colon.",
    ),
    "yaml/too-far-right": Text(
        "This line stands too far to the right, or the line above should end with a colon.",
        "Line it up with the line it belongs to.",
    ),
    "yaml/unknown": Text(
        "The file can't be understood from here on.",
        "Look at this line and the one above: spaces in front, colons, quotes, brackets.",
    ),
    "too-deep": Text(
        "Things stand inside one another more than {most} deep here.",
        "A story needs far less: look for brackets that are never closed.",
    ),
    "shared-part/uses": Text(
        "`*{anchor}` points to another part of the file; stories can't do that.",
        "Write the words out, or make a refrain of lines that return.",
    ),
    "shared-part/names": Text(
        "`&{anchor}` names a part to be shared; stories can't do that.",
        "Take the mark out. Lines that return belong under `refrains:`.",
    ),
    "typed-part": Text(
        "The word after `!` says what kind of thing follows; stories can't do that.",
        "Take it out. If it is part of the words, put quotes round them.",
    ),
    "second-story": Text(
        "A second story starts here; a file holds one.",
        "Take out the line `---`, or put the second story into a file of its own.",
    ),
    "key-not-text": Text(
        "A name before a colon must be plain words, not a list.",
        "Write one name, a colon, and what it is.",
    ),
    "duplicate-key": Text("`{key}` is already said in line {first}.", "Keep one of the two."),
    "unknown-key": Text(
        "`{key}:` is not known for {what}." + _NEAR,
        "Known here: {known:marked list}. A note of your own can follow a `#`.",
    ),
    "missing": Text(
        "`{key}:` is missing for {what}.",
        "Add it here, for example `{key}: {example}`.",
    ),
    "wrong-kind/names": Text(
        "`{name}` should have names with colons: {known:marked list}.", _FOR_EXAMPLE
    ),
    "wrong-kind/one": Text(
        "`{name}` should be one thing, not {written:list=a list|names=names with colons}.",
        _FOR_EXAMPLE,
    ),
    "wrong-kind/list": Text("`{name}` should be a list.", _FOR_EXAMPLE),
    "wrong-kind/named": Text(
        "`{name}` should be names, each with a colon and what belongs to it.", _FOR_EXAMPLE
    ),
    "wrong-kind/point": Text(
        "`{name}` should be two numbers in square brackets: {what}.", _FOR_EXAMPLE
    ),
    "wrong-kind/dashed": Text(
        "`{name}` should be a list of {what}, each with a dash in front.",
        "Start each with `- {start}:`.",
    ),
    "wrong-kind/section": Text(
        "Each part of `story:` should be a section.",
        "Start it with `- section: ...`, then `lines:` below.",
    ),
    "wrong-kind/rhythm": Text(
        "A rhythm is one piece of text in quotes.",
        'Write for example `lane: "| X x x X . . |"`.',
    ),
    "wrong-value": Text(
        "{said:=`{name}` says nothing yet.|*=`{name}` can't be `{said}`.}" + _NEAR,
        "Write {wanted:marked}, for example `{name}: {example}`.",
    ),
    "no-section": Text(
        "This line belongs to no section.",
        "Put `- section: ...` and `lines:` above it, and move it to the right.",
    ),
    "text-too-long": Text(
        "`{name}` has {letters} letters; at most {most} are read.", "Make it shorter."
    ),
    "too-many/items": Text(
        "There are {count} {what} here; at most {most} are read.",
        "Look whether it is the right file, or take some out.",
    ),
    "too-many": Text(
        "There are {count} names under `{name}`; a story has at most {most}.",
        "Look whether it is the right file, or take some out.",
    ),
    "what-is-this/nothing": Text(
        "Nothing follows this dash.", "Take it out, or write `words:` after it."
    ),
    "what-is-this/neither": Text(
        "This is neither a line nor a wait, an offering or a refrain's return." + _NEAR,
        "Start it with `- words:`, `- wait:`, `- offer:` or `- refrain:`.",
    ),
    "comma-in-name": Text("The comma cuts “{name}” in two.", 'Put the name in quotes: `"{name}"`.'),
    "line-too-long": Text(
        "This line has {letters} letters; no breath is so long.",
        "Divide it into several lines.",
    ),
    "words-and-lane/more-words": Text(
        "The words have {words:1 syllable|# syllables} and the rhythm has places for {places}; "
        "“{first}” is the first without one.",
        "Add {missing:1 mark|# marks} (`x` or `s`) to the rhythm, or join syllables by taking a "
        "hyphen out.",
        "Add {missing:1 mark|# marks} to the rhythm, or join syllables by taking a hyphen out.",
    ),
    "words-and-lane/more-marks": Text(
        "The words have {words:1 syllable|# syllables} and the rhythm has places for {places}; "
        "the first place without one is in {bar:0=the pickup|*=bar {bar}}, step {step}.",
        "Divide words with hyphens (`lan-tern`), or take {missing:1 mark|# marks} out of the "
        "rhythm; a tap without a syllable is `t`.",
        "Divide words with hyphens (lan-tern), or take {missing:1 mark|# marks} out of the rhythm.",
    ),
    "unknown-name/others": Text(
        "There is no " + _KIND + " called `{name}`." + _NEAR,
        "Write one of {known:marked list}{more:no=|yes= …}, or add `{name}` under " + _HOME + ".",
    ),
    "unknown-name/none": Text(
        "There is no " + _KIND + " called `{name}`." + _NEAR,
        "The story has no " + _KIND + " yet: add `{name}` under " + _HOME + ".",
    ),
    "place-letter": Text(
        "A pupil's place is one capital letter, never a name; here it is `{name}`.",
        "Write `A`, `B`, `C` ... Names of pupils stay out of story files.",
    ),
    "name-clash": Text(
        "The name `{name}` {why:marks=has a bracket, a comma, a semicolon or a bar, which mean "
        "something in a rhythm|spaces=is empty or has spare spaces|long=is too long to be written "
        "on a card|taken=already means something else in a rhythm|both=is both a role and a spot}.",
        "Give it another name.",
    ),
    "refrain-circle": Text(
        "The refrain `{refrain}` comes back to itself, so it would never end.",
        "Take out of it the `- refrain:` that leads back.",
    ),
    "too-long-told": Text(
        "With its refrains the story has more than {most} lines, or refrains stand in refrains "
        "more than {deepest} deep.",
        "Look for a refrain that uses others again and again, and take some out.",
    ),
    "lane/nothing-to-hold": Text(
        "There is nothing to hold here: `_` makes the tap before it longer.",
        "Write `.` for nothing, or put the tap first.",
    ),
    "lane/crowded-step": Text(
        "{marks} marks share one step here; that is faster than hands go.",
        "Put spaces between the marks, so that each has a step of its own.",
    ),
    "lane/empty-bar": Text(
        "Two bar lines stand side by side with nothing between.",
        "Take one out, or write the bar, with `.` for each step of silence.",
    ),
    "lane/no-bar-line": Text(
        "The rhythm has no bar line.",
        "Put `|` before each strong beat that starts a bar, for example `| X x x |`.",
    ),
    "lane/no-bar": Text(
        "The rhythm has no bar: nothing stands after its bar line.",
        "Put `|` before the strong beat that starts a bar, as in `| X x x |`. " + _MARKS,
    ),
    "lane/too-long": Text(
        "The rhythm has {steps} steps; no breath is so long.", "Divide it into several lines."
    ),
    "lane/no-tap": Text(
        "Only a tap can have brackets.",
        "Take the brackets away, or write `x` or `t` for a tap.",
    ),
    "lane/unknown": Text(
        "`{name}` in the brackets is no loudness, stroke, spot or adult of this story." + _NEAR,
        "Write one that the story has, or add it under `roles:` or `spots:`. `tapscore help lane` "
        "lists the loudnesses and strokes, under “One tap that is special”.",
    ),
    "lane/twice": Text(
        "This tap has two {kind:loudness=loudnesses|stroke=strokes|spot=spots}; “{name}” is the "
        "second.",
        "Leave one. If two adults tap differently, say who does what: `x(helper: knuckles; "
        "leader: flat hand)`.",
    ),
    "lane/no-role": Text(
        "`{name}` before the colon is no adult of this story." + _NEAR,
        "Write one that stands under `roles:`, as in `x(helper: knuckles; leader: flat hand)`.",
    ),
    "lane/adult-of-adult": Text(
        "`{name}` can't stand in what `{role}` does on this tap.",
        "Divide adults with `;`: `x(helper: knuckles; leader: flat hand)`.",
    ),
    "lane/bracket": Text(
        "A bracket here is not closed, or doesn't follow a tap.",
        "Write what is special straight after the tap, as in `X(loud, knuckles)`.",
    ),
    "lane/strange": Text("`{mark}` is no mark of the rhythm." + _NEAR, _MARKS),
    "no-day": Text(
        "There is no day here: a day file says who is here, and who takes which role.",
        "Write `here: [AB, CD]`, and below it `roles:` with a line such as `leader: AB` for each.",
    ),
    "unknown-key/day": Text(
        "A day file has no “{key}”." + _NEAR,
        "It says who is `here:`, in `roles:` who takes which role, which `pupils:` are here, and "
        "how much to `tell:`.",
    ),
    "unknown-role": Text("The story has no role “{role}”." + _NEAR, "Its roles are {known:list}."),
    "pupil-in-day": Text(
        "“{name}” is the place of a pupil on the board.",
        "A day file holds adults alone: write two initials, or the name of a role.",
    ),
    "no-language": Text(
        "“{tag}” is the tag of no language.",
        "Write the short tag that BCP 47 gives it, `pl` for Polish, `ur` Urdu, "
        "`pa` Punjabi, `so` Somali, `ar` Arabic, `cy` Welsh, `ro` Romanian.",
    ),
    "no-such-place": Text(
        "The board has no place “{name}”.",
        "Its places are {known:list}. A number of pupils will do, too: `pupils: 3`.",
    ),
    "day-shape/pupils": Text(
        "This is not written as a day file needs it.",
        "Write the places of the pupils who are here, `pupils: [A, C]`, or how many: `pupils: 3`.",
    ),
    "day-shape/tell": Text(
        "This is not written as a day file needs it.",
        "Write `tell: whole`, `lighter`, `short` or `refrain`, or leave it out.",
    ),
    "day-shape/roles": Text(
        "This is not written as a day file needs it.",
        "`roles:` names a role and who takes it on each line below it.",
    ),
    "day-shape/one-adult": Text(
        "This is not written as a day file needs it.",
        "One adult takes a role; name the others in `here:`.",
    ),
    "day-shape/adult": Text(
        "This is not written as a day file needs it.",
        "Write each adult as initials or as the name of a role.",
    ),
    "day-shape/list": Text(
        "This is not written as a day file needs it.", "Write adults as a list: `[AB, CD]`."
    ),
    "day-shape/long": Text(
        "This is not written as a day file needs it.",
        "Initials or the name of a role are enough.",
    ),
}
