"""What to open as plain values, for JSON."""

from fixplan.kit.answer import Amount, KitAnswer, OpenTray
from fixplan.kit.offers import Offer


def plain(answer: KitAnswer) -> dict[str, object]:
    """The whole answer."""
    return {
        "trays": answer.source,
        "open": [_tray(one) for one in answer.opened],
        "packs": [
            {"shelf": one.shelf, "ready": one.is_ready, **_amount(one.amount)}
            for one in answer.packs
        ],
        "missing": [
            {
                "case": one.case + 1,
                "part": one.part.name,
                "count": one.count,
                "for": list(one.owners),
                "elsewhere": one.elsewhere,
            }
            for one in answer.missing
        ],
        "replaced": [
            {
                "case": one.case + 1,
                "for": one.owner,
                "drawn": one.wanted.name,
                "taken": one.used.name,
                "effect": one.effect,
                "accepted": one.reason,
            }
            for one in answer.replaced
        ],
        "clashes": [
            {
                "case": one.case + 1,
                "severity": one.severity,
                "message": one.message,
                "subjects": list(one.subjects),
                "accepted": one.accepted,
            }
            for one in answer.clashes
        ],
        "no_spare": list(answer.unspared),
        "no_caps": list(answer.lacking),
        "other": list(answer.other),
        "proven": answer.is_proven,
    }


def _tray(tray: OpenTray) -> dict[str, object]:
    return {
        "tray": tray.name,
        "kind": tray.kind,
        "family": tray.family,
        "place": tray.place,
        "patient": tray.patient + 1,
        "last_of_kind": tray.is_last,
        "take": [_amount(one) for one in tray.taken],
        "spare": [_amount(one) for one in tray.spare],
        "left": [_amount(one) for one in tray.left],
    }


def _amount(amount: Amount) -> dict[str, object]:
    told: dict[str, object] = {"part": amount.name, "count": amount.count}
    return {**told, "case": amount.for_case} if amount.for_case else told


def plain_offer(at: int, offer: Offer) -> dict[str, object]:
    """A change that leaves less missing; `at` is the place of its case, from 0."""
    return {
        "case": at + 1,
        "for": offer.for_part,
        "change": offer.words,
        "effect": offer.effect,
        "missing_after": offer.missing_after,
    }
