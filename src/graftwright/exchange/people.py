"""People of the notebook as address cards (vCard 4.0, RFC 6350), for those who ask for them."""

from collections.abc import Iterable, Iterator
from uuid import UUID, uuid5

from graftwright.notebook.notebook import Notebook
from graftwright.tongue import told

_NAMESPACE = UUID("5f1d6a0e-3c7b-4b0e-8a63-1f2f0c9d7e55")
_FOLD_BYTES = 75


def people_vcards(notebook: Notebook, *, only: Iterable[str] = ()) -> bytes:
    """Return a card for each person named in a promise or as owner of a mother tree.

    A card holds the name and what the notebook says of it: which promises, which trees. `only`
    narrows it to some names. The same person keeps the same UID.

    Source
    ------
    RFC6350: line ends CR LF, lines folded at 75 octets, commas, semicolons and line ends escaped.
    """
    wanted = {" ".join(name.split()).casefold() for name in only}
    notes: dict[str, list[str]] = {}
    for name, words in _mentions(notebook):
        whole = " ".join(name.split())
        if whole and (not wanted or whole.casefold() in wanted):
            notes.setdefault(whole, []).append(words)
    cards = (_card(name, words) for name, words in sorted(notes.items()))
    return "".join(cards).encode("utf-8", errors="replace")


def _mentions(notebook: Notebook) -> Iterator[tuple[str, str]]:
    for promise in notebook.promises.values():
        wanted = told(
            "{wanted_count} {variety} on {stock}",
            wanted_count=promise.wanted_count,
            variety=promise.variety,
            stock=promise.stock,
        )
        yield (
            promise.who,
            told("promise {promise_code}: {wanted}", promise_code=promise.code, wanted=wanted),
        )
    for tree in notebook.mother_trees.values():
        yield (
            tree.owner,
            told(
                "owner of mother tree {tree_code}: {variety}, {site}",
                tree_code=tree.code,
                variety=tree.variety,
                site=tree.site,
            ),
        )


def _card(name: str, words: Iterable[str]) -> str:
    lines = (
        "BEGIN:VCARD",
        "VERSION:4.0",
        f"UID:urn:uuid:{uuid5(_NAMESPACE, name.casefold())}",
        f"FN:{_escaped(name)}",
        f"NOTE:{_escaped('; '.join(words))}",
        "END:VCARD",
    )
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _escaped(text: str) -> str:
    plain = "".join(" " if ord(sign) < 32 or ord(sign) == 127 else sign for sign in text)
    for sign in ("\\", ",", ";"):
        plain = plain.replace(sign, f"\\{sign}")
    return plain


def _folded(line: str) -> str:
    """Break a line so that no part has more than 75 octets, never within a letter."""
    parts, current, room = [], "", _FOLD_BYTES
    for sign in line:
        size = len(sign.encode("utf-8", errors="replace"))
        if size > room:
            parts.append(current)
            current, room = "", _FOLD_BYTES - 1  # the blank that leads a continued line
        current += sign
        room -= size
    return "\r\n ".join((*parts, current))
