from django.apps import AppConfig


class BenchConfig(AppConfig):
    name = "cases.bench"
    label = "bench"
