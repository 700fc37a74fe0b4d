"""How high the foot stands, how steep, and what the sole of a rocker comes to: read off the layers that are drawn."""

from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.stack import Stack, sole_thickness, stack_of, toe_spring_added
from cases.prescriptions.heights import Pitch, pitch_of
from cases.prescriptions.implied.figures import Promised
from cases.prescriptions.implied.told import Line, Told
from cases.prescriptions.raises import ARITHMETIC as PARTS
from cases.prescriptions.raises import MEASURE_AGAIN, change_of_pitch
from cases.prescriptions.rocker import APEX_PERCENT, BANDS, CHORD, CHORD_CAUTION, TRIED
from cases.prescriptions.rocker_of_shoe import thickness_of_sole
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge, Side
from shared.workings import Status, Workings

DRAWN = "the layers as they are drawn under the last; line of the last from memory"
CUSHIONS = "A cushion in its scoured zone and an inlay in the room left for it add nothing."
NEARLY_NOTHING_MM = 0.25
"""Under half of what the screen shows of a layer."""


def heights_told(shoe: Shoe, promised: Promised) -> tuple[dict[str, Told], Line | None]:
    """Heights, pitch, raise and rocker by their keys, and the rocker's profile. Raises `BadInput`."""
    stack = stack_of(shoe, Edge.MEDIAL)
    pitch = _pitch(shoe)
    told = {f"{place}_height": each for place, each in _heights(shoe, stack, promised)}
    told["pitch"] = Told(pitch.workings)
    told |= _raise(shoe)
    if shoe.rocker is None:
        return told, None
    told["rocker_thickness"], told["rocker_lift"] = _thickness(shoe, stack), _lift(shoe, stack)
    return told, _line(shoe, stack)


def _heights(shoe: Shoe, stack: Stack, promised: Promised) -> Iterator[tuple[str, Told]]:
    form = shoe.form
    for place, x in (("heel", 0.0), ("joint", form.heel_to_joint_mm), ("toe", form.length_mm)):
        foot, bottom, insole, over, under = (
            stack.at(x, line)
            for line in (stack.under_foot, stack.last_bottom, stack.under_insole, stack.over_sole, stack.under_sole)
        )
        layers = (
            ("Raise in the shoe", foot - bottom),
            ("Insole", bottom - insole),
            ("Raise on the sole", insole - over),
            ("Sole and heel" if place == "heel" else "Sole", over - under),
        )
        sheet = Workings(
            name=f"height under the {place}",
            result=f"{sum(mm for _, mm in layers):.0f} mm",
            formula="raise in the shoe + insole + raise on the sole + sole",
            inputs=tuple((words, f"{mm:.1f} mm") for words, mm in layers if mm >= NEARLY_NOTHING_MM),
            source=DRAWN,
            status=Status.GEOMETRY,
            cautions=(CUSHIONS, MEASURE_AGAIN),
        )
        yield place, Told(sheet, passed=_heel_passed(shoe, promised) if place == "heel" else "")


def _heel_passed(shoe: Shoe, promised: Promised) -> str:
    heel, limit = shoe.heel.height_mm if shoe.heel else None, promised.heel_limit_mm
    if heel is None or limit is None or heel <= limit:
        return ""
    return f"heel {heel:g} mm passes the {limit:g} mm that the client was promised"


def _pitch(shoe: Shoe) -> Pitch:
    """The prescribed heel, else the last's, and what the raise adds, over the way from heel to joint."""
    form, raised = shoe.form, shoe.height_raise
    heel = shoe.heel.height_mm if shoe.heel and shoe.heel.height_mm is not None else form.heel_height_mm
    return pitch_of(
        heel_mm=heel,
        heel_to_joint_mm=form.heel_to_joint_mm,
        last_heel_mm=form.heel_height_mm,
        in_shoe_heel_mm=(raised.in_shoe_heel_mm if raised else None) or 0.0,
        on_sole_heel_mm=(raised.on_sole_heel_mm if raised else None) or 0.0,
        on_sole_ball_mm=(raised.on_sole_ball_mm if raised else None) or 0.0,
    )


def _raise(shoe: Shoe) -> dict[str, Told]:
    raised = shoe.height_raise
    if raised is None:
        return {}
    in_shoe = raised.in_shoe_heel_mm or 0.0
    change = change_of_pitch(
        in_shoe_heel_mm=in_shoe,
        on_sole_heel_mm=raised.on_sole_heel_mm or 0.0,
        on_sole_ball_mm=raised.on_sole_ball_mm or 0.0,
        heel_to_ball_mm=shoe.form.heel_to_joint_mm,
    )
    told = {"raise_pitch": Told(change.workings)}
    back = shoe.stiffener.back_height_mm if shoe.stiffener else None
    if in_shoe and back is not None:
        sheet = Workings(
            name="stiffener left behind the heel",
            result=f"{back - in_shoe:.0f} mm, the heel stands {in_shoe:.0f} mm up in it",
            formula="back height − raise in the shoe",
            inputs=(("Back height", f"{back:g} mm"), ("Raise in the shoe, heel", f"{in_shoe:g} mm")),
            source=PARTS,
            status=Status.GEOMETRY,
        )
        told["raise_stiffener"] = Told(sheet)
    return told


def _thickness(shoe: Shoe, stack: Stack) -> Told:
    thick = thickness_of_sole(shoe, stack)
    assert shoe.rocker is not None
    inside = APEX_PERCENT[0] <= shoe.rocker.apex_percent <= APEX_PERCENT[1]
    sheet = Workings(
        name="sole of a rocker",
        result=f"{thick['apex']:.0f} mm at the apex",
        formula="line over the sole − line of the ground side, set so that the sole's own thickness is left everywhere",
        inputs=(
            *((f"At the {place}", f"{mm:.0f} mm") for place, mm in thick.items()),
            ("Apex from the heel", f"{shoe.rocker.apex_percent:g} %"),
            ("Angle", f"{shoe.rocker.angle_deg:g}°, {'curved' if shoe.rocker.curved else 'straight'}"),
            ("Sole's own thickness", f"{sole_thickness(shoe):g} mm"),
            ("Of it the rocker's at the apex", f"{thick['apex'] - sole_thickness(shoe):.0f} mm"),
            ("Toe spring of the last", f"{shoe.form.toe_spring_mm:g} mm{_spring_added(shoe)}"),
        ),
        source=f"{CHORD}; {DRAWN}",
        status=Status.GEOMETRY,
        cautions=(TRIED,) if inside else (f"The apex lies beyond the papers' 50 to 60 %. {BANDS}.", TRIED),
    )
    return Told(sheet)


def _spring_added(shoe: Shoe) -> str:
    added = toe_spring_added(shoe)
    return f" + {added:g} mm prescribed" if added else ""


def _lift(shoe: Shoe, stack: Stack) -> Told:
    assert shoe.rocker is not None
    lift = stack.at(shoe.form.length_mm, stack.under_sole)
    sheet = Workings(
        name="toe lift of the rocker, sole on the ground",
        result=f"{lift:.0f} mm",
        formula="(1 − apex) × length × tan(angle)",
        inputs=(
            ("Length", f"{shoe.form.length_mm:g} mm"),
            ("Apex from the heel", f"{shoe.rocker.apex_percent:g} %"),
            ("Angle", f"{shoe.rocker.angle_deg:g}°"),
        ),
        source=CHORD,
        status=Status.GEOMETRY,
        cautions=(CHORD_CAUTION,),
    )
    return Told(sheet)


def _line(shoe: Shoe, stack: Stack) -> Line:
    """The sole from its medial side: the toe of LEFT points to the right, that of RIGHT to the left."""
    x = np.linspace(0, shoe.form.length_mm, 36)
    over, under = (np.interp(x, stack.x, line) for line in (stack.over_sole, stack.under_sole))
    high, wide = float(over.max()) + 4, float(x[-1])
    is_right = shoe.side is Side.RIGHT
    across = wide - x if is_right else x

    def path(line: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> str:
        return "M" + "L".join(f"{at:.0f} {high - up:.1f}" for at, up in zip(across, line, strict=True))

    ground = f"M0 {high:.1f}H{wide:.0f}"
    ends = ("toe", "heel") if is_right else ("heel", "toe")
    says = f"the sole from its medial side, {ends[0]} on the left"
    return Line(ground, path(over), path(under), wide, high + 2, ends=ends, says=says)
