"""What was agreed about the plan, and the parts that were used, as frozen records."""

from typing import Annotated

from msgspec import Meta

from fixplan.case.scalars import Record, ShortText

Count = Annotated[int, Meta(ge=0, le=999)]


class Talk(Record, frozen=True, kw_only=True):
    """The plan was discussed: with whom, when it was agreed, and what; all as typed."""

    discussed_with: Annotated[str, Meta(min_length=1, max_length=200)]
    agreed_at: ShortText = ""
    agreed: ShortText = ""


class PartUsed(Record, frozen=True, kw_only=True):
    """One line of the count after theatre; `used` and `wasted` are of those `opened`."""

    name: Annotated[str, Meta(min_length=1, max_length=200)]
    planned: Count = 0
    opened: Count = 0
    used: Count = 0
    wasted: Count = 0
