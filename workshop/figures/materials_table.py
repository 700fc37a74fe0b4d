"""Typical densities of what shoes are made of, in kg/m³. Weigh your own stock: most are from memory."""

from typing import NamedTuple

from workshop.figures.setting import FROM_MEMORY, PUBLISHED


class MaterialRange(NamedTuple):
    """The range of one material's density, kg/m³."""

    name: str
    kind: str
    low: int
    high: int
    standing: str = FROM_MEMORY
    source: str = ""


MATERIALS: tuple[MaterialRange, ...] = (
    MaterialRange("bovine upper leather, 1.2 to 2.0 mm", "leather", 650, 900),
    MaterialRange("soft upper leather, sheep or kid", "leather", 550, 750),
    MaterialRange("lining leather, calf or goat", "leather", 650, 850),
    MaterialRange("vegetable-tanned belly, for stiffeners and puffs", "leather", 850, 950),
    MaterialRange("vegetable-tanned shoulder, for insoles", "leather", 900, 1000),
    MaterialRange("sole bend", "leather", 1000, 1100),
    MaterialRange("leather board", "leather", 900, 1100),
    MaterialRange("cork sheet", "filler", 150, 250),
    MaterialRange("cork and latex filler, dry", "filler", 350, 500),
    MaterialRange("felt", "filler", 200, 350),
    MaterialRange("EVA foam, soft", "foam", 100, 150),
    MaterialRange("EVA foam, medium", "foam", 150, 250, PUBLISHED, "midsole foams, The Engineering of Sport, 2002"),
    MaterialRange("EVA foam, firm", "foam", 250, 350),
    MaterialRange("open-cell polyurethane cushion", "foam", 200, 320),
    MaterialRange("closed-cell polyethylene foam", "foam", 35, 120),
    MaterialRange("collar foam", "foam", 30, 80),
    MaterialRange("removable inlay, several layers", "foam", 200, 400),
    MaterialRange("microcellular rubber soling", "soling", 400, 700),
    MaterialRange("solid rubber soling", "soling", 1100, 1250),
    MaterialRange("polyurethane soling", "soling", 350, 600),
    MaterialRange("thermoplastic stiffener sheet", "plastic", 950, 1150),
    MaterialRange("thermoplastic polypropylene", "plastic", 900, 910),
    MaterialRange("epoxy resin", "plastic", 1100, 1200),
    MaterialRange("carbon laminate laid by hand, fibre volume 0.40", "plastic", 1350, 1450),
    MaterialRange("steel", "metal", 7800, 7900),
)
