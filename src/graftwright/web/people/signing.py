"""Signing in and out: the same answer whoever is named, a new secret at each sign-in, an end."""

from datetime import UTC, datetime, timedelta

from django import forms
from django.conf import settings
from django.contrib.auth import authenticate, login, logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from graftwright.store.account_models import Account
from graftwright.store.sessions import MADE_AT, PHONE_NAME
from graftwright.tongue import marked, say
from graftwright.web.people.limits import Tries, network_of

BROWSER_HOURS, PHONE_DAYS = 12, 365
BY_NAME = Tries(most_count=10, within_s=900.0)
BY_NETWORK = Tries(most_count=30, within_s=900.0)
_BACKEND = "django.contrib.auth.backends.ModelBackend"
_WRONG = marked("That name and password do not belong together. Look at both and try again.")
_TOO_OFTEN = marked(
    "Too many tries. Wait a quarter of an hour; a phone that is paired stays signed in."
)


class SignInForm(forms.Form):
    """A name and a password."""

    name = forms.CharField(
        max_length=40,
        label=marked("Name"),
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )
    password = forms.CharField(
        max_length=200,
        strip=False,
        label=marked("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


@sensitive_post_parameters("password")
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in_page(request: HttpRequest) -> HttpResponse:
    """Ask for name and password."""
    if not settings.NEEDS_ACCOUNT:
        raise Http404(say("this machine alone is served; nobody has to sign in"))
    form = SignInForm(request.POST) if request.method == "POST" else SignInForm()
    status = 200
    if request.method == "POST":
        account, status = _tried(request, form)
        if account is not None:
            let_in(request, account)
            return redirect(_then(request))
    context = {"form": form, "then": request.POST.get("then") or request.GET.get("then", "")}
    return render(request, "people/sign_in.html", context, status=status)


def let_in(request: HttpRequest, account: Account, *, phone_name: str = "") -> None:
    """Sign an account in with a new secret: a browser for half a day, a phone for a year."""
    request.session.flush()  # a sign-in that stood here before ends, whoever's it was
    login(request, account, backend=_BACKEND)
    now = datetime.now(UTC)
    request.session[MADE_AT] = now.isoformat()
    request.session[PHONE_NAME] = phone_name
    lasts = timedelta(days=PHONE_DAYS) if phone_name else timedelta(hours=BROWSER_HOURS)
    request.session.set_expiry(now + lasts)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign this browser out; its pages forget what they kept."""
    if not settings.NEEDS_ACCOUNT:
        raise Http404(say("nobody is signed in on this machine"))
    logout(request)
    return redirect("sign-in")


def _tried(request: HttpRequest, form: SignInForm) -> tuple[Account | None, int]:
    """Return who is let in, else nobody and the answer's number; the reason is on the form."""
    if not form.is_valid():
        return None, 422
    name, network = form.cleaned_data["name"].strip().casefold(), network_of(request)
    # both are counted, before the password is looked at: many tries at once gain nothing
    allowed = [BY_NETWORK.is_one_more_allowed(network), BY_NAME.is_one_more_allowed(name)]
    if not all(allowed):
        form.add_error(None, _TOO_OFTEN)
        return None, 429
    account = authenticate(request, username=name, password=form.cleaned_data["password"])
    if not isinstance(account, Account):
        form.add_error(None, _WRONG)
        return None, 422
    BY_NAME.forget(name)
    return account, 200


def _then(request: HttpRequest) -> str:
    """Return the page somebody wanted, if it is one of ours."""
    wanted = request.POST.get("then", "")
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else reverse("today")
