"""Standard tapers, slip-gauge sets, angle grades, usual practice: figures with their sources, and look-up.

Every figure stands in a data file beside the source that prints it; the code holds none. Files are read
when first asked for, and only those that the question needs. All results are frozen.
"""

from cardgen.tapers.centre_holes import CentreHoles, centre_holes
from cardgen.tapers.datafile import sourced
from cardgen.tapers.grades import AngleGrade, angle_grade, angle_grades, grade_names
from cardgen.tapers.identify import (
    Family,
    Likeness,
    Nearest,
    by_diameter,
    by_ends,
    by_ratio,
    by_two_diameters,
    nearest,
)
from cardgen.tapers.lookup import all_series, all_tapers, asking, find, index, series_named, suggestions
from cardgen.tapers.materials import Expansion, Practice, Range, expansion, grinding_practice, material_groups
from cardgen.tapers.names import Named, named, size_missing, sized
from cardgen.tapers.printed import Length, Rate
from cardgen.tapers.round_figures import round_figures
from cardgen.tapers.series import WANTED, Conflict, Series, StandardTaper
from cardgen.tapers.slips import SlipSet, slip_set, slip_sets

__all__ = [
    "WANTED",
    "AngleGrade",
    "CentreHoles",
    "Conflict",
    "Expansion",
    "Family",
    "Length",
    "Likeness",
    "Named",
    "Nearest",
    "Practice",
    "Range",
    "Rate",
    "Series",
    "SlipSet",
    "StandardTaper",
    "all_series",
    "all_tapers",
    "angle_grade",
    "angle_grades",
    "asking",
    "by_diameter",
    "by_ends",
    "by_ratio",
    "by_two_diameters",
    "centre_holes",
    "expansion",
    "find",
    "grade_names",
    "grinding_practice",
    "index",
    "material_groups",
    "named",
    "nearest",
    "round_figures",
    "series_named",
    "size_missing",
    "sized",
    "slip_set",
    "slip_sets",
    "sourced",
    "suggestions",
]
