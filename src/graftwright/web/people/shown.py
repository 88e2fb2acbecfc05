"""Who is signed in, for the foot of every page."""

from django.http import HttpRequest

from graftwright.store.signed_in import Role, signed_in


def person_here(_request: HttpRequest) -> dict[str, object]:
    """Return who is signed in; nobody on a machine that asks for no account."""
    person = signed_in()
    return {
        "signed_in": person,
        "is_helper": person is not None and person.role is Role.HELPER,
        "is_organiser": person is not None and person.role is Role.ORGANISER,
    }
