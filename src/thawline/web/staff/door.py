"""The way in and out: a name and a passphrase."""

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST

from thawline.web.shown import back


@require_http_methods(["GET", "POST"])
def door(request: HttpRequest) -> HttpResponse:
    """Show the door, or let somebody in."""
    said = ""
    if request.method == "POST":
        name = " ".join(request.POST.get("name", "").split())
        staff = authenticate(
            request, username=name, password=request.POST.get("passphrase", "")
        )
        if staff is not None:
            login(request, staff)
            request.session["station"] = request.POST.get("station", "")[:40]
            return HttpResponseRedirect(back(request))
        said = "Name and passphrase do not fit together. Type both again."
    told = {
        "said": said,
        "next": request.GET.get("next", "/"),
        "name": request.POST.get("name", ""),
    }
    return render(request, "door.html", told, status=403 if said else 200)


@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Log out. The tablet's worker wipes the pages that it keeps, not the entries."""
    logout(request)
    return HttpResponseRedirect("/door")
