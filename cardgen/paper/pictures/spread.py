"""Labels beside a scale: moved apart as little as it takes, in the order they stand."""

from collections.abc import Sequence


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Centres for labels of the given `sizes` that want to stand at the `wanted` places, none overlapping.

    Labels keep the order of the places they want, stay between `low` and `high`, and move by the
    least sum of squares. Raises ValueError where the sizes together are more than the room.
    """
    if sum(sizes) > high - low + 1e-9:
        raise ValueError(f"labels of {sum(sizes):g} mm do not fit into {high - low:g} mm")
    order = sorted(range(len(wanted)), key=lambda index: wanted[index])
    # With the sizes before a label taken off, 'no overlap' becomes 'not decreasing': neighbours
    # that want to cross are pooled at their mean.
    before = 0.0
    pools: list[tuple[float, list[int]]] = []
    offsets: dict[int, float] = {}
    for index in order:
        offsets[index] = before + sizes[index] / 2
        before += sizes[index]
        mean, members = wanted[index] - offsets[index], [index]
        while pools and pools[-1][0] > mean:
            other, others = pools.pop()
            mean = (mean * len(members) + other * len(others)) / (len(members) + len(others))
            members = others + members
        pools.append((mean, members))
    last = high - before
    centres = [0.0] * len(wanted)
    for mean, members in pools:
        for index in members:
            centres[index] = min(max(mean, low), last) + offsets[index]
    return centres
