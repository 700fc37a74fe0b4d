"""The shoes of one version, as drawings, figures and notes take them: from its parts, its lasts and its measures."""

from collections.abc import Mapping, Sequence
from dataclasses import fields
from decimal import Decimal
from typing import Any

from cases.lasts.models import Last, MeasureSet
from cases.lasts.outline import Bulge
from cases.lasts.queries import sitting_of_foot, values_of
from cases.lasts.queries.shapes import toe_shape_of
from cases.prescriptions import shoe as trade
from cases.prescriptions.completeness import BUILT_HERE
from cases.prescriptions.models import Foot, Prescription
from cases.prescriptions.parts import parts_of
from shared.sides import Edge, Side

ONE: Mapping[str, type] = {
    "upper": trade.Upper,
    "stiffener": trade.Stiffener,
    "toe_puff": trade.ToePuff,
    "insole": trade.Insole,
    "toe_prop": trade.ToeProp,
    "shank": trade.Shank,
    "carbon_zone": trade.CarbonZone,
    "sole": trade.Sole,
    "heel": trade.Heel,
    "rocker": trade.Rocker,
    "height_raise": trade.Raise,
}
SEVERAL: Mapping[str, type] = {
    "soft_zones": trade.SoftZone,
    "reliefs": trade.Relief,
    "cushions": trade.Cushion,
    "metatarsal_supports": trade.MetatarsalSupport,
    "wedges": trade.Wedge,
    "flares": trade.Flare,
}

ORDINARY_LENGTH_MM = 270.0
JOINT_WIDTH_OF_LENGTH = 0.36
HEEL_WIDTH_OF_LENGTH = 0.25
JOINT_OF_LENGTH = 0.72
FIFTH_OF_LENGTH = 0.62
TOE_DEPTH_OF_LENGTH = 0.10
INSTEP_OF_LENGTH = 0.24
"""What stands in on a drawing for a figure nobody took. From memory; the drawing says what it was drawn from."""

GIRTHS = ("joint", "waist", "instep", "short_heel", "long_heel", "ankle")


def shoes_of(version: Prescription, *, toe_allowance_mm: float) -> dict[Side, trade.Shoe]:
    """The shoes of a version that `queries.whole` read: everything came with it."""
    return shoes_of_versions([version], toe_allowance_mm=toe_allowance_mm)[0]


def shoes_of_versions(versions: Sequence[Prescription], *, toe_allowance_mm: float) -> list[dict[Side, trade.Shoe]]:
    """The shoes of several versions, in their order."""
    return [
        {
            Side(foot.side): shoe_of(
                foot,
                version=version,
                form=form_of(
                    Side(foot.side),
                    last=foot.last,
                    measures=version.measure_set,
                    toe_allowance_mm=toe_allowance_mm,
                ),
            )
            for foot in version.foot_set.all()
        }
        for version in versions
    ]


def shoe_of(foot: Foot, *, version: Prescription, form: trade.Form) -> trade.Shoe:
    """One shoe from the values of its parts. No query where the parts were read."""
    parts: Mapping[str, Any] = parts_of(foot)
    built: dict[str, Any] = {
        **{name: None if parts[name] is None else _part(kind, parts[name]) for name, kind in ONE.items()},
        **{name: tuple(_part(kind, row) for row in parts[name]) for name, kind in SEVERAL.items()},
    }
    return trade.Shoe(
        side=Side(foot.side),
        construction=version.construction,
        form=form,
        is_built_here=version.work in BUILT_HERE,
        orthosis_room=foot.orthosis_room,
        toe_filler=foot.toe_filler,
        forepart_asked=foot.forepart_asked,
        **built,
    )


def _part(kind: type, values: Mapping[str, Any]) -> Any:
    return kind(**{each.name: _plain(values[each.name]) for each in fields(kind)})


def _plain(value: Any) -> Any:
    is_figure = isinstance(value, Decimal | int) and not isinstance(value, bool)
    return float(value) if is_figure else value


def _is_agreed(last: Last) -> bool:
    """Whether somebody agreed the last as it is now."""
    return any(agreement.last_version == last.version for agreement in last.agreements.all())


def form_of(side: Side, *, last: Last | None, measures: MeasureSet | None, toe_allowance_mm: float) -> trade.Form:
    """What one shoe is built on: its last, else what was taken of the foot. No query where both were read whole."""
    measures = None if measures is None else sitting_of_foot(measures, side)
    taken = {} if measures is None else {name: float(mm) for name, mm in values_of(measures, side).items()}
    if last is not None:
        return _form_of_last(last, taken, measures=measures, is_agreed=_is_agreed(last))
    return _form_of_foot(measures, taken, side=side, toe_allowance_mm=toe_allowance_mm)


def _form_of_last(
    last: Last, taken: Mapping[str, float], *, measures: MeasureSet | None, is_agreed: bool
) -> trade.Form:
    """A last's own figures; what was not taken on it is the foot's, and what was taken on neither is an ordinary one.

    A client's own last, measured across its joints, stands out where the foot does; a last of the rack is regular.
    """
    length = float(last.length_mm)
    stands_out = last.owner_id is not None and last.joint_width_mm is not None

    def own(column: str, measure: str, part: float) -> float:
        value = getattr(last, column)
        return float(value) if value is not None else taken.get(measure, part * length)

    state = "agreed" if is_agreed else "not agreed as it is"
    girths = {key: getattr(last, f"{key}_girth_mm") for key in GIRTHS}
    return trade.Form(
        drawn_from=f"last {last.number} {Side(last.side).label}, {state}",
        is_agreed=is_agreed,
        length_mm=length,
        joint_width_mm=own("joint_width_mm", "joint_width", JOINT_WIDTH_OF_LENGTH),
        heel_width_mm=own("heel_width_mm", "heel_width", HEEL_WIDTH_OF_LENGTH),
        heel_to_joint_mm=_on_the_sole(own("heel_to_joint_mm", "heel_to_joint", JOINT_OF_LENGTH), length),
        heel_to_fifth_mm=_on_the_sole(own("heel_to_fifth_mm", "heel_to_fifth", FIFTH_OF_LENGTH), length),
        heel_height_mm=float(last.heel_height_mm),
        toe_spring_mm=float(last.toe_spring_mm),
        toe_depth_mm=own("toe_depth_mm", "toe_depth", TOE_DEPTH_OF_LENGTH),
        instep_height_mm=taken.get("instep_height", INSTEP_OF_LENGTH * length),
        girths_mm={key: float(girth) for key, girth in girths.items() if girth is not None} or _girths_of(taken),
        medial_malleolus_mm=taken.get("medial_malleolus_height"),
        lateral_malleolus_mm=taken.get("lateral_malleolus_height"),
        toe_shape=toe_shape_of(last.toe_shape),
        bulges=_bulges(measures, side=last.side, length=length) if stands_out else (),
    )


def _form_of_foot(
    measures: MeasureSet | None, taken: Mapping[str, float], *, side: str, toe_allowance_mm: float
) -> trade.Form:
    foot_length = taken.get("foot_length", ORDINARY_LENGTH_MM)
    length = foot_length + toe_allowance_mm
    heel = 0.0 if measures is None else float(measures.heel_height_mm)
    known = f"the measures of {measures.taken_at:%-d %b %Y}" if measures and "foot_length" in taken else ""
    return trade.Form(
        drawn_from=known or "no last and no measures: an ordinary foot",
        is_agreed=False,
        length_mm=length,
        joint_width_mm=taken.get("joint_width", JOINT_WIDTH_OF_LENGTH * length),
        heel_width_mm=taken.get("heel_width", HEEL_WIDTH_OF_LENGTH * length),
        heel_to_joint_mm=_on_the_sole(taken.get("heel_to_joint", JOINT_OF_LENGTH * length), length),
        heel_to_fifth_mm=_on_the_sole(taken.get("heel_to_fifth", FIFTH_OF_LENGTH * length), length),
        heel_height_mm=heel,
        toe_spring_mm=12.0,
        toe_depth_mm=taken.get("toe_depth", TOE_DEPTH_OF_LENGTH * length),
        instep_height_mm=taken.get("instep_height", INSTEP_OF_LENGTH * length),
        girths_mm=_girths_of(taken),
        medial_malleolus_mm=taken.get("medial_malleolus_height"),
        lateral_malleolus_mm=taken.get("lateral_malleolus_height"),
        bulges=_bulges(measures, side=side, length=length),
    )


def _bulges(measures: MeasureSet | None, *, side: str, length: float) -> tuple[Bulge, ...]:
    """Where one foot stands out; one recorded at the very back or tip is drawn 1 mm from it."""
    recorded = () if measures is None else measures.deviations.all()
    return tuple(
        Bulge(
            is_medial=each.edge == Edge.MEDIAL,
            from_heel_mm=min(max(float(each.from_heel_mm), 1.0), length - 1.0),
            extent_mm=float(each.extent_mm),
            beyond_mm=float(each.beyond_mm),
        )
        for each in recorded
        if each.side == side
    )


def _girths_of(taken: Mapping[str, float]) -> dict[str, float]:
    return {key: taken[f"{key}_girth"] for key in GIRTHS if f"{key}_girth" in taken}


def _on_the_sole(value: float, length: float) -> float:
    """A joint that lies where a profile can bend: a foot that ends before it is drawn with the last place it could."""
    return min(max(value, 0.56 * length), 0.94 * length)
