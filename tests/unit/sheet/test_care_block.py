"""Dead space, debridement and cover on the sheet and in the notes."""

from msgspec.structs import replace

from fixplan.case.dead_space_records import Cover, DeadSpace, DrugInCement
from fixplan.case.debridement_records import Debridement, MuscleSigns
from fixplan.case.records import Case
from fixplan.notes.plain import as_text
from fixplan.notes.section import Told
from fixplan.sheet.care_block import care_blocks
from fixplan.sheet.pages import compose
from fixplan.sheet.shapes import Text

SPACE = DeadSpace(
    id="dead-space-1",
    device="beads",
    carrier="bone cement",
    volume_ml=60,
    drugs=(
        DrugInCement(drug="vancomycin", amount=2, form="powder"),
        DrugInCement(drug="gentamicin", amount=500, unit="mg", preloaded=True),
    ),
)


def cared(case: Case) -> Case:
    signs = MuscleSigns(compartment="leg-anterior", bleeding="dead")
    return replace(
        case,
        dead_spaces=(SPACE,),
        debridements=(Debridement(id="debridement-1", muscles=(signs,), irrigation_l=9),),
        cover=(Cover(id="cover-1", kind="vacuum", vacuum_over="straight over beads"),),
    )


def sheet_text(case: Case) -> str:
    return " ".join(
        shape.text
        for page in compose(case, (), "A4")
        for shapes in page.groups.values()
        for shape in shapes
        if isinstance(shape, Text)
    )


def test_sheet_and_notes_hold_the_count_of_beads_and_both_bases(tibia: Case) -> None:
    for text in (
        sheet_text(cared(tibia)),
        " ".join(as_text(Told(case=cared(tibia), findings=())).split()),
    ):
        for must in (
            "DEAD SPACE, DEBRIDEMENT AND COVER",
            "Beads in: ______ out: ______",
            "129 beads of 8 mm",
            "6.2 % of powder",
            "% of mix",
            "2 g mixed",
            "(0.5 g as bought)",
            "not a prescription",
            "Muscle dead: anterior (leg)",
            "Caution: vacuum straight over beads",
        ):
            assert must in " ".join(text.split())


def test_a_count_that_was_made_is_printed(tibia: Case) -> None:
    counted = replace(tibia, dead_spaces=(replace(SPACE, beads_in=22, beads_out=22),))
    assert "Beads in: 22 out: 22" in " ".join(sheet_text(counted).split())


def test_a_case_without_any_of_it_has_no_block(tibia: Case) -> None:
    assert "DEAD SPACE" not in sheet_text(tibia)
    assert "DEAD SPACE" not in as_text(Told(case=tibia, findings=()))


def test_the_head_of_a_record_stands_with_its_first_line() -> None:
    lines = ("Dead space: beads", "  97 beads", "  Out", "Cover: flap", "Caution: look")
    (block,) = care_blocks(lines, 80.0, 2.6)
    told = [" | ".join(words.text for words in row.words) for row in block.rows]
    assert told == ["Dead space: beads | 97 beads", "Out", "Cover: flap", "Caution: look"]
    assert block.rows[0].words[1].dy > block.rows[0].words[0].dy
    assert block.rows[0].height_mm > block.rows[1].height_mm
