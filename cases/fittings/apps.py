from django.apps import AppConfig


class FittingsConfig(AppConfig):
    name = "cases.fittings"
    label = "fittings"
