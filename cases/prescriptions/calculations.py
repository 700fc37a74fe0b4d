"""What this room works out, by name, for the calculators page and the command line."""

from collections.abc import Mapping
from typing import Any

from cases.prescriptions import raises, rigidity, rocker, weight
from cases.prescriptions.calculations_of_parts import CUTS, HEIGHTS
from cases.prescriptions.rigidity import Layer, Ply
from shared.calculations import BadInput, Calculation, Input, Kind, Output, Worked

RIGIDITY = "Rigidity"
UNDERFOOT = "Rocker, raise, wedge"
WEIGHT = "Weight"

LAYERS_EXAMPLE = '[{"thickness_mm": 4, "modulus_mpa": 50, "width_mm": 60}]'
LAYERS_ALLOWED = f"a list such as {LAYERS_EXAMPLE}"


def read_layers(name: str, given: object) -> list[Layer]:
    """Layers as they come out of JSON. Raises `BadInput`."""
    if not isinstance(given, list) or len(given) > 40:
        raise BadInput(name, given, allowed=LAYERS_ALLOWED)
    return [_layer(name, each) for each in given]


def _layer(name: str, given: object) -> Layer:
    wanted = ("thickness_mm", "modulus_mpa", "width_mm")
    if not isinstance(given, Mapping) or set(given) != set(wanted):
        raise BadInput(name, given, allowed=LAYERS_ALLOWED)
    values = [given[each] for each in wanted]
    if any(isinstance(value, bool) or not isinstance(value, int | float) for value in values):
        raise BadInput(name, given, allowed=LAYERS_ALLOWED)
    return Layer(*(float(value) for value in values))


def _ply_thickness(**given: Any) -> Worked:
    found = rigidity.ply_thickness(**given)
    return Worked({"thickness_mm": found.thickness_mm}, (found.workings,))


def _fibre_volume(**given: Any) -> Worked:
    found = rigidity.fibre_volume(**given)
    return Worked({"fibre_volume_fraction": found.fibre_volume_fraction}, (found.workings,))


def _layered_rigidity(*, layers: object, joined: str) -> Worked:
    found = rigidity.layered_rigidity(layers=read_layers("layers", layers), bonded=joined == "bonded")
    return Worked({"ei_n_mm2": found.ei_n_mm2, "neutral_axis_mm": found.neutral_axis_mm}, (found.workings,))


def _bend_stiffness(**given: Any) -> Worked:
    found = rigidity.bend_stiffness(**given)
    return Worked({"n_m_per_deg": found.n_m_per_deg}, (found.workings,))


def _plies_needed(
    *,
    n_m_per_deg: float,
    base_layers: object,
    ply_mm: float,
    ply_modulus_gpa: float,
    width_mm: float,
    free_length_mm: float,
    least_plies: float,
) -> Worked:
    found = rigidity.plies_needed(
        n_m_per_deg=n_m_per_deg,
        base_layers=read_layers("base_layers", base_layers),
        ply=Ply(ply_mm, ply_modulus_gpa * 1000, width_mm),
        free_length_mm=free_length_mm,
        least_plies=int(least_plies),
        bonded=True,
    )
    figures = {"plies": found.plies, "by_stiffness": found.by_stiffness, "reached_n_m_per_deg": found.n_m_per_deg}
    return Worked(figures, (found.workings,))


def _part_weight(**given: Any) -> Worked:
    found = weight.part_weight(**given)
    return Worked({"weight_g": found.weight_g}, (found.workings,))


def _rocker_lift(**given: Any) -> Worked:
    found = rocker.rocker_lift(**given)
    return Worked({"lift_mm": found.lift_mm, "lever_mm": found.lever_mm}, (found.workings,))


def _apex_skew(**given: Any) -> Worked:
    found = rocker.apex_skew(**given)
    return Worked({"skew_mm": found.skew_mm}, (found.workings,))


def _rocker_sole(*, form: str, **given: Any) -> Worked:
    found = rocker.rocker_sole(curved=form == "curved", **given)
    places = ("heel_mm", "breast_mm", "apex_mm", "joint_mm", "toe_mm")
    return Worked({place: getattr(found, place) for place in places}, (found.workings,))


def _raise_plan(**given: Any) -> Worked:
    found = raises.raise_plan(**given)
    return Worked({output.name: getattr(found, output.name) for output in RAISE_OUTPUTS}, found.workings)


def _wedge_height(**given: Any) -> Worked:
    found = raises.wedge_height(**given)
    return Worked({"height_mm": found.height_mm}, (found.workings,))


SOLE_LENGTH = Input("sole_length_mm", "sole length", example="280")
APEX = Input("apex_fraction", "apex from the heel, as a part of the length", "", example="0.52")
ANGLE = Input("rocker_angle_deg", "rocker angle", "°", setting="rocker_angle_degrees", example="15")
FREE_LENGTH = Input("free_length_mm", "free length over which it bends", setting="rigidity_free_length_mm")
STIFFNESS = Input("n_m_per_deg", "stiffness asked", "N·m per degree", example="0.1")

RAISE_OUTPUTS = (
    Output("corrected_mm", "corrected"),
    Output("in_shoe_heel_mm", "in the shoe, heel"),
    Output("on_sole_heel_mm", "on the sole, heel"),
    Output("on_sole_ball_mm", "on the sole, joint"),
    Output("on_sole_toe_mm", "on the sole, toe"),
    Output("pitch_change_mm", "change of pitch"),
    Output("pitch_change_deg", "change of pitch", "°"),
    Output("heel_out_of_stiffener_mm", "heel higher in its stiffener by"),
)

CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="part-weight",
        words="weight of a part",
        subject=WEIGHT,
        inputs=(
            Input("area_cm2", "area", "cm²", example="200"),
            Input("thickness_mm", "thickness", example="2.8"),
            Input("density_kg_m3", "density", "kg/m³", example="900"),
            Input("skived_area_cm2", "of it skived to nothing", "cm²", default=0.0, example="40"),
        ),
        outputs=(Output("weight_g", "weight", "g"),),
        source=weight.ARITHMETIC,
        work=_part_weight,
        cautions=(weight.TYPICAL,),
    ),
    Calculation(
        name="ply-thickness",
        words="thickness of a carbon ply",
        subject=RIGIDITY,
        inputs=(
            Input("areal_weight_g_m2", "cloth weight", "g/m²", setting="carbon_cloth_g_m2", example="200"),
            Input("fibre_density_g_cm3", "fibre density", "g/cm³", default=1.8, example="1.8"),
            Input("fibre_volume_fraction", "fibre volume fraction", "", default=0.40, example="0.40"),
        ),
        outputs=(Output("thickness_mm", "thickness of a ply"),),
        source=rigidity.AREAL_WEIGHT,
        work=_ply_thickness,
    ),
    Calculation(
        name="fibre-volume-fraction",
        words="fibre volume fraction from weighed cloth and resin",
        subject=RIGIDITY,
        inputs=(
            Input("fibre_mass_fraction", "cloth's part of the whole weight", "", example="0.5"),
            Input("fibre_density_g_cm3", "fibre density", "g/cm³", default=1.8),
            Input("resin_density_g_cm3", "resin density", "g/cm³", default=1.15),
        ),
        outputs=(Output("fibre_volume_fraction", "fibre volume fraction", ""),),
        source=rigidity.AREAL_WEIGHT,
        work=_fibre_volume,
    ),
    Calculation(
        name="layered-rigidity",
        words="bending rigidity of layers",
        subject=RIGIDITY,
        inputs=(
            Input("layers", "layers from the bottom up", "", kind=Kind.TABLE, example=LAYERS_EXAMPLE),
            Input(
                "joined",
                "how the layers are joined",
                "",
                kind=Kind.CHOICE,
                choices=("bonded", "sliding"),
                default="bonded",
            ),
        ),
        outputs=(
            Output("ei_n_mm2", "bending rigidity EI", "N·mm²"),
            Output("neutral_axis_mm", "neutral axis over the underside"),
        ),
        source=rigidity.TRANSFORMED_SECTION,
        work=_layered_rigidity,
        cautions=(rigidity.MOISTURE,),
    ),
    Calculation(
        name="bend-stiffness",
        words="stiffness over a free length",
        subject=RIGIDITY,
        inputs=(Input("ei_n_mm2", "bending rigidity EI", "N·mm²", example="250000"), FREE_LENGTH),
        outputs=(Output("n_m_per_deg", "stiffness", "N·m per degree"),),
        source=rigidity.ONE_BEND,
        work=_bend_stiffness,
        cautions=(rigidity.MOISTURE,),
    ),
    Calculation(
        name="plies-needed",
        words="carbon plies needed for a stiffness",
        subject=RIGIDITY,
        inputs=(
            STIFFNESS,
            Input("base_layers", "layers that are there already", "", kind=Kind.TABLE, example="[]"),
            Input("ply_mm", "one ply", setting="carbon_ply_mm"),
            Input("ply_modulus_gpa", "modulus of a ply", "GPa", setting="carbon_modulus_gpa"),
            Input("width_mm", "width of the carbon", default=60.0, example="60"),
            FREE_LENGTH,
            Input("least_plies", "the bench's least", "plies", setting="carbon_plies_least"),
        ),
        outputs=(
            Output("plies", "plies", ""),
            Output("by_stiffness", "plies by stiffness alone", ""),
            Output("reached_n_m_per_deg", "stiffness reached", "N·m per degree"),
        ),
        source=rigidity.TRANSFORMED_SECTION,
        work=_plies_needed,
        cautions=(rigidity.FATIGUE,),
    ),
    Calculation(
        name="rocker-lift",
        words="toe lift of a rocker",
        subject=UNDERFOOT,
        inputs=(SOLE_LENGTH, APEX, ANGLE),
        outputs=(Output("lift_mm", "toe lift"), Output("lever_mm", "lever from apex to toe")),
        source=rocker.CHORD,
        work=_rocker_lift,
        cautions=(rocker.CHORD_CAUTION, rocker.TRIED),
    ),
    Calculation(
        name="apex-skew",
        words="skew of the apex line",
        subject=UNDERFOOT,
        inputs=(
            Input("width_mm", "width of the sole at the apex", example="100"),
            Input("apex_angle_deg", "apex line to the long axis", "°", setting="rocker_apex_angle_degrees"),
        ),
        outputs=(Output("skew_mm", "skew across the width"),),
        source=rocker.PAPERS_60,
        work=_apex_skew,
    ),
    Calculation(
        name="rocker-sole",
        words="thickness of a rocker sole",
        subject=UNDERFOOT,
        inputs=(
            SOLE_LENGTH,
            APEX,
            ANGLE,
            Input("heel_to_joint_mm", "heel to 1st joint", example="202"),
            Input("heel_height_mm", "heel height of the last", default=0.0, example="20"),
            Input("toe_spring_mm", "toe spring of the last", setting="toe_spring_mm"),
            Input("least_mm", "least thickness that is left", default=0.0, example="3"),
            Input("form", "form", "", kind=Kind.CHOICE, choices=("curved", "straight"), default="curved"),
        ),
        outputs=(
            Output("heel_mm", "thickness at the heel"),
            Output("breast_mm", "thickness at the breast"),
            Output("apex_mm", "thickness at the apex"),
            Output("joint_mm", "thickness at the joint"),
            Output("toe_mm", "thickness at the toe"),
        ),
        source=rocker.CHORD,
        work=_rocker_sole,
        cautions=(rocker.TRIED,),
    ),
    Calculation(
        name="raise-plan",
        words="raise, shared between shoe and sole",
        subject=UNDERFOOT,
        inputs=(
            Input("difference_mm", "measured difference", example="30"),
            Input("corrected_part", "part of it corrected", "", setting="raise_start"),
            Input("in_shoe_limit_mm", "in the shoe at most", setting="raise_in_shoe_most_mm"),
            Input("ball_part", "joint, as a part of the heel on the sole", "", setting="raise_ball_least"),
            Input("toe_part", "toe, as a part of the heel on the sole", "", setting="raise_toe"),
            Input("heel_to_ball_mm", "heel to joint", default=140.0, example="140"),
        ),
        outputs=RAISE_OUTPUTS,
        source=raises.CONVENTION,
        work=_raise_plan,
        cautions=(raises.CONFIRM,),
    ),
    Calculation(
        name="wedge-height",
        words="height of a wedge",
        subject=UNDERFOOT,
        inputs=(Input("width_mm", "width", example="65"), Input("angle_deg", "angle", "°", example="3.5")),
        outputs=(Output("height_mm", "height at the edge"),),
        source=raises.ARITHMETIC,
        work=_wedge_height,
    ),
    *HEIGHTS,
    *CUTS,
)
