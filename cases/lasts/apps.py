from django.apps import AppConfig

from shared.refusals import explain_constraint

SENTENCES = {
    "an_agreed_last_counts_up": "This last was agreed as it is. A change makes it a new state that is agreed again.",
    "last_agreement_is_final": "An agreement on a last is not changed.",
    "a_last_is_agreed_as_it_stands": "This last was altered since: look at it again.",
    "an_altered_last_is_measured_first": "This last was altered and not measured since: measure it again first.",
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
    "cast_heel_height_is_plausible": "The heel height is between 0 and 120 mm.",
    "heel_height_of_a_measure_is_plausible": "The heel height is between 0 and 120 mm.",
    "leg_girth_is_plausible": "A leg is measured below 900 mm, and its girth is less than 1500 mm.",
    "a_leg_girth_is_kept_once": "A leg is measured once at each height.",
    "deviation_is_plausible": "A bulge lies on the foot, is 5 to 250 mm long and stands out by up to 60 mm.",
    "a_deviation_is_kept_once": "A bulge is kept once at each place.",
    "slip_answer_is_final": "What was answered stays on record.",
    "a_person_has_one_draft_of_a_foot": "You are typing this sitting in two places at once. Nothing was lost; try again.",
    "a_slip_is_answered_once": "This question was already answered.",
    "a_scan_has_faces": "This scan holds no surface.",
    "last_measures_are_plausible": "A measure of a last is not one that a last can have: is the decimal point in its place?",
    "last_alignment_is_plausible": "A tilt is at most 45 degrees, toe-out at most 60.",
    "a_size_says_what_it_was_read_on": "Say whether the size was read on the last or on the foot.",
    "last_target_is_final": "A target is not changed; a new one is set.",
    "target_is_plausible": "Swelling is 0 to 60 mm, an inlay 0 to 30 mm thick.",
    "patch_is_plausible": "A patch is up to 60 mm high, 400 mm long and 300 mm wide.",
    "a_patch_has_a_place": "Say where the patch lies.",
    "a_patch_done_says_by_whom": "Say who did it.",
    "bottom_check_is_final": "What was seen stays; look again and say so.",
    "bottom_is_off_by_a_plausible_amount": "A gap is more than 0 and at most 40 mm.",
    "a_deformity_is_handled_one_way": "It is already said how this last handles this finding.",
    "last_photo_is_final": "A photo of a last is not changed.",
}


class LastsConfig(AppConfig):
    name = "cases.lasts"
    label = "lasts"

    def ready(self) -> None:
        for constraint, sentence in SENTENCES.items():
            explain_constraint(constraint, sentence)
