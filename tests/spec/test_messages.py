"""What a mistake in a spec is told as: place, what is wrong, what would be right, all at once."""

import re
from pathlib import Path

import pytest

from cardgen.spec import sense
from cardgen.spec.told import words
from tests.spec.sketch import SKETCH, altered, messages


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("revision: B", "revison: B", "a.yaml:4:1: 'revison' is not a key; did you mean 'revision'?"),
        ("revision: B\n", "", "a.yaml:1:1: 'revision' is missing; write 'revision: B' (of the"),
        (
            "  length: 62 mm",
            "  lenght: 62 mm",
            "a.yaml:10:3: 'lenght' is not a key in 'taper'; did you mean 'length'?",
        ),
        ("length: 62 mm", "length: 62", "a.yaml:10:11: '62' has no unit, and a length is wanted here"),
        (
            "length: 62 mm",
            "length: 62,5 mm",
            "a.yaml:10:11: '62,5 mm' has a decimal comma; write a point: 62.5 mm",
        ),
        (
            "length: 62 mm",
            "length: 1:8",
            "a.yaml:10:11: '1:8' is a slope (a taper), and a length is wanted here",
        ),
        ("length: 62 mm", "length: -62 mm", "a.yaml:10:11: '-62 mm' must be more than nothing here"),
        (
            "length: 62 mm",
            "length:",
            "a.yaml:10:10: 'length' stands empty in 'taper'; write 'length: 62 mm' (along the axis",
        ),
        ("length: 62 mm", "length: [62 mm]", "a.yaml:10:11: a length is wanted here, not several entries"),
        ("38.000 mm, tol", "38,000 mm, tol", "'000 mm' is not a key: a comma inside { } parts entries"),
        ("relief: 3 mm", "relief: -3 mm", "'-3 mm' must not be negative here"),
        (
            "side: external",
            "side: outside",
            "a.yaml:8:9: 'outside' is not a choice for 'side'; known are 'external' or 'internal'",
        ),
        ("side: external", "side: [external]", "'several entries' is not a choice for 'side'"),
        (
            "callout: 1:8  ",
            "callout: 14 deg  ",
            "'14 deg' does not say which angle it is; write 'included angle 14 deg'",
        ),
        (
            "callout: 1:8  ",
            "callout: Mors 3  ",
            "'Mors 3' is not a standard taper that is known; did you mean 'Morse 3'?",
        ),
        (
            "callout: 1:8  ",
            "callout: 0.6 inn/ft  ",
            "'inn' in '0.6 inn/ft' is not a known unit; did you mean 'in'?",
        ),
        ("callout: 1:8  ", "callout: 3 in 5  ", "'3 in 5' is a length, and a slope (a taper) is wanted here"),
        ("0.35 .. 0.50 mm", "0.50 .. 0.35 mm", "the range '0.50 .. 0.35 mm' is the wrong way round"),
        (
            "tolerance: ± 0.010 mm",
            "tolerance: 0.010 mm",
            "if a tolerance both ways was meant, write ± 0.010 mm",
        ),
        ("lead: 1.5 mm", "lead: 0 mm", "'0 mm' must be more than nothing here"),
        ("spark_out_passes: 3", "spark_out_passes: three", "'three'"),
        (
            "gauge: R-204",
            "gauge: R-240",
            "a.yaml:14:10: there is no gauge with the id 'R-240'; did you mean 'R-204'?",
        ),
        ("machine: CG-2", "machine: CG-9", "there is no machine with the id 'CG-9'; did you mean 'CG-2'?"),
        (
            "machines: [CG-2]",
            "machines: [CG-2, X]",
            "a.yaml:70:18: there is no machine with the id 'X'; known are 'CG-2'",
        ),
        ("kind: gauge", "kind: guage", "'guage' is not a kind of record; did you mean 'gauge'?"),
        (
            "kind: gauge\n",
            "",
            "a.yaml:33:1: the record does not say its kind; by its keys write 'kind: gauge'",
        ),
        (
            "id: R-204\n",
            "",
            "a.yaml:33:1: 'id' is missing; write 'id: R-204' (names the gauge, as it is marked)",
        ),
        ("id: SN-204", "id: SN/204", "the id 'SN/204' has a character that an id cannot have"),
        ("id: SN-204", "id: [SN, 204]", "a.yaml:2:5: a text is wanted here, not several entries"),
        (
            "division: 10 arcmin",
            "division: 1/8 in/ft",
            "'1/8 in/ft' is a slope (a taper), and an angle is wanted",
        ),
        (
            "division: 10 arcmin",
            "division: 10 arcmn",
            "'arcmn' in '10 arcmn' is not a known unit; did you mean 'arcmin'?",
        ),
        (
            "calibration_due: 2027-03-31",
            "calibration_due: 31.3.2027",
            "'31.3.2027' is not a date; write 2027-03-31",
        ),
        ("swivels: true", "swivels: maybe", "'maybe' is neither true nor false; write true or false"),
        ("35 m/s", "35", "'35' has no unit, and a speed is wanted here"),
        ("group: hardened steel", "group: hard steel", "no group of material 'hard steel'"),
        ("AT6", "AT16", "no angle grade AT16"),
        (
            "infeed: {rough: 0.02 mm, finish: 0.005 mm}",
            "infeed: 0.02 mm",
            "'infeed' must be a group of keys; write under it: rough, finish",
        ),
        ("worn: 320 mm", "worn: 420 mm", "the worn wheel is not below the new one"),
        (
            "type: ring ",
            "type: plug ",
            "R-204 is a plug gauge, and an external taper is read with a ring; name a ring gauge",
        ),
        (
            "reading: shoulder_gap",
            "reading: plug_depth",
            "plug_depth is no reading of an external taper; write shoulder_gap or",
        ),
        (
            "finish: 3.0 mm ± 0.2 mm",
            "finish: 0.1 mm ± 0.2 mm",
            "the gap 0.1 mm ± 0.2 mm closes within its tolerance",
        ),
        (
            "leave_for_finishing: 0.08 mm",
            "leave_for_finishing: 0.8 mm",
            "more is left for finishing than the fullest blank has",
        ),
        (
            "setup:\n",
            "setup:\n  wheel_speed: 1700 rpm\n",
            "CG-2 does not run at 1700 rpm; it has [1670, 1910] rpm",
        ),
        ("limit: 10 deg", "limit: 10 mm", "'10 mm' is a length, and an angle is wanted here"),
        ("tapers: [all]", "tapers: [all, Mors]", "'Mors' is not a standard taper that is known"),
        ("wheel_head: {swivels: true, limit: 30 deg}", "wheel_head: {swivels: true}", "must give its limit"),
    ],
)
def test_a_mistake_is_told_at_its_place(tmp_path: Path, old: str, new: str, said: str) -> None:
    """File, line, column, what is wrong, what would be right – in the words of the shop."""
    found = messages(tmp_path, altered(old, new))
    assert any(said in message for message in found), found


def test_all_mistakes_of_a_file_are_told_at_once(tmp_path: Path) -> None:
    """In the order of the file, the first not hiding the rest."""
    text = altered("length: 62 mm", "length: 62").replace("revision: B", "revison: B")
    text = text.replace("clean_up: 0.10 mm", "clean_up: 0,10 mm").replace("g_ratio: 20", "g_ratio: 20 mm")
    found = messages(tmp_path, text)
    assert [message.split(":")[1] for message in found] == ["4", "10", "20", "64"]


def test_a_mistake_in_a_list_is_told_at_its_entry(tmp_path: Path) -> None:
    """The second scale of the machine."""
    found = messages(tmp_path, altered("division: 1/8 in/ft", "division: 3/8 in"))
    assert found[0].startswith("a.yaml:48:41: '3/8 in' is a length, and a slope")


def test_no_message_speaks_of_the_program_s_own_parts(tmp_path: Path) -> None:
    """No word of pydantic, of YAML's inner terms or of Python's types reaches the shop."""
    jargon = ("pydantic", "validation", "input", "NoneType", "str", "dict", "tuple", "extra", "node", "token")
    for old, new in (
        ("taper:", "tapper:"),
        ("finish: 3.0", "finish: [3.0]  #"),
        ("notes: []", "notes: {a: b}"),
    ):
        for message in messages(tmp_path, altered(old, new)):
            assert not any(word in message.split() for word in jargon), message


def test_a_wheel_head_that_does_not_swivel_is_not_set(tmp_path: Path) -> None:
    """Where the part asks for it and the machine lacks it."""
    text = altered("setup:\n", "setup:\n  set_by: wheel head\n").replace("swivels: true", "swivels: no")
    assert any("the wheel head of CG-2 does not swivel" in message for message in messages(tmp_path, text))


def test_a_record_that_is_no_group_of_keys_is_told(tmp_path: Path) -> None:
    """A list or a bare text at the top of a file."""
    said = "a record is a group of keys; start with 'kind: part' and 'id: …'"
    assert messages(tmp_path, "- a\n- b\n") == [f"a.yaml:1:1: {said}"]
    assert messages(tmp_path, "just a text\n") == [f"a.yaml:1:1: {said}"]


def test_a_part_without_a_taper_s_figures_is_told_what_lacks(tmp_path: Path) -> None:
    """No callout, no length, no diameter: three things said."""
    text = altered("  callout: 1:8             #", "  #").replace("  length: 62 mm", "  #")
    found = messages(tmp_path, text.replace("diameter: 38.000 mm, tol", "tol"))
    assert any("nothing fixes the taper" in message for message in found)
    assert any("no diameter of the taper is given" in message for message in found)


def test_a_size_without_any_tolerance_is_told(tmp_path: Path) -> None:
    """Either the gauge line's or the finish reading's must be there."""
    text = altered(", tolerance: ± 0.010 mm", "").replace("3.0 mm ± 0.2 mm", "3.0 mm")
    assert any("nothing says how far the size may be off" in message for message in messages(tmp_path, text))


def test_the_sketch_says_nothing(tmp_path: Path) -> None:
    """The other tests alter a spec in which nothing is wrong."""
    assert messages(tmp_path, SKETCH) == []


def test_what_makes_no_sense_is_told_whole_and_nothing_is_told_in_vain() -> None:
    """Every text on sense is asked for by a rule, and says where, what is wrong and what would be right."""
    told = words("cardgen.spec", "sense.toml")
    rules = Path(sense.__file__).read_text("utf-8")
    assert set(re.findall(r'_mistake\(\s*"([a-z-]+)"', rules)) == set(told)
    for name, each in told.items():
        assert {"wrong", "right"} <= set(each) <= {"at", "wrong", "right", "on_key"}, name
