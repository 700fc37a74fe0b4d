"""The invented workshop's people. Nobody here exists."""

from dataclasses import dataclass


@dataclass(frozen=True)
class StaffMember:
    """Someone of the invented workshop, with the sign-in that is printed at the start."""

    login: str
    name: str
    initials: str
    roles: tuple[str, ...]
    may_prescribe: bool = False
    pin: str = ""

    @property
    def password(self) -> str:
        return f"{self.login}-at-the-bench"


STAFF = (
    StaffMember("nell", "Nell Ashdown", "NA", ("reception",)),
    StaffMember("iris", "Iris Calloway", "IC", ("clinician",), may_prescribe=True),
    StaffMember("tomas", "Tomas Verrin", "TV", ("clinician", "manager"), may_prescribe=True),
    StaffMember("bram", "Bram Oxley", "BO", ("maker",), pin="2468"),
    StaffMember("sunniva", "Sunniva Pell", "SP", ("maker",), pin="1357"),
    StaffMember("odile", "Odile Marsh", "OM", ("manager", "administrator")),
    StaffMember("edwin", "Edwin Thrale", "ET", ("administrator",)),
    StaffMember(
        "wren",
        "Wren Hollis",
        "WH",
        ("reception", "clinician", "maker", "manager"),
        may_prescribe=True,
        pin="9753",
    ),
)

SHOWN_AT_THE_START = ("nell", "iris", "bram", "odile", "edwin", "wren")
"""One sign-in per role, and one person who holds them all, as in a two-person workshop."""
