"""All rules, in the order they are explained, and one way to run them."""

from tapscore.checks.accepting import Checked, sorted_out
from tapscore.checks.cards import words_fit_a_card
from tapscore.checks.comfort import (
    adults_for_the_hoist,
    bodies_apart,
    bodies_on_the_sheet,
    clear_of_pupils,
    easing_at_the_end,
    few_things_at_once,
    loud_not_long,
    no_hidden_accent,
    no_sudden_tap,
    room_for_all,
    stage_fits_places,
    taps_thin_enough,
    under_the_ceiling,
    warn_before_loud,
    warned_two_ways,
)
from tapscore.checks.curriculum import areas_spread, two_areas_a_line
from tapscore.checks.felt import (
    clear_of_floor,
    felt_jump,
    felt_left_out,
    felt_weak,
    grain_known,
    sheet_carries,
)
from tapscore.checks.hands import (
    bringer_hands_free,
    everyone_has_a_part,
    hand_has_time_to_move,
    hands_can_keep_up,
    hands_clear_of_pupils,
    lines_tapped,
    seats_for_all,
    spots_in_reach,
    way_out_clear,
    work_shared,
)
from tapscore.checks.holding_back import same_finding
from tapscore.checks.metre import (
    accent_on_beat,
    bars_full,
    beat_easy_to_follow,
    metre_agrees,
    one_breath,
    pickup_joins,
    same_words_same_rhythm,
    stress_on_beat,
    words_unhurried,
)
from tapscore.checks.props import (
    caution_named,
    dangers_in_doings,
    enough_sets,
    mouths_kept_clear,
    props_are_used,
    props_come_first,
    props_leave,
    props_set_down_clear,
    sets_have_hands,
    substitute_named,
    turns_long_enough,
)
from tapscore.checks.rule import Rule, Scene
from tapscore.checks.running import run_rules
from tapscore.checks.shape import (
    look_for_named,
    not_too_many_lines,
    one_new_thing,
    refrain_returns,
    start_and_finish,
    waits_are_there,
    waits_long_enough,
)
from tapscore.checks.today import role_has_somebody
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

GROUPS: tuple[tuple[str, tuple[Rule, ...]], ...] = (
    (
        say("Metre"),
        (
            bars_full.RULE,
            pickup_joins.RULE,
            accent_on_beat.RULE,
            stress_on_beat.RULE,
            same_words_same_rhythm.RULE,
            one_breath.RULE,
            words_unhurried.RULE,
            beat_easy_to_follow.RULE,
        ),
    ),
    (
        say("Hands"),
        (
            hands_can_keep_up.RULE,
            hand_has_time_to_move.RULE,
            spots_in_reach.RULE,
            hands_clear_of_pupils.RULE,
            way_out_clear.RULE,
            seats_for_all.RULE,
            bringer_hands_free.RULE,
            work_shared.RULE,
            everyone_has_a_part.RULE,
            lines_tapped.RULE,
        ),
    ),
    (
        say("Comfort"),
        (
            warn_before_loud.RULE,
            warned_two_ways.RULE,
            no_sudden_tap.RULE,
            under_the_ceiling.RULE,
            no_hidden_accent.RULE,
            loud_not_long.RULE,
            clear_of_pupils.RULE,
            bodies_on_the_sheet.RULE,
            bodies_apart.RULE,
            room_for_all.RULE,
            stage_fits_places.RULE,
            adults_for_the_hoist.RULE,
            taps_thin_enough.RULE,
            few_things_at_once.RULE,
            easing_at_the_end.RULE,
        ),
    ),
    (
        say("Shape"),
        (
            refrain_returns.RULE,
            waits_are_there.RULE,
            waits_long_enough.RULE,
            look_for_named.RULE,
            not_too_many_lines.RULE,
            start_and_finish.RULE,
            one_new_thing.RULE,
        ),
    ),
    (
        say("Props"),
        (
            props_are_used.RULE,
            props_leave.RULE,
            props_set_down_clear.RULE,
            props_come_first.RULE,
            turns_long_enough.RULE,
            enough_sets.RULE,
            sets_have_hands.RULE,
            substitute_named.RULE,
            caution_named.RULE,
            dangers_in_doings.RULE,
            mouths_kept_clear.RULE,
        ),
    ),
    (say("Cards"), (words_fit_a_card.RULE,)),
    (say("Curriculum"), (two_areas_a_line.RULE, areas_spread.RULE)),
)
RULES: tuple[Rule, ...] = tuple(rule for _, rules in GROUPS for rule in rules)
"""The usual check."""
FELT_LINE_RULES: tuple[Rule, ...] = (felt_jump.RULE, felt_weak.RULE, felt_left_out.RULE)
FELT_RULES = (*FELT_LINE_RULES, clear_of_floor.RULE, sheet_carries.RULE, grain_known.RULE)
"""Run by ``tapscore check --felt``, by ``tapscore felt``, and by the editor after the usual ones.

They ask the board's model, for which numpy and scipy must be loaded and a board worked out
(some tenths of a second the first time).  Where no board is described, or no place is on it,
they find nothing and load nothing.
"""
FULL_RULES: tuple[Rule, ...] = (metre_agrees.RULE,)
"""Run by ``tapscore check --full``, before every export, and by the editor after a longer pause.

They ask music21, which takes a quarter of a second to load."""
TODAY_RULES: tuple[Rule, ...] = (role_has_somebody.RULE,)
"""Run by ``tapscore check --day``."""
ALL_GROUPS = (
    *GROUPS,
    (say("What is felt"), FELT_RULES),
    (say("A second opinion"), FULL_RULES),
    (say("Today"), TODAY_RULES),
)
ALL_RULES = (*RULES, *FELT_RULES, *FULL_RULES, *TODAY_RULES)
_IDS = tuple(each.id for each in ALL_RULES)


def rule(rule_id: str) -> Rule | None:
    """The rule of that id."""
    return next((rule for rule in ALL_RULES if rule.id == rule_id), None)


def mended(story: Story, finding: Finding) -> Story | None:
    """The story with a finding mended; None where its rule can't or the teacher must choose."""
    found = rule(finding.code)
    if found is None or found.fix is None:
        return None
    new = found.fix(story, finding)
    if new is None or new == story:
        return None
    left = found.findings(Scene(new, perform(new)))
    still = any(same_finding(each, finding) for each in left)
    return None if still else new


def check(scene: Scene, rules: tuple[Rule, ...] = RULES) -> tuple[Finding, ...]:
    """Everything to be looked at; a rule that breaks becomes a finding about itself."""
    return check_story(scene, rules).findings


def check_story(scene: Scene, rules: tuple[Rule, ...] = RULES) -> Checked:
    """Everything to be looked at, and what the teacher has accepted."""
    found = run_rules(scene, rules)
    return sorted_out(scene.story, found, [each.id for each in rules], _IDS)
