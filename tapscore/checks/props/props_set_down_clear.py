"""A prop is set down where nobody taps and nobody lies, and a cord out of reach."""

from collections.abc import Iterator

from tapscore.board.bodies import bodies_on
from tapscore.checks.examples import example, tapped
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene
from tapscore.checks.tapping import spots_with_props
from tapscore.model.cautions import CAUTIONS
from tapscore.model.finding import Severity
from tapscore.wording.about import About
from tapscore.wording.catalogue import say

PROP_CM = 8.0
"""How far from a prop's own middle a hand may tap."""


def _find(scene: Scene) -> Iterator[Found]:
    setting = scene.setting
    board = setting.board
    if board is None:
        return
    for entrance, segment, spots in spots_with_props(scene):
        at = setting.spot(entrance.at)
        if at is None:
            continue
        path = (*segment.path, "prop in")
        about = About(prop=entrance.prop, spot=entrance.at)
        for body in bodies_on(board) if setting.on_the_board else ():
            if body.distance_mm(at) < 0:
                yield Found(path, about.and_also(case="lies", place=body.place.name))
        held = [c for c in _cautions(scene, entrance.prop) if CAUTIONS[c].in_hand]
        reach = tuple(body.place.name for body in bodies_on(board) if body.reaches(at))
        if held and reach and setting.on_the_board:
            called = CAUTIONS[held[0]].title
            yield Found(
                path, about.and_also(case="reach", places=reach, count=len(reach), called=called)
            )
        near = [s for s in spots if (p := setting.spot(s)) and p.distance_mm(at) < 10 * PROP_CM]
        if near:
            yield Found(path, about.and_also(case="tapped", tapped=near[0]))


def _cautions(scene: Scene, name: str) -> tuple[str, ...]:
    prop = scene.story.prop(name)
    return tuple(c for c in prop.cautions if c in CAUTIONS) if prop else ()


def _scene(spots: str, at: str, places: str = "", cautions: str = "") -> str:
    return example(
        tapped("Out come the cups", "| X . x X . x |", f"prop in: {{cups: {at}}}"),
        tapped("round and smooth", "| X . x X . . |"),
        "- offer: cups\n  look for: a reach",
        tapped("back they go now", "| X . x X . x |", "prop out: cups"),
        extra=f"board: {{size_cm: [120, 90], spots: {{middle: [60, 45], {spots}}}{places}}}\n"
        f"props: {{cups: {{what: wooden cups, instead: wooden spoons{cautions}}}}}\nspot: middle\n",
    )


_BODY = ",\n  places: {A: {at: [25, 25]}}"
_CORD = ", cautions: cord"

RULE = Rule(
    id="props-set-down-clear",
    title=say("Props are set down clear of taps and pupils"),
    why=say(
        "A hand that taps on a prop makes another sound or breaks it, and nobody wants it put "
        "down on them. What has a cord stays in an adult's hand wherever a pupil could take it."
    ),
    source=say(
        "{house_rule}: {prop:.0f} cm from a spot that is tapped meanwhile; arms from Snyder "
        "et al. (1977); cords: see their caution",
        house_rule=HOUSE_RULE,
        prop=PROP_CM,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=_scene("mat: [90, 45]", "mat"),
    bad=_scene("mat: [90, 45]", "middle"),
    # A sitting pupil of five reaches 13.4 + 50.4 cm from the middle.
    more_good=(
        _scene("mat: [68.1, 45]", "mat"),
        _scene("mat: [90, 45]", "mat", _BODY),
        _scene("mat: [89, 25]", "mat", _BODY, _CORD),
    ),
    more_bad=(
        _scene("mat: [67.9, 45]", "mat"),
        _scene("mat: [20, 20]", "mat", _BODY),
        _scene("mat: [88.5, 25]", "mat", _BODY, _CORD),
    ),
)
