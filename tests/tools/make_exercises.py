"""Writes resources/exercises anew, each with a teacher's answer and a common wrong one.

.venv/bin/python tests/tools/make_exercises.py [ID...]
"""

import sys
from pathlib import Path

from msgspec.structs import replace

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from fixplan.case.limbs import limb_of_case  # noqa: E402
from fixplan.case.records import Case, Fracture, LimbSize  # noqa: E402
from fixplan.case.rings import ring_patterns  # noqa: E402
from fixplan.checks.run import judge_pin, rule_set_version  # noqa: E402
from fixplan.frame.presets import candidate_of_preset  # noqa: E402
from fixplan.frame.starting import lay_frame  # noqa: E402
from fixplan.teach.files import Lesson, write_lesson  # noqa: E402
from fixplan.teach.marking import mark_try  # noqa: E402
from fixplan.teach.records import (  # noqa: E402
    Asked,
    Exercise,
    FrameNeeded,
    Hidden,
    ModelAnswer,
    PinsNeeded,
    Teacher,
    Truth,
    Try,
)
from tests.tools import exercise_parts as parts  # noqa: E402
from tests.tools.exercise_parts import (  # noqa: E402
    barred,
    bone_range,
    ids,
    injury,
    moved,
    placed,
    straight,
    weighed,
    wound,
)

FOLDER = ROOT / "resources" / "exercises"
MAN = LimbSize(sex="male", stature_mm=1780, mass_kg=82)
WOMAN = LimbSize(sex="female", stature_mm=1660, mass_kg=64)

SHAFT = (
    ("pin.misses-bone", 3),
    ("pin.injury", 4),
    ("pin.wound", 3),
    ("pin.fracture", 3),
    ("pin.hole-ratio", 2),
    ("pin.nerve-near", 3),
    ("pin.nerve-far", 2),
    ("pin.side", 2),
    ("pin.bicortical", 1),
    ("fragment.pins", 3),
    ("pins.spacing", 1),
    ("pins.on-no-bar", 1),
    ("bar.skin", 1),
    ("frame.loose", 2),
)


def candidate(case, preset, number, label=""):
    made = candidate_of_preset(limb_of_case(case), preset)
    return replace(made, id=f"candidate-{number}", label=label or made.label)


def laid(case, pattern, bone=None):
    return lay_frame(case, pattern, judge_pin, bone).case


def drawn_by(answer, hidden):
    """The teacher's answer with what was asked drawn in."""
    return replace(
        answer,
        injuries=(*answer.injuries, *hidden.injuries),
        candidates=(*answer.candidates, *hidden.candidates),
    )


def without(case, given):
    """An answer on what is given, without what was hidden when its frame was laid."""
    return replace(
        case,
        fractures=given.fractures,
        wounds=given.wounds,
        injuries=given.injuries,
        candidates=given.candidates,
        supports=case.supports,
    )


def pins(least, *bones, fragment=None, most=None, weight=3.0):
    return PinsNeeded(bones=bones, least=least, most=most, fragment=fragment, weight=weight)


def lesson(
    id_, title, grade, task, given, good, wrong, rules, needs, asked=(), truths=(), hidden=None,
    questions=(), hints=(), minutes=None, also_good=(), kit="", wrong_words="", live=False,
    focus=(),
):  # fmt: skip
    exercise = Exercise(
        id=id_,
        title=title,
        grade=grade,
        task=task,
        given=given,
        kit_at_hand=kit,
        live_findings=live,
        hints=hints,
        time_limit_min=minutes,
        rules=weighed(*rules, focus=focus),
        needs=needs,
        asked=asked,
        questions=tuple(one.question for one in questions),
    )
    right = tuple(one.right() for one in questions)
    missed = tuple(one.wrong() for one in questions[:1]) + tuple(o.right() for o in questions[1:])
    teacher = Teacher(
        hidden=hidden or Hidden(),
        truths=truths,
        keys=tuple(one.key for one in questions),
        good=tuple(
            ModelAnswer(text=words, case=case, replies=right)
            for words, case in (("The teacher's own answer", good), *also_good)
        ),
    )
    found = Lesson(exercise=exercise, teacher=teacher)
    mark = mark_try(found, Try(case=wrong, replies=missed, handed_in=""))
    model = ModelAnswer(text=wrong_words, case=wrong, replies=missed, mark_percent=mark.percent)
    return Lesson(exercise=exercise, teacher=replace(teacher, wrong=(model,)))


def tibia_shaft():
    given = Case(
        label="Open tibial shaft",
        side="right",
        size=MAN,
        fractures=(
            Fracture(id="fracture-1", bone="tibia", from_mm=188, to_mm=222, code="42B",
                     open_grade="IIIB", note="wedge"),
        ),
        injuries=(injury(1, "leg", 205, 76, (-6, 38), (8, 36)),),
        wounds=(wound(1, "leg", "front", (-22, 206), (14, 26)),),
    )  # fmt: skip
    good = laid(given, "per-fragment")
    other = laid(given, "single-bar")
    wrong = moved(moved(good, 2, level_mm=178.0), 3, level_mm=236.0)
    return lesson(
        "leg-tibial-shaft", "Open tibial shaft: a first frame", 1,
        "A 42B fracture of the right tibia with a wound over the medial shin. Injury and wound are "
        "drawn. Hold it out to length tonight with a temporary frame: two pins in each fragment, "
        "clear of the injury, joined by bars.",
        given, good, wrong, SHAFT,
        (pins(2, "tibia", fragment=1), pins(2, "tibia", fragment=2), FrameNeeded(weight=2.0)),
        questions=(parts.ORDER_OPEN, parts.WARD_LEG), live=True,
        hints=("The anteromedial face of the tibia has no muscle.",
               "Near the fracture the haematoma reaches further than the line."),
        also_good=(("One straight bar", other),),
        focus=("pin.injury", "pin.fracture"),
        wrong_words="Pins close to the fracture for stiffness: inside the injury",
    )  # fmt: skip


def tibia_nail():
    given = Case(
        label="Segment of tibia, nail likely",
        side="left",
        size=MAN,
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=170, to_mm=212, code="42C"),),
        injuries=(injury(1, "leg", 192, 70, (0, 36), (6, 34)),),
    )
    hidden = Hidden(candidates=(candidate(given, "tibia-nail", 7),))
    full = replace(given, candidates=hidden.candidates)
    good = drawn_by(without(laid(full, "per-fragment"), given), hidden)
    shallow = replace(
        hidden.candidates[0],
        parts=tuple(
            replace(one, to_mm=one.to_mm - 200) if hasattr(one, "entry") else one
            for one in hidden.candidates[0].parts
        ),
    )
    plain = laid(given, "per-fragment")
    wrong = replace(moved(moved(plain, 1, level_mm=52.0), 4, level_mm=338.0), candidates=(shallow,))
    return lesson(
        "leg-where-the-nail-goes", "Tibia: leave the nail its way", 2,
        "This tibia will have a nail from above once the soft tissue allows. Draw where the nail "
        "will go (Later fixation), then hold the limb with a frame whose pins stay out of its "
        "entry and locking zones.",
        given, good, wrong,
        (*SHAFT, ("pin.nail-entry", 3), ("pin.nail-locking", 3)),
        (pins(2, "tibia", fragment=1), pins(2, "tibia", fragment=2), FrameNeeded(weight=2.0)),
        asked=(Asked(id="nail", kind="nail", text="Mark where the nail will go", weight=10.0),),
        truths=(Truth(asked="nail", things=("candidate-7",)),), hidden=hidden,
        questions=(parts.NEXT_LOOK, parts.TRAY_LEG), minutes=20.0,
        hints=("The nail runs to a finger's breadth above the ankle.",),
        focus=("pin.nail-entry", "pin.nail-locking"),
        wrong_words="Pins in the entry and locking zones; a nail drawn far too short",
    )  # fmt: skip


def tibia_unseen_injury():
    given = Case(
        label="Degloved leg, injury to be drawn",
        side="right",
        size=WOMAN,
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=150, to_mm=205, code="42C"),),
        wounds=(wound(1, "leg", "front", (-14, 176), (18, 34)),),
    )
    hidden = Hidden(
        injuries=(injury(8, "leg", 178, 130, (-4, 40), (6, 38), note="crushed and stripped"),)
    )
    full = replace(given, injuries=hidden.injuries)
    good = drawn_by(without(laid(full, "per-fragment"), given), hidden)
    small = injury(1, "leg", 176, 66, (-14, 20), (16, 16))
    wrong = replace(laid(given, "single-bar"), injuries=(small,))
    return lesson(
        "leg-beyond-the-wound", "Tibia: the injury reaches beyond the wound", 3,
        "A wheel ran over this leg. The wound is drawn; skin and muscle are stripped and crushed "
        "from a hand's breadth above it to a hand's breadth below it, all round the shin. Draw the "
        "zone of injury in both views, then plan a frame that stays out of it.",
        given, good, wrong, SHAFT,
        (pins(2, "tibia", fragment=1), pins(2, "tibia", fragment=2), FrameNeeded(weight=2.0)),
        asked=(Asked(id="injury", kind="injury", text="Draw the zone of injury", weight=10.0),),
        truths=(Truth(asked="injury", things=("injury-8",)),), hidden=hidden,
        questions=(parts.VIABLE, parts.COVER, parts.GRADE_WHEN), minutes=25.0,
        focus=("pin.injury",),
        wrong_words="The wound taken for the whole injury: pins in crushed tissue",
    )  # fmt: skip


def plateau():
    given = Case(
        label="Bicondylar plateau, swollen",
        side="left",
        size=MAN,
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=4, to_mm=62, code="41C"),),
        injuries=(injury(1, "leg", 30, 90, (0, 55), (5, 50), "bruised", "blisters coming"),),
    )
    hidden = Hidden(candidates=(candidate(given, "plateau-dual-plates", 7),))
    full = replace(given, candidates=hidden.candidates)
    good = without(laid(full, "knee-spanning"), given)
    low = sorted(pin.number for pin in good.pins if pin.bone == "tibia")
    wrong = moved(moved(good, low[0], level_mm=92.0), low[1], level_mm=132.0)
    return lesson(
        "leg-plateau", "Bicondylar plateau: far below the plates", 2,
        "A 41C plateau with blisters coming. It will be plated in ten days or so, from both sides; "
        "you are not shown where. Span the knee.",
        given, good, wrong,
        (*(one for one in SHAFT if one[0] not in ("fragment.pins", "pin.wound")),
         ("pin.plate-plateau", 3), ("pin.suprapatellar-pouch", 2),
         ("pin.knee-capsule-femur", 1), ("pin.knee-capsule-tibia", 1)),
        (pins(2, "femur"), pins(2, "tibia"), FrameNeeded(joint="knee", weight=3.0)),
        hidden=hidden, questions=(parts.KNEE_BEND, parts.WARD_LEG), minutes=20.0,
        hints=("More than 150 mm below the fracture nearly all pins clear the plate.",),
        focus=("pin.plate-plateau",),
        wrong_words="Tibial pins just below the fracture, where the plates will lie",
    )  # fmt: skip


def femur_shaft():
    given = Case(
        label="Open femoral shaft",
        side="right",
        size=MAN,
        fractures=(Fracture(id="fracture-1", bone="femur", from_mm=215, to_mm=262, code="32B",
                            open_grade="IIIA"),),
        injuries=(injury(1, "thigh", 240, 90, (8, 62), (12, 60)),),
        wounds=(wound(1, "thigh", "side", (18, 240), (24, 30)),),
    )  # fmt: skip
    good = laid(given, "per-fragment")
    wrong = good
    for pin in good.pins:
        wrong = moved(wrong, pin.number, bearing_deg=175.0)
    return lesson(
        "leg-femoral-shaft", "Open femoral shaft: from which side?", 2,
        "A 32B fracture of the right femur with a lateral wound in a patient who is not fit for a "
        "nail tonight. Hold it to length.",
        given, good, wrong, SHAFT,
        (pins(2, "femur", fragment=1), pins(2, "femur", fragment=2), FrameNeeded(weight=2.0)),
        questions=(parts.ORDER_OPEN, parts.TRAY_LEG), minutes=20.0,
        focus=("pin.side", "pin.nerve-near", "pin.nerve-far"),
        wrong_words="Pins from the medial side, towards the vessels",
    )  # fmt: skip


def vessel_leg():
    given = Case(
        label="Pulseless foot, distal femur",
        side="left",
        size=WOMAN,
        fractures=(Fracture(id="fracture-1", bone="femur", from_mm=345, to_mm=400, code="33C",
                            open_grade="IIIC"),),
        injuries=(injury(1, "thigh", 372, 100, (0, 56), (-6, 52)),),
        wounds=(wound(1, "thigh", "side", (-22, 372), (20, 40), "planned extension", "far",
                      "approach to the vessel"),),
    )  # fmt: skip
    good = laid(given, "knee-spanning")
    thigh = sorted(pin.number for pin in good.pins if pin.bone == "femur")
    wrong = moved(good, thigh[-1], level_mm=330.0)
    rules = tuple(one for one in SHAFT if one[0] not in ("fragment.pins", "pin.wound"))
    return lesson(
        "leg-vessel-first", "Distal femur with a cold foot", 3,
        "A 33C fracture with an arterial injury behind the knee. The medial approach to the vessel "
        "is drawn. Build the frame in minutes, across the knee, out of the surgeon's way.",
        given, good, wrong, (*rules, ("pin.wound-extension", 3), ("pin.suprapatellar-pouch", 2),
                             ("pin.knee-capsule-femur", 2)),
        (pins(2, "femur"), pins(2, "tibia"), FrameNeeded(joint="knee", weight=3.0)),
        questions=(parts.ORDER_VESSEL, parts.KNEE_BEND), minutes=12.0,
        focus=("pin.injury", "pin.fracture"),
        wrong_words="A femoral pin at the fracture's edge; frame before flow",
    )  # fmt: skip


def pilon():
    given = Case(
        label="Pilon with blisters",
        side="right",
        size=MAN,
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=315, to_mm=382, code="43C"),),
        injuries=(injury(1, "leg", 350, 80, (0, 40), (0, 42), "bruised", "blisters"),),
    )
    good = laid(given, "ankle-delta")
    heel = next(pin for pin in good.pins if pin.bone == "calcaneus")
    legs = sorted(pin.number for pin in good.pins if pin.bone == "tibia")
    wrong = moved(good, heel.number, level_mm=heel.level_mm - 14, offset_mm=heel.offset_mm - 22)
    wrong = moved(wrong, legs[-1], level_mm=300.0)
    rules = tuple(one for one in SHAFT if one[0] not in ("fragment.pins", "pin.wound"))
    return lesson(
        "foot-pilon-delta", "Pilon: a delta with a heel pin", 2,
        "A 43C pilon with blisters. Hold it out to length across the ankle; it will be plated when "
        "the skin wrinkles.",
        given, good, wrong, (*rules, ("pin.heel", 3), ("pin.ankle-capsule", 2), ("pin.protect", 1)),
        (pins(2, "tibia"), pins(1, "calcaneus"), FrameNeeded(joint="ankle", weight=3.0)),
        questions=(parts.HEEL_SIDE, parts.WARD_LEG), minutes=20.0,
        hints=("Behind half of the way from heel to malleolus.",),
        focus=("pin.heel", "pin.fracture"),
        wrong_words="Heel pin too far forward; a tibial pin at the fracture",
    )  # fmt: skip


FOOT = (
    ("pin.misses-bone", 3),
    ("pin.injury", 3),
    ("pin.hole-ratio", 3),
    ("pin.nerve-near", 3),
    ("pin.side", 2),
    ("pin.heel", 2),
    ("pin.fifth-metatarsal", 2),
    ("pin.forefoot-overrun", 2),
    ("pin.other-bone", 1),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def crushed_foot():
    given = Case(
        label="Crushed midfoot",
        side="left",
        size=MAN,
        injuries=(injury(1, "forefoot", 8, 30, (14, 12), (4, 10), "bruised", "crushed midfoot"),),
    )
    given = replace(given, injuries=())
    rules = weighed(*FOOT)
    case = placed(given, "tibia", (250, 255, 245), rules)
    case = placed(case, "tibia", (300, 295, 290), rules)
    case = placed(case, "calcaneus", (24, 26, 28, 22), rules, turns=(0,))
    case = placed(case, "metatarsal-1", (34, 38, 30), rules, tip_mm=0.0)
    case = placed(case, "metatarsal-5", (18, 22, 26, 14), rules, tip_mm=0.0)
    good = foot_frame(case)
    first = next(pin for pin in good.pins if pin.bone == "metatarsal-1")
    fifth = next(pin for pin in good.pins if pin.bone == "metatarsal-5")
    wrong = moved(moved(good, first.number, diameter_mm=6.0, tip_mm=8.0), fifth.number, tip_mm=9.0,
                  level_mm=-6.0)  # fmt: skip
    return lesson(
        "foot-crushed-midfoot", "Crushed midfoot: both columns held out", 3,
        "Both columns of the midfoot are crushed and the foot would shorten. Hold it out to "
        "length: two pins in the tibia, one through the heel, one in the first and one in the "
        "fifth metatarsal. Draw the frame so that every pin is on it.",
        given, good, wrong, FOOT,
        (pins(2, "tibia"), pins(1, "calcaneus"), pins(1, "metatarsal-1"), pins(1, "metatarsal-5"),
         FrameNeeded(weight=2.0)),
        questions=(parts.HEEL_SIDE, parts.TRAY_SMALL), minutes=25.0,
        hints=("Metatarsal pins go in by hand, to the far cortex and no further.",),
        focus=("pin.forefoot-overrun", "pin.fifth-metatarsal", "pin.hole-ratio"),
        wrong_words="Too thick a pin in the first ray, both metatarsal pins out through the sole",
    )  # fmt: skip


def foot_frame(case):
    from fixplan.case.records import PinAnchor
    from fixplan.frame.patterns import layout
    from fixplan.frame.sketch import Sketch

    sketch = Sketch(case, judge_pin)
    apex = sketch.short_bar(ids(case, "tibia"))
    (heel,), (first,), (fifth,) = (
        ids(case, bone) for bone in ("calcaneus", "metatarsal-1", "metatarsal-5")
    )
    out = layout().out_mm
    for end, toe in (("outer", first), ("far", fifth)):
        heel_hold = PinAnchor(pin=heel, end=end, out_mm=out)
        side = sketch.put_bar(sketch.anchor(apex, 20.0), heel_hold)
        sketch.settle((side,), (sketch.case,))
        foot = sketch.put_bar(heel_hold, PinAnchor(pin=toe, out_mm=out))
        sketch.settle((foot,), (sketch.case,))
    return sketch.case


HUMERUS = (
    ("pin.misses-bone", 3),
    ("pin.injury", 3),
    ("pin.fracture", 3),
    ("pin.hole-ratio", 2),
    ("pin.nerve-near", 4),
    ("pin.nerve-far", 2),
    ("pin.radial-nerve-band", 4),
    ("pin.ulnar-nerve-band", 2),
    ("pin.side", 2),
    ("pin.bicortical", 1),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def humerus():
    given = Case(
        label="Gunshot humerus",
        limb="arm",
        side="right",
        size=MAN,
        fractures=(Fracture(id="fracture-1", bone="humerus", from_mm=160, to_mm=205, code="12C",
                            open_grade="IIIA"),),
        injuries=(injury(1, "upper-arm", 182, 60, (0, 34), (0, 34)),),
    )  # fmt: skip
    rules = weighed(*HUMERUS)
    case = placed(given, "humerus", range(84, 108, 3), rules, turns=(0, 10, 20, -10, 30))
    case = placed(case, "humerus", range(134, 112, -3), rules, turns=(0, 10, 20, -10, 30))
    case = placed(case, "humerus", range(240, 256, 3), rules, open_approach=True)
    case = placed(case, "humerus", range(288, 268, -3), rules, turns=(0, -10, -20, -30, 10))
    pins_ = ids(case, "humerus")
    good = barred(case, pins_[:2], pins_[2:])
    third = sorted(case.pins, key=lambda pin: pin.level_mm)[2]
    wrong = moved(good, third.number, level_mm=float(bone_range(given, "humerus")[1] - 105),
                  open_approach=False, bearing_deg=0.0)  # fmt: skip
    return lesson(
        "arm-humeral-shaft", "Humeral shaft: where the radial nerve crosses", 2,
        "A gunshot through the right humeral shaft. Hold it with two pins above and two below. Say "
        "for each pin whether it is placed through an open approach.",
        given, good, wrong, HUMERUS,
        (pins(2, "humerus", fragment=1), pins(2, "humerus", fragment=2), FrameNeeded(weight=2.0)),
        questions=(parts.RADIAL, parts.WARD_ARM), minutes=20.0,
        hints=("A hand's breadth above the elbow no lateral pin is put in through the skin.",),
        focus=("pin.radial-nerve-band", "pin.nerve-near"),
        wrong_words="A percutaneous lateral pin in the band of the radial nerve",
    )  # fmt: skip


ELBOW = (
    ("pin.misses-bone", 3),
    ("pin.hole-ratio", 2),
    ("pin.nerve-near", 4),
    ("pin.nerve-far", 2),
    ("pin.radial-nerve-band", 3),
    ("pin.posterior-interosseous", 3),
    ("pin.elbow-fossae", 2),
    ("pin.side", 2),
    ("pin.other-bone", 1),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def elbow():
    given = Case(label="Unstable elbow", limb="arm", side="left", size=WOMAN)
    rules = weighed(*ELBOW)
    case = placed(given, "humerus", range(120, 96, -4), rules, turns=(0, 10, 20, -10, 30))
    case = placed(case, "humerus", range(150, 124, -4), rules, turns=(0, 10, 20, -10, 30))
    case = placed(case, "ulna", range(90, 130, 5), rules)
    case = placed(case, "ulna", range(140, 180, 5), rules)
    good = barred(case, ids(case, "humerus"), ids(case, "ulna"))
    ulna = [pin for pin in case.pins if pin.bone == "ulna"]
    wrong = good
    for pin in ulna:
        wrong = moved(wrong, pin.number, bone="radius", bearing_deg=0.0, level_mm=pin.level_mm - 50)
    return lesson(
        "arm-elbow-spanning", "Unstable elbow: a frame across it", 3,
        "An open dislocation of the left elbow that will not stay in place. Span the joint with "
        "two pins in the humerus and two in the forearm; choose the forearm bone.",
        given, good, wrong, ELBOW,
        (pins(2, "humerus"), pins(2, "ulna", "radius"), FrameNeeded(joint="elbow", weight=3.0)),
        questions=(parts.WARD_ARM, parts.RADIAL), minutes=20.0,
        hints=("One forearm bone lies under the skin along its whole length.",),
        focus=("pin.posterior-interosseous", "pin.nerve-near"),
        wrong_words="Pins in the proximal radius, round which a nerve winds",
    )  # fmt: skip


WRIST = (
    ("pin.misses-bone", 3),
    ("pin.fracture", 2),
    ("pin.hole-ratio", 3),
    ("pin.nerve-near", 3),
    ("pin.nerve-far", 1),
    ("pin.radius-open", 3),
    ("pin.metacarpal-open", 2),
    ("pin.side", 2),
    ("pin.radius-level", 1),
    ("pin.other-bone", 1),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def wrist():
    given = Case(
        label="Open distal radius",
        limb="arm",
        side="right",
        size=WOMAN,
        fractures=(Fracture(id="fracture-1", bone="radius", from_mm=218, to_mm=244, code="2R3C",
                            open_grade="II"),),
    )  # fmt: skip
    rules = weighed(*WRIST)
    low = bone_range(given, "radius")[1]
    case = placed(given, "radius", range(int(low) - 118, int(low) - 90, 4), rules,
                  open_approach=True)  # fmt: skip
    case = placed(case, "radius", range(int(low) - 84, int(low) - 70, 3), rules, open_approach=True)
    case = placed(case, "metacarpal-2", range(14, 26, 3), rules, open_approach=True)
    case = placed(case, "metacarpal-2", range(46, 34, -3), rules, open_approach=True)
    good = wrist_frame(case)
    wrong = good
    for pin in good.pins:
        wrong = moved(wrong, pin.number, open_approach=False)
    thick = next(pin for pin in good.pins if pin.bone == "metacarpal-2")
    wrong = moved(wrong, thick.number, diameter_mm=4.0)
    return lesson(
        "hand-wrist-spanning", "Open distal radius: across the wrist", 2,
        "A fragmented open fracture of the right distal radius. Span the wrist: two pins in the "
        "radius, two in the second metacarpal. Say for each pin whether it is placed open.",
        given, good, wrong, WRIST,
        (pins(2, "radius"), pins(2, "metacarpal-2"), FrameNeeded(joint="wrist", weight=3.0)),
        questions=(parts.TRAY_SMALL, parts.WARD_ARM, parts.NOT_HAND_CLOCK), minutes=20.0,
        hints=("A short incision there spares a skin nerve and tendons.",),
        focus=("pin.radius-open", "pin.metacarpal-open"),
        wrong_words="All pins through the skin, and one too thick for its metacarpal",
    )  # fmt: skip


def wrist_frame(case):
    return barred(case, ids(case, "radius"), ids(case, "metacarpal-2"))


HAND = (
    ("pin.misses-bone", 3),
    ("pin.fracture", 2),
    ("pin.hole-ratio", 4),
    ("pin.nerve-near", 2),
    ("pin.side", 3),
    ("pin.other-bone", 2),
    ("pin.metacarpal-open", 1),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def metacarpal():
    given = Case(
        label="Blast to the index ray",
        limb="arm",
        side="left",
        size=MAN,
        fractures=(Fracture(id="fracture-1", bone="metacarpal-2", from_mm=28, to_mm=40,
                            open_grade="IIIA"),),
    )  # fmt: skip
    rules = tuple(one for one in weighed(*HAND) if one.rule != "rule.pin.fracture")
    case = placed(given, "metacarpal-2", (8, 9, 7), rules, open_approach=True, turns=(0, 10, -10))
    case = placed(case, "metacarpal-2", (18, 19, 17), rules, open_approach=True, turns=(0, 10, -10))
    case = placed(case, "metacarpal-2", (49, 48, 50), rules, open_approach=True, turns=(0, 10, -10))
    case = placed(case, "metacarpal-2", (59, 58, 60), rules, open_approach=True, turns=(0, 10, -10))
    good = straight(case, *ids(case, "metacarpal-2"))
    wrong = good
    for pin in good.pins:
        wrong = moved(wrong, pin.number, diameter_mm=4.0, bearing_deg=270.0)
    return lesson(
        "hand-index-metacarpal", "Index metacarpal: small bone, small pins", 1,
        "A blast has taken the middle of the left second metacarpal. Hold its length with two thin "
        "pins on each side of the gap, from the dorsoradial side, on one bar.",
        given, good, wrong,
        tuple(one for one in HAND if one[0] != "pin.fracture"),
        (pins(2, "metacarpal-2", fragment=1), pins(2, "metacarpal-2", fragment=2),
         FrameNeeded(weight=2.0)),
        questions=(parts.NOT_HAND_CLOCK, parts.VIABLE), minutes=15.0, live=True,
        hints=("A pin wider than a third of the bone may break it.",),
        focus=("pin.hole-ratio", "pin.side"),
        wrong_words="Forearm pins in a finger ray, out through the palm",
    )  # fmt: skip


PELVIS = (
    ("pin.misses-bone", 4),
    ("pin.hip-capsule", 4),
    ("pin.hole-ratio", 2),
    ("pin.nerve-near", 3),
    ("pin.nerve-far", 2),
    ("pin.side", 2),
    ("pin.joint-space", 2),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def pelvis_case(label):
    torn = ring_patterns()["open-book"].ring
    return Case(label=label, limb="pelvis", side="both", size=MAN, ring=torn)


def pelvis_low():
    given = pelvis_case("Open book, bleeding")
    rules = weighed(*PELVIS)
    case = placed(given, "ilium-right", range(104, 94, -2), rules)
    case = placed(case, "ilium-left", range(104, 94, -2), rules)
    good = straight(case, ids(case, "ilium-right")[0], ids(case, "ilium-left")[0])
    wrong = good
    for pin in good.pins:
        wrong = moved(wrong, pin.number, level_mm=123.0)
    return lesson(
        "pelvis-above-the-hip", "Open book: one pin each side above the hip", 2,
        "An open-book pelvis that bleeds. Close the front with one pin each side in the column "
        "above the hip and a bar between them.",
        given, good, wrong, PELVIS,
        (pins(1, "ilium-right"), pins(1, "ilium-left"), FrameNeeded(weight=2.0)),
        questions=(parts.PELVIS_ORDER, parts.PELVIS_SEE), minutes=15.0,
        hints=("The capsule of the hip reaches 9 to 16 mm above the dome.",),
        focus=("pin.hip-capsule",),
        wrong_words="Pins too low: through the capsule of the hip",
    )  # fmt: skip


CREST = (
    ("pin.misses-bone", 4),
    ("pin.crest-start", 3),
    ("pin.hole-ratio", 2),
    ("pin.nerve-near", 2),
    ("pin.hip-capsule", 1),
    ("pin.side", 2),
    ("pins.on-no-bar", 1),
    ("frame.loose", 2),
)


def pelvis_crest():
    given = pelvis_case("Open book, no image intensifier")
    rules = weighed(*CREST)
    case = given
    for bone in ("ilium-right", "ilium-left"):
        case = placed(case, bone, range(38, 50, 2), rules)
        case = placed(case, bone, range(64, 52, -2), rules)
    right, left = ids(case, "ilium-right"), ids(case, "ilium-left")
    good = barred(case, right, left)
    one_each = placed(placed(given, "ilium-right", (78,), rules), "ilium-left", (78,), rules)
    wrong = straight(one_each, "pin-1", "pin-2")
    return lesson(
        "pelvis-crest", "Crest pins without an image intensifier", 3,
        "A pelvic ring that bleeds where there is no image intensifier. Two pins in each crest, "
        "joined across the front.",
        given, good, wrong, CREST,
        (pins(2, "ilium-right"), pins(2, "ilium-left"), FrameNeeded(weight=2.0)),
        questions=(parts.PELVIS_BACK, parts.PELVIS_ORDER), minutes=15.0,
        hints=("The thick pillar of the crest begins behind the spine.",),
        focus=("pin.crest-start",),
        wrong_words="One pin a side, right behind the spine",
    )  # fmt: skip


ALL = (
    tibia_shaft,
    tibia_nail,
    tibia_unseen_injury,
    plateau,
    femur_shaft,
    vessel_leg,
    pilon,
    crushed_foot,
    humerus,
    elbow,
    wrist,
    metacarpal,
    pelvis_low,
    pelvis_crest,
)


def main(asked):
    FOLDER.mkdir(exist_ok=True)
    for build in ALL:
        if asked and build.__name__ not in asked:
            continue
        found = build()
        exercise, teacher = found.exercise, found.teacher
        bad = teacher.wrong[0]
        told = mark_try(found, Try(case=bad.case, replies=bad.replies, handed_in=""))
        print(exercise.id, f"wrong answer {told.percent} %, passes: {told.passes}")
        for model in teacher.good:
            mark = mark_try(found, Try(case=model.case, replies=model.replies, handed_in=""))
            print(f"  {model.text}: {mark.percent} %")
            for part in mark.parts:
                if not part.is_kept:
                    print(f"    {part.credit:.2f} {part.id}: {part.reason}")
        path = FOLDER / f"{exercise.id}.json"
        write_lesson(path, exercise, teacher, rules=rule_set_version())
        path.with_name(path.name + ".backup").unlink(missing_ok=True)


if __name__ == "__main__":
    main(sys.argv[1:])
