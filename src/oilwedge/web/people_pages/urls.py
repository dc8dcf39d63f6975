"""Coming in, going out, people and what they may do: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.people_pages import (
    certificate,
    directory,
    invitation,
    login,
    own_account,
    tokens,
)

app_name = "people"
urlpatterns: list[URLPattern | URLResolver] = [
    path("login", login.log_in, name="login"),
    path("logout", login.log_out, name="logout"),
    path("start/<str:token>", login.start, name="start"),
    path("invitation/<str:token>", invitation.answer_link, name="invitation"),
    path("people/", directory.directory, name="list"),
    path("people/invite", invitation.invite, name="invite"),
    path("people/links/<int:pk>/withdraw", invitation.withdraw, name="withdraw"),
    path("people/<int:pk>/", directory.person, name="person"),
    path("people/<int:pk>/role", directory.set_role, name="role"),
    path("people/<int:pk>/active", directory.set_active, name="active"),
    path("people/<int:pk>/sessions", directory.log_out_everywhere, name="sessions"),
    path("people/<int:pk>/password", invitation.password_link, name="password_link"),
    path("people/<int:pk>/erase", directory.erase_person, name="erase"),
    path("me", own_account.me, name="me"),
    path("me/password", own_account.password, name="password"),
    path("me/sessions", own_account.log_out_others, name="own_sessions"),
    path("me/tokens", tokens.tokens, name="tokens"),
    path("me/tokens/<int:pk>/revoke", tokens.revoke, name="revoke"),
    path("certificate", certificate.certificate_page, name="certificate"),
    path("authority.crt", certificate.authority, name="authority"),
]
