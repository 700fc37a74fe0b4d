"""The final check's sheet of figures: what is prescribed of a finished shoe, and within what it holds. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from cases.bench.measured import KnownFigure, plain
from cases.prescriptions.cut_away.stack import stack_of
from cases.prescriptions.heights import pitch_of
from cases.prescriptions.rocker_of_shoe import thickness_of_sole
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import Edge
from shared.workings import Status, Workings

HEIGHT, PITCH, APEX, TOE_LIFT = "final_height_mm", "final_pitch_degrees", "final_apex_mm", "final_toe_lift_mm"
LENGTH, TOPLINE, MALLEOLUS, STRAP = (
    "final_length_mm",
    "final_topline_mm",
    "final_malleolus_clear_mm",
    "final_strap_spare_mm",
)
WEIGHT_DIFFERENCE = "final_weight_difference_g"
SETTINGS = frozenset({HEIGHT, PITCH, APEX, TOE_LIFT, LENGTH, TOPLINE, MALLEOLUS, STRAP, WEIGHT_DIFFERENCE})

STRAPS = frozenset({"strap", "returning strap"})
LOW = frozenset({"court", "low"})


@dataclass(frozen=True)
class FinalLine:
    """One thing looked at or measured on one finished shoe.

    Without a unit it holds or it does not. `prescribed` is None where only an end of its range is asked. `trusted` says
    what the tolerance rests on; `sheet` is behind a prescribed figure that was worked out.
    """

    key: str
    words: str
    unit: str = ""
    prescribed: Decimal | None = None
    least: Decimal | None = None
    most: Decimal | None = None
    trusted: str = ""
    sheet: Workings | None = None

    @property
    def is_measured(self) -> bool:
        return bool(self.unit)

    @property
    def asked(self) -> str:
        """What is prescribed, with its unit and what counts as it."""
        if not self.unit:
            return ""
        if self.prescribed is None:
            return f"at least {self.says(self.least or Decimal(0))}"
        return (
            f"{self.says(self.prescribed)} ({plain(self.least or Decimal(0))} to {self.says(self.most or Decimal(0))})"
        )

    def says(self, figure: Decimal) -> str:
        """A figure with its unit: 22 mm, 5°."""
        return f"{plain(figure)}°" if self.unit == "°" else f"{plain(figure)} {self.unit}"

    def beside_asked(self, measured: Decimal) -> str:
        """Measured 12.5 mm, prescribed 6 mm (4 to 8 mm)."""
        return f"measured {self.says(measured)}, prescribed {self.asked}"

    def holds(self, measured: Decimal) -> bool:
        return (self.least is None or measured >= self.least) and (self.most is None or measured <= self.most)


class Sheet:
    """The lines of one shoe, each with the workshop's tolerance. Lengths in mm, angles in degrees."""

    def __init__(self, shoe: Shoe, settings: Mapping[str, KnownFigure]) -> None:
        self.shoe, self.settings = shoe, settings

    def lines(self) -> Iterator[FinalLine]:
        """What is looked at, in the order in which a finished shoe goes through the hands."""
        yield FinalLine("stand", "stands flat on the board and does not rock")
        yield from self._sole()
        yield from self._raise()
        yield from self._pitch()
        yield from self._rocker()
        yield from self._by_word()
        yield from self._topline()
        yield self._figure(
            "length", "length inside, by the stick", self.shoe.form.length_mm, LENGTH, self._of_the_form()
        )
        if self.shoe.forepart_asked:
            yield FinalLine("bend", f"forepart across the joint, bent by hand: {self.shoe.forepart_asked} as asked")
        if self.shoe.upper and self.shoe.upper.fastening in STRAPS:
            spare = plain(self.settings[STRAP].value)
            yield FinalLine("straps", f"straps reach with {spare} mm to spare and close with one hand")
        yield FinalLine("inside", "hand inside: no tack, no seam, no glue")

    def _figure(
        self, key: str, words: str, figure: float, tolerance: str, sheet: Workings | None = None, *, unit: str = "mm"
    ) -> FinalLine:
        prescribed = Decimal(f"{figure:g}") if sheet is None else half_up(figure)
        within = self.settings[tolerance]
        return FinalLine(
            key=key,
            words=words,
            unit=unit,
            prescribed=prescribed,
            least=prescribed - within.value,
            most=prescribed + within.value,
            trusted=within.trusted,
            sheet=sheet,
        )

    def _sole(self) -> Iterator[FinalLine]:
        sole, heel = self.shoe.sole, self.shoe.heel
        if self.shoe.rocker is None and sole and sole.thickness_mm is not None:
            yield self._figure("sole", "sole, thickness at the joint", sole.thickness_mm, HEIGHT)
        if heel and heel.height_mm is not None:
            yield self._figure("heel", "heel height", heel.height_mm, HEIGHT)

    def _raise(self) -> Iterator[FinalLine]:
        raised = self.shoe.height_raise
        if raised is None:
            return
        for key, words, height in (
            ("raise_in_shoe", "raise in the shoe, heel", raised.in_shoe_heel_mm),
            ("raise_heel", "raise on the sole, heel", raised.on_sole_heel_mm),
            ("raise_joint", "raise on the sole, joint", raised.on_sole_ball_mm),
            ("raise_toe", "raise on the sole, toe", raised.on_sole_toe_mm),
        ):
            if height:
                yield self._figure(key, words, height, HEIGHT)

    def _pitch(self) -> Iterator[FinalLine]:
        """The prescribed heel, else the last's, and what the raise adds, over the way from heel to joint."""
        shoe, raised = self.shoe, self.shoe.height_raise
        heel = shoe.heel.height_mm if shoe.heel and shoe.heel.height_mm is not None else shoe.form.heel_height_mm
        try:
            pitch = pitch_of(
                heel_mm=heel,
                heel_to_joint_mm=shoe.form.heel_to_joint_mm,
                last_heel_mm=shoe.form.heel_height_mm,
                in_shoe_heel_mm=(raised.in_shoe_heel_mm if raised else None) or 0.0,
                on_sole_heel_mm=(raised.on_sole_heel_mm if raised else None) or 0.0,
                on_sole_ball_mm=(raised.on_sole_ball_mm if raised else None) or 0.0,
            )
        except BadInput:
            return
        yield self._figure("pitch", "pitch", pitch.pitch_deg, PITCH, pitch.workings, unit="°")

    def _rocker(self) -> Iterator[FinalLine]:
        rocker, length = self.shoe.rocker, self.shoe.form.length_mm
        if rocker is None:
            return
        try:
            stack = stack_of(self.shoe, Edge.MEDIAL)
        except BadInput:
            return
        thick = thickness_of_sole(self.shoe, stack)
        for place in ("apex", "toe"):
            words = f"sole, thickness at the {place}"
            yield self._figure(f"sole_{place}", words, thick[place], HEIGHT, self._drawn(words, thick[place]))
        apex = rocker.apex_percent / 100 * length
        words = "rocker apex, from the back of the heel"
        yield self._figure("apex", words, apex, APEX, self._drawn(words, apex))
        lift = stack.at(length, stack.under_sole)
        words = "toe lift of the rocker, sole on the ground"
        yield self._figure("toe_lift", words, lift, TOE_LIFT, self._drawn(words, lift))

    def _drawn(self, words: str, figure: float) -> Workings:
        rocker = self.shoe.rocker
        assert rocker is not None
        return Workings(
            name=words,
            result=f"{half_up(figure)} mm",
            formula="read off the layers as they are drawn under the last",
            inputs=(
                ("Apex from the heel", f"{rocker.apex_percent:g} %"),
                ("Angle", f"{rocker.angle_deg:g}°, {'curved' if rocker.curved else 'straight'}"),
                ("Length", f"{self.shoe.form.length_mm:g} mm"),
            ),
            source="the prescribed layers and rocker; the line of the last from memory",
            status=Status.GEOMETRY,
        )

    def _by_word(self) -> Iterator[FinalLine]:
        for wedge in self.shoe.wedges:
            yield FinalLine(
                f"wedge_{wedge.place}", f"{wedge.place} wedge {wedge.height_mm:g} mm at the {wedge.edge} edge"
            )
        for flare in self.shoe.flares:
            yield FinalLine(f"flare_{flare.edge}", f"flare {flare.width_mm:g} mm at the {flare.edge} edge")

    def _topline(self) -> Iterator[FinalLine]:
        upper, clear = self.shoe.upper, self.settings[MALLEOLUS]
        if upper is None:
            return
        for edge, height in ((Edge.MEDIAL, upper.topline_medial_mm), (Edge.LATERAL, upper.topline_lateral_mm)):
            if height:
                yield self._figure(f"topline_{edge}", f"topline height, {edge.label}", height, TOPLINE)
        if upper.height in LOW:
            yield FinalLine(
                "malleolus",
                "topline below the malleolus, medial and lateral",
                unit="mm",
                least=clear.value,
                trusted=clear.trusted,
            )

    def _of_the_form(self) -> Workings:
        length = half_up(self.shoe.form.length_mm)
        return Workings(
            name="length inside",
            result=f"{length} mm",
            formula="length of the last",
            inputs=(("Drawn from", self.shoe.form.drawn_from),),
            source="the last on the rack, or what stands in for it",
            status=Status.GEOMETRY,
        )


def lines_of(shoe: Shoe, *, settings: Mapping[str, KnownFigure]) -> tuple[FinalLine, ...]:
    """Everything that is looked at or measured on one finished shoe."""
    return tuple(Sheet(shoe, settings).lines())


def half_up(figure: float) -> Decimal:
    """What was worked out, in whole mm or degrees, as a rule reads."""
    return Decimal(f"{figure:.3f}").quantize(Decimal(1), rounding=ROUND_HALF_UP)
