"""The parts of a foot as plain values: read, written and copied alike, whichever table holds them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Field, Model

from cases.prescriptions.models import (
    CarbonZone,
    Cushion,
    Flare,
    Foot,
    Heel,
    Insole,
    MetatarsalSupport,
    Raise,
    Relief,
    Rocker,
    Shank,
    SoftZone,
    Sole,
    Stiffener,
    ToeProp,
    ToePuff,
    Upper,
    Wedge,
)

Values = Mapping[str, Any]
PartsOfFoot = Mapping[str, Values | Sequence[Values] | None]
"""By the part's name: its values; several sets of values where a foot may have several; None where it has none.

`foot` names what stands on the foot itself: its last, room for an orthosis, toe filler, how stiff its forepart is to be, remarks.
"""


@dataclass(frozen=True)
class ManyParts:
    """Parts of which a foot may have several. `told_apart_by` is the column of which each value occurs once."""

    model: type[Model]
    told_apart_by: str | None


SINGLE: dict[str, type[Model]] = {
    "upper": Upper,
    "stiffener": Stiffener,
    "toe_puff": ToePuff,
    "insole": Insole,
    "toe_prop": ToeProp,
    "shank": Shank,
    "carbon_zone": CarbonZone,
    "sole": Sole,
    "heel": Heel,
    "rocker": Rocker,
    "height_raise": Raise,
}
MANY: dict[str, ManyParts] = {
    "soft_zones": ManyParts(SoftZone, None),
    "reliefs": ManyParts(Relief, None),
    "cushions": ManyParts(Cushion, "place"),
    "metatarsal_supports": ManyParts(MetatarsalSupport, "kind"),
    "wedges": ManyParts(Wedge, "place"),
    "flares": ManyParts(Flare, "edge"),
}
OF_THE_FOOT = ("last", "orthosis_room", "toe_filler", "forepart_asked", "remarks")


def value_fields(model: type[Model]) -> "list[Field[Any, Any]]":
    """The columns that say what is prescribed: not the row's own key, nor the foot it belongs to."""
    return [field for field in model._meta.concrete_fields if field.name not in {"id", "foot"}]


def values_of(part: Model) -> dict[str, Any]:
    return {field.name: getattr(part, field.name) for field in value_fields(type(part))}


def parts_of(foot: Foot) -> dict[str, Values | Sequence[Values] | None]:
    """Everything prescribed for a foot, as values that can be written to another."""
    parts: dict[str, Values | Sequence[Values] | None] = {
        "foot": {name: getattr(foot, name) for name in OF_THE_FOOT if name != "last"}
    }
    for name, model in SINGLE.items():
        part = foot.one(name, model)
        parts[name] = None if part is None else values_of(part)
    for name, kind in MANY.items():
        parts[name] = [values_of(row) for row in foot.several(name, kind.model)]
    return parts


def write_parts(foot: Foot, parts: PartsOfFoot) -> None:
    """Make a foot's named parts what these values say. Parts that are not named stay as they are.

    Values of a part that is there are laid over what it holds. A foot that `queries.whole` read brings its parts: what
    does not change costs no query. Raises `KeyError` for an unknown part, `FieldDoesNotExist` for an unknown value.
    """
    for name, values in parts.items():
        if name == "foot":
            assert isinstance(values, Mapping)
            _change(foot, values)
        elif name in MANY:
            assert not isinstance(values, Mapping)
            _write_many(foot, name, values or ())
        else:
            assert values is None or isinstance(values, Mapping)
            _write_single(foot, name, values)


def _write_single(foot: Foot, name: str, values: Values | None) -> None:
    model = SINGLE[name]
    part = foot.one(name, model)
    if values is None:
        if part is not None:
            part.delete()
            foot.hold(name, None)
    elif part is None:
        foot.hold(name, _create(model, foot, values))
    else:
        _change(part, values)


def _write_many(foot: Foot, name: str, rows: Sequence[Values]) -> None:
    kind = MANY[name]
    left_over = foot.several(name, kind.model)
    written = []
    for values in rows:
        row = _counterpart(left_over, kind.told_apart_by, values)
        if row is None:
            row = _create(kind.model, foot, values)
        else:
            left_over.remove(row)
            _change(row, values)
        written.append(row)
    for row in left_over:
        row.delete()
    if foot.brought is not None:
        foot.brought[name][:] = sorted(written, key=lambda row: row.pk)


def _counterpart(rows: Sequence[Model], told_apart_by: str | None, values: Values) -> Model | None:
    if told_apart_by is None:
        return rows[0] if rows else None
    return next((row for row in rows if getattr(row, told_apart_by) == values[told_apart_by]), None)


def _create(model: type[Model], foot: Foot, values: Values) -> Model:
    kept = {name: _as_kept(model, name, value) for name, value in values.items()}
    return model._default_manager.create(foot=foot, **kept)


def _as_kept(model: type[Model], name: str, value: Any) -> Any:
    field = model._meta.get_field(name)
    assert isinstance(field, Field)
    return value if field.is_relation else field.to_python(value)


def _change(part: Model, values: Values) -> None:
    changed = []
    for name, value in values.items():
        wanted = _as_kept(type(part), name, value)
        if getattr(part, name) != wanted:
            setattr(part, name, wanted)
            changed.append(name)
    if changed:
        part.save(update_fields=changed)
