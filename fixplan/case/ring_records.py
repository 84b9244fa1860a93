"""What is torn of the pelvic ring: the symphysis in front, the joint with the sacrum behind."""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.scalars import Record

Symphysis = Literal["not known", "intact", "torn"]
BackOfRing = Literal["not known", "intact", "torn in front", "torn through", "broken through"]


class RingInjury(Record, frozen=True, kw_only=True):
    """The ring of a pelvis. `symphysis_mm`: how far the symphysis stands open on the X-ray.

    The back of the ring is torn in front when its front ligaments alone have gone, so that it opens
    like a book; torn through when nothing holds it; broken through when the sacrum or the wing is.
    """

    symphysis: Symphysis = "not known"
    symphysis_mm: Annotated[float, Meta(ge=0, le=150)] | None = None
    back_right: BackOfRing = "not known"
    back_left: BackOfRing = "not known"
