"""The rack against the feet of one client: what each foot needs, and which lasts are nearest to it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

import numpy as np
from django.db import connection
from django.http import Http404

from cases.lasts import nearest, sizes
from cases.lasts.models import Hose, Last, MeasureSet
from cases.lasts.nearest import COSTS, Costs, RackArrays, Ranked, Ranking, Wanted
from cases.lasts.queries.measuring import sitting_of_foot, values_of
from cases.lasts.queries.shaping import BEARS_NO_PRESSURE, TOE_ALLOWANCE
from cases.lasts.stations import STATIONS
from cases.lasts.target import TargetStation, last_target
from cases.patients.models import Finding, Patient
from shared.calculations import BadInput
from shared.sides import SIDES, Side
from shared.workings import Workings
from workshop.figures.queries import figures
from workshop.figures.settings_table import SETTINGS

SHOWN_A_FOOT = 8


@dataclass(frozen=True)
class RackToRank:
    """The lasts of a rack in order of their numbers, as columns: keys, numbers, and the figures that are ranked."""

    keys: Sequence[int]
    numbers: Sequence[str]
    arrays: RackArrays
    left_out: int = 0
    """How many lasts are not to be used, and so are not among them."""

    def fellow_rows(self, rows: Iterable[int]) -> Mapping[int, int]:
        """For each of these rows that of the other foot under the same number, where there is one."""
        is_left = self.arrays.is_left.tolist()
        by_name = {name: row for row, name in enumerate(zip(self.numbers, is_left, strict=True))}
        found = {row: by_name.get((self.numbers[row], not is_left[row])) for row in rows}
        return {row: fellow for row, fellow in found.items() if fellow is not None}


COLUMNS = ("length_mm", "heel_height_mm", *(station.last_field for station in STATIONS))
_UNKNOWN = -1
_TENTHS = " || ".join(f"int4send(COALESCE(({column} * 10)::integer, {_UNKNOWN}))" for column in COLUMNS)
_STANDING = "(%(whole)s OR owner_id IS NULL OR owner_id = %(owner)s)"
_RACK = f"""
    SELECT COALESCE(string_agg(int8send(id), ''), ''), COALESCE(array_agg(number), '{{}}'),
           COALESCE(string_agg(boolsend(side = 'left'), ''), ''), COALESCE(string_agg({_TENTHS}, ''), ''),
           (SELECT count(*) FROM lasts_last WHERE {_STANDING} AND not_used_because <> '')
      FROM (SELECT * FROM lasts_last WHERE {_STANDING} AND not_used_because = ''
             ORDER BY number, side) AS standing
"""
"""The rack as four long values instead of thousands of rows: the server writes the figures, in tenths, as they lie in an
array."""


def rack_to_rank(*, of: Patient | None = None) -> RackToRank:
    """The whole rack, or with `of` the stock lasts and those of this client; but none that is not to be used. One query."""
    with connection.cursor() as cursor:
        cursor.execute(_RACK, {"whole": of is None, "owner": None if of is None else of.pk})
        keys, numbers, is_left, tenths, left_out = cursor.fetchone()
    whole = np.frombuffer(tenths, dtype=">i4").reshape(len(numbers), len(COLUMNS))
    rows = np.where(whole == _UNKNOWN, np.nan, whole / 10)
    return RackToRank(
        keys=np.frombuffer(keys, dtype=">i8").tolist(),
        numbers=numbers,
        arrays=RackArrays(
            is_left=np.frombuffer(is_left, dtype=np.uint8).astype(np.bool_),
            length_mm=rows[:, 0],
            heel_height_mm=rows[:, 1],
            stations_mm=rows[:, 2:],
        ),
        left_out=left_out,
    )


# What a foot needs -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Fitted:
    """What the last is for: it decides what is added to the foot."""

    footwear_kind: str
    hose: str
    heel_height_mm: Decimal


@dataclass(frozen=True)
class FootNeeds:
    """What one foot asks of a last. `cannot` says why where it cannot be said.

    `measured_before`: when the foot was taken, where the sitting that was asked for did not take it.
    """

    side: Side
    wanted: Wanted | None = None
    length: Workings | None = None
    stations: tuple[TargetStation, ...] = ()
    cannot: str = ""
    measured_before: datetime | None = None


def sitting_to_fit(patient: Patient, uuid: UUID | None) -> tuple[Sequence[MeasureSet], MeasureSet | None]:
    """The client's sittings, the latest first, and the one asked for or the latest. One query."""
    sittings = list(patient.measure_sets.order_by("-taken_at", "-pk"))
    if uuid is None:
        return sittings, sittings[0] if sittings else None
    chosen = next((each for each in sittings if each.uuid == uuid), None)
    if chosen is None:
        raise Http404
    return sittings, chosen


def needs_of(
    sitting: MeasureSet, fitted: Fitted, *, figures_mm: Mapping[str, float], findings: Iterable[Finding]
) -> list[FootNeeds]:
    """What LEFT and RIGHT ask of a last, by the figures of `figures_to_fit`.

    A foot that the sitting did not take asks by the latest before it that did. One query where measures were not
    fetched, three more for such a foot.
    """
    findings = list(findings)
    found = []
    for side in SIDES:
        took_it = sitting_of_foot(sitting, side)
        of_the_foot = [each for each in findings if each.side in {side, None}]
        needs = _needs_of_a_foot(side, values_of(took_it, side), fitted, figures_mm, of_the_foot)
        found.append(needs if took_it == sitting else replace(needs, measured_before=took_it.taken_at))
    return found


def figures_to_fit(fitted: Fitted, *, on: date) -> dict[str, float]:
    """The workshop's figures for targets and ranking, in mm or as their settings say. One query."""
    names = {TOE_ALLOWANCE, *COSTS.values()}
    names |= {station.ease_setting(fitted.footwear_kind) for station in STATIONS} & SETTINGS.keys()
    if fitted.hose != Hose.NONE:
        names.add(f"hose_{fitted.hose}_mm")
    return {name: float(value) for name, value in figures(names, on=on).items()}


def _needs_of_a_foot(
    side: Side,
    values: Mapping[str, Decimal],
    fitted: Fitted,
    figures_mm: Mapping[str, float],
    findings: Sequence[Finding],
) -> FootNeeds:
    if "foot_length" not in values:
        return FootNeeds(side, cannot="The foot length was not taken, so no last can be ranked for this foot.")
    eases = {station.key: station.ease_setting(fitted.footwear_kind) for station in STATIONS}
    reasons = (BEARS_NO_PRESSURE[each.condition] for each in findings if each.condition in BEARS_NO_PRESSURE)
    try:
        length = sizes.last_length(
            foot_length_mm=float(values["foot_length"]), toe_allowance_mm=figures_mm[TOE_ALLOWANCE]
        )
        stations = last_target(
            foot_mm={each.key: float(values[each.measure_key]) for each in STATIONS if each.measure_key in values},
            kind=fitted.footwear_kind,
            ease_mm={key: figures_mm[name] for key, name in eases.items() if name in figures_mm},
            hose_mm=figures_mm.get(f"hose_{fitted.hose}_mm", 0.0),
            never_tighter_because=tuple(reasons),
        )
        wanted = Wanted(
            is_left=side is Side.LEFT,
            length_mm=length.last_length_mm,
            heel_height_mm=float(fitted.heel_height_mm),
            target_mm={station.key: station.target_mm for station in stations},
        )
    except BadInput as error:
        return FootNeeds(side, cannot=f"No last can be ranked for this foot: {error}.")
    return FootNeeds(side, wanted=wanted, length=length.workings, stations=stations)


# The nearest lasts -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Near:
    """A last in its place. `fellow_place` is that of the other foot's last under this number for the other foot."""

    last: Last
    ranked: Ranked
    has_fellow: bool
    fellow_place: int | None
    serves_both: bool
    """Whether both feet have a last of this number among those shown."""


@dataclass(frozen=True)
class NearFoot:
    """One foot with its nearest lasts; `how_many` could become its last."""

    needs: FootNeeds
    lasts: Sequence[Near] = ()
    how_many: int = 0

    @property
    def side(self) -> Side:
        return self.needs.side


def costs_of(figures_mm: Mapping[str, float]) -> Costs:
    """What work counts, from the figures of `figures_to_fit`."""
    return Costs(**{cost: figures_mm[name] for cost, name in COSTS.items()})


def nearest_of(needs: Sequence[FootNeeds], *, rack: RackToRank, costs: Costs) -> list[NearFoot]:
    """The nearest lasts of each foot, LEFT and RIGHT. One query, for the lasts that are shown."""
    rankings = {
        each.side: nearest.rank(each.wanted, rack=rack.arrays, costs=costs) for each in needs if each.wanted is not None
    }
    shown = {
        each.side: nearest.explained(rankings[each.side], each.wanted, rack=rack.arrays, costs=costs, most=SHOWN_A_FOOT)
        for each in needs
        if each.wanted is not None
    }
    rows = [ranked.index for each in shown.values() for ranked in each]
    lasts = Last.objects.select_related("owner").in_bulk([rack.keys[row] for row in rows])
    fellows = rack.fellow_rows(rows)
    feet = []
    for each in needs:
        other = rankings.get(each.side.other)
        near = [
            _near(ranked, lasts[rack.keys[ranked.index]], fellows.get(ranked.index), other)
            for ranked in shown.get(each.side, ())
        ]
        feet.append(NearFoot(each, near, len(rankings[each.side].order) if each.side in rankings else 0))
    return feet


def _near(ranked: Ranked, last: Last, fellow: int | None, other: Ranking | None) -> Near:
    place = None if fellow is None or other is None else other.place_of(fellow)
    return Near(
        last=last,
        ranked=ranked,
        has_fellow=fellow is not None,
        fellow_place=place,
        serves_both=place is not None and place <= SHOWN_A_FOOT,
    )
