"""What a card's PDF carries besides its pages: its code, all it was made from, and its values.

Specs and values travel as attachments, the code in the document's properties. A seal, the digest of
the file with the seal's own place left zero, tells a file changed by hand from one as it was made,
from the file alone.
"""

import hashlib
import logging
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from io import BytesIO
from types import ModuleType
from typing import Any

from cardgen.bounds import most
from cardgen.shelf.digest import Input, sha256
from cardgen.shelf.made_from import Ingredient, MadeFrom, packed_json, plain_json
from cardgen.shelf.trouble import NotACardError
from cardgen.shelf.wanted import Drawn, Job

MANIFEST = "made-from.json"
VALUES = "values.json"
SEAL = "CardSeal"
EMPTY_SEAL = "0" * 64
SEAL_IN_FILE = re.compile(rb"/CardSeal \(([0-9a-f]{64})\)")
ATTACHED = re.compile(rb"<<\n/EF <<\n/F ([0-9]+) 0 R\n>> /F \(([\w .-]+)\) /Type /Filespec ")
STREAM = re.compile(
    rb"\n([0-9]+) 0 obj\n<< /Filter /FlateDecode /Length ([0-9]+) /Type /EmbeddedFile >>\nstream\n"
)
PAGE_IN_FILE = re.compile(rb"/Type /Page\b")  # as our own files write it
NO_MARKS = {"/Parent", "/Length", "/Filter", "/DecodeParms"}  # where a thing lies and how it is packed
SHORT = 80  # bytes: an input no longer than this is written out in the manifest itself

# pypdf reports what it mends in a damaged file through logging; we say it in our own words. It is imported
# where a paper is opened: most runs open none.
logging.getLogger("pypdf").addHandler(logging.NullHandler())


@dataclass(frozen=True)
class Bound:
    """A sealed PDF's burden, whatever kind of paper it is."""

    manifest: dict[str, Any]
    attachments: dict[str, bytes] = field(repr=False)
    sealed: bool


@dataclass(frozen=True)
class PrintOut:
    """What was so at a moment, which it bears: a list to walk round with, a rehearsal."""

    kind: str
    of: str  # a part, a place, all places
    code: str  # of the card that it was made by, where there is one
    moment: str


def card_pdf(job: Job, drawn: Drawn) -> bytes:
    """The drawn pages of a job → the file to keep: the same input gives the same bytes."""
    attachments = {VALUES: packed_json(job.values)}
    listed = []
    for one in sorted(job.inputs, key=lambda given: given.name):
        entry = {"name": one.name, "sha256": one.sha256}
        if one.attach:
            entry["attached"] = _attachment_name(one, attachments)
            attachments[entry["attached"]] = one.content
        elif len(one.content) <= SHORT:
            entry["text"] = one.content.decode("utf-8", "replace")
        listed.append(entry)
    manifest = {
        "paper": job.kind,
        "part": job.part_id,
        "revision": job.revision,
        "issue": job.issue,
        "code": job.code,
        "fingerprint": job.fingerprint,
        "posted_at": list(job.posted_at),
        "inputs": listed,
        **({"how": dict(job.how)} if job.how else {}),
        **({"cards_say": dict(say)} if (say := job.cards_say()) else {}),
    }
    return bind(drawn, manifest, attachments)


def print_out_pdf(drawn: Drawn, told: PrintOut) -> bytes:
    """The file of a print-out."""
    manifest = {"paper": told.kind, "part": told.of, "revision": "", "code": told.code, "moment": told.moment}
    return bind(drawn, manifest, {})


def read_print_out(content: bytes) -> PrintOut | None:
    """What a print-out says of itself; None for what is none."""
    try:
        told = unbind(content).manifest
        return PrintOut(str(told["paper"]), str(told["part"]), str(told["code"]), str(told["moment"]))
    except (NotACardError, KeyError):
        return None


def sides_of(content: bytes) -> int:
    """How many sides a paper of our own has, from the file alone."""
    return len(PAGE_IN_FILE.findall(content))


def read_card(content: bytes) -> MadeFrom:
    """Read back what `card_pdf` bound; raises NotACardError when that cannot be told."""
    bound = unbind(content)
    try:
        told = bound.manifest
        return MadeFrom(
            kind=str(told["paper"]),
            part_id=str(told["part"]),
            revision=str(told["revision"]),
            issue=int(told.get("issue", 1)),  # papers of the first version bear none
            code=str(told["code"]),
            fingerprint=str(told["fingerprint"]),
            ingredients=tuple(_ingredient(entry, bound.attachments) for entry in told["inputs"]),
            values=dict(plain_json(bound.attachments[VALUES])),
            posted_at=tuple(str(place) for place in told["posted_at"]),
            sealed=bound.sealed,
            how=dict(told.get("how", {})),
            cards_say=dict(told.get("cards_say", {})),
        )
    except (AttributeError, KeyError, TypeError, ValueError, RecursionError) as trouble:
        raise NotACardError("it does not say what it was made from") from trouble


def made_of(job: Job) -> MadeFrom:
    """What `read_card` reads from the file that `card_pdf` makes of a job, without reading it."""
    return MadeFrom(
        kind=job.kind,
        part_id=job.part_id,
        revision=job.revision,
        issue=job.issue,
        code=job.code,
        fingerprint=job.fingerprint,
        ingredients=tuple(remembered(one) for one in sorted(job.inputs, key=lambda given: given.name)),
        values=dict(job.values),
        posted_at=job.posted_at,
        sealed=True,
        how=dict(job.how),
        cards_say=dict(job.cards_say()),
    )


@lru_cache(maxsize=1024)  # what all cards share is remembered once for all
def remembered(one: Input) -> Ingredient:
    """An input as the paper that is made of it remembers it."""
    kept = one.attach or len(one.content) <= SHORT
    return Ingredient(one.name, one.sha256, one.content.decode("utf-8", "replace") if kept else None)


def bind(drawn: Drawn, manifest: Mapping[str, Any], attachments: Mapping[str, bytes]) -> bytes:
    """The drawn paper as a file: manifest and attachments with it, its code in the properties, sealed."""
    told = {
        "CardCode": str(manifest["code"]),
        "CardPart": str(manifest["part"]),
        "CardRevision": str(manifest["revision"]),
        SEAL: EMPTY_SEAL,
    }
    unsealed = drawn.pdf(told, {MANIFEST: packed_json(manifest), **attachments})
    start, end = _seal_place(unsealed)
    return unsealed[:start] + hashlib.sha256(unsealed).hexdigest().encode("ascii") + unsealed[end:]


def unbind(content: bytes) -> Bound:
    """Read back what `bind` put in; raises NotACardError for anything too damaged or of another origin."""
    if not content.startswith(b"%PDF-"):
        raise NotACardError("it is no PDF")
    sealed = is_sealed(content)
    try:
        attachments = (sealed and _as_bound(content)) or _as_pypdf_reads(content)
        manifest = plain_json(attachments[MANIFEST])
    except Exception as trouble:  # a damaged file can break a PDF reader at any place, in any way
        raise NotACardError("it is cut short, damaged, or no card of this program") from trouble
    if not isinstance(manifest, dict):
        raise NotACardError("it does not say what it was made from")
    return Bound(manifest, attachments, sealed)


def _as_bound(content: bytes) -> dict[str, bytes]:
    """The attachments of a file as `bind` made it, quickly: a clone may have thousands; none of any other."""
    found = {}
    for filed in ATTACHED.finditer(content):
        begins = STREAM.search(content, content.find(b"\n%s 0 obj\n" % filed[1]))
        if begins is None or begins[1] != filed[1]:
            return {}
        packed = content[begins.end() : begins.end() + int(begins[2])]
        unpacker = zlib.decompressobj()
        found[filed[2].decode("ascii")] = unpacker.decompress(packed, most("paper.file"))
        if not unpacker.eof:
            return {}
    return found if len(found) == content.count(b"/Type /Filespec") else {}


def _as_pypdf_reads(content: bytes) -> dict[str, bytes]:
    from pypdf import PdfReader

    names = PdfReader(BytesIO(content)).attachments
    return {name: names[name][0] for name in names}


def is_sealed(content: bytes) -> bool:
    """Whether a file is byte for byte as it was made."""
    try:
        start, end = _seal_place(content)
    except NotACardError:
        return False
    empty = content[:start] + EMPTY_SEAL.encode("ascii") + content[end:]
    return hashlib.sha256(empty).hexdigest().encode("ascii") == content[start:end]


def marks(content: bytes) -> str:
    """Digest of all that a PDF's pages print: their operators, their sizes, their type; nothing else of it.

    Raises NotACardError where the file is no PDF that can be read.
    """
    from pypdf import PdfReader, generic

    try:
        return sha256(b"".join(_told(page, {}, generic) for page in PdfReader(BytesIO(content)).pages))
    except Exception as trouble:  # as in `unbind`
        raise NotACardError("its pages cannot be read") from trouble


def _told(thing: Any, known: dict[int, bytes], kinds: ModuleType) -> bytes:
    """An object of a PDF with all that it refers to, streams unpacked: alike wherever it lies in the file."""
    if isinstance(thing, kinds.IndirectObject):
        if thing.idnum not in known:
            known[thing.idnum] = b""  # one that leads back to itself
            known[thing.idnum] = sha256(_told(thing.get_object(), known, kinds)).encode("ascii")
        return known[thing.idnum]
    if isinstance(thing, kinds.DictionaryObject):
        entries = (
            f"{key} ".encode() + _told(thing.raw_get(key), known, kinds)
            for key in sorted(set(thing) - NO_MARKS)
        )
        stream = thing.get_data() if isinstance(thing, kinds.StreamObject) else b""
        return b"<<%s>>%s" % (b" ".join(entries), stream)
    if isinstance(thing, kinds.ArrayObject):
        return b"[%s]" % b" ".join(_told(each, known, kinds) for each in list.__iter__(thing))
    return repr(thing).encode("utf-8")


def bears_our_mark(content: bytes) -> bool:
    """Whether a file is, or once was, a paper of this program."""
    return f"/{SEAL}".encode("ascii") in content


def _seal_place(content: bytes) -> tuple[int, int]:
    # Attachments and pages are compressed, so the last match is the one in the properties.
    places = [found.span(1) for found in SEAL_IN_FILE.finditer(content)]
    if not places:
        raise NotACardError("it bears no seal")
    return places[-1]


def _attachment_name(one: Input, taken: Mapping[str, bytes]) -> str:
    plain = "".join(c if c.isascii() and (c.isalnum() or c in " -_.") else "_" for c in one.name)
    name = f"{plain}.yaml"
    return name if name not in taken else f"{plain}-{sha256(one.name.encode('utf-8'))[:8]}.yaml"


def _ingredient(entry: Mapping[str, Any], attachments: Mapping[str, bytes]) -> Ingredient:
    text = entry.get("text")
    if "attached" in entry:
        text = attachments[entry["attached"]].decode("utf-8", "replace")
    return Ingredient(str(entry["name"]), str(entry["sha256"]), None if text is None else str(text))
