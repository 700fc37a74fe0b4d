from django.apps import AppConfig


class HoursConfig(AppConfig):
    name = "workshop.hours"
    label = "hours"
