"""ISO 1947: how far the angle of a cone may be out, by grade and cone length."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from cardgen.tapers.datafile import Confidence, Entry, read
from cardgen.tapers.printed import exact


@dataclass(frozen=True)
class AngleGrade:
    """One grade for one range of cone lengths: the full width of the tolerance zone of the included angle."""

    grade: str
    over_mm: float
    to_mm: float
    at_alpha_urad: Fraction
    source: str
    confidence: Confidence

    @property
    def at_alpha_rad(self) -> float:
        return float(self.at_alpha_urad) / 1e6


@cache
def angle_grades() -> tuple[AngleGrade, ...]:
    """The whole table, row by row of cone length, grade by grade."""
    table = Entry(read("angle_grades.yaml"), "angle_grades.yaml")
    names, source, confidence = table.texts("grades"), table.text("source"), table.confidence()
    found = []
    for row in table.entries("rows"):
        over, upto = (float(exact(row.text(key))) for key in ("over_mm", "to_mm"))
        for name, text in zip(names, row.texts("at_alpha_urad"), strict=True):
            found.append(AngleGrade(name, over, upto, exact(text), source, confidence))
        row.end()
    return tuple(found)


def angle_grade(grade: str, length_mm: float) -> AngleGrade:
    """The grade for a cone of this length; LookupError where the standard has no such grade or length."""
    wanted = grade.replace(" ", "").upper()
    of_grade = [entry for entry in angle_grades() if entry.grade == wanted]
    if not of_grade:
        raise LookupError(f"no angle grade {grade}; the grades are {', '.join(grade_names())}")
    for entry in of_grade:
        if entry.over_mm < length_mm <= entry.to_mm:
            return entry
    low, high = of_grade[0].over_mm, of_grade[-1].to_mm
    raise LookupError(
        f"angle grades are given for cones over {low:g} to {high:g} mm long, not for {length_mm:g} mm"
    )


def grade_names() -> tuple[str, ...]:
    """The grades there are, finest first."""
    return tuple(dict.fromkeys(entry.grade for entry in angle_grades()))
