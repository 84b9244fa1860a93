"""What the shipped exercises are put together from: regions, frames, and a stock of questions."""

import math
from itertools import pairwise, product

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Injury, Pin, PinAnchor, Wound
from fixplan.checks.rules import evidence, rule_by_id
from fixplan.checks.run import check_only, judge_pin
from fixplan.frame.new_pins import new_pin
from fixplan.frame.patterns import layout
from fixplan.frame.sketch import Sketch
from fixplan.teach.records import Choice, Key, Question, Reply
from fixplan.teach.scheme import credit_of, scheme


def ring(centre, radii, corners=12):
    """An ellipse as an outline, whole mm."""
    steps = (2 * math.pi * n / corners for n in range(corners))
    return tuple(
        (
            round(centre[0] + radii[0] * math.cos(a), 1),
            round(centre[1] + radii[1] * math.sin(a), 1),
        )
        for a in steps
    )


def injury(number, segment, level, length, front, side, grade="open", note=""):
    """A zone of injury `length` mm long; `front` and `side` are (middle, half-width)."""
    return Injury(
        id=f"injury-{number}",
        segment=segment,
        grade=grade,
        front=ring((front[0], level), (front[1], length / 2)),
        side=ring((side[0], level), (side[1], length / 2)),
        note=note,
    )


def wound(number, segment, view, at, radii, kind="opening", face="near", note=""):
    """A wound as an ellipse on one face."""
    return Wound(
        id=f"wound-{number}",
        kind=kind,
        segment=segment,
        view=view,
        face=face,
        outline=ring(at, radii),
        note=note,
    )


def placed(case: Case, bone: str, levels, rules, *, turns=(0, -10, 10, -20, 20), **fields) -> Case:
    """The case with a pin at the least bad of some levels and bearings, by the rules that count."""
    best, least = None, math.inf
    for level, turn in product(levels, turns):
        pin = replace(new_pin(case, bone, float(level)), **fields)
        if "bearing_deg" not in fields:
            pin = replace(pin, bearing_deg=(pin.bearing_deg + turn) % 360)
        changed = edits.add_pin(case, pin)
        blame = badness(changed, changed.pins[-1], rules)
        if blame < least - 1e-9:
            best, least = changed, blame
        if blame == 0:
            break
    return best


def badness(case: Case, pin: Pin, rules) -> float:
    """Credit lost by all pins so far, with a little for cautions that do not count."""
    counted = frozenset(one.rule for one in rules)
    lost = sum(1 - credit_of(one, scheme().credit) for one in check_only(case, counted))
    other = [one for one in judge_pin(case, pin) if one.rule not in counted]
    return lost + sum({"stop": 0.5, "caution": 0.05}.get(one.severity, 0) for one in other)


def barred(case: Case, *groups: tuple[str, ...], bar_mm: float = 11.0, links: bool = True) -> Case:
    """A short bar on each group of pins, neighbours linked; lone pins are held by the links."""
    sketch = Sketch(case, judge_pin)
    holders = [sketch.holder(group) for group in groups]
    if links:
        for upper, lower in pairwise(holders):
            sketch.link(upper, lower, wound_between=False)
    bars = tuple(replace(bar, diameter_mm=bar_mm) for bar in sketch.case.bars)
    return replace(sketch.case, bars=bars)


def straight(case: Case, *pins: str, bar_mm: float = 11.0) -> Case:
    """One bar from the first to the last pin."""
    sketch = Sketch(case, judge_pin)
    out = layout().out_mm
    bar = sketch.put_bar(
        PinAnchor(pin=pins[0], out_mm=out), PinAnchor(pin=pins[-1], out_mm=out), pins[1:-1]
    )
    sketch.settle((bar,), sketch.lays(bar))
    bars = tuple(replace(one, diameter_mm=bar_mm) for one in sketch.case.bars)
    return replace(sketch.case, bars=bars)


def ids(case: Case, bone: str) -> tuple[str, ...]:
    """The pins of a bone, from proximal."""
    pins = [pin for pin in case.pins if pin.bone == bone]
    return tuple(pin.id for pin in sorted(pins, key=lambda pin: pin.level_mm))


def moved(case: Case, number: int, **fields) -> Case:
    """The case with one pin otherwise; bars stay as they are."""
    pins = tuple(replace(pin, **fields) if pin.number == number else pin for pin in case.pins)
    return replace(case, pins=pins)


def bone_range(case: Case, bone: str) -> tuple[float, float]:
    """The levels between which a bone lies."""
    known = limb_of_case(case).bones[bone]
    return known.from_mm, known.to_mm


class Asks:
    """A question with its key."""

    def __init__(self, question: Question, key: Key) -> None:
        self.question, self.key = question, key

    def right(self) -> Reply:
        return Reply(question=self.question.id, chosen=self.key.right, value=self.key.value)

    def wrong(self) -> Reply:
        """What is commonly replied: the first choice that is not right, the order turned about."""
        if self.question.kind == "number":
            return Reply(question=self.question.id, value=(self.key.value or 0) * 3)
        if self.question.kind == "order":
            return Reply(question=self.question.id, chosen=tuple(reversed(self.key.right)))
        others = [one.id for one in self.question.choices if one.id not in self.key.right]
        return Reply(question=self.question.id, chosen=(others[0],))


def asks(id_, kind, text, choices, right, why, cites, weight=2.0, **number) -> Asks:
    """A question; evidence that is not listed in resources/ is left out."""
    question = Question(
        id=id_,
        kind=kind,
        text=text,
        choices=tuple(Choice(id=name, text=words) for name, words in choices),
        unit=number.pop("unit", ""),
        weight=weight,
    )
    known = tuple(one for one in cites if one in evidence())
    return Asks(question, Key(question=id_, right=right, why=why, evidence=known, **number))


ORDER_OPEN = asks(
    "order",
    "order",
    "Put this trip to theatre in order.",
    (
        ("frame", "Pins and bars; clamps tight once length and rotation are held"),
        ("photograph", "Photograph the wound; write down pulses and nerves"),
        ("again", "Pulses and nerves again before leaving theatre"),
        ("debride", "Wash and debride the wound"),
        ("length", "Pull to length and turn; compare the other leg"),
    ),
    ("photograph", "debride", "length", "frame", "again"),
    "Length and rotation come before the first pins fix the skin; the last look is at nerve and "
    "pulse.",
    ("OF-22", "PP-14", "FR-14", "SF-17"),
)
ORDER_VESSEL = asks(
    "order",
    "order",
    "The foot is cold and pulseless, the limb unstable. Put the steps in order.",
    (
        ("repair", "Repair the vessel for good"),
        ("frame", "Frame, built in minutes, clear of the vessel's approach"),
        ("shunt", "Shunt, so that blood flows"),
        ("release", "Look at all compartments; release where needed"),
    ),
    ("shunt", "frame", "repair", "release"),
    "Flow first, then a stable limb, then the repair that would otherwise be torn.",
    ("SF-05", "SF-06", "SF-04"),
)
VIABLE = asks(
    "viable",
    "several",
    "By which signs do you judge muscle alive while debriding?",
    (
        ("tourniquet", "How it looks under the inflated tourniquet"),
        ("bleeds", "It bleeds when cut"),
        ("contracts", "It contracts when pinched"),
        ("colour", "Colour"),
        ("firm", "Consistency"),
        ("warm", "The skin over it is warm"),
    ),
    ("bleeds", "contracts", "colour", "firm"),
    "Four signs; colour tells least, and newer biopsies doubt all four, so look again if unsure.",
    ("VI-01", "OF-17"),
)
COVER = asks(
    "cover",
    "number",
    "By how many hours after injury should an open leg fracture have its cover, as the UK "
    "standard has it?",
    (),
    (),
    "72 hours in the UK, 7 days as the wider limit; odds of infection rise day by day after that.",
    ("OF-14", "OF-15", "OF-21"),
    unit="h",
    value=72.0,
    within=6.0,
    none_beyond=72.0,
)
WARD_LEG = asks(
    "ward",
    "several",
    "What do you tell the ward tonight?",
    (
        ("trust", "The frame rules out compartment syndrome; no checks are needed"),
        ("pain", "Pain out of proportion or on passive stretch: call at once, pulses or not"),
        ("heel", "Heel off the bed, foot held square"),
        ("spanner", "The spanner stays with the patient"),
        ("loosen", "Loosen the clamps for washing"),
    ),
    ("pain", "heel", "spanner"),
    "A frame does not exclude compartment syndrome; a heel on the mattress gets a sore.",
    ("SF-01", "FR-10", "FR-12", "SF-18"),
)
NEXT_LOOK = asks(
    "next-look",
    "one",
    "Viability was doubtful at the edges. When do you look again?",
    (
        ("week", "After a week, at the definitive fixation"),
        ("two-days", "After 48 to 72 hours, sooner with sepsis or ischaemia"),
        ("fever", "Only if there is a fever"),
    ),
    ("two-days",),
    "A second look is planned where viability is uncertain.",
    ("OF-17",),
)
KNEE_BEND = asks(
    "knee-bend",
    "number",
    "How many degrees of flexion do you lock the spanned knee in?",
    (),
    (),
    "Slightly bent, about 10 to 20 degrees.",
    ("FR-13",),
    unit="deg",
    value=15.0,
    within=5.0,
    none_beyond=20.0,
)
GRADE_WHEN = asks(
    "grade",
    "one",
    "When is the grade of the open fracture settled?",
    (
        ("door", "In the emergency room, by the size of the wound"),
        ("debrided", "After debridement; until then it is provisional"),
        ("ct", "On the CT"),
    ),
    ("debrided",),
    "What is alive and what can be covered shows only then.",
    ("OF-07", "OF-05"),
)
TRAY_LEG = asks(
    "tray",
    "one",
    "Which trays do you open for this frame?",
    (
        ("all", "Everything that is there, to be sure"),
        ("large", "The large set: 5 and 6 mm half-pins, 11 mm bars, their clamps and the drill"),
        ("small", "The small set: 3 and 4 mm pins and thin bars"),
    ),
    ("large",),
    "Adult tibia and femur take 5 to 6 mm pins; the clamp must take both pin and bar.",
    ("PD-01", "PD-04", "OWN-02", "PP-21"),
)
TRAY_SMALL = asks(
    "tray",
    "one",
    "Which trays do you open for this frame?",
    (
        ("large", "The large set: 5 and 6 mm half-pins, 11 mm bars"),
        ("small", "The small set: 2.5 to 4 mm pins, thin bars, their clamps and the drills"),
        ("wires", "Wires and a plaster"),
    ),
    ("small",),
    "Radius and ulna take 4 mm, the second metacarpal 3 mm, the midfoot 4 mm.",
    ("PD-06", "PD-13", "PD-10", "OWN-02"),
)
WARD_ARM = asks(
    "ward",
    "several",
    "What do you tell the ward tonight?",
    (
        ("trust", "The frame rules out compartment syndrome; no checks are needed"),
        ("pain", "Pain on passive stretch of the fingers: call at once, pulses or not"),
        ("nerve", "Thumb and finger extension are written down every few hours"),
        ("up", "Hand up, fingers moving"),
        ("sling", "Pull the frame tight against the chest in a sling"),
    ),
    ("pain", "nerve", "up"),
    "A frame does not exclude compartment syndrome, and a nerve that fails later must be seen.",
    ("SF-01", "SF-17", "OF-22"),
)
NOT_HAND_CLOCK = asks(
    "clock",
    "one",
    "Does the 72-hour clock for cover of open long-bone fractures apply to this hand?",
    (
        ("yes", "Yes, to every open fracture"),
        ("no", "No, that standard covers long bones, hindfoot and midfoot"),
    ),
    ("no",),
    "Hand, wrist, forefoot and digits are outside that standard.",
    ("OF-19",),
)
PELVIS_ORDER = asks(
    "order",
    "order",
    "An unstable pelvic ring bleeds. Put the steps in order.",
    (
        ("laparotomy", "Packing or laparotomy, the bars kept clear of the abdomen"),
        ("binder", "Binder at the trochanters"),
        ("frame", "Front frame"),
        ("back", "Fixation of the back of the ring, another day"),
    ),
    ("binder", "frame", "laparotomy", "back"),
    "The front frame steadies the clot; it does not hold the back of the ring.",
    ("OWN-07", "CO-P4"),
)
PELVIS_SEE = asks(
    "images",
    "several",
    "What do you need to see or feel for a pin in the column above the hip?",
    (
        ("plain", "The plain front view alone"),
        ("outlet", "Obturator outlet view"),
        ("oblique", "Iliac oblique view"),
        ("nerve", "The soft tissue spread: the skin nerve of the thigh varies"),
    ),
    ("outlet", "oblique", "nerve"),
    "On plain views a pin looks in when it is out.",
    ("CO-P3", "CO-P1"),
)
PELVIS_BACK = asks(
    "back",
    "one",
    "What does a front frame not do?",
    (
        ("front", "Close the front of the ring"),
        ("back", "Hold a torn back of the ring"),
        ("clot", "Steady the clot"),
    ),
    ("back",),
    "A torn back of the ring needs its own fixation.",
    ("OWN-07",),
)
RADIAL = asks(
    "radial",
    "number",
    "About how many millimetres above the lateral epicondyle does the radial nerve cross the "
    "lateral side of the humerus?",
    (),
    (),
    "102 ± 10 mm, range 75 to 129: in that band a percutaneous lateral pin hit it in up to 56 %.",
    ("CO-H5", "CO-H7"),
    unit="mm",
    value=102.0,
    within=27.0,
    none_beyond=60.0,
)
HEEL_SIDE = asks(
    "heel-side",
    "one",
    "From which side does the calcaneal through-pin go in, and why?",
    (
        ("lateral", "Lateral: there is less soft tissue"),
        ("medial", "Medial: where it enters can be chosen, and the vessels lie there"),
        ("any", "From either side"),
    ),
    ("medial",),
    "Far back and low, blunt to bone: no medial site is free of risk, so it starts on that side.",
    ("CO-C1", "CO-C2"),
)


def weighed(*names_and_weights, focus=()):
    """Rules with weights, each known; what the exercise is about weighs three times as much."""
    from fixplan.teach.records import RuleWeight

    found = tuple(
        RuleWeight(rule=f"rule.{name}", weight=float(weight * (3 if name in focus else 1)))
        for name, weight in names_and_weights
    )
    assert all(rule_by_id(one.rule) for one in found)
    return found
