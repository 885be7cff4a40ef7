"""A taper in its gauge, at the finish reading, becomes outlines, cut faces and the planes read between.

True millimetres of the part: x along the axis, to the right as the piece sits in the machine
(headstock left), y down from the axis. The ring, or for a hole the piece, is cut along its axis; the
other is seen whole. What the card does not know (shank, wall, handle) is given a size that suits the
paper and is broken off.
"""

from dataclasses import dataclass

from cardgen import terms
from cardgen.card.values import Card

Point = tuple[float, float]
Outline = tuple[Point, ...]

STUB = 6.5  # mm on the paper: what is left of a shank or handle before it is broken off
WALL = 4.5  # mm on the paper: the least wall of a ring, the least step of a shoulder
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
    relief: tuple[float, float] | None  # x of the groove's sides, the taper's side last
    plane: float | None  # of a plug's depth: x of the plane read from, where it is not the mouth
    left: float
    right: float
    radius: float  # the largest

    @property
    def gap(self) -> float:
        """Distance between the two faces in mm, never negative."""
        return abs(self.faces[1].x - self.faces[0].x)


def section(card: Card, scale: float) -> Section:
    """The section of a card's taper; `scale` (paper mm per part mm) sizes what the card does not know."""
    return _in_ring(card, scale) if card.taper.side == "external" else _on_plug(card, scale)


def mirrored(outline: Outline) -> Outline:
    """The same outline below the axis."""
    return tuple((x, -y) for x, y in outline)


def _radius(card: Card, z: float) -> float:
    """Radius of the finished cone, carried on beyond its ends, z from shoulder or mouth (mm)."""
    large = card.taper.large_diameter_mm / 2
    return max(LEAST_RADIUS * large, large - card.taper.ratio / 2 * z)


def _groove_depth(relief: float, radius: float) -> float:
    """The card knows a relief's width, not its depth."""
    return min(0.4 * relief, 0.12 * radius)


def _in_ring(card: Card, scale: float) -> Section:
    taper, length = card.taper, card.taper.length_mm
    large, small = _radius(card, 0), _radius(card, length)
    start = ring_start(card)
    end = start + card.gauge.length_mm
    ring_bore = (_radius(card, start), _radius(card, end))
    ring = ring_bore[0] + max(0.2 * large, WALL / scale)
    # A ring that reaches past the large end leaves no room for a shoulder there.
    no_shoulder = start < 0 or card.stroke.open_both_ends
    body = 0.85 * large if no_shoulder else large + max(0.14 * large, 0.8 * WALL / scale)
    stub = STUB / scale - min(start, 0.0)

    profile: list[Point] = [(-stub, -body), (0.0, -body)]
    neck = large
    if taper.relief_mm > 0:
        shoulder_side = _radius(card, taper.relief_mm)
        neck = shoulder_side - _groove_depth(taper.relief_mm, large)
        profile += [(0.0, -neck), (taper.relief_mm, -neck), (taper.relief_mm, -shoulder_side)]
    else:
        profile.append((0.0, -large))
    profile.append((length, -small))
    edges: list[Outline] = [(*profile, *reversed(mirrored(tuple(profile)))), ((0.0, -neck), (0.0, neck))]
    if taper.relief_mm > 0:
        edges.append(((taper.relief_mm, -shoulder_side), (taper.relief_mm, shoulder_side)))
    if end > length:
        edges.append(((end, -ring_bore[1]), (end, ring_bore[1])))
    wall: Outline = ((start, -ring_bore[0]), (start, -ring), (end, -ring), (end, -ring_bore[1]))
    cut = (wall, mirrored(wall))
    edges += [(*half, half[0]) for half in cut]

    if terms.reading(card.reading.kind).gauge_end == "small":
        faces, spot = (Face(length, small), Face(end, ring)), (length, -small)
    else:
        faces, spot = (Face(0.0, body), Face(start, ring)), (0.0, -large)
    return Section(
        cut=cut,
        edges=tuple(edges),
        breaks=(((-stub, -body), (-stub, body)),),
        faces=faces,
        spot=(sum(face.x for face in faces) / 2, spot[1]),
        gauge_line=Face(taper.gauge_line_from_face_mm, taper.gauge_line_diameter_mm / 2),
        ends=(0.0, length),
        end_radii=(large, small),
        relief=(0.0, taper.relief_mm) if taper.relief_mm > 0 else None,
        plane=None,
        left=-stub,
        right=max(length, end),
        radius=max(ring, body),
    )


def ring_start(card: Card) -> float:
    """Where the ring's large face stands on a finished piece, in mm from the shoulder.

    The gap itself, or the length less the ring and the standout.
    """
    if terms.reading(card.reading.kind).gauge_end == "small":
        return card.taper.length_mm - card.gauge.length_mm - card.reading.finish_mm
    return card.reading.finish_mm


def plug_standoff(card: Card) -> float:
    """How far the plug's gauge line stands off the mouth of a finished hole, in mm.

    The reading itself, or for a depth the plug's length less what of it is inside.
    """
    if terms.reading(card.reading.kind).gauge_end == "large":
        return card.reading.finish_mm
    return card.gauge.length_mm - plug_plane(card) - card.reading.finish_mm


def plug_plane(card: Card) -> float:
    """The plane that a plug's depth is read from, in mm from the mouth inwards; 0 at the mouth itself."""
    return card.reading.plane_mm or 0.0


def _on_plug(card: Card, scale: float) -> Section:
    taper, length, relief = card.taper, card.taper.length_mm, card.taper.relief_mm
    standoff = plug_standoff(card)
    tip = card.gauge.length_mm - standoff
    mouth, small, tip_radius = _radius(card, 0), _radius(card, length), _radius(card, tip)
    body = mouth + max(0.2 * mouth, WALL / scale)
    # Behind a taper that is open at both ends nothing stands in the wheel's way; else a narrower hole does.
    clearance = small if tip > length or card.stroke.open_both_ends else 0.85 * small
    back = max(length + relief, tip) + STUB / scale
    groove = small + _groove_depth(relief, small)

    hole: list[Point] = [(0.0, -mouth), (-length, -small)]
    if relief > 0:
        hole += [(-length, -groove), (-length - relief, -groove)]
    hole += [(-length - relief, -clearance), (-back, -clearance)]
    wall: Outline = ((-back, -body), (0.0, -body), *hole)
    edges: list[Outline] = [wall, mirrored(wall)]
    shown = [(length, groove if relief > 0 else small)] + ([(length + relief, groove)] if relief > 0 else [])
    edges += [((-z, -radius), (-z, radius)) for z, radius in shown if z > tip]
    edges += _plug_edges(card, standoff, tip, scale)
    if standoff < 0:
        edges.append(((0.0, -mouth), (0.0, mouth)))

    plane = plug_plane(card)
    if terms.reading(card.reading.kind).gauge_end == "large":
        faces, spot = (Face(0.0, body), Face(standoff, _radius(card, -standoff))), (0.0, -mouth)
    else:
        corner = body if plane <= 0 else _radius(card, plane)
        faces, spot = (Face(-plane, corner), Face(-tip, tip_radius)), (0.0, -tip_radius)
    handle_end = max(standoff, 0.0) + STUB / scale
    handle = handle_radius(card)
    return Section(
        cut=(wall, mirrored(wall)),
        edges=tuple(edges),
        breaks=(
            ((-back, -body), (-back, -clearance)),
            ((-back, clearance), (-back, body)),
            ((handle_end, -handle), (handle_end, handle)),
        ),
        faces=faces,
        spot=(sum(face.x for face in faces) / 2, spot[1]),
        gauge_line=Face(-taper.gauge_line_from_face_mm, taper.gauge_line_diameter_mm / 2),
        ends=(0.0, -length),
        end_radii=(mouth, small),
        relief=(-length - relief, -length) if relief > 0 else None,
        plane=-plane if plane else None,
        left=-back,
        right=handle_end,
        radius=body,
    )


def handle_radius(card: Card) -> float:
    """The plug's handle: slimmer than its large end, which so shows as a face."""
    return 0.55 * card.gauge.gauge_line_diameter_mm / 2


def _plug_edges(card: Card, standoff: float, tip: float, scale: float) -> list[Outline]:
    large, small, handle = _radius(card, -standoff), _radius(card, tip), handle_radius(card)
    cone: Outline = ((-tip, -small), (standoff, -large), (standoff, large), (-tip, small), (-tip, -small))
    end = max(standoff, 0.0) + STUB / scale
    upper: Outline = ((standoff, -handle), (end, -handle))
    return [cone, upper, mirrored(upper)]
