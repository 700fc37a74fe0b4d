from django.apps import AppConfig


class BenchConfig(AppConfig):
    name = "cases.bench"
    label = "bench"

    def ready(self) -> None:
        from cases.bench.sentences import SENTENCES
        from shared.refusals import explain_constraint

        for constraint, sentence in SENTENCES.items():
            explain_constraint(constraint, sentence)
