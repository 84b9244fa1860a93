"""The rules of resources/rules.toml as records, with the evidence that each one names."""

import zlib
from functools import cache, cached_property, lru_cache
from typing import Literal

import msgspec

from fixplan.case.scalars import Severity
from fixplan.errors import LibraryError
from fixplan.frame.patterns import kin_of
from fixplan.limb.library import load_toml, read_bytes

Limits = dict[str, float]
RULES_FORMAT = 1
EVIDENCE_FILE = "evidence.toml"


class Sector(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A range of bearings round a bone with limits in mm; `from_deg` turns up to `to_deg`.

    `front_share`: the stop holds only in front of this share of the bone's depth.
    """

    name: str
    from_deg: float
    to_deg: float
    stop: float | None = None
    caution: float | None = None
    front_share: float | None = None

    def holds(self, bearing_deg: float) -> bool:
        """Whether a bearing lies in the sector."""
        width_deg = (self.to_deg - self.from_deg) % 360 or 360.0
        return (bearing_deg - self.from_deg) % 360 <= width_deg


class Region(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Part of a bone, as shares of its length from the proximal end."""

    from_share: float
    to_share: float

    def holds(self, share: float) -> bool:
        """Whether a share of the bone's length lies in the part."""
        return self.from_share <= share <= self.to_share


class LevelBand(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Levels told from a landmark, `least` to `most` of it on its `towards` side.

    In mm, or as shares of the length of the segment's main bone. `forward` and `backward` tell y in
    place of the level: a plate that stands across the heel.
    """

    landmark: str
    towards: Literal["proximal", "distal", "forward", "backward"]
    least: float
    most: float
    unit: Literal["mm", "share"] = "mm"

    @property
    def is_across(self) -> bool:
        """Whether it tells y in place of the level."""
        return self.towards in ("forward", "backward")


class Exposure(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How a structure is exposed, and from which bearings (deg) that cut opens the way to it.

    Without bearings it is made wherever the pin goes in. `gives_way`: what the
    cut takes out of the pin's way, as a nerve of the skin behind a sleeve.
    """

    how: str
    from_deg: float | None = None
    to_deg: float = 0.0
    gives_way: bool = False

    def opens(self, bearing_deg: float) -> bool:
        """Whether the cut for a pin from this bearing shows the structure."""
        if self.from_deg is None:
            return True
        return (bearing_deg - self.from_deg) % 360 <= (self.to_deg - self.from_deg) % 360


class LeftBone(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Bones that practice leaves without a pin where one of those `beside` holds one, and why.

    Bones are named by themselves or by their kin ("metacarpal").
    """

    bones: tuple[str, ...]
    beside: tuple[str, ...]
    words: str


class Rule(msgspec.Struct, frozen=True, eq=False, forbid_unknown_fields=True, dict=True):
    """One rule. Compared by identity, so that answers can be remembered per rule.

    `below` and `above` give the severity of a value beyond each limit; `numbers` holds the rule's
    other figures; `texts` are wordings other than `text`. Of several `bands` the widest counts.
    `tracks`: structures that the rule speaks of, so that no other rule need name them again.
    `bundles`: structures that run together, so that with one the others are named.
    `exposures`: by structure, how it is exposed through an open approach, and from which side.
    `gives_way_to`: rules whose finding on the same subject says the same; one that names structures
    must name one of this rule's `tracks`, if it has any.
    `left`: bones that practice may leave to something else than a pin.
    `cites`: the evidence behind the limit of one severity, where it is not the rule's own.
    `bone_cites`: by bone or its kin, evidence for that bone alone, told beside the rule's own.
    """

    id: str
    kind: str
    subject: str
    why: str
    evidence: tuple[str, ...]
    text: str = ""
    target: str = ""
    unit: str = ""
    severity: Severity = "note"
    severities: dict[str, Severity] = {}
    below: dict[Severity, float] = {}
    above: dict[Severity, float] = {}
    numbers: Limits = {}
    region: Region | None = None
    sectors: tuple[Sector, ...] = ()
    bands: tuple[LevelBand, ...] = ()
    bones: tuple[str, ...] = ()
    tracks: tuple[str, ...] = ()
    bundles: tuple[tuple[str, ...], ...] = ()
    left: tuple[LeftBone, ...] = ()
    cites: dict[Severity, tuple[str, ...]] = {}
    bone_cites: dict[str, tuple[str, ...]] = {}
    exposures: dict[str, Exposure] = {}
    landmark: str = ""
    clear: str = ""
    code: str = ""
    exempt: tuple[str, ...] = ()
    loads: tuple[str, ...] = ()
    cleared_by: tuple[str, ...] = ()
    gives_way_to: tuple[str, ...] = ()
    texts: dict[str, str] = {}
    slack: float = 1.0
    reviewed: str = ""

    @cached_property
    def least_first(self) -> tuple[tuple[Severity, float], ...]:
        """The limits of `below`, the least first."""
        return tuple(sorted(self.below.items(), key=lambda item: item[1]))

    @cached_property
    def greatest_first(self) -> tuple[tuple[Severity, float], ...]:
        """The limits of `above`, the greatest first."""
        return tuple(sorted(self.above.items(), key=lambda item: -item[1]))

    def evidence_for(self, bone: str) -> tuple[str, ...]:
        """The rule's evidence and what is known of a bone, or of its kin, besides."""
        more = self.bone_cites.get(bone) or self.bone_cites.get(kin_of(bone), ())
        return (*self.evidence, *more)

    @cached_property
    def all_evidence(self) -> tuple[str, ...]:
        """The rule's evidence and that of single bones, each id once."""
        ids = (*self.evidence, *(one for more in self.bone_cites.values() for one in more))
        return tuple(dict.fromkeys(ids))

    @cached_property
    def cited(self) -> str:
        """Evidence ids and a short citation, for the end of a message."""
        return cited(self.evidence)

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """Ids of the publications behind the rule's evidence, those of single bones too."""
        return sources_behind(self.all_evidence)


class RuleFile(msgspec.Struct, frozen=True, eq=False, forbid_unknown_fields=True):
    """What rules.toml holds."""

    schema: int
    reviewed: str
    rule: tuple[Rule, ...]


class Evidence(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A published number: what it says, how sure we are of it, and where it is from."""

    id: str
    says: str
    value: str
    status: str
    strength: str
    cite: str
    sources: tuple[str, ...]
    note: str = ""


class EvidenceFile(msgspec.Struct, frozen=True, eq=False, forbid_unknown_fields=True):
    """What evidence.toml holds."""

    schema: int
    evidence: tuple[Evidence, ...]


class Source(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A publication and what we take from it."""

    id: str
    title: str
    level: str
    says: str
    authors: str = ""
    where: str = ""
    year: int | None = None
    link: str = ""


class SourceFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What sources.toml holds."""

    schema: int
    source: tuple[Source, ...]


def rules() -> tuple[Rule, ...]:
    """All rules in the order of the list, house values included.

    Raises:
        LibraryError: a rule whose evidence is not listed.
    """
    return _sound(load_toml("rules.toml", RuleFile))


@lru_cache(maxsize=4)
def _sound(listed: RuleFile) -> tuple[Rule, ...]:
    known = evidence()
    for rule in listed.rule:
        apart = (*rule.cites.values(), *rule.bone_cites.values())
        named_ids = (*rule.evidence, *(one for ids in apart for one in ids))
        missing = [one for one in named_ids if one not in known]
        if missing or not rule.evidence:
            named = ", ".join(missing) or "nothing"
            raise LibraryError(f"rules.toml, {rule.id} cites {named}: list it in evidence.toml.")
    return listed.rule


def evidence() -> dict[str, Evidence]:
    """Evidence by id."""
    return _evidence_by_id(load_toml(EVIDENCE_FILE, EvidenceFile))


@lru_cache(maxsize=4)
def _evidence_by_id(listed: EvidenceFile) -> dict[str, Evidence]:
    return {one.id: one for one in listed.evidence}


@lru_cache(maxsize=256)
def cited(ids: tuple[str, ...]) -> str:
    """Evidence ids and the short citation of the first, for the end of a message."""
    return f"{', '.join(ids)}; {_listed(ids[0]).cite}"


@lru_cache(maxsize=256)
def sources_behind(ids: tuple[str, ...]) -> tuple[str, ...]:
    """Ids of the publications behind some evidence."""
    found = [source for one in ids for source in _listed(one).sources]
    return tuple(dict.fromkeys(found))


def _listed(evidence_id: str) -> Evidence:
    found = evidence().get(evidence_id)
    if found is None:
        raise LibraryError(f"evidence.toml does not hold {evidence_id}: list it there.")
    return found


def publications() -> dict[str, Source]:
    """Publications by id; read only when somebody wants to see them."""
    return {one.id: one for one in load_toml("sources.toml", SourceFile).source}


def rule_by_id(rule_id: str) -> Rule | None:
    """The rule with this id; None for one that is no longer, or not yet, in the list."""
    return by_id(rules()).get(rule_id)


@lru_cache(maxsize=4)
def by_id(listed: tuple[Rule, ...]) -> dict[str, Rule]:
    """Rules by their ids, in the order of the list."""
    return {rule.id: rule for rule in listed}


@cache
def rule_set_version() -> str:
    """Short name of the rules as shipped; changes with every change of those files."""
    crc = 0
    for name in ("rules.toml", EVIDENCE_FILE, "margins.toml"):
        crc = zlib.crc32(read_bytes(name), crc)
    return f"{RULES_FORMAT}-{crc:08x}"
