"""The records of a shop, checked and free of units: lengths in mm, angles in radians."""

from cardgen.spec.models.booklet import Booklet
from cardgen.spec.models.part import Part
from cardgen.spec.models.shop import Shop
from cardgen.spec.models.tooling import Gauge, Machine, Wheel

FORMAT = 2  # of the specs: raised where one that was read is refused or comes to mean something else
OF_EVERY_RECORD = ("kind", "format")  # keys that no model holds

KINDS: dict[str, type[Part | Gauge | Machine | Wheel | Booklet | Shop]] = {
    "part": Part,
    "gauge": Gauge,
    "machine": Machine,
    "wheel": Wheel,
    "booklet": Booklet,
    "shop": Shop,
}

__all__ = ["FORMAT", "KINDS", "OF_EVERY_RECORD", "Booklet", "Gauge", "Machine", "Part", "Shop", "Wheel"]
