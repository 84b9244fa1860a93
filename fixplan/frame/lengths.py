"""How long a pin must be, told as a sum, and the stocked pin that serves (mm throughout)."""

from functools import lru_cache

import msgspec

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.remembered import remembered
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import Layout, layout, size_of
from fixplan.frame.pin_lines import End
from fixplan.frame.stock import clamp_for, clamp_part, parts, pin_stock
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb

Hold = tuple[End, float, str | None]
"""A bar's hold on a pin: at which end, how far from the skin (mm), and with which clamp."""

BOTH: tuple[End, ...] = ("outer", "far")
AS_DRAWN = "as drawn"
UNMEASURED = "; how much skin and fat vary there was not measured: check the length on the patient"


class PinLength(msgspec.Struct, frozen=True, kw_only=True):
    """Needed length as its parts, and what is stocked.

    tip: past the far cortex. bone: near to far surface. depth: skin to bone, both sides for a
    through-pin. gap: skin to clamp; clamp: what it takes and what stands out past it, both at each
    end. `stock_mm` is the typed or next stocked length, None when none is long enough. `thread_mm`
    is None when that length is not a stocked one. `uncertainty_mm` is how far out the skin may lie,
    None in a segment of which that is not known.
    """

    tip_mm: float
    bone_mm: float
    depth_mm: float
    gap_mm: float
    clamp_mm: float
    needed_mm: float
    uncertainty_mm: float | None
    stock_mm: float | None
    longest_mm: float | None
    thread_mm: float | None
    thread_needed_mm: float
    skin_known: bool

    @property
    def is_long_enough(self) -> bool:
        """Whether the chosen length reaches from tip to past the clamp."""
        return self.stock_mm is not None and self.stock_mm >= self.needed_mm

    @property
    def covers_doubt(self) -> bool:
        """Whether the chosen length reaches even where the skin lies as far out as it may."""
        return self.stock_mm is not None and self.stock_mm >= self.at_most_mm

    @property
    def at_most_mm(self) -> float:
        """The needed length where the skin lies as far out as it may."""
        return self.needed_mm + (self.uncertainty_mm or 0.0)

    @property
    def is_stocked(self) -> bool:
        """Whether the chosen length is a stocked one."""
        return self.thread_mm is not None

    @property
    def thread_spans(self) -> bool | None:
        """Whether the thread spans both cortices; None when the pin's thread is not known."""
        return None if self.thread_mm is None else self.thread_mm >= self.thread_needed_mm

    @property
    def doubt_words(self) -> str:
        """How far out the skin may lie, in words; "as drawn" where nothing was measured."""
        if self.uncertainty_mm is None:
            return AS_DRAWN
        return f"± {self.uncertainty_mm:.0f}"

    @property
    def words(self) -> str:
        """The sum in words, with the doubt about the skin."""
        further = UNMEASURED
        if self.uncertainty_mm is not None:
            further = f", {self.at_most_mm:.0f} where the skin lies further out"
        return (
            f"tip {self.tip_mm:.0f} + bone {self.bone_mm:.0f} + skin to bone {self.depth_mm:.0f} "
            f"({self.doubt_words}) + gap {self.gap_mm:.0f} + clamp {self.clamp_mm:.0f} "
            f"= {self.needed_mm:.0f} mm{further}"
        )


def pin_length(case: Case, pin: Pin) -> PinLength:
    """Needed and stocked length of a pin. Raises GeometryError for an unknown bone."""
    return _length(pose_of_case(case).limb, pin, _holds(case).get(pin.id, ()))


@remembered
def _holds(case: Case) -> dict[str, tuple[Hold, ...]]:
    """How bars hold each pin."""
    holds: dict[str, tuple[Hold, ...]] = {}
    for path in bar_paths(case).values():
        for joint in path.joints:
            if joint.out_mm is not None:
                hold = joint.end, joint.out_mm, joint.part
                holds[joint.other] = (*holds.get(joint.other, ()), hold)
    return holds


@lru_cache(maxsize=4096)
def _length(limb: Limb, pin: Pin, holds: tuple[Hold, ...]) -> PinLength:
    path = pin_path(limb, pin)
    through = pin.kind == "through"
    tip = 0.0 if through else pin.tip_mm
    depth = path.soft_tissue_mm + (path.far_mm - path.far_skin_mm if through else 0.0)
    laid = layout(size_of(path.segment))
    ends = [_end(holds, pin, end, laid) for end in (BOTH if through else BOTH[:1])]
    gap, clamp = sum(e[0] for e in ends), sum(e[1] for e in ends)
    needed = tip + path.bone_mm + depth + gap + clamp
    one_end = parts().skin.uncertainty_mm.get(path.segment)
    doubt = None if one_end is None else one_end * len(ends)
    wanted = (needed, needed + (doubt or 0.0))
    stock, longest, thread = _chosen(pin, wanted, tip + path.bone_mm)
    return PinLength(
        tip_mm=tip,
        bone_mm=path.bone_mm,
        depth_mm=depth,
        gap_mm=gap,
        clamp_mm=clamp,
        needed_mm=needed,
        uncertainty_mm=doubt,
        stock_mm=stock,
        longest_mm=longest,
        thread_mm=thread,
        thread_needed_mm=max(tip + path.bone_mm, 0.0),
        skin_known=path.skin_known,
    )


def _end(holds: tuple[Hold, ...], pin: Pin, end: End, laid: Layout) -> tuple[float, float]:
    """Gap from skin to clamp, and what the clamp takes and leaves past it, at one end of the pin.

    With several bars the outermost counts; with none, a bar as it is usually laid in that segment.
    """
    held = [(out_mm, part) for at, out_mm, part in holds if at == end]
    usual = clamp_for("pin", pin.diameter_mm, laid.bar_mm)
    out_mm, name = max(held, key=lambda one: one[0], default=(laid.out_mm, usual))
    part = clamp_part(name, "pin")
    return max(out_mm - part.grip_mm / 2, 0.0), part.grip_mm + part.beyond_mm


def _chosen(
    pin: Pin, needed_mm: tuple[float, float], thread_mm: float
) -> tuple[float | None, float | None, float | None]:
    """Length chosen, longest stocked, and thread of the chosen one, where they are known.

    `needed_mm`: at the skin as drawn, and as far out as it may lie. The shortest pin that serves
    both is chosen, with a thread that spans if there is one; else the longest that serves one.
    """
    stock = pin_stock(pin.kind, pin.diameter_mm)
    longest = stock[-1][0] if stock else None
    if pin.length_mm is not None:
        threads = [thread for length, thread in stock if length == pin.length_mm]
        return pin.length_mm, longest, threads[0] if threads else None
    enough = [one for one in stock if one[0] >= needed_mm[0]]
    covering = [one for one in enough if one[0] >= needed_mm[1]] or enough[-1:]
    spanning = [one for one in covering if one[1] >= thread_mm]
    for length, thread in (spanning or covering)[:1]:
        return length, longest, thread
    return None, longest, None
