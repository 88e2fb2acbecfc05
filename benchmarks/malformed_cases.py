"""Malformed forms, files and bodies, sent to every address that takes one; Django is set up before.

Forms are found on the pages themselves, filled in as a person would, and then spoilt. Files are
real ones with bytes and cells changed. Each case is undone after it was looked at.
"""

import io
import json
import random
import re
import traceback
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from html import unescape
from uuid import UUID

from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client

from graftwright.demo import demo_workbook
from graftwright.notebook.written import KINDS, written_to_plain
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import written_from_row
from graftwright.store.read import read_notebook
from graftwright.store.tokens import Purpose, make_token
from graftwright.web.urls import urlpatterns

_FORM = re.compile(r"<form\b(?P<heads>[^>]*)>(?P<body>.*?)</form>", re.S | re.I)
_FIELD = re.compile(r"<(?P<tag>input|select|textarea|button)\b(?P<heads>[^>]*)>", re.I)
_OPTION = re.compile(r"<option\b(?P<heads>[^>]*)>", re.I)
_HEAD = re.compile(r'([-\w]+)="([^"]*)"')
_ARGUMENT = re.compile(r"<(\w+):(\w+)>")
_NASTY: tuple[str, ...] = (
    "", " ", "0", "-1", "1e309", "NaN", "inf", "-0", "9" * 40, "1,5", "½", "٣", "\x00", "\ud800",
    "\u202e", "a\nb\r\nc", "é" * 300, "x" * 5000, "<script>", "=1+1", "2009-02-30", "0001-01-01",
    "9999-12-31", "10000-01-01", "2009-W07-2", "22223", "K4T76", "zzzzz", "on", "[]", "{}", "null",
    "true", "../../x", "%00", "'; DROP", "1" * 5000, "1_000", "+5", "0x10", "2009-02-17T25:00",
    "00000000-0000-0000-0000-000000000000", "🍏", "None", "\x1f", "1e-320", "-1e308", "١٢",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form as it stands on a page: where it goes, and its fields with a value each."""

    address: str
    fields: tuple[tuple[str, str], ...]
    files: tuple[str, ...] = ()


@dataclass(slots=True)
class Told:
    """What was tried and what went wrong."""

    tried: dict[str, int] = field(default_factory=dict)
    statuses: dict[int, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)


class Nursery:
    """A small notebook with everything that malformed things are sent to."""

    def __init__(self) -> None:
        self.client = Client(raise_request_exception=True)
        token = make_token(Purpose.PROGRAM, name="malformed", may_write=True)
        self.program = Client(headers={"authorization": f"Bearer {token}"})
        self.lines = [written_to_plain(written_from_row(row)) for row in WrittenEntry.objects.all()]
        self.forms = self._forms()
        self.files = self._files()
        self.told = Told()

    def case(self, rng: random.Random) -> None:
        """Send one malformed thing, look at what came of it, and undo it."""
        kind = rng.choice((self._form, self._form, self._file, self._entries, self._program))
        name = kind.__name__.strip("_")
        self.told.tried[name] = self.told.tried.get(name, 0) + 1
        with transaction.atomic():
            before = WrittenEntry.objects.count()
            try:
                what, status, may_store = kind(rng)
                self.told.statuses[status] = self.told.statuses.get(status, 0) + 1
                if status >= 500:
                    self.told.faults.append(f"{what}: answered {status}")
                stored = WrittenEntry.objects.count() - before
                if stored and not may_store:
                    self.told.faults.append(f"{what}: answered {status} and stored {stored}")
                if stored and rng.random() < 0.2:
                    for page in ("/", "/trees/", "/exchange/tables.zip"):
                        self.client.get(page)
            except Exception as fault:
                place = traceback.extract_tb(fault.__traceback__)
                own = [one for one in place if "/graftwright/" in one.filename]
                last = own[-1] if own else place[-1]
                where = f"{last.filename.rpartition('/graftwright/')[2]}:{last.lineno}"
                self.told.faults.append(f"{name}: {where}: {fault!r:.300}")
            transaction.set_rollback(True)

    def _form(self, rng: random.Random) -> tuple[str, int, bool]:
        form = rng.choice(self.forms)
        fields: list[tuple[str, str]] = list(form.fields)
        for _ in range(rng.randint(1, 3)):
            self._spoil(fields, rng)
        data: dict[str, list[object]] = {}
        for name, value in fields:
            whole = value.encode(errors="replace").decode()  # half a character cannot be sent
            data.setdefault(name, []).append(whole)
        for name in form.files:
            data[name] = [self._spoilt_file(rng)]
        address = form.address
        if rng.random() < 0.1:
            address = re.sub(r"(?<=/)[A-Z0-9]{5}(?=/)", rng.choice(("22223", "zzzzz")), address)
        answer = self.client.post(address, data)
        what = f"POST {address} {dict(fields)!r:.200}"
        if answer.status_code in (301, 302) and answer["Location"].startswith("/"):
            self.client.get(answer["Location"])
        return what, answer.status_code, answer.status_code < 400

    def _spoil(self, fields: list[tuple[str, str]], rng: random.Random) -> None:
        if not fields or rng.random() < 0.1:
            fields.append((rng.choice(("code", "kind", "count", "x")), rng.choice(_NASTY)))
            return
        place = rng.randrange(len(fields))
        name, value = fields[place]
        way = rng.randrange(5)
        if way == 0:
            del fields[place]
        elif way == 1:
            fields.append((name, rng.choice(_NASTY)))
        elif way == 2 and value:
            at = rng.randrange(len(value))
            fields[place] = (name, value[:at] + rng.choice(_NASTY)[:5] + value[at + 1 :])
        else:
            fields[place] = (name, rng.choice(_NASTY))

    def _file(self, rng: random.Random) -> tuple[str, int, bool]:
        form = rng.choice([one for one in self.forms if one.files])
        data: dict[str, object] = dict(form.fields)
        for name in form.files:
            data[name] = self._spoilt_file(rng)
        answer = self.client.post(form.address, data)
        what = f"POST {form.address} with {data[form.files[0]]}"
        return what, answer.status_code, answer.status_code == 302

    def _spoilt_file(self, rng: random.Random) -> SimpleUploadedFile:
        name, content = rng.choice(self.files)
        content = spoilt_bytes(content, rng)
        if rng.random() < 0.1:
            name = rng.choice(("x", "...", "a.jsonl", "a.xlsx", "a.csv", "é.zip", "a" * 190))
        return SimpleUploadedFile(name, content, rng.choice(("image/jpeg", "text/csv", "x/y")))

    def _entries(self, rng: random.Random) -> tuple[str, int, bool]:
        lines = [self._spoilt_line(rng) for _ in range(rng.randint(1, 3))]
        body: object = {"device": "phone 3f2a", "entries": lines}
        if rng.random() < 0.15:
            body = rng.choice([[], None, 3, "x", {"entries": {}}, {"entries": [body]}])
        raw = json.dumps(body).encode()
        if rng.random() < 0.15:
            raw = spoilt_bytes(raw, rng)
        answer = self.client.post("/sync/entries", raw, content_type="application/json")
        kept = b'"kept' in answer.content
        return f"POST /sync/entries {raw[:200]!r}", answer.status_code, kept

    def _program(self, rng: random.Random) -> tuple[str, int, bool]:
        body: object = self._spoilt_line(rng)
        if rng.random() < 0.5:
            body = {"entries": [body]}
        raw = json.dumps(body).encode()
        if rng.random() < 0.2:
            raw = spoilt_bytes(raw, rng)
        address = rng.choice(("/api/entries", "/api/entries", "/api/codes"))
        answer = self.program.post(address, raw, content_type="application/json")
        return f"POST {address} {raw[:200]!r}", answer.status_code, answer.status_code < 300

    def _spoilt_line(self, rng: random.Random) -> object:
        line = json.loads(json.dumps(rng.choice(self.lines)))
        line["entry_id"] = str(UUID(int=rng.getrandbits(128)))
        line["written_at"] = datetime.now(UTC).isoformat()
        if rng.random() < 0.3:
            line["kind"] = rng.choice(list(KINDS))
        for _ in range(rng.randint(1, 2)):
            inside = line.get("entry")
            part = inside if rng.random() < 0.7 and isinstance(inside, dict) else line
            name = rng.choice(list(part) or ["x"])
            part[name] = rng.choice((*_NASTY, 3, -1, 1.5, 10**30, True, None, [], {}, [[]], ["a"]))
        return line

    def _forms(self) -> list[Form]:
        found: dict[tuple[str, tuple[str, ...]], Form] = {}
        for page in self._pages():
            answer = self.client.get(page)
            if answer.status_code != 200 or "text/html" not in answer["Content-Type"]:
                continue
            for form in forms_on(answer.content.decode(), page):
                names = tuple(name for name, _ in form.fields)
                found.setdefault((form.address, names), form)
        return [*found.values(), *self._bare({address for address, _ in found})]

    def _bare(self, known: set[str]) -> Iterator[Form]:
        """Yield a form of usual fields for each address that no page has a form for."""
        names = ("code", "words", "happened_on", "count", "x-words", "reason", "kind", "target")
        usual = ("22223", "mice", "2009-02-16", "3", "mice", "mice", "NoteWritten", "x")
        for route in map(str, (one.pattern for one in urlpatterns)):
            shape = re.compile("/" + _ARGUMENT.sub("[^/]+", route).replace(".", "[.]"))
            if not any(shape.fullmatch(address) for address in known):
                for line in self.lines[-3:] if "uuid" in route else self.lines[-1:]:
                    code = next(iter(read_notebook().trees), "22223")
                    address = re.sub(r"<uuid:\w+>", str(line["entry_id"]), "/" + route)
                    yield Form(
                        address=_ARGUMENT.sub(code, address),
                        fields=tuple(zip(names, usual, strict=True)),
                    )

    def _pages(self) -> Iterator[str]:
        """Yield every address with the codes of this notebook in its places."""
        notebook = read_notebook()
        codes = [next(iter(things), "22223") for _, things in notebook.by_kind()][:6]
        for pattern in urlpatterns:
            route = "/" + str(pattern.pattern)
            kinds = _ARGUMENT.findall(route)
            if any(kind == "uuid" for kind, _ in kinds):
                continue
            for code in codes if kinds else [""]:
                yield _ARGUMENT.sub(code or "x", route)

    def _files(self) -> list[tuple[str, bytes]]:
        picture = io.BytesIO()
        with zipfile.ZipFile(picture, "w") as packed:
            packed.writestr("promises.csv", "who,variety\nThe school,Discovery\n")
        logger = "time;temperature °F\n" + "\n".join(
            f"2009-03-{day:02d} {hour:02d}:00;{40 + hour}" for day in (28, 29) for hour in range(24)
        )
        table = ",".join(("who", "variety", "stock", "how many")) + "\nThe school,Discovery,M26,3\n"
        files = [
            ("winter.xlsx", demo_workbook()),
            ("promises.csv", table.encode()),
            ("folder.zip", picture.getvalue()),
            ("logger.csv", logger.encode()),
            ("days.csv", b"date,min,max\n2009-02-01,-3,4\n2009-02-02,5,1\n2009-02-02,1,5\n"),
            ("photo.jpg", _jpeg()),
        ]
        for name in ("tables.xlsx", "tables.zip", "notebook.jsonl"):
            files.append((name, self.client.get(f"/exchange/{name}").content))
        return files


def forms_on(page: str, address: str) -> Iterator[Form]:
    """Yield the forms of a page that are posted, with what stands in their fields."""
    for found in _FORM.finditer(page):
        heads = dict(_HEAD.findall(found["heads"]))
        if heads.get("method", "").casefold() != "post":
            continue
        fields, files = [], []
        for one in _FIELD.finditer(found["body"]):
            about = dict(_HEAD.findall(one["heads"]))
            name = unescape(about.get("name", ""))
            if not name or name == "csrfmiddlewaretoken":
                continue
            if about.get("type") == "file":
                files.append(name)
            else:
                fields.append((name, _value(one["tag"], about, found["body"][one.end() :])))
        yield Form(
            address=unescape(heads.get("action") or address).partition("#")[0],
            fields=tuple(fields),
            files=tuple(files),
        )


def _value(tag: str, about: dict[str, str], after: str) -> str:
    if tag.casefold() == "select":
        options = [dict(_HEAD.findall(one["heads"])) for one in _OPTION.finditer(after)]
        return unescape(options[min(1, len(options) - 1)].get("value", "")) if options else ""
    usual = {"date": "2009-02-16", "number": "3", "checkbox": "on", "text": "Discovery"}
    return unescape(about.get("value") or usual.get(about.get("type", "text"), "mice"))


def spoilt_bytes(content: bytes, rng: random.Random) -> bytes:
    """Return the content with something about it wrong."""
    ways: tuple[Callable[[bytes], bytes], ...] = (
        lambda raw: raw[: rng.randrange(len(raw) + 1)],
        lambda raw: _flipped(raw, rng),
        lambda raw: _flipped(_flipped(raw, rng), rng),
        lambda _raw: rng.randbytes(rng.randint(0, 400)),
        lambda raw: raw + raw,
        lambda raw: raw[len(raw) // 2 :] + raw[: len(raw) // 2],
        lambda raw: raw.replace(b"2009", rng.choice((b"0000", b"9999", b"-1", b""))),
        lambda raw: raw.replace(b"1", rng.choice((b"1e999", b"NaN", b"\x00", b"\xff\xfe"))),
        lambda raw: raw.replace(b"\n", rng.choice((b"\r", b"\n\n", b"\x00"))),
        lambda _raw: b"",
    )
    return rng.choice(ways)(content)


def _flipped(raw: bytes, rng: random.Random) -> bytes:
    if not raw:
        return b"\x00"
    at = rng.randrange(len(raw))
    return raw[:at] + bytes([raw[at] ^ (1 << rng.randrange(8))]) + raw[at + 1 :]


def _jpeg() -> bytes:
    """Return the segments of a small picture, whole enough to be taken for one."""
    parts = (b"\xff\xd8", b"\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00")
    frame = b"\xff\xc0\x00\x0b\x08\x00\x08\x00\x08\x01\x01\x11\x00"
    return b"".join((*parts, frame, b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00abc\xff\xd9"))
