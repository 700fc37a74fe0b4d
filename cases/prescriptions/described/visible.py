"""The visible part of one foot's shoe in words."""

from cases.prescriptions.described.shape import PartInWords, mm, part_of, plain, yes
from cases.prescriptions.models import Foot, SoftZone, Upper
from cases.prescriptions.models.visible import Fastening


def visible_parts(foot: Foot) -> list[PartInWords]:
    """Last, construction, upper, fastening, linings, collar, tongue, soft zones, and what is worn in the shoe."""
    upper = foot.one("upper", Upper)
    return [
        *_last(foot),
        *part_of("construction", "Construction", ("construction", foot.prescription.get_construction_display())),
        *(_upper(upper) if upper else []),
        *part_of("soft_zones", "Soft zones", *_soft_zones(foot)),
        *part_of("orthosis", "Orthosis worn in the shoe", ("room for", foot.orthosis_room)),
    ]


def _last(foot: Foot) -> list[PartInWords]:
    if foot.last is None:
        return []
    state = foot.last_version or foot.last.version
    return part_of("last", "Last", ("number", str(foot.last)), ("state", plain(state)))


def _upper(upper: Upper) -> list[PartInWords]:
    return [
        *part_of(
            "upper",
            "Upper",
            ("style", upper.style),
            ("height", upper.get_height_display() if upper.height else ""),
            ("opening", upper.opening),
            ("leather", upper.leather),
            ("topline, medial", mm(upper.topline_medial_mm)),
            ("topline, lateral", mm(upper.topline_lateral_mm)),
            ("room for a bulge", upper.room_for_bulge),
        ),
        *_fastening(upper),
        *part_of(
            "lining",
            "Lining",
            ("vamp", upper.vamp_lining),
            ("quarter", upper.quarter_lining),
            ("tongue", upper.tongue_lining),
            ("seams", yes(upper.seam_free_lining, "no seam over the foot")),
        ),
        *part_of("collar", "Collar", ("padding", mm(upper.collar_padding_mm)), ("height", mm(upper.collar_height_mm))),
        *part_of("tongue", "Tongue or front stiffener", ("tongue", upper.tongue)),
    ]


def _fastening(upper: Upper) -> list[PartInWords]:
    if not upper.fastening:
        return []
    count = upper.fastening_count
    unit = " pairs of eyelets" if upper.fastening == Fastening.LACES else ""
    return part_of(
        "fastening",
        "Fastening",
        ("kind", upper.get_fastening_display()),
        ("number", "" if count is None else f"{plain(count)}{unit}"),
        ("width", mm(upper.fastening_width_mm)),
        ("tab or pull", upper.fastening_tab),
        ("hand and direction", upper.fastening_hand),
    )


def _soft_zones(foot: Foot) -> list[tuple[str, str]]:
    return [
        (zone.get_place_display(), ", ".join(said for said in (zone.get_softness_display(), zone.extent) if said))
        for zone in foot.several("soft_zones", SoftZone)
    ]
