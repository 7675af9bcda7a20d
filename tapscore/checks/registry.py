"""The usual rules, in the order they are explained, and one way to run them."""

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
from tapscore.checks.metre import (
    accent_on_beat,
    bars_full,
    beat_easy_to_follow,
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
from tapscore.model.finding import Finding
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


def check(scene: Scene, rules: tuple[Rule, ...] = RULES) -> tuple[Finding, ...]:
    """Everything to be looked at; a rule that breaks becomes a finding about itself."""
    return check_story(scene, rules).findings


def check_story(scene: Scene, rules: tuple[Rule, ...] = RULES) -> Checked:
    """Everything to be looked at, and what the teacher has accepted."""
    found = run_rules(scene, rules)
    if not scene.story.accepted:
        return Checked(found)
    from tapscore.checks.all_rules import IDS

    return sorted_out(scene.story, found, [each.id for each in rules], IDS)
