"""Something clearly louder than the line before is announced."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachPair, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.comfort import Stage
from tapscore.model.finding import Finding, Severity
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.model.walk import edit_line
from tapscore.wording.catalogue import say

CUE = say("touch an arm and whisper “ready?”")
THROUGH = ("voice", "touch")
_TOLERANCE = 1e-6


def _find(
    setting: Setting, before: LineFacts | None, after: LineFacts, paused: bool
) -> Iterator[Found]:
    if after.line.warn_first is not None or not after.touches:
        return
    silence = float(Loudness.QUIET)
    level = before.last_level if before is not None and before.touches else silence
    if paused or before is None:
        level = min(level, silence)
    jump = after.first_level - level
    if jump > setting.comfort.jump_steps + _TOLERANCE:
        silent = paused or before is None
        yield found(
            (),
            stage_severity(setting),
            earlier=None if silent else level,
            level=after.first_level,
            stage=setting.comfort.stage_word,
        )


def stage_severity(setting: Setting) -> Severity | None:
    """Sudden loudness weighs less where only hands lie on the board; None as the rule says."""
    gentle = setting.comfort.introduce_gently
    if setting.comfort.stage is Stage.ON_A_TABLE and not gentle:
        return Severity.ADVICE
    return None


def _fix(story: Story, finding: Finding) -> Story | None:
    return edit_line(
        story, finding.path, lambda line: evolve(line, warn_first=CUE, warned_through=THROUGH)
    )


def _two(first: str, second: str, *between: str) -> str:
    return example(
        tapped("Row the lan-tern", "| X . x X . x |", f"loudness: {first}"),
        *between,
        tapped("Crash went the wave", "| X x x X . . |", f"loudness: {second}"),
    )


RULE = Rule(
    id="warn-before-loud",
    title=say("Loud beginnings are announced"),
    why=say(
        "What startles is the unexpected more than the loud. A cue that is always the same "
        "lets pupils brace themselves and look forward."
    ),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=EachPair(_find),
    good=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n'
        '- words: Crash went the wave\n  lane: "| X x x X . . |"\n  loudness: loud\n'
        "  warn first: touch an arm and whisper “ready?”\n  warned through: [voice, touch]",
        extra="loudness: quiet\n",
    ),
    bad=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n'
        '- words: Crash went the wave\n  lane: "| X x x X . . |"\n  loudness: loud',
        extra="loudness: quiet\n",
    ),
    more_good=(
        _two("quiet", "medium"),
        _two("medium", "loud"),
    ),
    more_bad=(
        _two("quiet", "loud"),
        _two("medium", "loud", "- wait: 10\n  look for: a look"),
    ),
    fix=_fix,
    mends=say("Adds a warning: {cue}.", cue=CUE),
)
