"""Which pieces a frame holds, which gaps lie between them, and what is left out and said."""

from msgspec.structs import replace

from fixplan.case.records import Bar, Case, Fracture, Pin, PinAnchor, Support
from fixplan.frame.bodies import bodies, gaps, holding


def pin(number: int, bone: str, level_mm: float, **fields: object) -> Pin:
    given = {"bearing_deg": 120.0, "diameter_mm": 5.0, **fields}
    return Pin(id=f"pin-{number}", number=number, bone=bone, level_mm=level_mm, **given)


def bar(number: int, first: int, second: int, *also: int, out_mm: float = 32.0) -> Bar:
    anchors = tuple(PinAnchor(pin=f"pin-{one}", out_mm=out_mm) for one in (first, second))
    return Bar(
        id=f"bar-{number}",
        number=number,
        anchors=anchors,
        also=tuple(f"pin-{one}" for one in also),
    )


BREAK = Fracture(id="fracture-1", bone="tibia", from_mm=180, to_mm=200)
LEVELS = (70.0, 140.0, 240.0, 310.0)
PINS = tuple(pin(n, "tibia", level) for n, level in enumerate(LEVELS, 1))
SPANNED = Case(side="right", fractures=(BREAK,), pins=PINS, bars=(bar(1, 1, 4, 2, 3),))


def test_one_bar_past_a_fracture_holds_two_pieces_with_one_gap() -> None:
    held = holding(SPANNED)
    assert [[b.id for b in frame.bodies] for frame in held.frames] == [["tibia-1", "tibia-2"]]
    assert [gap.words for gap in gaps(SPANNED)] == ["tibia fracture"]
    assert gaps(SPANNED)[0].broken
    assert held.loose == ()


def test_bars_that_nothing_joins_name_what_is_free_to_move() -> None:
    case = replace(SPANNED, bars=(bar(1, 1, 2), bar(2, 3, 4)))
    held = holding(case)
    assert held.frames == ()
    assert held.loose == (
        "Nothing joins the proximal fragment of the tibia to the distal fragment of the tibia, so "
        "the distal fragment of the tibia is free to move: join them by a bar.",
    )


def test_a_pin_out_of_reach_is_not_joined_and_this_is_said() -> None:
    turned = replace(PINS[2], bearing_deg=200.0)
    case = replace(SPANNED, pins=(*PINS[:2], turned, PINS[3]))
    assert [[p.number for p in body.pins] for body in bodies(case)] == [[1, 2], [4]]
    assert "Bar 1 does not reach pin 3: not counted as joined." in holding(case).said


def test_a_splint_is_left_out_and_this_is_said() -> None:
    splint = Support(id="splint-1", kind="splint", from_mm=100, to_mm=300)
    case = replace(SPANNED, supports=(splint,))
    assert any("splint" in words for words in holding(case).said)
    assert gaps(case) == gaps(SPANNED)


def test_a_middle_piece_without_pins_counts_as_absent_and_this_is_said() -> None:
    second = Fracture(id="fracture-2", bone="tibia", from_mm=215, to_mm=225)
    case = replace(SPANNED, fractures=(BREAK, second))
    assert [body.id for body in bodies(case)] == ["tibia-1", "tibia-3"]
    assert "The middle fragment of the tibia carries no pin: it counts as absent." in (
        holding(case).said
    )


def test_a_frame_across_the_knee_has_the_joint_for_its_gap() -> None:
    pins = (
        pin(1, "femur", 230, bearing_deg=40.0),
        pin(2, "femur", 290, bearing_deg=40.0),
        pin(3, "tibia", 180),
        pin(4, "tibia", 240),
    )
    case = Case(side="left", pins=pins, bars=(bar(1, 1, 2), bar(2, 3, 4), bar(3, 2, 3)))
    assert [(gap.words, gap.joint, gap.broken) for gap in gaps(case)] == [("knee", "knee", False)]


def test_a_plateau_fracture_is_named_with_the_knee() -> None:
    pins = (pin(1, "femur", 290, bearing_deg=40.0), pin(2, "tibia", 240))
    plateau = Fracture(id="fracture-1", bone="tibia", from_mm=0, to_mm=40)
    case = Case(side="right", fractures=(plateau,), pins=pins, bars=(bar(1, 1, 2),))
    assert [gap.words for gap in gaps(case)] == ["knee with the fracture of the tibia"]


def test_a_pin_in_another_bone_of_the_foot_counts_with_the_heel() -> None:
    pins = (
        pin(1, "tibia", 200),
        pin(2, "calcaneus", 20, bearing_deg=180.0, kind="through"),
        pin(3, "metatarsal-1", 5, bearing_deg=180.0, diameter_mm=4.0),
    )
    case = Case(side="right", pins=pins, bars=(bar(1, 1, 2), bar(2, 2, 3)))
    assert [[p.number for p in body.pins] for body in bodies(case)] == [[1], [3, 2]]
    assert [gap.joint for gap in gaps(case)] == ["ankle"]
