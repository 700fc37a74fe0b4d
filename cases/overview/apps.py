from django.apps import AppConfig


class OverviewConfig(AppConfig):
    name = "cases.overview"
    label = "overview"
