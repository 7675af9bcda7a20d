"""Who takes what is left, changing as few cards as can be.

An integer program, solved by HiGHS through scipy (which is there already for the board):
it is exact and says so, takes milliseconds for a class's staff, and the rules stay readable
as the inequalities they are.
"""

from collections.abc import Mapping, Sequence
from itertools import combinations

from attrs import field, frozen

from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance
from tapscore.wording.catalogue import say
from tapscore.workflow.today.decks import Deck, decks
from tapscore.workflow.today.hands import clash, hands_of, why_not
from tapscore.workflow.today.jobs import Job, JobKind

UNCOVERED_COST = 1000.0
"""More than all cards that could change: nothing is left that somebody could do."""
BESIDE_COST = 20 * UNCOVERED_COST
"""Somebody beside each pupil comes before all tapping and props."""
EVEN_COST = 0.05
"""Weighs one job more for the busiest against a changed card: it only breaks ties."""
SPEAKER_COST = 0.5
"""In a telling that is new to everybody anyway: whoever speaks takes less than the others."""
BRINGS_COST = 10.0
"""Somebody who is with a pupil brings a prop only if nobody else can."""
DEAR_COST = 10 * UNCOVERED_COST
"""The one prop that is kept comes before other jobs."""
LONGEST_SEC = 2.0
"""Longest search: for a class it takes milliseconds; beyond it the best found so far is taken."""


@frozen
class Sharing:
    """Who takes each job, and why nobody can where nobody does."""

    takers: tuple[tuple[Job, str], ...]
    left: tuple[tuple[Job, str], ...] = ()
    """Jobs that nobody can take, each with the reason."""


@frozen
class Sparing:
    """Whom and what to mind where there are few adults."""

    speaker: str | None = None
    """Takes over one prop or deed at most, and less than the others."""
    dear: str | None = None
    """The prop that must come if any does."""
    beside: frozenset[str] = frozenset()
    """Those who are with a pupil: they bring something only if nobody else can."""
    anew: bool = False
    """Whether all sheets are new anyway, so that none need be spared."""


def share_out(
    story: Story,
    performance: Performance,
    host_of: dict[str, str],
    jobs: Sequence[Job],
    sparing: Sparing = Sparing(),
) -> Sharing:
    """Give each job to one of the adults who are here, named by their first role.

    ``host_of`` gives for each taken role that adult.  Hands and reach stay possible;
    among all ways to do most jobs it finds one with the fewest cards changed.
    """
    hosts = tuple(dict.fromkeys(host_of.values()))
    if not jobs:
        return Sharing(())
    if not hosts:
        return Sharing((), tuple((job, say("nobody is here")) for job in jobs))
    hands = hands_of(story, performance, host_of)
    program = _Program(len(jobs), hosts, sparing)
    dear = sparing.dear
    reasons = [[why_not(story, hands, host, job, dear) for host in hosts] for job in jobs]
    program.take(jobs, reasons)
    if not sparing.anew:
        program.count_cards(jobs, decks(story, performance, host_of))
    chosen = program.solve()
    takers = tuple((job, hosts[a]) for j, job in enumerate(jobs) if (a := chosen[j]) is not None)
    left = tuple(
        (job, _reason(hosts, reasons[j])) for j, job in enumerate(jobs) if chosen[j] is None
    )
    return Sharing(takers, left)


def _reason(hosts: Sequence[str], reasons: Sequence[str | None]) -> str:
    said = [
        f"{host} {reason}" if reason else say("{host} has another job then", host=host)
        for host, reason in zip(hosts, reasons, strict=True)
    ]
    return "; ".join(said)


@frozen
class _Program:
    """Variables between 0 and 1, rows of ``low <= sum <= high``, and a cost to make least."""

    jobs: int
    hosts: tuple[str, ...]
    sparing: Sparing
    cost: list[float] = field(factory=list)
    upper: list[float] = field(factory=list)
    rows: list[tuple[dict[int, float], float, float]] = field(factory=list)

    def variable(self, cost: float, upper: float = 1.0) -> int:
        """A new variable; gives its number."""
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def take(self, jobs: Sequence[Job], reasons: Sequence[Sequence[str | None]]) -> None:
        """Who takes which job, at most one each; ``job * hosts + adult`` is the variable."""
        many = len(self.hosts)
        for j, reason in enumerate(reasons):
            for a, why in enumerate(reason):
                spared = self.sparing.anew and self.hosts[a] == self.sparing.speaker
                brings = jobs[j].kind is JobKind.BRING and self.hosts[a] in self.sparing.beside
                cost = 1e-4 * a + SPEAKER_COST * spared + BRINGS_COST * brings
                self.variable(cost, 0.0 if why else 1.0)
        for j in range(self.jobs):
            left = self.variable(self._uncovered(jobs[j]))
            whole = {j * many + a: 1.0 for a in range(many)} | {left: 1.0}
            self.rows.append((whole, 1.0, 1.0))
        for (i, one), (j, other) in combinations(enumerate(jobs), 2):
            if clash(one, other):
                for a in range(many):
                    self.rows.append(({i * many + a: 1.0, j * many + a: 1.0}, 0.0, 1.0))
        if self.sparing.speaker in self.hosts:
            speaker = self.hosts.index(self.sparing.speaker)
            handed = {
                j * many + speaker: 1.0
                for j, job in enumerate(jobs)
                if job.kind in (JobKind.BRING, JobKind.DO)
            }
            self.rows.append((handed, 0.0, 1.0))
        most = self.variable(1.0 if self.sparing.anew else EVEN_COST, float(self.jobs))
        for a in range(many):
            load = {j * many + a: 1.0 for j in range(self.jobs)} | {most: -1.0}
            self.rows.append((load, -float(self.jobs), 0.0))

    def _uncovered(self, job: Job) -> float:
        if job.kind is JobKind.WITH:
            return BESIDE_COST
        dear = job.kind is JobKind.BRING and job.name == self.sparing.dear
        return DEAR_COST if dear else UNCOVERED_COST

    def count_cards(self, jobs: Sequence[Job], decks: Mapping[str, Deck]) -> None:
        """A card changes if a job comes on it, or between it and its neighbours."""
        many = len(self.hosts)
        for a, host in enumerate(self.hosts):
            cards: dict[str, int] = {}
            for j, job in enumerate(jobs):
                prop = job.name if job.kind is JobKind.BRING else ""
                touched = [decks[host].touched(key, prop) for key in job.keys]
                for key in sorted(set().union(*touched)):
                    if key not in cards:
                        cards[key] = self.variable(0.0 if key in decks[host].anyway else 1.0)
                    self.rows.append(({cards[key]: 1.0, j * many + a: -1.0}, 0.0, 1.0))

    def solve(self) -> list[int | None]:
        """The adult for each job, None for nobody."""
        import numpy as np
        from scipy.optimize import (  # type: ignore[import-untyped]
            Bounds,
            LinearConstraint,
            milp,
        )
        from scipy.sparse import lil_array  # type: ignore[import-untyped]

        matrix = lil_array((len(self.rows), len(self.cost)))
        for r, (row, _, _) in enumerate(self.rows):
            for column, value in row.items():
                matrix[r, column] = value
        many = len(self.hosts)
        whole = np.zeros(len(self.cost))
        whole[: self.jobs * many] = 1
        found = milp(
            np.array(self.cost),
            integrality=whole,
            bounds=Bounds(0, np.array(self.upper)),
            constraints=LinearConstraint(
                matrix.tocsr(), [low for _, low, _ in self.rows], [high for *_, high in self.rows]
            ),
            options={"time_limit": LONGEST_SEC},
        )
        if found.x is None:
            return [None] * self.jobs
        return [
            next((a for a in range(many) if found.x[j * many + a] > 0.5), None)
            for j in range(self.jobs)
        ]
