from django.apps import AppConfig


class FiguresConfig(AppConfig):
    name = "workshop.figures"
    label = "figures"
