from django.apps import AppConfig

from shared.refusals import explain_constraint


class StaffConfig(AppConfig):
    name = "workshop.staff"
    label = "staff"

    def ready(self) -> None:
        explain_constraint("staff_person_login_key", "Somebody already has this sign-in name.")
