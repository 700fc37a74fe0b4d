"""Notes on what is closed in: stiffener, toe puff, insole, shank."""

from collections.abc import Iterator

from cases.prescriptions.cut_away.shell import relief_edge
from cases.prescriptions.notes.rule import CONVENTION, Question, Rule, rule
from shared.sides import Edge

BENT_TOES = ("hammer_toe", "claw_toe", "mallet_toe")
HARD_PUFFS = {"standard": "a standard puff", "steel": "a steel toe cap"}
TOE_BOX = "van Netten JJ et al., J Foot Ankle Res 2018;11:2, Table 3 (toe box without pressure); figures from memory"
HAGLUND = "foot-health institute and lay medical pages agree; no guideline found"
OPINION = "specialist opinion; little is supported by good science"


@rule(
    "stiffener-under-swelling",
    "stiffener beside a swollen ankle",
    reason="A firm edge under a swelling presses it; a short side, or a top edge well under the malleolus, spares it.",
)
def stiffener_under_swelling(asked: Question) -> Iterator[str]:
    stiffener = asked.shoe.stiffener
    if stiffener is None:
        return
    below = {Edge.MEDIAL: stiffener.medial_below_malleolus_mm, Edge.LATERAL: stiffener.lateral_below_malleolus_mm}
    for edge in Edge:
        reaches = stiffener.reach(edge) in {"medium", "long"} and below[edge] is None
        if reaches and asked.has(f"{edge.value}_ankle_swelling"):
            yield f"{edge.value.capitalize()} swelling recorded; the stiffener reaches under it ({stiffener.reach(edge)})."


@rule(
    "bump-without-relief",
    "bump at the back of the heel without relief",
    reason="A firm stiffener over a bump at the back of the heel rubs it.",
    source=HAGLUND,
)
def bump_without_relief(asked: Question) -> Iterator[str]:
    stiffener = asked.shoe.stiffener
    if stiffener is None or {stiffener.medial_reach, stiffener.lateral_reach} == {"none"}:
        return
    for bump in asked.wearer.found("haglund", side=asked.side):
        wanted = next((edge for edge in Edge if edge.value in bump.place), None)
        places = [relief_edge(relief) for relief in asked.shoe.reliefs]
        if None not in places and wanted not in places:
            yield "Bump at the back of the heel recorded; the stiffener has no relief there."


@rule(
    "hard-puff-over-bent-toes",
    "hard puff over hammer or claw toes",
    reason="A hard roof over a raised toe joint presses it with each step.",
    source=TOE_BOX,
)
def hard_puff_over_bent_toes(asked: Question) -> Iterator[str]:
    puff = asked.shoe.toe_puff
    if puff and puff.kind in HARD_PUFFS and asked.has(*BENT_TOES):
        fixed = any(each.flexibility == "fixed" for each in asked.wearer.found(*BENT_TOES, side=asked.side))
        yield f"{HARD_PUFFS[puff.kind].capitalize()} over {'fixed' if fixed else 'bent'} toes. Wall puff, or none?"


@rule(
    "too-little-toe-depth",
    "too little toe depth for bent toes",
    reason="Hammer and claw toes need more room above them than an ordinary last gives.",
    source=TOE_BOX,
)
def too_little_toe_depth(asked: Question) -> Iterator[str]:
    puff, least = asked.shoe.toe_puff, asked.limits.toe_depth_over_deformed_mm
    if puff and puff.toe_depth_mm is not None and puff.toe_depth_mm < least and asked.has(*BENT_TOES):
        yield f"Toe depth +{puff.toe_depth_mm:g} mm over the highest toe; with bent toes +{least:g} mm or more."


@rule(
    "moccasin-with-puff",
    "moccasin with a toe puff",
    reason="A moccasin's plug is sewn in soft: there is nowhere for a puff.",
)
def moccasin_with_puff(asked: Question) -> Iterator[str]:
    puff = asked.shoe.toe_puff
    if asked.shoe.construction == "moccasin" and puff and puff.kind != "none":
        yield f"A moccasin carries no puff; {puff.kind} is prescribed."


@rule(
    "steel-cap",
    "steel toe cap",
    reason="A toe cap fitted by hand is not certified protective footwear.",
    source="Regulation (EU) 2016/425 on personal protective equipment, from memory; local rules decide",
)
def steel_cap(asked: Question) -> Iterator[str]:
    if asked.shoe.toe_puff and asked.shoe.toe_puff.kind == "steel":
        yield "A fitted steel cap is not certified protection: has the client been told?"


@rule(
    "low-cut-gapes",
    "low-cut shoe with short stiffeners",
    reason="With short stiffeners a low topline gapes at the sides.",
)
def low_cut_gapes(asked: Question) -> Iterator[str]:
    stiffener, upper = asked.shoe.stiffener, asked.shoe.upper
    is_low = upper is not None and upper.height in {"low", "court"}
    closed = asked.shoe.construction not in {"moccasin", "sandal"}
    if stiffener and is_low and closed and (stiffener.medial_reach, stiffener.lateral_reach) == ("short", "short"):
        yield "A low shoe with short stiffeners on both sides gapes."


@rule(
    "unstable-with-short",
    "unstable or hypermobile foot with short stiffeners or none",
    reason="A foot that gives way is held by long, firm sides.",
    source=OPINION,
)
def unstable_with_short(asked: Question) -> Iterator[str]:
    stiffener = asked.shoe.stiffener
    if not asked.has("hypermobility", "ankle_instability", "tibialis_posterior_dysfunction"):
        return
    if stiffener is None:
        if asked.shoe.is_built_here:
            yield "The foot is recorded as unstable; no stiffener is prescribed."
        return
    short = [edge.value for edge in Edge if stiffener.reach(edge) in {"short", "none"}]
    if short:
        yield f"The foot is recorded as unstable; the stiffener is short or missing: {' and '.join(short)}."


@rule(
    "heel-out-of-stiffener",
    "in-shoe raise that lifts the heel out of its stiffener",
    reason="What is laid under the heel lifts it out of what holds it.",
    source=CONVENTION,
)
def heel_out_of_stiffener(asked: Question) -> Iterator[str]:
    lift = asked.shoe.height_raise.in_shoe_heel_mm if asked.shoe.height_raise else None
    back = asked.shoe.stiffener.back_height_mm if asked.shoe.stiffener else None
    least = asked.limits.stiffener_left_behind_heel_mm
    if lift and back and back - lift < least:
        left = f"{back - lift:g} mm of stiffener left behind it (advised {least:g})"
        yield f"The heel stands {lift:g} mm up; {left}. Boot, higher back, or raise on the sole?"


@rule(
    "shank-across-bend",
    "shank across the bend line",
    reason="Steel that crosses the bend line breaks, or hurts.",
    source=f"{CONVENTION}; 8 to 18 mm behind the joint from memory",
)
def shank_across_bend(asked: Question) -> Iterator[str]:
    shank, least = asked.shoe.shank, asked.limits.shank_behind_joint_least_mm
    if shank is None or asked.shoe.carbon_zone is not None or shank.front_end_behind_joint_mm >= least:
        return
    ends = shank.front_end_behind_joint_mm
    where = f"{-ends:g} mm ahead of the joint" if ends < 0 else f"{ends:g} mm behind the joint"
    yield f"The shank ends {where}, across the bend of a forepart that bends: it will break or hurt."


@rule(
    "seam-over-no-sensation",
    "raised seams over a foot without protective sensation",
    reason="A foot that does not feel a seam is cut by it.",
    source="van Netten JJ et al., J Foot Ankle Res 2018;11:2; what it says of seams from memory",
)
def seam_over_no_sensation(asked: Question) -> Iterator[str]:
    upper = asked.shoe.upper
    if upper and not upper.seam_free_lining and asked.has("loss_of_protective_sensation"):
        yield "Loss of protective sensation recorded; the lining has seams over the foot."


@rule(
    "forefoot-pain-unrelieved",
    "forefoot pain without cushion, bar, dome or rocker",
    reason="Pain under the metatarsal heads is relieved by cushion, support or rocker; sources conflict on the place.",
    source="Hastings MK et al., Foot Ankle Int 2007;28:84-88 and J Foot Ankle Res 2014;7:18 conflict",
)
def forefoot_pain_unrelieved(asked: Question) -> Iterator[str]:
    shoe = asked.shoe
    relieved = shoe.rocker or shoe.metatarsal_supports or any(each.place != "heel" for each in shoe.cushions)
    if not relieved and asked.has("metatarsalgia"):
        yield "Forefoot pain recorded; no cushion, bar, dome or rocker is prescribed."


RULES: tuple[Rule, ...] = (
    stiffener_under_swelling,
    bump_without_relief,
    hard_puff_over_bent_toes,
    too_little_toe_depth,
    moccasin_with_puff,
    steel_cap,
    low_cut_gapes,
    unstable_with_short,
    heel_out_of_stiffener,
    shank_across_bend,
    seam_over_no_sensation,
    forefoot_pain_unrelieved,
)
