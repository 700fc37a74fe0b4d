"""Everything the rooms work out, by name."""

from cases.fittings.calculations import CALCULATIONS as FITTINGS
from cases.lasts.calculations import CALCULATIONS as LASTS
from cases.lasts.calculations_of_lasts import CALCULATIONS as WORK_ON_LASTS
from cases.patients.calculations import CALCULATIONS as PATIENTS
from cases.patterns.calculations import CALCULATIONS as PATTERNS
from cases.prescriptions.calculations import CALCULATIONS as PRESCRIPTIONS
from shared.calculations import by_name

CALCULATIONS = by_name(LASTS, WORK_ON_LASTS, PRESCRIPTIONS, PATTERNS, PATIENTS, FITTINGS)
