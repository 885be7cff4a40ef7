"""What a card's PDF carries, and how a change by hand shows."""

from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter

from cardgen.shelf import contents
from cardgen.shelf.contents import bears_our_mark, bind, card_pdf, is_sealed, read_card, unbind
from cardgen.shelf.digest import text_input
from cardgen.shelf.trouble import NotACardError
from cardgen.shelf.wanted import Job
from tests.shelf.stub_cardgen import pages

SPEC = "kind: part\nid: SN-204\nname: Шпиндель ⌀ 38\n"
JOB = Job(
    "SN-204",
    "B",
    (
        text_input("part SN-204", SPEC, attach=True),
        text_input("part SN/204", "another name, the same when made plain", attach=True),
        text_input("layout", "panels: [title]\n" * 30),
        text_input("program", "1.2.0"),
    ),
    {"title": {"name": "Шпиндель ⌀ 38"}, "stages": [{"name": "rough", "stock_mm": 0.08}], "batch": None},
    lambda code: pages("a card", ["one", "two"]),
    ("Grinder 2", "Binder"),
)
CARD = card_pdf(JOB, JOB.draw(JOB.code))


def test_a_card_tells_what_it_was_made_from():
    """Part, revision, code, values, places, each input's digest, and whole specs, from the PDF alone."""
    made = read_card(CARD)
    assert (made.kind, made.part_id, made.revision, made.code) == ("card", "SN-204", "B", JOB.code)
    assert (made.fingerprint, made.values) == (JOB.fingerprint, JOB.values)
    assert made.posted_at == ("Grinder 2", "Binder")
    assert made.sealed
    texts = {one.name: one.text for one in made.ingredients}
    assert texts["part SN-204"] == SPEC
    assert texts["part SN/204"].startswith("another name")
    assert texts["program"] == "1.2.0"
    assert texts["layout"] is None


def test_the_code_stands_in_the_documents_properties():
    """Any PDF reader shows it; the pages are untouched."""
    reader = PdfReader(BytesIO(CARD))
    assert reader.metadata["/CardCode"] == JOB.code
    assert reader.metadata.title == "a card"
    assert [page.extract_text() for page in reader.pages] == [
        page.extract_text() for page in PdfReader(BytesIO(JOB.draw(JOB.code).pdf())).pages
    ]


def test_the_specs_are_attachments_that_any_reader_can_save():
    """Among them the part's own spec, byte for byte."""
    attachments = PdfReader(BytesIO(CARD)).attachments
    assert attachments["part SN-204.yaml"] == [SPEC.encode()]
    assert {"made-from.json", "values.json"} < set(attachments)


def test_the_same_job_gives_the_same_bytes():
    """Nothing of the moment or the machine gets in."""
    assert card_pdf(JOB, JOB.draw(JOB.code)) == CARD


def test_any_byte_changed_breaks_the_seal():
    """Every hundredth byte of the file, one bit turned."""
    assert is_sealed(CARD)
    for place in range(0, len(CARD), 100):
        changed = bytearray(CARD)
        changed[place] ^= 1
        assert not is_sealed(bytes(changed)), place


def test_a_card_saved_again_by_another_program_is_no_longer_sealed_but_still_tells():
    """A note put in with a PDF editor: what it was made from is still there, the seal is broken."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(CARD)))
    writer.add_metadata({"/Note": "seen by the inspector"})
    saved = BytesIO()
    writer.write(saved)
    made = read_card(saved.getvalue())
    assert made.code == JOB.code
    assert not made.sealed


def test_a_card_cut_anywhere_is_refused_or_known_as_changed():
    """Never an error of another kind, never taken for whole."""
    for end in [*range(0, len(CARD), 97), *range(len(CARD) - 40, len(CARD))]:
        try:
            made = read_card(CARD[:end])
        except NotACardError:
            continue
        assert not made.sealed, end


@pytest.mark.parametrize("content", [b"", b"plain words", b"%PDF-1.4\n%%EOF", JOB.draw(JOB.code).pdf()])
def test_what_is_no_card_is_refused(content):
    """Nothing, text, an empty PDF, and a PDF of other origin."""
    with pytest.raises(NotACardError):
        read_card(content)
    assert not bears_our_mark(content)


@pytest.mark.parametrize(
    "manifest",
    [{}, {"paper": "card"}, {"paper": 1, "part": [], "inputs": 7}, {"inputs": [{"attached": "gone"}]}],
)
def test_a_manifest_of_another_shape_is_refused(manifest):
    """A card of some other version of this program, say."""
    manifest = {"code": "", "part": "", "revision": "", **manifest}
    with pytest.raises(NotACardError, match="does not say what it was made from"):
        read_card(bind(JOB.draw(JOB.code), manifest, {"values.json": b"{}"}))


@pytest.mark.parametrize("values", [b'{"stock": NaN}', b"[1, 2]", b"{", b"7"])
def test_values_that_no_card_has_are_refused(values):
    """Made by nobody here: no number, no names, not whole."""
    told = {"paper": "card", "part": "P", "revision": "", "code": "P", "fingerprint": "", "posted_at": []}
    with pytest.raises(NotACardError, match="does not say what it was made from"):
        read_card(bind(JOB.draw(JOB.code), {**told, "inputs": []}, {"values.json": values}))
    for inputs in (7, [7], [{"name": "x"}]):
        with pytest.raises(NotACardError, match="does not say what it was made from"):
            read_card(bind(JOB.draw(JOB.code), {**told, "inputs": inputs}, {"values.json": b"{}"}))


def test_a_paper_as_it_was_made_is_read_without_pypdf_and_alike(monkeypatch):
    """From where its attachments were put, and they are those that pypdf finds."""
    found = PdfReader(BytesIO(CARD)).attachments
    monkeypatch.setattr(contents, "_as_pypdf_reads", None)
    assert unbind(CARD).attachments == {name: data for name in found for data in found[name]}


class OfAnotherMake:
    """A paper that another program wrote out."""

    def pdf(self, properties, attachments):
        out = BytesIO()
        PdfWriter(clone_from=BytesIO(JOB.draw(JOB.code).pdf(properties, attachments))).write(out)
        return out.getvalue()


def test_a_sealed_paper_of_another_make_is_read_by_pypdf():
    """Its attachments lie otherwise, and all of them come back."""
    given = {"code": "x", "part": "x", "revision": ""}
    bound = bind(OfAnotherMake(), given, {"a": b"1", "b": b"2"})
    assert contents._as_bound(bound) == {}
    assert (unbind(bound).manifest, unbind(bound).sealed) == (given, True)
    assert {"a": b"1", "b": b"2"}.items() < unbind(bound).attachments.items()


def test_attachments_come_back_byte_for_byte():
    """Also those that look like a seal."""
    payload = b"/CardSeal (" + b"0" * 64 + b")"
    bound = bind(JOB.draw(JOB.code), {"code": "x", "part": "x", "revision": ""}, {"a": payload})
    assert unbind(bound).attachments["a"] == payload
    assert is_sealed(bound)
