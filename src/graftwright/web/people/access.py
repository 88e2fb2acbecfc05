"""One table: which account may open which address. Every address stands in it, or nobody may."""

from enum import StrEnum

from graftwright.store.signed_in import Role, signed_in


class Open(StrEnum):
    """What asks for no account."""

    TO_ALL = "open to all"
    BY_TOKEN = "opened by a token of its own"


Access = Open | Role

_ACCESS: dict[Access, str] = {
    # the door itself, what a receiver sees, and scripts without anybody's data in them
    Open.TO_ALL: "sign-in pair receiver-card worker-script",
    # these look at their own tokens, never at who is signed in
    Open.BY_TOKEN: (
        "calendar-feed api api-document api-entries api-entry api-things api-thing api-jobs "
        "api-plan api-codes "
        "merge-sums merge-ids merge-entries merge-photos merge-photo"
    ),
    # five minutes of instruction: the day's work, and reading what a tag says
    Role.HELPER: (
        "today tick take-back trees code write-deed revive go-to-code scanned-code "
        "bench bench-run bench-count count-labels close-day run-sheet undo-run "
        "results write-results "
        "walk walk-place walk-end apply-walk water write-rain "
        "this-phone hello page-data codes-for-phone bring-entries add-photo photo-file "
        "choose-unit choose-language "
        "card me change-own-password make-own-link end-own-sign-in sign-out"
    ),
    # the whole nursery, but not who else may come in
    Role.GRAFTER: (
        "arrange put-off bring-back give-job expect-wind cover cover-day cover-night "
        "correct-entry withdraw-entry workshop "
        "clashes settle-clash "
        "lessons choose-reader show-rates lessons-causes lessons-compare lessons-forecasts "
        "keep-forecasts promises make-promise promise withdraw-promise settle-promise plan years "
        "work-progress cancel-work ask-work-again wood "
        "gauge-card join-sheet photo read-photo write-photo marker-sheet cover-weather paper "
        "labels "
        "label-scale forget-sheet workshop-pack paper-file exchange take-back-in passport "
        "make-token make-calendar-address revoke-token exchange-file spreadsheet "
        "spreadsheet-template read-in read-in-temperatures reading answer enter-rows "
        "drop-reading planting keep-spot plot plot-pdf plot-geojson plot-gpx mothers "
        "place-nursery names write-names mother rename-mother write-mother second-chance "
        "bud-stocks carry-over autumn set-aside hand-over-promise trace trace-file trace-of "
        "practice set-practice"
    ),
    Role.ORGANISER: (
        "scheme bring-offer make-own-offer remove-offer offer-file scheme-paper "
        "begin people add-person change-role change-password close-person make-link-for "
        "end-sign-in-of"
    ),
}

ACCESS: dict[str, Access] = {
    name: access for access, names in _ACCESS.items() for name in names.split()
}

# What a helper may write about a code; the other deeds decide what becomes of trees and names.
HELPER_DEEDS = frozenset(
    ("buds", "take", "growth", "binding", "shoots", "pot", "loss", "move", "water", "note")
)


def access_to(url_name: str, *, deed: str = "") -> Access:
    """Return what an address asks for; one that nobody thought of is the organiser's alone."""
    if url_name == "write-deed" and deed not in HELPER_DEEDS:
        return Role.GRAFTER
    return ACCESS.get(url_name, Role.ORGANISER)


def may_write(deed: str) -> bool:
    """Return whether who is signed in may write a deed down; whoever needs no account may."""
    person, access = signed_in(), access_to("write-deed", deed=deed)
    return person is None or isinstance(access, Open) or person.role.reaches(access)


def may(role: Role, url_name: str) -> bool:
    """Return whether a role may open an address."""
    access = access_to(url_name)
    return isinstance(access, Open) or role.reaches(access)
