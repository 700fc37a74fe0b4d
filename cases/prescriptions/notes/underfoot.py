"""Notes on what is underfoot: rigidity and rocker, heel, raise, flare."""

from collections.abc import Iterator

from cases.prescriptions.notes.rule import CONVENTION, MEMORY, Question, Rule, rule
from cases.prescriptions.rigidity import HEAVY_KG
from cases.prescriptions.rocker import ANGLE_DEGREES, APEX_PERCENT, BANDS
from cases.prescriptions.rocker_of_shoe import rocker_apex_mm
from shared.workings import Status

STIFF_TOE = "Menz HB et al., Arthritis Care Res 2016;68:581-589 (rocker and stiff sole let the joint rest)"
HIGH_RISK = "Bergin SM et al., J Foot Ankle Res 2013;6:6, Table 2"
STIFF_SOLE_MM = 12.0
"""A sole at least so thick is taken not to bend. From memory."""
STEEP_DEGREES = 20.0
METHODS = ("block", "tape", "radiograph", "x-ray", "scan", "scanogram", "measured", "standing")


@rule(
    "rigid-and-flat",
    "rigid forefoot without a rocker",
    reason="A forepart that does not bend needs a sole that rolls.",
    source=STIFF_TOE,
)
def rigid_and_flat(asked: Question) -> Iterator[str]:
    is_stiff = asked.shoe.carbon_zone or asked.shoe.forepart_asked == "rigid"
    if is_stiff and not asked.shoe.rocker:
        yield "Rigid forefoot and a flat sole: the foot cannot roll. Rocker intended?"


@rule(
    "forepart-not-as-asked",
    "forepart that comes to another label than was asked",
    reason="Plies, sole and insole together decide how stiff a forepart is; at the edge of a zone fatigue decides.",
)
def forepart_not_as_asked(asked: Question) -> Iterator[str]:
    label, reached = asked.shoe.forepart_asked, asked.forepart
    plies = int(asked.shoe.carbon_zone.plies) if asked.shoe.carbon_zone else 0
    if not label:
        return
    if reached is not None and not reached.may_be(label):
        with_carbon = f"with {plies} plies of carbon" if plies else "without carbon"
        yield f"{label.capitalize()} is asked of the forepart; {with_carbon} it comes to {reached.words}."
    elif label == "rigid" and 0 < plies < asked.limits.carbon_plies_least:
        yield f"Rigid with {plies} plies: under {asked.limits.carbon_plies_least:g} the edge of the zone breaks."
    weight, heavy = asked.wearer.weighs_kg, int(asked.limits.carbon_plies_rigid_heavy)
    if label == "rigid" and weight is not None and weight > HEAVY_KG and 0 < plies < heavy:
        yield f"Rigid for {weight:g} kg: {heavy} plies above {HEAVY_KG} kg, {plies} prescribed."


@rule(
    "rocker-that-bends",
    "rocker on a sole that bends",
    reason="A sole that bends at the joint does not rock: the joint still works.",
)
def rocker_that_bends(asked: Question) -> Iterator[str]:
    shoe = asked.shoe
    thickness = shoe.sole.thickness_mm if shoe.sole else None
    if shoe.rocker and not shoe.carbon_zone and (thickness is None or thickness < STIFF_SOLE_MM):
        yield "Rocker on a sole that bends: stiffen the forepart, or is the same height for gait meant?"


@rule(
    "stiff-toe-without-either",
    "painful stiff big toe without rocker or stiff sole",
    reason="Rocker or stiff sole lets a stiff big-toe joint rest.",
    source=STIFF_TOE,
    status=Status.PUBLISHED,
)
def stiff_toe_without_either(asked: Question) -> Iterator[str]:
    if asked.has("hallux_rigidus") and not asked.shoe.rocker and not asked.shoe.carbon_zone:
        yield "Stiff big toe recorded; neither rocker nor stiff forepart is prescribed."


@rule(
    "rocker-band",
    "rocker beyond the papers' bands",
    reason="The papers disagree; their apexes and angles lie within 50 to 60 % and 15 to 20 degrees.",
    source=BANDS,
    status=Status.PUBLISHED,
)
def rocker_band(asked: Question) -> Iterator[str]:
    rocker = asked.shoe.rocker
    if rocker is None:
        return
    if not APEX_PERCENT[0] <= rocker.apex_percent <= APEX_PERCENT[1]:
        yield f"Apex at {rocker.apex_percent:g} %: the papers' lie within 50 to 60 %."
    if not ANGLE_DEGREES[0] <= rocker.angle_deg <= ANGLE_DEGREES[1]:
        yield f"Rocker angle {rocker.angle_deg:g}°: the papers' lie within 15 to 20°."


@rule(
    "rocker-too-thick",
    "rocker sole thicker than clients accept",
    reason="Clients refuse a sole that is too thick; a curved rocker or a lower angle saves height.",
    source=MEMORY,
)
def rocker_too_thick(asked: Question) -> Iterator[str]:
    thick, most = rocker_apex_mm(asked.shoe), asked.limits.rocker_sole_note_above_mm
    if thick is not None and thick > most:
        yield f"The sole stands {thick:.0f} mm thick at the apex (clients refuse above {most:g}). Curved, or lower angle?"


@rule(
    "rocker-and-falls",
    "rocker and soft heel for a person who falls",
    reason="A steep rocker or a soft heel can unsettle a person who falls: try on the flat, wide base, lower angle.",
    source=MEMORY,
)
def rocker_and_falls(asked: Question) -> Iterator[str]:
    rocker, heel = asked.shoe.rocker, asked.shoe.heel
    if rocker is None or not asked.has("falls"):
        return
    soft = bool(heel and heel.cushion_heel)
    if rocker.angle_deg >= STEEP_DEGREES or soft:
        what = "Rocker and soft heel" if soft else f"A rocker of {rocker.angle_deg:g}°"
        yield f"{what} can unsettle a person who falls. Try on the flat, wide base, lower angle?"


@rule(
    "heel-against-pitch",
    "prescribed heel against the last's pitch",
    reason="A last stands on the heel it was made for.",
)
def heel_against_pitch(asked: Question) -> Iterator[str]:
    heel = asked.shoe.heel.height_mm if asked.shoe.heel else None
    if heel is None:
        return
    off = heel - asked.shoe.form.heel_height_mm
    if abs(off) > asked.limits.heel_to_pitch_difference_mm:
        yield f"The last does not sit: heel {abs(off):g} mm {'higher' if off > 0 else 'lower'}. New pitch or new last?"


@rule(
    "heel-at-risk",
    "high heel at high risk",
    reason="Heels of feet at high risk are kept low.",
    source=HIGH_RISK,
    status=Status.PUBLISHED,
)
def heel_at_risk(asked: Question) -> Iterator[str]:
    heel, most = asked.shoe.heel.height_mm if asked.shoe.heel else None, asked.limits.heel_height_at_risk_most_mm
    if heel is not None and heel > most and asked.wearer.diabetes == "yes" and (asked.wearer.screening_level or 0) >= 2:
        yield f"Heel {heel:g} mm; at moderate or high risk {most:g} mm at most is advised."


@rule(
    "heel-above-promise",
    "heel above what the client was promised",
    reason="The client was promised a limit.",
)
def heel_above_promise(asked: Question) -> Iterator[str]:
    heel, limit = asked.shoe.heel.height_mm if asked.shoe.heel else None, asked.wearer.heel_limit_mm
    if heel is not None and limit is not None and heel > limit:
        yield f"Heel {heel:g} mm; the client was promised {limit:g} mm at most."


@rule(
    "apparent-without-method",
    "apparent leg-length difference without its method",
    reason="An apparent difference may be pelvic: confirm before building.",
    source="practitioner texts; no guideline",
)
def apparent_without_method(asked: Question) -> Iterator[str]:
    raised = asked.shoe.height_raise
    if raised is None or not any((raised.in_shoe_heel_mm, raised.on_sole_heel_mm)):
        return
    for finding in asked.wearer.found("leg_length_apparent", side=asked.side):
        if not any(method in finding.note.casefold() for method in METHODS):
            yield "How was the difference measured? Apparent length may be pelvic: confirm before building."


LEANS = {"medial": ("heel_varus",), "lateral": ("heel_valgus", "pes_planovalgus")}
"""For a flare on this side, the findings that put the weight on the other."""


@rule(
    "flare-opposite-lean",
    "flare opposite to the lean",
    reason="A flare widens the base on the side onto which the foot leans.",
    source=CONVENTION,
)
def flare_opposite_lean(asked: Question) -> Iterator[str]:
    sides = {flare.edge for flare in asked.shoe.flares}
    for edge in sorted(sides):
        if len(sides) == 1 and asked.has(*LEANS[edge]):
            yield f"{edge.capitalize()} flare on the side opposite to the lean; side intended?"


RULES: tuple[Rule, ...] = (
    rigid_and_flat,
    forepart_not_as_asked,
    rocker_that_bends,
    stiff_toe_without_either,
    rocker_band,
    rocker_too_thick,
    rocker_and_falls,
    heel_against_pitch,
    heel_at_risk,
    heel_above_promise,
    apparent_without_method,
    flare_opposite_lean,
)
