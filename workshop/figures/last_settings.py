"""What a last is given over the foot, and what may be altered on it: the figures of the last maker."""

from workshop.figures.setting import Group, Setting, common, memory, published

GOLDING = "Golding FY, The Manufacture of Boots and Shoes, 1902"

_STATIONS = (
    ("joint", "joint"),
    ("waist", "waist"),
    ("instep", "instep"),
    ("short_heel", "short heel"),
    ("long_heel", "long heel"),
    ("ankle", "ankle"),
    ("toe_depth", "toe depth"),
)

_EASE: tuple[tuple[str, str, tuple[int | None, ...]], ...] = (
    ("low", "low laced or strapped", (0, -3, -2, 3, 0, None, 6)),
    ("court", "court or slip-on", (-5, -7, None, -4, -3, None, 5)),
    ("ankle_boot", "ankle boot", (2, 0, 0, 8, 4, 10, 6)),
    ("long_boot", "long boot", (3, 0, 2, 12, 6, 12, 6)),
    ("moccasin", "moccasin", (-4, -4, -2, 0, 0, None, 3)),
    ("sandal", "sandal", (0, 0, 2, None, None, None, None)),
    ("no_sensation", "loss of sensation, with inlay", (6, 3, 4, 6, 4, 10, 8)),
    ("indoor", "indoor", (4, 2, 3, 6, 3, 8, 8)),
)
"""Last less foot in mm at each station, without hose, foot seated under part load. None: no ease is stated there."""


def _ease() -> tuple[Setting, ...]:
    return tuple(
        memory(f"ease_{kind}_{key}_mm", f"{words}: {station}", str(ease), "mm", lowest="-30", highest="60")
        for kind, words, eases in _EASE
        for (key, station), ease in zip(_STATIONS, eases, strict=True)
        if ease is not None
    )


def _turning(key: str, words: str, degrees: str) -> Setting:
    return memory(
        f"turning_{key}_degrees", f"a layer turns at the {words} by", degrees, "°", lowest="10", highest="360"
    )


LAST_GROUPS: tuple[Group, ...] = (
    Group("Ease of a last: girth or depth over the foot, without hose", _ease()),
    Group(
        "Hose and light uppers",
        (
            memory("hose_thin_mm", "thin hose, at each girth", "2", "mm", highest="20"),
            memory("hose_normal_mm", "normal hose, at each girth", "4", "mm", highest="20"),
            memory("hose_thick_mm", "thick hose, at each girth", "7", "mm", highest="30"),
            published(
                "light_upper_joint_mm",
                "light upper: less at the joint by",
                "3",
                "mm",
                source=f"{GOLDING}: 1/8 in, rounded",
                highest="20",
            ),
            published(
                "light_upper_instep_mm",
                "light upper: less at the instep by",
                "6",
                "mm",
                source=f"{GOLDING}: 1/4 in, rounded",
                highest="20",
            ),
        ),
    ),
    Group(
        "Altering a last",
        (
            _turning("joint", "joint", "180"),
            _turning("waist", "waist", "190"),
            _turning("instep", "instep", "180"),
            _turning("short_heel", "bend of the ankle", "120"),
            _turning("long_heel", "instep, on the tape of the long heel", "120"),
            _turning("ankle", "ankle, all round", "360"),
            memory("toe_depth_within_mm", "toe depth is left alone within", "1", "mm", highest="10"),
            common("take_down_plastic_most_mm", "taken down at most, plastic last", "3", "mm", highest="20"),
            common("take_down_wood_most_mm", "taken down at most, wooden last", "5", "mm", highest="20"),
            common("patch_watch_mm", "built up: think of a new last above", "10", "mm", highest="40"),
            common("patch_most_mm", "built up at most; above it a new last", "12", "mm", highest="40"),
            common("last_longer_most_mm", "made longer at most; above it a new last", "5", "mm", highest="40"),
            memory("patch_feather_mm", "edge of a patch is feathered over", "25", "mm", lowest="1", highest="60"),
            memory("agreed_last_tilt_tolerance_degrees", "an agreed last measured again: tilt within", "1", "°"),
        ),
    ),
)
