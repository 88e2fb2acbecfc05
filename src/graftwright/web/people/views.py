"""The pages about people: one's own account, and for an organiser everybody's."""

from collections.abc import Callable
from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.contrib.auth import authenticate
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from graftwright.store.account_models import Account
from graftwright.store.accounts import (
    KnownAccount,
    KnownSignIn,
    accounts,
    add_account,
    change_password,
    change_role,
    close_account,
    end_sign_in,
    sign_ins,
)
from graftwright.store.sessions import PHONE_NAME, sum_of
from graftwright.store.signed_in import Role, SignedIn, signed_in
from graftwright.tongue import say, told
from graftwright.web.people.forms import NewPasswordForm, OwnPasswordForm, PersonForm, RoleForm
from graftwright.web.people.limits import Tries
from graftwright.web.people.signing import let_in
from graftwright.web.writing import refusal_on

OWN_CHANGES = Tries(most_count=10, within_s=900.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonShown:
    """One person on the organiser's page."""

    account: KnownAccount
    sign_ins: tuple[KnownSignIn, ...]
    role_form: forms.Form
    password_form: forms.Form


@never_cache
@require_safe
def me_page(request: HttpRequest) -> HttpResponse:
    """Show one's own account: where it is signed in, a phone to pair, the password."""
    return _me(request)


@sensitive_post_parameters()
@require_POST
def change_own_password(request: HttpRequest) -> HttpResponse:
    """Change one's own password; every other sign-in ends, this one goes on."""
    person = _person()
    form = OwnPasswordForm(request.POST)
    if form.is_valid():
        _check_before(request, person, form)
    if form.is_valid():
        with refusal_on(form, "password"):
            change_password(person.account_id, form.cleaned_data["password"])
    if not form.is_valid():
        return _me(request, form, status=422)
    phone_name = str(request.session.get(PHONE_NAME, ""))
    let_in(request, Account.objects.get(pk=person.account_id), phone_name=phone_name)
    messages.success(
        request, say("The password is changed; every other sign-in of yours has ended.")
    )
    return redirect("me")


def _check_before(request: HttpRequest, person: SignedIn, form: forms.Form) -> None:
    """Look at the password so far: whoever finds a phone lying about is not its owner."""
    if not OWN_CHANGES.is_one_more_allowed(str(person.account_id)):
        form.add_error("before", say("Too many tries; wait a quarter of an hour."))
    elif authenticate(request, username=person.name, password=form.cleaned_data["before"]) is None:
        form.add_error("before", say("That is not the password so far."))


@require_POST
def end_own_sign_in(request: HttpRequest) -> HttpResponse:
    """End one of one's own sign-ins."""
    if end_sign_in(_person().account_id, request.POST.get("key", "")):
        messages.success(request, say("Ended: that phone or browser has to sign in anew."))
    return redirect("me")


@never_cache
@require_safe
def people_page(request: HttpRequest) -> HttpResponse:
    """Show everybody who may come in."""
    return _people(request)


@sensitive_post_parameters("password")
@require_POST
def add_person(request: HttpRequest) -> HttpResponse:
    """Open an account."""
    form = PersonForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        with refusal_on(form):
            add_account(
                said["name"],
                initials=said["initials"],
                role=Role(said["role"]),
                password=said["password"],
            )
    if not form.is_valid():
        return _people(request, adding=form, status=422)
    messages.success(
        request,
        told("{cleaned_data} may come in from now on.", cleaned_data=form.cleaned_data["name"]),
    )
    return redirect("people")


@require_POST
def change_persons_role(request: HttpRequest, account_id: int) -> HttpResponse:
    """Give somebody another role."""
    form = RoleForm(request.POST, prefix=f"role-{account_id}")

    def change() -> KnownAccount:
        return change_role(account_id, Role(form.cleaned_data["role"]))

    return _changed(request, form, change, words=say("{name} is a {role} now."))


@sensitive_post_parameters()
@require_POST
def change_persons_password(request: HttpRequest, account_id: int) -> HttpResponse:
    """Set somebody's password anew; all their sign-ins end."""
    form = NewPasswordForm(request.POST, prefix=f"password-{account_id}")

    def change() -> KnownAccount:
        return change_password(account_id, form.cleaned_data["password"])

    return _changed(
        request, form, change, words=say("{name} has a new password; all sign-ins ended.")
    )


@require_POST
def close_person(request: HttpRequest, account_id: int) -> HttpResponse:
    """Close an account; all its sign-ins end, what it wrote stays."""

    def close() -> KnownAccount:
        return close_account(account_id)

    return _changed(request, forms.Form({}), close, words=say("The account of {name} is closed."))


@require_POST
def end_sign_in_of(request: HttpRequest, account_id: int) -> HttpResponse:
    """End one of somebody's sign-ins."""
    if end_sign_in(account_id, request.POST.get("key", "")):
        messages.success(request, say("Ended: that phone or browser has to sign in anew."))
    return redirect("people")


def _changed(
    request: HttpRequest, form: forms.Form, change: Callable[[], KnownAccount], *, words: str
) -> HttpResponse:
    """Do it, and say what was done or why not."""
    changed: list[KnownAccount] = []
    if form.is_valid():
        with refusal_on(form):
            changed.append(change())
    for account in changed:
        messages.success(request, words.format(name=account.name, role=account.role))
    for reasons in form.errors.values():
        messages.error(request, " ".join(str(reason) for reason in reasons))
    return redirect("people")


def _person() -> SignedIn:
    person = signed_in()
    if person is None:
        raise Http404(say("this machine alone is served; nobody has an account here"))
    return person


def _me(
    request: HttpRequest, form: OwnPasswordForm | None = None, *, status: int = 200
) -> HttpResponse:
    person = _person()
    context = {
        "person": person,
        "sign_ins": sign_ins(person.account_id),
        "here": sum_of(request.session.session_key),
        "form": form or OwnPasswordForm(),
    }
    return render(request, "people/me.html", context, status=status)


def _people(
    request: HttpRequest, *, adding: PersonForm | None = None, status: int = 200
) -> HttpResponse:
    everybody = accounts()
    shown = [
        PersonShown(
            account=one,
            sign_ins=sign_ins(one.account_id),
            role_form=RoleForm(prefix=f"role-{one.account_id}", initial={"role": one.role}),
            password_form=NewPasswordForm(prefix=f"password-{one.account_id}"),
        )
        for one in everybody
        if one.is_open
    ]
    context = {
        "people": shown,
        "closed": [one for one in everybody if not one.is_open],
        "form": adding or PersonForm(),
    }
    return render(request, "people/page.html", context, status=status)
