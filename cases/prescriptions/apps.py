from django.apps import AppConfig


class PrescriptionsConfig(AppConfig):
    name = "cases.prescriptions"
    label = "prescriptions"

    def ready(self) -> None:
        from cases.prescriptions.models import guards
        from shared.refusals import explain_constraint

        sentences = {
            guards.FROZEN: "A signed prescription is not changed. Write a new version.",
            guards.BEGINS_AS_DRAFT: "A prescription begins as a draft.",
            guards.GIVES_WAY_TO_SIGNED: "A version is superseded only by one that is signed.",
            guards.FOLLOWS: "A new version follows a signed version of the same prescription.",
            guards.PRESCRIBER_SIGNS: "Only a person who may prescribe can sign.",
            guards.SIGNS_FOR_ONESELF: "Each prescriber signs in their own name.",
            guards.LAST_OF_ITS_FOOT: "A shoe is built on a last of its own side, of this client or from stock.",
            guards.LAST_MAY_BE_USED: "A last of this prescription is marked not to be used. Choose another.",
            "one_draft_at_a_time": "There is a draft of this prescription already.",
            "one_signed_version_at_a_time": "Another version of this prescription is signed.",
            "a_version_is_followed_by_one": "Another version follows this one already.",
            "a_version_is_numbered_once": "Somebody else wrote this version just now. Load the page again.",
            "rocker_is_plausible": "The rocker's apex lies between 30 and 90 %, its angle between 0 and 45°.",
            "shanks_are_one_to_four": "There are one to four shanks.",
            "plies_are_plausible": "There are one to twenty plies.",
            "stiffener_reaches_are_positive": "A reach is longer than nothing.",
            "toe_prop_has_a_height": "A toe prop is higher than nothing.",
            "weight_is_plausible": "A shoe weighs 50 to 5000 g.",
            "weighed_shoe_is_final": "A shoe is weighed again by a new entry.",
            "a_note_is_answered_once": "This note was already answered.",
            "a_note_is_kept_for_a_reason": "Say why it is kept.",
            "a_note_is_switched_for_a_reason": "Say why this note is switched.",
            "note_switch_is_final": "A note is switched again by a new entry.",
            "a_pattern_has_a_name_of_its_own": "There is already a pattern of this name.",
            "a_pattern_has_a_name": "Give the pattern a name.",
            "an_order_is_taken_over_by_somebody": "Say who here took the order over.",
            "review_is_planned_plausibly": "A review is planned 1 to 36 months after hand-over.",
        }
        for name, sentence in sentences.items():
            explain_constraint(name, sentence)
