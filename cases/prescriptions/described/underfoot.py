"""The underfoot part of one foot's shoe in words."""

from cases.prescriptions.described.shape import PartInWords, degrees, mm, part_of, plain, yes
from cases.prescriptions.models import Flare, Foot, Heel, Raise, Rocker, Sole, Wedge


def underfoot_parts(foot: Foot) -> list[PartInWords]:
    """Sole, heel, rocker, raise, wedges and flares: nothing but what is prescribed."""
    sole, heel = foot.one("sole", Sole), foot.one("heel", Heel)
    rocker, height = foot.one("rocker", Rocker), foot.one("height_raise", Raise)
    return [
        *(_sole(sole) if sole else []),
        *(_heel(heel) if heel else []),
        *(_rocker(rocker) if rocker else []),
        *(_raise(height) if height else []),
        *[
            part
            for wedge in foot.several("wedges", Wedge)
            for part in part_of(
                f"wedge_{wedge.place}",
                f"Wedge, {wedge.get_place_display()}",
                ("edge", wedge.get_edge_display()),
                ("height at the edge", mm(wedge.height_mm)),
            )
        ],
        *[
            part
            for flare in foot.several("flares", Flare)
            for part in part_of(
                f"flare_{flare.edge}", f"Flare, {flare.get_edge_display()}", ("width", mm(flare.width_mm))
            )
        ],
    ]


def _sole(sole: Sole) -> list[PartInWords]:
    return part_of(
        "sole",
        "Sole",
        ("material", sole.material),
        ("thickness", mm(sole.thickness_mm)),
        ("tread", sole.tread),
        ("leading edge", sole.leading_edge),
        ("toe spring added", mm(sole.toe_spring_extra_mm)),
        ("remarks", sole.remarks),
    )


def _heel(heel: Heel) -> list[PartInWords]:
    return part_of(
        "heel",
        "Heel",
        ("height", mm(heel.height_mm)),
        ("material", heel.material),
        ("extended forward, medial", mm(heel.extended_medial_mm)),
        ("extended forward, lateral", mm(heel.extended_lateral_mm)),
        ("cushion", yes(heel.cushion_heel, "soft wedge in the heel")),
    )


def _rocker(rocker: Rocker) -> list[PartInWords]:
    return part_of(
        "rocker",
        "Rocker",
        ("apex", f"{plain(rocker.apex_percent)} % of the sole from the heel"),
        ("angle", degrees(rocker.angle_deg)),
        ("form", "curved" if rocker.curved else "angled at the apex"),
        ("apex line", f"{degrees(rocker.apex_angle_deg)} from the long axis" if rocker.apex_angle_deg else ""),
    )


def _raise(height: Raise) -> list[PartInWords]:
    on_sole = (
        ("heel", mm(height.on_sole_heel_mm)),
        ("ball", mm(height.on_sole_ball_mm)),
        ("toe", mm(height.on_sole_toe_mm)),
    )
    material = height.material if any(value for _, value in on_sole) else ""
    return part_of("raise_on_sole", "Raise on the sole", *on_sole, ("material", material))
