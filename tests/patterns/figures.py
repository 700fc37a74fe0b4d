"""The figures a workshop starts with, as pieces are drafted with."""

from dataclasses import fields

from cases.patterns.drafting.figures import PatternFigures
from workshop.figures.settings_table import SETTINGS

STARTING = PatternFigures(**{each.name: float(SETTINGS[each.name].value) for each in fields(PatternFigures)})
