"""What an independent library can tell of a PDF against ISO 19005-1:2005 (PDF/A-1), level B.

pikepdf (qpdf) reads the file. Each function is one clause; it yields what is wrong. Clause numbers
are those of the standard as the published machine-readable rules for it give them. Not judged here:
6.1.6 (hexadecimal strings) and 6.1.8 (spacing of objects), which qpdf reads past; 6.8 is
for level A.
"""

import re
import struct
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from io import BytesIO

import pikepdf

Clause = Callable[[pikepdf.Pdf, bytes], Iterator[str]]
CLAUSES: dict[str, Clause] = {}
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
DC, PDF_NS, XMP = (
    "{http://purl.org/dc/elements/1.1/}",
    "{http://ns.adobe.com/pdf/1.3/}",
    "{http://ns.adobe.com/xap/1.0/}",
)
PDFA_ID, XMP_MM = "{http://www.aiim.org/pdfa/ns/id/}", "{http://ns.adobe.com/xap/1.0/mm/}"
KNOWN_PROPERTIES = {
    DC: {"title", "creator", "description", "subject", "format", "date", "language", "rights"},
    PDF_NS: {"Keywords", "PDFVersion", "Producer"},
    XMP: {"CreateDate", "CreatorTool", "MetadataDate", "ModifyDate", "Identifier", "Nickname"},
    XMP_MM: {"DocumentID", "VersionID", "RenditionClass", "DerivedFrom", "History", "VersionInfo"},
    PDFA_ID: {"part", "conformance", "amd"},
}
"""Of the XMP Specification of January 2004, to which the standard refers, as far as we need it."""
OPERATORS = set(
    """b B b* B* BDC BI BMC BT BX c cm CS cs d d0 d1 Do DP EI EMC ET EX f F f* G g gs h i ID j J K k
    l m M MP n q Q re RG rg ri s S SC sc SCN scn sh T* Tc Td TD Tf Tj TJ TL Tm Tr Ts Tw Tz v w W W*
    y ' \"""".split()  # noqa: SIM905 (a list of its items would be ten times as long)
)
INTENTS = {"/RelativeColorimetric", "/AbsoluteColorimetric", "/Perceptual", "/Saturation"}
ACTIONS = {"/Launch", "/Sound", "/Movie", "/ResetForm", "/ImportData", "/JavaScript"}


def clause(number: str) -> Callable[[Clause], Clause]:
    def entered(found: Clause) -> Clause:
        CLAUSES[number] = found
        return found

    return entered


def problems_of(number: str, content: bytes) -> list[str]:
    """What is wrong by one clause."""
    with pikepdf.open(BytesIO(content)) as pdf:
        return list(CLAUSES[number](pdf, content))


def problems(content: bytes) -> dict[str, list[str]]:
    """What is wrong, by clause."""
    with pikepdf.open(BytesIO(content)) as pdf:
        told = {number: list(check(pdf, content)) for number, check in CLAUSES.items()}
    return {number: words for number, words in told.items() if words}


def dictionaries(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Object]:
    """Every dictionary and stream of the file, those within others too."""
    waiting = list(pdf.objects)
    while waiting:
        one = waiting.pop()
        if isinstance(one, pikepdf.Array):
            waiting += [x for x in one if isinstance(x, pikepdf.Object) and not x.is_indirect]
        elif isinstance(one, pikepdf.Dictionary | pikepdf.Stream):
            yield one
            inner = [one[key] for key in one.keys()]  # noqa: SIM118 (no iterator of keys)
            waiting += [x for x in inner if isinstance(x, pikepdf.Object) and not x.is_indirect]


def streams(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Stream]:
    return (one for one in pdf.objects if isinstance(one, pikepdf.Stream))


def of_type(pdf: pikepdf.Pdf, kind: str) -> Iterator[pikepdf.Object]:
    return (one for one in dictionaries(pdf) if one.get("/Type") == kind)


def instructions(pdf: pikepdf.Pdf) -> Iterator[tuple[str, list[object]]]:
    for page in pdf.pages:
        for one in pikepdf.parse_content_stream(page):
            yield str(one.operator), list(one.operands)


@clause("6.1.2 File header")
def header(_: pikepdf.Pdf, content: bytes) -> Iterator[str]:
    found = re.match(rb"%PDF-1\.[0-4]\r?\n%(.{4})", content, re.DOTALL)
    if found is None:
        yield "no header of version 1.0 to 1.4 at byte 0, followed by a comment"
    elif min(found[1]) <= 127:
        yield "the comment does not begin with four bytes above 127"


@clause("6.1.3 File trailer")
def trailer(pdf: pikepdf.Pdf, content: bytes) -> Iterator[str]:
    if len(pdf.trailer.get("/ID", [])) != 2:
        yield "no ID"
    if "/Encrypt" in pdf.trailer:
        yield "encrypted"
    if not re.search(rb"%%EOF\r?\n?$", content):
        yield "data after the last end of file"


@clause("6.1.4 Cross reference table")
def cross_references(pdf: pikepdf.Pdf, content: bytes) -> Iterator[str]:
    if not re.search(rb"\nxref\r?\n\d+ \d+\r?\n\d{10} ", content):
        yield "no plain table"
    if any(one.get("/Type") in ("/XRef", "/ObjStm") for one in streams(pdf)):
        yield "cross-reference or object streams"


@clause("6.1.7 Stream objects")
def stream_objects(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    yield from pdf.check_pdf_syntax()
    for one in streams(pdf):
        if {"/F", "/FFilter", "/FDecodeParms"} & set(one.keys()):
            yield "a stream in another file"


@clause("6.1.10 Filters")
def filters(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if any("/LZWDecode" in str(one.get("/Filter")) for one in streams(pdf)):
        yield "LZW"


@clause("6.1.11 Embedded files")
def embedded(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if "/EmbeddedFiles" in pdf.Root.get("/Names", {}):
        yield "embedded files are named"
    if any("/EF" in one for one in dictionaries(pdf)):
        yield "a file specification with a file"


@clause("6.1.12 Implementation limits")
def limits(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if len(pdf.objects) > 8_388_607:
        yield "too many objects"
    depth = deepest = 0
    for operator, operands in instructions(pdf):
        depth += {"q": 1, "Q": -1}.get(operator, 0)
        deepest = max(deepest, depth)
        for one in operands:
            if isinstance(one, pikepdf.String) and len(bytes(one)) > 65535:
                yield "a string over 65535 bytes"
            if isinstance(one, pikepdf.Name) and len(str(one)) > 128:
                yield "a name over 127 bytes"
            if not isinstance(one, pikepdf.Object) and abs(float(one)) > 32767:
                yield f"a number of {one}"
    if deepest > 28:
        yield f"graphics states {deepest} deep"


@clause("6.1.13 Optional content")
def optional_content(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if "/OCProperties" in pdf.Root:
        yield "optional content"


@clause("6.2.2 Output intent")
def output_intent(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    found = [one for one in pdf.Root.get("/OutputIntents", []) if one.S == "/GTS_PDFA1"]
    if len(found) != 1:
        yield f"{len(found)} output intents of PDF/A"
        return
    profile = found[0].get("/DestOutputProfile")
    if profile is None:
        yield "no profile"
        return
    icc = profile.read_bytes()
    if struct.unpack(">I", icc[:4])[0] != len(icc) or icc[36:40] != b"acsp":
        yield "the profile is no ICC profile"
    if icc[8] > 2 or icc[12:16] not in (b"mntr", b"prtr"):
        yield "the profile is not one of ICC.1:1998-09 for a monitor or printer"
    if {b"RGB ": 3, b"GRAY": 1, b"CMYK": 4}.get(icc[16:20]) != profile.N:
        yield "N is not the profile's number of colours"


@clause("6.2.3 Colour spaces")
def colour_spaces(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    named = {"/DeviceRGB"}
    for page in pdf.pages:
        spaces = page.Resources.get("/ColorSpace", {})
        for one in pikepdf.parse_content_stream(page):
            operator = str(one.operator)
            if operator in ("k", "K"):
                yield "CMYK under an intent of RGB"
            if operator in ("cs", "CS"):
                name = str(one.operands[0])
                told = spaces.get(name, pikepdf.Name(name))
                last = told[-1] if isinstance(told, pikepdf.Array) else told
                if str(last) not in (*named, "/DeviceGray", "/Pattern"):
                    yield f"the colour space {told}"
    for one in streams(pdf):
        if one.get("/Subtype") == "/Image" and str(one.ColorSpace) not in (*named, "/DeviceGray"):
            yield f"an image in {one.ColorSpace}"


@clause("6.2.4 Images")
def images(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for one in streams(pdf):
        if one.get("/Subtype") == "/Image":
            if {"/Alternates", "/OPI"} & set(one.keys()):
                yield "alternates or OPI"
            if one.get("/Interpolate", False):
                yield "interpolated"
            if str(one.get("/Intent", "/Perceptual")) not in INTENTS:
                yield "an unknown rendering intent"


@clause("6.2.5 Form XObjects")
def forms(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for one in streams(pdf):
        if one.get("/Subtype") == "/PS" or {"/OPI", "/PS", "/Ref", "/Subtype2"} & set(one.keys()):
            yield "OPI, PostScript or a reference (6.2.6, 6.2.7)"


@clause("6.2.8 Extended graphics state")
def graphics_state(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for one in of_type(pdf, "/ExtGState"):
        if "/TR" in one or str(one.get("/TR2", "/Default")) != "/Default":
            yield "a transfer function"
        if str(one.get("/RI", "/Perceptual")) not in INTENTS:
            yield "an unknown rendering intent (6.2.9)"


@clause("6.2.10 Content streams")
def content_streams(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for operator in {name for name, _ in instructions(pdf)} - OPERATORS:
        yield f"the operator {operator}"


@clause("6.3.3 Composite fonts")
def composite_fonts(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for font in of_type(pdf, "/Font"):
        if font.get("/Subtype") == "/Type0" and str(font.Encoding) not in (
            "/Identity-H",
            "/Identity-V",
        ):
            yield "a character map that is not embedded"
        if font.get("/Subtype") == "/CIDFontType2" and "/CIDToGIDMap" not in font:
            yield "no map from characters to glyphs"


@clause("6.3.4 Embedded font programs")
def font_programs(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for font in of_type(pdf, "/Font"):
        if font.get("/Subtype") in ("/Type0", "/Type3"):
            continue
        told = font.get("/FontDescriptor", {})
        if not {"/FontFile", "/FontFile2", "/FontFile3"} & set(told.keys()):
            yield f"{font.BaseFont} is not embedded"


@clause("6.3.5 Font subsets")
def font_subsets(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for font in of_type(pdf, "/Font"):
        told = font.get("/FontDescriptor", {})
        if font.get("/Subtype") == "/CIDFontType2" and "+" in str(told.get("/FontName")):
            if "/CIDSet" not in told:
                yield "no list of the glyphs"
                continue
            bits = "".join(f"{byte:08b}" for byte in told.CIDSet.read_bytes())
            count = glyph_widths(told.FontFile2.read_bytes())
            if bits.rstrip("0") != "1" * len(count):
                yield f"{len(count)} glyphs, of which {bits.count('1')} are listed"


@clause("6.3.6 Font metrics")
def font_metrics(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for font in of_type(pdf, "/Font"):
        if font.get("/Subtype") != "/CIDFontType2":
            continue
        first, widths = font.W[0], [float(one) for one in font.W[1]]
        inner = glyph_widths(font.FontDescriptor.FontFile2.read_bytes())[int(first) :]
        off = [abs(a - b) for a, b in zip(widths, inner, strict=False)]
        if len(widths) != len(inner) or max(off) > 1:
            yield f"{font.BaseFont}: widths differ by up to {max(off):.2f} thousandths"


@clause("6.4 Transparency")
def transparency(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for one in dictionaries(pdf):
        if str(one.get("/SMask", "/None")) != "/None":
            yield "a soft mask"
        if one.get("/S") == "/Transparency":
            yield "a transparency group"
    for one in of_type(pdf, "/ExtGState"):
        if float(one.get("/CA", 1)) != 1 or float(one.get("/ca", 1)) != 1:
            yield "an opacity under 1"
        if str(one.get("/BM", "/Normal")) not in ("/Normal", "/Compatible"):
            yield f"the blend mode {one.BM}"


@clause("6.5 Annotations")
def annotations(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for page in pdf.pages:
        if len(page.get("/Annots", [])):
            yield "annotations, which a sheet has no use for"


@clause("6.6 Actions")
def actions(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for one in dictionaries(pdf):
        if str(one.get("/S")) in ACTIONS or "/JS" in one:
            yield f"the action {one.get('/S')}"
        if "/AA" in one:
            yield "additional actions"
    if "/JavaScript" in pdf.Root.get("/Names", {}):
        yield "named scripts"


@clause("6.7.2 Metadata")
def metadata(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if "/Metadata" not in pdf.Root:
        yield "no XMP"
    elif "/Filter" in pdf.Root.Metadata:
        yield "XMP under a filter"


@clause("6.7.3 Document information dictionary")
def information(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    told, xmp = pdf.trailer.get("/Info", {}), properties(pdf)
    pairs = {
        "/Title": f"{DC}title",
        "/Author": f"{DC}creator",
        "/Creator": f"{XMP}CreatorTool",
        "/Producer": f"{PDF_NS}Producer",
    }
    for key, name in pairs.items():
        if key in told and str(told[key]) != xmp.get(name):
            yield f"{key} is {told[key]!s}, in XMP {xmp.get(name)}"
    for key, name in (("/CreationDate", "CreateDate"), ("/ModDate", "ModifyDate")):
        if key in told and _date(str(told[key])) != _iso(xmp.get(XMP + name, "")):
            yield f"{key} is {told[key]!s}, in XMP {xmp.get(XMP + name)}"


@clause("6.7.5 XMP header")
def packet(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if "/Metadata" in pdf.Root:
        head = pdf.Root.Metadata.read_bytes()[:120]
        if not head.startswith(b"<?xpacket begin=") or re.search(rb"<\?xpacket[^>]*bytes=", head):
            yield "no packet, or one that tells its bytes"


@clause("6.7.9 Known XMP properties")
def known_properties(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    for name in properties(pdf):
        space, _, own = name.partition("}")
        if own not in KNOWN_PROPERTIES.get(f"{space}}}", ()):
            yield f"the property {name} in no schema"


@clause("6.7.11 Version and conformance")
def conformance(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    found = properties(pdf)
    if (found.get(f"{PDFA_ID}part"), found.get(f"{PDFA_ID}conformance")) != ("1", "B"):
        yield "does not say that it is PDF/A-1b"


@clause("6.9 Interactive forms")
def interactive(pdf: pikepdf.Pdf, _: bytes) -> Iterator[str]:
    if "/AcroForm" in pdf.Root:
        yield "a form, which a sheet has no use for"


def properties(pdf: pikepdf.Pdf) -> dict[str, str]:
    """XMP properties by {namespace}name."""
    if "/Metadata" not in pdf.Root:
        return {}
    root = ET.fromstring(pdf.Root.Metadata.read_bytes())
    found: dict[str, str] = {}
    for description in root.iter(f"{RDF}Description"):
        found |= {k: v for k, v in description.attrib.items() if not k.startswith(RDF)}
        found |= {one.tag: "".join(one.itertext()).strip() for one in description}
    return found


def glyph_widths(font: bytes) -> list[float]:
    """Widths of a TrueType program's glyphs in thousandths (head, hhea, maxp, hmtx)."""
    count = struct.unpack(">H", font[4:6])[0]
    tables = {}
    for n in range(count):
        tag, _, offset, length = struct.unpack(">4sIII", font[12 + 16 * n : 28 + 16 * n])
        tables[tag] = font[offset : offset + length]
    per_em = struct.unpack(">H", tables[b"head"][18:20])[0]
    glyphs = struct.unpack(">H", tables[b"maxp"][4:6])[0]
    long = struct.unpack(">H", tables[b"hhea"][34:36])[0]
    own = [struct.unpack(">H", tables[b"hmtx"][4 * n : 4 * n + 2])[0] for n in range(long)]
    own += own[-1:] * (glyphs - long)
    return [1000 * one / per_em for one in own]


def _date(text: str) -> datetime | None:
    found = re.fullmatch(r"D:(\d{14})(Z|[+-]\d\d'\d\d')?", text)
    if found is None:
        return None
    zone = (found[2] or "Z").replace("'", "").replace("Z", "+0000")
    return datetime.strptime(found[1] + zone, "%Y%m%d%H%M%S%z").astimezone(UTC)


def _iso(text: str) -> datetime | None:
    try:
        return datetime.fromisoformat(text).astimezone(UTC)
    except ValueError:
        return None
