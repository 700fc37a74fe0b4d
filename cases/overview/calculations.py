"""Everything the rooms work out, by name."""

from cases.lasts.calculations import CALCULATIONS as LASTS
from shared.calculations import by_name

CALCULATIONS = by_name(LASTS)
