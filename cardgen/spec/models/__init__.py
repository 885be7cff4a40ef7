"""The records of a shop, checked and free of units: lengths in mm, angles in radians."""

from cardgen.spec.models.part import PartRecord
from cardgen.spec.models.tooling import GaugeRecord, MachineRecord, WheelRecord
from cardgen.spec.models.toolroom import BookletRecord, ShopRecord

FORMAT = 2  # of the specs: raised where one that was read is refused or comes to mean something else
OF_EVERY_RECORD = ("kind", "format")  # keys that no model holds

Record = PartRecord | GaugeRecord | MachineRecord | WheelRecord | BookletRecord | ShopRecord
KINDS: dict[str, type[Record]] = {
    "part": PartRecord,
    "gauge": GaugeRecord,
    "machine": MachineRecord,
    "wheel": WheelRecord,
    "booklet": BookletRecord,
    "shop": ShopRecord,
}

__all__ = [
    "FORMAT",
    "KINDS",
    "OF_EVERY_RECORD",
    "BookletRecord",
    "GaugeRecord",
    "MachineRecord",
    "PartRecord",
    "Record",
    "ShopRecord",
    "WheelRecord",
]
