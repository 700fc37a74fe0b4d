"""Everything the rooms work out, by name."""

from cases.lasts.calculations import CALCULATIONS as LASTS
from cases.prescriptions.calculations import CALCULATIONS as PRESCRIPTIONS
from shared.calculations import by_name

CALCULATIONS = by_name(LASTS, PRESCRIPTIONS)
