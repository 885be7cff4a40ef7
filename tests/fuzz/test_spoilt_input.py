"""Some hundred spoilt specs, readings, templates, layouts and PDFs; at length: `python -m tests.fuzz`."""

from tests.fuzz.trial import KINDS, Bench

MUTANTS = 400  # some seconds of one core


def test_no_spoilt_input_ends_in_a_fault_a_hang_or_a_wrong_figure() -> None:
    """No exception, no two seconds, no 300 MB; no card for an invalid spec, none that a real piece belies."""
    bench = Bench("CI")
    for number in range(MUTANTS):
        bench.run(number)
    assert bench.found == []
    became = {kind: {told for told in bench.became if told.startswith(f"{kind}:")} for kind in KINDS}
    assert all(len(told) > 1 for told in became.values()), became  # each kind was taken, and was refused
    assert bench.became["spec: card, recomputed"] > MUTANTS / 50
