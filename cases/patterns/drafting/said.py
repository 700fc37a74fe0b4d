"""What stands on an insole in words: thickness, blocking, scouring, posting, what is to be watched."""

from collections.abc import Iterator

from cases.patterns.drafting.figures import PatternFigures
from cases.prescriptions.cut_away.bottom import SCOURED_RIM_MM
from cases.prescriptions.cut_away.edges import posted
from cases.prescriptions.cut_away.sheet import figure, mm, said
from cases.prescriptions.raises import wedge_height
from cases.prescriptions.shoe import Insole, Shoe

WELTED = frozenset({"hand-welted", "machine-welted"})


def insole_words(shoe: Shoe, given: Insole, figures: PatternFigures) -> tuple[str, ...]:
    """Sentences without a full stop, in the order in which the bench needs them."""
    return tuple(_words(shoe, given, figures))


def _words(shoe: Shoe, given: Insole, figures: PatternFigures) -> Iterator[str]:
    yield f"cut full by {mm(figures.insole_cut_oversize_mm)} all round, grain to the foot"
    yield from _thickness(given)
    if shoe.construction in WELTED:
        yield f"welted: feather {mm(figures.feather_width_mm)} wide, {mm(figures.feather_depth_mm)} deep; the holdfast stands within it"
    if given.scoured_to_mm is not None:
        yield f"forepart scoured to {mm(given.scoured_to_mm)} from the under face, rim of {mm(rim_of(given))} left whole"
    if given.hollowed_beneath:
        yield f"hollowed beneath: {given.hollowed_beneath}"
    if given.rear_doubled_mm:
        yield f"rear doubled with {mm(given.rear_doubled_mm)}"
    for edge, place, degrees in posted(shoe):
        form = shoe.form
        width = form.heel_width_mm if place == "rear" else form.joint_width_mm
        high = wedge_height(width_mm=width, angle_deg=degrees).height_mm
        yield f"posting {place}, {edge.value} {degrees:g}°: {mm(high)} at that edge, over {mm(width)} of width"
    if given.inlay_heel_mm or given.inlay_forepart_mm:
        room = said(
            f"heel {mm(given.inlay_heel_mm)}" if given.inlay_heel_mm else "",
            f"forepart {mm(given.inlay_forepart_mm)}" if given.inlay_forepart_mm else "",
        )
        yield f"room for a removable inlay, {room}: nothing is cut for it here"


def _thickness(given: Insole) -> Iterator[str]:
    finished = (
        ("heel", given.finished_heel_mm),
        ("waist", given.finished_waist_mm),
        ("forepart", given.finished_forepart_mm),
    )
    carved = said(*(f"{where} {figure(thick)}" for where, thick in finished if thick is not None))
    if given.thickness_mm is None:
        yield "thickness of the leather not said"
    if given.blocked:
        start = "" if given.thickness_mm is None else f" at {mm(given.thickness_mm)}"
        yield f"block wet on the last{start}; tacks in and out are counted"
    if carved:
        yield f"finished: {carved} mm" + (", carved when dry" if given.blocked else "")


def rim_of(given: Insole) -> float:
    return SCOURED_RIM_MM if given.scoured_rim_mm is None else given.scoured_rim_mm
