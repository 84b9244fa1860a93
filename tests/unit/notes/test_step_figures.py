"""The figures of what a step puts on: the words that are read out at the table."""

from pathlib import Path

from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.limb.words import entry_words, level_words
from fixplan.notes.step_figures import bar_line, figure_lines, pin_line
from fixplan.notes.steps import steps_of
from fixplan.sheet.tables import bar_cells

SAMPLES = Path(__file__).parents[3] / "sample_cases"


def test_a_pin_has_its_number_diameter_level_side_and_length(tibia: Case) -> None:
    pin = replace(tibia.pins[0], tilt_deg=0.0, diameter_mm=4.5, length_mm=400.0)
    limb = limb_of_case(tibia)
    assert pin_line(tibia, pin).split(" \u00b7 ") == [
        f"Pin {pin.number}, tibia: \u00d8 4.5 mm",
        level_words(limb, "leg", pin.level_mm),
        entry_words(limb, pin.bone, pin.bearing_deg),
        "length 400 mm",
    ]


def test_a_slanting_pin_has_its_level_at_the_skin_and_its_tilt(tibia: Case) -> None:
    words = pin_line(tibia, replace(tibia.pins[0], tilt_deg=12.0))
    assert ", at the skin " in words
    assert "outer end 12\u00b0 proximal" in words


def test_a_pin_too_short_tells_what_it_needs(tibia: Case) -> None:
    assert "length 20 mm, needs " in pin_line(tibia, replace(tibia.pins[0], length_mm=20.0))


def test_a_pin_of_an_unknown_bone_is_told_so(tibia: Case) -> None:
    stray = replace(tibia.pins[0], bone="tibio")
    assert pin_line(tibia, stray) == f"Pin {stray.number}, tibio: bone not in this limb"


def test_a_bar_has_the_figures_of_the_bar_table(tibia: Case) -> None:
    bar = tibia.bars[0]
    number, _, diameter, length, off = bar_cells(tibia, bar)
    lead, chosen, gap = bar_line(tibia, bar).split(" \u00b7 ")
    assert lead == f"Bar {number}: \u00d8 {diameter} mm"
    assert chosen == f"length {length.split(',')[0]} mm"
    assert gap == f"off the skin: {off} mm"


def test_a_pin_of_an_outer_ray_is_told_from_its_own_bone_as_on_the_wall() -> None:
    case = read_case(SAMPLES / "crushed-forefoot.json")
    pin = next(one for one in case.pins if one.bone == "metatarsal-5")
    assert "head of the fifth metatarsal" in pin_line(case, pin)


def test_a_bar_that_cannot_be_laid_is_told_so(tibia: Case) -> None:
    bar = replace(tibia.bars[0], anchors=tibia.bars[0].anchors[:1] * 2)
    assert bar_line(replace(tibia, bars=(bar,)), bar).endswith("cannot be laid")


def test_every_pin_and_bar_is_told_once_in_the_order(any_case: Case) -> None:
    told = [line for step in steps_of(any_case) for line in figure_lines(any_case, step.puts_on)]
    assert len(told) == len(set(told)) == len(any_case.pins) + len(any_case.bars)
