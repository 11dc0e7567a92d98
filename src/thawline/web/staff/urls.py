"""The addresses of the door."""

from django.urls import path

from thawline.web.staff import door

urlpatterns = [
    path("door", door.door, name="door"),
    path("leave", door.leave, name="leave"),
]
