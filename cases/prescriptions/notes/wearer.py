"""Notes on the person: hands, weight of the shoe, allergies, wounds, what is planned after hand-over."""

from collections.abc import Iterator, Sequence

from cases.prescriptions.notes.rule import MEMORY, Question, Rule, rule
from cases.prescriptions.shoe import Shoe
from shared.workings import Status

OFFLOADING = "van Netten JJ et al., J Foot Ankle Res 2018;11:2, recommendation 10"
RISK_TABLE = (
    "International Working Group on the Diabetic Foot, risk table as restated in World J Diabetes 2022;13(1):27-36"
)
LEAFLETS = "hospital-network leaflet 2024: 1 to 2 hours a day in the first week with neuropathy"


@rule(
    "hands-and-laces",
    "weak hands with laces",
    reason="A shoe that its wearer cannot close is not worn.",
)
def hands_and_laces(asked: Question) -> Iterator[str]:
    upper = asked.shoe.upper
    if (
        upper
        and upper.fastening == "laces"
        and asked.wearer.hands in {"strap", "neither"}
        and not asked.wearer.has_help
    ):
        yield "Recorded hands cannot tie laces: strap, elastic, or who closes it?"


@rule(
    "hands-and-straps",
    "hands that can close neither lace nor strap",
    reason="A shoe that its wearer cannot close is not worn.",
)
def hands_and_straps(asked: Question) -> Iterator[str]:
    upper = asked.shoe.upper
    closes = {"strap", "returning strap"}
    if upper and upper.fastening in closes and asked.wearer.hands == "neither" and not asked.wearer.has_help:
        yield "Recorded hands close no strap: elastic, zip, or who closes it?"


@rule(
    "weight-above-limit",
    "weight above the client's limit",
    reason="The client was promised a limit; the estimate is a range until the pair is weighed.",
    source="estimate from the parts; densities typical, from memory",
)
def weight_above_limit(asked: Question) -> Iterator[str]:
    weighed, limit = asked.weighed, asked.wearer.weight_limit_g
    if weighed is None or limit is None:
        return
    about = f"about {_to_ten(weighed.middle_g)} g, {_to_ten(weighed.low_g)}-{_to_ten(weighed.high_g)}"
    if weighed.low_g > limit:
        yield f"The shoe passes the client's limit of {limit:g} g: {about}."
    elif weighed.middle_g > limit:
        yield f"The shoe may pass the client's limit of {limit:g} g: {about}."


@rule(
    "left-heavier-than-right",
    "left and right of different weight",
    reason="A difference in weight is felt with each step.",
    source=MEMORY,
)
def left_heavier_than_right(asked: Question) -> Iterator[str]:
    if asked.weighed is None or asked.fellow_weighed is None:
        return
    more = asked.weighed.middle_g - asked.fellow_weighed.middle_g
    if more > asked.limits.weight_difference_g:
        yield f"About {_to_ten(more)} g heavier than the other shoe. Meant?"


SLOW_WEAR_IN = "loss-of-sensation"
"""Key of the wear-in table for a foot that does not feel."""
NOT_CHROME = ("chrome-free", "chrome free", "vegetable", "wet-white")
FREE_OF = {"chrom": NOT_CHROME, "rubber": ("latex-free",), "latex": ("latex-free",)}
"""Beginnings of a recorded substance, and the words that say that a material holds none of it."""

ALSO_KNOWN_AS = {
    "chrom": ("chrome", "chromium"),
    "rubber": ("rubber", "latex", "neoprene", "microcellular"),
    "adhesive": ("contact cement", "neoprene"),
    "colophony": ("contact cement",),
    "vegetable": ("vegetable-tanned", "vegetable tanned"),
}
"""Beginnings of a recorded substance, and the words under which it stands in a prescription. From memory."""


@rule(
    "material-against-allergy",
    "material or adhesive against a recorded allergy",
    reason="A recorded allergy is answered by another material, or by asking again.",
)
def material_against_allergy(asked: Question) -> Iterator[str]:
    for substance in asked.wearer.allergies:
        known = substance.casefold()
        words = next((words for start, words in ALSO_KNOWN_AS.items() if known.startswith(start)), ()) or (known,)
        without = next((free for start, free in FREE_OF.items() if known.startswith(start)), ())
        hits = [material for material in _materials(asked.shoe) if _holds(material, words, without=without)]
        for material in dict.fromkeys(hits):
            yield f"Allergy to {substance} recorded; {material} is prescribed."
        if known.startswith("chrom"):
            for leather in dict.fromkeys(_leathers_unsaid(asked.shoe)):
                yield f"Allergy to {substance} recorded; {leather}: how is it tanned?"


def _holds(material: str, words: Sequence[str], *, without: Sequence[str]) -> bool:
    said = material.casefold()
    return any(word in said for word in words) and not any(free in said for free in without)


def _materials(shoe: Shoe) -> Iterator[str]:
    adhesives = {"cement": "contact cement", "paste": "water paste"}
    upper, stiffener, puff = shoe.upper, shoe.stiffener, shoe.toe_puff
    insole, sole, heel, prop = shoe.insole, shoe.sole, shoe.heel, shoe.toe_prop
    named = [
        *((upper.leather, upper.vamp_lining, upper.quarter_lining) if upper else ()),
        *((stiffener.material, adhesives.get(stiffener.adhesive, "")) if stiffener else ()),
        *((puff.material, adhesives.get(puff.adhesive, "")) if puff else ()),
        *((insole.leather, insole.sock) if insole else ()),
        *(cushion.material for cushion in shoe.cushions),
        prop.material if prop else "",
        shoe.height_raise.material if shoe.height_raise else "",
        sole.material if sole else "",
        heel.material if heel else "",
    ]
    return (material for material in named if material)


def _leathers_unsaid(shoe: Shoe) -> Iterator[str]:
    """Leathers against the foot whose tanning nobody said."""
    upper, insole = shoe.upper, shoe.insole
    near = [*((upper.vamp_lining, upper.quarter_lining) if upper else ()), insole.sock if insole else ""]
    for leather in near:
        said = leather.casefold()
        is_leather = any(word in said for word in ("leather", "calf", "goat", "kid", "sheep", "pig"))
        if is_leather and not any(free in said for free in NOT_CHROME):
            yield leather


@rule(
    "open-wound",
    "open plantar wound",
    reason="Footwear does not treat an open wound: it is referred and offloaded first.",
    source=OFFLOADING,
    status=Status.PUBLISHED,
)
def open_wound(asked: Question) -> Iterator[str]:
    if any(each.side == asked.side for each in asked.wearer.found("open_wound", side=asked.side)):
        yield "Open wound recorded: footwear does not treat it. Refer."


@rule(
    "review-within-interval",
    "risk 2 or 3 without a review in time",
    reason="At moderate and high risk feet are looked at within the screening interval; footwear review is its own.",
    source=RISK_TABLE,
    status=Status.PUBLISHED,
)
def review_within_interval(asked: Question) -> Iterator[str]:
    wearer = asked.wearer
    if wearer.diabetes != "yes" or (wearer.screening_level or 0) < 2 or wearer.screening_months_max is None:
        return
    if wearer.review_months is None:
        yield f"Risk {wearer.screening_level}: no review is planned (within {wearer.screening_months_max} months)."
    elif wearer.review_months > wearer.screening_months_max:
        planned = f"review planned after {wearer.review_months} months"
        yield f"Risk {wearer.screening_level}: {planned}, within {wearer.screening_months_max} is advised."


@rule(
    "wear-in-too-fast",
    "wear-in too fast for a foot without sensation",
    reason="A foot that does not feel is worn in slowly, and looked at after each wear.",
    source=LEAFLETS,
    status=Status.PUBLISHED,
)
def wear_in_too_fast(asked: Question) -> Iterator[str]:
    planned = asked.wearer.wear_in
    if planned and planned != SLOW_WEAR_IN and asked.has("loss_of_protective_sensation"):
        yield "Loss of protective sensation recorded; the wear-in that is planned is not the slow one."


RULES: tuple[Rule, ...] = (
    open_wound,
    hands_and_laces,
    hands_and_straps,
    weight_above_limit,
    left_heavier_than_right,
    material_against_allergy,
    review_within_interval,
    wear_in_too_fast,
)


def _to_ten(grams: float) -> int:
    return 10 * round(grams / 10)
