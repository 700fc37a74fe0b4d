from django.apps import AppConfig

from shared.refusals import explain_constraint

SENTENCES = {
    "an_agreed_last_counts_up": "This last was agreed as it is. A change makes it a new state that is agreed again.",
    "last_agreement_is_final": "An agreement on a last is not changed.",
    "a_last_is_agreed_as_it_stands": "This last was altered since: look at it again.",
    "a_state_of_a_last_is_agreed_once": "This last, as it is now, was already agreed.",
    "a_last_number_is_given_once": "There is already a last with this number for this foot.",
    "last_length_is_plausible": "A last is between 80 and 400 mm long.",
    "last_heel_is_plausible": "The heel height of a last is between 0 and 120 mm.",
    "last_toe_spring_is_plausible": "The toe spring of a last is between 0 and 60 mm.",
    "a_last_has_a_number_and_a_place": "Say the last's number and where it stands.",
    "a_take_is_kept_once": "A take of a measure is kept once.",
    "measure_is_plausible": "A measure is more than 0 and less than 1500 mm.",
    "measure_takes_are_three": "A measure is taken three times at most.",
    "heel_height_is_plausible": "The heel height is between 0 and 120 mm.",
    "a_destroyed_cast_says_why": "Say why the cast was destroyed.",
    "a_cast_is_made_before_it_is_destroyed": "A cast is destroyed on or after the day it was made.",
    "a_cast_is_kept_somewhere": "Say where the cast is kept.",
}


class LastsConfig(AppConfig):
    name = "cases.lasts"
    label = "lasts"

    def ready(self) -> None:
        for constraint, sentence in SENTENCES.items():
            explain_constraint(constraint, sentence)
