"""The invented workshop's clients, with what was found on each foot. Nobody here exists."""

from dataclasses import dataclass, field

LEFT, RIGHT = "left", "right"
BOTH = (LEFT, RIGHT)
GENERAL = (None,)


@dataclass(frozen=True)
class Found:
    """One finding, on one foot, on both, or in general. `condition` is a key of the closed list."""

    condition: str
    sides: tuple[str | None, ...]
    place: str = ""
    flexibility: str = ""
    marked: str = ""
    since: str = ""
    note: str = ""


@dataclass(frozen=True)
class Feet:
    """The feet of an invented client: lengths in mm, and by how much each girth lies off the usual, in mm."""

    left_length_mm: float
    right_length_mm: float
    girths_off_left_mm: float = 0
    girths_off_right_mm: float = 0
    ankle_off_left_mm: float = 0
    ankle_off_right_mm: float = 0


@dataclass(frozen=True)
class Client:
    key: str
    given_names: str
    family_name: str
    born: tuple[int, int, int]
    phone: str
    reason: str
    feet: Feet
    findings: tuple[Found, ...] = ()
    diabetes: str = "no"
    hand_function: str = "laces"
    hand_note: str = ""
    communication_needs: str = ""
    allergies: tuple[tuple[str, str], ...] = ()
    screened_elsewhere_by: str = ""
    letters_consent: bool = True
    red_flags: tuple[tuple[str, str | None], ...] = field(default=())


CLIENTS = (
    Client(
        "collapsed-arch",
        "Maren",
        "Fosdyke",
        (1957, 3, 14),
        "01632 960 111",
        "Left arch has given way; the ankle swells by evening. No ready-made boot goes on.",
        Feet(247, 246, girths_off_left_mm=9, ankle_off_left_mm=24),
        (
            Found("pes_planovalgus", (LEFT,), flexibility="flexible", marked="marked", since="about 2022"),
            Found("lateral_ankle_swelling", (LEFT,), marked="marked", note="worse by evening"),
        ),
    ),
    Client(
        "hypermobile",
        "Tilda",
        "Renwick",
        (1994, 11, 2),
        "01632 960 112",
        "Ankles turn several times a week. Wants a boot she can walk a day in, and light.",
        Feet(241, 241),
        (
            Found("hypermobility", GENERAL),
            Found("ankle_instability", BOTH, marked="marked", since="childhood"),
        ),
        hand_function="laces",
    ),
    Client(
        "stiff-big-toe",
        "Gareth",
        "Plumley",
        (1968, 6, 21),
        "01632 960 113",
        "Right big toe joint stiff and painful at push-off.",
        Feet(274, 275, girths_off_right_mm=4),
        (Found("hallux_rigidus", (RIGHT,), marked="severe", note="20° of dorsiflexion, painful at the end of it"),),
    ),
    Client(
        "metatarsalgia",
        "Annis",
        "Harrowgate",
        (1961, 1, 9),
        "01632 960 114",
        "Burning under the balls of both feet after ten minutes.",
        Feet(243, 244),
        (
            Found("metatarsalgia", BOTH, place="metatarsal heads 2 and 3", marked="marked"),
            Found("fat_pad_loss", BOTH, place="forefoot"),
        ),
        allergies=(("material", "chrome-tanned leather"),),
    ),
    Client(
        "haglund",
        "Jory",
        "Pennant",
        (1989, 8, 30),
        "01632 960 115",
        "Bump at the back of the right heel rubs raw in every shoe.",
        Feet(268, 268),
        (Found("haglund", (RIGHT,), place="back of the heel", note="22 × 14 mm, centre 30 mm above the seat"),),
    ),
    Client(
        "hammer-toes",
        "Edda",
        "Winslow",
        (1949, 12, 5),
        "01632 960 116",
        "Corns on top of the toes of both feet.",
        Feet(236, 235),
        (
            Found("hammer_toe", BOTH, place="toes 2 to 4", flexibility="fixed", marked="marked"),
            Found("corn", BOTH, place="toes 2 to 4", note="on top, over the middle joints"),
        ),
        hand_function="strap",
    ),
    Client(
        "healed-ulcer",
        "Rafe",
        "Coldwell",
        (1955, 4, 27),
        "01632 960 117",
        "Healed ulcer under the left big toe joint; cannot feel his feet.",
        Feet(266, 265, girths_off_left_mm=3, girths_off_right_mm=3),
        (
            Found("loss_of_protective_sensation", BOTH, place="forefoot", note="10 g monofilament not felt"),
            Found(
                "healed_ulcer", (LEFT,), place="1st metatarsal head", note="plantar, closed for 7 months when referred"
            ),
        ),
        diabetes="yes",
        screened_elsewhere_by="",
    ),
    Client(
        "charcot",
        "Horace",
        "Binning",
        (1952, 9, 18),
        "01632 960 118",
        "Right midfoot broke down five years ago and has set. Left foot at risk.",
        Feet(271, 259, girths_off_right_mm=22, ankle_off_right_mm=12),
        (
            Found("loss_of_protective_sensation", BOTH, place="whole foot", note="10 g monofilament not felt"),
            Found(
                "charcot_consolidated",
                (RIGHT,),
                place="midfoot, rocker-bottom",
                marked="severe",
                note="declared consolidated by the foot protection clinic, four years ago",
            ),
            Found("body_weight", GENERAL, note="102 kg"),
        ),
        diabetes="yes",
        screened_elsewhere_by="foot protection clinic",
        hand_function="strap",
    ),
    Client(
        "leg-length",
        "Petra",
        "Lindqvale",
        (1979, 2, 11),
        "01632 960 119",
        "Left leg 30 mm shorter since a fracture; wears a full raise already.",
        Feet(252, 254),
        (
            Found(
                "leg_length_true",
                (LEFT,),
                note="30 mm, blocks under the foot until the pelvis stood level",
            ),
        ),
    ),
    Client(
        "foot-drop",
        "Alban",
        "Thorley",
        (1963, 5, 3),
        "01632 960 120",
        "Stroke last year; wears an ankle-foot orthosis on the right.",
        Feet(270, 270, girths_off_right_mm=6),
        (
            Found("stroke", GENERAL, note="right side weak, hand and leg"),
            Found("foot_drop", (RIGHT,)),
            Found("orthosis_worn", (RIGHT,), note="plastic, measured with it on"),
        ),
        hand_function="strap",
        hand_note="left hand only",
        communication_needs="Speech is slow: give time, one question at once.",
    ),
    Client(
        "part-foot",
        "Winifred",
        "Aske",
        (1947, 10, 25),
        "01632 960 121",
        "Front of the left foot amputated; right big toe leans over.",
        Feet(176, 239, girths_off_left_mm=-4, girths_off_right_mm=14),
        (
            Found("partial_foot_amputation", (LEFT,), place="transmetatarsal"),
            Found("hallux_valgus", (RIGHT,), flexibility="fixed", marked="severe"),
        ),
    ),
    Client(
        "rheumatoid",
        "Cecily",
        "Marrable",
        (1953, 7, 16),
        "01632 960 122",
        "Rheumatoid hands and feet; nothing soft enough for the house.",
        Feet(238, 237, girths_off_left_mm=8, girths_off_right_mm=9),
        (
            Found("rheumatoid_arthritis", GENERAL),
            Found("metatarsalgia", BOTH, place="all metatarsal heads", marked="severe"),
            Found("claw_toe", BOTH, place="toes 2 to 5", flexibility="fixed", marked="marked"),
        ),
        hand_function="neither",
        hand_note="husband closes the strap",
    ),
    Client(
        "adaptation",
        "Dunstan",
        "Yelland",
        (1971, 3, 8),
        "01632 960 123",
        "Own walking shoes press on the back of the right heel.",
        Feet(273, 274),
        (Found("haglund", (RIGHT,), place="back of the heel", note="20 × 14 mm, centre 28 mm above the seat"),),
    ),
    Client(
        "repair",
        "Hester",
        "Quillan",
        (1966, 8, 12),
        "01632 960 124",
        "Pair with a 20 mm raise on the right: sole worn through.",
        Feet(249, 249),
        (Found("leg_length_true", (RIGHT,), note="20 mm, blocks under the foot until the pelvis stood level"),),
    ),
    Client(
        "newly-referred",
        "Lorcan",
        "Dewhurst",
        (1985, 12, 19),
        "01632 960 125",
        "Club foot treated as a child; right foot much shorter.",
        Feet(264, 241),
        hand_function="unknown",
        diabetes="unknown",
    ),
    Client(
        "red-flag",
        "Isolde",
        "Farrant",
        (1959, 6, 6),
        "01632 960 126",
        "Diabetes; left foot hot and swollen since the weekend.",
        Feet(251, 250, girths_off_left_mm=12),
        (Found("loss_of_protective_sensation", BOTH),),
        diabetes="yes",
        red_flags=(("hot_swollen_foot", LEFT),),
    ),
)
