from django.apps import AppConfig
from django.db.models.signals import post_migrate


class SharedConfig(AppConfig):
    name = "shared"
    label = "shared"

    def ready(self) -> None:
        from shared.privileges import grant_to_application_role

        # Not workflow: privileges follow the tables, which only a migration makes.
        post_migrate.connect(grant_to_application_role)
