"""The addresses about people."""

from django.urls import URLPattern, path

from graftwright.web.people import pairing, signing, views
from graftwright.web.people.card import receiver_card_page

ADDRESSES: list[URLPattern] = [
    path("sign-in/", signing.sign_in_page, name="sign-in"),
    path("sign-out", signing.sign_out, name="sign-out"),
    path("pair/<str:secret>/", pairing.pairing_page, name="pair"),
    path("me/", views.me_page, name="me"),
    path("me/password", views.change_own_password, name="change-own-password"),
    path("me/phone", pairing.make_own_link, name="make-own-link"),
    path("me/end", views.end_own_sign_in, name="end-own-sign-in"),
    path("people/", views.people_page, name="people"),
    path("people/add", views.add_person, name="add-person"),
    path("people/<int:account_id>/role", views.change_persons_role, name="change-role"),
    path("people/<int:account_id>/password", views.change_persons_password, name="change-password"),
    path("people/<int:account_id>/close", views.close_person, name="close-person"),
    path("people/<int:account_id>/phone", pairing.make_link_for, name="make-link-for"),
    path("people/<int:account_id>/end", views.end_sign_in_of, name="end-sign-in-of"),
    path("card/<str:code>/", receiver_card_page, name="receiver-card"),
]
