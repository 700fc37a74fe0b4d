from django.apps import AppConfig

from shared.refusals import explain_constraint


class PatientsConfig(AppConfig):
    name = "cases.patients"
    label = "patients"

    def ready(self) -> None:
        explain_constraint("patients_patient_record_number_key", "This record number is another client's.")
        explain_constraint("a_finding_stands_once", "This finding already stands. End it first if it has changed.")
        explain_constraint("an_allergy_stands_once", "This allergy is already recorded.")
        explain_constraint("a_red_flag_stands_once", "This red flag is already raised and not yet answered.")
        explain_constraint("a_red_flag_is_answered_in_full", "Say what was done, and to whom the client was sent.")
        explain_constraint("red_flag_answer_is_kept", "A red flag and its answer stay on record.")
        explain_constraint("access_outside_the_case_has_a_reason", "Say in a few words why you need this record.")
        explain_constraint("access_is_final", "Who opened a record stays on record.")
        explain_constraint("paper_is_final", "A paper that was given out is not changed.")
        explain_constraint("paper_matches_its_hash", "A paper is kept with the hash of its own contents.")
