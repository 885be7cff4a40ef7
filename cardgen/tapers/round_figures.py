"""The round figures that tables are made for, by name and system of units."""

from functools import cache

from cardgen.tapers.datafile import DataFileError, read
from cardgen.terms import System


@cache
def round_figures(name: str, system: System) -> tuple[float, ...]:
    """The figures of this name in a system, in the order of their file, in the system's own unit."""
    of_name = read("round_figures.yaml").get(name)
    if not isinstance(of_name, dict) or not isinstance(of_name.get(system), str):
        raise DataFileError(f"round_figures.yaml: no figures of {name!r} for {system}")
    return tuple(float(word) for word in of_name[system].split())
