"""The whole sheet: nothing clipped, nothing overlapping, everything on it that must be."""

from itertools import combinations
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.edits import mirrored
from fixplan.case.file import snapshot_id
from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.checks.run import check, open_case
from fixplan.sheet.blocks import blocks_named
from fixplan.sheet.pages import PAPERS, Page, compose
from fixplan.sheet.shapes import AnyShape, Polygon, Text
from fixplan.sheet.standing import text_box

SAMPLES = Path(__file__).parents[3] / "sample_cases"
LEAST_MM = 2.6
OVER_MM = 0.25

papers = pytest.mark.parametrize("paper", ["A4", "A3"])


def _texts(pages: tuple[Page, ...]) -> list[str]:
    return [s.text for page in pages for s in page.shapes() if isinstance(s, Text)]


def _joined(pages: tuple[Page, ...]) -> str:
    return " ".join(_texts(pages))


def _bounds(text: Text) -> tuple[float, float, float, float]:
    box = text_box(text)
    return box.x, box.y, box.right, box.bottom


def _overlaps(page: Page) -> list[tuple[str, str]]:
    texts = [s for s in page.shapes() if isinstance(s, Text) and s.text.strip()]
    found = []
    for one, other in combinations(texts, 2):
        a, b = _bounds(one), _bounds(other)
        across = min(a[2], b[2]) - max(a[0], b[0])
        down = min(a[3], b[3]) - max(a[1], b[1])
        if across > OVER_MM and down > OVER_MM:
            found.append((one.text, other.text))
    return found


@papers
def test_no_text_lies_on_another(any_case: Case, findings: tuple[Finding, ...], paper: str) -> None:
    for page in compose(any_case, findings, paper, printed_at="2030-01-02 21:40"):
        assert _overlaps(page) == []


@papers
@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
@pytest.mark.parametrize("is_mirrored", [False, True], ids=["drawn", "mirrored"])
def test_no_text_of_a_sample_case_lies_on_another(
    path: Path, paper: str, is_mirrored: bool
) -> None:
    case = open_case(path).case
    case = mirrored(case) if is_mirrored else case
    width, height = PAPERS[paper]
    for page in compose(case, check(case), paper, printed_at="2030-01-02 21:40"):
        assert _overlaps(page) == []
        for text in (s for s in page.shapes() if isinstance(s, Text)):
            left, top, right, bottom = _bounds(text)
            assert 5 <= left <= right <= width - 5, text.text
            assert 5 <= top <= bottom <= height - 5, text.text


@papers
def test_no_text_leaves_the_page(any_case: Case, findings: tuple[Finding, ...], paper: str) -> None:
    width, height = PAPERS[paper]
    for page in compose(any_case, findings, paper):
        for text in (s for s in page.shapes() if isinstance(s, Text)):
            left, top, right, bottom = _bounds(text)
            assert 5 <= left <= right <= width - 5, text.text
            assert 5 <= top <= bottom <= height - 5, text.text


@papers
def test_no_text_is_too_small_to_read(any_case: Case, paper: str) -> None:
    for page in compose(any_case, (), paper):
        for shape in page.shapes():
            if isinstance(shape, Text) and not _is_sign(shape):
                assert shape.size_mm >= LEAST_MM


def _is_sign(text: Text) -> bool:
    """The sign within a severity mark, whose shape and word say the same."""
    return text.text in ("!", "i", "?")


@papers
def test_text_sizes_are_tenths_of_a_millimetre(any_case: Case, paper: str) -> None:
    sizes = {
        s.size_mm for p in compose(any_case, (), paper) for s in p.shapes() if isinstance(s, Text)
    }
    assert all(abs(10 * size - round(10 * size)) < 1e-9 for size in sizes)


@papers
def test_the_sheet_says_what_it_must(
    any_case: Case, findings: tuple[Finding, ...], paper: str
) -> None:
    pages = compose(any_case, findings, paper, printed_at="2030-01-02 21:40")
    said = _joined(pages)
    for must in (
        any_case.side.upper(),
        "Schematic, do not measure",
        "facing the patient",
        "from the lateral side",
        "patient's label",
        "PINS",
        "BARS",
        "BUILD ORDER",
        "OPEN FINDINGS",
        "ACCEPTED, WITH REASON",
        "no better bone is left",
        "Reopened: accepted at 12, now 8",
        "KIT TO OPEN",
        "PARTS AND TRAYS",
        "ORDER OF THE TRIP",
        "SAFETY PAUSES",
        "COUNTED IN AND OUT",
        "CONTACT AND SIGNATURES",
        "not a medical device",
        snapshot_id(any_case),
        rule_set_version(),
        "2030-01-02 21:40",
        "1 stop and 1 caution open, 1 not assessed",
        "no house values",
        f"1 of {len(pages)}",
    ):
        assert must in said


@papers
def test_every_page_has_its_number_and_title_block(tibia: Case, paper: str) -> None:
    many = tuple(
        Finding(
            rule=f"rule.x.{k}",
            severity="caution",
            subjects=("pin-1",),
            subject="Pin 1",
            message=f"Message {k} that is long enough to take two lines in its column, surely",
        )
        for k in range(60)
    )
    pages = compose(tibia, many, paper)
    assert len(pages) > 1
    for index, page in enumerate(pages):
        texts = [s.text for s in page.groups["title-block"] if isinstance(s, Text)]
        assert f"{index + 1} of {len(pages)}" in texts
        assert "cautions" in page.groups
        assert _overlaps(page) == []
    assert all(f"Message {k} " in _joined(pages) for k in range(60))


@papers
def test_the_wall_side_works_alone(tibia: Case, findings: tuple[Finding, ...], paper: str) -> None:
    wall = compose(tibia, findings, paper)[0]
    assert {
        "table:wall",
        "table:order",
        "table:open",
        "table:kit",
        "patient-field",
        "title-block",
        "cautions",
    } <= set(wall.groups)
    figures = _said(wall.groups["table:wall"])
    for pin in tibia.pins:
        assert str(pin.number) in figures
        assert f"\u00d8{pin.diameter_mm:g}" in figures


def test_a_stop_stands_at_the_step_that_it_bars(tibia: Case, findings: tuple[Finding, ...]) -> None:
    order = _said(compose(tibia, findings, "A3")[0].groups["table:order"])
    drilling = next(k for k, text in enumerate(order) if "drill" in text)
    barred = next(k for k, text in enumerate(order) if text == "Stop at pin 1: settle it first")
    following = next(k for k, text in enumerate(order) if text.startswith("Bar 1 on"))
    assert drilling < barred < following
    accepted = tuple(replace(f, accepted="no other place") for f in findings)
    assert "Stop" not in " ".join(_said(compose(tibia, accepted, "A3")[0].groups["table:order"]))


def test_a_stop_about_the_whole_frame_stands_before_the_first_step(tibia: Case) -> None:
    order = _said(compose(tibia, (_about("stop", "frame"),), "A3")[0].groups["table:order"])
    joined = " ".join(order)
    assert joined.index("Stop at the frame or the limb: settle it first") < joined.index(" 1 ")


@papers
def test_only_chosen_blocks_appear(tibia: Case, findings: tuple[Finding, ...], paper: str) -> None:
    case = replace(tibia, notes="Call the ward first.")
    said = _joined(compose(case, findings, paper, blocks=blocks_named(["bars", "case-notes"])))
    for shown in ("BARS", "CASE NOTES", "Call the ward first.", "OPEN FINDINGS", "ACCEPTED"):
        assert shown in said
    for left_out in (
        "BUILD ORDER",
        "KIT TO OPEN",
        "SAFETY PAUSES",
        "SECTION",
        "TRIP",
        "all lengths",
    ):
        assert left_out not in said


@papers
def test_with_no_block_chosen_the_wall_side_is_all(tibia: Case, paper: str) -> None:
    (page,) = compose(tibia, (), paper, blocks=blocks_named([]))
    assert "table:wall" in page.groups


def test_every_drawn_thing_is_an_owner(any_case: Case) -> None:
    (page, *_) = compose(any_case, (), "A3")
    things = (
        *any_case.fractures,
        *any_case.wounds,
        *any_case.injuries,
        *any_case.candidates,
        *any_case.pins,
        *any_case.bars,
        *any_case.supports,
    )
    for thing in things:
        assert page.groups[thing.id], thing.id
    for bar in any_case.bars:
        assert any(owner.startswith(f"clamp:{bar.id}/") for owner in page.groups)


def test_marks_stand_at_the_pins_themselves(tibia: Case, findings: tuple[Finding, ...]) -> None:
    groups = compose(tibia, findings, "A3")[0].groups
    words = {
        pin: [s.text for s in groups[f"pin-{pin}:label"] if isinstance(s, Text)]
        for pin in (1, 2, 3, 4)
    }
    assert "stop" in words[1]
    assert "caution" in words[2]
    assert "accepted" in words[3]
    assert words[4] == ["4", "4"]


def _about(severity: str, *subjects: str) -> Finding:
    return Finding(
        rule="rule.test", severity=severity, subjects=subjects, subject="Frame", message="found"
    )


def test_what_is_about_the_frame_marks_the_title_not_every_pin(tibia: Case) -> None:
    pins = [pin.id for pin in tibia.pins]
    findings = (_about("caution", *pins), _about("caution", "pin-2", "injury-1"))
    groups = compose(tibia, findings, "A3")[0].groups
    marked = [pin for pin in pins if len(_said(groups[f"{pin}:label"])) > 2]
    assert marked == ["pin-2"]
    assert _said(groups["frame-mark"]) == ["!", "Caution: Frame"]
    assert not compose(tibia, findings[1:], "A3")[0].groups["frame-mark"]


def _said(shapes: tuple[AnyShape, ...]) -> list[str]:
    return [shape.text for shape in shapes if isinstance(shape, Text)]


WIDE = {"hand-metacarpal", "open-book-pelvis"}
"""Parts whose two views fill the page's width before its height, so that the section is beside."""
TALL = [path for path in sorted(SAMPLES.glob("*.json")) if path.stem not in WIDE]


@pytest.mark.parametrize("path", TALL, ids=lambda path: path.stem)
def test_a3_is_filled(path: Path) -> None:
    opened = open_case(path)
    page = compose(opened.case, opened.findings, "A3")[0]
    legend = max(text.at[1] for text in page.groups["legend"] if isinstance(text, Text))
    section = page.section
    assert section is not None
    lowest = section.inner.bottom if section.box.y > legend else legend
    assert lowest > page.height_mm - 60.0
    beside = [frame.box for frame in page.views]
    assert legend - max(box.bottom for box in beside) < 15.0


def test_moving_a_pin_changes_only_what_hangs_on_it(tibia: Case) -> None:
    before = compose(tibia, (), "A3")
    pin = tibia.pins[0]
    moved = replace(tibia, pins=(replace(pin, level_mm=pin.level_mm + 3.0), *tibia.pins[1:]))
    after = compose(moved, (), "A3", views=before[0].views)
    changed = {
        owner for owner, shapes in after[0].groups.items() if shapes != before[0].groups.get(owner)
    }
    hanging = {"pin-1", "pin-1:label", "bar-1", "bar-3"}
    derived = {"dimensions", "table:wall", "table:kit", "title-block"}
    assert {"pin-1", "dimensions", "table:wall"} <= changed
    assert after[1].groups["table:pins"] != before[1].groups["table:pins"]
    cut_there = {"pin-1:section", *(owner for owner in changed if owner.startswith("section"))}
    assert {c for c in changed if not c.startswith("clamp:")} <= hanging | derived | cut_there
    assert after[0].views == before[0].views


def test_a_small_move_does_not_shift_the_drawing(tibia: Case) -> None:
    pin = tibia.pins[1]
    moved = replace(
        tibia, pins=(tibia.pins[0], replace(pin, level_mm=pin.level_mm + 1.0), *tibia.pins[2:])
    )
    assert compose(moved, (), "A3")[0].views == compose(tibia, (), "A3")[0].views


def test_an_empty_case_shows_the_whole_limb() -> None:
    pages = compose(Case(side="left"), (), "A4")
    assert "No pin is drawn." in _texts(pages[:1])
    assert "No stop or caution is open." in _texts(pages[:1])


@pytest.mark.parametrize(
    ("severity", "title"), [("note", "NOTES"), ("not assessed", "NOT ASSESSED")]
)
def test_notes_alone_are_not_headed_as_not_assessed(severity, title) -> None:
    found = Finding(
        rule="rule.x", severity=severity, subjects=("frame",), subject="Frame", message="Words."
    )
    titles = {"NOTES", "NOT ASSESSED"} & set(_texts(compose(Case(side="left"), (found,), "A4")))
    assert titles == {title}


def test_a_pin_in_an_unknown_bone_is_told_not_drawn(tibia: Case) -> None:
    strange = Pin(
        id="pin-8", number=8, bone="humerus", level_mm=100.0, bearing_deg=0.0, diameter_mm=5.0
    )
    pages = compose(replace(tibia, pins=(*tibia.pins, strange)), (), "A4")
    assert "unknown" in _joined(pages)
    assert "pin-8" not in pages[0].groups


def test_a_house_value_is_said(tibia: Case, tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    house = tmp_path / "house.toml"
    house.write_text("[margins.margin_mm]\nleg = 25\n", encoding="utf-8")
    monkeypatch.setenv("FIXPLAN_HOUSE", str(house))
    assert "house values" in _joined(compose(tibia, (), "A4"))
    assert "no house values" not in _joined(compose(tibia, (), "A4"))


def test_the_four_marks_on_the_limb_differ_without_colour(tibia: Case) -> None:
    groups = compose(tibia, (), "A3")[0].groups
    injury = [s for s in groups["injury-1"] if isinstance(s, Polygon)]
    wound = [s for s in groups["wound-1"] if isinstance(s, Polygon)]
    margin, zone = injury[0], injury[1]
    looks = {
        (shape.stroke.dash if shape.stroke else "", shape.fill.hatch if shape.fill else "")
        for shape in (margin, zone, wound[0])
    }
    assert looks == {("dot", ""), ("dash", "right"), ("solid", "cross")}
    assert all(s.owner == "fracture-1" for s in groups["fracture-1"])
