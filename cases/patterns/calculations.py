"""What this room works out, by name, for the calculators page and the command line."""

from cases.patterns.drafting.cone import MANTLE, cone_development
from shared.calculations import Calculation, Input, Output, Worked


def _cone_development(*, feather_mm: float, topline_mm: float, height_mm: float) -> Worked:
    band = cone_development(feather_mm=feather_mm, topline_mm=topline_mm, height_mm=height_mm)
    return Worked({"radius_mm": band.radius_mm, "angle_deg": band.angle_deg}, (band.workings,))


CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="cone-development",
        words="stiffener laid flat",
        subject="Flat pieces",
        inputs=(
            Input("feather_mm", "feather edge, from end to end", example="240"),
            Input("topline_mm", "topline, from end to end", example="226"),
            Input("height_mm", "height along the leather", example="50"),
        ),
        outputs=(
            Output("radius_mm", "radius at the feather edge; none where the strip is straight"),
            Output("angle_deg", "angle between the ends", "°"),
        ),
        source=MANTLE,
        work=_cone_development,
    ),
)
