"""The workshop as it is shipped, for tests of figures: its materials, and its settings' starting values."""

from cases.prescriptions.implied import Modulus, Stock, Workshop
from cases.prescriptions.weight import Density
from workshop.figures.materials_table import MATERIALS

STOCK = Stock(
    {each.name: Density(each.name, each.kind, each.low, each.high) for each in MATERIALS},
    {
        each.name: Modulus(each.modulus_low, each.modulus_high)
        for each in MATERIALS
        if each.modulus_low is not None and each.modulus_high is not None
    },
)
WORKSHOP = Workshop(STOCK)
