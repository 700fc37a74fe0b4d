"""The closed-in part of one foot's shoe in words: the part that nobody can see again."""

from cases.prescriptions.described.shape import Figure, PartInWords, degrees, mm, part_of, plain
from cases.prescriptions.models import (
    CarbonZone,
    Cushion,
    Foot,
    Insole,
    MetatarsalSupport,
    Raise,
    Relief,
    Shank,
    Stiffener,
    ToeProp,
    ToePuff,
)
from cases.prescriptions.models.closed_in import AnkleHigh, PuffKind, ReliefWay


def closed_in_parts(foot: Foot) -> list[PartInWords]:
    """Stiffener, puff, filler, insole and what lies on or under it, in the order in which they go in."""
    puff, insole = foot.one("toe_puff", ToePuff), foot.one("insole", Insole)
    shank, carbon = foot.one("shank", Shank), foot.one("carbon_zone", CarbonZone)
    prop, height = foot.one("toe_prop", ToeProp), foot.one("height_raise", Raise)
    return [
        *_stiffener(foot.one("stiffener", Stiffener), foot.several("reliefs", Relief), height),
        *(_toe_puff(puff) if puff else []),
        *part_of("toe_filler", "Toe filler", ("toe filler", foot.toe_filler)),
        *(_insole(insole) if insole else []),
        *_cushions(foot),
        *_supports(foot),
        *(_toe_prop(prop) if prop else []),
        *(_shank(shank) if shank else []),
        *part_of(
            "forepart",
            "Forepart across the joint",
            ("asked", foot.get_forepart_asked_display() if foot.forepart_asked else ""),
        ),
        *(_carbon(carbon) if carbon else []),
        *(_on_the_insole(insole) if insole else []),
        *(_raise(height) if height else []),
        *part_of("remarks", "Remarks", ("remarks", foot.remarks)),
    ]


def _stiffener(stiffener: Stiffener | None, reliefs: list[Relief], height: Raise | None) -> list[PartInWords]:
    lift = height.in_shoe_heel_mm if height else None
    relief_lines = [(f"relief, {relief.place}", _relief(relief, lift)) for relief in reliefs]
    if stiffener is None:
        return part_of("stiffener", "Stiffener, as it stands in the shoe", *relief_lines)
    if not stiffener.is_there:
        return part_of("stiffener", "Stiffener", ("kind", "none"), ("remarks", stiffener.remarks))
    return part_of(
        "stiffener",
        "Stiffener",
        ("medial reach", _reach(stiffener.get_medial_reach_display(), stiffener.medial_reach_mm)),
        ("lateral reach", _reach(stiffener.get_lateral_reach_display(), stiffener.lateral_reach_mm)),
        ("back height", mm(stiffener.back_height_mm)),
        ("thickness", mm(stiffener.thickness_mm)),
        ("thinned to", mm(stiffener.thinned_to_mm)),
        ("height at its front ends", mm(stiffener.front_height_mm)),
        ("medial top edge", mm(stiffener.medial_below_malleolus_mm, "below the malleolus")),
        ("lateral top edge", mm(stiffener.lateral_below_malleolus_mm, "below the malleolus")),
        ("ankle-high", _ankle_high(stiffener)),
        *relief_lines,
        ("material", stiffener.material),
        ("adhesive", stiffener.get_adhesive_display() if stiffener.adhesive else ""),
        ("remarks", stiffener.remarks),
    )


def _reach(word: str, length_mm: Figure) -> str:
    if word == "none" or length_mm is None:
        return word
    return f"{word}, {mm(length_mm)}"


def _ankle_high(stiffener: Stiffener) -> str:
    if stiffener.ankle_high == AnkleHigh.NO:
        return ""
    height = mm(stiffener.above_malleolus_mm, "above the malleolus")
    return stiffener.get_ankle_high_display() + (f", to {height}" if height else "")


def _relief(relief: Relief, lift: Figure) -> str:
    words = [f"{plain(relief.width_mm)} × {plain(relief.height_mm)} mm"]
    if relief.above_seat_mm is not None:
        # Said from the foot's seat; the bench measures from the insole, over which a raise in the shoe lifts it.
        above = f"{plain(relief.above_seat_mm)} + {mm(lift)} above the insole" if lift else ""
        words.append(f"centre {above or mm(relief.above_seat_mm, 'above the seat')}")
    if relief.way == ReliefWay.THINNED and relief.thinned_to_mm is not None:
        words.append(f"thinned to {mm(relief.thinned_to_mm)}")
    else:
        words.append(relief.get_way_display())
    return ", ".join(words)


def _toe_puff(puff: ToePuff) -> list[PartInWords]:
    there = puff.kind != PuffKind.NONE
    return part_of(
        "toe_puff",
        "Toe puff",
        ("kind", puff.get_kind_display()),
        ("length from the toe", mm(puff.length_mm) if there else ""),
        ("thickness", mm(puff.thickness_mm) if there else ""),
        ("soft begins", mm(puff.wall_height_mm, "above the feather") if there else ""),
        ("depth over the highest toe", mm(puff.toe_depth_mm)),
        ("material", puff.material if there else ""),
        ("shape", puff.shape if there else ""),
        ("adhesive", puff.get_adhesive_display() if puff.adhesive and there else ""),
        ("remarks", puff.remarks),
    )


def _insole(insole: Insole) -> list[PartInWords]:
    is_new = bool(insole.leather or insole.thickness_mm)
    flat = "flat" if is_new else ""
    return [
        *part_of(
            "insole",
            "Insole",
            ("leather", insole.leather),
            ("thickness", mm(insole.thickness_mm)),
            ("shape", "blocked to the last" if insole.blocked else flat),
            ("finished, heel", mm(insole.finished_heel_mm)),
            ("finished, waist", mm(insole.finished_waist_mm)),
            ("finished, forepart", mm(insole.finished_forepart_mm)),
            ("turned up, medial", mm(insole.turn_up_medial_mm)),
            ("turned up, lateral", mm(insole.turn_up_lateral_mm)),
            ("turned up, heel", mm(insole.turn_up_heel_mm)),
            ("back doubled", mm(insole.rear_doubled_mm)),
            ("hollow beneath", insole.hollowed_beneath),
            ("sock", insole.sock),
            ("remarks", insole.remarks),
        ),
        *part_of(
            "scoured_zone",
            "Scoured zone, from the under face",
            ("thickness left", mm(insole.scoured_to_mm)),
            ("begins", mm(insole.scoured_behind_joint_mm, "behind the joint line")),
            ("ends", mm(insole.scoured_before_toe_mm, "before the toe")),
            ("rim left", mm(insole.scoured_rim_mm)),
        ),
    ]


def _cushions(foot: Foot) -> list[PartInWords]:
    parts = []
    for cushion in foot.several("cushions", Cushion):
        parts += part_of(
            f"cushion_{cushion.place}",
            f"Cushion, {cushion.get_place_display()}",
            ("material", cushion.material),
            ("thickness", mm(cushion.thickness_mm)),
            ("size", cushion.extent),
        )
    return parts


def _supports(foot: Foot) -> list[PartInWords]:
    parts = []
    for support in foot.several("metatarsal_supports", MetatarsalSupport):
        sizes = [plain(size) for size in (support.long_mm, support.across_mm) if size is not None]
        where = "crest" if support.kind == "bar" else "leading edge"
        parts += part_of(
            f"metatarsal_{support.kind}",
            support.get_kind_display().capitalize(),
            (where, mm(support.behind_joint_line_mm, "behind the joint line")),
            ("height", mm(support.height_mm)),
            ("size, along × across", f"{' × '.join(sizes)} mm" if len(sizes) == 2 else ""),
            ("remarks", support.remarks),
        )
    return parts


def _toe_prop(prop: ToeProp) -> list[PartInWords]:
    return part_of(
        "toe_prop",
        "Toe prop",
        ("under", f"{prop.get_toes_display()}, {mm(prop.height_mm)}"),
        ("material", prop.material),
    )


def _shank(shank: Shank) -> list[PartInWords]:
    number = "1" if shank.count == 1 else f"{shank.count}, side by side"
    return part_of(
        "shank",
        "Shank",
        ("number", number),
        ("material", shank.material),
        ("width", mm(shank.width_mm)),
        ("thickness", mm(shank.thickness_mm)),
        ("apart, centre to centre", mm(shank.apart_mm)),
        ("front end", mm(shank.front_end_behind_joint_mm, "behind the joint line")),
        ("rear end", mm(shank.rear_end_in_seat_mm, "ahead of the back of the seat")),
    )


def _carbon(carbon: CarbonZone) -> list[PartInWords]:
    return part_of(
        "carbon",
        "Carbon",
        ("plies", plain(carbon.plies)),
        ("cloth", f"{plain(carbon.cloth_g_m2)} g/m²"),
        ("direction", carbon.direction),
        ("from", carbon.starts),
        ("ends", mm(carbon.ends_before_toe_mm, "before the toe")),
        ("overlap on the shank", mm(carbon.overlap_on_shank_mm)),
    )


def _on_the_insole(insole: Insole) -> list[PartInWords]:
    return [
        *part_of(
            "posting",
            "Posting",
            ("rear, medial", degrees(insole.posting_rear_medial_deg)),
            ("rear, lateral", degrees(insole.posting_rear_lateral_deg)),
            ("fore, medial", degrees(insole.posting_fore_medial_deg)),
            ("fore, lateral", degrees(insole.posting_fore_lateral_deg)),
        ),
        *part_of(
            "inlay_room",
            "Room for a removable inlay",
            ("heel", mm(insole.inlay_heel_mm)),
            ("forepart", mm(insole.inlay_forepart_mm)),
        ),
    ]


def _raise(height: Raise) -> list[PartInWords]:
    return part_of("raise_in_shoe", "Raise in the shoe", ("heel", mm(height.in_shoe_heel_mm)))
