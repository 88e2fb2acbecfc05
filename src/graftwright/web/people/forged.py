"""The answer to a form that did not come from a page of ours, or came too late."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def refuse_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say that nothing was written and how to send it again."""
    del reason  # it names how the check works, which helps nobody who reads the page
    return render(request, "people/forged.html", status=403)
