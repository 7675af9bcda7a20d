"""What whole papers of two small stories say, worked out by hand (``tests/hill.py``).

A beat is a second: so the hill begins its lines at 0, 4, 144 and 160 seconds, its turns of four
times 30 s are over at 128, and whoever changes sheets has the seconds from her last tap, word or
prop to the next.  What is likely, and prose that never changes, have tests of their own.
"""

import re
from functools import cache, partial
from itertools import pairwise

import pytest

from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.drawing import Page, TextRun
from tapscore.exports.paper.hall_screen import hall_screen_pages
from tapscore.exports.paper.home_version import AT_HOME
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.print_findings import print_findings
from tapscore.model.cautions import PROP_CAUTIONS, Caution
from tapscore.rhythm.perform import perform
from tapscore.workflow.hall import hall_story
from tests.exports.paper.test_papers import ALL
from tests.hill import DOOR, HEAD, STORY, line, lines_of

STORIES = {"hill": STORY, "door": DOOR}
ADULT = {"card": card_pages, "part": part_pages}
PROSE = (
    *("Anyone may come away", "Sit close, so", "Wash or wipe", "When to stop.", "You may stop"),
    *("We sit round", "Tap what your sheet", "Bigger mark", "Wait when it says", "Let the one who"),
    *("A look, a breath, a still", "Lost your place?", "If a pupil has", "Warn before anything"),
    *("Hearing aids, implants", "Your school's own", "Draw in: ", "Ask your child’s"),
    "1 Waits are for",
)
"""How paragraphs begin that are the same in every story."""


@cache
def pages_of(story: str, paper: str, who: str = "") -> tuple[Page, ...]:
    told = STORIES[story]
    make = partial(ADULT[paper], told, perform(told), who) if who else partial(ALL[paper], told)
    return make()


def told(pages: tuple[Page, ...]) -> str:
    """What stands on pages, a row for each block; a page begins with its bookmarks."""
    rows: list[str] = []
    for page in pages:
        rows.append(f"= {', '.join(page.bookmarks)}".strip())
        for block in page.blocks:
            words = " ".join(
                " ".join(e.text for e in block.elements if isinstance(e, TextRun)).split()
            )
            if block.tag == "Figure":
                rows.append(f"[{block.alt}]")
            elif words and block.tag != "Artifact" and not words.startswith(PROSE):
                rows.append(words)
    said = "\n".join(rows) + "\n"
    said = re.sub(r" \(\d+:\d\d to \d+:\d\d\)", "", said)
    return re.sub(r"likely .* minutes in all", "likely so long", said)


TOLD = {
    "hill card cyd": """\
= 2 of 4
2 of 4 Cyd
Come in after “Here is the hill”
Listen for “Out comes the silk”
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
silk
in before the words, to middle: you bring it
Goes on: next card
=
2 of 4 , continued Cyd
Offer silk
4 turns, one pupil at a time, 30 seconds or more each turn: 2 minutes or more for all 4. \
Nobody has to.
Look for a reach
Next: refrain, up we go
= Up we go
Up we go , refrain Cyd
fingertips middle quiet
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Up we go
[Taps. Up: quiet, fingertips, accent; we: quiet, fingertips; go: quiet, fingertips]
The refrain comes 2 times in the story. Here: your next card
= 3 of 4
3 of 4 Cyd
First
Wait 12
seconds or more. Look for a look
Goes on: next card
=
3 of 4 , continued Cyd
Ann warns first.
fingertips low quiet First, dot: bell in
[The board from above, your seat nearest. Places: A, B, C, D. A ring at low.]
Ring goes the bell
[Taps. Ring: quiet, fingertips, accent; goes: quiet, fingertips; the: quiet, fingertips; \
bell: quiet, fingertips]
silk
out before the words: you take it
Next: refrain, up we go
Finish
hands still, cards down
""",
    "hill card dot": """\
= 2 of 4
2 of 4 Dot
Come in after “Here is the hill”
Listen for “Out comes the silk”
First, cyd: silk in
[The board from above, your seat nearest. Places: A, B, C, D.]
Do: lift it
Rest : cyd offers silk, 2 minutes or more
Next: refrain, up we go
= Up we go
Up we go , refrain Dot
fingertips middle quiet
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Up we go
[Taps. Up: quiet, fingertips, accent; we: quiet, fingertips; go: quiet, fingertips]
The refrain comes 2 times in the story. Here: your next card. Have ready: bell
= 3 of 4
3 of 4 Dot
First
Wait 12
seconds or more. Look for a look
Ann warns first.
Listen for “Ring goes the bell”
First, cyd: silk out
[The board from above, your seat nearest. Places: A, B, C, D. A ring at low.]
bell
in before the words, to low: you bring it
Next: refrain, up we go . Then: wait 8, then 4 of 4
= 4 of 4
4 of 4 Dot
First
Wait 8
seconds or more. Look for a breath
fingertips middle quiet
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Sleep
[Taps. Sleep: quiet, fingertips, accent]
bell
out before the words: you take it
Finish
hands still, cards down
""",
    "hill part ann": """\
= Sheet 1
Ann , sheet 1 of 3 The Hill
Unless a line says otherwise: fingertips, quiet, at middle ; 60 beats a minute.
You speak the words and end each wait. In the picture letters are pupils, the ring is middle.
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Before you start
Key fingertips wedge above: a little stronger a bar of the music ends where to tap
1
Here is the hill
[Taps. Here: quiet, fingertips, accent; is: quiet, fingertips; the: quiet, fingertips; hill:\
 quiet, fingertips]
2
First, cyd: silk in
Out comes the silk
rest: cyd offers silk, 2 minutes or more
Change to sheet 2 while silk is offered: 120 free seconds or more.
= Sheet 2
Ann , sheet 2 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
Refrain: up we go , 1st of 2 times
Up we go
[Taps. Up: quiet, fingertips, accent; we: quiet, fingertips; go: quiet, fingertips]
Wait 12
seconds or more. Look for a look
3
You warn first: whisper
First, cyd: silk out then dot: bell in
Ring goes the bell
Refrain: up we go , 2nd of 2 times: as above
Change to sheet 3 in the wait that comes now: 8 free seconds or more.
= Sheet 3
Ann , sheet 3 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
Wait 8
seconds or more. Look for a breath
4
First, dot: bell out
Sleep
Finish: hands still, sheets down.
""",
    "hill part dot": """\
= Sheet 1
Dot , sheet 1 of 3 The Hill
Unless a line says otherwise: fingertips, quiet, at middle ; 60 beats a minute.
Ann speaks the words and ends each wait. In the picture letters are pupils, the rings are, \
from the left, middle and low.
Have ready: bell (a hand bell).
[The board from above, your seat nearest. Places: A, B, C, D. A ring at low. A ring at middle.]
Before you start
Key fingertips wedge above: a little stronger a bar of the music ends where to tap
1
rest: “Here is the hill”
2
First, cyd: silk in
Listen for “Out comes the silk”
Do: lift it
rest: cyd offers silk, 2 minutes or more
Change to sheet 2 while silk is offered: 120 free seconds or more.
= Sheet 2
Dot , sheet 2 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
Refrain: up we go , 1st of 2 times
Up we go
[Taps. Up: quiet, fingertips, accent; we: quiet, fingertips; go: quiet, fingertips]
Wait 12
seconds or more. Look for a look
3
Ann warns first.
bell
in before the words, to low: you bring it
First, cyd: silk out
Listen for “Ring goes the bell”
Refrain: up we go , 2nd of 2 times: as above
Change to sheet 3 in the wait that comes now: 9 free seconds or more.
= Sheet 3
Dot , sheet 3 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
Wait 8
seconds or more. Look for a breath
4
bell
out before the words: you take it
Sleep
[Taps. Sleep: quiet, fingertips, accent]
Finish: hands still, sheets down.
""",
    "hill floor": """\
=
The Hill: floor plan
[The board from above, 120 by 90 centimetres, north at the top. ann sits north. bea sits \
east. cyd sits south. dot sits west. Place A. Place B. Place C. Place D.]
1 metre. Board 120 by 90 cm. Scale 1 : 20, printed at full size; a square is 50 cm. \
Outlines: pupils 109 cm tall, roughly.
""",
    "hill words": """\
=
The Hill
Morning
Here is the hill
Out comes the silk
Everyone’s turn: silk
Up we go
Wait
Ring goes the bell
Up we go
Wait
Sleep
""",
    "hill sheet": """\
= Morning
The Hill Leader’s cue sheet
2:44 at least, likely so long; at the right, the earliest times.
Unless a line says otherwise: 4/4, 60 beats a minute; fingertips, quiet, at middle; ann \
taps; ann speaks the words and warns.
4 pupils. Adults: ann (north), bea (east), cyd (south, brings silk), dot (west, brings \
bell). Props move before the words.
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle. A ring at low.]
Before you start: Anyone may come away from the board at any time. A seizure: stop tapping \
and follow that pupil’s own plan. Each pupil’s plan and the school’s policies come before \
this sheet.
1
Morning
Here is the hill
[ann. Taps. Here: quiet, fingertips, accent; is: quiet, fingertips; the: quiet, fingertips; \
hill: quiet, fingertips]
0:00
2
bea
Out comes the silk
[bea. Taps. Out: quiet, fingertips, accent; comes: quiet, fingertips; the: quiet, \
fingertips; silk: quiet, fingertips]
silk in Do: lift it (dot)
0:04
cyd offers silk: 4 turns for 4 pupils, 30 seconds each, 2 minutes or more. Look for a reach
0:08
Refrain: up we go , everyone
Up we go
[everyone. Taps. Up: quiet, fingertips, accent; we: quiet, fingertips; go: quiet, fingertips]
2:08
Wait 12
Look for a look
2:12
3
cyd
Ann warns first: whisper
Ring goes the bell
[cyd. Taps. Ring: quiet, fingertips, accent; goes: quiet, fingertips; the: quiet, \
fingertips; bell: quiet, fingertips]
low silk out bell in
2:24
Refrain: up we go , 2nd time
2:28
Wait 8
Look for a breath
2:32
4
dot
Sleep
[dot. Taps. Sleep: quiet, fingertips, accent]
bell out
2:40
Finish
Hands still. Everyone has time to leave the board.
2:44
""",
    "hill props": """\
=
The Hill: props
Tick what is in the box.
bell
a hand bell
Instead, if it is missing: nothing written yet
Brought by dot, in at line 3, out at line 4
silk , 2 sets
a silk scarf
Instead, if it is missing: nothing written yet
Brought by cyd, in at line 2, offered after line 2, out at line 3
And
resonance board, 120 by 90 cm, looked over for splinters
a card for each adult, and the cue sheet
Cleaning
Packed by, on
""",
    "door card bea": """\
= Before you start
Before you start Bea
You are with A: that comes first. Tap only while you have a hand free.
= 1 of 4
1 of 4 Bea
You and cyd warn first (voice and touch): whisper
fingertips middle quiet to loud
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Who is there
[Taps. Who: quiet, fingertips, accent; is: medium, fingertips; there: loud, fingertips]
Next: refrain, knock
= Knock
Knock , refrain Bea
fingertips middle quiet
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Knock knock
[Taps. Knock: quiet, fingertips, accent; knock: quiet, fingertips]
The refrain comes 2 times in the story. Here: your next card
= 2 of 4
2 of 4 Bea
First
Wait 5
seconds or more. Look for a look
knuckles middle quiet slowing
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle.]
Slow ly now
[Taps. Slow: quiet, knuckles; ly: quiet, knuckles; now: quiet, knuckles]
Do: nod
Stop
Come in after “Bang”: rest for bell, then refrain, knock . Then: 4 of 4
= 4 of 4
4 of 4 Bea
fingertips low quiet
[The board from above, your seat nearest. Places: A, B, C, D. A ring at low.]
Hush hush
[Taps. hush: quiet, fingertips]
Look for a smile
Finish
hands still, cards down
""",
    "door part bea": """\
= Before you start
Bea , before you start The Door
Unless a line says otherwise: fingertips, quiet, at middle ; 60 beats a minute.
Ann speaks the words and ends each wait. In the picture letters are pupils, the rings are, \
from the left, low and middle.
You are with A: that comes first. Tap only while you have a hand free.
[The board from above, your seat nearest. Places: A, B, C, D. A ring at low. A ring at middle.]
Before you start
Key fingertips knuckles bigger: louder wedge above: a little stronger tail: hand stays down \
so long a bar of the music ends same word goes on grows louder or softer slowing where to \
tap
Then sheet 1. You change sheets only where your hands are free.
= Sheet 1
Bea , sheet 1 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
1
You and cyd warn first (voice and touch): whisper
quiet to loud
Who is there
[Taps. Who: quiet, fingertips, accent; is: medium, fingertips; there: loud, fingertips]
Refrain: knock , 1st of 2 times
Knock knock
[Taps. Knock: quiet, fingertips, accent; knock: quiet, fingertips]
Wait 5
seconds or more. Look for a look
Change to sheet 2 in this wait: 7 free seconds or more.
= Sheet 2
Bea , sheet 2 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
2
knuckles slowing
Slow ly now
[Taps. Slow: quiet, knuckles; ly: quiet, knuckles; now: quiet, knuckles]
Do: nod
3
rest: “Bang”
rest: dot offers bell, 1 minute 20 seconds or more
Change to sheet 3 while bell is offered: 84 free seconds or more.
= Sheet 3
Bea , sheet 3 of 3
Unless a line says otherwise: fingertips, quiet, at middle .
Refrain: knock , 2nd of 2 times
Knock knock
[Taps. Knock: quiet, fingertips, accent; knock: quiet, fingertips]
4
low
Hush hush
[Taps. hush: quiet, fingertips]
Look for a smile
Finish: hands still, sheets down.
""",
    "door part dot": """\
= Sheet 1
Dot , sheet 1 of 2 The Door
Ann speaks the words and ends each wait. In the picture letters are pupils.
Have ready: bell (a hand bell, or instead a spoon).
[The board from above, your seat nearest. Places: A, B, C, D.]
Before you start
bell (cord, beads or bangle): keep it in your hand, never round a neck. Follow the school's \
safety rules.
1
rest: “Who is there”
rest, refrain knock: “Knock knock”
Wait 5
seconds or more. Look for a look
Change to sheet 2 when you like: your hands are free.
= Sheet 2
Dot , sheet 2 of 2
2
Listen for “Slowly now”
Do: nod
3
you say it
Bang
Offer bell
4 turns, one pupil at a time, 20 seconds or more each turn: 1 minute 20 seconds or more for \
all 4. Nobody has to.
rest, refrain knock: “Knock knock”
4
rest: “Hush hush”
Finish: hands still, sheets down.
""",
    "door sheet": """\
= In, Out
The Door Leader’s cue sheet
1:50 at least, likely so long; at the right, the earliest times.
Unless a line says otherwise: 4/4, 60 beats a minute; fingertips, quiet, at middle; ann \
taps; ann speaks the words and warns.
4 pupils. Adults: ann (north), bea (east, with A), cyd (south, brings silk), dot (west, \
brings bell). Props move before the words.
[The board from above, your seat nearest. Places: A, B, C, D. A ring at middle. A ring at low.]
Before you start: Anyone may come away from the board at any time. A seizure: stop tapping \
and follow that pupil’s own plan. Each pupil’s plan and the school’s policies come before \
this sheet. Cautions: bell (cord, beads or bangle).
1
In
bea
Bea and cyd warn first (voice and touch): whisper
Who is there
[bea. Taps. Who: quiet, fingertips, accent; is: medium, fingertips; there: loud, fingertips]
quiet to loud
0:00
Refrain: knock , bea, cyd
Knock knock
[bea, cyd. Taps. Knock: quiet, fingertips, accent; knock: quiet, fingertips]
0:04
Wait 5
Look for a look
0:08
2
Out
bea, cyd
Slow ly now
[bea, cyd. Taps. Slow: quiet, knuckles; ly: quiet, knuckles; now: quiet, knuckles]
knuckles slowing Do: nod (bea, dot)
0:13
3
cyd
Bang
[cyd. Taps. Bang: loud, fingertips, accent; a tap by itself: loud, fingertips]
loud dot says it
0:18
dot offers bell: 4 turns for 4 pupils, 20 seconds each, 1 minute 20 seconds or more.
0:22
Refrain: knock , 2nd time
1:42
4
Hush hush
bea
[bea. Taps. hush: quiet, fingertips]
cyd
[cyd. Taps. Hush: quiet, fingertips, accent]
middle, but low on the 2nd “hush” Look for a smile
1:46
Finish
Hands still. Everyone has time to leave the board.
1:50
""",
    "door props": """\
=
The Door: props
Tick what is in the box.
bell
a hand bell
Instead, if it is missing: a spoon
Brought by dot, offered after line 3
Cord, beads or bangle: keep it in your hand, never round a neck. Follow the school's safety \
rules.
silk , 2 sets
a silk scarf
Instead, if it is missing: nothing written yet
Brought by cyd
And
resonance board, 120 by 90 cm, looked over for splinters
a card for each adult, and the cue sheet
Cleaning
Packed by, on
""",
    "door label": """\
=
The Door
bell : a hand bell
silk , 2 sets: a silk scarf
Looked through on
""",
    "door plan": """\
=
The Door: session plan
Date and class
Who was there: adults, and pupils by place letter
Position: on the board; each pupil has one of their own.
Time: 1:50 at least, likely so long. These are guesses to plan by: the pupils decide.
Adults: ann, bea, cyd, dot
Props: bell, silk (2 sets)
Intended outcomes
Communication and Language (line 1): pupils may
In
1 Who is there
Warn first: whisper
Communication and Language
Refrain knock Knock knock
Wait 5 seconds or more
Look for a look
Out
2 Slowly now
Do nod
3 Bang
Offer bell , 20 seconds or more each
Refrain knock again (2)
4 Hush hush
Look for a smile
Afterwards
board and props cleaned, box packed
Keep
=
Change
Next steps, by place letter
""",
    "door home": """\
=
The Door A story to tap together at home
Things to find: bell, at home a spoon. Cord or beads: hold them yourself, never round a \
neck. silk, at home a silk scarf.
First: whisper
Who is there
[Taps. Who: quiet, fingertips, accent; is: medium, fingertips; there: loud, fingertips]
Fingertips, quiet to loud.
Refrain: knock, which comes back
Knock knock
[Taps. Knock: quiet, fingertips, accent; knock: quiet, fingertips]
Fingertips, quiet.
Wait 5 seconds or more. Look for a look
Slow ly now
[Taps. Slow: quiet, knuckles; ly: quiet, knuckles; now: quiet, knuckles]
Knuckles, quiet, slowing. Do: nod.
Bang
[Taps. Bang: loud, fingertips, accent; a tap by itself: loud, fingertips]
Fingertips, loud.
Give bell time: touch, hold, listen, let go.
Again: knock
Hush hush
[Taps. Hush: quiet, fingertips, accent; hush: quiet, fingertips]
Fingertips, quiet. Look for: a smile
The end. Rest together.
""",
    "door step in": """\
=
The Door
If you step in today, this side is all you need
[The board from above. ann sits north. bea sits east. cyd sits south. dot sits west. Place \
A. Place B. Place C. Place D.]
Ann speaks the words. Join in the refrain.
Ann: sits north.
Bea: sits east.
Cyd: sits south, brings silk.
Dot: sits west, brings bell.
The refrain comes 2 times; everybody knows it
Knock knock
Three things to mind
2 Nothing louder unannounced. Bea and cyd warn (voice and touch) first. Never tap louder \
than your sheet.
3 The pupil first, the tapping second. Bea is with A. Tap only while you have a hand free.
How it goes: In, then Out. 1:50 at least, likely so long.
""",
    "door briefing": """\
=
The Door
If you join us today
What you do
Who does what
Ann: seat “north”, speaks the words.
Bea: seat “east”, is with A first of all, warns, taps 3 lines, taps the refrain knock, has \
something to do in 1 line.
Cyd: seat “south”, warns, taps 3 lines, taps the refrain knock, brings silk.
Dot: seat “west”, speaks in 1 line, has something to do in 1 line, brings bell.
The refrain: everybody knows it
Knock knock (2 times)
How it goes
In: 13 seconds at least.
Out: 1 minute 37 seconds at least.
All of it 1:50 at least, likely so long: the pupils decide.
""",
}


@pytest.mark.parametrize("which", TOLD)
def test_a_paper_says_what_there_is_to_say(which: str) -> None:
    story, _, paper = which.partition(" ")
    kind, _, who = paper.partition(" ")
    pages = pages_of(story, kind, who) if kind in ADULT else pages_of(story, paper)
    assert told(pages) == TOLD[which]


def rows_of(pages: tuple[Page, ...]) -> list[str]:
    return [row for row in told(pages).splitlines() if not row.startswith("[")]


def test_a_screen_in_a_hall_shows_one_thing_a_page() -> None:
    """For the whole hall: everybody taps the refrain, what is warned of and what is loud."""
    story = hall_story(DOOR)
    pages = hall_screen_pages(story, perform(story))
    assert " | ".join(rows_of(pages)).split(" | = | ")[1:] == [
        "Everybody taps | Who is there",
        "Everybody taps | Knock knock",
        "Wait",
        "Slowly now",
        "Everybody taps | Bang",
        "Everyone’s turn | bell",
        "Everybody taps | Knock knock",
        "Hush hush",
    ]
    for page in pages:
        ys = [text.y for text in page.texts]
        middle = page.paper.height_pt / 2
        assert min(ys) - 64 < middle < max(ys) + 64
        assert abs((min(ys) + max(ys)) / 2 - 15 - middle) < 25


def test_a_line_without_words_is_shown_as_tapped() -> None:
    story = lines_of('      - {words: "", lane: "| t . t . t . . . |"}\n')
    assert rows_of(hall_screen_pages(story, perform(story)))[-2:] == ["Everybody taps", "(tapped)"]


def test_slips_come_in_the_order_of_the_telling_with_blank_ones_after() -> None:
    """Two on a sheet; cut and piled left on right they are in order."""
    rows = rows_of(pages_of("hill", "slips"))
    at = [row for row in rows if row == "=" or row.startswith(("Moment", "Look for"))]
    assert at == [
        *("=", "Moment offering of silk (line 2)", "Look for a reach"),
        *("Moment wait after the 2nd “up we go”", "Look for a breath"),
        *("=", "Moment refrain “up we go”", "Moment"),
        *("=", "Moment wait after the 1st “up we go”", "Look for a look", "Moment"),
    ]


def test_cautions_of_this_story_s_props_come_first_and_are_asked_of_below() -> None:
    rows = rows_of(pages_of("door", "cautions"))
    at = rows.index("This story’s props")
    assert rows[at + 1].startswith("bell: cord, beads or bangle. A cord that can make a noose")
    assert rows[at + 1].endswith("Ask whoever is responsible for health and safety at school.")
    assert rows[at + 2] == "Pupils"
    asked = rows.index("Asked and answered for this class")
    heads = ["What", "Asked whom", "Answer", "Date"]
    assert rows[asked + 1 : asked + 6] == [*heads, "bell: cord, beads or bangle"]
    (page,) = [
        p for p in pages_of("door", "cautions") if any(t.text == "Asked whom" for t in p.texts)
    ]
    columns = [next(t.x for t in page.texts if t.text == head) for head in heads]
    wide = page.paper.inner_width_pt
    shares = [(b - a) / wide for a, b in pairwise(columns)]
    # What, whom, answer and date: a third, a fifth, a good quarter, and the rest.
    assert shares == pytest.approx([0.34, 0.22, 0.28])
    cells = [b for b in page.blocks if b.cell is not None]
    assert {b.tag for b in cells if b.cell and b.cell.row == 0} == {"TH"}
    assert {b.tag for b in cells if b.cell and b.cell.row > 0} == {"TD"}
    assert all(b.cell and b.cell.scope == ("Column" if b.tag == "TH" else "") for b in cells)


def test_every_text_that_is_printed_is_looked_through_for_signs_there_are_none_of() -> None:
    sign = "\N{GLOWING STAR}"
    text = HEAD.replace("The Hill", f"The{sign}").replace("hand bell", f"hand{sign} bell")
    text = text.replace("low: [60, 10]", f"lo{sign}: [60, 10]").replace(
        "sets: 2,", f"instead: a{sign},"
    )
    lines = (
        line(f"up{sign}", "do: lift")
        + line("down", f"look for: a{sign}, do: do{sign}, warn first: wa{sign}")
        + f"      - {{wait: 9, look for: b{sign}}}\n      - {{offer: bell, look for: c{sign}}}\n"
    )
    story = lines_of(lines, text)
    found = [each for each in print_findings(story) if each.code == "print-missing"]
    assert [each.path for each in found] == [
        ("title",),
        ("props", "bell"),
        ("props", "silk"),
        ("board",),
        *(("story", 0, "lines", at) for at in (0, 1, 1, 1, 2, 3)),
    ]
    assert [each.about["text"] for each in found[4:]] == [
        *(f"up{sign}", f"do{sign}", f"wa{sign}", f"a{sign}", f"b{sign}", f"c{sign}")
    ]
    assert found[0].about.as_plain()["characters"] == [f"{sign} (glowing star)"]
    assert print_findings(STORY) == ()


ABOUT = {
    "small parts": "mouth",
    "cord": "neck",
    "battery": "screwed",
    "latex": "balloon",
    "scent": "",
    "food": "mealtime|feeding",
    "static": "hearing aids",
    "magnet": "shunt",
    "light": "never flashing",
    "water": "floor",
    "heat": "wrist",
    "vibration": "neck",
    "airborne": "tracheostom",
    "face": "turns away",
    "plants": "count them",
    "foam": "bitten",
    "foil": "torn",
    "flashing": "flick",
    "noise": "ear",
    "one each": "never share",
}
"""A word that the sentence on a hazard has at home and at school, and no other has (but ``neck``
and ``mouth``), written by hand: what matters most of it."""


@pytest.mark.parametrize("caution", PROP_CAUTIONS, ids=lambda caution: caution.name)
def test_each_hazard_of_a_prop_is_told_of_on_cards_and_at_home(caution: Caution) -> None:
    wanted = ABOUT[caution.name]
    assert re.search(wanted, caution.card_sentence)
    head, colon, rest = AT_HOME[caution.name].partition(":")
    assert colon
    assert re.search(wanted, rest)
    called = f"{caution.title} {caution.name}".casefold()
    assert any(word in called for word in re.findall(r"\w{4,}", head.casefold()))
    story = lines_of(
        line("Row", "prop in: thing"),
        HEAD.partition("props:")[0]
        + f"props: {{thing: {{what: a thing, cautions: [{caution.name}]}}}}\n",
    )
    said = " ".join(rows_of(ALL["home"](story)))
    assert AT_HOME[caution.name] in said
    assert caution.on_card in " ".join(rows_of(part_pages(story, perform(story), "ann")))
