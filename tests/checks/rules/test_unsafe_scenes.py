"""A generated unsafe scene of each kind is found every time, and nothing ever breaks a rule."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from attrs import evolve

from tapscore.board.bodies import CHAIR_MM, HAND_MM, WAY_MM, body_of
from tapscore.checks.all_rules import ALL_RULES
from tapscore.checks.registry import RULES, check
from tapscore.checks.rule import Scene
from tapscore.model.board import HEADINGS, Board, Named, Place, Point, Sheet
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.finding import Finding
from tapscore.model.manner import PartialManner
from tapscore.model.story import Entrance, Line, Offer, Prop, Role, Section, Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text

SCENES = 100
_LINE = read_text(
    "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
    '      - words: Row the lan-tern\n        lane: "| X . x X . x |"\n'
).story


def _line() -> Line:
    assert _LINE is not None
    line = _LINE.sections[0].items[0]
    assert isinstance(line, Line)
    return line


def _point(random: Random, low: float, high_x: float, high_y: float) -> Point:
    return Point(
        Fraction(round(random.uniform(low, high_x))), Fraction(round(random.uniform(low, high_y)))
    )


def _board(random: Random) -> Board:
    """An empty board of any size that is built, with pupils of any age."""
    return Board(
        Fraction(random.randint(1200, 2600)),
        Fraction(random.randint(900, 2000)),
        Sheet("birch", Fraction(random.choice([4, 6, 9])), None, random.choice(["long", "short"])),
        Fraction(200),
        oldest_years=random.choice([None, 3, 4, 5, 6, 7]),
    )


def _story(board: Board, **more: Any) -> Story:
    assert _LINE is not None
    return evolve(_LINE, board=board, **more)


def _manner(**more: Any) -> PartialManner:
    assert _LINE is not None
    return evolve(_LINE.manner, **more)


def _past_the_edge(random: Random) -> Story:
    """A pupil lies with the head or trunk well over one side."""
    board = _board(random)
    head = random.choice(list(HEADINGS))
    place = Place("A", _point(random, 0, 0, 0), True, head)
    tall = body_of(place, board).build.stature_mm
    inner_x, inner_y = float(board.width_mm) / 2, float(board.depth_mm) / 2
    out = tall / 2 - random.uniform(40, tall / 2)
    at = {
        "west": (out, inner_y),
        "east": (2 * inner_x - out, inner_y),
        "south": (inner_x, out),
        "north": (inner_x, 2 * inner_y - out),
    }[head]
    point = Point(*(Fraction(round(mm)) for mm in at))
    return _story(evolve(board, places=(evolve(place, at=point),)))


def _on_one_another(random: Random) -> Story:
    board = _board(random)
    one = _point(random, 0, float(board.width_mm), float(board.depth_mm))
    near = Point(one.x_mm + random.randint(-150, 150), one.y_mm + random.randint(-150, 150))
    near = Point(max(near.x_mm, Fraction(0)), max(near.y_mm, Fraction(0)))
    heads = random.choice([*HEADINGS, None]), random.choice([*HEADINGS, None])
    places = Place("A", one, True, heads[0]), Place("B", near, random.random() < 0.5, heads[1])
    return _story(evolve(board, places=places))


def _too_many(random: Random) -> Story:
    board = _board(random)
    count = random.randint(1, 4)
    wide, deep = float(board.width_mm), float(board.depth_mm)
    places = tuple(Place("ABCD"[i], _point(random, 0, wide, deep)) for i in range(count))
    return _story(evolve(board, places=places), pupils=count + random.randint(1, 8))


def _over_a_pupil(random: Random) -> Story:
    """Somebody lies or sits on the straight way from a seat to the spot."""
    board = _board(random)
    wide, deep = board.width_mm, board.depth_mm
    seat = random.choice(
        [Point(wide / 2, Fraction(0)), Point(wide, deep / 2), Point(Fraction(0), deep / 3)]
    )
    spot = Point(wide / 2, deep / 2)
    share = Fraction(random.randint(20, 80), 100)
    off = random.randint(-round(HAND_MM / 3), round(HAND_MM / 3))
    at = Point(
        seat.x_mm + share * (spot.x_mm - seat.x_mm) + off,
        seat.y_mm + share * (spot.y_mm - seat.y_mm) + off,
    )
    place = Place("A", at, random.random() < 0.6, random.choice([*HEADINGS, None]))
    board = evolve(
        board, seats=(Named("here", seat),), spots=(Named("middle", spot),), places=(place,)
    )
    manner = _manner(spot="middle", by=("leader",))
    return _story(board, roles=(Role("leader", "here"),), manner=manner)


def _prop_on_a_tap(random: Random) -> Story:
    board = _board(random)
    spot = Point(board.width_mm / 2, board.depth_mm / 2)
    off = [random.randint(-50, 50) for _ in range(2)]
    mat = Point(spot.x_mm + off[0], spot.y_mm + off[1])
    board = evolve(board, spots=(Named("middle", spot), Named("mat", mat)))
    at = random.choice(["middle", "mat"])
    line = evolve(_line(), props_in=(Entrance("cup", at),))
    manner = _manner(spot="middle")
    sections = (Section("One", (line, _line())),)
    return _story(board, props=(Prop("cup", "a cup"),), manner=manner, sections=sections)


def _prop_on_a_pupil(random: Random) -> Story:
    board = _board(random)
    at = _point(random, 150, float(board.width_mm) - 150, float(board.depth_mm) - 150)
    place = Place("A", at, random.random() < 0.5, random.choice([*HEADINGS, None]))
    body = body_of(place, board)
    bar = random.choice(body.bars)
    share = random.random()
    mid = [a + share * (b - a) for a, b in zip(bar.start, bar.end, strict=True)]
    mat = Point(*(Fraction(round(value)) for value in mid))
    board = evolve(board, places=(place,), spots=(Named("mat", mat),))
    line = evolve(_line(), props_in=(Entrance("cup", "mat"),))
    return _story(board, props=(Prop("cup", "a cup"),), sections=(Section("One", (line, _line())),))


def _cord_within_reach(random: Random) -> Story:
    """What has a cord is left within half a metre of a pupil, and nowhere near a tap."""
    board = _board(random)
    place = Place("A", Point(board.width_mm / 2, board.depth_mm / 2))
    mat = Point(
        place.at.x_mm + random.randint(-450, 450), place.at.y_mm + random.randint(-430, 430)
    )
    board = evolve(board, places=(place,), spots=(Named("mat", mat),))
    line = evolve(_line(), props_in=(Entrance("beads", "mat"),))
    props = (Prop("beads", "wooden rings on a ribbon", cautions=("cord",)),)
    return _story(board, props=props, sections=(Section("One", (line, _line())),))


def _chair_in_the_way(random: Random) -> Story:
    board = _board(random)
    along = random.randint(0, int(board.width_mm))
    needed = round((WAY_MM + CHAIR_MM) / 2) - 1
    seat = min(max(along + random.randint(-needed, needed), 0), int(board.width_mm))
    side = random.choice([Fraction(0), board.depth_mm])
    board = evolve(
        board,
        way_out=Point(Fraction(along), side),
        seats=(Named("here", Point(Fraction(seat), side)),),
    )
    return _story(board, roles=(Role("leader", "here"),))


def _overloaded(random: Random) -> Story:
    board = evolve(
        _board(random),
        width_mm=Fraction(random.randint(1150, 1250)),
        depth_mm=Fraction(random.randint(1150, 1250)),
        sheet=Sheet("birch", Fraction(random.randint(15, 20), 10), 3, "long"),
        oldest_years=7,
    )
    spots = [(300, 300), (850, 300), (300, 850), (850, 850)]
    places = tuple(
        Place(
            "ABCD"[i],
            Point(Fraction(x + random.randint(0, 40)), Fraction(y + random.randint(0, 40))),
        )
        for i, (x, y) in enumerate(spots)
    )
    return _story(evolve(board, places=places))


_TORCH = ("torch", "phone lamp", "bicycle lamp", "lantern", "disco lamp")
_FLICKED = ("flicked on and off", "flicked quickly on and off", "that blinks", "set to flicker")


def _flashing_instead(random: Random) -> Story:
    instead = f"a {random.choice(_TORCH)} {random.choice(_FLICKED)}"
    return _story(_board(random), props=(Prop("star", "a big felt star", instead=instead),))


def _flashed_in_a_line(random: Random) -> Story:
    do = f"flick the {random.choice(_TORCH)} on and off {random.choice(['twice', 'slowly', ''])}"
    line = evolve(_line(), do=do.strip())
    return _story(_board(random), sections=(Section("One", (_line(), line)),))


def _dangerous_thing(random: Random) -> Story:
    """A thing with a hazard among words of no meaning, in any of the places for it."""
    thing = random.choice(
        ["balloon", "hot water bottle", "holly", "glitter", "magnet", "whistle", "talcum powder"]
    )
    words = f"{random.choice(['a big', 'my', 'one old'])} {thing} {random.choice(['', 'in a box'])}"
    prop = Prop("it", words.strip()) if random.random() < 0.5 else Prop("it", "a cup", 1, words)
    return _story(_board(random), props=(prop,))


def _turns_of_a_moment(random: Random) -> Story:
    offer = Offer("cup", Fraction(random.randint(1, 19)), "a reach")
    sections = (Section("One", (_line(), offer)),)
    return _story(_board(random), props=(Prop("cup", "a cup"),), sections=sections)


def _mouth_on_small_parts(random: Random) -> Story:
    prop = Prop("it", random.choice(["beads", "dried peas", "buttons in a bag", "coins"]))
    look_for = random.choice(["mouth", "licking", "fingers, the lips", "a taste", "chewing"])
    sections = (Section("One", (_line(), Offer("it", Fraction(30), look_for))),)
    return _story(_board(random), props=(prop,), sections=sections)


def _one_pair_of_hands(random: Random) -> Story:
    prop = Prop("cups", "wooden cups", random.randint(2, 5))
    sections = (Section("One", (_line(), Offer("cups", Fraction(30), "a reach"))),)
    roles = (Role("leader"), Role("helper"))
    pupils = random.randint(2, 8)
    return _story(_board(random), props=(prop,), sections=sections, roles=roles, pupils=pupils)


def _alone_with_a_hoist(random: Random) -> Story:
    comfort = Comfort(stage=Stage.ON_THE_BOARD)
    return _story(_board(random), roles=(Role(f"role {random.random()}"),), comfort=comfort)


KINDS: dict[str, tuple[str, Callable[[Random], Story]]] = {
    "past the edge": ("bodies-on-the-sheet", _past_the_edge),
    "on one another": ("bodies-apart", _on_one_another),
    "too many": ("room-for-all", _too_many),
    "over a pupil": ("hands-clear-of-pupils", _over_a_pupil),
    "prop where somebody taps": ("props-set-down-clear", _prop_on_a_tap),
    "prop on a pupil": ("props-set-down-clear", _prop_on_a_pupil),
    "a cord within reach": ("props-set-down-clear", _cord_within_reach),
    "chair in the way out": ("way-out-clear", _chair_in_the_way),
    "overloaded": ("sheet-carries", _overloaded),
    "flashing as substitute": ("caution-named", _flashing_instead),
    "flashed in a line": ("dangers-in-doings", _flashed_in_a_line),
    "a dangerous thing": ("caution-named", _dangerous_thing),
    "turns of a moment": ("turns-long-enough", _turns_of_a_moment),
    "a mouth on small parts": ("mouths-kept-clear", _mouth_on_small_parts),
    "one pair of hands": ("sets-have-hands", _one_pair_of_hands),
    "alone with a hoist": ("adults-for-the-hoist", _alone_with_a_hoist),
}


def _found(story: Story, rules: str) -> tuple[Finding, ...]:
    wanted = ALL_RULES if rules == "sheet-carries" else RULES
    return check(Scene(story, perform(story)), tuple(rule for rule in wanted if rule.id == rules))


@pytest.mark.parametrize("kind", KINDS)
def test_an_unsafe_scene_is_found_in_a_hundred_of_a_hundred(kind: str) -> None:
    rule_id, make = KINDS[kind]
    missed = [
        number for number in range(SCENES) if not _found(make(Random(f"{kind} {number}")), rule_id)
    ]
    assert missed == []


_THINGS = (
    "",
    "(((",
    "a torch flicked on and off",
    "~ * #",
    "no",
    "picture of",
    "x" * 2000,
    "beads, mouth",
    "🪶 Feder",
    "of of of of",
    "light",
    "a:b;c|d",
    "over over over the head head",
    "not",
    "-",
    "\n",
)


def _wild(random: Random) -> Iterator[Story]:
    """Boards, places and props with no sense at all."""
    board = _board(random)
    wide, deep = float(board.width_mm) * 1.5, float(board.depth_mm) * 1.5
    board = evolve(
        board,
        width_mm=Fraction(random.choice([100, 700, 5000])),
        places=tuple(
            Place(
                letter,
                _point(random, 0, wide, deep),
                random.random() < 0.5,
                random.choice([*HEADINGS, None]),
            )
            for i, letter in enumerate("ABCDEFGH"[: random.randint(0, 8)])
        ),
        spots=tuple(Named(f"s{i}", _point(random, 0, wide, deep)) for i in range(3)),
        seats=tuple(Named(f"c{i}", _point(random, 0, wide, deep)) for i in range(3)),
        way_out=random.choice([None, _point(random, 0, wide, deep)]),
    )
    roles = tuple(Role(f"r{i}", random.choice([None, f"c{i}"])) for i in range(3))
    line = evolve(
        _line(),
        props_in=(Entrance("cup", random.choice([None, "s0", "s2"])),),
        do=random.choice([None, *_THINGS]),
        warn_first=random.choice([None, *_THINGS]),
    )
    offer = Offer("cup", Fraction(random.randint(1, 90)), random.choice([None, *_THINGS]))
    manner = _manner(spot=random.choice([None, "s0", "s1"]), by=("r0", "r1"))
    thing, instead = (random.choice(_THINGS) for _ in range(2))
    sets = random.choice([0, 1, 30])
    by = random.choice([None, "r0", "nobody"])
    handed = random.choice([(), ("r1",), ("r1", "nobody")])
    props = (Prop("cup", thing, sets, instead, ("heat", "unheard of"), by, None, handed),)
    yield _story(
        board,
        roles=roles,
        props=props,
        manner=manner,
        sections=(Section("One", (line, offer, _line())),),
    )


def test_two_thousand_random_boards_break_no_rule() -> None:
    ids = {rule_id for rule_id, _ in KINDS.values()} - {"sheet-carries"} | {"clear-of-pupils"}
    rules = tuple(rule for rule in RULES if rule.id in ids)
    assert len(rules) == len(ids)
    for number in range(2000):
        for story in _wild(Random(number)):
            found = check(Scene(story, perform(story)), rules)
            assert all(finding.code != "rule-broke" for finding in found)
            assert all(finding.message and finding.remedy for finding in found)
