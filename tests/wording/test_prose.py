"""Everything in the code that looks like prose goes through the catalogue, or is listed here.

The list says of every file what in it is no text for a reader, and why it looks like one.
"""

import re
from pathlib import Path

import pytest

from tapscore.wording.terms import TERMS
from tests.wording.prose import PACKAGE, prose_in

PDF = "names in PDF files (ISO 32000), tags of HTML and of other formats"
KEY = "a key or word of the story file, or of another file"
PROGRAM = "what another program says or is told"
PLACES = "names for places, never shown"
TRANSLATOR = "said to translators and programmers, or where no language could be read"
EXAMPLE = "an example of what a story file may say"
FILES = "names of files and folders, and what is in files of ours, which stay the same"
TYPE = "types"
WORDS = "words of English that stories are made of"
STYLE = "how Qt draws"
SETTING = "a word of the settings"
COMMAND = "a command's name in the program, or its keys"
ALLOWED: dict[str, dict[str, str]] = {
    "": {
        r"Artifact|Figure|Table|Span|Layout|Block|Column|Row|Document|Title|Normal|Measure": PDF,
        r"(prop|props) (in|out)|(handed|warned|done) (by|through)|look for|way out": KEY,
        r"warn first|small parts|one each|prop handler|every pupil|not (known|today)": KEY,
        r"[“”…{} ]*": "marks and values alone",
    },
    "checks/accepting.py": {
        r"the story|the start of .*|turns with .*|.* after .*|(section|refrain|prop) .*": (
            "places as the story file names them under accepted"
        ),
    },
    "checks/examples.py": {r".*": "story files"},
    "checks/hazard_words.py": {r"\(\?:.*": "patterns"},
    "checks/props/coming_and_going.py": {r"(offered|leaves) before it .*|comes while .*": PLACES},
    "cli/click_words.py": {r".*": "what click says, as keys of how we say it"},
    "cli/first_page.py": {
        r"Show .* and exit\.|(Usage|Options|Commands):.*": "click's words, for English alone"
    },
    "cli/recordings.py": {r"LINE SOUND": "what stands for values"},
    "cli/stories.py": {r"out of date|same title": "keys of JSON"},
    "gui/app.py": {r"Fusion": STYLE},
    "gui/clipboard.py": {r"Copied": "what a story in the clipboard is called, never shown"},
    **{
        f"gui/commands/{name}.py": {r"[a-z]+ [a-z]+|Del|Ins, .*|Ctrl.*|Space": COMMAND}
        for name in ("change_menu", "file_menu", "listen_menu", "rhythm_menu", "view_menu")
    },
    "gui/editor/editing.py": {
        r"words \{\}": "a name for steps that are joined",
        r"\.,;:.*": "signs",
    },
    "gui/editor/row_painting.py": {r"must mend|high contrast": "values"},
    "gui/editor/story_delegate.py": {r"font-size: .*": STYLE},
    "gui/felt/band_colours.py": {r"high contrast": SETTING},
    "gui/felt/measure_dialog.py": {r"\{\} \{\} dB": "figures with a unit of the SI"},
    "gui/fonts.py": {r"Atkinson Hyperlegible": "a font's name"},
    "gui/help_windows.py": {r"tapscore \{\}\n\n\{\}": "the program's name"},
    "gui/language.py": {r"language \{\}": COMMAND},
    "gui/palettes.py": {r"high contrast": SETTING, r"\s+\* \{.*": STYLE},
    "gui/panels/details_panel.py": {r"warned by": KEY},
    "gui/panels/story_panel.py": {
        r"next year|largest jump|least wait|introduce gently|oldest pupil": KEY
    },
    "gui/records/keeping_page.py": {r"\{\} copy\{\}|handed over\{\}": FILES},
    "gui/recovery.py": {r"put away": FILES},
    "gui/settings.py": {
        r"reduced motion|(part|home) language|my board|own words|stories folder|hints seen": SETTING
    },
    "gui/sound/port_audio.py": {r"Windows WASAPI": PROGRAM},
    "gui/system_looks.py": {r"Letter|high contrast": SETTING},
    "gui/today/outcome_view.py": {r"QHeaderView::section .*": STYLE},
    "screen/heard_rows.py": {r"this (line|section)|what is selected": "values"},
    "screen/rows.py": {r"refrain returns|not understood": "values"},
    "screen/sheets.py": {r"\{\} \{\} mm": "figures with a unit of the SI"},
    "exports/audio/sound_file.py": {r"No space left|comment=Cover \(front\)": PROGRAM},
    "exports/audio/versions/page.py": {r"<.*>": PDF},
    "exports/audio/home/page.py": {r"<.*>": PDF},
    "exports/audio/voice/library_voice.py": {r"eSpeak NG.*": PROGRAM},
    "exports/audio/voice/program.py": {r"Data": PROGRAM},
    "exports/audio/voice/recordings.py": {
        r"words recorded\.txt|\{\} recordings": FILES,
    },
    "exports/board/labels.py": {r"right left below above": PLACES},
    "exports/board/layout.py": {r"[a-z ]*(right left|above|below)[a-z ]*": PLACES},
    "exports/musicxml.py": {r" Measure \{\} ": "a comment of the file, as music21 writes it"},
    "exports/paper/drawing.py": {r"from left|from right": PLACES},
    "exports/paper/fonts.py": {r"C[fcs]": "classes of characters (Unicode)"},
    "exports/paper/pages.py": {
        r"Letter": "a word of the settings",
        r"\{\} x \{\} mm": "figures with a unit of the SI",
    },
    "exports/paper/pdf.py": {
        r"Type|Tabs|Nums|Marked|Pg|Scope|Alt|Placement|Lang| ?/.*": PDF,
    },
    "exports/paper/pdf_objects.py": {r".* beginbfchar\n": PDF},
    "exports/paper/xmp.py": {r"<.*>": PDF},
    "exports/written/docx_document.py": {r"Atkinson Hyperlegible|Table Grid": PDF},
    "model/naming.py": {r"Named": TYPE},
    "model/observing.py": {r"many words|one of|some of": PLACES},
    "model/tempo.py": {r"\{\} to \{\}": "as the story file says it"},
    "records/data.py": {r"class record|keep until|next story|way in": KEY},
    "records/note_cells.py": {r"Kind": TYPE, r"a cell of the table": TRANSLATOR},
    "records/notes_table.py": {r"Story|before( the)? cue\??": "headings of a table that is read"},
    "records/record_file.py": {r"class records": "a folder's name"},
    "records/sealed.py": {r"how long does it take": "a passphrase to measure with"},
    "rehearsal/differences.py": {r" ,.*": "marks"},
    "resources.py": {r"tapscore's own file.*": TRANSLATOR},
    "rhythm/moments.py": {
        r"the start|refrain “.*|the \{\} “.*|wait after.*|offering of.*|\{\}, \{\} time": (
            "names of moments as class records keep them; moment_words shows them"
        ),
    },
    "storyfile/kinds.py": {r"Doc": TYPE, r"some words": EXAMPLE},
    "storyfile/languages.py": {r"[a-z ]+": "tags of languages"},
    "storyfile/near.py": {r"(whole|open) hand|one finger|heel of the hand|all adults": KEY},
    "storyfile/shape.py": {
        r"next year": KEY,
        r"Evening|[{\[].*|.* wooden beads|wooden .*|The Lantern Boat|Willow": EXAMPLE,
        r"a ribbon .*|under .*": EXAMPLE,
        r"tapscore story file": "the title of the schema",
    },
    "storyfile/shape_board.py": {r"oldest pupil": KEY},
    "storyfile/shape_comfort.py": {
        r"largest jump|least wait|introduce gently": KEY,
        r"\[.*|Splash!|the class waits for this": EXAMPLE,
    },
    "storyfile/shape_items.py": {
        r"Wiosłuj, latarnio|[{\[].*|Row the lan-tern|row home": EXAMPLE,
    },
    "storyfile/shape_manner.py": {r"quiet to loud|\[.*": EXAMPLE},
    "storyfile/yaml_faults.py": {r".*": "what the YAML library says"},
    "words/clauses.py": {r"(look|say|now|in out|go goes) .*": WORDS},
    "words/derive.py": {r".*": WORDS},
    "words/guess.py": {r"window.*": "a name of what a model sees"},
    "words/scripts.py": {r"[A-Z ]+": "names of characters (Unicode)"},
    "words/split.py": {r".*": WORDS},
    "words/spoken.py": {r".*": WORDS},
    "words/suggest_metre.py": {r"hush .*": WORDS},
    "wording/about.py": {r"About\(.*": TRANSLATOR},
    "wording/catalogue.py": {r"English|The language.*|There is no language.*": TRANSLATOR},
    "wording/text.py": {r".*\{\{.*": TRANSLATOR},
    "wording/translations.py": {r".*": TRANSLATOR},
    "workflow/fitting.py": {r"Out in the boat": "words to get ready with, shown to nobody"},
    "workflow/docx_words.py": {r"Fallback": PDF},
    "workflow/keeping/versions.py": {r"earlier versions|states of": FILES},
    "workflow/my_stories.py": {r"Archive": FILES},
    "workflow/known_story.py": {r"my stories\.json": FILES},
    "workflow/new_story.py": {r"[^\w]+": "marks"},
    "workflow/next_year.py": {r"next year": KEY},
    "workflow/own_board.py": {r".*\.json": FILES},
    "workflow/paper_products.py": {r"Printed": TYPE},
    "workflow/plain_words.py": {r"[^\w]+": "marks"},
    "workflow/printed.py": {r".*\.json": FILES},
    "workflow/products.py": {r"Choices|Export|Product|Progress|Sound": TYPE},
    "workflow/records/paper_files.py": {r".*\.txt": FILES},
    "workflow/swap_pack.py": {r"tapscore pack|next year|\{\} recordings": FILES},
    "workflow/today/day_beside.py": {r"\{\} \(not read\{\}\)\{\}": FILES},
    "workflow/today/lessening.py": {r"\[“”.*": "a pattern"},
    "workflow/whole_files.py": {r"made by tapscore|about to be made|made for": KEY},
}


def _allowed(name: str, words: str) -> bool:
    if name.startswith("wording/english/") or words in TERMS:
        return True  # texts of findings are all looked up; terms are shown as `term` says
    patterns = (*ALLOWED[""], *ALLOWED.get(name, ()))
    return any(re.fullmatch(pattern, words, re.DOTALL) for pattern in patterns)


def _left(package: str) -> list[str]:
    """What of a package is said without the catalogue."""
    path = PACKAGE / package
    files = sorted(path.rglob("*.py")) if path.is_dir() else [path]
    return [
        f"{file.relative_to(PACKAGE)}:{prose.line}: {prose.words!r}"
        for file in files
        for prose in prose_in(file.read_text(encoding="utf-8"), shows_faults=package == "workflow")
        if not _allowed(str(file.relative_to(PACKAGE).as_posix()), prose.words)
    ]


def _packages() -> list[str]:
    return sorted(
        path.name
        for path in Path(PACKAGE).iterdir()
        if path.suffix == ".py" or (path / "__init__.py").is_file()
    )


@pytest.mark.parametrize("package", _packages())
def test_every_text_goes_through_the_catalogue(package: str) -> None:
    assert _left(package) == []


def test_nothing_is_allowed_that_is_not_there() -> None:
    """Each pattern stands for something."""
    files = {file.relative_to(PACKAGE).as_posix(): file for file in PACKAGE.rglob("*.py")}
    for name, patterns in ALLOWED.items():
        if name:
            said = {prose.words for prose in prose_in(files[name].read_text(encoding="utf-8"))}
            for pattern in patterns:
                assert any(re.fullmatch(pattern, words, re.DOTALL) for words in said), pattern


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("x = 'Open the file'", True),
        ("x = f'Wait {n}'", True),
        ("x = f'{n} turns'", True),
        ("x = 'Open'", True),
        ("x = say('Open the file')", False),
        ("x = say('{a} more', a='the one')", True),
        ("x = 'warm-up'", False),
        ("def f():\n    'A docstring here.'", False),
        ("raise ValueError('not a role here')", False),
        ("raise OwnError('Look at the file.')", True),
        ("x: 'dict[str, int] | None' = 1", False),
        ("re.compile('two words')", False),
    ],
)
def test_prose_is_found(source: str, found: bool) -> None:
    assert bool(prose_in(source)) == found


def test_faults_that_are_shown_are_found() -> None:
    for source, found in (
        ("raise ValueError('line 3 is no time')", True),
        ("raise ValueError(f'{n} taps')", True),
        ("try:\n    f()\nexcept OSError as e:\n    raise ValueError('it breaks off') from e", True),
        ("raise ValueError(say('line 3 is no time'))", False),
        ("raise ValueError", False),
        ("assert n, 'a fault of ours'", False),
    ):
        assert bool(prose_in(source, shows_faults=True)) == found
