"""Each adult's cards in the order of the telling, and which a new job would change."""

from attrs import frozen

from tapscore.exports.paper.steps import Step, StepKind, steps
from tapscore.model.story import Story
from tapscore.rhythm.perform import EVERYONE
from tapscore.rhythm.performance import Performance
from tapscore.workflow.today.jobs import step_key


@frozen
class Deck:
    """The steps of a performance and which of them are one adult's."""

    told: tuple[Step, ...]
    mine: tuple[bool, ...]

    def touched(self, key: str) -> set[str]:
        """Cards that change or are new if the step called ``key`` becomes this adult's too."""
        changed = {key}
        first = True
        for at, step in enumerate(self.told):
            if step_key(step) != key or self.mine[at]:
                continue
            changed |= self._before(at, first=first) | self._after(at)
            first = False
        return changed

    def _new(self, at: int) -> bool:
        """Whether a step of mine has a card there: a refrain's only the first time."""
        return self.mine[at] and self.told[at].refrain_time <= 1

    def _before(self, at: int, *, first: bool) -> set[str]:
        """The card whose foot tells what comes next, if it tells it by name."""
        last = next((i for i in range(at - 1, -1, -1) if self._new(i)), None)
        if last is None:
            return set()
        card = self.told[last]
        following = next((i for i in range(last + 1, len(self.mine)) if self.mine[i]), None)
        comes_back = card.kind is StepKind.REFRAIN and any(
            step.refrain == card.refrain for step in self.told[last + 1 :]
        )
        simply_on = comes_back and first and following is not None and self._new(following)
        if simply_on and following is not None and at < following:
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


def decks(story: Story, performance: Performance, host_of: dict[str, str]) -> dict[str, Deck]:
    """The deck of each adult, named by their first role."""
    told = steps(performance)
    here = [
        {host_of[role] for role in _busy(story, performance, step) if role in host_of}
        for step in told
    ]
    return {
        host: Deck(told, tuple(host in busy for busy in here))
        for host in dict.fromkeys(host_of.values())
    }


def _busy(story: Story, performance: Performance, step: Step) -> set[str]:
    """Roles that have something to do in a step."""
    busy: set[str] = set()
    for segment in step.segments:
        busy |= {tap.role for tap in segment.taps}
        if segment.prop:
            busy.add(story.bringer(segment.prop))
        line = segment.line
        if line is None:
            continue
        busy |= {story.bringer(entrance.prop) for entrance in line.props_in}
        busy |= {story.bringer(prop) for prop in line.props_out}
        doers = line.done_by or segment.manner.by
        if line.do is not None:
            busy |= set(performance.roles if EVERYONE in doers else doers)
    return busy
