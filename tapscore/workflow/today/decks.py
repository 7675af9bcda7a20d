"""Each adult's cards in the order of the telling, and which a new job would change."""

from attrs import frozen

from tapscore.exports.paper.steps import Step, StepKind, steps
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.role_view import RoleView, warners
from tapscore.workflow.today.arranged import voice_today
from tapscore.workflow.today.jobs import step_key


@frozen
class Deck:
    """The steps of a performance and which of them are one adult's."""

    told: tuple[Step, ...]
    mine: tuple[bool, ...]
    anyway: frozenset[str] = frozenset()
    """Cards that change today whoever takes what: somebody else speaks or warns."""

    def touched(self, key: str, prop: str = "") -> set[str]:
        """Cards that change or are new if the step called ``key`` becomes this adult's too.

        Of a ``prop`` that she brings to it the card before says that it is to be had ready.
        """
        changed = {key}
        steps = [at for at, step in enumerate(self.told) if step_key(step) == key]
        for at in steps:
            brings = bool(prop) and _comes(self.told[at], prop)
            if not self.mine[at]:
                changed |= self._before(at, steps[0], brings=brings) | self._after(at)
            elif brings and self._new(at):
                changed |= {step_key(self.told[i]) for i in self._last_new(at)}
        return changed

    def _new(self, at: int) -> bool:
        """Whether a step of mine has a card there: a refrain's the first time, and otherwise."""
        return self.mine[at] and (self.told[at].refrain_time <= 1 or self.told[at].otherwise)

    def _last_new(self, at: int) -> tuple[int, ...]:
        """The last step before ``at`` at which this adult has a new card; none where none is."""
        return tuple(i for i in range(at - 1, -1, -1) if self._new(i))[:1]

    def _before(self, at: int, first: int, *, brings: bool) -> set[str]:
        """The card whose foot tells what comes next, if it tells it by name or what to have ready.

        Of the step at ``at``, which is heard (and has its new card) at ``first``.
        """
        if not self._last_new(at):
            return set()
        (last,) = self._last_new(at)
        card = self.told[last]
        following = next((i for i in range(last + 1, len(self.mine)) if self.mine[i]), None)
        comes_back = (
            card.kind is StepKind.REFRAIN
            and not card.otherwise
            and any(step.refrain == card.refrain for step in self.told[last + 1 :])
        )
        simply_on = comes_back and first > last and following is not None and self._new(following)
        if simply_on and not brings and following is not None and at < following:
            return set()
        return {step_key(card)}

    def _after(self, at: int) -> set[str]:
        """The card that is come in with after this step's words."""
        for i in range(at + 1, len(self.told)):
            if self.mine[i]:
                return {step_key(self.told[i])} if self._new(i) else set()
            if self.told[i].lines:
                break
        return set()


def _comes(step: Step, prop: str) -> bool:
    """Whether a prop comes on to the board, or is offered, in a step."""
    return any(
        segment.prop == prop
        or (segment.line is not None and any(e.prop == prop for e in segment.line.props_in))
        for segment in step.segments
    )


def decks(story: Story, performance: Performance, host_of: dict[str, str]) -> dict[str, Deck]:
    """The deck of each adult, named by their first role."""
    told = steps(performance)
    views = [RoleView(story, role, words_apart=True) for role in performance.roles]
    here = [
        {
            host_of[view.role]
            for view in views
            if view.role in host_of and view.involved(step.segments)
        }
        for step in told
    ]
    voice = voice_today(story, performance, host_of)
    made: dict[str, Deck] = {}
    for host in dict.fromkeys(host_of.values()):
        mine = tuple(host in busy for busy in here)
        anyway = {
            step_key(step)
            for step, involved in zip(told, mine, strict=True)
            if involved and _says_otherwise(step, host, host_of, speaks=host == voice)
        }
        made[host] = Deck(told, mine, frozenset(anyway))
    return made


def _says_otherwise(step: Step, host: str, host_of: dict[str, str], *, speaks: bool) -> bool:
    """Whether an adult's card of a step tells of another speaker or warner than before."""
    for segment in step.lines:
        line = segment.line
        if line is not None and line.warn_first and not set(warners(segment)) <= set(host_of):
            return True
        taps = any(host_of.get(tap.role) == host for tap in segment.taps)
        says = segment.manner.says
        away = not set(says) & {EVERYONE, *host_of}
        # whoever speaks all is told no more of the one line that she spoke anyway
        alone = says == (host,) != segment.usual.says
        if speaks and (alone or (away and not taps)):
            return True
    return False
