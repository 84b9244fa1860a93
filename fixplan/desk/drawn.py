"""The sheet as it is drawn now, and where on it a point of the limb lies. No Qt.

Scene coordinates are page millimetres; later pages stand to the right of the first.
"""

from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache
from math import inf
from typing import NamedTuple

import numpy as np

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.meaning import drawn_things
from fixplan.case.records import Case
from fixplan.case.scalars import Point, View
from fixplan.desk.datum import has_rays
from fixplan.desk.extent import Extent, gap_mm, is_inside
from fixplan.desk.subjects import ids_of, subject_of_owner
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose
from fixplan.sheet.paper import Page
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.section_line import OWNER as PLANE_OWNER
from fixplan.sheet.section_pin import section_owner
from fixplan.sheet.shapes import AnyShape, Text
from fixplan.sheet.views import ViewFrame

PAGE_GAP_MM = 12.0
GRAB_PX = 8.0
"""How near to a thing a hand must come to take hold of it, screen pixels."""
GRAB_ORDER = ("pin", "bar", "fracture", "wound", "injury", "support", "later")


class Place(NamedTuple):
    """A point on the sheet, as a tool sees it.

    `at` is the scene point; `frame` the view under it, if any; `segment` and `drawn` the segment
    and the (u, level) there; `grab_mm` the grab distance (`GRAB_PX`) in scene mm; `subject`
    the nearest thing of the case within it. `is_free` turns snapping off. `section` is the section
    under the point, if any.
    """

    at: Point
    frame: ViewFrame | None
    segment: str
    drawn: Point
    grab_mm: float
    subject: str | None
    is_shifted: bool = False
    is_free: bool = False
    section: SectionFrame | None = None

    @property
    def view(self) -> View | None:
        """The view under the point."""
        return None if self.frame is None else self.frame.view

    @property
    def grab_in_limb_mm(self) -> float:
        """The grab distance in millimetres of the limb."""
        return self.grab_mm / (1.0 if self.frame is None else self.frame.scale)

    @property
    def pixel_in_limb_mm(self) -> float:
        """One screen pixel in millimetres of the limb."""
        return self.grab_in_limb_mm / GRAB_PX


class DrawnSheet:
    """The composed pages of a case, with the ways from the page to the limb and back."""

    def __init__(self, case: Case, pages: tuple[Page, ...]) -> None:
        self.case = case
        self.pages = pages
        self.limb: Limb = limb_of_case(case)
        self.pose: Pose = pose_of_case(case)
        self._ids = ids_of(case)

    @property
    def views(self) -> tuple[ViewFrame, ...]:
        """The views on the first page."""
        return self.pages[0].views

    def view_frame(self, view: View) -> ViewFrame:
        """The frame of one view."""
        return next(frame for frame in self.views if frame.view == view)

    def page_origin_mm(self, index: int) -> float:
        """Where a page's left edge stands in the scene."""
        return sum(page.width_mm + PAGE_GAP_MM for page in self.pages[:index])

    def place(
        self, at: Point, grab_mm: float, *, is_shifted: bool = False, is_free: bool = False
    ) -> Place:
        """What lies at a scene point."""
        frame = next((frame for frame in self.views if _holds(frame, at)), None)
        segment, drawn = ("", at) if frame is None else self._in_segment(frame, at)
        section = self.section if self.section and self.section.holds(at) else None
        subject = (
            self._pin_in_section(at, grab_mm)
            if section is not None
            else next(self.subjects_near(at, grab_mm), None)
        )
        return Place(at, frame, segment, drawn, grab_mm, subject, is_shifted, is_free, section)

    @cached_property
    def section(self) -> SectionFrame | None:
        """The section's frame in scene coordinates, wherever its page stands."""
        index = self.section_page
        if index is None:
            return None
        frame = self.pages[index].section
        return None if frame is None else frame.moved(self.page_origin_mm(index))

    @cached_property
    def section_page(self) -> int | None:
        """Which page the section stands on, if any."""
        pages = enumerate(self.pages)
        return next((index for index, page in pages if page.section is not None), None)

    def section_pin_shapes(self) -> list[AnyShape]:
        """What the section draws of its pin, in coordinates of its page."""
        if self.section_page is None or self.section is None or self.section.pin is None:
            return []
        groups = self.pages[self.section_page].groups
        return list(groups.get(section_owner(self.section.pin), ()))

    def _pin_in_section(self, at: Point, grab_mm: float) -> str | None:
        """The pin of the section, where it is within the grab distance of a scene point."""
        if self.section is None or self.section_page is None:
            return None
        own = (at[0] - self.page_origin_mm(self.section_page), at[1])
        gap = min((gap_mm(shape, own) for shape in self.section_pin_shapes()), default=inf)
        return self.section.pin if gap <= grab_mm else None

    def plane_shapes(self) -> tuple[AnyShape, ...]:
        """The line of the section's plane in front and side view."""
        return tuple(self.pages[0].groups.get(PLANE_OWNER, ()))

    def _in_segment(self, frame: ViewFrame, at: Point) -> tuple[str, Point]:
        """The segment in whose skin a point lies; where that has no bone there, one that has.

        Skins overlap at a joint, and a bone reaches into its neighbour's.
        """
        skin = self.pose.segment_at(frame.view, np.array(frame.from_page(*at)))
        own = self.drawn_in(frame, skin, at)
        if self._bone_in(frame.view, skin, own) is None:
            for segment in self.limb.segments:
                drawn = self.drawn_in(frame, segment, at)
                if segment != skin and self._bone_in(frame.view, segment, drawn) is not None:
                    return segment, drawn
        return skin, own

    def drawn_in(self, frame: ViewFrame, segment: str, at: Point) -> Point:
        """The (u, level) of a scene point, in one view and segment, also beyond the view's box."""
        uv = np.array([frame.from_page(*at)])
        u, level = self.pose.drawn_of(segment, frame.view, uv)[0]
        return (float(u), float(level))

    def at_in(self, frame: ViewFrame, segment: str, drawn: Iterable[Point]) -> list[Point]:
        """Scene points of (u, level) points of a segment, in one view."""
        points = np.array(list(drawn), dtype=float).reshape(-1, 2)
        uv = self.pose.uv_of(segment, frame.view, points)
        return frame.to_page(uv)

    def at_of(self, frame: ViewFrame, segment: str, points: Iterable[object]) -> list[Point]:
        """Scene points of 3-D points in a segment's frame."""
        solid = np.array(list(points), dtype=float).reshape(-1, 3)
        uv = self.pose.to_view(segment, frame.view, solid)
        return frame.to_page(uv)

    def subjects_near(self, at: Point, grab_mm: float) -> Iterator[str]:
        """Things of the case within the grab distance: by kind, then the nearest, then inside."""
        found: list[tuple[int, float, str]] = []
        for subject, shapes in self.shapes_by_subject():
            gap = min((gap_mm(shape, at) for shape in shapes), default=grab_mm + 1)
            if gap <= grab_mm:
                found.append((_kind_order(subject), gap, subject))
        return (subject for _, _, subject in sorted(found))

    def shapes_by_subject(self) -> Iterator[tuple[str, tuple[AnyShape, ...]]]:
        """What is drawn on the first page for each thing of the case."""
        for owner, shapes in self.pages[0].groups.items():
            subject = subject_of_owner(owner, self._ids)
            if subject is not None:
                yield subject, tuple(shape for shape in shapes if not isinstance(shape, Text))

    def subject_of(self, owner: str) -> str | None:
        """The thing of the case that a finding's subject or an owner stands for."""
        return subject_of_owner(owner, self._ids)

    def shows_level(self, place: Place) -> bool:
        """Whether the view under a place shows levels; the foot's front view does not."""
        segment = self.limb.segments.get(place.segment)
        if segment is None:
            return False
        return place.view == "side" or segment.front_shows == "level"

    @property
    def subject_ids(self) -> list[str]:
        """Ids of everything drawn, in the order of thought."""
        return [thing.id for thing in drawn_things(self.case)]

    def owners_of(self, subject: str) -> list[str]:
        """Owners on the first page that stand for a thing."""
        groups = self.pages[0].groups
        return [owner for owner in groups if subject_of_owner(owner, self._ids) == subject]

    def shapes_of(self, subject: str) -> list[AnyShape]:
        """Everything drawn for a thing on the first page, its words left out."""
        return [
            shape
            for owner in self.owners_of(subject)
            for shape in self.pages[0].groups[owner]
            if not isinstance(shape, Text)
        ]

    def bone_at(self, place: Place) -> str | None:
        """The bone under a place, the primary bone of the segment first; None beside the bones."""
        if place.view is None:
            return None
        return self._bone_in(place.view, place.segment, place.drawn)

    def _bone_in(self, view: View, segment: str, drawn: Point) -> str | None:
        """The bone of a segment round a point drawn on it, the primary one first.

        Of rays that lie behind each other, a broken one first.
        """
        found = [name for name in self.pin_bones(segment) if self._is_in(name, view, drawn)]
        if len(found) > 1 and has_rays(self.limb, segment):
            broken = {fracture.bone for fracture in self.case.fractures}
            found.sort(key=lambda name: name not in broken)
        return found[0] if found else None

    def _is_in(self, bone: str, view: View, drawn: Point) -> bool:
        (left, top, right, bottom), ring = _ring(self.limb, bone, view)
        u, level = drawn
        return left <= u <= right and top <= level <= bottom and is_inside(ring, drawn)

    def unpinned_at(self, place: Place) -> str | None:
        """The title of a bone under a place that can carry no pin, being drawn only."""
        if place.frame is None:
            return None
        for bone in self.limb.bones.values():
            drawn = self.drawn_in(place.frame, bone.segment, place.at)
            if bone.drawn_only and self._is_in(bone.name, place.frame.view, drawn):
                return bone.title
        return None

    def pin_bones(self, segment: str) -> tuple[str, ...]:
        """Bones of a segment that can carry a pin, the primary one first."""
        return _pin_bones(self.limb, segment)


@lru_cache(maxsize=64)
def _pin_bones(limb: Limb, segment: str) -> tuple[str, ...]:
    bones = [bone for bone in limb.bones.values() if bone.segment == segment]
    carrying = [bone for bone in bones if not bone.drawn_only]
    return tuple(bone.name for bone in sorted(carrying, key=lambda b: not b.primary_of_segment))


@lru_cache(maxsize=256)
def _ring(limb: Limb, bone: str, view: View) -> tuple[Extent, tuple[Point, ...]]:
    """A bone's outline in a view as points that are quick to go through, and their extent."""
    ring = tuple((float(u), float(level)) for u, level in limb.outline(bone, view))
    us, levels = zip(*ring, strict=True)
    return (min(us), min(levels), max(us), max(levels)), ring


def _holds(frame: ViewFrame, at: Point) -> bool:
    x, y, width, height = frame.box
    return x <= at[0] <= x + width and y <= at[1] <= y + height


def _kind_order(subject: str) -> int:
    kind = subject.split("-", maxsplit=1)[0]
    return GRAB_ORDER.index(kind) if kind in GRAB_ORDER else len(GRAB_ORDER)
