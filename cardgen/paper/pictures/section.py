"""A taper in its gauge, at the finish reading, becomes outlines, cut faces and the planes read between.

True millimetres of the part: x along the axis, to the right as the piece sits in the machine
(headstock left), y down from the axis. The ring, or for a hole the piece, is cut along its axis; the
other is seen whole. What the card does not know (shank, wall, handle) is given a size that suits the
paper and is broken off.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cardgen import terms
from cardgen.card.values import Card

Point = tuple[float, float]
Outline = tuple[Point, ...]

STUB = 6.5  # mm on the paper: what is left of a shank or handle before it is broken off
WALL = 4.5  # mm on the paper: the least wall of a ring, the least step of a shoulder
HANDLE = 0.55  # of a plug's large end, which so shows as a face
MARK = 0.94  # of the radius at which a mark stands: how far in its stroke goes
COLLAR = 1.12  # of the mouth: a face that a rule or slips can reach
LEAST_RADIUS = 0.05  # of the large end's: a gauge never runs out to a point


@dataclass(frozen=True)
class Face:
    """A plane that the reading is taken from or to, and the radius at which its corner stands."""

    x: float
    radius: float


@dataclass(frozen=True)
class Section:
    """Everything that the drawing shows, before scale and dimensions."""

    cut: tuple[Outline, ...]  # faces in section, to be hatched
    edges: tuple[Outline, ...]  # visible edges, open lines
    breaks: tuple[tuple[Point, Point], ...]  # where a body is broken off
    faces: tuple[Face, Face]  # of the reading, the piece's own first
    spot: Point  # where the reading shows best, for a detail
    gauge_line: Face
    ends: tuple[float, float]  # x of the taper's large end (shoulder, mouth) and of its small end
    end_radii: tuple[float, float]
    plane: float | None  # of a plug's depth: x of the plane read from, where it is not the mouth
    left: float
    right: float
    radius: float  # the largest

    @property
    def gap(self) -> float:
        """Distance between the two faces in mm, never negative."""
        return abs(self.faces[1].x - self.faces[0].x)


@dataclass(frozen=True)
class _Lie:
    """Work and gauge on one another, in planes z from the shoulder or the mouth towards the small end."""

    length: float
    large: float  # radii of the taper at its ends
    small: float
    line: float  # z of the gauge's line (a ring's large face), and of its small end
    end: float
    gauge_large: float  # radii of the gauge there
    gauge_small: float
    at_small_end: bool  # of the gauge, the reading is taken


def section(card: Card, scale: float) -> Section:
    """The section of a card's taper; `scale` (paper mm per part mm) sizes what the card does not know."""
    length, line = card.taper.length_mm, card.gauge.stands_from_face_mm
    end = line + card.gauge.length_mm
    lie = _Lie(
        length=length,
        large=_radius(card, 0.0),
        small=_radius(card, length),
        line=line,
        end=end,
        gauge_large=_radius(card, line),
        gauge_small=_radius(card, end),
        at_small_end=terms.reading(card.reading.kind).gauge_end == "small",
    )
    return _in_ring(card, lie, scale) if card.taper.side == "external" else _on_plug(card, lie, scale)


def mirrored(outline: Outline) -> Outline:
    """The same outline below the axis."""
    return tuple((x, -y) for x, y in outline)


def _radius(card: Card, z: float) -> float:
    """Radius of the finished cone, carried on beyond its ends, z from shoulder or mouth (mm)."""
    large = card.taper.large_diameter_mm / 2
    return max(LEAST_RADIUS * large, large - card.taper.ratio / 2 * z)


def _across(x: float, radius: float) -> tuple[Point, Point]:
    """A line square to the axis, from side to side."""
    return (x, -radius), (x, radius)


def _in_ring(card: Card, lie: _Lie, scale: float) -> Section:
    taper = card.taper
    ring = lie.gauge_large + max(0.2 * lie.large, WALL / scale)
    # A ring that reaches past the large end leaves no room for a shoulder there.
    no_shoulder = lie.line < 0 or card.stroke.open_both_ends
    body = 0.85 * lie.large if no_shoulder else lie.large + max(0.14 * lie.large, 0.8 * WALL / scale)
    left = min(lie.line, 0.0) - STUB / scale
    wall: Outline = (
        (lie.line, -lie.gauge_large),
        (lie.line, -ring),
        (lie.end, -ring),
        (lie.end, -lie.gauge_small),
    )
    cut = (wall, mirrored(wall))
    edges = [*_shank(card, lie, left, body), *((*half, half[0]) for half in cut)]
    if lie.end > lie.length:
        edges.append(_across(lie.end, lie.gauge_small))
    if lie.at_small_end:
        faces, at = (Face(lie.length, lie.small), Face(lie.end, ring)), lie.small
    else:
        faces, at = (Face(0.0, body), Face(lie.line, ring)), lie.large
    edges += _marks(card, faces)
    return Section(
        cut=cut,
        edges=tuple(edges),
        breaks=(_across(left, body),),
        faces=faces,
        spot=_between(faces, at),
        gauge_line=Face(taper.gauge_line_from_face_mm, taper.gauge_line_diameter_mm / 2),
        ends=(0.0, lie.length),
        end_radii=(lie.large, lie.small),
        plane=None,
        left=left,
        right=max(lie.length, lie.end),
        radius=max(ring, body),
    )


def _shank(card: Card, lie: _Lie, left: float, body: float) -> list[Outline]:
    """The visible edges of the piece, from what is left of its shank to its small end."""
    relief, neck = card.taper.relief_mm, lie.large
    groove: list[Point] = []
    edges: list[Outline] = []
    if relief > 0:
        side = _radius(card, relief)
        neck = side - min(0.4 * relief, 0.12 * lie.large)  # the card knows a relief's width, not its depth
        groove = [(relief, -neck), (relief, -side)]
        edges.append(_across(relief, side))
    profile: Outline = ((left, -body), (0.0, -body), (0.0, -neck), *groove, (lie.length, -lie.small))
    return [(*profile, *reversed(mirrored(profile))), _across(0.0, neck), *edges]


def _on_plug(card: Card, lie: _Lie, scale: float) -> Section:
    """The hole lies left of its mouth, so a plane z stands at x = −z."""
    taper, line, tip = card.taper, -lie.line, -lie.end
    body = lie.large + max(0.2 * lie.large, WALL / scale)
    # Behind a taper that is open at both ends nothing stands in the wheel's way; else a narrower hole does.
    behind = lie.small if lie.end > lie.length or card.stroke.open_both_ends else 0.85 * lie.small
    back = -max(lie.length, lie.end) - STUB / scale
    wall: Outline = (
        *((back, -body), (0.0, -body), (0.0, -lie.large)),
        *((-lie.length, -lie.small), (-lie.length, -behind), (back, -behind)),
    )
    handle = Face(max(line, 0.0) + STUB / scale, HANDLE * card.gauge.gauge_line_diameter_mm / 2)
    edges: list[Outline] = [wall, mirrored(wall)]
    if terms.reading(card.reading.kind).to_collar:
        collar = Face(line + (card.gauge.face_from_line_mm or 0.0), COLLAR * lie.large)
        edges += _plug(lie, Face(collar.x, handle.radius))
        handle = Face(max(collar.x, 0.0) + STUB / scale, collar.radius)
        edges += [((handle.x, -handle.radius), *_across(collar.x, collar.radius), (handle.x, handle.radius))]
    else:
        collar = Face(line, lie.gauge_large)
        edges += _plug(lie, handle)
    if lie.length > lie.end:
        edges.append(_across(-lie.length, lie.small))
    if line < 0:
        edges.append(_across(0.0, lie.large))
    plane = card.reading.plane_mm or 0.0
    if lie.at_small_end:
        corner = body if plane <= 0 else _radius(card, plane)
        faces, at = (Face(-plane, corner), Face(tip, lie.gauge_small)), lie.gauge_small
    else:
        faces, at = (Face(0.0, body), collar), lie.large
    edges += _marks(card, faces)
    return Section(
        cut=(wall, mirrored(wall)),
        edges=tuple(edges),
        breaks=(
            ((back, -body), (back, -behind)),
            ((back, behind), (back, body)),
            _across(handle.x, handle.radius),
        ),
        faces=faces,
        spot=_between(faces, at),
        gauge_line=Face(-taper.gauge_line_from_face_mm, taper.gauge_line_diameter_mm / 2),
        ends=(0.0, -lie.length),
        end_radii=(lie.large, lie.small),
        plane=-plane if plane else None,
        left=back,
        right=handle.x,
        radius=body,
    )


def _plug(lie: _Lie, handle: Face) -> list[Outline]:
    """The plug's cone, seen whole, and its handle as far as it is drawn."""
    line, tip = -lie.line, -lie.end
    side: Outline = ((tip, -lie.gauge_small), (line, -lie.gauge_large))
    upper: Outline = ((line, -handle.radius), (handle.x, -handle.radius))
    return [(*side, *reversed(mirrored(side)), side[0]), upper, mirrored(upper)]


def _marks(card: Card, faces: tuple[Face, Face]) -> Iterator[Outline]:
    """Least and most marks where they stand on the gauge, beyond the face that is read to.

    Where a mark is level with the piece's own face its reading is shown: on a finished piece it stands off
    that face by what the finish differs from it, to the side on which readings grow.
    """
    marks, (piece, gauge) = card.reading.marks, faces
    if marks is None:
        return
    way = {"large": 1, "small": -1}[terms.reading(card.reading.kind).gauge_end]
    places = [piece.x + way * (card.reading.finish_mm - mark) for mark in (marks.least_mm, marks.most_mm)]
    for side in (-gauge.radius, gauge.radius):
        yield (gauge.x, side), (places[0], side)
        yield from (((x, side), (x, MARK * side)) for x in places)


def _between(faces: tuple[Face, Face], radius: float) -> Point:
    """Midway between the faces, where the gauge or the work comes to an end."""
    return sum(face.x for face in faces) / 2, -radius
