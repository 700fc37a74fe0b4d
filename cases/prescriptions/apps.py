from django.apps import AppConfig


class PrescriptionsConfig(AppConfig):
    name = "cases.prescriptions"
    label = "prescriptions"
