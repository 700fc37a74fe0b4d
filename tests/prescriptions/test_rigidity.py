"""Rigidity against the handbook, against an independent library, and by its own laws.

Sources stand beside each check. "By hand" is arithmetic that a reader can redo.
"""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.rigidity import (
    Layer,
    Ply,
    bend_stiffness,
    fibre_volume,
    label_of,
    layered_rigidity,
    plies_needed,
    ply_thickness,
)
from shared.calculations import BadInput

LAYER = st.builds(
    Layer, thickness_mm=st.floats(0.2, 12), modulus_mpa=st.floats(5, 210_000), width_mm=st.floats(10, 100)
)
LAYERS = st.lists(LAYER, min_size=1, max_size=6)


@pytest.mark.parametrize(("fraction", "thickness_mm"), [(0.35, 0.317), (0.40, 0.278), (0.45, 0.247), (0.50, 0.222)])
def test_a_ply_is_as_thick_as_the_areal_weight_method_says(fraction: float, thickness_mm: float) -> None:
    """200 g/m² woven carbon, fibre 1.80 g/cm³: W/(ρ·V), as in Geerts R, Calculating laminate thickness."""
    found = ply_thickness(areal_weight_g_m2=200, fibre_density_g_cm3=1.80, fibre_volume_fraction=fraction)
    assert found.thickness_mm == pytest.approx(thickness_mm, abs=0.0005)


@pytest.mark.parametrize(("mass", "volume"), [(0.457, 0.35), (0.511, 0.40), (0.562, 0.45), (0.610, 0.50)])
def test_fibre_content_by_weight_is_turned_into_volume(mass: float, volume: float) -> None:
    """Same source and densities, epoxy 1.15 g/cm³."""
    found = fibre_volume(fibre_mass_fraction=mass, fibre_density_g_cm3=1.80, resin_density_g_cm3=1.15)
    assert found.fibre_volume_fraction == pytest.approx(volume, abs=0.001)


def test_the_flitch_beam_of_the_handbook() -> None:
    """12 × 200 mm steel (205 GPa) between two 50 × 200 mm timbers (12 GPa): EI = 2.440·10¹² N·mm².

    A published worked geometry, read second-hand; the sum 1.64 + 0.80 is by hand. The beam stands upright, so its
    plates are one layer whose stiffness and width are those of all three.
    """
    upright = [Layer(200, (205_000 * 12 + 2 * 12_000 * 50) / 112, 112)]
    assert layered_rigidity(layers=upright, bonded=True).ei_n_mm2 == pytest.approx(2.440e12, rel=1e-4)


@pytest.mark.parametrize(
    ("layer", "ei"),
    [
        (Layer(1.0, 50_000, 60), 250_000),
        (Layer(1.0, 205_000, 15), 256_250),
        (Layer(4.0, 50, 60), 16_000),
    ],
    ids=["carbon plate", "steel shank", "leather insole"],
)
def test_the_parts_of_a_shoe_by_hand(layer: Layer, ei: float) -> None:
    """E·b·h³/12."""
    assert layered_rigidity(layers=[layer], bonded=True).ei_n_mm2 == pytest.approx(ei)


def test_a_carbon_plate_over_a_forepart_by_hand() -> None:
    """250 000 / 60 = 4.17 N·m per radian = 0.0727 N·m per degree."""
    assert bend_stiffness(ei_n_mm2=250_000, free_length_mm=60).n_m_per_deg == pytest.approx(0.0727, abs=5e-5)


SHOE = [Layer(4.0, 50, 70), Layer(1.2, 205_000, 15), Layer(1.4, 40_000, 60), Layer(6.0, 12, 80)]


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
@pytest.mark.parametrize("layers", [SHOE, SHOE[::-1], SHOE[:2]], ids=["whole", "upside down", "insole and shank"])
def test_bonded_layers_agree_with_an_independent_library(layers: list[Layer]) -> None:
    """Against `sectionproperties`, which meshes the section and integrates over it."""
    found = layered_rigidity(layers=layers, bonded=True)
    ei, axis = meshed(layers)
    assert (found.ei_n_mm2, found.neutral_axis_mm or 0) == pytest.approx((ei, axis), rel=1e-6)


def meshed(layers: list[Layer]) -> tuple[float, float]:
    """EI about the neutral axis, and that axis over the underside, by the library."""
    from sectionproperties.analysis import Section
    from sectionproperties.pre import CompoundGeometry, Material
    from sectionproperties.pre.library import rectangular_section

    parts: list[Any] = []
    under = 0.0
    for place, layer in enumerate(layers):
        material = Material(str(place), layer.modulus_mpa, 0.3, 1, 1, "grey")
        part = rectangular_section(d=layer.thickness_mm, b=layer.width_mm, material=material)
        parts.append(part.shift_section(x_offset=-layer.width_mm / 2, y_offset=under))
        under += layer.thickness_mm
    whole: Any = CompoundGeometry(parts)
    whole.create_mesh(mesh_sizes=[20.0])
    section: Any = Section(whole)
    section.calculate_geometric_properties()
    return float(section.get_eic()[0]), float(section.get_c()[1])


@given(LAYERS)
def test_bonded_is_never_less_stiff_than_sliding(layers: list[Layer]) -> None:
    bonded, sliding = (layered_rigidity(layers=layers, bonded=each).ei_n_mm2 for each in (True, False))
    assert bonded >= sliding * (1 - 1e-12)


@given(LAYERS, LAYER)
def test_one_more_layer_on_top_never_makes_it_less_stiff(layers: list[Layer], more: Layer) -> None:
    before, after = (layered_rigidity(layers=each, bonded=True).ei_n_mm2 for each in (layers, [*layers, more]))
    assert after >= before * (1 - 1e-12)


@given(LAYERS)
def test_a_section_turned_over_is_as_stiff(layers: list[Layer]) -> None:
    up, down = (layered_rigidity(layers=each, bonded=True).ei_n_mm2 for each in (layers, layers[::-1]))
    assert down == pytest.approx(up, rel=1e-9)


@given(LAYERS)
def test_the_neutral_axis_lies_in_the_section(layers: list[Layer]) -> None:
    axis = layered_rigidity(layers=layers, bonded=True).neutral_axis_mm
    assert axis is not None
    assert 0 < axis < sum(layer.thickness_mm for layer in layers)


def test_five_plies_by_hand_are_rigid() -> None:
    """200 g/m², 0.28 mm a ply, E taken at 40 GPa: 1.4 mm and about 0.16 N·m per degree over 60 mm."""
    ei = layered_rigidity(layers=[Layer(5 * 0.28, 40_000, 60)], bonded=True).ei_n_mm2
    found = bend_stiffness(ei_n_mm2=ei, free_length_mm=60).n_m_per_deg
    assert (round(found, 2), label_of(found, bends_below=0.03, rigid_above=0.10)) == (0.16, "rigid")


@pytest.mark.parametrize(("stiffness", "label"), [(0.029, "bends"), (0.03, "firm"), (0.10, "firm"), (0.101, "rigid")])
def test_the_label_comes_before_the_figure(stiffness: float, label: str) -> None:
    assert label_of(stiffness, bends_below=0.03, rigid_above=0.10) == label


PLY = Ply(0.28, 40_000, 60)


def needed(target: float, *, least: int = 4, base: tuple[Layer, ...] = ()) -> tuple[int, int]:
    found = plies_needed(
        n_m_per_deg=target, base_layers=base, ply=PLY, free_length_mm=60, least_plies=least, bonded=True
    )
    return found.plies, found.by_stiffness


def test_the_benchs_least_stands_where_stiffness_alone_asks_for_less() -> None:
    assert needed(0.03) == (4, 3)


def test_no_ply_is_needed_where_the_base_is_stiff_enough() -> None:
    assert needed(0.03, base=(Layer(3, 40_000, 60),)) == (0, 0)


def test_a_stiffness_no_layup_reaches_is_refused_with_what_is_reached() -> None:
    with pytest.raises(BadInput) as refused:
        plies_needed(
            n_m_per_deg=10, base_layers=(), ply=Ply(0.1, 40_000, 60), free_length_mm=60, least_plies=4, bonded=True
        )
    assert str(refused.value) == "n_m_per_deg is 10 N·m per degree; allowed is what 20 plies reach, 0.47"


@given(st.floats(0.002, 2))
def test_one_ply_fewer_would_not_reach_the_stiffness(target: float) -> None:
    _, plies = needed(target, least=0)
    thinner = layered_rigidity(layers=[Layer(max(plies - 1, 0.05) * 0.28, 40_000, 60)], bonded=True).ei_n_mm2
    assert bend_stiffness(ei_n_mm2=thinner, free_length_mm=60).n_m_per_deg < target


@pytest.mark.parametrize(
    ("layers", "sentence"),
    [
        ([], "layers is empty; allowed is at least one layer"),
        ([Layer(-1, 50, 60)], "thickness_mm of layer 1 is -1 mm; allowed is 0.01 to 500 mm"),
        ([Layer(1, 50, 60), Layer(1, math.inf, 60)], "modulus_mpa of layer 2 is inf MPa; allowed is 0.01 to 1e+06 MPa"),
    ],
)
def test_a_layer_that_cannot_be_is_refused_in_a_sentence(layers: list[Layer], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        layered_rigidity(layers=layers, bonded=True)
    assert str(refused.value) == sentence
