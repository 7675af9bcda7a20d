"""Every command of the window: its name, key and what it says of itself, once."""

from attrs import frozen


@frozen
class Command:
    """One thing that can be done."""

    id: str
    menu: str
    name: str
    key: str = ""
    about: str = ""
    in_story: bool = False
    """Whether its key only works while the story has the focus (single letters)."""


COMMANDS = (
    Command("new", "File", "New from words ...", "Ctrl+N", "Make a story from plain words"),
    Command("open", "File", "Open ...", "Ctrl+O", "Open a story file"),
    Command("save", "File", "Save", "Ctrl+S", "Save the story"),
    Command("save as", "File", "Save as ...", "Ctrl+Shift+S", "Save under another name"),
    Command("export", "File", "Make cards and sound ...", "Ctrl+E", "Cards, cue sheet, sound"),
    Command("print", "File", "Print ...", "Ctrl+P", "Look at the pages and print them"),
    Command("day", "File", "Today's staff ...", "Ctrl+T", "Who is here, and what changes"),
    Command("gentler", "File", "Gentler copy", "", "The same words and shape, softer and slower"),
    Command("livelier", "File", "Livelier copy", "", "The same words and shape, brisker"),
    Command("short", "File", "Short copy", "", "Start, refrain and finish"),
    Command("close", "File", "Close", "Ctrl+W", "Close this window"),
    Command("undo", "Change", "Undo", "Ctrl+Z", "Take back the last step"),
    Command("redo", "Change", "Redo", "Ctrl+Y", "Do again what was taken back"),
    Command("words", "Change", "Change words", "F2", "Type the words of the line"),
    Command("repeat", "Change", "Repeat below", "Ctrl+D", "The same once more below"),
    Command("up", "Change", "Move up", "Alt+Up", "Move the line up"),
    Command("down", "Change", "Move down", "Alt+Down", "Move the line down"),
    Command("refrain", "Change", "Refrain or not", "Ctrl+R", "Make it a refrain, or write it out"),
    Command("delete", "Change", "Delete", "Del", "Take the line away", in_story=True),
    Command("paste", "Change", "Paste words", "Ctrl+V", "Lines from copied words", in_story=True),
    Command("add line", "Add", "Line", "Ins", "A new line below", in_story=True),
    Command("add wait", "Add", "Wait", "W", "Silence until the pupils answer", in_story=True),
    Command("add offer", "Add", "Offering", "O", "A prop for each pupil in turn", in_story=True),
    Command("add return", "Add", "Refrain's return", "R", "The refrain comes here", in_story=True),
    Command("add section", "Add", "Section", "Ctrl+Ins", "A new section after this one"),
    Command("rhythm", "Rhythm", "Another rhythm", "N", "The next-best fit", in_story=True),
    Command("tap in", "Rhythm", "Tap it in ...", "T", "Tap the rhythm on the space bar", True),
    Command("tap", "Rhythm", "Tap or no tap", "Space", "Take or give a tap", in_story=True),
    Command("add tap", "Rhythm", "Add a tap", "A", "In the next empty step", in_story=True),
    Command("strong", "Rhythm", "Strong tap", "S", "A little stronger, or not", in_story=True),
    Command("earlier", "Rhythm", "Tap earlier", "Ctrl+Left", "Move it a step", in_story=True),
    Command("later", "Rhythm", "Tap later", "Ctrl+Right", "Move it a step", in_story=True),
    Command("longer", "Rhythm", "Hold longer", "H", "It lasts a step more", in_story=True),
    Command("shorter", "Rhythm", "Hold shorter", "Shift+H", "A step less", in_story=True),
    Command("louder", "Rhythm", "Louder", "Ctrl++", "The line, or the tap", in_story=True),
    Command("quieter", "Rhythm", "Quieter", "Ctrl+-", "The line, or the tap", in_story=True),
    Command("listen", "Listen", "Listen from here", "F5", "From the line you are in"),
    Command("listen start", "Listen", "Listen from the beginning", "Ctrl+F5", "The whole story"),
    Command("listen stop", "Listen", "Stop", "F6", "Be silent; Escape does so too"),
    Command("go on", "Listen", "Go on", "F7", "Leave a wait or an offering; in the story: Space"),
    Command("loop line", "Listen", "Loop this line", "F8", "Over and over, or no more"),
    Command("loop section", "Listen", "Loop this section", "Shift+F8", "Over and over"),
    Command("loop selected", "Listen", "Loop what is selected", "Ctrl+F8", "Over and over"),
    Command("slower", "Listen", "Slower", "F9", "Three quarters of the speed, then half"),
    Command("less slow", "Listen", "Less slow", "Shift+F9", "Back towards the speed as written"),
    Command("my part", "Listen", "Choose my part", "F4", "Whose taps are louder"),
    Command("practise", "Listen", "Practise or not", "Shift+F4", "Tap your part on the space bar"),
    Command("count in", "Listen", "Count in or not", "Ctrl+F9", "Clicks for a bar before"),
    Command("record", "Listen", "Record the lines ...", "Ctrl+L", "Speak the story, line by line"),
    Command("details", "View", "Details", "Ctrl+Return", "Open the line's details, or close them"),
    Command("larger", "View", "Larger text", "Ctrl+Shift++", "Up to twice as large"),
    Command("smaller", "View", "Smaller text", "Ctrl+Shift+-", "Down to the usual size"),
    Command("light", "View", "Light", "", "Dark letters on light ground"),
    Command("dark", "View", "Dark", "", "Light letters on dark ground"),
    Command("contrast", "View", "High contrast", "", "White on black"),
    Command("still", "View", "Less movement", "", "The cursor jumps, and nothing glides"),
    Command("keys", "Help", "Keys", "F1", "All keys in a list"),
    Command("about", "Help", "About and cautions", "", "What tapscore is, and what to mind"),
)
MENUS = tuple(dict.fromkeys(command.menu for command in COMMANDS))
