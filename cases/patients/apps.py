from django.apps import AppConfig


class PatientsConfig(AppConfig):
    name = "cases.patients"
    label = "patients"
