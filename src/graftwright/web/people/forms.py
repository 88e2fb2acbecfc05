"""What is asked of a person who is let in."""

from django import forms

from graftwright.store.signed_in import Role
from graftwright.tongue import marked

_ROLES = [
    (Role.HELPER.value, "Helper: jobs, bench, walks, results"),
    (Role.GRAFTER.value, marked("Grafter: the whole nursery")),
    (Role.ORGANISER.value, marked("Organiser: that, and who may come in")),
]
_PASSWORD_HINT = marked("At least 10 signs, not only digits, not a common one. Four words do well.")


class NewPasswordForm(forms.Form):
    """A new password."""

    password = forms.CharField(
        max_length=200,
        strip=False,
        label=marked("New password"),
        help_text=_PASSWORD_HINT,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


class OwnPasswordForm(NewPasswordForm):
    """The password so far and a new one."""

    field_order = ["before", "password"]
    before = forms.CharField(
        max_length=200,
        strip=False,
        label=marked("Password so far"),
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


class RoleForm(forms.Form):
    """A role."""

    role = forms.ChoiceField(choices=_ROLES, label=marked("Role"))


class PersonForm(forms.Form):
    """Somebody to be let in."""

    name = forms.CharField(
        max_length=40,
        label=marked("Name to sign in with"),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
    initials = forms.CharField(
        max_length=12,
        label=marked("Initials"),
        help_text=marked(
            "As at the bench: entries bear them, and whose rates are whose follows them."
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    role = forms.ChoiceField(choices=_ROLES, label=marked("Role"))
    password = forms.CharField(
        max_length=200,
        strip=False,
        label=marked("First password"),
        help_text=_PASSWORD_HINT,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
