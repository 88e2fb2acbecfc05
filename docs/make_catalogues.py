"""Gather every message, bring the catalogues up to date and compile them.

    python docs/make_catalogues.py                      all rooms: add, drop, compile
    python docs/make_catalogues.py --missing core       list what has no German yet, by key
    python docs/make_catalogues.py --fill core FILE     enter German from lines `key<TAB>German`

The two forms of a plural are parted by ` || `. A line in FILE that is no message is refused.
"""

import argparse
import ast
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.utils.translation.template import templatize

PACKAGE = Path(__file__).resolve().parents[1] / "src" / "graftwright"
LOCALE = PACKAGE / "locale"
LANGUAGE = "de"
CORE = (
    "season",
    "notebook",
    "wood",
    "climate",
    "losses",
    "planting",
    "tagcode",
    "solver",
    "tongue",
)
OTHER_ROOMS = (
    "web",
    "phone",
    "paper",
    "intake",
    "exchange",
    "cli",
    "store",
    "demo",
    "photo",
    "work",
)
_COUNTING = {"counted", "count_words", "count_of"}
_COUNTED_IN_TEMPLATE = re.compile(r'\|counted:"([^",]+),([^"]+)"')
# The scripts that run on a phone say `told("…")` and `counted(n, "graft", "grafts")` too.
_PHONE = PACKAGE / "web" / "static" / "phone"
_PHONE_WORDS = _PHONE / "german.js"
_TEXT = r'"((?:\\.|[^"\\])*)"'
_TOLD_IN_SCRIPT = re.compile(rf"told\((?:[^\"`()]*\? )?{_TEXT}(?: : {_TEXT})?")
_COUNTED_IN_SCRIPT = re.compile(rf"counted\([^\"]*, {_TEXT}, {_TEXT}\)")
_CHOSEN_ON_PHONE = PACKAGE / "notebook" / "entries" / "bench.py"
_SAYING = {"say": 1, "told": 1, "marked": 1, "says": 2, "gettext": 1, "ngettext": 2}
_NO_MOMENT = datetime(2009, 1, 1, tzinfo=UTC)
_LITERAL = r"""u?(?:'(?:\\.|[^'\\])*'|"(?:\\.|[^"\\])*")"""
_IN_TEMPLATE = re.compile(
    rf"(?<![\w])(?:_|gettext|ngettext)\(\s*({_LITERAL})(?:\s*,\s*({_LITERAL}))?"
)
FIELD = re.compile(r"\{(\w*)[^{}]*\}|%\((\w+)\)s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """One message as the sources have it: its English, its plural if it has one, its place."""

    one: str
    many: str = ""
    place: str = ""

    @property
    def key(self) -> str:
        """A short name that stays while the English stays."""
        return sha256(self.one.encode()).hexdigest()[:8]

    @property
    def babel_id(self) -> str | tuple[str, str]:
        """How Babel names it."""
        return (self.one, self.many) if self.many else self.one


def rooms() -> tuple[str, ...]:
    """Return the rooms that have a catalogue of their own; core is the rooms below the edges."""
    return ("core", *OTHER_ROOMS)


def messages_of(room: str) -> tuple[Message, ...]:
    """Return the messages of a room in the order of their files; each stands once."""
    found: dict[str, Message] = {}
    for path in _files(room):
        place = path.relative_to(PACKAGE).as_posix()
        for one, many in _READERS[path.suffix](path.read_text(encoding="utf-8"), place):
            earlier = found.get(one)
            if earlier is None or (many and not earlier.many):
                found[one] = Message(one=one, many=many, place=earlier.place if earlier else place)
            elif many and earlier.many != many:
                raise SystemExit(f"{place}: {one!r} has the plural {earlier.many!r} elsewhere")
    return tuple(found.values())


def _files(room: str) -> Iterator[Path]:
    if room == "phone":
        yield from (one for one in sorted(_PHONE.glob("*.js")) if one != _PHONE_WORDS)
    for name in CORE if room == "core" else (room,):
        single = PACKAGE / f"{name}.py"
        if single.exists():
            yield single
        yield from sorted((PACKAGE / name).rglob("*.py"))
        yield from sorted((PACKAGE / name).rglob("*.html"))


def _in_python(text: str, place: str) -> Iterator[tuple[str, str]]:
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ClassDef):
            yield from _choices(node)
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        if node.func.id in _COUNTING:
            yield from _nouns(node)
        count = _SAYING.get(node.func.id, 0)
        words = [one.value for one in node.args[:count] if isinstance(one, ast.Constant)]
        if count and len(words) == count and all(isinstance(one, str) for one in words):
            yield str(words[0]), str(words[1]) if count == 2 else ""
        elif count == 2:
            raise SystemExit(f"{place}:{node.lineno}: says() takes two texts as they stand")


def _choices(node: ast.ClassDef) -> Iterator[tuple[str, str]]:
    if any(isinstance(base, ast.Name) and base.id == "Choice" for base in node.bases):
        for line in node.body:
            if isinstance(line, ast.Assign) and isinstance(line.value, ast.Constant):
                yield str(line.value.value), ""


def _nouns(call: ast.Call) -> Iterator[tuple[str, str]]:
    words = [one.value for one in call.args[1:] if isinstance(one, ast.Constant)]
    if len(words) == 2:
        yield f"{{count}} {words[0]}", f"{{count}} {words[1]}"


def _in_template(text: str, _place: str) -> Iterator[tuple[str, str]]:
    for one, many in _COUNTED_IN_TEMPLATE.findall(text):
        yield f"{{count}} {one}", f"{{count}} {many}"
    for found in _IN_TEMPLATE.finditer(templatize(text)):
        yield ast.literal_eval(found[1]), ast.literal_eval(found[2]) if found[2] else ""


def _in_script(text: str, _place: str) -> Iterator[tuple[str, str]]:
    for one, other in _TOLD_IN_SCRIPT.findall(text):
        yield json.loads(f'"{one}"'), ""
        if other:
            yield json.loads(f'"{other}"'), ""
    for one, many in _COUNTED_IN_SCRIPT.findall(text):
        yield f"{{count}} {one}", ""
        yield f"{{count}} {many}", ""
    if "data.methods" in text:
        for node in ast.parse(_CHOSEN_ON_PHONE.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and node.name in {"Method", "Binding"}:
                yield from _choices(node)


_READERS = {".py": _in_python, ".html": _in_template, ".js": _in_script}


def phone_words() -> str:
    """Return the script that gives a phone its German."""
    catalogue = read_catalogue("phone")
    said = {one.one: said_in(catalogue, one) for one in messages_of("phone")}
    german = {english: forms[0] for english, forms in said.items() if forms}
    words = json.dumps({LANGUAGE: german}, ensure_ascii=False, indent=1)
    head = "// Made by docs/make_catalogues.py from the catalogue of the room phone."
    return f"{head}\nself.phoneWords = {words};\n"


def folder_of(room: str) -> Path:
    """Return where the catalogue of a room lies."""
    return LOCALE / room / LANGUAGE / "LC_MESSAGES"


def read_catalogue(room: str) -> Catalog:
    """Return a room's catalogue as it lies there; an empty one where there is none."""
    path = folder_of(room) / "django.po"
    if not path.exists():
        return Catalog(locale=LANGUAGE)
    with path.open("rb") as file:
        catalogue = read_po(file, locale=LANGUAGE)
    # the moment of making is no matter of the messages, and would change every run
    catalogue.creation_date = catalogue.revision_date = _NO_MOMENT
    catalogue.fuzzy = False
    return catalogue


def compiled(catalogue: Catalog) -> bytes:
    """Return the compiled form of a catalogue."""
    made = BytesIO()
    write_mo(made, catalogue)
    return made.getvalue()


def said_in(catalogue: Catalog, message: Message) -> tuple[str, ...]:
    """Return the German forms of a message; none where one is missing."""
    known = catalogue.get(message.babel_id)
    if known is None or (message.many and not isinstance(known.id, (list, tuple))):
        return ()
    forms = known.string if isinstance(known.string, (list, tuple)) else (known.string,)
    return tuple(forms) if all(forms) else ()


def bring_up_to_date(room: str, filled: dict[str, tuple[str, ...]]) -> None:
    """Write a room's catalogue anew: messages of now, German of before and of `filled`."""
    messages = messages_of(room)
    if not messages:
        return
    before = read_catalogue(room)
    after = Catalog(locale=LANGUAGE, project="Graftwright", charset="utf-8")
    for message in messages:
        forms = filled.get(message.key) or said_in(before, message)
        german = (forms or ("", "")) if message.many else (forms or ("",))[0]
        after.add(message.babel_id, german, locations=[(message.place, None)])
    after.fuzzy = False
    folder = folder_of(room)
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "django.po").open("wb") as file:
        write_po(file, after, width=0, omit_header=False)
    _drop_moments(folder / "django.po")
    (folder / "django.mo").write_bytes(compiled(read_catalogue(room)))
    if room == "phone":
        _PHONE_WORDS.write_text(phone_words(), encoding="utf-8")


def _drop_moments(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    moving = (
        *('"POT-Creation-Date', '"PO-Revision-Date', '"Generated-By', '"Report-Msgid-Bugs-To'),
        *('"Last-Translator', '"Language-Team', "# Copyright", "# FIRST"),
    )
    kept = [one for one in lines if not one.startswith(moving)]
    path.write_text("".join(kept), encoding="utf-8")


def missing_in(room: str) -> tuple[Message, ...]:
    """Return the messages of a room that have no German yet."""
    catalogue = read_catalogue(room)
    return tuple(one for one in messages_of(room) if not said_in(catalogue, one))


def stale_in(room: str) -> tuple[str, ...]:
    """Return what stands in a room's catalogue though nothing says it any more."""
    now = {one.one for one in messages_of(room)}
    firsts = (
        one.id[0] if isinstance(one.id, (list, tuple)) else one.id for one in read_catalogue(room)
    )
    return tuple(one for one in firsts if one and one not in now)


def fields_of(text: str) -> frozenset[str]:
    """Return the named fields of a text."""
    return frozenset(one or other for one, other in FIELD.findall(text))


def _filled(room: str, path: Path) -> dict[str, tuple[str, ...]]:
    known = {one.key: one for one in messages_of(room)}
    filled = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line.strip():
            continue
        key, _, german = line.partition("\t")
        if key not in known:
            raise SystemExit(f"{key}: no message of {room} has this key; --missing lists them")
        forms = tuple(one.replace("\\n", "\n") for one in german.split(" || "))
        if len(forms) != (2 if known[key].many else 1):
            raise SystemExit(f"{key}: {len(forms)} forms; see --missing for how many it takes")
        filled[key] = forms
    return filled


def main() -> None:
    """Do what the arguments ask."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--missing", choices=rooms())
    parser.add_argument("--fill", nargs=2, metavar=("ROOM", "FILE"))
    asked = parser.parse_args()
    if asked.missing:
        for one in missing_in(asked.missing):
            words = " || ".join(filter(None, (one.one, one.many))).replace("\n", "\\n")
            print(f"{one.key}\t{words}")
        return
    if asked.fill:
        room, name = asked.fill
        bring_up_to_date(room, _filled(room, Path(name)))
        return
    for room in rooms():
        bring_up_to_date(room, {})


if __name__ == "__main__":
    main()
