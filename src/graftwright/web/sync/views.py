"""What a phone asks for: the time and a token, the bench's day, codes, its own page."""

import hashlib
from functools import lru_cache
from pathlib import Path

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotUnderstood, UnknownCode
from graftwright.notebook.written import plain
from graftwright.store.codes import next_codes
from graftwright.store.photos import read_photo
from graftwright.web.standing_on import today
from graftwright.web.sync.answers import now_ms
from graftwright.web.sync.bench_data import bench_data
from graftwright.web.sync.devices import device_from

MOST_CODES = 200
_STATIC = Path(__file__).parents[1] / "static"
_SHELL_ENDINGS = {".css", ".js", ".woff2"}
_ON_DEMAND = {"vendor/jsqr.min.js", "fonts/graftwright-serif-italic.woff2"}
_WORKER = "phone/worker.js"
_SHELL_PAGES = ("today", "bench", "bench-run", "trees", "this-phone")


@require_safe
@never_cache
def page_data(_request: HttpRequest) -> HttpResponse:
    """Return what the bench needs to go on without signal."""
    return JsonResponse({"server_now_ms": now_ms(), "bench": plain(bench_data())})


@require_POST
def codes_for_phone(request: HttpRequest) -> HttpResponse:
    """Return codes for labels made without signal, from this phone's own blocks.

    Asking again gives the same codes until they are used, so that no answer lost costs any.
    """
    try:
        device = device_from(request.POST.get("device", ""))
        wanted = _count(request.POST.get("count", ""))
        codes = next_codes(wanted, device=device, today=today())
    except GraftwrightError as refused:
        return JsonResponse({"words": str(refused)}, status=400)
    return JsonResponse({"codes": list(codes), "server_now_ms": now_ms()})


def _count(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text[:6]) <= MOST_CODES:
        raise NotUnderstood(f"count {text[:20]!r}; expected a whole number, 1 to {MOST_CODES}")
    return int(text)


@require_safe
def bench_run_page(request: HttpRequest) -> HttpResponse:
    """Show the bench with one run at a time; what it shows is kept on the phone."""
    return render(request, "bench/run.html")


@require_safe
def this_phone(request: HttpRequest) -> HttpResponse:
    """Show what is kept on this phone and not yet sent, what was refused, and its settings."""
    return render(request, "sync/phone.html")


@require_safe
def photo_file(_request: HttpRequest, name: str) -> HttpResponse:
    """Return a photo that is kept here."""
    try:
        media_type, content = read_photo(name)
    except UnknownCode as wrong:
        raise Http404(str(wrong)) from wrong
    answer = HttpResponse(content, content_type=media_type)
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    answer.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return answer


@require_safe
def worker_script(_request: HttpRequest) -> HttpResponse:
    """Return the script that keeps pages for when there is no signal.

    It stands at the root, so that it may answer for every page, and changes with the files it
    keeps, so that a phone takes the new ones in.
    """
    pages = [reverse(name) for name in _SHELL_PAGES]
    answer = HttpResponse(_worker_text(tuple(pages)), content_type="text/javascript; charset=utf-8")
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@lru_cache(maxsize=4)
def _worker_text(pages: tuple[str, ...]) -> str:
    digest = hashlib.sha256()
    files = []
    for path in sorted(_STATIC.rglob("*")):
        name = path.relative_to(_STATIC).as_posix()
        if path.suffix in _SHELL_ENDINGS and name not in _ON_DEMAND:
            digest.update(name.encode() + path.read_bytes())
            files.append(static(name))
    head = (
        f"const VERSION = {digest.hexdigest()[:12]!r};\n"
        f"const PAGES = {list(pages)!r};\n"
        f"const FILES = {files!r};\n"
        f"const QUEUE = {static('phone/queue.js')!r};\n"
        f"const WORDS = {static('phone/german.js')!r};\n"
    )
    return head + (_STATIC / _WORKER).read_text(encoding="utf-8")
