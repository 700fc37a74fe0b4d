from django.apps import AppConfig


class LastsConfig(AppConfig):
    name = "cases.lasts"
    label = "lasts"
