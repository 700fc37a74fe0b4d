from django.apps import AppConfig

from shared.refusals import explain_constraint


class DiaryConfig(AppConfig):
    name = "cases.diary"
    label = "diary"

    def ready(self) -> None:
        explain_constraint(
            "one_visit_at_a_time_for_a_clinician", "This clinician already has another visit at that time."
        )
        explain_constraint("one_visit_at_a_time_for_a_patient", "This client already has another visit at that time.")
        explain_constraint("one_visit_at_a_time_for_a_room", "This room is already taken at that time.")
        explain_constraint("visit_takes_some_time", "A visit must end after it starts.")
        explain_constraint("one_open_call_for_one_thing", "This call is already on the to-call list.")
