"""What a person reads when the database itself refuses at the bench: somebody was quicker, or a rule was passed by."""

from collections.abc import Mapping

_LOOK_AGAIN = "Look at the pair again."

SENTENCES: Mapping[str, str] = {
    "a_stage_is_retired_not_deleted": "A stage stays on record.",
    "a_stage_begins_unticked": "A stage begins unticked.",
    "only_an_open_pair_is_worked_on": f"This pair is no longer on the bench. {_LOOK_AGAIN}",
    "a_stage_is_of_a_foot_of_its_pair": "This pair has no shoe for that foot.",
    "a_stage_is_planned_from_the_pairs_version": (
        "This stage still waits for an answer to what the new version changed, or was planned from an older version."
    ),
    "a_stage_is_planned_once": f"Somebody planned this stage again just now. {_LOOK_AGAIN}",
    "a_stage_stays_as_planned": "A stage stays as it was planned.",
    "a_retired_stage_rests": f"This stage is no longer asked for. {_LOOK_AGAIN}",
    "a_stage_asked_for_is_not_dropped": "The prescription still asks for this stage.",
    "bench_works_to_the_signed_version": (
        "There is a newer version of the prescription. Take it up first: it shows what changed."
    ),
    "stages_are_ticked_in_order": "A stage that comes before this one is not done.",
    "a_covering_stage_asks_for_its_checks": "This stage covers a part without asking for its check. Tell the manager.",
    "a_part_is_checked_before_it_is_covered": "A check of this foot is not recorded, or what it found is not settled.",
    "a_difference_is_settled_before_it_is_covered": "A difference of this part waits for an answer.",
    "differences_are_settled_before_the_sole": (
        "A difference of this pair waits for an answer. It is settled before filler and sole."
    ),
    "later_ticks_are_taken_back_first": "A stage that comes after this one is ticked. Take that back first.",
    "a_tick_is_taken_back_with_a_reason": "A tick is taken back with a reason.",
    "a_tick_is_taken_back_not_changed": f"Somebody else ticked this just now. {_LOOK_AGAIN}",
    "an_edge_stays_drawn": "The order of the stages of a pair is not rewritten.",
    "an_edge_stays_on_one_foot": "A stage waits only for stages of its own pair and foot.",
    "a_required_check_stays": "A check that was asked for is neither changed nor dropped.",
    "a_check_is_asked_for_once": "This check is asked for already.",
    "a_ticked_stage_asks_for_nothing_new": "This stage is already done.",
    "a_check_is_of_its_own_foot": "This check belongs to the other foot.",
    "a_check_is_withdrawn_not_deleted": "A check stays on record. Withdraw it and make it again.",
    "a_check_is_withdrawn_not_changed": "A check is withdrawn and made again, not changed.",
    "a_retired_check_is_not_made": f"This check is no longer asked for. {_LOOK_AGAIN}",
    "a_check_comes_before_the_cover": "The part is already covered.",
    "a_check_brings_its_figures": "What is to be measured at this check was not measured. Measure it first.",
    "what_is_beyond_its_tolerance_differs": "A figure is beyond its tolerance: it differs from the prescription.",
    "a_placed_photo_is_of_a_foot": "Say of which foot the photo is.",
    "a_photo_or_why_there_is_none": "Take a photo, or say why there is none.",
    "a_photo_comes_before_the_cover": "What the photo should show is closed in already.",
    "a_photo_shows_a_placed_part": "On this foot nothing is put in position at this stage.",
    "a_photo_is_of_one_pair": "LEFT and RIGHT of a photo are of one pair and one stage.",
    "placed_photo_is_final": "A photo of what was in position is not changed.",
    "one_check_stands": f"Somebody recorded this check just now. {_LOOK_AGAIN}",
    "what_differs_is_said": "Say what differs.",
    "a_difference_is_settled_not_deleted": "A difference stays on record.",
    "a_difference_begins_open": "A difference begins open.",
    "a_difference_is_of_its_own_foot": "This difference was found on another foot, part or pair.",
    "a_difference_is_settled_once": f"This difference was already settled. {_LOOK_AGAIN}",
    "only_a_prescriber_accepts_a_difference": "Only a person who may prescribe can accept a difference.",
    "a_difference_is_accepted_with_a_reason": "A difference is accepted with a reason.",
    "a_settled_difference_says_who_and_why": "A difference is settled by somebody, with a reason.",
    "a_pair_is_closed_not_deleted": "A pair stays on record.",
    "a_pair_begins_open": "A pair begins on the bench.",
    "a_pair_works_to_a_signed_version": "A pair is built to a signed prescription.",
    "a_pair_works_to_a_prescription": "Only a repair has no prescription.",
    "a_pair_follows_its_own_prescription": "This prescription is another one, for another client or for other feet.",
    "a_pair_stays_what_it_is": "Whose pair it is, and for which feet, is not changed.",
    "a_promised_day_is_on_record": "A new promised day is put on record with its reason.",
    "a_promise_says_why": "Say why the client was told another day.",
    "promise_is_final": "A promised day stays on record.",
    "a_pair_moves_step_by_step": "A pair is finished before it is handed over.",
    "a_finished_pair_has_nothing_open": "A stage or a difference of this pair is still open.",
    "a_visit_is_of_the_pairs_client": "This visit belongs to another client.",
}
