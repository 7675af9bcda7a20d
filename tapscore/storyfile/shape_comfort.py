"""Shape of what is spared the pupils, what the teacher accepts, and areas of learning."""

from itertools import pairwise

from tapscore.model.accepted import Acceptance
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.curriculum import AREAS
from tapscore.model.finding import StoryPath
from tapscore.model.loudness import WORDS as LOUDNESS_WORDS
from tapscore.model.loudness import Loudness, parse_loudness
from tapscore.storyfile import nodes
from tapscore.storyfile.kinds import (
    Kind,
    Reading,
    dashed,
    list_of,
    number,
    scalar_kind,
    text,
    whole,
    yes_no,
)
from tapscore.storyfile.near import listed
from tapscore.storyfile.records import Field, Record
from tapscore.wording.catalogue import say

_level: Kind[Loudness] = scalar_kind(
    parse_loudness,
    lambda level: level.word,
    {"enum": list(LOUDNESS_WORDS)},
    say("one of {words}", words=listed(LOUDNESS_WORDS)),
    "medium",
    LOUDNESS_WORDS,
)
_BY_STAGE = {stage.value: stage for stage in Stage}
_stage: Kind[Stage] = scalar_kind(
    lambda said: _BY_STAGE.get(" ".join(said.split()).casefold()),
    lambda stage: stage.value,
    {"enum": list(_BY_STAGE)},
    say("one of {words}", words=listed(_BY_STAGE)),
    "on a table",
    tuple(_BY_STAGE),
)
_BY_AREA = {area.casefold(): area for area in AREAS}
_area: Kind[str] = scalar_kind(
    lambda said: _BY_AREA.get(" ".join(said.split()).casefold()),
    str,
    {"enum": list(AREAS)},
    say("an area of learning as it is published (`tapscore help story` lists them)"),
    "exploration",
    AREAS,
)
_any_areas: Kind[tuple[str, ...]] = list_of(_area, "[exploration, anticipation]")


def _read_areas(reading: Reading, node: nodes.Node, path: StoryPath) -> tuple[str, ...] | None:
    """Areas; a name that a comma without quotes cut in two is one finding, not two."""
    items = node.items if isinstance(node, nodes.Sequence) else ()
    for one, other in pairwise(items):
        if isinstance(one, nodes.Scalar) and isinstance(other, nodes.Scalar):
            whole = _BY_AREA.get(f"{one.value}, {other.value}".casefold())
            if whole is not None:
                reading.report("comma-in-name", one.span, path, name=whole)
                return None
    return _any_areas.read(reading, node, path)


areas: Kind[tuple[str, ...]] = Kind(
    _read_areas, _any_areas.write, _any_areas.schema, _any_areas.example
)

_COMFORT = Record(
    Comfort,
    (
        Field("ceiling", "ceiling", _level, about=say("Nothing is louder than this.")),
        Field(
            "largest jump",
            "largest_jump",
            whole(1, 4, "1", say("steps")),
            about=say("Steps of loudness that may come without a warning."),
        ),
        Field(
            "least wait",
            "least_wait_sec",
            number(1, 600, "10", say("seconds")),
            about=say("No wait is shorter, in seconds."),
        ),
        Field("stage", "stage", _stage, about=say("How far the board has been introduced.")),
        Field(
            "introduce gently",
            "introduce_gently",
            yes_no,
            about=say("Nothing above medium, and fewer things at once."),
            default=False,
        ),
    ),
    what=say("the comfort settings"),
)
comfort: Kind[Comfort] = _COMFORT.kind()
COMFORT_RECORDS: dict[type, Record] = {Comfort: _COMFORT}

_ACCEPTANCE = Record(
    Acceptance,
    (
        Field("finding", "finding", text("warn-before-loud"), True, say("Name of the finding.")),
        Field(
            "where", "where", text("Splash!"), about=say("The line's words; everywhere if missing.")
        ),
        Field("why", "why", text("the class waits for this"), True, say("Your reason.")),
    ),
    what=say("an accepted finding"),
)
accepted: Kind[tuple[Acceptance, ...]] = dashed(_ACCEPTANCE.kind(), "finding", say("acceptances"))
