"""Today's sharing against a plain enumeration that shares no code with it.

Small stories are made up as plain data and written as files; who may do what, and which way leaves
least undone, is worked out here from that data by trying every way.  The figures are written by
hand: a reach of 75 cm from the seat, 0.15 s between two taps of one person, and somebody beside
a pupil counts for twenty other jobs.
"""

from fractions import Fraction
from itertools import product
from math import dist

from attrs import frozen
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.day import Day, Telling
from tapscore.storyfile.read import read_text
from tapscore.workflow.today.jobs import JobKind
from tapscore.workflow.today.plan import Today, plan_today

SEATS = {"ann": (60, 90), "bee": (120, 45), "cat": (60, 0), "dot": (0, 45)}
NAMED = {"ann": "north", "bee": "east", "cat": "south", "dot": "west"}
SPOTS = {"middle": (60, 45), "low": (60, 12), "border": (60, 15), "far": (10, 45)}
PROPS = ("beads", "silk")
REACH_CM, SHORTEST_SEC = 75, 0.15
STEPS = 6


@frozen
class Told:
    """One line: who taps the first of two taps and who the second, so many steps apart."""

    first: str
    second: str
    apart: int
    spot: str
    prop_in: str | None
    done_by: str | None


@frozen
class Class:
    """A story, and who is here."""

    lines: tuple[Told, ...]
    tempo: int
    bringers: tuple[str, ...]
    """Of ``PROPS``."""
    partner: str | None
    here: tuple[str, ...]


ADULT = st.sampled_from(sorted(SEATS))
classes = st.builds(
    Class,
    st.lists(
        st.builds(
            Told,
            ADULT,
            ADULT,
            st.integers(1, 3),
            st.sampled_from(sorted(SPOTS)),
            st.sampled_from([None, None, *PROPS]),
            st.none() | ADULT,
        ),
        min_size=1,
        max_size=3,
    ).map(tuple),
    st.sampled_from([54, 140]),
    st.tuples(ADULT, ADULT),
    st.none() | ADULT,
    st.lists(ADULT, min_size=1, max_size=3, unique=True).map(lambda found: tuple(sorted(found))),
)


def file_text(told: Class) -> str:
    """The story file of a class."""
    lines = ""
    for line in told.lines:
        cells = ["."] * STEPS
        cells[0] = f"x({line.first})"
        cells[line.apart] = f"x({line.second})"
        lines += f'      - words: row row\n        lane: "| {" ".join(cells)} |"\n'
        lines += f"        spot: {line.spot}\n        by: {line.first}\n"
        if line.prop_in:
            lines += f"        prop in: {line.prop_in}\n"
        if line.done_by:
            lines += f"        do: lift it\n        done by: {line.done_by}\n"
    partner = f", with: {told.partner}" if told.partner else ""
    props = ", ".join(
        f"{name}: {{by: {by}}}" for name, by in zip(PROPS, told.bringers, strict=True)
    )
    return (
        f"tapscore: 2\ntitle: T\nmetre: 6/8\ntempo: {told.tempo}\n"
        "board:\n  size_cm: [120, 90]\n"
        f"  spots: {{{', '.join(f'{n}: [{x}, {y}]' for n, (x, y) in SPOTS.items())}}}\n"
        "  seats: {"
        + ", ".join(f"{NAMED[who]}: [{x}, {y}]" for who, (x, y) in SEATS.items())
        + f"}}\n  places: {{A: {{at: [30, 30]{partner}}}}}\n"
        f"roles: {{{', '.join(f'{who}: {{seat: {NAMED[who]}}}' for who in SEATS)}}}\n"
        f"props: {{{props}}}\nstory:\n  - section: One\n    lines:\n{lines}"
    )


Missing = tuple[str, object]
"""What nobody does: ("tap", line), ("do", line), ("bring", prop), ("with", place)."""


def missing(told: Class) -> list[Missing]:
    """What is left undone by those who are away."""
    found: list[Missing] = []
    for number, line in enumerate(told.lines):
        if line.first not in told.here or line.second not in told.here:
            found.append(("tap", number))
        if line.done_by and line.done_by not in told.here:
            found.append(("do", number))
    used = {line.prop_in for line in told.lines}
    for name, by in zip(PROPS, told.bringers, strict=True):
        if name in used and by not in told.here:
            found.append(("bring", name))
    if told.partner and told.partner not in told.here:
        found.append(("with", "A"))
    return found


def may(told: Class, who: str, job: Missing) -> bool:
    """Whether somebody who is here may take a job, beside what is theirs already."""
    kind, what = job
    brings = {name for name, by in zip(PROPS, told.bringers, strict=True) if by == who}
    brings &= {line.prop_in for line in told.lines if line.prop_in}
    if kind == "with":
        return not brings and told.partner != who
    if kind == "bring":
        return told.partner != who and not any(
            line.prop_in == what and who in (line.first, line.second) for line in told.lines
        )
    assert isinstance(what, int)
    line = told.lines[what]
    if kind == "do":
        return who not in (line.first, line.second)
    if line.prop_in in brings or dist(SEATS[who], SPOTS[line.spot]) > REACH_CM:
        return False
    # Both taps would be hers: either both were left, or the other is hers already.
    hers = [by for by in (line.first, line.second) if by == who or by not in told.here]
    step_sec = Fraction(60, told.tempo) / 3
    return len(hers) < 2 or line.apart * step_sec >= SHORTEST_SEC


def together(told: Class, one: Missing, other: Missing) -> bool:
    """Whether one person may take both."""
    kinds = {one[0], other[0]}
    if "with" in kinds:
        return kinds != {"with"} and kinds != {"with", "bring"}
    if kinds == {"tap", "do"}:
        return one[1] != other[1]
    if kinds == {"tap", "bring"}:
        tap, bring = (one, other) if one[0] == "tap" else (other, one)
        assert isinstance(tap[1], int)
        return told.lines[tap[1]].prop_in != bring[1]
    return True


def possible(told: Class, way: tuple[str | None, ...], jobs: list[Missing]) -> bool:
    """Whether everybody may do what a way gives them."""
    for at, who in enumerate(way):
        if who is None:
            continue
        if not may(told, who, jobs[at]):
            return False
        if any(way[i] == who and not together(told, jobs[i], jobs[at]) for i in range(at)):
            return False
    return True


def undone(jobs: list[Missing], way: tuple[str | None, ...]) -> int:
    """How much a way leaves, somebody beside a pupil counting for twenty."""
    pairs = zip(jobs, way, strict=True)
    return sum(20 if job[0] == "with" else 1 for job, who in pairs if who is None)


def as_planned(today: Today) -> dict[Missing, str | None]:
    """What the program found missing, and whom it gave each."""
    takers = dict(today.sharing.takers)
    found: dict[Missing, str | None] = {}
    for job in today.left:
        on_a_line = job.kind in (JobKind.TAP, JobKind.DO)
        what = job.paths[0][-1] if on_a_line else job.name
        found[(job.kind.value, what)] = takers.get(job)
    return found


@settings(max_examples=100)
@given(classes)
def test_nobody_finds_a_better_way_by_trying_all(told: Class) -> None:
    source = read_text(file_text(told))
    assert source.story is not None
    assert source.findings == ()
    today = plan_today(
        source.story, Day(told.here, tuple((who, who) for who in told.here), tell=Telling.WHOLE)
    )
    planned = as_planned(today)
    jobs = missing(told)
    assert set(planned) == set(jobs)
    way = tuple(planned[job] for job in jobs)
    assert possible(told, way, jobs), way
    ways = product((None, *told.here), repeat=len(jobs))
    assert undone(jobs, way) == min(
        undone(jobs, each) for each in ways if possible(told, each, jobs)
    )
