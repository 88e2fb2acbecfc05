"""Which thing a person means by a code, their own mark, or a name."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from graftwright.errors import Ambiguous, GraftwrightError, UnknownCode
from graftwright.intake.headers import key_of
from graftwright.intake.trial import Trial
from graftwright.tagcode import read_code
from graftwright.tongue import say, told

T = TypeVar("T")
R = TypeVar("R")


def name_key(text: str) -> str:
    """Return what counts of a name: M.26 and M26, Ashmead's and Ashmeads are the same."""
    return "".join(character for character in text.casefold() if character.isalnum())


def code_or_empty(text: str) -> str:
    """Return the tag code a text is, empty if it is none."""
    try:
        return read_code(text)
    except GraftwrightError:
        return ""


@dataclass(slots=True)
class References:
    """The names that rows may use for things, in the notebook and in the workbook."""

    trial: Trial
    _marks: dict[tuple[str, str], str] = field(default_factory=dict)

    def remember(self, kind: str, mark: str, code: str) -> None:
        """Remember the person's own mark of a thing; it holds within the workbook."""
        if mark:
            self._marks[kind, key_of(mark)] = code

    def marked(self, kind: str, mark: str) -> str:
        """Return the code of the thing with this mark, empty if there is none."""
        return self._marks.get((kind, key_of(mark)), "") if mark else ""

    def place(self, text: str) -> str:
        """Return the code of a place by code or name, empty for an empty text."""
        if not text:
            return ""
        places = self.trial.places
        named = [code for code, place in places.items() if key_of(place.name) == key_of(text)]
        return self._meant("place", text, places, named, say("sheet places"))

    def mother_tree(self, text: str, variety: str) -> str:
        """Return the code of a mother tree by code, mark, or site among those of the variety."""
        if not text:
            return ""
        trees = self.trial.mother_trees
        sited = [
            code
            for code, tree in trees.items()
            if key_of(tree.site) == key_of(text)
            and name_key(variety) in {name_key(name) for name in tree.names}
        ]
        return self._meant(say("mother tree"), text, trees, sited, say("sheet mother trees"))

    def bundle(self, text: str) -> str:
        """Return the code of a bundle by code, mark, or variety if there is but one of it."""
        bundles = self.trial.bundles
        of_variety = [
            code
            for code, bundle in bundles.items()
            if name_key(text)
            in (name_key(bundle.variety), name_key(self.trial.now.variety_of_bundle(code)))
            and bundle.discarded_on is None
        ]
        return self._meant("bundle", text, bundles, of_variety, say("sheet bundles"))

    def lot(self, text: str) -> str:
        """Return the code of a lot by code, mark, or stock if there is but one of it in hand."""
        lots = self.trial.lots
        of_stock = [
            c for c, lot in lots.items() if lot.stock and name_key(lot.stock) == name_key(text)
        ]
        in_hand = [code for code in of_stock if lots[code].in_hand_count > 0]
        return self._meant("lot", text, lots, in_hand or of_stock, say("sheet stock lots"))

    def promise(self, text: str, variety: str, stock: str) -> str:
        """Return the code of a promise by code, mark, or who, the variety and stock fitting."""
        if not text:
            return ""
        promises = self.trial.promises
        to_whom = [code for code, p in promises.items() if key_of(p.who) == key_of(text)]
        fitting = [
            code
            for code in to_whom
            if name_key(promises[code].variety) == name_key(variety)
            and name_key(promises[code].stock) == name_key(stock)
        ]
        named = to_whom if len(to_whom) == 1 else fitting
        return self._meant("promise", text, promises, named, say("sheet promises"))

    def _meant(
        self, kind: str, text: str, things: Mapping[str, object], named: Sequence[str], where: str
    ) -> str:
        if (code := code_or_empty(text)) in things:
            return code
        if marked := self.marked(kind, text):
            return marked
        if len(named) == 1:
            return named[0]
        if named:
            raise Ambiguous(
                told(
                    "{text!r} may be {listed}; give the code of the {kind} that is meant",
                    text=text,
                    listed=say(" or ").join(sorted(named)[:6]),
                    kind=kind,
                )
            )
        raise UnknownCode(
            told(
                "no {kind} is known as {text!r}; expected its code, your mark or its "
                "name: write it on {where}, or mend the spelling",
                kind=kind,
                text=text,
                where=where,
            )
        )


def paired(
    rows: Sequence[R],
    things: Mapping[str, T],
    *,
    alike: Callable[[R, T], bool],
    equal: Callable[[R, T], bool],
    claimed: Iterable[str] = (),
) -> dict[int, str]:
    """Return for each row (by place in `rows`) the code of the thing it tells of again.

    Each thing is told of by one row at most; rows that agree in all go first.
    """
    free = {code: thing for code, thing in things.items() if code not in set(claimed)}
    found: dict[int, str] = {}
    for same in (equal, alike):
        for place, row in enumerate(rows):
            if place in found:
                continue
            code = next(
                (c for c, thing in free.items() if alike(row, thing) and same(row, thing)), ""
            )
            if code:
                found[place] = code
                del free[code]
    return found
