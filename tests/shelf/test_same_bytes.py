"""The same input gives the same bytes, on any machine."""

import pytest

ELSEWHERE = {
    "TZ": "Pacific/Kiritimati",
    "LC_ALL": "tr_TR.UTF-8",
    "LANG": "tr_TR.UTF-8",
    "PYTHONHASHSEED": "4242",
    "USER": "somebody-else",
    "SOURCE_DATE_EPOCH": "1",
}


@pytest.mark.parametrize(
    "changes", [ELSEWHERE, {"LC_ALL": "C", "TZ": "America/St_Johns", "PYTHONHASHSEED": "0"}]
)
def test_two_machines_make_the_same_files(new_trial, with_cards, changes):
    """Another folder, time zone, locale and hash seed than here; cards, a notice and the page alike."""
    here, there = with_cards(new_trial("here")), with_cards(new_trial("there, far away"))
    for path in there.out.glob("*.pdf"):
        if path.name != "SN-204.pdf":  # which leaves its notice
            path.unlink()
    for trial, how in ((here, {}), (there, {"env": changes})):
        trial.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
        lines = trial.make(**how)
    assert sum(line.startswith(("made", "remade")) for line in lines) == 3, "every card was drawn there"
    assert here.files() == there.files()
    assert any(name.startswith("notices/") for name in here.files())
