from django.apps import AppConfig


class DiaryConfig(AppConfig):
    name = "cases.diary"
    label = "diary"
