"""What findings and mends say of small scenes, worked out by hand."""

from fractions import Fraction

import pytest

from tapscore.checks.all_rules import ALL_RULES, mended
from tapscore.checks.holding_back import without_follow_on
from tapscore.checks.metre.metre_agrees import RULE as METRE_AGREES
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.checks.setting import setting_of
from tapscore.model.board import Point
from tapscore.model.day import Day
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line, Role, Story
from tapscore.rhythm.metre_opinion import differences
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.about import LineName

HEAD = "tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\nloudness: quiet\n"


def story_of(lines: str, more: str = "") -> Story:
    text = f"{HEAD}{more}story:\n  - section: One\n    lines:\n{lines}"
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    return read.story


def line(words: str, lane: str, more: str = "") -> str:
    return f"      - {{words: {words}, lane: '{lane}'{', ' * bool(more)}{more}}}\n"


def found(story: Story, code: str) -> list[Finding]:
    return [each for each in check(Scene(story, perform(story))) if each.code == code]


def the_mend(story: Story, code: str) -> str:
    """The story file after the one finding of that kind is mended."""
    (finding,) = found(story, code)
    new = mended(story, finding)
    assert new is not None
    return write_story(new)


def test_a_pickup_in_another_metre_is_made_up_for_in_the_line_s_own_steps() -> None:
    """A pickup of one beat is three steps of 6/8; the bar of 4/4 before it gives two of its own."""
    text = (
        f"{HEAD}story:\n  - section: One\n    lines:\n"
        + line("row the boat", "| x . x . x . . . |")
        + "  - section: Two\n    metre: 6/8\n    lines:\n"
        + line("a a row the boat", "x . x | X . x X . . |")
    )
    story = read_text(text).story
    assert story is not None
    assert "| x . x . x . |" in the_mend(story, "pickup-joins")


def test_the_heavy_syllable_may_be_the_later_one() -> None:
    """``ga`` stands on the second beat, ``ROO`` half a beat after it."""
    story = story_of(line("kan-ga-ROO", "| X . x x . . . . |"))
    (finding,) = found(story, "stress-on-beat")
    assert (finding.about["light"], finding.about["heavy"]) == ("ga", "ROO")


BOARD = (
    "board:\n  size_cm: [120, 90]\n  spots: {middle: [60, 45], corner: [10, 10]}\n"
    "  seats: {north: [60, 90], east: [120, 45], south: [60, 0], west: [0, 45]}\n"
)
ADULTS = "roles: {ann: {seat: east}, bea: {seat: south}, cyd: {seat: west}}\n"


def test_a_spot_out_of_reach_goes_to_the_nearest_of_those_who_reach_it() -> None:
    """From the corner in cm: ann in the east 115, bea in the south 51, cyd in the west 36."""
    story = story_of(line("tap", "| X . . . . . . . |", "spot: corner, by: ann"), BOARD + ADULTS)
    (finding,) = found(story, "spots-in-reach")
    assert finding.about["nearer"] == "cyd"
    assert finding.about["away_cm"] == pytest.approx((110**2 + 35**2) ** 0.5)
    assert "by: cyd" in the_mend(story, "spots-in-reach")


def test_nobody_is_named_where_nobody_reaches() -> None:
    far = ADULTS.replace("south", "east").replace("west", "east")
    story = story_of(line("tap", "| X . . . . . . . |", "spot: corner, by: ann"), BOARD + far)
    (finding,) = found(story, "spots-in-reach")
    assert finding.about.get("nearer") is None
    assert mended(story, finding) is None


@pytest.mark.parametrize(
    ("tempo", "slowed"),
    [("120", "100"), ("110", "100"), ("60 to 120", "50 to 100"), ("200", "100")],
)
def test_hands_that_cannot_keep_up_get_just_as_much_time_as_they_need(
    tempo: str, slowed: str
) -> None:
    """A quarter of a beat takes 150 ms at a hundred beats a minute; it is never made slower."""
    lane = "| . . . . . . tt tt |" if "to" in tempo else "| tt . . . . . . . |"
    story = story_of(f"      - {{words: '', lane: '{lane}', tempo: {tempo}}}\n")
    text = the_mend(story, "hands-can-keep-up")
    if "to" not in tempo:
        assert f"tempo: {slowed}" in text
    else:
        assert found(read(text), "hands-can-keep-up") == []


def read(text: str) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


@pytest.mark.parametrize(
    ("pupils", "turn", "hands", "case", "sets", "minutes"),
    [
        (8, 30, "", "more", 2, 4.0),  # six turns of 30 s make three minutes: 8 / 6
        (13, 30, "", "more", 3, 6.5),
        (4, 60, "", "more", 2, 4.0),
        (8, 30, ", handed by: [ann]", "hands", 2, 4.0),
        (8, 30, ", handed by: [ann, bea]", "more", 2, 4.0),
        (2, 200, "", "shorter", 0, 6.7),
    ],
)
def test_how_many_sets_and_hands_are_enough(
    pupils: int, turn: int, hands: str, case: str, sets: int, minutes: float
) -> None:
    roles = "roles: {ann: , bea: }\n" if hands else ""
    more = f"pupils: {pupils}\n{roles}props: {{bell: {{what: a bell{hands}}}}}\n"
    story = story_of(f"      - {{offer: bell, turn: {turn}, look for: a look}}\n", more)
    (finding,) = found(story, "enough-sets")
    assert (finding.about["case"], finding.about["sets"]) == (case, sets)
    assert finding.about["minutes"] == pytest.approx(minutes, abs=0.05)
    mend = mended(story, finding)
    assert (mend is not None) == (case == "more")
    if mend is not None:
        assert f"sets: {sets}" in write_story(mend)


def test_a_louder_line_names_the_step_and_the_mend_warns_two_ways() -> None:
    story = story_of(
        line("row", "| X . . . . . . . |") + line("crash", "| X . . . . . . . |", "loudness: loud")
    )
    (finding,) = found(story, "warn-before-loud")
    assert (finding.about["earlier"], finding.about["level"]) == (1, 3)
    assert finding.path == ("story", 0, "lines", 1)
    text = the_mend(story, "warn-before-loud")
    assert "touch an arm and whisper “ready?”" in text
    assert "warned through: [voice, touch]" in text


def test_a_line_is_lowered_to_the_ceiling_with_its_single_taps() -> None:
    story = story_of(
        line(
            "a b c",
            "| X(very loud) . x . x(quiet) . . . |",
            "loudness: quiet to very loud, warn first: look",
        ),
        "comfort: {ceiling: medium}\n",
    )
    text = the_mend(story, "under-the-ceiling")
    assert "loudness: quiet to medium" in text
    assert "X(medium) . x . x(quiet)" in text


def test_the_end_is_eased_to_four_fifths_and_very_quiet() -> None:
    story = story_of(line("row the boat", "| X . x . x . . . |") * 6)
    text = the_mend(story, "easing-at-the-end")
    assert "tempo: 60 to 48" in text
    assert "loudness: quiet to very quiet" in text
    (finding,) = found(story, "easing-at-the-end")
    assert finding.path == ("story", 0, "lines", 5)


def test_who_brings_leaves_the_tapping_to_others_who_tap() -> None:
    more = "roles: {ann: , bea: , second tapper: }\nprops: {bell: {what: a bell, by: ann}}\n"
    for by, then in (("ann", "second tapper"), ("[ann, bea]", "bea")):
        story = story_of(
            line("in it comes", "| X . x . x . . . |", f"by: {by}, prop in: bell"), more
        )
        (finding,) = found(story, "bringer-hands-free")
        assert (finding.about["role"], finding.about["prop"]) == ("ann", "bell")
        assert f"by: {then}" in the_mend(story, "bringer-hands-free")


def test_who_brings_is_left_no_tap_of_her_own() -> None:
    story = story_of(
        line("in", "| X(ann: loud; bea: quiet) . . . . . . . |", "by: cyd, prop in: bell"),
        "roles: {ann: , bea: , cyd: }\nprops: {bell: {what: a bell, by: ann}}\n",
    )
    (finding,) = found(story, "bringer-hands-free")
    new = mended(story, finding)
    assert new is not None
    assert {tap.role for tap in perform(new).taps} == {"bea"}
    assert not found(new, "bringer-hands-free")


def test_a_prop_offered_before_it_comes_comes_with_the_line_before() -> None:
    story = story_of(
        line("one", "| X . . . . . . . |")
        + line("two", "| X . . . . . . . |")
        + "      - {offer: bell, look for: a look}\n"
        + line("three", "| X . . . . . . . |", "prop out: bell"),
        "props: {bell: {what: a bell}}\n",
    )
    codes = {each.about["case"]: each.path for each in found(story, "props-come-first")}
    assert codes["offered"] == ("story", 0, "lines", 2, "offer")
    offered = next(f for f in found(story, "props-come-first") if f.about["case"] == "offered")
    new = mended(story, offered)
    assert new is not None
    lines = [item for item in new.sections[0].items if isinstance(item, Line)]
    assert [[each.prop for each in told.props_in] for told in lines] == [[], ["bell"], []]
    assert found(new, "props-come-first") == []


def test_two_on_one_seat_are_told_of_the_second() -> None:
    roles = "roles: {ann: {seat: east}, bea: {seat: west}, cyd: {seat: east}}\n"
    story = story_of(line("tap", "| X . . . . . . . |", "by: ann"), BOARD + roles)
    (finding,) = found(story, "seats-for-all")
    told = finding.about
    assert (told["case"], told["role"], told["other"], told["seat"]) == (
        "shared",
        "cyd",
        "ann",
        "east",
    )


def test_a_hand_is_given_time_for_its_way() -> None:
    """75 cm at 150 a second and a tenth to settle: 0.6 s, and half a beat at 50 is just that."""
    board = "board: {size_cm: [120, 90], spots: {a: [20, 45], b: [95, 45]}}\nroles: {ann: }\n"
    for tempo, fires in (("50", False), ("51", True)):
        story = story_of(line("hop hop", "| x(a) x(b) . . . . . . |", f"tempo: {tempo}"), board)
        assert bool(found(story, "hand-has-time-to-move")) == fires


def test_a_role_with_nobody_names_how_much_it_has_to_do() -> None:
    story = story_of(
        line("one", "| X . . . . . . . |", "by: ann")
        + line("two", "| X . . . . . . . |", "by: bea")
        + line("three", "| X . . . . . . . |", "by: bea"),
        "roles: {ann: , bea: }\n",
    )
    (finding,) = check(
        Scene(story, perform(story), Day(("ann",))),
        tuple(rule for rule in ALL_RULES if rule.id == "role-has-somebody"),
    )
    assert finding.about["jobs"] == 2
    assert "bea" in finding.message


@pytest.mark.parametrize(
    ("pause", "of"),
    [
        ("{offer: spoon, look for: an open mouth}", []),
        ("{offer: beads, look for: an open mouth}", ["beads"]),
        ("{wait: 8, look for: an open mouth}", ["beads", "cones"]),
        ("{wait: 8, look for: an open hand}", []),
    ],
)
def test_a_mouth_is_looked_for_at_what_is_offered_or_at_all_that_is_there(
    pause: str, of: list[str]
) -> None:
    told = story_of(
        line("Here they come now", "| X . X . X . X . |", "prop in: {beads: , spoon: , cones: }")
        + f"      - {pause}\n"
        + line("They go", "| X . X . . . . . |", "prop out: [beads, spoon, cones]"),
        "props:\n  beads: {what: wooden beads, cautions: [small parts]}\n"
        "  spoon: {what: large wooden spoon}\n"
        "  cones: {what: dry cones, cautions: [small parts]}\n",
    )
    findings = found(told, "mouths-kept-clear")
    assert [each.about["prop"] for each in findings] == of
    assert {each.path for each in findings} <= {("story", 0, "lines", 1, "look for")}


def test_a_seat_is_nowhere_without_a_board_and_a_role_without_a_seat() -> None:
    alone = Story("t", roles=(Role("leader", "east"),))
    assert setting_of(alone).seat("leader") is None
    assert setting_of(alone).spot("middle") is None
    board = "board: {size_cm: [120, 90], spots: {middle: [60, 45]}, seats: {east: [120, 45]}}\n"
    seated = story_of(
        line("Hush", "| X . . . . . . . |"),
        f"{board}roles: {{leader: {{seat: east}}, helper: }}\n",
    )
    assert setting_of(seated).seat("leader") == Point(Fraction(1200), Fraction(450))
    assert setting_of(seated).seat("helper") is None
    assert setting_of(seated).spot("middle") == Point(Fraction(600), Fraction(450))
    assert setting_of(seated).spot(None) is None
    assert setting_of(seated).spot("edge") is None


@pytest.mark.parametrize("code", ["clear-of-pupils", "hands-clear-of-pupils", "spots-in-reach"])
def test_of_several_lines_the_first_is_named_and_how_many_more(code: str) -> None:
    board = (
        "board: {size_cm: [200, 90], spots: {far: [100, 45], near: [190, 80]},\n"
        "  seats: {east: [200, 45]}, places: {A: {at: [105, 45]}}}\n"
        "roles: {leader: {seat: east}, helper: }\nspot: far\n"
    )
    lane = "| X . . . . . . . |"
    told = story_of(
        line("None", lane, "spot: near")
        + line("First", lane)
        + line("Mine", lane, "by: helper")
        + "".join(line(words, lane) for words in ("Next", "Last")),
        board,
    )
    (finding,) = found(told, code)
    first = finding.about["line"]
    others = {"clear-of-pupils": 3}.get(code, 2)  # where a pupil lies it matters who taps to no one
    assert isinstance(first, LineName)
    assert (first.number, finding.about["more"]) == (2, others)


@pytest.mark.parametrize(
    ("tempo", "eases"), [("90 to 70", False), ("50 to 55", False), ("60 to 48", True)]
)
def test_a_story_eases_that_ends_slower_than_its_line_began_and_than_is_usual(
    tempo: str, eases: bool
) -> None:
    lines = [line("Row", "| X . . . . . . . |")] * 5
    last = line("Row", "| X . . . . . . . |", f"tempo: {tempo}")
    assert len(found(story_of("".join([*lines, last])), "easing-at-the-end")) == (not eases)


def test_work_is_shared_among_those_who_are_to_tap() -> None:
    """Of two who tap one does all: told; whoever leads or watches beside one is none of them."""
    lines = line("Row", "| X . . . . . . . |", "by: drum") * 8
    for roles, told in (("drum, bell", 1), ("leader, drum", 0), ("observer, drum, partner A", 0)):
        named = "".join(f"  {role}: {{}}\n" for role in roles.split(", "))
        assert len(found(story_of(lines, f"roles:\n{named}"), "work-shared")) == told


def test_the_loudest_of_several_adults_at_one_moment_counts() -> None:
    """Whoever taps softly beside her makes her tap no softer."""
    roles = "roles: {ann: {}, bea: {}}\nby: everyone\n"
    for lane, count in (
        ("| X . x . x(bea: loud) . x . |", 1),
        ("| X . x . x(ann: loud) . x . |", 1),
        ("| X . x . x . x . |", 0),
    ):
        told = story_of(line("Row and row on", lane), roles)
        assert len(found(told, "no-sudden-tap")) == count


def test_the_line_after_one_that_must_be_mended_is_left_alone_too() -> None:
    def at(number: int, severity: Severity, *rest: str) -> Finding:
        return Finding("some", severity, path=("story", 0, "lines", number, *rest))

    found_in = tuple(at(number, Severity.ADVICE) for number in range(5))
    for part, kept in (("lane", [0, 3, 4]), ("do", [0, 1, 2, 3, 4])):
        read = (at(1, Severity.MUST_MEND, part), at(4, Severity.ADVICE, "lane"))
        quiet = without_follow_on(found_in, read)
        assert [each.path[3] for each in quiet] == kept


def test_a_prop_is_tapped_beside_only_while_it_is_there() -> None:
    board = (
        "board: {size_cm: [120, 90], spots: {middle: [60, 45], edge: [110, 45]}}\n"
        "props: {cup: {what: a cup}}\nspot: edge\n"
    )
    lane = "| X . . . . . . . |"
    for out_at, count in ((1, 0), (2, 1)):
        told = story_of(
            line("Come", lane, "prop in: {cup: middle}")
            + "      - {wait: 5}\n"
            + "".join(
                line("Row", lane, "spot: middle" + ", prop out: cup" * (number == out_at))
                for number in (1, 2)
            ),
            board,
        )
        cases = [each.about["case"] for each in found(told, "props-set-down-clear")]
        assert cases.count("tapped") == count


def test_many_lines_without_taps_are_told_at_once_where_they_are_more_than_half() -> None:
    bare, tapped = "      - {words: Row}\n", line("Row", "| X . . . . . . . |")
    for bares, taps, cases in ((4, 4, ["one"] * 4), (5, 4, ["many"]), (3, 1, ["one"] * 3)):
        told = story_of(bare * bares + tapped * taps)
        assert [each.about["case"] for each in found(told, "lines-tapped")] == cases


def test_a_line_spoken_in_rhythm_is_not_told_to_get_one() -> None:
    spoken, bare = line("Row", "| s . . . . . . . |"), "      - {words: Row}\n"
    empty = line('""', "| . . . . . . . . |")
    one, two, three = found(story_of(spoken + bare + empty), "lines-tapped")
    assert [each.about.get("rhythm") for each in (one, two)] == ["yes", "no"]
    assert one.remedy.startswith("Write `x` for `s` in its `lane:`, or leave it")
    assert two.remedy.startswith("Give it a `lane:`, or leave it")
    assert three.message == "Line 3 has neither words nor taps."
    for lines, rhythm in ((spoken * 4, "yes"), (spoken * 3 + bare, "no")):
        (many,) = found(story_of(lines), "lines-tapped")
        assert (many.about["lines"], many.about["rhythm"]) == (4, rhythm)


def test_loud_words_before_a_loud_tap_warn_nobody() -> None:
    """Who feels more than hears was told nothing by them."""
    told = story_of(
        line("Row", "| X . . . . . . . |")
        + line("Crash", "| s . . . . . . . |", "loudness: very loud")
        + line("Crash", "| X . . . . . . . |", "loudness: very loud")
    )
    (sudden,) = found(told, "warn-before-loud")
    assert (sudden.path, sudden.about["level"]) == (("story", 0, "lines", 2), 4.0)


def test_a_short_line_before_does_not_hide_words_that_return_otherwise() -> None:
    told = story_of(
        line("Hush", "| X . . . . . . . |")
        + "      - {words: Row the boat on}\n"
        + line("Row the boat home", "| X . X . X . X . |")
        + line("Row the boat home", "| X . X . X X . . |")
    )
    assert [each.path[3] for each in found(told, "same-words-same-rhythm")] == [3]


def test_a_line_that_is_counted_otherwise_in_two_places_is_told_once() -> None:
    told = story_of(line("Row the boat and home", "| X . x . X . | X . x . . . . . . |"))
    assert len(list(differences(told))) > 1
    assert len(list(METRE_AGREES.findings(Scene(told, perform(told))))) == 1


def test_every_pupil_whose_head_is_near_a_tapped_spot_is_named() -> None:
    story = story_of(
        line("row", "| X . . . . . . . |", "spot: middle"),
        "board: {size_cm: [120, 90], spots: {middle: [60, 45]}, places: {A: {at: [20, 20]},\n"
        "  B: {at: [60, 50]}, C: {at: [65, 45]}}}\n",
    )
    told = found(story, "clear-of-pupils")
    assert [finding.about["place"] for finding in told] == ["B", "C"]


def test_the_warning_of_one_line_is_none_for_the_next() -> None:
    tap = "| X . . . . . . . |"
    told = story_of(
        line("Hush", tap, "warn first: lean in, warned through: [voice, touch]")
        + line("Crash", tap, "loudness: very loud")
    )
    assert [each.path for each in found(told, "warn-before-loud")] == [("story", 0, "lines", 1)]


def test_the_same_way_twice_is_one_way() -> None:
    told = story_of(
        line("Hush", "| X . . . . . . . |", "warn first: lean in, warned through: [voice, voice]")
    )
    assert [each.about["case"] for each in found(told, "warned-two-ways")] == ["one"]


def test_one_pupil_on_the_board_and_one_beside_fit_the_stage() -> None:
    for at, cases in (("[30, 30]", []), ("[130, 30]", ["nobody-on-it"])):
        told = story_of(
            line("Hush", "| X . . . . . . . |"),
            f"board: {{size_cm: [120, 90], places: {{A: {{at: {at}}}, B: {{at: [150, 30]}}}}}}\n"
            "comfort: {stage: on the board}\n",
        )
        assert [each.about["case"] for each in found(told, "stage-fits-places")] == cases


def test_another_stroke_takes_as_long_to_get_there() -> None:
    """From 10 to 80 cm in an eighth of a second: 5.6 m a second."""
    told = story_of(
        line("hop hop", "| X(near)X(far, knuckles) . . . . . . . |", "by: ann"),
        "board: {size_cm: [120, 90], spots: {near: [60, 10], far: [60, 80]}}\nroles: {ann: {}}\n",
    )
    assert [each.about["end"] for each in found(told, "hand-has-time-to-move")] == ["far"]


def test_what_has_left_the_board_comes_to_no_mouth() -> None:
    tap, text = "| X . . . . . . . |", "props: {beads: {what: beads, cautions: [small parts]}}\n"
    for out, cases in (("", 1), (", prop out: beads", 0)):
        told = story_of(
            line("Come", tap, "prop in: beads")
            + f"      - {{words: Go, lane: '{tap}'{out}}}\n"
            + "      - {wait: 10, look for: an open mouth}\n",
            text,
        )
        assert len(found(told, "mouths-kept-clear")) == cases


@pytest.mark.parametrize(("after", "count"), [(10, 0), (11, 1)])
def test_ten_lines_may_follow_a_wait_before_the_next(after: int, count: int) -> None:
    row = line("Row", "| X . . . . . . . |")
    told = story_of(row + "      - {wait: 10, look for: a look}\n" + row * after)
    assert len(found(told, "waits-are-there")) == count


def test_a_prop_that_a_refrain_sets_down_is_kept_clear_at_each_return() -> None:
    """Only after the second return is it tapped where the cup stands."""
    tap = "| X . . . . . . . |"
    come = f"{{words: Come, lane: '{tap}', spot: corner, prop in: {{cup: middle}}}}"
    refrain = f"refrains:\n  home:\n    - {come}\n"
    board = (
        "board: {size_cm: [120, 90], spots: {middle: [60, 45], corner: [10, 10]}}\n"
        "props: {cup: {what: a cup}}\n"
    )
    for spot, count in (("middle", 1), ("corner", 0)):
        told = story_of(
            "      - refrain: home\n"
            + line("Go", tap, "spot: corner, prop out: cup")
            + "      - refrain: home\n"
            + line("Row", tap, f"spot: {spot}")
            + line("Go", tap, "spot: corner, prop out: cup"),
            board + refrain,
        )
        assert len(found(told, "props-set-down-clear")) == count


def test_one_tempo_is_eased_and_the_other_left() -> None:
    tap = "| X . . . . . . . |"
    told = story_of(line("Row", tap, "tempo: 30") + line("Home", tap, "tempo: 200"))
    first, second = found(told, "beat-easy-to-follow")
    assert "tempo: 40" in write_story(mended(told, first) or told)
    assert "tempo: 200" in write_story(mended(told, first) or told)
    assert "tempo: 30" in write_story(mended(told, second) or told)


def test_silence_before_the_words_takes_no_breath() -> None:
    """Twelve beats from the first word to the last, after eight beats of rest."""
    rest, row = "| . . . . . . . . ", "| x . x . x . x . "
    told = story_of(line("la " * 13, f"{rest * 2}{row * 3}| x . . . . . . . |"))
    assert found(told, "one-breath") == []


def test_words_that_return_are_mended_after_the_first() -> None:
    lanes = ("| X . X . X . . . |", "| X X . . X . . . |", "| X . . X X . . . |")
    told = story_of("".join(line("Row the boat", lane) for lane in lanes))
    second, third = found(told, "same-words-same-rhythm")
    for finding, place in ((second, 1), (third, 2)):
        new = mended(told, finding)
        assert new is not None
        assert new.sections[0].items[place] == told.sections[0].items[0]
