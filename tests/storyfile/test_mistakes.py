"""Every mistake is found with its place, in words a teacher can use, and what to do."""

import re

import pytest
from attrs import evolve

from tapscore.model.finding import Finding
from tapscore.model.story import Unread
from tapscore.storyfile.read import StoryText, read_bytes, read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.text import Surface

HEAD = "tapscore: 2\ntitle: T\n"
STORY = "story:\n  - section: One\n    lines:\n"
LINE = '      - words: Row the lan-tern\n        lane: "| X . x X . x |"\n'
BOARD = "board: {size_cm: [120, 90], spots: {middle: [60, 45]}, seats: {north: [60, 90]}}\n"


def _said(finding: Finding) -> tuple[int, int, str]:
    assert finding.span is not None
    return finding.span.line, finding.span.column, finding.code


def _one(text: str) -> Finding:
    findings = read_text(text).findings
    assert len(findings) == 1, findings
    return findings[0]


# text, line, column, code, what the message says, what the remedy says
ONE_MISTAKE: dict[str, tuple[str, int, int, str, str, str]] = {
    "tab": (HEAD + "story:\n\t- section: One\n", 4, 1, "yaml", "A tab stands", "Use spaces"),
    "tab further on": (
        *(HEAD + STORY + "      - words: a\n\t\tlane: x\n", 7, 1, "yaml"),
        *("A tab stands", "Use spaces"),
    ),
    "tab after a dash": (
        *(HEAD + STORY + "      -\twords: a\n", 6, 8, "yaml"),
        *("A tab stands here", "Use a space"),
    ),
    "colon in words": (
        *(HEAD + STORY + "      - words: Out: the boat\n", 6, 19, "yaml"),
        *("second colon", "quotes round words"),
    ),
    "quotes not closed": (
        *(HEAD + STORY + '      - words: "Row', 6, 16, "yaml"),
        *("never closed", "same quote mark at the end"),
    ),
    "quotes not closed before a lane": (
        *(HEAD + STORY + '      - words: "Row\n        lane: "| X |"\n', 7, 18, "yaml"),
        *("outside quotes", "line above closes its quotes"),
    ),
    "key not lined up": (
        *(HEAD + STORY + "      - words: a\n       lane: x\n", 7, 8, "yaml"),
        *("doesn't line up", "count the spaces"),
    ),
    "dash not lined up": (
        *(HEAD + STORY + "      - words: a\n     - words: b\n", 7, 6, "yaml"),
        *("doesn't line up", "count the spaces"),
    ),
    "no colon": (
        *(HEAD + STORY + "      - words: a\n        lane x\n      - words: b\n", 7, 9, "yaml"),
        *("colon is missing", "Write the name, a colon, a space"),
    ),
    "no space after a colon": (
        *("tapscore:1\ntitle:T\nstory:\n", 3, 6, "yaml"),
        *("space is missing after the colon", "a colon, a space"),
    ),
    "no colon above": (
        *(HEAD + "metre: 6/8\n  tempo: 54\nstory: []\n", 4, 8, "yaml"),
        *("too far to the right", "Line it up"),
    ),
    "begins with %": (
        *(HEAD + "spot: %x\n", 3, 7, "yaml"),
        *("can't start with this mark", "Put quotes round"),
    ),
    "begins with @": (
        *(HEAD + "spot: @x\n", 3, 7, "yaml"),
        *("can't start with this mark", "Put quotes round"),
    ),
    "begins with a bracket": (
        *(HEAD + "spot: ]\n", 3, 7, "yaml"),
        *("can't start with this mark", "Put quotes round"),
    ),
    "unknown tag": (
        *(HEAD + "spot: !a!b middle\n", 3, 7, "yaml"),
        *("can't start with this mark", "Put quotes round"),
    ),
    "bracket not closed": (
        *(HEAD + "by: [leader, beat\nmetre: 6/8\n" + STORY, 3, 5, "yaml"),
        *("bracket that opens here is not closed", "close every `[`"),
    ),
    "brace not closed": (
        *(HEAD + "board: {size_cm: [1, 2]\n" + STORY + LINE, 3, 8, "yaml"),
        *("bracket that opens here is not closed", "close every `[`"),
    ),
    "lane without quotes": (
        *(HEAD + STORY + "      - words: a\n        lane: | X |\n", 7, 17, "yaml"),
        *("A rhythm needs quotes", '`lane: "| X x x |"`'),
    ),
    "bell character": (
        *(HEAD + "title2: a\x07b\n", 3, 10, "strange-character"),
        *("can't be seen", "Delete it"),
    ),
    "words only": (
        *("Once upon a time\nthere was a boat\n", 1, 1, "no-story"),
        *("no story here", "tapscore new"),
    ),
    "a list": ("- a\n- b\n", 1, 1, "no-story", "no story here", "tapscore new"),
    "comments only": ("# a\n", 1, 1, "no-story", "no story here", "tapscore new"),
    "another file": ("name: x\nversion: 2\n", 1, 1, "no-story", "no story here", "tapscore new"),
    "nothing": ("", 1, 1, "empty", "is empty", "tapscore new"),
    "spaces": (" \n\n", 1, 1, "empty", "is empty", "tapscore new"),
    "anchor": (
        *(HEAD + BOARD + "spot: &x middle\n" + STORY + LINE, 4, 7, "shared-part"),
        *("`&x` names a part to be shared", "refrains"),
    ),
    "alias": (
        *(HEAD + "spot: *x\n" + STORY + LINE, 3, 7, "shared-part"),
        *("`*x` points to another part", "Write the words out"),
    ),
    "tag": (
        *(HEAD + BOARD + "spot: !!str middle\n" + STORY + LINE, 4, 7, "typed-part"),
        *("says what kind of thing", "put quotes round"),
    ),
    "merge key": (
        *(HEAD + "<<: {metre: 6/8}\n" + STORY + LINE, 3, 1, "unknown-key"),
        *("`<<:` is not known", "Known here"),
    ),
    "second document": (
        *(HEAD + STORY + LINE + "---\ntitle: U\n", 8, 1, "second-story"),
        *("A second story", "file of its own"),
    ),
    "duplicate key": (
        *(HEAD + "title: U\n" + STORY + LINE, 3, 1, "duplicate-key"),
        *("already said in line 2", "Keep one"),
    ),
    "duplicate inside": (
        *(HEAD + STORY + LINE + "        words: b\n", 8, 9, "duplicate-key"),
        *("already said in line 6", "Keep one"),
    ),
    "too deep": (
        *(HEAD + "spot: " + "[" * 100 + "]" * 100 + "\n", 3, 30, "too-deep"),
        *("more than 24 deep", "never closed"),
    ),
    "list for a key": (
        *(HEAD + "[a, b]: c\n" + STORY + LINE, 3, 1, "key-not-text"),
        *("must be plain words", "Write one name"),
    ),
    "unknown key": (
        *(HEAD + "temp: 54\n" + STORY + LINE, 3, 1, "unknown-key"),
        *("`temp:` is not known for a story. Did you mean `tempo`?", "can follow a `#`"),
    ),
    "unknown key of a line": (
        *(HEAD + STORY + LINE + "        loud: x\n", 8, 9, "unknown-key"),
        *("not known for a line. Did you mean `loudness`?", "Known here: `words`"),
    ),
    "metre 3/5": (
        *(HEAD + "metre: 3/5\n" + STORY + LINE, 3, 8, "wrong-value"),
        *("`metre` can't be `3/5`. Did you mean", "one of `2/4`, `3/4`"),
    ),
    "tempo 0": (
        *(HEAD + "tempo: 0\n" + STORY + LINE, 3, 8, "wrong-value"),
        *("`tempo` can't be `0`", "from 20 to 300"),
    ),
    "tempo 10,000": (
        *(HEAD + "tempo: 10000\n" + STORY + LINE, 3, 8, "wrong-value"),
        *("`tempo` can't be `10000`", "for example `tempo: 54`"),
    ),
    "tempo as list": (
        *(HEAD + "tempo: [54, 40]\n" + STORY + LINE, 3, 8, "wrong-kind"),
        *("one thing, not a list", "`tempo: 54`"),
    ),
    "title with names": (
        *("tapscore: 2\ntitle: {a: b}\n" + STORY + LINE, 2, 8, "wrong-kind"),
        *("one thing, not names with colons", "`title: The Lantern Boat`"),
    ),
    "newer version": (
        *("tapscore: 3\ntitle: T\nstory: []\n", 1, 1, "newer-version"),
        *("written for a newer tapscore (file version 3", "Install the newer"),
    ),
    "no version": (
        *("title: T\nstory: []\n", 1, 1, "missing"),
        *("`tapscore:` is missing", "`tapscore: 2`"),
    ),
    "version in words": (
        *("tapscore: one\ntitle: T\nstory: []\n", 1, 11, "wrong-value"),
        *("can't be `one`", "`tapscore: 2`"),
    ),
    "no title": (
        *("tapscore: 2\nstory: []\n", 1, 1, "missing"),
        *("`title:` is missing", "`title: The Lantern Boat`"),
    ),
    "refrain calls itself": (
        *(HEAD + "refrains:\n  a:\n    - refrain: a\n" + STORY + LINE, 4, 3, "refrain-circle"),
        *("`a` comes back to itself", "Take out of it"),
    ),
    "unknown refrain": (
        HEAD + "refrains: {row home: [{words: a}]}\n" + STORY + "      - refrain: row hom\n",
        *(7, 9, "unknown-name", "no refrain called `row hom`. Did you mean `row home`?"),
        "Write one of `row home`",
    ),
    "unknown role": (
        *(HEAD + "roles: {beat-keeper: {}}\nby: beat-kepper\n" + STORY + LINE, 4, 1),
        *("unknown-name", "Did you mean `beat-keeper`?", "add `beat-kepper` under `roles:`"),
    ),
    "unknown spot": (
        *(HEAD + BOARD + "spot: midle\n" + STORY + LINE, 4, 1, "unknown-name"),
        *("Did you mean `middle`?", "under `spots:` of the board"),
    ),
    "unknown seat": (
        *(HEAD + BOARD + "roles: {a: {seat: nroth}}\n" + STORY + LINE, 4, 13, "unknown-name"),
        *("Did you mean `north`?", "under `seats:` of the board"),
    ),
    "no prop at all": (
        *(HEAD + STORY + "      - offer: beads\n", 6, 9, "unknown-name"),
        *("no prop called `beads`", "has no prop yet: add `beads`"),
    ),
    "more syllables than places": (
        HEAD + STORY + '      - words: Row the lan-tern home\n        lane: "| X . x X . x |"\n',
        *(6, 9, "words-and-lane"),
        *("5 syllables and the rhythm has places for 4; “home” is the first", "Add 1 mark"),
    ),
    "more places than syllables": (
        HEAD + STORY + '      - words: Row the\n        lane: "x | X . x X . x |"\n',
        *(7, 9, "words-and-lane"),
        *("first place without one is in bar 1, step 3", "take 3 marks out"),
    ),
    "place in a pickup": (
        HEAD + STORY + '      - words: Row\n        lane: "x x | . |"\n',
        *(7, 9, "words-and-lane", "is in the pickup, step 2", "a tap without a syllable is `t`"),
    ),
    "no bar line": (
        *(HEAD + STORY + '      - words: a\n        lane: "X . ."\n', 7, 16, "lane"),
        *("no bar line", "before each strong beat"),
    ),
    "no bar": (
        *(HEAD + STORY + '      - words: a\n        lane: "X . |"\n', 7, 16, "lane"),
        *("nothing stands after its bar line", "Put `|` before the strong beat"),
    ),
    "strange mark": (
        *(HEAD + STORY + '      - words: a\n        lane: "| × . |"\n', 7, 18, "lane"),
        *("`×` is no mark of the rhythm. Did you mean `x`?", "The marks are"),
    ),
    "loose bracket": (
        *(HEAD + STORY + '      - words: a\n        lane: "| x (loud) |"\n', 7, 20, "lane"),
        *("doesn't follow a tap", "straight after the tap"),
    ),
    "unknown in brackets": (
        HEAD + STORY + '      - words: a\n        lane: "| x(quiet, lowd) |"\n',
        *(7, 27, "lane", "`lowd` in the brackets", "under `roles:` or `spots:`"),
    ),
    "brackets on no tap": (
        *(HEAD + STORY + '      - words: a\n        lane: "| s(loud) |"\n', 7, 20, "lane"),
        *("Only a tap can have brackets", "write `x` or `t`"),
    ),
    "nothing to hold": (
        *(HEAD + STORY + '      - words: a\n        lane: "| . _ x |"\n', 7, 20, "lane"),
        *("nothing to hold", "Write `.`"),
    ),
    "empty bar": (
        *(HEAD + STORY + '      - words: a\n        lane: "| x | | . |"\n', 7, 22, "lane"),
        *("Two bar lines", "Take one out"),
    ),
    "too fast": (
        HEAD + STORY + f'      - words: {"a " * 13}\n        lane: "| {"x" * 13} |"\n',
        *(7, 30, "lane", "13 marks share one step", "Put spaces between"),
    ),
    "lane too long": (
        HEAD + STORY + f'      - words: a\n        lane: "| x {". " * 600}|"\n',
        *(7, 16, "lane", "601 steps", "several lines"),
    ),
    "line too long": (
        *(HEAD + STORY + f"      - words: {'la ' * 700}\n", 6, 9, "line-too-long"),
        *("2099 letters", "several lines"),
    ),
    "lane as list": (
        *(HEAD + STORY + "      - words: a\n        lane: [X, x]\n", 7, 15, "wrong-kind"),
        *("one piece of text in quotes", "lane:"),
    ),
    "no words": (
        *(HEAD + STORY + "      - words:\n", 6, 15, "wrong-value"),
        *("`words` says nothing yet", "`words: Row the lan-tern`"),
    ),
    "no known item": (
        *(HEAD + STORY + "      - wate: 5\n", 6, 9, "what-is-this"),
        *("Did you mean `wait`?", "`- words:`, `- wait:`"),
    ),
    "empty dash": (
        *(HEAD + STORY + "      -\n", 6, 8, "what-is-this"),
        *("Nothing follows this dash", "Take it out"),
    ),
    "line without a section": (
        *(HEAD + "story:\n  - words: a\n", 4, 5, "no-section"),
        *("belongs to no section", "move it to the right"),
    ),
    "text for a section": (
        *(HEAD + "story:\n  - Evening\n", 4, 5, "wrong-kind"),
        *("should be a section", "`- section: ...`"),
    ),
    "lines without dashes": (
        *(HEAD + STORY + "      words: a\n", 6, 7, "wrong-kind"),
        *("each with a dash in front", "`- words:`"),
    ),
    "a pupil's name": (
        HEAD + "board: {size_cm: [120, 90], places: {Anna: {at: [60, 45]}}}\n" + STORY + LINE,
        *(3, 38, "place-letter", "never a name", "Names of pupils stay out"),
    ),
    "a point in words": (
        *(HEAD + "board: {size_cm: 120 x 90}\n" + STORY + LINE, 3, 18, "wrong-kind"),
        *("width and depth in centimetres", "`size_cm: [120, 90]`"),
    ),
    "board without size": (
        *(HEAD + "board: {gap_mm: 20}\n" + STORY + LINE, 3, 8, "missing"),
        *("`size_cm:` is missing", "`size_cm: [120, 90]`"),
    ),
    "role called knuckles": (
        *(HEAD + "roles: {knuckles: {}}\n" + STORY + LINE, 3, 9, "name-clash"),
        *("already means something else", "another name"),
    ),
    "role and spot": (
        *(HEAD + BOARD + "roles: {middle: {}}\n" + STORY + LINE, 4, 9, "name-clash"),
        *("both a role and a spot", "another name"),
    ),
    "role with a comma": (
        *(HEAD + 'roles: {"a,b": {}}\n' + STORY + LINE, 3, 9, "name-clash"),
        *("a comma", "another name"),
    ),
    "role too long": (
        *(HEAD + f"roles: {{{'a' * 61}: {{}}}}\n" + STORY + LINE, 3, 9, "name-clash"),
        *("too long to be written on a card", "another name"),
    ),
    "wait in words": (
        *(HEAD + STORY + "      - wait: ten\n", 6, 15, "wrong-value"),
        *("`wait` can't be `ten`", "from 1 to 600"),
    ),
    "loudness half known": (
        *(HEAD + "loudness: quiet to lound\n" + STORY + LINE, 3, 11, "wrong-value"),
        *("Did you mean `loud`?", "`very quiet`"),
    ),
    "emoji before a mistake": (
        HEAD + 'language: "🙂🙂"\nmetre: 🙂\n' + STORY + LINE,
        *(4, 8, "wrong-value", "can't be `🙂`", "for example `metre: 6/8`"),
    ),
}


@pytest.mark.parametrize("name", ONE_MISTAKE)
def test_one_mistake(name: str) -> None:
    text, line, column, code, message, remedy = ONE_MISTAKE[name]
    finding = _one(text)
    assert _said(finding) == (line, column, code)
    assert message in finding.message
    assert remedy in finding.remedy
    assert finding.must_mend


@pytest.mark.parametrize("name", ONE_MISTAKE)
def test_the_words_are_plain(name: str) -> None:
    """House rule: a sentence that ends, no 'invalid', no type names or Python in it."""
    finding = _one(ONE_MISTAKE[name][0])
    assert "`" not in "".join(finding.said(Surface.WINDOW)).replace(ONE_MISTAKE[name][0], "")
    for sentence in (*finding.said(Surface.FILE), *finding.said(Surface.WINDOW)):
        assert sentence.endswith((".", "?"))
        assert len(sentence) < 330
        assert not re.search(
            r"\b(invalid|error|None|null|str|int|dict|mapping|scalar|node|parse|token)\b", sentence
        )


@pytest.mark.parametrize("name", ONE_MISTAKE)
def test_windows_line_ends_change_no_place(name: str) -> None:
    text, line, column, code, *_ = ONE_MISTAKE[name]
    findings = read_bytes(text.replace("\n", "\r\n").encode()).findings
    assert [_said(finding) for finding in findings] == [(line, column, code)]


def test_a_line_that_is_tapped_and_not_spoken() -> None:
    text = HEAD + STORY + '      - words: ""\n        lane: "| t . t . |"\n'
    source = read_text(text)
    assert source.findings == ()
    assert source.story is not None
    assert source.story.sections[0].items[0].words == ""  # type: ignore[union-attr]


def test_many_mistakes_in_one_pass() -> None:
    text = (
        "tapscore: 2\ntitle: [a]\nmetre: 7/9\ntempo: fast\npupils: many\nboard: big\n"
        "roles: leader\nprops: [beads]\nrefrains: none\nloudnes: loud\nstory:\n"
        "  - section: One\n    lines:\n      - words: Row\n        lane: Q\n      - wate: 3\n"
    )
    assert [_said(finding)[:2] for finding in read_text(text).findings] == [
        *[(2, 8), (3, 8), (4, 8), (5, 9), (6, 8), (7, 8), (8, 8), (9, 11), (10, 1)],
        *[(15, 15), (15, 15), (16, 9)],
    ]


def test_circle_through_another_refrain() -> None:
    text = HEAD + "refrains:\n  a:\n    - refrain: b\n  b:\n    - refrain: a\n" + STORY + LINE
    assert [_said(finding) for finding in read_text(text).findings] == [
        (4, 3, "refrain-circle"),
        (6, 3, "refrain-circle"),
    ]


def test_names_in_an_unreadable_board_are_still_known() -> None:
    """One mistake gives one finding, not one for everything that leans on it."""
    text = HEAD + BOARD.replace("[120, 90]", "big") + "spot: middle\n" + STORY + LINE
    assert _said(_one(text)) == (3, 18, "wrong-kind")


def _doubling(count: int) -> str:
    """Refrains that each use the next one twice: 2 to the power of ``count`` lines."""
    parts = [f"  r{i}:\n    - refrain: r{i + 1}\n    - refrain: r{i + 1}\n" for i in range(count)]
    refrains = "refrains:\n" + "".join(parts) + f"  r{count}:\n    - words: a\n"
    return HEAD + refrains + STORY + "      - refrain: r0\n"


def test_a_story_that_would_never_end_in_practice() -> None:
    assert read_text(_doubling(10)).findings == ()
    assert _said(_one(_doubling(60))) == (3, 1, "too-long-told")


def test_refrains_in_refrains_too_deep() -> None:
    parts = "".join(f"  r{i}:\n    - refrain: r{i + 1}\n" for i in range(150))
    text = HEAD + "refrains:\n" + parts + "  r150: []\n" + STORY + "      - refrain: r0\n"
    assert _said(_one(text)) == (3, 1, "too-long-told")


def test_more_names_than_a_story_has() -> None:
    text = HEAD + "props:\n" + "".join(f"  p{i}: {{}}\n" for i in range(30_000)) + STORY + LINE
    finding = _one(text)
    assert _said(finding) == (204, 3, "too-many")
    assert "30000 names under `props`" in finding.message


def test_a_long_chain_of_refrains_is_no_circle() -> None:
    parts = "".join(f"  r{i}:\n    - refrain: r{i + 1}\n" for i in range(150))
    text = HEAD + "refrains:\n" + parts + "  r150: []\n" + STORY + LINE
    assert read_text(text).findings == ()


def test_circles_that_share_a_refrain() -> None:
    uses = {"a": "bc", "b": "a", "c": "d", "d": "ad", "e": "a", "f": ""}
    parts = "".join(
        f"  {name}:\n"
        + "".join(f"    - refrain: {other}\n" for other in others)
        + "    - wait: 5\n"
        for name, others in uses.items()
    )
    findings = read_text(HEAD + "refrains:\n" + parts + STORY + LINE).findings
    assert [finding.path for finding in findings] == [("refrains", name) for name in "abcd"]


def test_a_flood_of_mistakes_is_cut_short() -> None:
    text = HEAD + "".join(f"key{i}: 1\n" for i in range(20_000)) + STORY + LINE
    findings = read_text(text).findings
    assert len(findings) == 201
    assert findings[-1].code == "many-more"


def _byte_finding(data: bytes) -> tuple[int, int, str]:
    source = read_bytes(data)
    assert source.story is None
    assert len(source.findings) == 1
    return _said(source.findings[0])


def test_files_that_are_no_text() -> None:
    assert _byte_finding(bytes(range(256))) == (1, 1, "not-text")
    assert _byte_finding(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR") == (1, 1, "not-text")
    assert _byte_finding(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n") == (2, 2, "not-text")
    assert _byte_finding(b"tapscore: 2\ntitle: caf\xe9\n") == (2, 11, "not-text")
    assert _byte_finding(b"\xff\xfea") == (1, 3, "not-text")
    assert _byte_finding(b"{\\rtf1\\ansi hello}") == (1, 1, "no-story")
    assert _byte_finding(b"") == (1, 1, "empty")


def test_ten_megabytes() -> None:
    assert _byte_finding(b"a" * 10_000_000) == (1, 1, "too-long")
    text = HEAD + STORY + LINE * 160_000
    assert len(text) > 10_000_000
    assert read_text(text).findings[0].code == "too-long"


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_marks_at_the_start_of_a_file(encoding: str) -> None:
    """Byte order marks as in the Unicode Standard, section 23.8."""
    text = "tapscore: 2\ntitle: Die Mühle 磨坊 🙂\nstory: []\n"
    marked = "\ufeff" + text if encoding.endswith(("le", "be")) else text
    source = read_bytes(marked.encode(encoding))
    assert source.findings == ()
    assert source.story is not None
    assert source.story.title == "Die Mühle 磨坊 🙂"
    assert source.text == text


@pytest.mark.parametrize(
    "word", ["yes", "no", "on", "12", "1:30", "~", "null", "0x1F", "1e3", "2024-01-01", "True", "="]
)
def test_text_stays_text(word: str) -> None:
    """Words that YAML 1.1 readers turn into other things (yaml.org/type) stay words."""
    source: StoryText = read_text(
        f"tapscore: 2\ntitle: {word}\nstory:\n  - section: {word}\n    lines:\n"
        f"      - words: {word}\n        do: {word}\n"
    )
    assert source.findings == ()
    assert source.story is not None
    section = source.story.sections[0]
    assert (source.story.title, section.title) == (word, word)
    assert [item.words for item in section.items if hasattr(item, "words")] == [word]


LONG = {
    "words": LINE.replace("Row", "Row " * 32_000),
    "a word": LINE.replace("Row", "a" * 130_000),
    "a remark": LINE + "        look for: " + "a look " * 18_000 + "\n",
    "a rhythm": LINE.replace("X .", "t | " * 32_000 + "X ."),
    "taps on one step": LINE.replace("X .", "t" * 130_000 + "X ."),
    "waits": "      - wait: 5\n" * 8_000,
}


@pytest.mark.parametrize("what", LONG)
def test_what_is_far_too_long_is_told_and_not_taken_in(what: str) -> None:
    """Nothing that papers, sounds or the window would choke on gets into a story."""
    source = read_text(HEAD + STORY + LONG[what])
    assert source.story is not None
    codes = {found.code for found in source.findings if found.must_mend}
    assert codes & {"text-too-long", "too-many", "line-too-long", "lane"}
    items = source.story.sections[0].items
    assert len(items) <= 5001
    for item in items[:3]:
        assert isinstance(item, Unread) or len(repr(item)) < 40_000
    assert write_story(source.story) == source.text
    changed = evolve(source.story, title="Other")
    assert write_story(changed) == source.text.replace("title: T", "title: Other")
