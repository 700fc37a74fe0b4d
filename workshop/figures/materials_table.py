"""What shoes are made of: typical densities in kg/m³ and moduli in MPa. Weigh your own stock: most are from memory.

Leather doubles its modulus with drying and halves it with wet: only a bend test on the shoe counts.
"""

from typing import NamedTuple

from workshop.figures.setting import FROM_MEMORY, PUBLISHED


class MaterialRange(NamedTuple):
    """The ranges of one material: density in kg/m³, modulus in bending in MPa (None: not known)."""

    name: str
    kind: str
    low: int
    high: int
    modulus_low: float | None = None
    modulus_high: float | None = None
    standing: str = FROM_MEMORY
    source: str = ""


MATERIALS: tuple[MaterialRange, ...] = (
    MaterialRange("bovine upper leather, 1.2 to 2.0 mm", "leather", 650, 900, 10, 40),
    MaterialRange("soft upper leather, sheep or kid", "leather", 550, 750, 5, 20),
    MaterialRange("lining leather, calf or goat", "leather", 650, 850, 5, 30),
    MaterialRange("vegetable-tanned belly, for stiffeners and puffs", "leather", 850, 950, 15, 60),
    MaterialRange("vegetable-tanned shoulder, for insoles", "leather", 900, 1000, 20, 80),
    MaterialRange("sole bend", "leather", 1000, 1100, 50, 200),
    MaterialRange("leather board", "leather", 900, 1100, 50, 300),
    MaterialRange("cork sheet", "filler", 150, 250, 5, 20),
    MaterialRange("cork and latex filler, dry", "filler", 350, 500, 1, 5),
    MaterialRange("felt", "filler", 200, 350, 0.5, 3),
    MaterialRange("EVA foam, soft", "foam", 100, 150, 0.5, 1.5),
    MaterialRange(
        "EVA foam, medium",
        "foam",
        150,
        250,
        1,
        4,
        PUBLISHED,
        "density: midsole foams, The Engineering of Sport, 2002; modulus from memory",
    ),
    MaterialRange("EVA foam, firm", "foam", 250, 350, 3, 8),
    MaterialRange("open-cell polyurethane cushion", "foam", 200, 320, 0.2, 1),
    MaterialRange("closed-cell polyethylene foam", "foam", 35, 120, 0.3, 2),
    MaterialRange("collar foam", "foam", 30, 80, 0.05, 0.2),
    MaterialRange("removable inlay, several layers", "foam", 200, 400, 0.5, 3),
    MaterialRange("microcellular rubber soling", "soling", 400, 700, 1.5, 5),
    MaterialRange("solid rubber soling", "soling", 1100, 1250, 3, 10),
    MaterialRange("polyurethane soling", "soling", 350, 600, 2, 8),
    MaterialRange("thermoplastic stiffener sheet", "plastic", 950, 1150, 500, 1500),
    MaterialRange("thermoplastic polypropylene", "plastic", 900, 910, 1000, 1600),
    MaterialRange("epoxy resin", "plastic", 1100, 1200, 2500, 3500),
    MaterialRange("carbon laminate laid by hand, fibre volume 0.40", "plastic", 1350, 1450, 30_000, 50_000),
    MaterialRange("steel", "metal", 7800, 7900, 200_000, 210_000),
)
