"""What a shoe weighs, against what the client was promised."""

from cases.prescriptions.implied.figures import Promised
from cases.prescriptions.implied.told import Told
from cases.prescriptions.weight import ShoeWeight


def weight_told(weight: ShoeWeight, promised: Promised) -> Told:
    """The estimate. It passes a limit only where its low end does; where its middle does, it may."""
    limit = promised.weight_limit_g
    if limit is None or weight.middle_g <= limit:
        return Told(weight.workings)
    passes = "passes" if weight.low_g > limit else "may pass"
    return Told(weight.workings, passed=f"{passes} the {limit:g} g that the client was promised")
