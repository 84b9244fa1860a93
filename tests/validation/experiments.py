"""Published bench tests, modelled by the program itself: predicted beside measured.

Nothing is fitted. `rows()` gives what resources/help/hold_against_experiments.md tells.
"""

from typing import Literal, NamedTuple

import numpy as np

from fixplan.case.records import Bar, BarAnchor, Case, LimbSize, Pin, PinAnchor
from fixplan.frame.hold import quick_hold
from tests.validation.bench_frames import (
    ALUMINIUM,
    CARBON,
    STEEL,
    Setup,
    draws,
    firmness,
    solid,
)

COUNT = 60
FOUR = (40.0, 120.0)
SOFT_BONE = solid(30.0, (1000.0, 370.0))
AXIAL, FRONT_BACK, SIDE, TORSION = range(4)
Verdict = Literal["inside", "too high", "too low", "order right", "not reproduced"]


class Row(NamedTuple):
    """One comparison: source, what was changed, measured, predicted (10th, 50th, 90th), verdict."""

    source: str
    change: str
    measured: str
    predicted: str
    verdict: str


def rows() -> tuple[Row, ...]:
    """Every comparison, failures included."""
    return (
        *stacked(),
        pin_shaft(),
        *two_rods(),
        *aluminium_against_steel(),
        carbon_against_steel(),
        carbon_rod_against_tube(),
        angulation(),
        number_of_pins(),
        absolute(),
        femoral_pins(),
        two_bars_at_the_knee(),
    )


def setups(bars: int = 1, **fields: object) -> tuple[Setup, ...]:
    """A frame for each draw of what is not known."""
    bar = fields.pop("bar", solid(11.0, CARBON))
    near = fields.pop("near_mm", FOUR)
    found = []
    for d in draws(COUNT):
        outs = tuple(d.out_mm + k * d.stack_mm for k in range(bars))
        found.append(Setup(near, outs, bar, d.clamp, d.interface, **fields))
    return tuple(found)


def ratio(after: tuple[Setup, ...], before: tuple[Setup, ...]) -> np.ndarray:
    """Stiffness after over before (draws, 4)."""
    found: np.ndarray = firmness(after) / firmness(before)
    return found


def spread(values: np.ndarray) -> tuple[float, float, float]:
    low, middle, high = np.percentile(values, (10, 50, 90)).tolist()
    return low, middle, high


def as_percent(values: np.ndarray) -> str:
    return " / ".join(f"{100 * (v - 1):+.0f}" for v in spread(values)) + " %"


def as_ratio(values: np.ndarray) -> str:
    return " / ".join(f"{v:.2f}" for v in spread(values))


def verdict(values: np.ndarray, measured: float) -> Verdict:
    """Whether a measured ratio lies between the 10th and the 90th percentile."""
    low, _, high = spread(values)
    return "too high" if measured < low else "too low" if measured > high else "inside"


def stacked() -> list[Row]:
    """A second bar stacked on the first, polymer bones (Strebe 2014)."""
    source = "Strebe 2014, second bar stacked"
    found = ratio(setups(bars=2), setups(bars=1))
    soft = ratio(setups(bars=2, bone=SOFT_BONE), setups(bars=1, bone=SOFT_BONE))
    out = []
    for mode, name, measured in (
        (AXIAL, "axial", 2.50),
        (FRONT_BACK, "front-back bending", 2.09),
        (SIDE, "side bending", 1.22),
        (TORSION, "torsion", 1.41),
    ):
        for values, bone in ((found[:, mode], "stiff bone"), (soft[:, mode], "soft polymer rod")):
            out.append(
                Row(
                    source,
                    f"{name}, {bone}",
                    f"{100 * (measured - 1):+.0f} %",
                    as_percent(values),
                    verdict(values, measured),
                )
            )
    return out


def pin_shaft() -> Row:
    """Pelvic pins of 8 instead of 6 mm shaft, two on each side, long stand-off (Ponsen 2007)."""
    near = (60.0, 85.0)
    thick, thin = (setups(near_mm=near, pin_mm=mm) for mm in (8.0, 6.0))
    longer = [tuple(s._replace(bars_mm=(s.bars_mm[0] + 60.0,)) for s in x) for x in (thick, thin)]
    values = ratio(*longer)[:, AXIAL]
    return Row(
        "Ponsen 2007, pelvic pins",
        "shaft 6 to 8 mm, axial; geometry assumed",
        "+20 %",
        as_percent(values),
        verdict(values, 1.20),
    )


def two_rods() -> list[Row]:
    """Two parallel rods instead of one on a pelvis (2014 study of anterior frames)."""
    near = (60.0, 85.0)
    values = ratio(setups(bars=2, near_mm=near), setups(bars=1, near_mm=near))
    turn = np.sqrt(values[:, SIDE] * values[:, TORSION])
    source = "anterior pelvic frames 2014, two rods for one"
    return [
        Row(source, "translation; geometry assumed", "about x 2", as_ratio(values[:, AXIAL]),
            verdict(values[:, AXIAL], 2.0)),
        Row(source, "rotation; geometry assumed", "about x 1.5", as_ratio(turn),
            verdict(turn, 1.5)),
    ]  # fmt: skip


def aluminium_against_steel() -> list[Row]:
    """Aluminium for steel bars in four-point bending, in per cent of the intact bone."""
    source = "tibia fixation in four-point bending, aluminium for steel bar"
    values = ratio(setups(bar=solid(11.0, ALUMINIUM)), setups(bar=solid(11.0, STEEL)))
    measured = 18 / 28
    return [
        Row(source, f"{name}; plane not stated", f"{measured:.2f}", as_ratio(values[:, mode]),
            verdict(values[:, mode], measured))
        for mode, name in ((SIDE, "bent out of the pins' plane"), (FRONT_BACK, "bent in it"))
    ]  # fmt: skip


def carbon_against_steel() -> Row:
    """Carbon for steel bars, front-back bending (Pervan 2023)."""
    values = ratio(setups(bar=solid(11.0, CARBON)), setups(bar=solid(11.0, STEEL)))[:, FRONT_BACK]
    return Row(
        "Pervan 2023, carbon for steel bars",
        "front-back bending, solid bars of one diameter; theirs not known",
        "down to -27 %",
        as_percent(values),
        verdict(values, 0.73),
    )


def carbon_rod_against_tube() -> Row:
    """A solid carbon rod for a steel tube (Kowalski 1996, from memory)."""
    tube = solid(11.0, STEEL, bore_mm=9.0)
    values = ratio(setups(bar=solid(11.0, CARBON)), setups(bar=tube))[:, FRONT_BACK]
    return Row(
        "Kowalski 1996 (from memory), carbon rod for steel tube 11/9",
        "front-back bending",
        "about +15 %",
        as_percent(values),
        verdict(values, 1.15),
    )


def angulation() -> Row:
    """Pins leaning 15 degrees, spacing kept at the bone (Klemeit 2023).

    Converging is read as converging towards the bone, wider at the bar.
    """
    upright = setups()
    converging = float(np.median(ratio(setups(lean_deg=(-15.0, 15.0)), upright)[:, AXIAL]))
    diverging = float(np.median(ratio(setups(lean_deg=(15.0, -15.0)), upright)[:, AXIAL]))
    return Row(
        "Klemeit 2023, pins leaning 15 degrees",
        "axial; converging read as towards the bone, spacing kept there",
        "converging > parallel > diverging",
        f"{converging:.2f}, 1, {diverging:.2f}",
        "order right" if converging > 1 > diverging else "not reproduced",
    )


def number_of_pins() -> Row:
    """Two, three and four pins a clamp (Sternick 2012, finite elements, not a test)."""
    two, three, four = (
        setups(near_mm=levels)
        for levels in ((40.0, 120.0), (40.0, 80.0, 120.0), (40.0, 66.0, 93.0, 120.0))
    )
    third, fourth = ratio(three, two)[:, AXIAL], ratio(four, two)[:, AXIAL]
    is_inside = verdict(third, 369.0 / 307.6) == verdict(fourth, 437.9 / 307.6) == "inside"
    return Row(
        "Sternick 2012 (finite elements), 2, 3, 4 pins a side",
        "axial",
        "1 : 1.20 : 1.42",
        f"1 : {np.median(third):.2f} : {np.median(fourth):.2f}",
        "inside" if is_inside else "falling return right, size not reproduced",
    )


def absolute() -> Row:
    """Absolute axial and torsional stiffness of one layout (Ang 2017), geometry not known."""
    found = np.concatenate([firmness(setups(bars=n)) for n in (1, 2)])
    near = np.abs(np.log(found[:, AXIAL] / 528)) < np.log(1.2)
    both = near & (np.abs(np.log(found[:, TORSION] / 0.512)) < np.log(1.2))
    return Row(
        "Ang 2017, absolute values",
        "axial and torsion together, within a fifth of both",
        "528 N/mm, 0.512 N m per degree",
        f"axial {found[:, AXIAL].min():.0f} to {found[:, AXIAL].max():.0f}, torsion "
        f"{found[:, TORSION].min():.2f} to {found[:, TORSION].max():.2f}; "
        f"{int(both.sum())} of {len(found)} layouts meet both",
        "inside" if both.any() else "not reproduced",
    )


def knee_case(bearing_deg: float, links: int = 1) -> Case:
    """A knee-spanning frame as the program draws it."""
    pins = tuple(
        Pin(id=f"pin-{n}", number=n, bone=bone, level_mm=level, bearing_deg=side, diameter_mm=5.0)
        for n, (bone, level, side) in enumerate(
            (
                ("femur", 230.0, bearing_deg),
                ("femur", 290.0, bearing_deg),
                ("tibia", 180.0, 112.0),
                ("tibia", 240.0, 112.0),
            ),
            1,
        )
    )
    short = [
        Bar(
            id=f"bar-{n}",
            number=n,
            anchors=tuple(PinAnchor(pin=f"pin-{x}", out_mm=40.0) for x in pair),
        )
        for n, pair in ((1, (1, 2)), (2, (3, 4)))
    ]
    places = ((30.0, 30.0), (-20.0, 80.0))[:links]
    link = [
        Bar(
            id=f"bar-{n}",
            number=n,
            anchors=(BarAnchor(bar="bar-1", at_mm=a), BarAnchor(bar="bar-2", at_mm=b)),
        )
        for n, (a, b) in enumerate(places, 3)
    ]
    size = LimbSize(stature_mm=1750.0, sex="male", mass_kg=80.0)
    return Case(side="right", size=size, pins=pins, bars=(*short, *link), last_number=4)


def femoral_pins() -> Row:
    """Anterolateral against anterior femoral pins in a knee-spanning frame (Mercer 2010)."""
    lateral, front = (quick_hold(knee_case(b)).gaps[0].firmness for b in (40.0, 90.0))
    axial, side = lateral.axial / front.axial, lateral.side / front.side
    right = axial > 1 and side > 1
    return Row(
        "Mercer 2010, femoral pins at the knee",
        "anterolateral over anterior: axial, side bending",
        "both stiffer",
        f"{axial:.2f}, {side:.2f}",
        "order right" if right else "not reproduced",
    )


def two_bars_at_the_knee() -> Row:
    """Two bars across the knee against one (Mercer 2010, Reisman)."""
    two, one = (quick_hold(knee_case(40.0, links)).gaps[0].firmness for links in (2, 1))
    ratios = [a / b for a, b in zip(two, one, strict=True)]
    return Row(
        "Mercer 2010 and Reisman, two bars across the knee for one",
        "axial, front-back, side, torsion",
        "stiffer",
        ", ".join(f"{r:.2f}" for r in ratios),
        "order right" if min(ratios) > 1 else "not reproduced",
    )


HEAD = """# The calculation beside published experiments

Each line is a published bench test (one a finite-element study), modelled by this program. What
the publication leaves open was drawn at random: stand-off 30 to 70 mm, clamps 5e4 to 1e6 and pin in
bone 2e5 to 2e6 N mm per radian, stacked bars 15 to 25 mm apart. Predictions are the 10th, 50th and
90th percentile of {count} draws. Nothing was fitted. "Inside" means that the measured value lies
between the 10th and the 90th percentile; "too low" that the program predicts less than was
measured. Most publications could be read in their abstract only.

| source | what was changed | measured | predicted | verdict |
|---|---|---|---|---|
"""
FOOT = """
{inside} of {all} lines agree, {not_so} do not. What the model leaves out: slip and wear of clamps,
play of thread and drill hole, contact of the fragments, soft tissue, callus, muscle. Torsion tends
to come out too stiff. A second bar comes out about right with stiff bone; bar material, pin
diameter and number of pins mostly in the right direction but not always in size. Absolute values
do not deserve more than one digit.
"""
AGREES = ("inside", "order right")


def page() -> str:
    """The page of help, as the program stands now."""
    found = rows()
    agree = sum(row.verdict in AGREES for row in found)
    told = "".join(f"| {' | '.join(row)} |\n" for row in found)
    foot = FOOT.format(inside=agree, all=len(found), not_so=len(found) - agree)
    return HEAD.format(count=COUNT) + told + foot
