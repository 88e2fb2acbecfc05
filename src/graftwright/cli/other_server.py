"""Another server that serves a copy of the notebook, reached over http with a token of its own."""

import json
import ssl
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from http.client import HTTPException
from ipaddress import ip_address
from pathlib import Path
from typing import cast
from urllib.error import HTTPError, URLError
from urllib.parse import quote, urlencode, urlsplit
from urllib.request import HTTPRedirectHandler, HTTPSHandler, Request, build_opener
from uuid import UUID

from graftwright.errors import DamagedFile, GraftwrightError, NotebookBusy, NotUnderstood
from graftwright.notebook.written import Plain
from graftwright.tongue import say, told

_TIMEOUT_S = 60.0
_MOST_BYTES = 12_000_000
_MOST_WAITS = 20
_LONGEST_WAIT_S = 30.0
_BUSY, _TOO_OFTEN, _NOT_HERE = 503, 429, 404


class _NoRedirects(HTTPRedirectHandler):
    """The token goes to the address that was named, and to no other that it points to."""

    def redirect_request(self, *_args: object, **_names: object) -> None:
        """Follow nothing."""


def check_address(address: str, *, unencrypted: bool) -> str:
    """Return the address to ask. Raises NotUnderstood for one that a token must not go to."""
    parts = urlsplit(address)
    if parts.scheme not in ("https", "http") or not parts.hostname or parts.username:
        raise NotUnderstood(
            told(
                "{address!r} is no server's address; write it such as https://mill.example.org",
                address=address[:80],
            )
        )
    if parts.scheme == "http" and not unencrypted and not _is_this_machine(parts.hostname):
        raise NotUnderstood(
            told(
                "{address} is not encrypted, so the token and all entries could be "
                "read on the way; use https, or say --unencrypted where the network is "
                "yours alone",
                address=address[:80],
            )
        )
    return f"{parts.scheme}://{parts.netloc}{parts.path.rstrip('/')}"


def _is_this_machine(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherServer:
    """The other copy as its server answers; see `graftwright.store.merging_with.OtherCopy`.

    Raises NotebookBusy where it cannot be reached, NotUnderstood where it refuses, DamagedFile
    where its answer cannot be read.
    """

    address: str
    token: str
    trust: Path | None = None
    wait: Callable[[float], None] = time.sleep

    def sums(self) -> list[str]:
        """Return the sums of its heaps."""
        return _texts(self._answer("merge/sums").get("sums"))

    def may_give(self) -> bool:
        """Return whether the token lets this copy give as well."""
        return self._answer("merge/sums").get("may_give") is True

    def ids(self, heaps: Sequence[int]) -> dict[int, list[UUID]]:
        """Return the ids of some of these heaps."""
        asked = urlencode([("heap", heap) for heap in heaps])
        found = self._answer(f"merge/ids?{asked}").get("heaps")
        if not isinstance(found, dict):
            raise self._damaged(say("no heaps"))
        try:
            return {int(heap): [UUID(one) for one in _texts(ids)] for heap, ids in found.items()}
        except ValueError as wrong:
            raise self._damaged(str(wrong)) from wrong

    def entries(self, ids: Sequence[UUID]) -> object:
        """Return some of these entries."""
        asked = urlencode([("id", one.hex) for one in ids])
        return self._answer(f"merge/entries?{asked}").get("entries")

    def give(self, entries: list[Plain]) -> None:
        """Let it take entries in."""
        body = json.dumps({"entries": entries}, ensure_ascii=False).encode()
        self._answer("merge/entries", body=body, kind="application/json")

    def photos_wanted(self) -> list[str]:
        """Return the names of photos that it misses."""
        return _texts(self._answer("merge/photos").get("wanted"))

    def photo(self, name: str) -> bytes | None:
        """Return a photo's content; None where it has none either."""
        return self._call(f"merge/photos/{quote(name, safe='')}", or_none=True)

    def give_photo(self, name: str, content: bytes) -> None:
        """Let it keep a photo."""
        place = f"merge/photos/{quote(name, safe='')}"
        self._answer(place, body=content, kind="application/octet-stream")

    def _answer(self, place: str, *, body: bytes | None = None, kind: str = "") -> dict[str, Plain]:
        content = self._call(place, body=body, kind=kind) or b""
        try:
            answer = json.loads(content)
        except (ValueError, RecursionError) as wrong:
            raise self._damaged(str(wrong)) from wrong
        if not isinstance(answer, dict):
            raise self._damaged(say("no object"))
        return cast("dict[str, Plain]", answer)

    def _damaged(self, words: str) -> DamagedFile:
        return DamagedFile(
            told(
                "the answer of {address} cannot be read ({words}); try again",
                address=self.address,
                words=words,
            )
        )

    def _call(
        self, place: str, *, body: bytes | None = None, kind: str = "", or_none: bool = False
    ) -> bytes | None:
        """Ask once, and again after a pause as long as the server says that it is too much now."""
        headers = {
            "Authorization": f"Bearer {self.token}",  # not said
            "Accept": "application/json, image/*",
        }
        if body is not None:
            headers["Content-Type"] = kind
        for _ in range(_MOST_WAITS):
            # the address was checked: http or https
            asked = Request(f"{self.address}/{place}", data=body, headers=headers)
            try:
                return self._read(asked)
            except HTTPError as refused:
                if refused.code == _NOT_HERE and or_none:
                    return None
                if refused.code not in (_BUSY, _TOO_OFTEN):
                    raise self._refusal(refused) from refused
                self.wait(_seconds(refused.headers.get("Retry-After", "1")))
            except (URLError, HTTPException, OSError) as wrong:
                raise NotebookBusy(
                    told(
                        "{address} cannot be reached ({wrong}); what went over until now "
                        "stands: merge again when it can be",
                        address=self.address,
                        wrong=wrong,
                    )
                ) from wrong
        raise NotebookBusy(
            told(
                "{address} is busy; what went over stands: merge again later", address=self.address
            )
        )

    def _read(self, asked: Request) -> bytes:
        context = ssl.create_default_context(cafile=self.trust)
        opener = build_opener(_NoRedirects, HTTPSHandler(context=context))
        with opener.open(asked, timeout=_TIMEOUT_S) as answer:
            content: bytes = answer.read(_MOST_BYTES + 1)
        if len(content) > _MOST_BYTES:
            raise self._damaged(told("more than {MOST_BYTES} bytes", MOST_BYTES=_MOST_BYTES))
        return content

    def _refusal(self, refused: HTTPError) -> GraftwrightError:
        try:
            words = str(json.loads(refused.read(_MOST_BYTES))["detail"])[:300]
        except (ValueError, KeyError, TypeError, OSError):
            words = say("no reason given; is a copy of the notebook served there?")
        return NotUnderstood(
            told(
                "{address} answers {refused_code}: {words}",
                address=self.address,
                refused_code=refused.code,
                words=words,
            )
        )


def _seconds(text: str) -> float:
    return min(float(text) if text.isdecimal() else 1.0, _LONGEST_WAIT_S)


def _texts(value: object) -> list[str]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise DamagedFile(say("the other copy's answer is not as expected: a list of texts"))
    return cast("list[str]", value)
