from django.apps import AppConfig

from shared.refusals import explain_constraint


class PatternsConfig(AppConfig):
    name = "cases.patterns"
    label = "patterns"

    def ready(self) -> None:
        explain_constraint("an_adjustment_says_why", "Say in a few words why the pattern is adjusted.")
        explain_constraint("an_adjustment_is_a_figure_or_a_point", "A figure or a point of the pattern is adjusted.")
        explain_constraint("an_adjustment_stays_within_the_piece", "That is more than a pattern is adjusted by.")
        explain_constraint("one_adjustment_is_the_first", "Somebody adjusted this just now. Look at the pattern again.")
        explain_constraint(
            "patterns_patternadjustment_follows_id_key",
            "Somebody adjusted this just now. Look at the pattern again.",
        )
        explain_constraint(
            "an_adjustment_follows_its_own_kind", "An adjustment follows one of the same point or figure."
        )
        explain_constraint(
            "an_adjustment_is_of_its_own_pair", "This pair is not built to that prescription on that foot."
        )
        explain_constraint("an_adjustment_has_its_own_difference", "This difference is of another pair, foot or part.")
        explain_constraint("an_adjustment_begins_standing", "An adjustment is taken back after it was made.")
        explain_constraint(
            "an_adjustment_stays_on_record", "An adjustment stays on record. Take it back, or adjust anew."
        )
        explain_constraint("an_own_template_says_which", "Say which template is used.")
        explain_constraint("one_template_stands", "A template is already used for this part.")
        explain_constraint("a_template_stays_on_record", "A template that was used stays on record.")
        explain_constraint("a_template_is_of_a_foot_of_its_pair", "This pair has no shoe for that foot.")
