"""All addresses of the bench."""

from django.urls import include, path

from oilwedge.web.api.urls import api_urls

urlpatterns = [
    path("", include("oilwedge.web.people_pages.urls")),
    path("", include("oilwedge.web.record.urls")),
    path("", include("oilwedge.web.bench.measuring.urls")),
    path("", include("oilwedge.web.bench.urls")),
    path("", include("oilwedge.web.engines.urls")),
    path("shelf/", include("oilwedge.web.shelf.urls")),
    path("classes/", include("oilwedge.web.classroom.urls")),
    path("api/", api_urls),
]
handler400 = "oilwedge.web.look.views.bad_request"
handler403 = "oilwedge.web.look.views.not_yours"
handler404 = "oilwedge.web.look.views.not_here"
handler500 = "oilwedge.web.look.views.our_fault"
