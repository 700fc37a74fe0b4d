from django.apps import AppConfig

from shared.refusals import explain_constraint


class FittingsConfig(AppConfig):
    name = "cases.fittings"
    label = "fittings"

    def ready(self) -> None:
        explain_constraint("fittings_fitting_visit_id_key", "This fitting is already on record.")
        explain_constraint("fittings_handover_visit_id_key", "This hand-over is already on record.")
        explain_constraint("fittings_handover_pair_id_key", "This pair was already handed over.")
        explain_constraint("fittings_review_visit_id_key", "This review is already on record.")
        explain_constraint("fitting_is_final", "A fitting stays on record as it was.")
        explain_constraint("fitting_finding_is_final", "A fitting stays on record as it was.")
        explain_constraint("hand_over_is_final", "A hand-over stays on record as it was.")
        explain_constraint("review_is_final", "A review stays on record as it was.")
        explain_constraint("review_foot_is_final", "A review stays on record as it was.")
        explain_constraint(
            "a_hand_over_explains_the_cautions",
            "The cautions are explained and the red flags asked for at a hand-over.",
        )
        explain_constraint("not_worn_says_why", "Say why the pair is not worn.")
        explain_constraint("pain_is_0_to_10", "Pain is given from 0 to 10.")
