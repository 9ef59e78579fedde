"""The pages themselves, their scripts and styles, and the links to hand on."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from sunsched.desk.door.access import Access
from sunsched.desk.door.addresses import code_svg, link
from sunsched.desk.web.page import own_file, page
from sunsched.desk.web.request import Refused, access_of, desk_of, folder_of, need

# Each page of a day: its name in the address, its title, what it takes to see it.
PAGES = (
    ("day", "The day", Access.SEE),
    ("set", "On set", Access.SEE),
    ("shots", "The shots", Access.ALL),
    ("argue", "The argument", Access.ALL),
    ("gaffer", "The gaffer’s page", Access.SEE),
    ("sheets", "Sheets", Access.SEE),
)
SHARED = {"see": Access.SEE, "note": Access.NOTE}


async def home(request: Request) -> Response:
    """List the day folders; where there is one alone, show it."""
    desk = desk_of(request)
    if desk.folders.only is not None:
        first = "day" if access_of(request) is Access.ALL else "set"
        return RedirectResponse(f"/day/{desk.folders.only.name}/{first}", 303)
    first = "day" if access_of(request) is Access.ALL else "set"
    told = {"names": desk.folders.names(), "root": desk.folders.root.name, "first": first}
    return HTMLResponse(page("home", access=int(access_of(request)), **told))


async def day_page(request: Request) -> Response:
    """Give one page of a day; what it shows is asked for by its script."""
    folder, access = folder_of(request), access_of(request)
    asked = request.path_params["page"]
    needed = next((needs for name, _, needs in PAGES if name == asked), None)
    if needed is None:
        raise Refused(404, f"there is no page `{asked}`")
    need(request, needed)
    told = {
        "day": folder.name,
        "here": asked,
        "pages": [(name, title) for name, title, needs in PAGES if needs <= access],
        "access": int(access),
        "is_alone": desk_of(request).folders.only is not None,
        "shares": [
            (name, link(address, desk_of(request).door.keys, SHARED[name]))
            for address in desk_of(request).addresses[:1]
            for name in SHARED
            if access is Access.ALL
        ],
    }
    return HTMLResponse(page(asked, **told))


async def own(request: Request) -> Response:
    """Give a script or a style."""
    found = own_file(request.path_params["file"])
    if found is None:
        raise Refused(404, "there is no such file")
    content, kind = found
    return Response(content, media_type=kind)


async def code(request: Request) -> Response:
    """Give the code that a phone reads to open the desk."""
    need(request, Access.ALL)
    access, desk = SHARED.get(request.path_params["access"]), desk_of(request)
    if access is None or not desk.addresses:
        raise Refused(404, "there is no such link; `sunsched desk --lan` lets others in")
    drawn = code_svg(link(desk.addresses[0], desk.door.keys, access))
    return Response(drawn, media_type="image/svg+xml")


ROUTES = [
    Route("/", home),
    Route("/own/{file}", own),
    Route("/code/{access}.svg", code),
    Route("/day/{day}/{page}", day_page),
]
