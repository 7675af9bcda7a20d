"""How fast paper is made: run by hand, ``python tests/benchmarks/paper_speed.py``.

A story of 40 lines with six roles: all part sheets, cue cards and the cue sheet, against the
same words (without taps or pictures) set by an HTML-to-PDF library (weasyprint, if it is
installed) and by reportlab's own paragraphs, in the same run.
"""

import sys
from collections.abc import Callable
from html import escape
from io import BytesIO
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "exports" / "paper"))

from tapscore.exports.paper import fonts
from tapscore.exports.paper.briefing import briefing
from tapscore.exports.paper.card_layout import lay_out
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cautions_page import cautions_page
from tapscore.exports.paper.cue_cards import card_pages, cue_cards
from tapscore.exports.paper.cue_sheet import cue_sheet, sheet_pages
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.floor_plan import floor_plan
from tapscore.exports.paper.home_version import home_version
from tapscore.exports.paper.large_words import large_words
from tapscore.exports.paper.observation_slips import observation_slips
from tapscore.exports.paper.pages import paper
from tapscore.exports.paper.part_sheets import part_pages, part_sheets
from tapscore.exports.paper.pocket_key import pocket_key
from tapscore.exports.paper.prop_list import box_label, prop_list
from tapscore.exports.paper.session_plan import session_plan
from tapscore.exports.paper.sizes import card_sizes
from tapscore.model.day import Day
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Role, Section, Story
from tapscore.rhythm.perform import perform
from tapscore.workflow.product import Choices
from tapscore.workflow.today.plan import changed_cards, plan_today
from tests.exports.paper.paper_samples import BOARD, lane

ROLES = ("leader", "beat-keeper", "second tapper", "third tapper", "prop handler", "floater")
REPEATS = 5


def story() -> Story:
    """Forty lines in 6/8, each role in a third of them."""
    lines = tuple(
        Line(
            "Out on the wa-ter the lit-tle boat lay,",
            lane("| X x x x x x | X x x X . . |"),
            PartialManner(by=(ROLES[i % 6], ROLES[(i + 2) % 6])),
            look_for="a still body",
        )
        for i in range(40)
    )
    seats = ("north", "east", "south", "west", None, None)
    roles = tuple(Role(name, seat) for name, seat in zip(ROLES, seats, strict=True))
    return Story(
        "Forty lines",
        manner=PartialManner(Metre(6, 8), spot="middle"),
        board=BOARD,
        roles=roles,
        sections=(Section("All", lines),),
    )


def seconds(work: Callable[[], object]) -> float:
    """Median of some runs, after one to warm up."""
    work()
    times = []
    for _ in range(REPEATS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def texts_of(pages: list[Page]) -> list[list[tuple[str, float]]]:
    """Text and size of every run, by page."""
    return [[(text.text, text.size_pt) for text in page.texts] for page in pages]


def with_weasyprint(pages: list[list[tuple[str, float]]]) -> int:
    """Set the same words with an HTML-to-PDF library."""
    from weasyprint import HTML  # type: ignore[import-not-found,import-untyped,unused-ignore]

    body = "".join(
        '<section style="page-break-after: always">'
        + "".join(f'<p style="font-size:{size}pt">{escape(text)}</p>' for text, size in page)
        + "</section>"
        for page in pages
    )
    style = "@page{size:A5 landscape}p{margin:0}"
    return len(HTML(string=f"<style>{style}</style>{body}").write_pdf())


def with_paragraphs(pages: list[list[tuple[str, float]]]) -> int:
    """Set the same words with reportlab's paragraphs."""
    from reportlab.lib.styles import ParagraphStyle  # type: ignore[import-untyped]
    from reportlab.platypus import (  # type: ignore[import-untyped]
        PageBreak,
        Paragraph,
        SimpleDocTemplate,
    )

    buffer = BytesIO()
    flowables: list[object] = []
    for page in pages:
        for text, size in page:
            style = ParagraphStyle("p", fontName=fonts.BOLD, fontSize=size, leading=size * 1.2)
            flowables.append(Paragraph(escape(text), style))
        flowables.append(PageBreak())
    SimpleDocTemplate(buffer, pagesize=(842, 1191)).build(flowables)
    return len(buffer.getvalue())


def main() -> None:
    """Measure and print."""
    tale = story()
    performance = perform(tale)

    def everything() -> None:
        for role in performance.roles:
            part_sheets(tale, performance, role)
            cue_cards(tale, performance, role)
        cue_sheet(tale, performance)

    def the_rest() -> None:
        pocket_key(tale)
        box_label(tale)
        floor_plan(tale)
        cautions_page(tale)
        for make in (
            *(prop_list, briefing, session_plan),
            *(observation_slips, home_version, large_words),
        ):
            make(tale, performance)

    def for_today() -> None:
        today = plan_today(tale, Day(ROLES[:1] + ROLES[2:5]))
        changed_cards(tale, today, Choices())

    pages = [p for role in performance.roles for p in part_pages(tale, performance, role)]
    pages += [p for role in performance.roles for p in card_pages(tale, performance, role)]
    pages += sheet_pages(tale, performance)
    texts = texts_of(pages)
    ours = seconds(everything)
    print(f"all parts, cards and the sheet, {len(pages)} pages: {ours:.3f} s")
    rest = seconds(the_rest)
    print(f"the ten other papers: {rest:.3f} s; all paper {ours + rest:.3f} s (aim 2 s)")
    print(f"today shared out and the changed cards laid out: {seconds(for_today):.3f} s")
    card = role_cards(tale, performance, "beat-keeper")[0]
    size = paper("A5", landscape=True)
    preview = seconds(lambda: lay_out(tale, card, size, card_sizes(1.0)))
    part = seconds(lambda: part_pages(tale, performance, "beat-keeper"))
    print(f"one part planned and laid out for a preview: {part * 1000:.0f} ms (aim 60 ms)")
    print(f"one card laid out for a preview: {preview * 1000:.2f} ms")
    paragraphs = seconds(lambda: with_paragraphs(texts))
    print(f"same words, reportlab paragraphs: {paragraphs:.3f} s, ours {paragraphs / ours:.2f} x")
    try:
        html = seconds(lambda: with_weasyprint(texts))
    except (ImportError, OSError):
        print("weasyprint is not installed: no comparison with HTML")
        return
    print(f"same words, weasyprint: {html:.3f} s, ours is {html / ours:.1f} x as fast")


if __name__ == "__main__":
    main()
