"""Who does how much: lines tapped, props brought and taken, turns offered, and all else."""

from collections import Counter

from tapscore.checks.rule import Scene, once_a_scene

_ELSEWHERE = ("leader", "partner", "observer", "floater")


def works_elsewhere(role: str) -> bool:
    """Whether a role has enough to do without tapping: speaking, helping, watching."""
    return role.casefold().startswith(_ELSEWHERE)


@once_a_scene
def job_counts(scene: Scene) -> Counter[str]:
    """How many things each role does in the story as it is told."""
    counts: Counter[str] = Counter()
    for told in scene.told:
        for role in told.facts.role_sec:
            counts[role] += 1
        line = told.line
        for role in line.done_by if line.do is not None else ():
            counts[role] += 1
        for prop in line.props_out:
            counts[scene.story.bringer(prop)] += 1
        for entrance in line.props_in:
            counts[scene.story.bringer(entrance.prop)] += 1
    for segment in scene.performance.segments:
        if segment.prop is not None:
            counts.update({scene.story.bringer(segment.prop), *scene.story.handlers(segment.prop)})
    return counts


@once_a_scene
def part_counts(scene: Scene) -> Counter[str]:
    """The same with words spoken, warnings given and pupils one is with."""
    counts = Counter(job_counts(scene))
    for told in scene.told:
        if told.line.words:
            counts.update(told.facts.manner.says)
        if told.line.warn_first:
            counts.update(told.line.warned_by)
    board = scene.story.board
    counts.update(place.partner for place in (board.places if board else ()) if place.partner)
    return counts
