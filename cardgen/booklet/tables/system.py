"""The systems of units that tables are made in."""

from typing import Literal

System = Literal["mm", "in"]
